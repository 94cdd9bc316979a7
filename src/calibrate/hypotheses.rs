//! What may have happened: which lens terms are at work and which readings are wrong, weighed against one another.
//!
//! A hypothesis is a pair of a lens model and a set of readings left out. Its evidence is the chance of the readings under
//! it, the unknowns integrated out by Laplace's approximation (MacKay, *Information Theory, Inference and Learning
//! Algorithms* 2003, chapters 27 and 28): half the sum of squares against it, half the logarithm of the determinant against
//! it (Occam's factor), the priors' widths against it. A reading that is left out pays: a misreading is rare, and could have
//! been anything. So a lens can't be mistaken for a row of misreadings, nor a misreading for a lens, without paying for it.

use super::adjust::{Adjusted, adjust};
use super::network::{Network, Observation};
use crate::table::sight::{CENTRE, FOOT, HEIGHT, K1, K2, Unknowns};

/// The lens terms that are solved for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LensModel {
    /// None: a bare homography, or a lens known beforehand.
    Bare,
    /// k1.
    One,
    /// k1 and k2.
    Two,
    /// k1 and the centre.
    Centred,
    /// k1, k2 and the centre.
    Full,
}

/// Every lens model.
pub const LENS_MODELS: [LensModel; 5] =
    [LensModel::Bare, LensModel::One, LensModel::Two, LensModel::Centred, LensModel::Full];

/// The eight unknowns of the homography.
const HOMOGRAPHY: [usize; 8] = [0, 1, 2, 3, 4, 5, 6, 7];

impl LensModel {
    /// The lens terms that it frees.
    pub fn lens_terms(self) -> &'static [usize] {
        match self {
            Self::Bare => &[],
            Self::One => &[K1],
            Self::Two => &[K1, K2],
            Self::Centred => &[K1, CENTRE, CENTRE + 1],
            Self::Full => &[K1, K2, CENTRE, CENTRE + 1],
        }
    }

    /// Its share of belief before anything is measured: a lens that shows no distortion is as common as the next two kinds
    /// together (common practice, no source).
    fn prior(self) -> f64 {
        if self == Self::Bare { 2.0 / 6.0 } else { 1.0 / 6.0 }
    }

    /// Its name in the table file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bare => "homography",
            Self::One => "homography, k1",
            Self::Two => "homography, k1, k2",
            Self::Centred => "homography, k1, centre",
            Self::Full => "homography, k1, k2, centre",
        }
    }

    /// The unknowns with those lens terms that it doesn't free put where they are believed to be.
    fn held(self, network: &Network, start: &Unknowns) -> Unknowns {
        let mut held = *start;
        for k in Self::Full.lens_terms().iter().filter(|k| !self.lens_terms().contains(k)) {
            held[*k] = network.priors[*k].map_or(0.0, |prior| prior.mean);
        }
        held
    }

    /// Every unknown that it frees; the stand only where readings on a board can see it.
    pub fn free(self, network: &Network) -> Vec<usize> {
        let stand = (FOOT..=HEIGHT).filter(|_| network.has_board());
        HOMOGRAPHY.iter().chain(self.lens_terms()).copied().chain(stand).collect()
    }
}

/// A lens model, a set of readings left out, and how well both together explain what was read.
#[derive(Clone, Debug)]
pub struct Hypothesis {
    /// The lens model.
    pub model: LensModel,
    /// Indices of the readings left out, in rising order.
    pub left_out: Vec<usize>,
    /// The fit.
    pub fit: Adjusted,
    /// Natural logarithm of the evidence, up to what all hypotheses share.
    pub log_evidence: f64,
}

/// One reading in a hundred is wrong (common practice, no source). Rarer, and true misreadings stay in; more frequent, and
/// clean readings are accused.
const MISREADINGS: f64 = 0.01;
/// A wrong reading lies anywhere within this range of the right one, in each coordinate. Most slips are a digit, an inch or
/// a neighbouring mark.
const MISREADING_RANGE_MM: f64 = 200.0;

/// What leaving a reading out adds to the logarithm of the evidence before the fit improves: always less than nought.
pub fn cost_of_leaving_out(observation: &Observation) -> f64 {
    let noise = (observation.sigma_mm * (2.0 * std::f64::consts::PI).sqrt()).ln();
    let each = noise - MISREADING_RANGE_MM.ln();
    (MISREADINGS / (1.0 - MISREADINGS)).ln() + observation.count() as f64 * each
}

impl Hypothesis {
    /// Fits a model without some readings; none when what is left doesn't hold a table.
    pub fn of(network: &Network, model: LensModel, left_out: Vec<usize>, start: &Unknowns) -> Option<Self> {
        const MAP: usize = 8;
        let missing: usize = left_out.iter().map(|i| network.observations[*i].count()).sum();
        if network.equations() - missing + network.pins.len() < MAP {
            return None;
        }
        let mut weights = vec![1.0; network.observations.len()];
        left_out.iter().for_each(|i| weights[*i] = 0.0);
        let fit = adjust(network, &weights, model.held(network, start), &model.free(network))?;
        let widths: f64 = model.lens_terms().iter().filter_map(|k| network.priors[*k]).map(|p| p.sd.ln()).sum();
        let costs: f64 = left_out.iter().map(|i| cost_of_leaving_out(&network.observations[*i])).sum();
        let log_evidence = model.prior().ln() + costs - widths - 0.5 * (fit.chi2 + fit.prior_chi2 + fit.log_det);
        Some(Self { model, left_out, fit, log_evidence })
    }

    /// The evidence when the readings may also be noisier than stated: a table that isn't flat, or a poor tape, must not
    /// pass for a row of misreadings.
    ///
    /// With noise s times as large the sum of squares counts 1/s^2, each equation beyond the eight of the map costs ln s,
    /// and the case itself is rare.
    pub fn log_evidence_in_any_noise(&self, network: &Network) -> f64 {
        const NOISIER: [f64; 3] = [2.0, 3.0, 5.0];
        /// One set in a thousand is as noisy as each of these (common practice, no source). More, and small misreadings
        /// pass for noise.
        const RARE: f64 = 1e-3;
        let spare = (self.equations(network) + network.pins.len()).saturating_sub(HOMOGRAPHY.len()) as f64;
        let gain = |s: f64| 0.5 * self.fit.chi2 * (1.0 - 1.0 / (s * s)) - spare * s.ln() + RARE.ln();
        let largest = NOISIER.into_iter().map(gain).fold(0.0, f64::max);
        let sum = (-largest).exp() + NOISIER.into_iter().map(|s| (gain(s) - largest).exp()).sum::<f64>();
        self.log_evidence + largest + sum.ln()
    }

    /// Equations of the readings that are kept.
    pub fn equations(&self, network: &Network) -> usize {
        network.equations() - self.left_out.iter().map(|i| network.observations[*i].count()).sum::<usize>()
    }
}

/// The weights of hypotheses: their evidence, made to sum to 1.
pub fn weights(hypotheses: &[Hypothesis]) -> Vec<f64> {
    let best = hypotheses.iter().map(|h| h.log_evidence).fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = hypotheses.iter().map(|h| (h.log_evidence - best).exp()).collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|w| w / sum).collect()
}
