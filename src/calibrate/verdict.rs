//! What is thought of a solution: which readings are wrong, how good the rest is, and whether cloth may be cut by it.

use std::collections::BTreeMap;

use super::cause::likely_cause;
use super::hypotheses::Hypothesis;
use super::network::{Network, Observation};
use super::{Readings, refuse};
use crate::remark::Remark;
use crate::table::fit::TRUST_MM;
use crate::table::sight::Unknowns;
use crate::table::{Bound, Stand, Suspect, Table};

/// The verdict, before the bound is known.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Root mean square of the residuals that were kept.
    pub rms_mm: f64,
    /// The largest of them.
    pub largest_mm: f64,
    /// The reading that it belongs to.
    pub worst: String,
    /// Equations beyond the fewest.
    pub redundancy: usize,
    /// How many times noisier the readings are than stated; never below 1.
    pub noise: f64,
    /// Readings that are left out, or one of which is wrong.
    pub suspects: Vec<Suspect>,
    /// False where something is wrong and can't be named.
    pub sure: bool,
    /// What is to be said.
    pub remarks: Vec<Remark>,
}

/// A set of misreadings is named when it weighs this much; two readings that contradict each other alone weigh a half each.
const NAMED: f64 = 0.6;
/// Something is wrong when the clean set weighs less than all others together.
const CLEAN: f64 = 0.5;
/// Readings in sets that weigh at least this are worth taking again when none can be named.
const WORTH_REPEATING: f64 = 0.02;

/// Judges a solution.
pub fn judge(
    readings: &Readings,
    network: &Network,
    hypotheses: &[Hypothesis],
    weights: &[f64],
    unknowns: &Unknowns,
) -> Judged {
    let mut sets: BTreeMap<&[usize], f64> = BTreeMap::new();
    for (hypothesis, weight) in hypotheses.iter().zip(weights) {
        *sets.entry(&hypothesis.left_out).or_default() += weight;
    }
    let (left_out, weight) = sets.iter().max_by(|a, b| a.1.total_cmp(b.1)).map_or((&[][..], 1.0), |(s, w)| (*s, *w));
    let clean = sets.get(&[][..]).copied().unwrap_or(0.0);
    let mut judged = residuals(readings, network, left_out, unknowns);
    let best = hypotheses.iter().zip(weights).filter(|(h, _)| h.left_out == left_out).max_by(|a, b| a.1.total_cmp(b.1));
    if let Some((best, _)) = best {
        judge_noise(network, best, &mut judged);
    }
    if weight >= NAMED {
        name(readings, network, unknowns, left_out, &mut judged);
    } else if clean < CLEAN {
        notice(readings, network, unknowns, &sets, &mut judged);
    }
    if refuse::is_mirrored_against_word(readings, unknowns) {
        judged.sure = false;
        let (is, word) = if readings.hang.mirrored { ("not mirrored", "false") } else { ("mirrored", "true") };
        let says = format!("by these readings the picture lies {is} on the table");
        let how = format!("were the columns numbered from the right? If it is {is} indeed, write mirrored = {word}");
        judged.remarks.push(Remark::doubt(says).field("projector.mirrored").remedy(how));
    }
    judged
}

/// Residuals of the readings that are kept.
fn residuals(readings: &Readings, network: &Network, left_out: &[usize], unknowns: &Unknowns) -> Judged {
    let off = |o: &Observation| o.residual_mm(unknowns).map_or(f64::INFINITY, |r| r[0].hypot(r[1]));
    let kept = network.observations.iter().enumerate().filter(|(i, _)| !left_out.contains(i));
    let kept: Vec<(usize, f64)> = kept.map(|(i, o)| (i, off(o))).collect();
    let (worst, largest_mm) = kept.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or((0, 0.0), |(i, off)| (*i, *off));
    let square_sum: f64 = kept.iter().map(|(_, off)| off * off).sum();
    Judged {
        rms_mm: (square_sum / kept.len().max(1) as f64).sqrt(),
        largest_mm,
        worst: readings.readings.get(worst).map_or_else(String::new, |r| r.name()),
        redundancy: 0,
        noise: 1.0,
        suspects: Vec::new(),
        sure: true,
        remarks: Vec::new(),
    }
}

/// Tests the sum of squares against chi-square: are the readings as good as stated?
///
/// Every prior is one equation and one unknown, so the degrees of freedom are those of the readings over a bare map.
fn judge_noise(network: &Network, best: &Hypothesis, judged: &mut Judged) {
    /// One clean set in fifty is called noisy: at one in a hundred, two misreadings that bend a lens between them passed.
    const TWO_PERCENT: f64 = 2.054;
    const MAP: usize = 8;
    let equations = best.equations(network) + network.pins.len();
    let freedom = equations.saturating_sub(MAP);
    judged.redundancy = freedom;
    if freedom == 0 {
        return;
    }
    let ratio = (best.fit.chi2 + best.fit.prior_chi2) / freedom as f64;
    if normal_score(ratio, freedom as f64) > TWO_PERCENT {
        judged.noise = ratio.sqrt();
        let says =
            format!("the readings are {:.1} times as noisy as stated; the bound is widened by as much", judged.noise);
        let how = "look for a mat or table that isn't flat, a stretched tape, or a projector that moved; else state a larger sigma";
        judged.remarks.push(Remark::doubt(says).field("tape.sigma").remedy(how));
    }
}

