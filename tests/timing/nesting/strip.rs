//! An instance of strip packing: its file, its task, its answer.

use std::time::Duration;

use serde_json::{Value, json};

use crate::geometry::{Draft, Map, Outline, Point};
use crate::nest::{Home, Kind, Nesting, Pace, Task, nest};

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

/// Runs the bench: FILE SECONDS [SEED].
pub fn main_with(words: Vec<String>) {
    let [file, seconds] = &words[..words.len().min(2)] else {
        eprintln!("write: cargo bench --bench nesting -- FILE.json SECONDS [SEED]");
        return;
    };
    let seconds: f64 = seconds.parse().expect("seconds as a number");
    let seed: u64 = words.get(2).map_or(1, |seed| seed.parse().expect("a seed as a whole number"));
    let text = std::fs::read_to_string(file).expect("the instance's file");
    let file: Value = serde_json::from_str(&text).expect("an instance as JSON");
    let instance = Instance::of(&file).expect("an instance of strip packing");
    let seeds: Vec<u64> = (0..THREADS).map(|thread| THREADS * seed + thread).collect();
    let nesting = nest(&instance.task, &seeds, &Processor { seconds }).expect("pieces that fit the strip");
    println!("{}", instance.answer(&nesting, seconds));
}

/// An instance.
pub struct Instance {
    name: String,
    /// What is to be laid.
    pub task: Task,
    /// The turn of each home of each kind, and each kind's number in the file.
    degrees: Vec<Vec<f64>>,
    numbers: Vec<u64>,
}

impl Instance {
    /// Reads an instance in the form of jagua-rs 0.7.
    pub fn of(file: &Value) -> Option<Self> {
        let width_mm = file["strip_height"].as_f64()?;
        let mut instance = Self {
            name: file["name"].as_str()?.to_owned(),
            task: Task { width_mm, kinds: Vec::new(), items: Vec::new(), obstacles: Vec::new(), longest_mm: None },
            degrees: Vec::new(),
            numbers: Vec::new(),
        };
        for item in file["items"].as_array()? {
            let corner = |p: &Value| Some(Point::<Draft>::new(p[0].as_f64()?, p[1].as_f64()?));
            let corners: Option<Vec<_>> = item["shape"]["data"].as_array()?.iter().map(corner).collect();
            let outline = Outline::joining([corners?]);
            let degrees: Vec<f64> = match item["allowed_orientations"].as_array() {
                Some(list) => list.iter().filter_map(Value::as_f64).collect(),
                None => vec![0.0],
            };
            // Turned outlines wider than the strip have no place on it.
            let homes = |degrees: &f64| Some((*degrees, home(&outline, *degrees, width_mm)?));
            let (degrees, homes) = degrees.iter().filter_map(homes).unzip();
            let demand = item["demand"].as_u64()?;
            instance.task.items.extend((0..demand).map(|_| instance.task.kinds.len()));
            instance.task.kinds.push(Kind { outline, homes });
            instance.degrees.push(degrees);
            instance.numbers.push(item["id"].as_u64()?);
        }
        Some(instance)
    }

    /// The line that is printed.
    pub fn answer(&self, nesting: &Nesting, seconds: f64) -> Value {
        let placed: Vec<Value> = nesting
            .poses
            .iter()
            .zip(&self.task.items)
            .map(|(pose, kind)| {
                let degrees = self.degrees[*kind][pose.home];
                json!({"item": self.numbers[*kind], "x": pose.at.x, "y": pose.at.y, "degrees": degrees})
            })
            .collect();
        let density = 100.0 * self.task.area_mm2() / (nesting.length_mm * self.task.width_mm);
        json!({
            "instance": self.name,
            "seconds": seconds,
            "density": density,
            "length": nesting.length_mm,
            "placed": placed,
        })
    }
}

/// A turn of an outline, none when it is then wider than the strip.
fn home(outline: &Outline<Draft>, degrees: f64, width_mm: f64) -> Option<Home> {
    // Quarter turns are exact.
    let whole = |value: f64| if (value - value.round()).abs() < 1e-12 { value.round() } else { value };
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (sin, cos) = (whole(sin), whole(cos));
    let turn = Map::new(cos, sin, -sin, cos, 0.0, 0.0);
    let (low, high) = outline.mapped(&turn).bounds();
    let across_mm = [-low.y, width_mm - high.y];
    (across_mm[0] <= across_mm[1]).then_some(Home { turn, across_mm, along: None, steps: None })
}
