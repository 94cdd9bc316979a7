//! Least squares: the unknowns that fit the network best.
//!
//! Levenberg's damped normal equations (Levenberg 1944, Marquardt 1963) with every unknown scaled to its own curvature, in
//! fixed-size matrices: a fit of 45 marks takes some tens of microseconds, so that hundreds of hypotheses can be weighed.
//! The tests hold it against MINPACK's algorithm.

use nalgebra::{Cholesky, Const, SMatrix};

use super::network::{Network, Rows};
use crate::table::sight::{UNKNOWNS, Unknowns};

/// A square matrix over the unknowns; rows of unknowns that are held are those of the identity.
pub type Square = SMatrix<f64, UNKNOWNS, UNKNOWNS>;

/// The best fit.
#[derive(Clone, Debug)]
pub struct Adjusted {
    /// The unknowns.
    pub unknowns: Unknowns,
    /// Weighted sum of squares of the readings alone.
    pub chi2: f64,
    /// The same of the priors of the free unknowns and of the gauge.
    pub prior_chi2: f64,
    /// Inverse of the normal matrix; zero for unknowns that are held.
    pub covariance: Square,
    /// Natural logarithm of the normal matrix's determinant, free unknowns only.
    pub log_det: f64,
}

impl Adjusted {
    /// What the descent brings down: the sum of squares of readings, priors and gauge.
    pub fn total(&self) -> f64 {
        self.chi2 + self.prior_chi2
    }
}

/// Descents longer than this don't end; a good start needs five or six steps.
const MOST_STEPS: usize = 60;
/// A step is small when it gains less than this part of the sum of squares, plus one reading's weight.
const SMALL_GAIN: f64 = 1e-9;

/// Improves `start` in the unknowns listed in `free`. `weights` (0 leaves out) are those of the observations.
///
/// None when the descent leaves the maps that can be, or when the network doesn't hold every free unknown.
pub fn adjust(network: &Network, weights: &[f64], start: Unknowns, free: &[usize]) -> Option<Adjusted> {
    let mut unknowns = network.gauged(&start)?;
    let mut normal = Normal::at(network, weights, &unknowns, free)?;
    let mut damping = 0.0;
    for _ in 0..MOST_STEPS {
        let Some((step, gain)) = normal.step(free, damping) else {
            damping = more(damping)?;
            continue;
        };
        if gain < SMALL_GAIN * (1.0 + normal.total()) {
            return finish(network.gauged(&(unknowns - step))?, network, weights, free);
        }
        let next = network.gauged(&(unknowns - step));
        match next.and_then(|next| Some((next, Normal::at(network, weights, &next, free)?))) {
            Some((next, there)) if there.total() <= normal.total() => {
                (unknowns, normal) = (next, there);
                damping = if damping < 1e-6 { 0.0 } else { damping / 10.0 };
            }
            _ => damping = more(damping)?,
        }
    }
    finish(unknowns, network, weights, free)
}

/// More damping; none when no damping helps.
fn more(damping: f64) -> Option<f64> {
    (damping < 1e9).then_some(if damping == 0.0 { 1e-4 } else { damping * 10.0 })
}

/// The normal equations at a point.
struct Normal {
    matrix: Square,
    gradient: Unknowns,
    chi2: f64,
    prior_chi2: f64,
}

impl Normal {
    fn at(network: &Network, weights: &[f64], u: &Unknowns, free: &[usize]) -> Option<Self> {
        let mut normal = Self { matrix: Square::zeros(), gradient: Unknowns::zeros(), chi2: 0.0, prior_chi2: 0.0 };
        for (observation, weight) in network.observations.iter().zip(weights) {
            if *weight > 0.0 {
                normal.chi2 += normal.add(&observation.rows(u)?, *weight, free);
            }
        }
        for pin in &network.pins {
            normal.prior_chi2 += normal.add(&pin.rows(u)?, 1.0, free);
        }
        for k in free {
            if let Some(prior) = network.priors[*k] {
                let off = (u[*k] - prior.mean) / prior.sd;
                normal.prior_chi2 += off * off;
                normal.gradient[*k] += off / prior.sd;
                normal.matrix[(*k, *k)] += 1.0 / (prior.sd * prior.sd);
            }
        }
        Some(normal)
    }

    /// Adds equations to the lower triangle; gives their weighted sum of squares.
    fn add(&mut self, rows: &Rows, weight: f64, free: &[usize]) -> f64 {
        let mut sum = 0.0;
        for (off, by) in rows.off.iter().zip(&rows.by).take(rows.count) {
            sum += weight * off * off;
            for (i, k) in free.iter().enumerate() {
                let scaled = weight * by[*k];
                self.gradient[*k] += scaled * off;
                for l in &free[..=i] {
                    self.matrix[(*k, *l)] += scaled * by[*l];
                }
            }
        }
        sum
    }

    fn total(&self) -> f64 {
        self.chi2 + self.prior_chi2
    }

    /// The matrix scaled to a unit diagonal, factored; and the scales.
    fn factor(&self, free: &[usize], damping: f64) -> Option<(Cholesky<f64, Const<UNKNOWNS>>, Unknowns)> {
        let mut scale = Unknowns::zeros();
        for k in free {
            let curvature = self.matrix[(*k, *k)];
            if curvature <= 0.0 || !curvature.is_finite() {
                return None;
            }
            scale[*k] = 1.0 / curvature.sqrt();
        }
        let mut scaled = Square::identity();
        for k in free {
            for l in free.iter().filter(|l| *l < k) {
                scaled[(*k, *l)] = self.matrix[(*k, *l)] * scale[*k] * scale[*l];
            }
            scaled[(*k, *k)] = 1.0 + damping;
        }
        Cholesky::new(scaled).map(|factored| (factored, scale))
    }

    /// The step to subtract, and the fall of the sum of squares that it promises.
    fn step(&self, free: &[usize], damping: f64) -> Option<(Unknowns, f64)> {
        let (factored, scale) = self.factor(free, damping)?;
        let step = factored.solve(&self.gradient.component_mul(&scale)).component_mul(&scale);
        Some((step, self.gradient.dot(&step)))
    }
}

/// Covariance and determinant where the descent ended.
fn finish(unknowns: Unknowns, network: &Network, weights: &[f64], free: &[usize]) -> Option<Adjusted> {
    /// Unknowns whose scaled pivot is smaller than this are held by rounding alone.
    const LEAST_PIVOT: f64 = 1e-6;
    let there = Normal::at(network, weights, &unknowns, free)?;
    let (factored, scale) = there.factor(free, 0.0)?;
    let pivots = factored.l_dirty().diagonal();
    if pivots.min() < LEAST_PIVOT {
        return None;
    }
    let mut covariance = factored.inverse();
    let mut log_det = 0.0;
    for k in 0..UNKNOWNS {
        for l in 0..UNKNOWNS {
            covariance[(k, l)] *= scale[k] * scale[l];
        }
        if scale[k] > 0.0 {
            log_det += 2.0 * (pivots[k].ln() - scale[k].ln());
        }
    }
    Some(Adjusted { unknowns, chi2: there.chi2, prior_chi2: there.prior_chi2, covariance, log_det })
}
