//! A long session: random nudges, turns and changes of stage, with memory watched.

use super::tables::Hang;
use chalklight::geometry::{Point, Vector};
use chalklight::scene::{Letters, Marks, Pose, Scene, Stroke};
use chalklight::throw::{Bed, Choice, FORMAT, Gpu, Thrower};
use std::process::Command;

/// Frames that let buffers, caches and the driver's threads reach their size.
const WARM: usize = 300;
/// Frames watched: one a second makes an hour.
const FRAMES: usize = 3600;
/// What the child's line begins with.
const SAYS: &str = "memory:";

/// Runs in a process of its own, because other tests' memory would be counted too.
#[test]
fn memory_stays_flat_over_an_hours_frames() {
    let child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "pictures::session::an_hours_frames", "--ignored", "--nocapture"])
        .output()
        .expect("the child runs");
    let text = String::from_utf8_lossy(&child.stdout);
    assert!(child.status.success(), "{text}{}", String::from_utf8_lossy(&child.stderr));
    let line = text.lines().find_map(|l| l.split_once(SAYS)).expect("the child says what it measured").1;
    let found: Vec<f64> = line.split_whitespace().map(|v| v.parse().expect("a number")).collect();
    let [rss_before, rss_after, gpu_before, gpu_after] = found[..] else { panic!("four numbers, not {line}") };
    assert!(gpu_before > 0.0, "the device tells what it has allocated");
    assert!(rss_after <= 1.01 * rss_before, "memory grew from {rss_before} to {rss_after} kB");
    assert!(gpu_after <= 1.01 * gpu_before, "the device's memory grew from {gpu_before} to {gpu_after} bytes");
}

/// The session itself. An error of validation ends it, because nothing catches one.
#[test]
#[ignore = "run by the test above, in a process of its own"]
fn an_hours_frames() {
    let table =
        Hang { picture_px: [640, 360], px_per_mm: 0.53, k1: -0.03, tilt_deg: [15.0, 0.0], ..Hang::PLAIN }.table();
    let gpu = Gpu::headless(Choice::Software).unwrap_or_else(|refusal| panic!("{refusal}"));
    let thrower = Thrower::new(gpu, FORMAT);
    let bed = Bed { table: &table, stack_mm: 0.0 };
    let stages: Vec<_> = (1..=6).map(|n| thrower.load(&stage(n), bed).expect("a stage")).collect();
    let target = thrower.gpu().device.create_texture(&wgpu::TextureDescriptor {
        label: None,
        size: wgpu::Extent3d { width: 640, height: 360, depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format: FORMAT,
        usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
        view_formats: &[],
    });
    let view = target.create_view(&wgpu::TextureViewDescriptor::default());
    let mut pose = Pose { at_mm: Point::new(200.0, 100.0), turn_rad: 0.0 };
    let (mut dice, mut at, mut before) = (0x5eed_u64, 0, None);
    for frame in 0..WARM + FRAMES {
        // Knuth's MMIX linear congruential generator.
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        match dice >> 61 {
            0 => at = (at + 1) % stages.len(),
            1 => at = (at + stages.len() - 1) % stages.len(),
            2 => pose.turn_rad += 0.001,
            3 => pose.turn_rad -= 0.001,
            4 => pose.at_mm.x += 1.0,
            5 => pose.at_mm.x -= 1.0,
            6 => pose.at_mm.y += 10.0,
            _ => pose.at_mm.y -= 10.0,
        }
        assert!(stages[at].set_pose(&thrower, &pose) <= 256, "a nudge writes at most 256 bytes");
        thrower.draw(&stages[at], &view);
        thrower.gpu().device.poll(wgpu::PollType::wait_indefinitely()).expect("the frame is finished");
        if frame == WARM {
            before = Some(memory(&thrower));
        }
    }
    let (before, after) = (before.expect("frames were drawn"), memory(&thrower));
    println!("{SAYS} {} {} {} {}", before.0, after.0, before.1, after.1);
}

/// Resident memory in kB, and the device's allocations in bytes.
fn memory(thrower: &Thrower) -> (u64, u64) {
    let status = std::fs::read_to_string("/proc/self/status").expect("Linux");
    let rss = status.lines().find_map(|l| l.strip_prefix("VmRSS:")).expect("a figure").trim();
    let kb = rss.trim_end_matches(" kB").parse().expect("a number");
    (kb, thrower.gpu().device.generate_allocator_report().map_or(0, |r| r.total_allocated_bytes))
}

fn stage(number: u32) -> Scene {
    let line = |k: u32| Stroke {
        points: (0..20)
            .map(|i| Point::new(20.0 * f64::from(i), 30.0 * f64::from(k) + 8.0 * (f64::from(i + number)).sin()))
            .collect(),
        closed: false,
        width_mm: 2.0,
        light: [255; 3],
    };
    let letters = Letters {
        text: format!("Stage {number}"),
        at: Point::new(50.0, 40.0),
        along: Vector::new(1.0, 0.0),
        cap_mm: 12.0,
        light: [255; 3],
    };
    let on_cloth = Marks { strokes: (0..8 + number).map(line).collect(), ..Marks::default() };
    Scene { ground: [0; 3], on_cloth, on_table: Marks { letters: vec![letters], ..Marks::default() } }
}
