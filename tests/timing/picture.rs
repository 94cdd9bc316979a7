//! `cargo bench --bench picture`: what a frame costs after a nudge, beside its floor and its peers, one JSON line a case.
//!
//! All run in turn on the same scenes, in the same process. Every figure is the least of [`FRAMES`] frames: `wall_ms`
//! until the frame is finished, `cpu_ms` the processor time of all threads (on software Vulkan that is what the frame
//! costs). For ours `encode_ms` is the share until the frame is handed to the driver. Nothing is read back.
//!
//! - `floor`: the target cleared, nothing drawn.
//! - `ours`: one nudge (a uniform) and a frame.
//! - `tiny-skia`: fills the same strokes, already outlined and mapped to pixels beforehand (its own work would start with
//!   both), on one thread.
//! - `raster`: resvg draws the page at 1.6 px a mm, and the page is warped with linear filtering through a map made
//!   beforehand; when the cloth is only nudged the page could be kept, so `warp_ms` is given as well.
//!
//! `--quick` takes the smallest and the largest scene at one keystone. `--any` takes the best adapter instead of the
//! software one.

#[path = "../pictures/tables.rs"]
#[allow(dead_code)]
mod tables;

#[path = "../pictures/outlines.rs"]
mod outlines;

use chalklight::geometry::Point;
use chalklight::scene::{Marks, Pose, Scene, Stroke};
use chalklight::table::Table;
use chalklight::throw::{Bed, Choice, FORMAT, Gpu, Thrower};
use outlines::{mapped_outline, page_map, svg, warp};
use serde_json::json;
use std::time::Instant;
use tables::Hang;

/// Frames a case, of which the least counts.
const FRAMES: usize = 15;
/// Page resolution of the raster route.
const PAGE_PX_PER_MM: f64 = 1.6;
/// The lit part of the table, mm.
const TABLE_MM: [f64; 2] = [1200.0, 675.0];

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let has = |flag: &str| arguments.iter().any(|a| a == flag);
    let choice = if has("--any") { Choice::Any } else { Choice::Software };
    let gpu = Gpu::headless(choice).unwrap_or_else(|refusal| panic!("{refusal}"));
    eprintln!("adapter: {}", gpu.name());
    let thrower = Thrower::new(gpu, FORMAT);
    let (segments, tilts): (&[usize], &[f64]) =
        if has("--quick") { (&[500, 5000, 50_000], &[15.0]) } else { (&[500, 5000, 50_000], &[0.0, 15.0, 30.0]) };
    for picture_px in [[1920, 1080], [3840, 2160]] {
        for &tilt in tilts {
            let px_per_mm = f64::from(picture_px[0]) / TABLE_MM[0];
            let hang = Hang { picture_px, tilt_deg: [tilt, 0.0], k1: -0.03, k2: 0.004, px_per_mm, ..Hang::PLAIN };
            let table = hang.table();
            for &count in segments {
                let scene = scene(count);
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
                case("floor", gpu_cost(&thrower, &table, &empty()));
                case("ours", gpu_cost(&thrower, &table, &scene));
                if !has("--ours") {
                    case("tiny-skia", tiny_skia_cost(&table, &scene));
                    case("raster", raster_cost(&table, &scene));
                }
            }
        }
    }
}

