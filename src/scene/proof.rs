//! The proof: a rule and a diagonal of known length, to hold the tape against before anything is cut.
//!
//! The two make a right-angled triangle of sides 4 and 5 (the third is 3): the rule tells the scale along, the diagonal
//! tells scale across and squareness at once.

use super::label::upright;
use super::{Letters, Light, Marks, Stroke, View};
use crate::geometry::{Cloth, Point, Vector};
use crate::stages::reach::Window;
use crate::units::{INCH_MM, System};

/// Units of the triangle to choose from, largest first; the rule is four of them, the diagonal five.
const METRIC_UNITS_MM: [f64; 9] = [200.0, 160.0, 150.0, 120.0, 100.0, 80.0, 60.0, 40.0, 20.0];
const INCH_UNITS: [f64; 8] = [8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0];

/// Widths of the measured lines and their ticks.
const LINE_MM: f64 = 1.2;
const TICK_MM: f64 = 0.8;

/// The lengths of the rule and the diagonal that fit on cloth of this length and folded width.
pub fn lengths_mm([along_mm, across_mm]: [f64; 2], system: System) -> [f64; 2] {
    let fits = |unit: &f64| 4.4 * unit <= along_mm && 3.4 * unit <= across_mm;
    let (units, smallest): (Vec<f64>, f64) = match system {
        System::Metric => (METRIC_UNITS_MM.to_vec(), METRIC_UNITS_MM[8]),
        System::Inch => (INCH_UNITS.map(|inches| inches * INCH_MM).to_vec(), INCH_MM),
    };
    let unit = units.into_iter().find(fits).unwrap_or(smallest);
    [4.0 * unit, 5.0 * unit]
}

/// Draws rule and diagonal in the middle of a part of the cloth: on it, since the tape lies on the stack and not on the
/// table.
pub fn proof(window: Window, view: &View, light: Light) -> Marks<Cloth> {
    let size = window.size_mm();
    let [rule_mm, diagonal_mm] = lengths_mm([size.x, size.y], view.system);
    let start = window.low_mm + Vector::new((size.x - rule_mm) / 2.0, (size.y - 0.75 * rule_mm) / 2.0);
    let mut marks = Marks::default();
    measured(&mut marks, (start, Vector::new(1.0, 0.0), rule_mm), view.system, (view.cap_mm, light));
    measured(&mut marks, (start, Vector::new(0.8, 0.6), diagonal_mm), view.system, (view.cap_mm, light));
    marks.letters.iter_mut().for_each(|letters| upright(letters, view.reads_cloth()));
    marks
}

/// A line with ticks to its left, and its length written at its end.
fn measured(
    marks: &mut Marks<Cloth>,
    (start, along, length_mm): (Point<Cloth>, Vector<Cloth>, f64),
    system: System,
    (cap_mm, light): (f64, Light),
) {
    let across = Vector::new(-along.y, along.x);
    let mut stroke = |from: Point<Cloth>, to: Point<Cloth>, width_mm: f64| {
        marks.strokes.push(Stroke { points: vec![from, to], closed: false, width_mm, light });
    };
    stroke(start, start + along * length_mm, LINE_MM);
    let (step_mm, each) = match system {
        System::Metric => (10.0, 10),
        System::Inch => (INCH_MM, 6),
    };
    let ticks = (length_mm / step_mm).round() as usize;
    for i in 0..=ticks {
        let tick_mm = if i % each == 0 || i == ticks { 16.0 } else { 7.0 };
        let foot = start + along * (step_mm * i as f64);
        stroke(foot, foot + across * tick_mm, TICK_MM);
    }
    for i in (each..ticks).step_by(each) {
        let at = start + along * (step_mm * i as f64 + 2.0) + across * 18.0;
        marks.letters.push(Letters { text: system.show(step_mm * i as f64), at, along, cap_mm: cap_mm * 0.7, light });
    }
    let text = format!("measure {}", system.show(length_mm));
    let at = start + along * (length_mm * 0.5 - text.len() as f64 * cap_mm * 0.41) - across * (cap_mm * 1.6);
    marks.letters.push(Letters { text, at, along, cap_mm, light });
}
