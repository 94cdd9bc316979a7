//! The print as the ground of a lay's drawing: that of the layer on the table, right side up, true to size under the pieces.

use super::open::{Open, open_from_cloth};
use super::straighten::Print;
use crate::geometry::{Cloth, Point};
use crate::lay::Lay;

/// Longest side of the picture, so that a drawing stays a few hundred kilobytes large.
const MOST_PX: f64 = 1600.0;

/// Finest that a drawing shows a print.
const MOST_PER_MM: f64 = 2.0;

/// How much of the print is seen: lines must be read upon it.
const SEEN_SHARE: f64 = 0.5;

/// Most samples along each side of a pixel, so that no print finer than a pixel makes a pattern of its own.
const MOST_SAMPLES: usize = 6;

/// The print under a lay as a picture, paled, over all of one length as it lies folded.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Width and height of its pixels.
    pub size_px: [u32; 2],
    /// Its pixels, row by row from the far side: red, green, blue; white where the photo shows nothing.
    pub rgb: Vec<u8>,
}

/// The ground of a lay.
pub fn ground(lay: &Lay, print: &Print) -> Ground {
    let size_mm = [lay.length_mm, lay.folded_width_mm];
    let per_mm = MOST_PER_MM.min(MOST_PX / size_mm[0].max(size_mm[1]));
    let size_px = size_mm.map(|mm| ((mm * per_mm).round() as usize).max(1));
    let open_from_cloth = open_from_cloth(lay, 0);
    let print_per_mm = print.size_px[0] as f64 / print.size_mm.x;
    let samples = ((print_per_mm / per_mm).ceil() as usize).clamp(1, MOST_SAMPLES);
    let mut rgb = Vec::with_capacity(3 * size_px[0] * size_px[1]);
    for row in 0..size_px[1] {
        for column in 0..size_px[0] {
            let mut sum = [0.0; 3];
            for k in 0..samples * samples {
                let share = |i: usize, k: usize, of: usize| (i as f64 + (k as f64 + 0.5) / samples as f64) / of as f64;
                let x = share(column, k % samples, size_px[0]) * size_mm[0];
                let y = (1.0 - share(row, k / samples, size_px[1])) * size_mm[1];
                let seen = print.at(open_from_cloth.transform_point(Point::<Cloth>::new(x, y)));
                (0..3).for_each(|i| sum[i] += seen.map_or(255.0, |colour| f64::from(colour[i])));
            }
            let mean = sum.map(|sum| sum / (samples * samples) as f64);
            rgb.extend(mean.map(|mean| (255.0 - SEEN_SHARE * (255.0 - mean)).round() as u8));
        }
    }
    Ground { size_px: size_px.map(|px| px as u32), rgb }
}

impl Print {
    /// The colour at a place of the open cloth; none where the photo shows nothing.
    fn at(&self, at: Point<Open>) -> Option<[u8; 3]> {
        let share = [(at.x - self.low_mm.x) / self.size_mm.x, 1.0 - (at.y - self.low_mm.y) / self.size_mm.y];
        let share = if self.repeats { share.map(|share| share.rem_euclid(1.0)) } else { share };
        if share.iter().any(|share| !(0.0..1.0).contains(share)) {
            return None;
        }
        let [column, row] = [0, 1].map(|i| ((share[i] * self.size_px[i] as f64) as usize).min(self.size_px[i] - 1));
        let first = 4 * (row * self.size_px[0] + column);
        match self.rgba.get(first..first + 4)? {
            [_, _, _, 0] => None,
            [red, green, blue, _] => Some([*red, *green, *blue]),
            _ => None,
        }
    }
}
