//! `cargo bench --bench picture`: what a frame costs after a nudge, beside its floor and its peers, one JSON line a case.
//!
//! All run in turn on the same scenes, in the same process. Every figure is the least of several frames: `wall_ms`
//! until the frame is finished, `cpu_ms` the processor time of all threads (on software Vulkan that is what the frame
//! costs), `encode_ms` until the frame is handed to the driver, `finish_ms` from there to its end, `gpu_ms` the device's own
//! clock around the pass. Nothing is read back.
//!
//! - `floor`: the target cleared, nothing drawn.
//! - `ours`: one nudge (a uniform) and a frame.
//! - `tiny-skia`, `vello_cpu`, `vello`: fill the same strokes, already outlined and mapped to pixels beforehand (their own
//!   work would start with both); on one thread, on all cores, and on the adapter.
//! - `raster`: resvg draws the page at 1.6 px a mm, and the page is warped with linear filtering through a map made
//!   beforehand; when the cloth is only nudged the page could be kept, so `warp_ms` is given as well.
//!
//! `--quick` takes one keystone. `--any` takes the best adapter instead of the software one. `--ours` leaves the
//! peers out. `--width 1920` and `--segments 5000` take one size.

mod cost;
mod ours;
#[path = "../../pictures/outlines.rs"]
mod outlines;
mod peers;
mod scenes;
#[path = "../../pictures/tables.rs"]
#[allow(dead_code)]
mod tables;

use chalklight::throw::{Choice, FORMAT, Gpu, Thrower};
use cost::Cost;
use scenes::TABLE_MM;
use serde_json::json;
use tables::Hang;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let has = |flag: &str| arguments.iter().any(|a| a == flag);
    let choice = if has("--any") { Choice::Any } else { Choice::Software };
    let gpu = Gpu::headless(choice).unwrap_or_else(|refusal| panic!("{refusal}"));
    eprintln!("adapter: {}", gpu.name());
    let thrower = Thrower::new(gpu, FORMAT);
    let tilts: &[f64] = if has("--quick") { &[15.0] } else { &[0.0, 15.0, 30.0] };
    let only = |flag: &str| arguments.iter().skip_while(|a| *a != flag).nth(1).and_then(|n| n.parse::<u32>().ok());
    for picture_px in [[1920, 1080], [3840, 2160]] {
        if only("--width").is_some_and(|w| w != picture_px[0]) {
            continue;
        }
        for &tilt in tilts {
            let px_per_mm = f64::from(picture_px[0]) / TABLE_MM[0];
            let hang = Hang { picture_px, tilt_deg: [tilt, 0.0], k1: -0.03, k2: 0.004, px_per_mm, ..Hang::PLAIN };
            let table = hang.table();
            for count in [500, 5000, 50_000] {
                if only("--segments").is_some_and(|n| n as usize != count) {
                    continue;
                }
                let scene = scenes::scene(count);
                let case = |peer: &str, cost: Cost| {
                    let mut line = json!({
                        "peer": peer, "width": picture_px[0], "tilt_deg": tilt, "segments": count,
                        "wall_ms": cost.wall_ms, "cpu_ms": cost.cpu_ms,
                    });
                    for (name, value) in cost.more {
                        line[name] = json!(value);
                    }
                    println!("{line}");
                };
                case("floor", ours::cost(&thrower, &table, &scenes::empty()));
                case("ours", ours::cost(&thrower, &table, &scene));
                if has("--ours") {
                    continue;
                }
                case("tiny-skia", peers::tiny_skia(&table, &scene));
                case("vello_cpu", peers::vello_cpu(&table, &scene));
                match peers::vello(&thrower, &table, &scene) {
                    Ok(cost) => case("vello", cost),
                    Err(fault) => eprintln!("vello: {fault}"),
                }
                case("raster", peers::raster(&table, &scene));
            }
        }
    }
}
