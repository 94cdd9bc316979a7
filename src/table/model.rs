//! Homography, lens and stack height: the three steps between a point on the table and its pixel.
//!
//! Ideal pixel of a table point: `(u, v, w) = H (x, y, 1)`, `p = (u/w, v/w)` (Hartley and Zisserman,
//! *Multiple View Geometry*, 2nd ed. 2004, section 2.3). The lens moves it along the ray from its centre `c`:
//! with `s` half the picture's diagonal and `q = (p - c)/s`, the thrown pixel is
//! `c + s q (1 + k1 |q|^2 + k2 |q|^4)`, the radial polynomial of Brown, "Close-range camera calibration",
//! *Photogrammetric Engineering* 37 (1971). Cloth lying `h` above the table is lit by the pixel that would light
//! `F + (X - F) Z/(Z - h)` without it, `F` being the foot point under the lens and `Z` the lens's height
//! (similar triangles).

use crate::geometry::{self, Pixel, Point, Vector};

/// The radial lens terms. All zero means a lens without distortion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lens {
    /// Centre of distortion.
    pub centre_px: Point<Pixel>,
    /// First radial term, in units of half the picture's diagonal.
    pub k1: f64,
    /// Second radial term, same unit.
    pub k2: f64,
}

/// Where the projector's lens stands over the table; needed only to correct for a stack of cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// The point of the table straight below the lens.
    pub foot_mm: Point<geometry::Table>,
    /// Height of the lens above the table.
    pub height_mm: f64,
}

/// A table: the map between table millimetres and projector pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Width and height of the picture.
    pub picture_px: [u32; 2],
    /// Table mm to ideal pixel, rows first, last entry 1.
    pub homography: [[f64; 3]; 3],
    /// The lens terms.
    pub lens: Lens,
    /// Where the lens stands, when known.
    pub stand: Option<Stand>,
}

/// Newton steps allowed when the lens is undone; each doubles the digits, so six reach f64 from any mild lens.
const LENS_STEPS: usize = 20;

impl Lens {
    /// A lens that distorts nothing, centred in the picture.
    pub fn none(picture_px: [u32; 2]) -> Self {
        Self { centre_px: Point::new(f64::from(picture_px[0]) / 2.0, f64::from(picture_px[1]) / 2.0), k1: 0.0, k2: 0.0 }
    }

    /// Whether this lens distorts nothing.
    pub fn is_none(&self) -> bool {
        self.k1 == 0.0 && self.k2 == 0.0
    }

    /// The thrown pixel of an ideal one. `half_diagonal_px` is the unit of the radial terms.
    ///
    /// None where the polynomial has turned back on itself (a fold-over outside the picture).
    pub fn thrown(&self, ideal: Point<Pixel>, half_diagonal_px: f64) -> Option<Point<Pixel>> {
        let q = (ideal - self.centre_px) / half_diagonal_px;
        let r2 = q.square_length();
        if 1.0 + 3.0 * self.k1 * r2 + 5.0 * self.k2 * r2 * r2 <= 0.0 {
            return None;
        }
        Some(self.centre_px + q * half_diagonal_px * (1.0 + self.k1 * r2 + self.k2 * r2 * r2))
    }

    /// The ideal pixel of a thrown one, by Newton's method on the radius.
    pub fn ideal(&self, thrown: Point<Pixel>, half_diagonal_px: f64) -> Option<Point<Pixel>> {
        let d = (thrown - self.centre_px) / half_diagonal_px;
        let rho = d.length();
        if rho == 0.0 || self.is_none() {
            return Some(thrown);
        }
        let mut r = rho;
        for _ in 0..LENS_STEPS {
            let r2 = r * r;
            let slope = 1.0 + 3.0 * self.k1 * r2 + 5.0 * self.k2 * r2 * r2;
            if slope <= 0.0 {
                return None;
            }
            let step = (r * (1.0 + self.k1 * r2 + self.k2 * r2 * r2) - rho) / slope;
            r -= step;
            if step.abs() < 1e-15 * rho.max(1.0) {
                break;
            }
        }
        let reached = r * (1.0 + self.k1 * r * r + self.k2 * r.powi(4));
        ((reached - rho).abs() < 1e-9).then(|| self.centre_px + d * (half_diagonal_px * r / rho))
    }
}

impl Stand {
    /// The table point whose pixel lights `at_mm` on top of a stack `stack_mm` high.
    pub fn below_stack(&self, at_mm: Point<geometry::Table>, stack_mm: f64) -> Point<geometry::Table> {
        self.foot_mm + (at_mm - self.foot_mm) * (self.height_mm / (self.height_mm - stack_mm))
    }

