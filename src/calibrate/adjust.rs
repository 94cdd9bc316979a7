//! Least squares: the unknowns that bring the sighted marks nearest to where she read them.
//!
//! A surveyor's adjustment of observations (Ghilani, *Adjustment Computations*, 5th ed. 2010, chapters 11 and 14) with the
//! homography as the model. Each residual is divided by its own sigma. Levenberg-Marquardt (Moré 1978, MINPACK) does the
//! descent; derivatives come from [`sight`](super::sight).

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};

use super::sight::{Sighted, Unknowns, sight};

/// One observation: what was read, of which pixel, how well.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// What was read.
    pub what: What,
    /// Its noise, one standard deviation.
    pub sigma_mm: f64,
}

/// What was read.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The place of a pixel: two equations.
    Place {
        /// The pixel, in half diagonals from the picture's centre.
        q: [f64; 2],
        /// Its place.
        at_mm: [f64; 2],
    },
}

/// The unknowns that fit best.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// The unknowns.
    pub unknowns: Unknowns,
    /// Each observation's residual, sighted minus read, in mm.
    pub residuals_mm: Vec<[f64; 2]>,
}

/// Improves `start` in the unknowns listed in `free`; none when the descent leaves the maps that can be.
pub fn adjust(observations: &[Observation], start: Unknowns, free: &[usize]) -> Option<Adjusted> {
    let problem = Problem { observations, free, unknowns: start };
    let (problem, report) = LevenbergMarquardt::new().minimize(problem);
    if !report.termination.was_successful() {
        return None;
    }
    let residuals = observations.iter().map(|o| o.residual_mm(&problem.unknowns).map(|(r, _)| r));
    Some(Adjusted { residuals_mm: residuals.collect::<Option<_>>()?, unknowns: problem.unknowns })
}

impl Observation {
    /// Sighted minus read, and the sight.
    fn residual_mm(&self, unknowns: &Unknowns) -> Option<([f64; 2], Sighted)> {
        let What::Place { q, at_mm } = self.what;
        let sighted = sight(unknowns, q)?;
        Some(([sighted.mm[0] - at_mm[0], sighted.mm[1] - at_mm[1]], sighted))
    }
}

struct Problem<'a> {
    observations: &'a [Observation],
    free: &'a [usize],
    unknowns: Unknowns,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        for (index, value) in self.free.iter().zip(x.iter()) {
            self.unknowns[*index] = *value;
        }
    }

    fn params(&self) -> DVector<f64> {
        DVector::from_iterator(self.free.len(), self.free.iter().map(|i| self.unknowns[*i]))
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let mut rows = DVector::zeros(2 * self.observations.len());
        for (i, observation) in self.observations.iter().enumerate() {
            let (residual, _) = observation.residual_mm(&self.unknowns)?;
            rows[2 * i] = residual[0] / observation.sigma_mm;
            rows[2 * i + 1] = residual[1] / observation.sigma_mm;
        }
        Some(rows)
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let mut rows = DMatrix::zeros(2 * self.observations.len(), self.free.len());
        for (i, observation) in self.observations.iter().enumerate() {
            let (_, sighted) = observation.residual_mm(&self.unknowns)?;
            for axis in 0..2 {
                for (j, index) in self.free.iter().enumerate() {
                    rows[(2 * i + axis, j)] = sighted.by[axis][*index] / observation.sigma_mm;
                }
            }
        }
        Some(rows)
    }
}
