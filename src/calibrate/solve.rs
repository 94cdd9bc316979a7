//! The chain from readings to a table, and what is said about it.

use super::average::{Average, average, heaviest};
use super::hypotheses::{Hypothesis, LENS_MODELS, LensModel, weights};
use super::network::Network;
use super::slips::explore;
use super::start::first_map;
use super::verdict::{self, Judged};
use super::{Readings, refuse};
use crate::remark::{Refusal, Remark, Told, told};
use crate::table::bound::lattice;
use crate::table::sight::{FOOT, Frame, HEIGHT, Unknowns, sight};
use crate::table::{Fit, KeptTable, Record, Spread, Stand, Table};

/// A hypothesis that weighs less than this says nothing that the bound would show.
const NEGLIGIBLE: f64 = 1e-4;

/// Solves the table from readings.
///
/// # Errors
/// When the readings don't fix a table, or one of a size that no table has, with what to measure or write.
pub fn calibrate(readings: &Readings) -> Told<KeptTable> {
    solve(readings, refuse::wrong_unit)
}

/// Solves a plane of any size from readings, such as that of a card in a photo.
///
/// # Errors
/// When the readings don't fix it, with what to measure.
pub fn calibrate_plane(readings: &Readings) -> Told<KeptTable> {
    solve(readings, |_, _| Ok(()))
}

fn solve(readings: &Readings, refused: impl Fn(&Readings, &Unknowns) -> Result<(), Refusal>) -> Told<KeptTable> {
    let network = Network::of(readings);
    refuse::too_few(readings, &network)?;
    let start = first_map(readings, &network).ok_or_else(|| refuse::no_table(readings))?;
    refused(readings, &start)?;
    let (hypotheses, weights) = weigh(readings, &network, &start);
    let best = heaviest(&hypotheses, &weights).ok_or_else(|| refuse::no_table(readings))?;
    let averaged = average(&network, readings.picture_px, &hypotheses, &weights);
    let Average { unknowns, covariance } = averaged.ok_or_else(|| refuse::no_table(readings))?;
    let table = table(readings, &network, &unknowns, best)?;
    let judged = verdict::judge(readings, &network, &hypotheses, &weights, &unknowns);
    let spread = Spread { covariance: covariance * judged.noise.powi(2), tape_class: readings.tape_class };
    let (fit, mut remarks) = fit(readings, &table, best, spread, judged)?;
    verdict::doubt_foot(&table, &mut remarks);
    told(KeptTable { table, screen: None, fit: Some(fit), record: Some(record(readings)) }, remarks)
}

fn weigh(readings: &Readings, network: &Network, start: &Unknowns) -> (Vec<Hypothesis>, Vec<f64>) {
    let models = if readings.lens.known.is_some() { &[LensModel::Bare][..] } else { &LENS_MODELS[..] };
    let frame = Frame::of(readings.picture_px);
    let mut hypotheses = explore(network, models, start);
    hypotheses.retain(|h| lattice(readings.picture_px).all(|at| sight(&h.fit.unknowns, frame.q(at)).is_some()));
    let raw = weights(&hypotheses);
    let mut raw = raw.into_iter();
    hypotheses.retain(|_| raw.next().is_some_and(|w| w >= NEGLIGIBLE));
    let kept = weights(&hypotheses);
    (hypotheses, kept)
}

fn table(readings: &Readings, network: &Network, unknowns: &Unknowns, best: &Hypothesis) -> Result<Table, Refusal> {
    let frame = Frame::of(readings.picture_px);
    let homography = frame.homography(unknowns).ok_or_else(|| refuse::no_table(readings))?;
    let stand = if network.has_board() { solved_stand(best) } else { readings.stand };
    let table = Table { picture_px: readings.picture_px, homography, lens: frame.lens(unknowns), stand };
    if table.is_sound() { Ok(table) } else { Err(refuse::no_table(readings)) }
}

/// The stand that readings on a board show; none where they don't show it well enough to correct a stack by.
fn solved_stand(best: &Hypothesis) -> Option<Stand> {
    const GOOD_ENOUGH_MM: f64 = 100.0;
    let (u, covariance) = (&best.fit.unknowns, &best.fit.covariance);
    let known = (FOOT..=HEIGHT).all(|k| covariance[(k, k)] < GOOD_ENOUGH_MM * GOOD_ENOUGH_MM);
    let foot_mm = crate::geometry::Point::new(u[FOOT], u[FOOT + 1]);
    known.then_some(Stand { foot_mm, height_mm: u[HEIGHT] })
}

fn fit(
    readings: &Readings,
    table: &Table,
    best: &Hypothesis,
    spread: Spread,
    judged: Judged,
) -> Result<(Fit, Vec<Remark>), Refusal> {
    let bound95 = spread.over_lit_area(table).ok_or_else(|| refuse::no_table(readings))?;
    let mut remarks = judged.remarks;
    let trusted = verdict::trust(&bound95, judged.sure, &mut remarks);
    let fit = Fit {
        rms_mm: judged.rms_mm,
        largest_mm: judged.largest_mm,
        worst: judged.worst,
        redundancy: judged.redundancy,
        model: best.model.name().to_owned(),
        noise: judged.noise,
        suspects: judged.suspects,
        bound95,
        spread,
        trusted,
        date: None,
    };
    Ok((fit, remarks))
}

fn record(readings: &Readings) -> Record {
    Record { marks: readings.grid.marks.clone(), sigma_mm: readings.sigma_mm, readings: readings.readings.clone() }
}