    /// The point on top of a stack that is lit by the pixel of table point `at_mm`.
    pub fn on_stack(&self, at_mm: Point<geometry::Table>, stack_mm: f64) -> Point<geometry::Table> {
        self.foot_mm + (at_mm - self.foot_mm) * ((self.height_mm - stack_mm) / self.height_mm)
    }
}

impl Table {
    /// A table whose millimetres are the picture's own pixels, counted from its lower left corner: for what belongs to a
    /// screen and not to a table, such as the test grid.
    pub fn of_pixels(picture_px: [u32; 2]) -> Self {
        let homography = [[1.0, 0.0, 0.0], [0.0, -1.0, f64::from(picture_px[1])], [0.0, 0.0, 1.0]];
        Self { picture_px, homography, lens: Lens::none(picture_px), stand: None }
    }

    /// Half the picture's diagonal, the unit of the lens terms.
    pub fn half_diagonal_px(&self) -> f64 {
        f64::from(self.picture_px[0]).hypot(f64::from(self.picture_px[1])) / 2.0
    }

    /// The ideal pixel (before the lens) of a table point; none behind the projector's horizon.
    pub fn ideal_px_from_mm(&self, at_mm: Point<geometry::Table>) -> Option<Point<Pixel>> {
        let h = &self.homography;
        let row = |i: usize| h[i][0] * at_mm.x + h[i][1] * at_mm.y + h[i][2];
        let w = row(2);
        (w > 0.0).then(|| Point::new(row(0) / w, row(1) / w))
    }

    /// The thrown pixel that lights a point of the table.
    pub fn px_from_mm(&self, at_mm: Point<geometry::Table>) -> Option<Point<Pixel>> {
        self.lens.thrown(self.ideal_px_from_mm(at_mm)?, self.half_diagonal_px())
    }

    /// The point of the table that a thrown pixel lights.
    pub fn mm_from_px(&self, at_px: Point<Pixel>) -> Option<Point<geometry::Table>> {
        let ideal = self.lens.ideal(at_px, self.half_diagonal_px())?;
        let inverse = nalgebra::Matrix3::from_fn(|i, j| self.homography[i][j]).try_inverse()?;
        let p = inverse * nalgebra::Vector3::new(ideal.x, ideal.y, 1.0);
        (p.z > 0.0).then(|| Point::new(p.x / p.z, p.y / p.z))
    }

    /// The thrown pixel that lights a point on top of a stack; none when the stand is not known and the stack is.
    pub fn px_from_mm_at(&self, at_mm: Point<geometry::Table>, stack_mm: f64) -> Option<Point<Pixel>> {
        if stack_mm == 0.0 {
            return self.px_from_mm(at_mm);
        }
        self.px_from_mm(self.stand?.below_stack(at_mm, stack_mm))
    }

    /// The point on top of a stack that a thrown pixel lights.
    pub fn mm_from_px_at(&self, at_px: Point<Pixel>, stack_mm: f64) -> Option<Point<geometry::Table>> {
        let on_table = self.mm_from_px(at_px)?;
        if stack_mm == 0.0 {
            return Some(on_table);
        }
        Some(self.stand?.on_stack(on_table, stack_mm))
    }

    /// How far the table point moves, in mm, when the pixel moves by one along x and along y.
    pub fn mm_per_px(&self, at_px: Point<Pixel>) -> Option<[Vector<geometry::Table>; 2]> {
        let half = 0.5;
        let across = |d: Vector<Pixel>| Some(self.mm_from_px(at_px + d)? - self.mm_from_px(at_px - d)?);
        Some([across(Vector::new(half, 0.0))?, across(Vector::new(0.0, half))?])
    }

    /// Whether every corner of the picture lights a point of the table, and that point comes back to it.
    pub fn is_sound(&self) -> bool {
        self.lit_corners_mm().is_some_and(|corners| {
            corners.iter().all(|at| at.is_finite() && self.px_from_mm(*at).is_some_and(|px| px.is_finite()))
        })
    }

    /// The four corners of the lit area on the table, in the order of the picture's corners
    /// top left, top right, bottom right, bottom left.
    pub fn lit_corners_mm(&self) -> Option<[Point<geometry::Table>; 4]> {
        let [w, h] = self.picture_px.map(f64::from);
        let corner = |x, y| self.mm_from_px(Point::new(x, y));
        Some([corner(0.0, 0.0)?, corner(w, 0.0)?, corner(w, h)?, corner(0.0, h)?])
    }
}
