//! What the proof by three distances notices, on tables whose truth is known: prints the README's table of it.
//!
//! `cargo bench --bench proof` draws 1,000 tables a line; `-- 200` draws fewer.

#[path = "../tables/synthetic.rs"]
mod synthetic;

use chalklight::calibrate::calibrate;
use chalklight::calibrate::proof::{Proof, distances, prove};
use chalklight::table::{KeptTable, Kind, MarkName, Reading};
use synthetic::{Chance, Manner, Projector, read};

/// What happened to the projector.
#[derive(Clone, Copy)]
enum Knock {
    Nothing,
    /// Raised by this share of its height.
    Raised(f64),
    /// Tilted in its mount by so many degrees.
    Tilted(f64),
}

const KNOCKS: [(&str, Knock); 8] = [
    ("nothing", Knock::Nothing),
    ("raised by 0.2 %", Knock::Raised(0.002)),
    ("raised by 0.5 %", Knock::Raised(0.005)),
    ("raised by 1 %", Knock::Raised(0.01)),
    ("tilted by 0.25 degrees", Knock::Tilted(0.25)),
    ("tilted by 0.5 degrees", Knock::Tilted(0.5)),
    ("tilted by 1 degree", Knock::Tilted(1.0)),
    ("tilted by 2 degrees", Knock::Tilted(2.0)),
];

/// A tape is read to the millimetre at the table, with this noise before.
const SIGMA_MM: f64 = 0.5;

fn main() {
    let draws: usize = std::env::args().skip(1).find_map(|a| a.parse().ok()).unwrap_or(1000);
    println!("| readings | what happened | holds | moved | broken | off mm where it held | off mm as corrected |");
    println!("|---|---|---|---|---|---|---|");
    for (name, distances) in [("5x3 places, 0.5 mm", None), ("5x3, 16 distances, 0.5 mm", Some(16))] {
        let manner = Manner { columns: 5, rows: 3, sigma_mm: SIGMA_MM, distances };
        for (i, (knock_name, knock)) in KNOCKS.iter().enumerate() {
            run(&format!("{name} | {knock_name}"), (manner, *knock), draws, &mut Chance(700 + i as u64));
        }
    }
}

fn run(name: &str, (manner, knock): (Manner, Knock), draws: usize, chance: &mut Chance) {
    let (mut held, mut moved, mut broken) = (Vec::new(), Vec::new(), 0);
    for _ in 0..draws {
        let before = Projector::blind(chance);
        let Ok(solved) = calibrate(&read(&before, manner, chance)) else { continue };
        let kept = solved.value;
        let now = knocked(&before, knock, chance);
        let taped: Vec<Reading> = distances(&kept)
            .into_iter()
            .map(|[from, to]| {
                let distance_mm = (apart_mm(&kept, &now, [from, to]) + SIGMA_MM * chance.normal()).round();
                Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 }
            })
            .collect();
        match prove(&kept, &taped) {
            Some(Proof::Holds) => held.push(off_mm(&kept, &now)),
            Some(Proof::Moved(change, _)) => moved.extend(change.made(&kept).map(|made| off_mm(&made, &now))),
            _ => broken += 1,
        }
    }
    let part = |n: usize| 100.0 * n as f64 / draws as f64;
    let mean = |all: &[f64]| match all.len() {
        0 => "-".to_owned(),
        n => format!("{:.1}", all.iter().sum::<f64>() / n as f64),
    };
    let (holds, moves) = (part(held.len()), part(moved.len()));
    println!("| {name} | {holds:.1} % | {moves:.1} % | {:.1} % | {} | {} |", part(broken), mean(&held), mean(&moved));
}

fn knocked(before: &Projector, knock: Knock, chance: &mut Chance) -> Projector {
    let mut now = before.clone();
    match knock {
        Knock::Nothing => {}
        Knock::Raised(share) => now.lens_mm[2] *= 1.0 + share,
        Knock::Tilted(degrees) => {
            // About an axis of chance through the lens, square to its ray.
            let (sin, cos) = degrees.to_radians().sin_cos();
            let [right, down, ahead] = before.axes;
            let (s, c) = chance.between(0.0, std::f64::consts::TAU).sin_cos();
            let mix = |a: [f64; 3], x: f64, b: [f64; 3], y: f64| [0, 1, 2].map(|i| x * a[i] + y * b[i]);
            let (toward, axis) = (mix(right, c, down, s), mix(right, -s, down, c));
            let (turned, front) = (mix(toward, cos, ahead, sin), mix(ahead, cos, toward, -sin));
            now.axes = [mix(turned, c, axis, -s), mix(turned, s, axis, c), front];
        }
    }
    now
}

fn apart_mm(kept: &KeptTable, truth: &Projector, [a, b]: [MarkName; 2]) -> f64 {
    let marks = &kept.record.as_ref().expect("a record").marks;
    (truth.mm(marks[&a]) - truth.mm(marks[&b])).length()
}

/// The largest error of a length among the marks: what a cut line would be too long or too short.
fn off_mm(kept: &KeptTable, truth: &Projector) -> f64 {
    let marks: Vec<_> = kept.record.as_ref().expect("a record").marks.values().copied().collect();
    let at: Vec<_> = marks.iter().map(|px| (kept.table.mm_from_px(*px).expect("a point"), truth.mm(*px))).collect();
    let pairs = at.iter().enumerate().flat_map(|(i, a)| at[i + 1..].iter().map(move |b| (a, b)));
    pairs.map(|(a, b)| ((a.0 - b.0).length() - (a.1 - b.1).length()).abs()).fold(0.0, f64::max)
}
