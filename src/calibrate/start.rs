//! A first homography in closed form: the direct linear transformation with normalised coordinates.
//!
//! Hartley and Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed. (2004), algorithm 4.2: both point sets
//! are moved to their centroid and scaled to a mean distance of sqrt 2, two equations a pair are stacked, and the right
//! singular vector of the smallest singular value is the map. It minimises an algebraic error, so it is only a start.

use nalgebra::{DMatrix, Matrix3, Vector3};

/// Singular values closer to nought than this part of the largest mean that the pairs don't fix a map.
const RANK_TOLERANCE: f64 = 1e-7;

/// The homography that takes each `from` to its `to`; none when the pairs don't fix one (fewer than four, or all but
/// one on a line).
pub fn homography(from: &[[f64; 2]], to: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    if from.len() < 4 || from.len() != to.len() {
        return None;
    }
    let (norm_from, norm_to) = (normalising(from)?, normalising(to)?);
    let mut rows = DMatrix::zeros((2 * from.len()).max(9), 9);
    for (i, (f, t)) in from.iter().zip(to).enumerate() {
        let f = norm_from * Vector3::new(f[0], f[1], 1.0);
        let t = norm_to * Vector3::new(t[0], t[1], 1.0);
        for (k, along) in [(0, t.x), (1, t.y)] {
            for j in 0..3 {
                rows[(2 * i + k, 3 * k + j)] = f[j];
                rows[(2 * i + k, 6 + j)] = -along * f[j];
            }
        }
    }
    let svd = rows.svd(false, true);
    let mut order: Vec<usize> = (0..9).collect();
    order.sort_by(|a, b| svd.singular_values[*b].total_cmp(&svd.singular_values[*a]));
    if svd.singular_values[order[7]] < RANK_TOLERANCE * svd.singular_values[order[0]] {
        return None;
    }
    let h = svd.v_t?.row(order[8]).transpose();
    let normal = Matrix3::from_row_slice(h.as_slice());
    let map = norm_to.try_inverse()? * normal * norm_from;
    map.iter().all(|v| v.is_finite()).then_some(map)
}

/// Moves the centroid to the origin and scales the mean distance to sqrt 2; none when all points are one.
fn normalising(points: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    let count = points.len() as f64;
    let mean = |axis: usize| points.iter().map(|p| p[axis]).sum::<f64>() / count;
    let (cx, cy) = (mean(0), mean(1));
    let spread = points.iter().map(|p| (p[0] - cx).hypot(p[1] - cy)).sum::<f64>() / count;
    let scale = std::f64::consts::SQRT_2 / spread;
    (scale.is_finite() && spread > 0.0)
        .then(|| Matrix3::new(scale, 0.0, -scale * cx, 0.0, scale, -scale * cy, 0.0, 0.0, 1.0))
}