/// The standard normal score of chi-square over its degrees of freedom (Wilson and Hilferty, *PNAS* 17, 1931).
fn normal_score(ratio: f64, freedom: f64) -> f64 {
    let variance = 2.0 / (9.0 * freedom);
    (ratio.cbrt() - (1.0 - variance)) / variance.sqrt()
}

/// Names the readings that are wrong and were left out.
fn name(readings: &Readings, network: &Network, unknowns: &Unknowns, left_out: &[usize], judged: &mut Judged) {
    for index in left_out {
        let suspect = suspect(readings, network, unknowns, *index, "left out");
        let says = format!("{} does not fit the other readings: {}", suspect.reading, suspect.says);
        let how = format!("measure {} again, or leave it out for good", suspect.reading);
        judged.remarks.push(Remark::doubt(says).field("reading").remedy(how));
        judged.suspects.push(suspect);
    }
}

/// Something is wrong, and these are the readings that it could be.
fn notice(
    readings: &Readings,
    network: &Network,
    unknowns: &Unknowns,
    sets: &BTreeMap<&[usize], f64>,
    judged: &mut Judged,
) {
    judged.sure = false;
    let mut shares: BTreeMap<usize, f64> = BTreeMap::new();
    for (set, weight) in sets {
        for index in *set {
            *shares.entry(*index).or_default() += weight;
        }
    }
    let mut likely: Vec<(usize, f64)> = shares.into_iter().filter(|(_, share)| *share >= WORTH_REPEATING).collect();
    likely.sort_by(|a, b| b.1.total_cmp(&a.1));
    judged.suspects =
        likely.iter().map(|(i, _)| suspect(readings, network, unknowns, *i, "one of these is wrong")).collect();
    let names: Vec<&str> = judged.suspects.iter().map(|s| s.reading.as_str()).collect();
    let says = "a reading is wrong, but too few others check it to tell which".to_owned();
    let how = format!("measure these again, and any other distance between them: {}", names.join(", "));
    judged.remarks.push(Remark::doubt(says).field("reading").remedy(how));
}

fn suspect(readings: &Readings, network: &Network, unknowns: &Unknowns, index: usize, fate: &str) -> Suspect {
    let reading = &readings.readings[index];
    let residual = network.observations[index].residual_mm(unknowns).unwrap_or([f64::NAN, 0.0]);
    let cause = likely_cause(readings, reading, residual, unknowns);
    Suspect { reading: reading.name(), residual_mm: residual[0].hypot(residual[1]), says: format!("{fate}; {cause}") }
}

/// So many heights of the lens outside of its light no foot lies: that is 56 degrees to the side of the picture's edge.
const MOST_ASIDE_SHARE: f64 = 1.5;

/// Whether cloth may be cut by this table, and what stands against it.
pub fn trust(bound95: &Bound, sure: bool, remarks: &mut Vec<Remark>) -> bool {
    let close = bound95.largest_mm <= TRUST_MM;
    if !close {
        let says = format!(
            "a thrown point can be {:.1} mm off ({:.1} mm on average), where cloth allows {TRUST_MM} mm, so this table is not trusted",
            bound95.largest_mm, bound95.mean_mm
        );
        remarks.push(Remark::doubt(says).field("fit").remedy("take the next readings listed below and solve again"));
    }
    close && sure
}

/// Questions a foot that lies farther outside of the light than a projector can throw to the side.
pub fn doubt_foot(table: &Table, remarks: &mut Vec<Remark>) {
    let (Some(Stand { foot_mm, height_mm }), Some([first, rest @ ..])) = (table.stand, table.lit_corners_mm()) else {
        return;
    };
    let (low, high) = rest.iter().fold((first, first), |(low, high), at| (low.min(*at), high.max(*at)));
    let off_mm = foot_mm.distance_to(foot_mm.max(low).min(high));
    if off_mm <= MOST_ASIDE_SHARE * height_mm {
        return;
    }
    let says = format!(
        "the foot lies {:.2} m outside of the light of a lens {:.2} m high, farther than a projector throws to the side",
        off_mm / 1000.0,
        height_mm / 1000.0
    );
    let how = "measure the foot from the zero that the readings start at (mark A1 with a tape, the mat's zero on a mat), \
               with a minus where it lies left of it or nearer to you; a thick stack of cloth is corrected by it";
    remarks.push(Remark::doubt(says).field("lens.foot").remedy(how));
}
