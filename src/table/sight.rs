//! The unknowns of a table, and the point that a pixel lights by them, with its exact derivatives.
//!
//! The table's homography runs from mm to pixel because that is how it is used. It is solved for the other way, because
//! a mark's pixel is exact and its place is what is read with an error:
//!
//! ```text
//! q  = (pixel - centre of the picture) / (half its diagonal)      exact
//! e: c + (e - c)(1 + k1 r2 + k2 r2^2) = q,  r2 = |e - c|^2        the lens undone
//! x  = (g0 ex + g1 ey + g2) / (1 + g6 ex + g7 ey)                 mm
//! y  = (g3 ex + g4 ey + g5) / (1 + g6 ex + g7 ey)
//! ```
//! The denominator is 1 in the middle of the picture, which always lights the table, so this gauge never degenerates.
//! On a board h above the table the point F + (X - F)(Z - h)/Z is lit instead, F and Z being foot and height of the lens.
//! Derivatives are exact: the lens by the implicit function theorem, the rest by the quotient rule.

use nalgebra::{Matrix3, SVector};

use super::{Lens, Table};
use crate::geometry::{Pixel, Point};

/// Count of unknowns: eight of the homography, four of the lens, three of its stand.
pub const UNKNOWNS: usize = 15;
/// Those that make the map of the bare table: all but the stand.
pub const MAP_UNKNOWNS: usize = 12;
/// Index of k1; k2 follows.
pub const K1: usize = 8;
/// Index of k2.
pub const K2: usize = 9;
/// Index of the lens centre's x; y follows. Both in half diagonals from the picture's centre.
pub const CENTRE: usize = 10;
/// Index of the foot point's x; y follows. In mm.
pub const FOOT: usize = 12;
/// Index of the lens's height, in mm.
pub const HEIGHT: usize = 14;

/// The unknowns: g0..g7, k1, k2, centre x, centre y, foot x, foot y, height.
pub type Unknowns = SVector<f64, UNKNOWNS>;

/// A point of the table with its derivative by every unknown.
#[derive(Clone, Copy, Debug)]
pub struct Sighted {
    /// x and y in mm.
    pub mm: [f64; 2],
    /// d x and d y by the unknowns.
    pub by: [Unknowns; 2],
}

/// The picture's own unit: its centre and half its diagonal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    centre_px: [f64; 2],
    half_diagonal_px: f64,
}

impl Frame {
    /// The frame of a picture.
    pub fn of(picture_px: [u32; 2]) -> Self {
        let [w, h] = picture_px.map(f64::from);
        Self { centre_px: [w / 2.0, h / 2.0], half_diagonal_px: w.hypot(h) / 2.0 }
    }

    /// A pixel in half diagonals from the picture's centre.
    pub fn q(&self, at: Point<Pixel>) -> [f64; 2] {
        [(at.x - self.centre_px[0]) / self.half_diagonal_px, (at.y - self.centre_px[1]) / self.half_diagonal_px]
    }

    /// The homography, table mm to ideal pixel, of these unknowns; none when it has no inverse or the table's origin
    /// lies on the projector's horizon.
    pub fn homography(&self, u: &Unknowns) -> Option<[[f64; 3]; 3]> {
        let mm_from_q = Matrix3::new(u[0], u[1], u[2], u[3], u[4], u[5], u[6], u[7], 1.0);
        let s = self.half_diagonal_px;
        let px_from_q = Matrix3::new(s, 0.0, self.centre_px[0], 0.0, s, self.centre_px[1], 0.0, 0.0, 1.0);
        let h = px_from_q * mm_from_q.try_inverse()?;
        let last = h[(2, 2)];
        let scaled = h / last;
        let usable = last.is_finite() && last != 0.0 && scaled.iter().all(|v| v.is_finite());
        usable.then(|| {
            std::array::from_fn(|i| std::array::from_fn(|j| if (i, j) == (2, 2) { 1.0 } else { scaled[(i, j)] }))
        })
    }

