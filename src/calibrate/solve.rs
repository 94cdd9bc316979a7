//! The chain from readings to a table.

use std::collections::BTreeSet;

use super::adjust::{Adjusted, Observation, What, adjust};
use super::sight::{Frame, K1, Unknowns};
use super::{Readings, start};
use crate::remark::{Refusal, Remark, Told, told};
use crate::table::fit::TRUST_MM;
use crate::table::{Fit, KeptTable, Kind, MarkName, Record, Table};

/// The eight unknowns of a homography.
const HOMOGRAPHY: [usize; K1] = [0, 1, 2, 3, 4, 5, 6, 7];

/// Solves the table from readings.
///
/// # Errors
/// When the readings don't fix a table, with what to measure.
pub fn calibrate(readings: &Readings) -> Told<KeptTable> {
    let observations = observations(readings)?;
    let frame = Frame::of(readings.picture_px);
    let start = first_map(&observations).ok_or_else(on_a_line)?;
    let adjusted = adjust(&observations, start, &HOMOGRAPHY).ok_or_else(no_map)?;
    let table = table(readings, &frame, &adjusted)?;
    let fit = fit(readings, &adjusted);
    let mut remarks = Vec::new();
    if !fit.is_trusted() {
        let says = format!(
            "{} is {:.1} mm from where the other readings put it, more than {TRUST_MM} mm, so this table is not trusted",
            fit.worst, fit.largest_mm
        );
        remarks.push(Remark::doubt(says).field("reading").remedy(format!("measure {} again", fit.worst)));
    }
    told(KeptTable { table, screen: None, fit: Some(fit), record: Some(record(readings)) }, remarks)
}

fn observations(readings: &Readings) -> Result<Vec<Observation>, Refusal> {
    let frame = Frame::of(readings.picture_px);
    let mut marks = BTreeSet::new();
    let mut observations = Vec::new();
    for reading in &readings.readings {
        let Kind::Place { mark, at_mm } = reading.kind else { continue };
        let Some(px) = readings.grid.px(mark) else { continue };
        marks.insert(mark);
        let what = What::Place { q: frame.q(px), at_mm: [at_mm.x, at_mm.y] };
        observations.push(Observation { what, sigma_mm: readings.sigma_mm });
    }
    if marks.len() < 4 { Err(too_few(&marks)) } else { Ok(observations) }
}

fn too_few(marks: &BTreeSet<MarkName>) -> Refusal {
    let says = format!("{} marks are measured; a table needs four at least", marks.len());
    Refusal::because(Remark::refusal(says).field("reading").remedy("measure the four corner marks of the grid first"))
}

fn on_a_line() -> Refusal {
    let says = "the measured marks lie on a line, or all but one do, so they don't fix a table";
    Refusal::because(Remark::refusal(says).field("reading").remedy("measure marks in all four corners of the grid"))
}

fn no_map() -> Refusal {
    let says = "no table fits these readings";
    let how = "look for marks that were mixed up, and for a wrong unit; then measure the four corner marks again";
    Refusal::because(Remark::refusal(says).field("reading").remedy(how))
}

fn first_map(observations: &[Observation]) -> Option<Unknowns> {
    let pairs = observations.iter().map(|o| {
        let What::Place { q, at_mm } = o.what;
        (q, at_mm)
    });
    let (from, to): (Vec<_>, Vec<_>) = pairs.unzip();
    let map = start::homography(&from, &to)?;
    let scaled = map / map[(2, 2)];
    let mut unknowns = Unknowns::zeros();
    for (i, value) in HOMOGRAPHY.iter().zip(scaled.transpose().iter()) {
        unknowns[*i] = *value;
    }
    unknowns.iter().all(|v| v.is_finite()).then_some(unknowns)
}

fn table(readings: &Readings, frame: &Frame, adjusted: &Adjusted) -> Result<Table, Refusal> {
    let homography = frame.homography(&adjusted.unknowns).ok_or_else(no_map)?;
    let lens = frame.lens(&adjusted.unknowns);
    let table = Table { picture_px: readings.picture_px, homography, lens, stand: readings.stand };
    if table.is_sound() { Ok(table) } else { Err(no_map()) }
}

fn fit(readings: &Readings, adjusted: &Adjusted) -> Fit {
    let lengths: Vec<f64> = adjusted.residuals_mm.iter().map(|r| r[0].hypot(r[1])).collect();
    let mean_square = lengths.iter().map(|r| r * r).sum::<f64>() / lengths.len() as f64;
    let largest = lengths.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1));
    let (index, largest_mm) = largest.map_or((0, 0.0), |(i, r)| (i, *r));
    Fit {
        rms_mm: mean_square.sqrt(),
        largest_mm,
        worst: readings.readings[index].name(),
        redundancy: 2 * lengths.len() - HOMOGRAPHY.len(),
        model: "homography".to_owned(),
        suspects: Vec::new(),
        date: None,
    }
}

fn record(readings: &Readings) -> Record {
    Record { marks: readings.grid.marks.clone(), sigma_mm: readings.sigma_mm, readings: readings.readings.clone() }
}
