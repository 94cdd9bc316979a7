//! The measure that lies on the cloth in its photo: a sheet of paper, a card, a ruler. It is no part of the print, and is
//! left out of it where the repeat is sought.

use super::straighten::Print;
use crate::geometry::Vector;
use crate::order::{Known, Photo};

/// A sheet reaches so far beyond its marked corners, as a share of its longer side: marks are set by hand, and it throws a
/// shadow. Common practice, no source.
const AROUND_SHARE: f64 = 0.04;

/// A ruler reaches so far to each side of the line between its marked ends, as a share of that line, and no farther than
/// this: rulers of 30 cm are 3 to 4 cm wide, longer ones hardly wider. Common practice, no source.
const BESIDE_SHARE: f64 = 0.12;
const MOST_BESIDE_MM: f64 = 45.0;

/// A ruler reaches so far beyond its marked ends, as a share of what lies between.
const BEYOND_SHARE: f64 = 0.05;

/// Of the photo at least this share is left: a frame about most of it is no sheet that lies on the cloth.
const LEAST_LEFT: f64 = 0.5;

/// A rectangle in the frame in which the marks of a photo were made, before its slant is taken out.
struct Measure {
    corner_mm: [f64; 2],
    /// Unit vector along its first side.
    along: [f64; 2],
    low_mm: [f64; 2],
    high_mm: [f64; 2],
}

/// The print without the measure by which its photo, so large in pixels, was made true to size: nothing is seen there. All
/// of it where too little would be left.
pub fn bare(print: &Print, size_px: [u32; 2], photo: &Photo) -> Print {
    let measure = Measure::of(size_px, photo);
    let (sin, cos) = photo.slant_deg.to_radians().sin_cos();
    let mut rgba = print.rgba.clone();
    for (i, pixel) in rgba.chunks_exact_mut(4).enumerate() {
        let (column, row) = (i % print.size_px[0], i / print.size_px[0]);
        let x = (column as f64 + 0.5) / print.size_px[0] as f64 * print.size_mm.x;
        let y = (1.0 - (row as f64 + 0.5) / print.size_px[1] as f64) * print.size_mm.y;
        let at = print.low_mm + Vector::new(x, y);
        let off = [at.x - photo.at_mm[0], at.y - photo.at_mm[1]];
        if measure.covers([off[0] * cos - off[1] * sin, off[0] * sin + off[1] * cos]) {
            pixel.fill(0);
        }
    }
    let seen = |rgba: &[u8]| rgba.chunks_exact(4).filter(|pixel| pixel[3] > 0).count() as f64;
    if seen(&rgba) < LEAST_LEFT * seen(&print.rgba) {
        return print.clone();
    }
    Print { rgba, ..print.clone() }
}

impl Measure {
    fn of(size_px: [u32; 2], photo: &Photo) -> Self {
        match photo.known {
            Known::Corners { size_mm: [along, across], .. } => {
                let around = AROUND_SHARE * along.max(across);
                let high_mm = [along + around, across + around];
                Self { corner_mm: [0.0; 2], along: [1.0, 0.0], low_mm: [-around; 2], high_mm }
            }
            Known::Length { at_px: [a, b], mm } => {
                let [x, y] = [b[0] - a[0], a[1] - b[1]];
                let px = x.hypot(y);
                let corner_mm = [a[0], f64::from(size_px[1]) - a[1]].map(|at| at * mm / px);
                let (beyond, beside) = (BEYOND_SHARE * mm, (BESIDE_SHARE * mm).min(MOST_BESIDE_MM));
                let (low_mm, high_mm) = ([-beyond, -beside], [mm + beyond, beside]);
                Self { corner_mm, along: [x / px, y / px], low_mm, high_mm }
            }
        }
    }

    /// Whether it lies over a place, told from the photo's first place.
    fn covers(&self, at_mm: [f64; 2]) -> bool {
        let off = [0, 1].map(|i| at_mm[i] - self.corner_mm[i]);
        let [x, y] = self.along;
        let own = [off[0] * x + off[1] * y, off[1] * x - off[0] * y];
        (0..2).all(|i| (self.low_mm[i]..=self.high_mm[i]).contains(&own[i]))
    }
}
