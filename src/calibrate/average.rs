//! One table out of all hypotheses.
//!
//! Every hypothesis that weighs anything throws a pixel to its own point; the point thrown in the end is their weighted
//! mean (Hoeting, Madigan, Raftery and Volinsky, "Bayesian model averaging", *Statistical Science* 14, 1999). The table file
//! holds one homography and one lens, so the full model is fitted to the mean points over the whole picture; what that loses
//! is small against the bound, and is counted in it. The bound's covariance is that of the mixture: each hypothesis's own, and
//! its distance from the table, weighted; both carried over into the table's unknowns through the thrown points, so that it
//! is right about points and not merely about unknowns.

use nalgebra::SMatrix;

use super::adjust::adjust;
use super::hypotheses::{Hypothesis, LensModel};
use super::network::{Network, Observation, What};
use crate::table::bound::{Covariance, lattice};
use crate::table::sight::{Frame, MAP_UNKNOWNS, Sighted, Unknowns, sight};

/// The averaged table.
#[derive(Clone, Debug)]
pub struct Average {
    /// Its unknowns.
    pub unknowns: Unknowns,
    /// Their covariance, the spread between hypotheses included.
    pub covariance: Covariance,
}

/// How well the full model must follow the mean points; well below what a tape can see.
const FOLLOWS_MM: f64 = 0.05;

/// Averages hypotheses by their weights; none when one of them doesn't light the whole picture.
pub fn average(network: &Network, picture_px: [u32; 2], hypotheses: &[Hypothesis], weights: &[f64]) -> Option<Average> {
    let frame = Frame::of(picture_px);
    let pixels: Vec<[f64; 2]> = lattice(picture_px).map(|at| frame.q(at)).collect();
    let thrown: Vec<Vec<Sighted>> = hypotheses
        .iter()
        .map(|h| pixels.iter().map(|q| sight(&h.fit.unknowns, *q)).collect::<Option<_>>())
        .collect::<Option<_>>()?;
    let mean = |i: usize, axis: usize| -> f64 { thrown.iter().zip(weights).map(|(t, w)| w * t[i].mm[axis]).sum() };
    let means: Vec<[f64; 2]> = (0..pixels.len()).map(|i| [mean(i, 0), mean(i, 1)]).collect();
    let unknowns = follow(network, &pixels, &means, heaviest(hypotheses, weights)?)?;
    let covariance = carry_over(network, &unknowns, &pixels, &thrown, (hypotheses, weights))?;
    Some(Average { unknowns, covariance })
}

/// The heaviest hypothesis.
pub fn heaviest<'a>(hypotheses: &'a [Hypothesis], weights: &[f64]) -> Option<&'a Hypothesis> {
    let index = (0..hypotheses.len()).max_by(|a, b| weights[*a].total_cmp(&weights[*b]))?;
    hypotheses.get(index)
}

/// The full model that throws `pixels` to `points`. A lone hypothesis is its own average.
fn follow(network: &Network, pixels: &[[f64; 2]], points: &[[f64; 2]], start: &Hypothesis) -> Option<Unknowns> {
    let observation = |(q, at): (&[f64; 2], &[f64; 2])| Observation {
        what: What::Place { q: *q, at_mm: *at },
        board_mm: 0.0,
        sigma_mm: FOLLOWS_MM,
    };
    let observations: Vec<Observation> = pixels.iter().zip(points).map(observation).collect();
    let weights = vec![1.0; observations.len()];
    let followed = Network { observations, pins: Vec::new(), hold: None, priors: network.priors };
    let free = LensModel::Full.free(&followed);
    adjust(&followed, &weights, start.fit.unknowns, &free).map(|fit| fit.unknowns)
}

type Square = SMatrix<f64, MAP_UNKNOWNS, MAP_UNKNOWNS>;
type Column = SMatrix<f64, MAP_UNKNOWNS, 1>;

/// The mixture's covariance in the table's unknowns.
///
/// With J the derivatives of all thrown points by the table's unknowns and J_k those of hypothesis k, P = (J'J)^-1 J' carries
/// a displacement of points over into unknowns; so C = sum of w_k (P J_k C_k J_k' P' + d_k d_k'), d_k = P (X_k - X).
fn carry_over(
    network: &Network,
    unknowns: &Unknowns,
    pixels: &[[f64; 2]],
    thrown: &[Vec<Sighted>],
    (hypotheses, weights): (&[Hypothesis], &[f64]),
) -> Option<Covariance> {
    let table: Vec<Sighted> = pixels.iter().map(|q| sight(unknowns, *q)).collect::<Option<_>>()?;
    let mut normal = Square::zeros();
    for s in &table {
        for by in &s.by {
            let by: Column = by.fixed_rows::<MAP_UNKNOWNS>(0).into();
            normal += by * by.transpose();
        }
    }
    // A lens term that moves no point (the centre of a lens without distortion) is held by its prior alone.
    for (k, prior) in network.priors.iter().enumerate().take(MAP_UNKNOWNS) {
        if let Some(prior) = prior {
            normal[(k, k)] += (FOLLOWS_MM / prior.sd).powi(2);
        }
    }
    let inverse = normal.cholesky()?.inverse();
    let mut covariance = Covariance::zeros();
    for ((hypothesis, sights), weight) in hypotheses.iter().zip(thrown).zip(weights) {
        let (mut crossed, mut moved) = (Square::zeros(), Column::zeros());
        for (ours, theirs) in table.iter().zip(sights) {
            for axis in 0..2 {
                let by: Column = ours.by[axis].fixed_rows::<MAP_UNKNOWNS>(0).into();
                let their_by: Column = theirs.by[axis].fixed_rows::<MAP_UNKNOWNS>(0).into();
                crossed += by * their_by.transpose();
                moved += by * (theirs.mm[axis] - ours.mm[axis]);
            }
        }
        let (carried, moved) = (inverse * crossed, inverse * moved);
        let own: Square = hypothesis.fit.covariance.fixed_view::<MAP_UNKNOWNS, MAP_UNKNOWNS>(0, 0).into();
        covariance += (carried * own * carried.transpose() + moved * moved.transpose()) * *weight;
    }
    // Rounding leaves the halves a last digit apart.
    Some((covariance + covariance.transpose()) / 2.0)
}
