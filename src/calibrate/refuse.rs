//! Readings that fix no table, in words, with what to measure instead.

use super::Readings;
use super::network::Network;
use crate::remark::{Refusal, Remark};
use crate::table::sight::{Frame, Unknowns, sight};
use crate::table::{Kind, MarkName};
use crate::units::INCH_MM;

fn because(says: String, how: String) -> Refusal {
    Refusal::because(Remark::refusal(says).field("reading").remedy(how))
}

/// Refuses fewer equations than a bare map has unknowns.
///
/// # Errors
/// With the readings to begin with.
pub fn too_few(readings: &Readings, network: &Network) -> Result<(), Refusal> {
    const MAP: usize = 8;
    const SHAPE: usize = 5;
    let places = readings.places().len();
    let needed = if places == 0 { SHAPE + 1 } else { MAP };
    let have = network.equations();
    if have >= needed {
        return Ok(());
    }
    let how = match places {
        0 => format!("measure the six distances among the corner marks: {}", six_distances(readings)),
        _ => "measure four marks on the mat, one in each corner of the grid".to_owned(),
    };
    Err(because(format!("{} readings don't make a table", readings.readings.len()), how))
}

/// No table fits: the readings leave it loose, or contradict each other in every way.
pub fn no_table(readings: &Readings) -> Refusal {
    let marks: std::collections::BTreeSet<MarkName> = readings.readings.iter().flat_map(|r| r.marks()).collect();
    if marks.len() < 4 || on_a_line(readings, &marks) {
        let says = "the measured marks lie on a line, or all but one do, so they don't fix a table".to_owned();
        return because(says, "measure marks in all four corners of the grid".to_owned());
    }
    let says = "no table fits these readings: they leave it loose, or contradict each other".to_owned();
    let how = match readings.places().len() {
        0 => format!("look for mixed-up marks and wrong units, then measure {}", six_distances(readings)),
        _ => "look for mixed-up marks and wrong units, then measure the four corner marks again".to_owned(),
    };
    because(says, how)
}

/// Whether all marks, or all but one, lie on a line of the picture.
fn on_a_line(readings: &Readings, marks: &std::collections::BTreeSet<MarkName>) -> bool {
    let at: Vec<_> = marks.iter().filter_map(|m| readings.grid.px(*m)).collect();
    let straight = |skip: usize| {
        let kept: Vec<_> = at.iter().enumerate().filter(|(i, _)| *i != skip).map(|(_, p)| *p).collect();
        let Some(first) = kept.first() else { return true };
        let Some(far) = kept.iter().max_by(|a, b| (**a - *first).length().total_cmp(&(**b - *first).length())) else {
            return true;
        };
        let along = *far - *first;
        kept.iter().all(|p| along.cross(*p - *first).abs() <= 1e-6 * along.square_length())
    };
    (0..=at.len()).any(straight)
}

/// The six distances among the outermost marks, in words.
fn six_distances(readings: &Readings) -> String {
    let corners = readings.grid.corners();
    let mut names = Vec::new();
    for (i, a) in corners.iter().enumerate() {
        names.extend(corners[i + 1..].iter().map(|b| format!("{a} to {b}")));
    }
    names.join(", ")
}

/// Refuses tables far larger or smaller than any, and says in which unit they would be likely.
///
/// # Errors
/// With the unit that was probably meant.
pub fn wrong_unit(readings: &Readings, start: &Unknowns) -> Result<(), Refusal> {
    const LARGEST_MM: f64 = 10_000.0;
    const SMALLEST_MM: f64 = 300.0;
    /// Corner to corner of a picture that a dress length lies under.
    const USUAL_MM: f64 = 1800.0;
    let frame = Frame::of(readings.picture_px);
    let corners: Vec<[f64; 2]> = readings
        .grid
        .corners()
        .iter()
        .filter_map(|m| sight(start, frame.q(readings.grid.px(*m)?)).map(|s| s.mm))
        .collect();
    let across = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let size_mm = corners.iter().flat_map(|a| corners.iter().map(move |b| across(a, b))).fold(0.0, f64::max);
    if size_mm == 0.0 || (SMALLEST_MM..=LARGEST_MM).contains(&size_mm) {
        return Ok(());
    }
    let says =
        format!("by these readings the marks reach {:.2} m from corner to corner, which is no table", size_mm / 1000.0);
    let meant = [(INCH_MM, "inches"), (10.0, "centimetres"), (1000.0, "metres"), (12.0 * INCH_MM, "feet")];
    let usual = |mm: f64| (mm / USUAL_MM).ln().abs();
    let likeliest = |size_by: &dyn Fn(f64) -> f64| {
        let sizes = meant.iter().map(|(factor, unit)| (size_by(*factor), *unit));
        sizes.filter(|(mm, _)| (400.0..=5000.0).contains(mm)).min_by(|a, b| usual(a.0).total_cmp(&usual(b.0)))
    };
    let how = if size_mm > LARGEST_MM {
        likeliest(&|factor| size_mm / factor).map(|(mm, unit)| {
            format!("were millimetres written as {unit}? Then it would be {:.2} m: write \"mm\"", mm / 1000.0)
        })
    } else {
        likeliest(&|factor| size_mm * factor).map(|(mm, unit)| {
            format!("were {unit} written as millimetres? Then it would be {:.2} m: write the unit", mm / 1000.0)
        })
    };
    Err(because(says, how.unwrap_or_else(|| "look at the unit of the readings".to_owned())))
}

/// Whether the places show the picture mirrored while the file says that it is not, or the other way round.
pub fn is_mirrored_against_word(readings: &Readings, u: &Unknowns) -> bool {
    let places = readings.readings.iter().filter(|r| matches!(r.kind, Kind::Place { .. })).count();
    let turn = (u[0] - u[2] * u[6]) * (u[4] - u[5] * u[7]) - (u[1] - u[2] * u[7]) * (u[3] - u[5] * u[6]);
    places >= 3 && (turn > 0.0) != readings.hang.mirrored
}
