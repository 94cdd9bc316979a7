//! How long a calibration of 45 marks takes, beside the same fit in SciPy, in one run.
//!
//! `cargo bench --bench solve`; SciPy is run by the Python that CHALKLIGHT_PYTHON names, the one that
//! `make test` sets up, or `python3`.

#[path = "../tables/synthetic.rs"]
mod synthetic;

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Instant;

use chalklight::calibrate::{Readings, calibrate};
use chalklight::geometry::Point;
use chalklight::table::Kind;
use synthetic::{Chance, Manner, Projector, misread, read};

const MARKS: Manner = Manner { columns: 9, rows: 5, sigma_mm: 0.5, distances: None };

fn main() {
    let mut chance = Chance(4545);
    let projector = Projector::with_lens(&mut chance, 0.04);
    let clean = read(&projector, MARKS, &mut chance);
    let mut wrong = clean.clone();
    misread(&mut wrong, 2, &mut chance);
    let clean_ms = best_ms(&clean);
    println!(
        "45 marks, all models, bound and misreadings: {clean_ms:.2} ms; with two misreadings: {:.2} ms",
        best_ms(&wrong)
    );
    match scipy(&clean) {
        Some((scipy_ms, off_mm)) => {
            println!(
                "SciPy, all models and bound, no misreadings: {scipy_ms:.1} ms, {:.0} times as long",
                scipy_ms / clean_ms
            );
            println!("Both put the picture's middle in the same place to {off_mm:.3} mm.");
        }
        None => println!("SciPy was not run: no python3 with scipy here (set CHALKLIGHT_PYTHON)."),
    }
}

/// The best of thirty runs; anything longer was another program's doing.
fn best_ms(readings: &Readings) -> f64 {
    let once = || {
        let began = Instant::now();
        std::hint::black_box(calibrate(std::hint::black_box(readings)).expect("a table"));
        1000.0 * began.elapsed().as_secs_f64()
    };
    (0..30).map(|_| once()).fold(f64::INFINITY, f64::min)
}

/// SciPy's best time, and how far its averaged middle of the picture lies from ours.
fn scipy(readings: &Readings) -> Option<(f64, f64)> {
    let rows: Vec<[f64; 4]> = readings
        .readings
        .iter()
        .filter_map(|r| match r.kind {
            Kind::Place { mark, at_mm } => {
                let px = readings.grid.marks[&mark];
                Some([px.x, px.y, at_mm.x, at_mm.y])
            }
            Kind::Distance { .. } => None,
        })
        .collect();
    let [w, h] = readings.picture_px;
    let given = format!("{{\"size\": [{w}, {h}], \"sigma\": {}, \"readings\": {rows:?}}}", readings.noise_mm());
    let own = concat!(env!("CARGO_MANIFEST_DIR"), "/target/venv/bin/python");
    let usual = if std::path::Path::new(own).is_file() { own } else { "python3" };
    let python = std::env::var("CHALKLIGHT_PYTHON").unwrap_or_else(|_| usual.to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/timing/solve_scipy.py");
    let mut child = Command::new(python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    child.stdin.take()?.write_all(given.as_bytes()).ok()?;
    let output = child.wait_with_output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    let numbers: Vec<f64> = text.split_whitespace().filter_map(|n| n.parse().ok()).collect();
    let [seconds, x, y] = numbers[..] else { return None };
    let table = calibrate(readings).ok()?.value.table;
    let middle = table.mm_from_px(Point::new(f64::from(w) / 2.0, f64::from(h) / 2.0))?;
    Some((1000.0 * seconds, (middle - Point::new(x, y)).length()))
}
