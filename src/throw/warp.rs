//! Pose, stack height, homography and lens as the one uniform that a nudge rewrites.
//!
//! Everything affine or projective is multiplied out in f64 and rounded once. Pixels are counted from the lens centre
//! and millimetres from the marks' middle, which keeps the numbers small: f32 then moves no mark by 0.001 px
//! on a table of 3 m.

use super::Bed;
use super::blend::{Sense, Under};
use crate::geometry::{Map, Point, Table};
use crate::scene::light::linear;
use glam::{DMat3, DVec3};

/// The uniform; the fields mirror `Throw` in shaders/shared/throw.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Warp {
    /// Rows of the map from mark mm to ideal px from the lens centre.
    pub rows: [[f32; 4]; 3],
    /// k1, k2, half the diagonal in px, largest squared radius.
    pub lens: [f32; 4],
    /// Lens centre and picture size, px.
    pub picture_px: [f32; 4],
    /// What bright marks lie on, and dark ones, linear.
    pub under: [[f32; 4]; 2],
}

const _: () = assert!(size_of::<Warp>() == 112, "shaders/shared/throw.wgsl reads 112 bytes");

/// A squared radius that no picture reaches, in half diagonals.
const FAR: f64 = 1e6;

impl Warp {
    /// The map of marks whose coordinates are counted from `origin_mm` and which lie in the table by `table_from_mark`.
    /// `raised` tells whether they lie on top of the stack.
    pub fn of<F>(
        bed: Bed<'_>,
        table_from_mark: Map<F, Table>,
        origin_mm: Point<F>,
        raised: bool,
        under: Under,
    ) -> Self {
        let table = bed.table;
        let centre = table.lens.centre_px;
        let from_centre = rows([1.0, 0.0, -centre.x], [0.0, 1.0, -centre.y], [0.0, 0.0, 1.0]);
        let [u, v, w] = table.homography;
        let laid = matrix(table_from_mark.pre_translate(origin_mm.to_vector()));
        let all = from_centre * rows(u, v, w) * lowered(bed, raised) * laid;
        let row = |i: usize| all.row(i).as_vec3().extend(0.0).to_array();
        let [width, height] = table.picture_px.map(|n| n as f32);
        Self {
            rows: [row(0), row(1), row(2)],
            lens: [
                table.lens.k1 as f32,
                table.lens.k2 as f32,
                table.half_diagonal_px() as f32,
                turning_r2(table.lens.k1, table.lens.k2) as f32,
            ],
            picture_px: [centre.x as f32, centre.y as f32, width, height],
            under: [Sense::Bright, Sense::Dark].map(|sense| {
                let [r, g, b] = under.light(sense).map(|c| linear(c) as f32);
                [r, g, b, 1.0]
            }),
        }
    }
}

fn rows(u: [f64; 3], v: [f64; 3], w: [f64; 3]) -> DMat3 {
    DMat3::from_cols_array_2d(&[u, v, w]).transpose()
}

/// euclid maps rows; glam maps columns.
fn matrix<A, B>(map: Map<A, B>) -> DMat3 {
    rows([map.m11, map.m21, map.m31], [map.m12, map.m22, map.m32], DVec3::Z.to_array())
}

/// From a point on top of the stack to the table point lit by the same pixel: similar triangles about the foot.
fn lowered(bed: Bed<'_>, raised: bool) -> DMat3 {
    match bed.table.stand {
        Some(stand) if raised && bed.stack_mm != 0.0 => {
            let grow = stand.height_mm / (stand.height_mm - bed.stack_mm);
            let foot = stand.foot_mm * (1.0 - grow);
            rows([grow, 0.0, foot.x], [0.0, grow, foot.y], DVec3::Z.to_array())
        }
        _ => DMat3::IDENTITY,
    }
}

/// The squared radius at which `r (1 + k1 r^2 + k2 r^4)` stops growing: the smallest positive root of its derivative
/// `1 + 3 k1 r2 + 5 k2 r2^2`.
fn turning_r2(k1: f64, k2: f64) -> f64 {
    let (a, b) = (5.0 * k2, 3.0 * k1);
    if a == 0.0 {
        return if b < 0.0 { (-1.0 / b).min(FAR) } else { FAR };
    }
    let inner = b * b - 4.0 * a;
    if inner < 0.0 {
        return FAR;
    }
    // The stable form of the two roots: q/a and 1/q.
    let q = -0.5 * (b + inner.sqrt().copysign(b));
    [q / a, 1.0 / q].into_iter().filter(|r| *r > 0.0).fold(FAR, f64::min)
}

#[cfg(test)]
mod tests {
    use super::turning_r2;

    /// `1 + 3 k1 r2 + 5 k2 r2^2` is nothing there and positive before.
    #[test]
    fn the_turning_radius_is_where_the_lens_stops_opening() {
        for (k1, k2) in [(-0.08, 0.0), (-0.08, 0.01), (0.05, -0.02), (-0.3, -0.1), (-0.4, 0.03)] {
            let r2 = turning_r2(k1, k2);
            let slope = |r2: f64| 1.0 + 3.0 * k1 * r2 + 5.0 * k2 * r2 * r2;
            assert!(slope(r2).abs() < 1e-9 || r2 == super::FAR, "k1 {k1}, k2 {k2}: {r2}");
            assert!((1..100).all(|i| slope(r2.min(50.0) * f64::from(i) / 100.0) > 0.0), "k1 {k1}, k2 {k2}");
        }
        assert_eq!(turning_r2(0.08, 0.0), super::FAR);
        assert_eq!(turning_r2(0.0, 0.0), super::FAR);
    }
}
