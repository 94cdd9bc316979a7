//! The nesting of one open instance of irregular strip packing, as one line of JSON that anyone can check.
//!
//! `cargo bench --bench nesting -- FILE.json SECONDS [SEED]`. With `garments` in place of a file: our own garments, their
//! first answer beside the lay after SECONDS (`garments.rs`); with `folds`: how well each kind of fold uses the cloth for them
//! (`folds.rs`); with `open`: their lays on open cloth beside those of a general packer (`open.rs`). The instances are those of
//! <https://github.com/JeroenGar/sparrow> (`data/input`). Time is processor time, twice the seconds: what two free cores
//! spend in them, so that a busy machine does not blur it.

mod folds;
mod garments;
mod open;
mod strip;

use std::time::Duration;

use chalklight::nest::{Pace, nest};
use serde_json::Value;
use strip::Instance;

/// One search a core.
const THREADS: u64 = 2;

/// The processor time of the thread that asks.
struct Processor {
    seconds: f64,
}

impl Pace for Processor {
    fn gone_share(&self, _moves: u64) -> f64 {
        thread_time().as_secs_f64() / self.seconds
    }
}

/// What the kernel has counted for this thread: the first number of its schedstat, in nanoseconds.
fn thread_time() -> Duration {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").expect("a Linux kernel with schedstat");
    Duration::from_nanos(text.split_whitespace().next().and_then(|ns| ns.parse().ok()).expect("nanoseconds"))
}

fn main() {
    // Cargo adds --bench to what is written after the dashes.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| word != "--bench").collect();
    let [file, seconds] = &words[..words.len().min(2)] else {
        eprintln!(
            "write: cargo bench --bench nesting -- FILE.json SECONDS [SEED], garments SECONDS, open SECONDS, or folds SECONDS"
        );
        return;
    };
    let seconds: f64 = seconds.parse().expect("seconds as a number");
    match file.as_str() {
        "garments" => return garments::run(seconds),
        "folds" => return folds::run(seconds),
        "open" => return open::run(seconds),
        _ => {}
    }
    let seed: u64 = words.get(2).map_or(1, |seed| seed.parse().expect("a seed as a whole number"));
    let text = std::fs::read_to_string(file).expect("the instance's file");
    let file: Value = serde_json::from_str(&text).expect("an instance as JSON");
    let instance = Instance::of(&file).expect("an instance of strip packing");
    let seeds: Vec<u64> = (0..THREADS).map(|thread| THREADS * seed + thread).collect();
    let nesting = nest(&instance.task, &seeds, &Processor { seconds }).expect("pieces that fit the strip");
    println!("{}", instance.answer(&nesting, seconds));
}