    /// The unknowns of a table; none when its homography has no inverse or doesn't light the picture's middle.
    pub fn unknowns(&self, table: &Table) -> Option<Unknowns> {
        let h = Matrix3::from_fn(|i, j| table.homography[i][j]);
        let s = self.half_diagonal_px;
        let px_from_q = Matrix3::new(s, 0.0, self.centre_px[0], 0.0, s, self.centre_px[1], 0.0, 0.0, 1.0);
        let mm_from_q = h.try_inverse()? * px_from_q;
        let mut u = Unknowns::zeros();
        for i in 0..K1 {
            u[i] = mm_from_q[(i / 3, i % 3)] / mm_from_q[(2, 2)];
        }
        u[K1] = table.lens.k1;
        u[K2] = table.lens.k2;
        let centre = self.q(table.lens.centre_px);
        u[CENTRE] = centre[0];
        u[CENTRE + 1] = centre[1];
        if let Some(stand) = table.stand {
            u[FOOT] = stand.foot_mm.x;
            u[FOOT + 1] = stand.foot_mm.y;
            u[HEIGHT] = stand.height_mm;
        }
        u.iter().all(|v| v.is_finite()).then_some(u)
    }

    /// A pixel from its place in half diagonals.
    pub fn px(&self, q: [f64; 2]) -> Point<Pixel> {
        Point::new(self.centre_px[0] + self.half_diagonal_px * q[0], self.centre_px[1] + self.half_diagonal_px * q[1])
    }

    /// The lens of these unknowns.
    pub fn lens(&self, u: &Unknowns) -> Lens {
        let s = self.half_diagonal_px;
        let centre_px = Point::new(self.centre_px[0] + s * u[CENTRE], self.centre_px[1] + s * u[CENTRE + 1]);
        Lens { centre_px, k1: u[K1], k2: u[K2] }
    }
}

/// The point of the table that `q` lights; none where the lens folds over or the pixel looks over the horizon.
pub fn sight(u: &Unknowns, q: [f64; 2]) -> Option<Sighted> {
    let ideal = undo_lens(u, q)?;
    let [ex, ey] = ideal.at;
    let w = 1.0 + u[6] * ex + u[7] * ey;
    if w <= 1e-6 {
        return None;
    }
    let mm = [(u[0] * ex + u[1] * ey + u[2]) / w, (u[3] * ex + u[4] * ey + u[5]) / w];
    let mut by = [Unknowns::zeros(); 2];
    for (axis, by) in by.iter_mut().enumerate() {
        let [of_ex, of_ey, of_one] = [ex / w, ey / w, 1.0 / w];
        by[3 * axis] = of_ex;
        by[3 * axis + 1] = of_ey;
        by[3 * axis + 2] = of_one;
        by[6] = -mm[axis] * of_ex;
        by[7] = -mm[axis] * of_ey;
        let by_ex = (u[3 * axis] - mm[axis] * u[6]) / w;
        let by_ey = (u[3 * axis + 1] - mm[axis] * u[7]) / w;
        for (k, lens) in ideal.by.iter().enumerate() {
            by[K1 + k] = by_ex * lens[0] + by_ey * lens[1];
        }
    }
    Some(Sighted { mm, by })
}

/// The point that `q` lights on a board `board_mm` above the table.
pub fn sight_on_board(u: &Unknowns, q: [f64; 2], board_mm: f64) -> Option<Sighted> {
    let mut sighted = sight(u, q)?;
    if board_mm == 0.0 {
        return Some(sighted);
    }
    let height_mm = u[HEIGHT];
    if height_mm <= board_mm {
        return None;
    }
    let lift = board_mm / height_mm;
    for axis in 0..2 {
        let from_foot = sighted.mm[axis] - u[FOOT + axis];
        sighted.mm[axis] -= lift * from_foot;
        sighted.by[axis] *= 1.0 - lift;
        sighted.by[axis][FOOT + axis] = lift;
        sighted.by[axis][HEIGHT] = lift * from_foot / height_mm;
    }
    Some(sighted)
}

/// An ideal pixel with its derivative by k1, k2 and the centre.
struct Ideal {
    at: [f64; 2],
    by: [[f64; 2]; 4],
}

