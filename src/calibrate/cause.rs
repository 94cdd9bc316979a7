//! What may have gone wrong with a reading: the slips that tapes and pencils are known for (common practice, no source).

use super::Readings;
use crate::table::sight::{Frame, Unknowns, sight_on_board};
use crate::table::{Kind, MarkName, Reading};
use crate::units::INCH_MM;

/// The likeliest slip, with what should have been read. `residual` is sighted minus read.
pub fn likely_cause(readings: &Readings, reading: &Reading, residual: [f64; 2], u: &Unknowns) -> String {
    let near_mm = (4.0 * readings.noise_mm()).max(2.0);
    match reading.kind {
        Kind::Place { mark, at_mm } => {
            let expected = [at_mm.x + residual[0], at_mm.y + residual[1]];
            let should = format!("{mark} should read about {:.0} mm, {:.0} mm", expected[0], expected[1]);
            if let Some(other) = other_mark(readings, mark, at_mm.to_array(), reading.height_mm, u) {
                return format!("{should}; this is where {other} lies");
            }
            let slips: Vec<String> = [("x", at_mm.x, expected[0]), ("y", at_mm.y, expected[1])]
                .into_iter()
                .filter(|(_, read, expected)| (read - expected).abs() > near_mm)
                .filter_map(|(axis, read, expected)| Some(format!("{axis}: {}", slip(read, expected, near_mm)?)))
                .collect();
            if slips.is_empty() { should } else { format!("{should}; {}", slips.join(", ")) }
        }
        Kind::Distance { from, to, distance_mm } => {
            let expected = distance_mm + residual[0];
            let should = format!("{from} to {to} should read about {expected:.0} mm");
            match slip(distance_mm, expected, near_mm) {
                Some(slip) => format!("{should}; {slip}"),
                None => should,
            }
        }
    }
}

/// The mark that lies where this one was read.
fn other_mark(readings: &Readings, mark: MarkName, at: [f64; 2], board_mm: f64, u: &Unknowns) -> Option<MarkName> {
    const SAME_PLACE_MM: f64 = 6.0;
    let frame = Frame::of(readings.picture_px);
    let off = |px| {
        let sighted = sight_on_board(u, frame.q(px), board_mm)?.mm;
        Some((sighted[0] - at[0]).hypot(sighted[1] - at[1]))
    };
    let others = readings.grid.marks.iter().filter(|(other, _)| **other != mark);
    others.filter(|(_, px)| off(**px).is_some_and(|off| off < SAME_PLACE_MM)).map(|(other, _)| *other).next()
}

/// The slip that turns `expected` into `read`, if it is one of the known ones.
fn slip(read: f64, expected: f64, near_mm: f64) -> Option<String> {
    let near = |a: f64, b: f64| (a - b).abs() <= near_mm;
    for (factor, what) in [(INCH_MM, "inches for millimetres"), (10.0, "centimetres for millimetres")] {
        if near(read * factor, expected) || near(read / factor, expected) {
            return Some(format!("{what}, or the other way round?"));
        }
    }
    if swaps(read).any(|swapped| near(swapped, expected)) {
        return Some("two digits swapped?".to_owned());
    }
    for (step, what) in [(INCH_MM, "an inch"), (1000.0, "a metre"), (100.0, "100 mm"), (10.0, "10 mm")] {
        if near((read - expected).abs(), step) {
            return Some(format!("{what} misread?"));
        }
    }
    None
}

/// The value with two neighbouring digits of its whole millimetres swapped, in every way.
fn swaps(read: f64) -> impl Iterator<Item = f64> {
    let (whole, part) = (read.abs().trunc(), read.abs().fract());
    let digits: Vec<char> = format!("{whole:.0}").chars().collect();
    (1..digits.len()).filter_map(move |i| {
        let mut swapped = digits.clone();
        swapped.swap(i - 1, i);
        let value: f64 = swapped.into_iter().collect::<String>().parse().ok()?;
        Some((value + part).copysign(read))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_slips_are_recognised() {
        for (read, expected, says) in [
            (812.0, 821.4, Some("two digits swapped?")),
            (1204.5, 1179.0, Some("an inch misread?")),
            (47.4, 1204.5, Some("inches for millimetres, or the other way round?")),
            (120.5, 1204.9, Some("centimetres for millimetres, or the other way round?")),
            (304.5, 1304.0, Some("a metre misread?")),
            (500.0, 537.0, None),
        ] {
            assert_eq!(slip(read, expected, 2.0).as_deref(), says, "{read} for {expected}");
        }
    }
}
