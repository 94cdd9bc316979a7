//! How far off a thrown point can be, anywhere in the lit area.
//!
//! The covariance of the unknowns, carried through the derivatives of the sight, is the covariance of a thrown point
//! (Hartley and Zisserman, *Multiple View Geometry*, 2nd ed., section 5.2). The 95 % bound is the radius of the circle round
//! the point that holds 95 % of a normal distribution with that covariance. On top comes what no calibration can see: the
//! tape's own scale, by the limits of Directive 2014/32/EU, annex X (material measures of length).

use nalgebra::{Matrix2, SMatrix};

use super::Table;
use super::sight::{Frame, MAP_UNKNOWNS, UNKNOWNS, Unknowns, sight};
use crate::geometry::{Pixel, Point};

/// Covariance of the unknowns of the map, in the order of [`Unknowns`].
pub type Covariance = SMatrix<f64, MAP_UNKNOWNS, MAP_UNKNOWNS>;

/// Accuracy class of a tape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapeClass {
    /// 0.1 mm and 0.1 mm a metre.
    One,
    /// 0.3 mm and 0.2 mm a metre.
    Two,
}

/// What is known of a table's errors.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Covariance of the unknowns.
    pub covariance: Covariance,
    /// The tape's class, when stated.
    pub tape_class: Option<TapeClass>,
}

/// The bound over the whole lit area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// At the worst place.
    pub largest_mm: f64,
    /// On average.
    pub mean_mm: f64,
}

/// The lit area is looked at on this many columns and rows, edges included.
const LATTICE: [usize; 2] = [13, 9];

impl TapeClass {
    /// The largest error of a length that such a tape is allowed.
    pub fn limit_mm(self, length_mm: f64) -> f64 {
        match self {
            Self::One => 0.1 + 0.1 * length_mm / 1000.0,
            Self::Two => 0.3 + 0.2 * length_mm / 1000.0,
        }
    }
}

impl Spread {
    /// The 95 % bound of the point that a pixel lights; none where it lights none.
    pub fn bound95_mm(&self, table: &Table, at_px: Point<Pixel>) -> Option<f64> {
        let frame = Frame::of(table.picture_px);
        self.bound_of(&frame.unknowns(table)?, frame.q(at_px))
    }

    /// The 95 % bound over the lit area: the largest and the mean.
    pub fn over_lit_area(&self, table: &Table) -> Option<Bound> {
        let frame = Frame::of(table.picture_px);
        let unknowns = frame.unknowns(table)?;
        let mut bounds = lattice(table.picture_px).map(|at| self.bound_of(&unknowns, frame.q(at)));
        let (mut largest_mm, mut sum) = (0.0_f64, 0.0);
        for bound in &mut bounds {
            let bound = bound?;
            largest_mm = largest_mm.max(bound);
            sum += bound;
        }
        Some(Bound { largest_mm, mean_mm: sum / (LATTICE[0] * LATTICE[1]) as f64 })
    }

    fn bound_of(&self, unknowns: &Unknowns, q: [f64; 2]) -> Option<f64> {
        let sighted = sight(unknowns, q)?;
        let tape_mm = self.tape_class.map_or(0.0, |class| class.limit_mm(sighted.mm[0].hypot(sighted.mm[1])));
        Some(radius95(point_covariance(&self.covariance, &sighted.by)) + tape_mm)
    }

    /// The standard deviation of the distance between the points that two pixels light.
    pub fn distance_sd_mm(&self, table: &Table, between_px: [Point<Pixel>; 2]) -> Option<f64> {
        let frame = Frame::of(table.picture_px);
        let unknowns = frame.unknowns(table)?;
        let [a, b] = [sight(&unknowns, frame.q(between_px[0]))?, sight(&unknowns, frame.q(between_px[1]))?];
        let across = [b.mm[0] - a.mm[0], b.mm[1] - a.mm[1]];
        let length = across[0].hypot(across[1]);
        let by: Unknowns = ((b.by[0] - a.by[0]) * across[0] + (b.by[1] - a.by[1]) * across[1]) / length;
        let by = by.fixed_rows::<MAP_UNKNOWNS>(0);
        Some((by.transpose() * self.covariance * by)[0].max(0.0).sqrt())
    }
}