fn undo_lens(u: &Unknowns, q: [f64; 2]) -> Option<Ideal> {
    let (k1, k2) = (u[K1], u[K2]);
    let d = [q[0] - u[CENTRE], q[1] - u[CENTRE + 1]];
    let rho2 = d[0] * d[0] + d[1] * d[1];
    let rho = rho2.sqrt();
    let r = ideal_radius(k1, k2, rho)?;
    let slope = 1.0 + 3.0 * k1 * r * r + 5.0 * k2 * r.powi(4);
    // r/rho tends to 1 in the middle of the lens, and every term by the lens to 0.
    let (ratio, unit) = if rho > 0.0 { (r / rho, [d[0] / rho, d[1] / rho]) } else { (1.0, [0.0, 0.0]) };
    let along = |by_r: f64| [by_r * unit[0], by_r * unit[1]];
    let by_k1 = along(-r.powi(3) / slope);
    let by_k2 = along(-r.powi(5) / slope);
    // e = c + d r/rho with d = q - c, so de/dc = I - de/dd.
    let stretch = 1.0 / slope - ratio;
    let by_d = |i: usize, j: usize| f64::from(u8::from(i == j)) * ratio + stretch * unit[i] * unit[j];
    let by_centre = |j: usize| std::array::from_fn(|i| f64::from(u8::from(i == j)) - by_d(i, j));
    let at = [u[CENTRE] + d[0] * ratio, u[CENTRE + 1] + d[1] * ratio];
    Some(Ideal { at, by: [by_k1, by_k2, by_centre(0), by_centre(1)] })
}

/// Newton steps allowed when the lens is undone; each doubles the digits, so six reach f64 from any mild lens.
const LENS_STEPS: usize = 20;

/// The radius r with r (1 + k1 r^2 + k2 r^4) = rho, by Newton's method.
fn ideal_radius(k1: f64, k2: f64, rho: f64) -> Option<f64> {
    let mut r = rho;
    if k1 == 0.0 && k2 == 0.0 {
        return Some(r);
    }
    for _ in 0..LENS_STEPS {
        let r2 = r * r;
        let slope = 1.0 + 3.0 * k1 * r2 + 5.0 * k2 * r2 * r2;
        if slope <= 0.05 {
            return None;
        }
        let step = (r * (1.0 + k1 * r2 + k2 * r2 * r2) - rho) / slope;
        r -= step;
        if step.abs() <= 1e-15 * rho {
            return Some(r);
        }
    }
    let r2 = r * r;
    ((r * (1.0 + k1 * r2 + k2 * r2 * r2) - rho).abs() < 1e-12).then_some(r)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some_unknowns(k1: f64) -> Unknowns {
        let g = [850.0, 30.0, 700.0, -20.0, -830.0, 400.0, 0.12, -0.2];
        let rest = [k1, -0.01, 0.08, -0.05, 640.0, 120.0, 1900.0];
        Unknowns::from_iterator(g.into_iter().chain(rest))
    }

    /// Central differences; their own error at this step is some 1e-8 of the derivative.
    #[test]
    fn derivatives_agree_with_differences() {
        for k1 in [0.0, 0.05, -0.08] {
            let u = some_unknowns(k1);
            for q in [[0.8, 0.4], [-0.7, 0.45], [0.1, -0.3], [0.08, -0.05]] {
                let exact = sight_on_board(&u, q, 18.0).expect("a sight");
                for k in 0..UNKNOWNS {
                    let step = 1e-5 * u[k].abs().max(1.0);
                    let (mut more, mut less) = (u, u);
                    more[k] += step;
                    less[k] -= step;
                    let (more, less) = (sight_on_board(&more, q, 18.0), sight_on_board(&less, q, 18.0));
                    let (more, less) = (more.expect("a sight"), less.expect("a sight"));
                    for axis in 0..2 {
                        let differences = (more.mm[axis] - less.mm[axis]) / (2.0 * step);
                        let off = (differences - exact.by[axis][k]).abs();
                        assert!(off < 1e-5 * (1.0 + differences.abs()), "d{axis} by {k} at {q:?}: off by {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_table_and_its_unknowns_are_the_same_map() {
        let frame = Frame::of([1920, 1080]);
        let u = some_unknowns(0.05);
        let table = Table {
            picture_px: [1920, 1080],
            homography: frame.homography(&u).expect("a homography"),
            lens: frame.lens(&u),
            stand: None,
        };
        let back = frame.unknowns(&table).expect("unknowns");
        assert!((back - u).rows(0, MAP_UNKNOWNS).norm() < 1e-9, "{back}");
        for q in [[0.8, 0.4], [-0.7, 0.45]] {
            let at = table.mm_from_px(frame.px(q)).expect("a point");
            let sighted = sight(&u, q).expect("a sight").mm;
            assert!((at.x - sighted[0]).hypot(at.y - sighted[1]) < 1e-8);
        }
    }
}
