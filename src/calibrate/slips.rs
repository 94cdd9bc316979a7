//! The search for misreadings, together with the search for the lens.
//!
//! Leaving out a reading i with residual r and leverage L (the part of the reading that its own fit decides) lowers the sum
//! of squares by r' (I - L)^-1 r: Baarda's test statistic (*A Testing Procedure for Use in Geodetic Networks*, 1968), here for
//! one reading or two at once. It costs no fit, so all singles and pairs are predicted and only the likeliest are fitted; from
//! there the search goes on, best first, until nothing is left that could matter. A robust fit gives it a second place to
//! start from, because gross misreadings bend a common fit beyond what a prediction can follow.

use nalgebra::{SMatrix, SVector};

use super::hypotheses::{Hypothesis, LensModel, cost_of_leaving_out};
use super::network::{Network, Rows};
use super::start::robust;
use crate::table::sight::Unknowns;

/// Hypotheses this far below the best (in natural logarithms) weigh less than one in three thousand and are not fitted.
const WORTH_FITTING: f64 = 8.0;
/// Fits in one calibration; it bounds the time. A clean set needs some ten, two misreadings some thirty.
const MOST_FITS: usize = 120;
/// More readings than these left out, and it is not misreadings but a bad tape.
const MOST_LEFT_OUT: usize = 5;
/// A fit this close to its prediction needs no second start.
const NEAR_ENOUGH: f64 = 2.0;
/// Pairs are tried among this many readings, those that would gain most alone.
const PAIRED: usize = 24;
/// A reading that others check less than this (part of its weight, 0 to 1) can't be judged.
const LEAST_CHECKED: f64 = 1e-3;

/// A hypothesis that may be worth fitting, and the evidence that it should have.
struct Candidate {
    model: LensModel,
    left_out: Vec<usize>,
    predicted: f64,
    start: Unknowns,
}

/// Every hypothesis that weighs anything, in no order. `models` are tried, the richest last; `start` is near the table.
pub fn explore(network: &Network, models: &[LensModel], start: &Unknowns) -> Vec<Hypothesis> {
    let mut search =
        Search { network, models, start: *start, waiting: Vec::new(), tried: Vec::new(), found: Vec::new() };
    search.begin();
    search.run();
    if search.is_doubtful() {
        search.try_every_pair();
        search.run();
    }
    for hypothesis in &mut search.found {
        hypothesis.log_evidence = hypothesis.log_evidence_in_any_noise(network);
    }
    let best = search.best();
    search.found.retain(|h| h.log_evidence > best - 2.0 * WORTH_FITTING);
    search.found
}

/// The search as it stands.
struct Search<'a> {
    network: &'a Network,
    models: &'a [LensModel],
    start: Unknowns,
    waiting: Vec<Candidate>,
    tried: Vec<(LensModel, Vec<usize>)>,
    found: Vec<Hypothesis>,
}

impl Search<'_> {
    /// What a robust fit would leave out, and every model with every reading.
    fn begin(&mut self) {
        let Some(richest) = self.models.last().copied() else { return };
        let (start, surely) = (self.start, f64::INFINITY);
        if let Some((unknowns, left_out)) = robust(self.network, &richest.free(self.network), &start)
            && (1..=MOST_LEFT_OUT).contains(&left_out.len())
        {
            self.fit(Candidate { model: richest, left_out, predicted: surely, start: unknowns });
        }
        self.fit(Candidate { model: richest, left_out: Vec::new(), predicted: surely, start });
        // The richest model fits best, so a poorer one can't have more evidence than its sum of squares leaves.
        let clean = self.found.iter().find(|h| h.left_out.is_empty());
        let (predicted, start) = clean.map_or((surely, start), |h| (-0.5 * h.fit.chi2, h.fit.unknowns));
        for model in self.models.iter().filter(|model| **model != richest) {
            self.waiting.push(Candidate { model: *model, left_out: Vec::new(), predicted, start });
        }
    }

    /// Fits what waits, likeliest first, until nothing is left that could matter.
    fn run(&mut self) {
        for _ in 0..MOST_FITS {
            let Some(candidate) = self.likeliest() else { break };
            self.fit(candidate);
        }
    }

    /// Whether what was found so far is hard to believe: many misreadings, or a bad fit without them.
    fn is_doubtful(&self) -> bool {
        const MANY: usize = 3;
        let best = self.found.iter().max_by(|a, b| a.log_evidence.total_cmp(&b.log_evidence));
        best.is_none_or(|h| h.left_out.len() >= MANY || h.fit.total() > 3.0 * h.equations(self.network) as f64)
    }

    /// Among few readings a bent fit can hide the right pair from every prediction; then all pairs are fitted.
    fn try_every_pair(&mut self) {
        const FEW: usize = 24;
        let count = self.network.observations.len();
        let Some(model) = self.models.last().copied().filter(|_| count <= FEW) else { return };
        for i in 0..count {
            for j in i..count {
                let left_out = if i == j { vec![i] } else { vec![i, j] };
                if !self.tried.iter().any(|(m, l)| *m == model && *l == left_out) {
                    self.fit(Candidate { model, left_out, predicted: f64::NEG_INFINITY, start: self.start });
                }
            }
        }
    }

    fn best(&self) -> f64 {
        self.found.iter().map(|h| h.log_evidence).fold(f64::NEG_INFINITY, f64::max)
    }

    /// The likeliest candidate that is worth fitting.
    fn likeliest(&mut self) -> Option<Candidate> {
        let least = self.best() - WORTH_FITTING;
        let tried = &self.tried;
        self.waiting.retain(|c| c.predicted >= least && !tried.iter().any(|(m, l)| *m == c.model && *l == c.left_out));
        let next =
            (0..self.waiting.len()).max_by(|a, b| self.waiting[*a].predicted.total_cmp(&self.waiting[*b].predicted));
        next.map(|i| self.waiting.swap_remove(i))
    }

    /// Fits a candidate and lets what is learnt from it wait.
    fn fit(&mut self, candidate: Candidate) {
        let Candidate { model, left_out, predicted, start } = candidate;
        self.tried.push((model, left_out.clone()));
        let fitted = |start: &Unknowns| Hypothesis::of(self.network, model, left_out.clone(), start);
        let mut hypothesis = fitted(&start);
        // A fit that a misreading has bent may lead into a valley that the fit without it would never see.
        if hypothesis.as_ref().is_none_or(|h| h.log_evidence < predicted - NEAR_ENOUGH) && start != self.start {
            let again = fitted(&self.start);
            let evidence = |h: &Option<Hypothesis>| h.as_ref().map_or(f64::NEG_INFINITY, |h| h.log_evidence);
            if evidence(&again) > evidence(&hypothesis) {
                hypothesis = again;
            }
        }
        let Some(hypothesis) = hypothesis else { return };
        if !hypothesis.left_out.is_empty() && hypothesis.log_evidence > self.best() - WORTH_FITTING {
            for model in self.models.iter().filter(|model| **model != hypothesis.model) {
                let (left_out, start) = (hypothesis.left_out.clone(), hypothesis.fit.unknowns);
                let predicted = hypothesis.log_evidence - 0.25 * WORTH_FITTING;
                self.waiting.push(Candidate { model: *model, left_out, predicted, start });
            }
        }
        self.waiting.extend(predict(self.network, &hypothesis));
        self.found.push(hypothesis);
    }
}

