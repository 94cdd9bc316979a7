//! The search for misreadings, together with the search for the lens.
//!
//! Leaving out a reading i with residual r and leverage L (the part of the reading that its own fit decides) lowers the sum
//! of squares by r' (I - L)^-1 r: Baarda's test statistic (*A Testing Procedure for Use in Geodetic Networks*, 1968), here for
//! one reading or two at once. It costs no fit, so all singles and pairs are predicted and only the likeliest are fitted; from
//! there the search goes on, best first, until nothing is left that could matter. A robust fit gives it a second place to
//! start from, because gross misreadings bend a common fit beyond what a prediction can follow.

use nalgebra::{SMatrix, SVector};

use super::hypotheses::{Hypothesis, LENS_MODELS, LensModel, cost_of_leaving_out};
use super::network::{Network, Rows};
use super::start::robust;
use crate::table::sight::Unknowns;

/// Hypotheses this far below the best (in natural logarithms) weigh less than one in three thousand and are not fitted.
const WORTH_FITTING: f64 = 8.0;
/// Fits in one calibration; it bounds the time. A clean set needs some ten, two misreadings some thirty.
const MOST_FITS: usize = 120;
/// More readings than these left out, and it is not misreadings but a bad tape.
const MOST_LEFT_OUT: usize = 5;
/// Pairs are tried among this many readings, those that would gain most alone.
const PAIRED: usize = 24;
/// A reading that others check less than this (part of its weight, 0 to 1) can't be judged.
const LEAST_CHECKED: f64 = 1e-3;

/// A set of readings to leave out, and the evidence that leaving it out should have.
struct Candidate {
    model: LensModel,
    left_out: Vec<usize>,
    predicted: f64,
    start: Unknowns,
}

/// Every hypothesis that weighs anything, in no order. `models` are tried; `start` is near the table.
pub fn explore(network: &Network, models: &[LensModel], start: &Unknowns) -> Vec<Hypothesis> {
    let mut found: Vec<Hypothesis> = Vec::new();
    let mut tried: Vec<(LensModel, Vec<usize>)> = Vec::new();
    let mut waiting = first_candidates(network, models, start);
    let mut best = f64::NEG_INFINITY;
    for _ in 0..MOST_FITS {
        let next = (0..waiting.len()).max_by(|a, b| waiting[*a].predicted.total_cmp(&waiting[*b].predicted));
        let Some(candidate) = next.map(|i| waiting.swap_remove(i)) else { break };
        if candidate.predicted < best - WORTH_FITTING {
            break;
        }
        let key = (candidate.model, candidate.left_out);
        if tried.contains(&key) {
            continue;
        }
        tried.push(key.clone());
        // A fit that a misreading has bent may lead into a valley that the fit without it would never see.
        let starts = [candidate.start, *start];
        let starts = if key.1.is_empty() { &starts[..1] } else { &starts[..] };
        let Some(hypothesis) = Hypothesis::of(network, key.0, key.1, starts) else { continue };
        best = best.max(hypothesis.log_evidence);
        if hypothesis.log_evidence > best - 3.0 * WORTH_FITTING {
            waiting.extend(predict(network, &hypothesis));
        }
        waiting.retain(|c| c.predicted >= best - WORTH_FITTING);
        found.push(hypothesis);
    }
    found.retain(|h| h.log_evidence > best - 2.0 * WORTH_FITTING);
    found
}

/// Each model with every reading, and each with what a robust fit would leave out.
fn first_candidates(network: &Network, models: &[LensModel], start: &Unknowns) -> Vec<Candidate> {
    let surely = f64::INFINITY;
    let mut first: Vec<Candidate> = models
        .iter()
        .map(|model| Candidate { model: *model, left_out: Vec::new(), predicted: surely, start: *start })
        .collect();
    let model = *models.last().unwrap_or(&LENS_MODELS[0]);
    if let Some((unknowns, left_out)) = robust(network, &model.free(network), start)
        && (1..=MOST_LEFT_OUT).contains(&left_out.len())
    {
        first.push(Candidate { model, left_out, predicted: surely, start: unknowns });
    }
    first
}

