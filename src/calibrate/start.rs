//! A first map: where the descent begins, so that she never has to guess.
//!
//! Places give one in closed form, by the direct linear transformation with normalised coordinates.
//!
//! Hartley and Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed. (2004), algorithm 4.2: both point sets
//! are moved to their centroid and scaled to a mean distance of sqrt 2, two equations a pair are stacked, and the right
//! singular vector of the smallest singular value is the map. It minimises an algebraic error, so it is only a start.

use nalgebra::{DMatrix, Matrix3, Vector3};

use super::Readings;
use super::adjust::adjust;
use super::hypotheses::LensModel;
use super::network::{Network, Observation, What};
use crate::table::sight::{CENTRE, FOOT, Frame, HEIGHT, K1, K2, Unknowns};

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

/// A first map from everything that was read: in closed form where four places hold one, by descent from a few plain guesses
/// where distances must. Gross misreadings are met by also starting from four marks at a time.
///
/// None when no guess leads anywhere.
pub fn first_map(readings: &Readings, network: &Network) -> Option<Unknowns> {
    let free = LensModel::Bare.free(network);
    let all = vec![1.0; network.observations.len()];
    let mut best: Option<(f64, Unknowns)> = None;
    for guess in guesses(readings, network) {
        let Some(fit) = adjust(network, &all, guess, &free) else { continue };
        let (unknowns, off_mm) = match robust(network, &free, &fit.unknowns) {
            Some((robust, _)) => (robust, middle_residual_mm(network, &robust)?),
            None => (fit.unknowns, middle_residual_mm(network, &fit.unknowns)?),
        };
        if best.as_ref().is_none_or(|(least, _)| off_mm < *least) {
            best = Some((off_mm, unknowns));
        }
        if off_mm < GOOD_START_MM {
            break;
        }
    }
    best.map(|(_, unknowns)| unknowns)
}

/// A start whose middle residual is below this needs no other; a lens left out bends no table by more.
const GOOD_START_MM: f64 = 10.0;

fn middle_residual_mm(network: &Network, u: &Unknowns) -> Option<f64> {
    let residual = |o: &Observation| o.residual_mm(u).map(|r| r[0].hypot(r[1]));
    let mut residuals: Vec<f64> = network.observations.iter().map(residual).collect::<Option<_>>()?;
    Some(middle(&mut residuals))
}

/// The median.
fn middle(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

fn guesses<'a>(readings: &'a Readings, network: &'a Network) -> Box<dyn Iterator<Item = Unknowns> + 'a> {
    let places: Vec<([f64; 2], [f64; 2])> = network.observations.iter().filter_map(place).collect();
    let level = level_guess(readings, network);
    let closed_form = std::iter::once(places.clone()).chain(quarters(places)).filter_map(|places| {
        let (from, to): (Vec<_>, Vec<_>) = places.into_iter().unzip();
        let map = homography(&from, &to)?;
        let scaled = map / map[(2, 2)];
        let mut u = level_stand(readings);
        (0..8).for_each(|i| u[i] = scaled[(i / 3, i % 3)]);
        u.iter().all(|v| v.is_finite()).then_some(u)
    });
    let tilts = [0.0, 0.15, 0.35]
        .into_iter()
        .flat_map(|t| (0..8).map(move |i| (t, f64::from(i) * 0.25 * std::f64::consts::PI)));
    let tilted = tilts.filter(|(t, a)| *t > 0.0 || *a == 0.0).filter_map(move |(tilt, direction)| {
        let mut u = level?;
        (u[6], u[7]) = (tilt * direction.cos(), tilt * direction.sin());
        Some(u)
    });
    Box::new(closed_form.chain(tilted))
}

fn place(observation: &Observation) -> Option<([f64; 2], [f64; 2])> {
    match observation.what {
        What::Place { q, at_mm } => Some((q, at_mm)),
        What::Distance { .. } => None,
    }
}

type Pairs = Vec<([f64; 2], [f64; 2])>;

/// A few sets of four places, each far apart in the picture: every set takes the outermost place in four directions, and
/// the next set does without them.
fn quarters(mut places: Pairs) -> impl Iterator<Item = Pairs> {
    const SETS: usize = 8;
    (0..SETS).map_while(move |_| {
        let mut set = Pairs::new();
        for toward in [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]] {
            let reach = |p: &([f64; 2], [f64; 2])| p.0[0] * toward[0] + p.0[1] * toward[1];
            let outermost = (0..places.len()).max_by(|a, b| reach(&places[*a]).total_cmp(&reach(&places[*b])))?;
            set.push(places.swap_remove(outermost));
        }
        Some(set)
    })
}