/// What leaving out one more reading, or two, or keeping one after all would do to the evidence.
fn predict(network: &Network, from: &Hypothesis) -> Vec<Candidate> {
    let is_out = |i: &usize| from.left_out.contains(i);
    let kept = (0..network.observations.len()).filter(|i| !is_out(i));
    let mut checked: Vec<Checked> = kept.filter_map(|i| Checked::of(network, from, i, -1.0)).collect();
    let mut candidates: Vec<(Vec<usize>, f64)> = Vec::new();
    if from.left_out.len() < MOST_LEFT_OUT {
        candidates.extend(checked.iter().map(|c| (vec![c.index], c.alone)));
    }
    if from.left_out.len() + 2 <= MOST_LEFT_OUT {
        checked.sort_by(|a, b| b.alone.total_cmp(&a.alone));
        checked.truncate(PAIRED);
        for (i, a) in checked.iter().enumerate() {
            for b in &checked[..i] {
                candidates.extend(pair_gain(a, b).map(|gain| (vec![a.index, b.index], gain)));
            }
        }
    }
    let back = from.left_out.iter().filter_map(|i| Checked::of(network, from, *i, 1.0));
    candidates.extend(back.map(|c| (vec![c.index], c.alone)));
    // A prediction is linear; where the fit is badly bent it may be this part of the sum of squares off.
    const BENT: f64 = 0.03;
    let doubt = BENT * (from.fit.total() - 2.0 * network.equations() as f64).max(0.0);
    let best = candidates.iter().map(|(_, gain)| *gain).fold(-doubt, f64::max);
    candidates.retain(|(_, gain)| *gain >= best - WORTH_FITTING);
    candidates
        .into_iter()
        .map(|(changed, gain)| {
            let mut left_out: Vec<usize> = from.left_out.iter().copied().filter(|i| !changed.contains(i)).collect();
            left_out.extend(changed.iter().filter(|i| !is_out(i)));
            left_out.sort_unstable();
            let predicted = from.log_evidence + gain + doubt;
            Candidate { model: from.model, left_out, predicted, start: from.fit.unknowns }
        })
        .collect()
}

/// A reading seen from the fit that it is part of.
struct Checked {
    index: usize,
    rows: Rows,
    /// Covariance times derivatives, one column an equation.
    carried: [Unknowns; 2],
    /// -1 to leave it out, 1 to keep it after all.
    sign: f64,
    /// What the change costs, or wins, by itself.
    cost: f64,
    /// What the change alone does to the logarithm of the evidence.
    alone: f64,
}

impl Checked {
    /// `sign` is -1 for a reading that is part of the fit and may be left out, 1 for one that is left out and may be kept.
    fn of(network: &Network, from: &Hypothesis, index: usize, sign: f64) -> Option<Self> {
        let observation = &network.observations[index];
        let rows = observation.rows(&from.fit.unknowns)?;
        let carried = rows.by.map(|by| from.fit.covariance * by);
        let cost = -sign * cost_of_leaving_out(observation);
        let mut checked = Self { index, rows, carried, sign, cost, alone: f64::NEG_INFINITY };
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

/// I - L over up to four equations (I + L for those to be kept after all); unused rows are those of the identity.
struct Checks(SMatrix<f64, 4, 4>);

impl Checks {
    fn new() -> Self {
        Self(SMatrix::identity())
    }

    fn put(&mut self, row: usize, a: &Checked, column: usize, b: &Checked) {
        for i in 0..a.rows.count {
            for j in 0..b.rows.count {
                self.0[(row + i, column + j)] += a.sign * a.rows.by[i].dot(&b.carried[j]);
            }
        }
    }

    /// Half the fall of the sum of squares, less half the logarithm of the determinant; a rise where readings are kept.
    fn gain(&self, parts: &[(usize, &Checked)]) -> Option<f64> {
        let sign = -parts.first()?.1.sign;
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
        Some(0.5 * (sign * off.dot(&factored.solve(&off)) - log_det))
    }
}