/// What leaving out one more reading, or two, or keeping one after all would do to the evidence.
fn predict(network: &Network, from: &Hypothesis) -> Vec<Candidate> {
    let u = &from.fit.unknowns;
    let kept = (0..network.observations.len()).filter(|i| !from.left_out.contains(i));
    let mut checked: Vec<Checked> = kept.filter_map(|i| Checked::of(network, from, i)).collect();
    let candidate = |more: &[usize], predicted: f64| {
        let mut left_out = from.left_out.clone();
        left_out.extend(more);
        left_out.sort_unstable();
        Candidate { model: from.model, left_out, predicted: from.log_evidence + predicted, start: *u }
    };
    let mut candidates: Vec<Candidate> = Vec::new();
    if from.left_out.len() < MOST_LEFT_OUT {
        candidates.extend(checked.iter().map(|c| candidate(&[c.index], c.alone)));
    }
    if from.left_out.len() + 2 <= MOST_LEFT_OUT {
        checked.sort_by(|a, b| b.alone.total_cmp(&a.alone));
        checked.truncate(PAIRED);
        for (i, a) in checked.iter().enumerate() {
            for b in &checked[..i] {
                if let Some(gain) = pair_gain(a, b) {
                    candidates.push(candidate(&[a.index, b.index], gain));
                }
            }
        }
    }
    for i in 0..from.left_out.len() {
        let mut left_out = from.left_out.clone();
        left_out.remove(i);
        candidates.push(Candidate { model: from.model, left_out, predicted: from.log_evidence, start: *u });
    }
    let best = candidates.iter().map(|c| c.predicted).fold(from.log_evidence, f64::max);
    candidates.retain(|c| c.predicted >= best - WORTH_FITTING);
    candidates
}

/// A reading seen from the fit that it is part of.
struct Checked {
    index: usize,
    rows: Rows,
    /// Covariance times derivatives, one column an equation.
    carried: [Unknowns; 2],
    cost: f64,
    /// What leaving it out alone does to the logarithm of the evidence.
    alone: f64,
}

impl Checked {
    fn of(network: &Network, from: &Hypothesis, index: usize) -> Option<Self> {
        let observation = &network.observations[index];
        let rows = observation.rows(&from.fit.unknowns)?;
        let carried = rows.by.map(|by| from.fit.covariance * by);
        let mut checked =
            Self { index, rows, carried, cost: cost_of_leaving_out(observation), alone: f64::NEG_INFINITY };
        let mut system = Checks::new();
        system.put(0, &checked, 0, &checked);
        checked.alone = checked.cost + system.gain(&[(0, &checked)])?;
        Some(checked)
    }
}

fn pair_gain(a: &Checked, b: &Checked) -> Option<f64> {
    let mut system = Checks::new();
    system.put(0, a, 0, a);
    system.put(2, b, 2, b);
    system.put(0, a, 2, b);
    system.put(2, b, 0, a);
    Some(a.cost + b.cost + system.gain(&[(0, a), (2, b)])?)
}

/// I - L over up to four equations; unused rows are those of the identity.
struct Checks(SMatrix<f64, 4, 4>);

impl Checks {
    fn new() -> Self {
        Self(SMatrix::identity())
    }

    fn put(&mut self, row: usize, a: &Checked, column: usize, b: &Checked) {
        for i in 0..a.rows.count {
            for j in 0..b.rows.count {
                self.0[(row + i, column + j)] -= a.rows.by[i].dot(&b.carried[j]);
            }
        }
    }

    /// Half the fall of the sum of squares, less half the logarithm of the determinant.
    fn gain(&self, parts: &[(usize, &Checked)]) -> Option<f64> {
        let mut off = SVector::<f64, 4>::zeros();
        for (row, part) in parts {
            for i in 0..part.rows.count {
                off[row + i] = part.rows.off[i];
            }
        }
        let factored = self.0.cholesky()?;
        let pivots = factored.l_dirty().diagonal();
        if pivots.iter().any(|p| p * p < LEAST_CHECKED) {
            return None;
        }
        let log_det = 2.0 * pivots.iter().map(|p| p.ln()).sum::<f64>();
        Some(0.5 * (off.dot(&factored.solve(&off)) - log_det))
    }
}