/// What one frame cost.
#[derive(Default)]
struct Cost {
    wall_ms: f64,
    cpu_ms: f64,
    more: Vec<(&'static str, f64)>,
}

/// Processor time of all threads of this process, ms.
fn cpu_ms() -> f64 {
    let tasks = std::fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    let nanos = tasks.filter_map(|t| std::fs::read_to_string(t.path().join("schedstat")).ok());
    nanos.filter_map(|s| s.split(' ').next()?.parse::<f64>().ok()).sum::<f64>() / 1e6
}

/// Runs a frame often and keeps the least of each figure.
fn least(mut frame: impl FnMut(usize) -> Vec<(&'static str, f64)>) -> Cost {
    let mut best = Cost { wall_ms: f64::INFINITY, cpu_ms: f64::INFINITY, more: Vec::new() };
    for i in 0..FRAMES + 3 {
        let (cpu, wall) = (cpu_ms(), Instant::now());
        let more = frame(i);
        let (wall, cpu) = (wall.elapsed().as_secs_f64() * 1e3, cpu_ms() - cpu);
        // The first three warm up caches and the driver's threads.
        if i >= 3 {
            best.wall_ms = best.wall_ms.min(wall);
            best.cpu_ms = best.cpu_ms.min(cpu);
            if best.more.is_empty() {
                best.more = more;
            } else {
                for (kept, new) in best.more.iter_mut().zip(more) {
                    kept.1 = kept.1.min(new.1);
                }
            }
        }
    }
    best
}

fn gpu_cost(thrower: &Thrower, table: &Table, scene: &Scene) -> Cost {
    let begun = Instant::now();
    let projection = thrower.load(scene, Bed { table, stack_mm: 0.0 }).unwrap_or_else(|refusal| panic!("{refusal}"));
    let load_ms = begun.elapsed().as_secs_f64() * 1e3;
    let [width, height] = table.picture_px;
    let target = thrower.gpu().device.create_texture(&wgpu::TextureDescriptor {
        label: None,
        size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format: FORMAT,
        usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
        view_formats: &[],
    });
    let view = target.create_view(&wgpu::TextureViewDescriptor::default());
    let mut written = 0;
    let mut cost = least(|i| {
        let begun = Instant::now();
        let pose = Pose { at_mm: Point::new(0.1 * i as f64, 0.05 * i as f64), turn_rad: 1e-4 * i as f64 };
        written = projection.set_pose(thrower, &pose);
        thrower.draw(&projection, &view);
        let encode_ms = begun.elapsed().as_secs_f64() * 1e3;
        thrower.gpu().device.poll(wgpu::PollType::wait_indefinitely()).expect("the frame is finished");
        vec![("encode_ms", encode_ms)]
    });
    cost.more.push(("load_ms", load_ms));
    cost.more.push(("nudge_bytes", written as f64));
    cost
}

fn tiny_skia_cost(table: &Table, scene: &Scene) -> Cost {
    let [width, height] = table.picture_px;
    let mut page = tiny_skia::Pixmap::new(width, height).expect("a page");
    let mut paint = tiny_skia::Paint::default();
    paint.set_color_rgba8(255, 255, 255, 255);
    let outlines: Vec<tiny_skia::Path> =
        scene.on_cloth.strokes.iter().filter_map(|s| mapped_outline(table, s)).collect();
    least(|_| {
        page.fill(tiny_skia::Color::BLACK);
        for outline in &outlines {
            page.fill_path(outline, &paint, tiny_skia::FillRule::Winding, tiny_skia::Transform::identity(), None);
        }
        Vec::new()
    })
}

fn raster_cost(table: &Table, scene: &Scene) -> Cost {
    let size = TABLE_MM.map(|mm| (mm * PAGE_PX_PER_MM) as u32);
    let tree = usvg::Tree::from_str(&svg(scene, TABLE_MM), &usvg::Options::default()).expect("an SVG");
    let mut page = tiny_skia::Pixmap::new(size[0], size[1]).expect("a page");
    let map = page_map(table, PAGE_PX_PER_MM);
    let mut frame = vec![0u8; map.len() * 4];
    let scale = tiny_skia::Transform::from_scale(PAGE_PX_PER_MM as f32, PAGE_PX_PER_MM as f32);
    least(|_| {
        page.fill(tiny_skia::Color::BLACK);
        resvg::render(&tree, scale, &mut page.as_mut());
        let begun = Instant::now();
        warp(page.data(), size, &map, &mut frame);
        std::hint::black_box(&frame);
        vec![("warp_ms", begun.elapsed().as_secs_f64() * 1e3)]
    })
}

fn empty() -> Scene {
    Scene { ground: [0; 3], on_cloth: Marks::default(), on_table: Marks::default() }
}

/// A scene of about `segments` segments: four fifths in smooth closed outlines of 40 (pieces), a fifth dashes and ticks.
fn scene(segments: usize) -> Scene {
    let mut dice = Dice(0x5eed);
    let mut strokes = Vec::new();
    let outlines = segments / 50;
    // More outlines are smaller ones: the lit part of the table stays as full of light as cloth with pieces is.
    let largest_mm = (120.0 * (10.0 / outlines as f64).sqrt()).max(12.0);
    for _ in 0..outlines {
        let (x, y) = (dice.between(60.0, TABLE_MM[0] - 60.0), dice.between(60.0, TABLE_MM[1] - 60.0));
        let (radius, wave) = (dice.between(0.4, 1.0) * largest_mm, dice.between(0.0, 0.25));
        let points = (0..40).map(|k| {
            let angle = f64::from(k) / 40.0 * std::f64::consts::TAU;
            let r = radius * (1.0 + wave * (3.0 * angle).sin());
            Point::new(x + r * angle.cos(), y + r * angle.sin())
        });
        let width_mm = [0.5, 1.0, 1.5][dice.below(3)];
        strokes.push(Stroke { points: points.collect(), closed: true, width_mm, light: [255; 3] });
    }
    for _ in 0..segments / 5 {
        let (x, y) = (dice.between(0.0, TABLE_MM[0]), dice.between(0.0, TABLE_MM[1]));
        let (sin, cos) = dice.between(0.0, std::f64::consts::TAU).sin_cos();
        let length = dice.between(3.0, 12.0);
        let points = vec![Point::new(x, y), Point::new(x + length * cos, y + length * sin)];
        strokes.push(Stroke { points, closed: false, width_mm: 0.8, light: [255; 3] });
    }
    Scene { on_cloth: Marks { strokes, ..Marks::default() }, ..empty() }
}

/// Evenly spread numbers, the same on every machine (Knuth's MMIX linear congruential generator).
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn below(&mut self, n: usize) -> usize {
        (self.unit() * n as f64) as usize
    }
}
