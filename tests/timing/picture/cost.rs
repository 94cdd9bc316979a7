//! What a frame costs: least of several, wall time and processor time.

use std::time::{Duration, Instant};

/// Frames a case, of which the least counts, after [`WARM`] more.
const FRAMES: usize = 15;
/// Frames that warm up caches and the driver's threads, and how long they go on at least: a card at rest runs at a
/// fraction of its clock.
const WARM: usize = 3;
const WARM_FOR: Duration = Duration::from_millis(400);
/// No further frame is begun after this long, so that a peer that takes seconds a frame does not stop the rest.
const LONGEST: Duration = Duration::from_secs(6);

/// What one frame cost.
#[derive(Default)]
pub struct Cost {
    /// Until it is finished.
    pub wall_ms: f64,
    /// Processor time of all threads.
    pub cpu_ms: f64,
    /// Parts and counts, by name.
    pub more: Vec<(&'static str, f64)>,
}

/// Processor time of all threads of this process, ms.
fn cpu_ms() -> f64 {
    // The kernel adds up a running thread's time at its next turn; one that never waits would seem to cost nothing.
    std::thread::yield_now();
    let tasks = std::fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    let nanos = tasks.filter_map(|t| std::fs::read_to_string(t.path().join("schedstat")).ok());
    nanos.filter_map(|s| s.split(' ').next()?.parse::<f64>().ok()).sum::<f64>() / 1e6
}

/// Runs a frame often and keeps the least of each figure.
pub fn least(mut frame: impl FnMut(usize) -> Vec<(&'static str, f64)>) -> Cost {
    let mut best = Cost { wall_ms: f64::INFINITY, cpu_ms: f64::INFINITY, more: Vec::new() };
    let begun = Instant::now();
    let mut i = 0;
    while (i < WARM && begun.elapsed() < LONGEST) || begun.elapsed() < WARM_FOR {
        frame(i);
        i += 1;
    }
    for i in i..i + FRAMES {
        let (cpu, wall) = (cpu_ms(), Instant::now());
        let more = frame(i);
        let (wall, cpu) = (wall.elapsed().as_secs_f64() * 1e3, cpu_ms() - cpu);
        best.wall_ms = best.wall_ms.min(wall);
        best.cpu_ms = best.cpu_ms.min(cpu);
        if best.more.is_empty() {
            best.more = more;
        } else {
            for (kept, new) in best.more.iter_mut().zip(more) {
                kept.1 = kept.1.min(new.1);
            }
        }
        if begun.elapsed() > LONGEST {
            break;
        }
    }
    best
}