/// A projector that looks straight down, at the scale of the readings.
fn level_guess(readings: &Readings, network: &Network) -> Option<Unknowns> {
    let between = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let mut scales: Vec<f64> = network
        .observations
        .iter()
        .filter_map(|o| match o.what {
            What::Distance { q, mm } => Some(mm / between(q[0], q[1])),
            What::Place { .. } => None,
        })
        .collect();
    let places: Pairs = network.observations.iter().filter_map(place).collect();
    scales.extend(places.windows(2).map(|p| between(p[0].1, p[1].1) / between(p[0].0, p[1].0)));
    scales.retain(|scale| scale.is_finite() && *scale > 0.0);
    if scales.is_empty() {
        return None;
    }
    let scale = middle(&mut scales);
    let (along, down) = (readings.hang.row_along(), readings.hang.down_along());
    let frame = Frame::of(readings.picture_px);
    let (q, at_mm) = match places.first() {
        Some((q, at_mm)) => (*q, *at_mm),
        None => (frame.q(readings.grid.px(readings.grid.first()?)?), [0.0, 0.0]),
    };
    let mut u = level_stand(readings);
    for axis in 0..2 {
        (u[3 * axis], u[3 * axis + 1]) = (scale * along[axis], scale * down[axis]);
        u[3 * axis + 2] = at_mm[axis] - scale * (q[0] * along[axis] + q[1] * down[axis]);
    }
    Some(u)
}

/// Unknowns with the lens and the stand as they are believed to be.
fn level_stand(readings: &Readings) -> Unknowns {
    let mut u = Unknowns::zeros();
    let frame = Frame::of(readings.picture_px);
    if let Some([k1, k2]) = readings.lens.known {
        (u[K1], u[K2]) = (k1, k2);
    }
    if let Some(centre) = readings.lens.centre_px {
        [u[CENTRE], u[CENTRE + 1]] = frame.q(centre);
    }
    let (foot, height) = readings.stand.map_or(([500.0, 500.0], 2000.0), |s| (s.foot_mm.to_array(), s.height_mm));
    (u[FOOT], u[FOOT + 1], u[HEIGHT]) = (foot[0], foot[1], height);
    u
}

/// A fit that gross misreadings can't bend, and the readings it would leave out.
///
/// Geman and McClure's weights 1/(1 + r^2/c^2)^2 with c brought down step by step from the size of the residuals to that of
/// the noise (graduated non-convexity: Blake and Zisserman, *Visual Reconstruction* 1987).
pub fn robust(network: &Network, free: &[usize], start: &Unknowns) -> Option<(Unknowns, Vec<usize>)> {
    const ROUNDS: usize = 6;
    const NOISE: f64 = 3.0;
    const WRONG: f64 = 6.0;
    let size = |u: &Unknowns| -> Option<Vec<f64>> {
        let each = |o: &Observation| o.rows(u).map(|rows| rows.off[0].hypot(rows.off[1]));
        network.observations.iter().map(each).collect()
    };
    let mut unknowns = *start;
    let mut sizes = size(&unknowns)?;
    let mut c = sizes.iter().copied().fold(0.0, f64::max);
    for _ in 0..ROUNDS {
        if c <= NOISE {
            break;
        }
        c = (c / 3.0).max(NOISE);
        let weights: Vec<f64> = sizes.iter().map(|r| (1.0 + (r / c).powi(2)).powi(-2)).collect();
        unknowns = adjust(network, &weights, unknowns, free)?.unknowns;
        sizes = size(&unknowns)?;
    }
    let left_out = (0..sizes.len()).filter(|i| sizes[*i] > WRONG).collect();
    Some((unknowns, left_out))
}