/// Pixels spread evenly over the picture, edges included.
pub fn lattice(picture_px: [u32; 2]) -> impl Iterator<Item = Point<Pixel>> {
    let [w, h] = picture_px.map(f64::from);
    let part = |i: usize, count: usize| i as f64 / (count - 1) as f64;
    let cells = (0..LATTICE[1]).flat_map(|i| (0..LATTICE[0]).map(move |j| (i, j)));
    cells.map(move |(i, j)| Point::new(w * part(j, LATTICE[0]), h * part(i, LATTICE[1])))
}

/// Covariance of a point in mm^2, from its derivatives by the unknowns.
pub fn point_covariance(covariance: &Covariance, by: &[SMatrix<f64, UNKNOWNS, 1>; 2]) -> Matrix2<f64> {
    let [x, y] = [by[0].fixed_rows::<MAP_UNKNOWNS>(0), by[1].fixed_rows::<MAP_UNKNOWNS>(0)];
    let (cx, cy) = (covariance * x, covariance * y);
    Matrix2::new(x.dot(&cx), x.dot(&cy), y.dot(&cx), y.dot(&cy))
}

/// The radius of the circle that holds 95 % of a centred normal distribution in the plane.
///
/// In units of the two standard deviations a direction is uniform and the distance Rayleigh's; so the part further out
/// than r is the mean over directions s of exp(-r^2 / 2g), g = large cos^2 s + small sin^2 s. Newton's method finds the r
/// that leaves 5 % out.
pub fn radius95(covariance: Matrix2<f64>) -> f64 {
    const STEPS: usize = 20;
    let mean = (covariance[(0, 0)] + covariance[(1, 1)]) / 2.0;
    let half = ((covariance[(0, 0)] - covariance[(1, 1)]) / 2.0).hypot(covariance[(0, 1)]);
    let (large, small) = (mean + half, (mean - half).max(0.0));
    if large <= 0.0 || !large.is_finite() {
        return if large > 0.0 { f64::INFINITY } else { 0.0 };
    }
    // Between the radii of a line (1.960 sd) and of a circle (2.448 sd); the function is convex there, so no step overshoots.
    let mut r = 1.95 * large.sqrt();
    for _ in 0..STEPS {
        let (outside, slope) = outside(r, large, small);
        let step = (outside - 0.05) / slope;
        r += step;
        if step.abs() < 1e-9 * r {
            break;
        }
    }
    r
}

/// The part of the distribution further out than `r`, and how fast it falls with r.
fn outside(r: f64, large: f64, small: f64) -> (f64, f64) {
    const DIRECTIONS: usize = 24;
    let (mut part, mut slope) = (0.0, 0.0);
    for i in 0..DIRECTIONS {
        let s = (i as f64 + 0.5) * std::f64::consts::FRAC_PI_2 / DIRECTIONS as f64;
        let g = large * s.cos().powi(2) + small * s.sin().powi(2);
        let each = (-0.5 * r * r / g).exp();
        part += each;
        slope += each * r / g;
    }
    (part / DIRECTIONS as f64, slope / DIRECTIONS as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// sqrt of the 95 % quantile of chi-square: 5.991465 with two degrees of freedom, 3.841459 with one
    /// (any table, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4).
    #[test]
    fn the_circle_is_the_known_one_at_both_ends() {
        assert!((radius95(Matrix2::new(4.0, 0.0, 0.0, 4.0)) - 2.0 * 5.991_465_f64.sqrt()).abs() < 1e-5);
        assert!((radius95(Matrix2::new(0.0, 0.0, 0.0, 9.0)) - 3.0 * 3.841_459_f64.sqrt()).abs() < 1e-3);
    }
}
