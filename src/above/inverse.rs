//! From a projector's pixel back to the table, by other means than the table's own.
//!
//! The lens is undone by fixed-point iteration on the radius, the homography by intersecting the two lines of the table
//! on which the pixel's column and row lie: with rows `g` of the homography, a table point with ideal pixel
//! `(u, v)` satisfies `(g0 - u g2) X = 0` and `(g1 - v g2) X = 0`, and two lines meet in their cross product
//! (Hartley and Zisserman, *Multiple View Geometry*, 2nd ed. 2004, section 2.2.1).

use crate::geometry::{Point, Table as OnTable};
use crate::table::Table;

/// The way back.
#[derive(Clone, Copy, Debug)]
pub struct Inverse {
    rows: [[f64; 3]; 3],
    centre_px: [f64; 2],
    half_diagonal_px: f64,
    k: [f64; 2],
    /// Foot point and the share of the lens's height that is left above the stack.
    raised: Option<([f64; 2], f64)>,
}

/// Iterations of the lens; each leaves a share of the error of about 3 k1 r2, so this many are plenty for mild lenses.
const ROUNDS: usize = 60;

impl Inverse {
    /// The way back to a surface `stack_mm` above a table.
    pub fn of(table: &Table, stack_mm: f64) -> Self {
        let [w, h] = table.picture_px.map(f64::from);
        let raised = table.stand.map(|s| ([s.foot_mm.x, s.foot_mm.y], 1.0 - stack_mm / s.height_mm));
        Self {
            rows: table.homography,
            centre_px: [table.lens.centre_px.x, table.lens.centre_px.y],
            half_diagonal_px: (w * w + h * h).sqrt() / 2.0,
            k: [table.lens.k1, table.lens.k2],
            raised,
        }
    }

    /// The point that a place in the picture lights; none where the lens or the horizon has no answer.
    pub fn mm_from_px(&self, x: f64, y: f64) -> Option<Point<OnTable>> {
        let [cx, cy] = self.centre_px;
        let far = (x - cx).hypot(y - cy) / self.half_diagonal_px;
        let mut radius = far;
        for _ in 0..ROUNDS {
            let r2 = radius * radius;
            let next = far / (1.0 + r2 * (self.k[0] + self.k[1] * r2));
            if !next.is_finite() || next < 0.0 {
                return None;
            }
            let moved = (next - radius).abs();
            radius = next;
            if moved < 1e-13 {
                break;
            }
        }
        let r2 = radius * radius;
        if (radius * (1.0 + r2 * (self.k[0] + self.k[1] * r2)) - far).abs() > 1e-7 {
            return None;
        }
        let grow = if far > 0.0 { radius / far } else { 1.0 };
        let [u, v] = [cx + (x - cx) * grow, cy + (y - cy) * grow];
        let [g0, g1, g2] = self.rows;
        let column = [0, 1, 2].map(|i| g0[i] - u * g2[i]);
        let row = [0, 1, 2].map(|i| g1[i] - v * g2[i]);
        let w = column[0] * row[1] - column[1] * row[0];
        let at = [column[1] * row[2] - column[2] * row[1], column[2] * row[0] - column[0] * row[2]].map(|c| c / w);
        let ahead = g2[0] * at[0] + g2[1] * at[1] + g2[2] > 0.0;
        let [px, py] = match self.raised {
            Some((foot, left)) => [foot[0] + (at[0] - foot[0]) * left, foot[1] + (at[1] - foot[1]) * left],
            None => at,
        };
        (ahead && px.is_finite() && py.is_finite()).then(|| Point::new(px, py))
    }
}
