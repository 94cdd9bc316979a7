//! The print in one tone: the colours brought down to the one in which they differ most, uneven light taken out.
//!
//! Light multiplies what the cloth gives back, so in logarithms it is added, and being smooth over the whole photo it is a
//! polynomial that is fitted and subtracted. What is left of the three colours is projected on the direction of its
//! largest variance (principal components, K. Pearson 1901), so that a print of two colours equally bright is seen too.

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

use crate::motif::Print;

/// Longest side that is looked at: more costs time, and a place between pixels is found anyway.
const MOST_PX: usize = 512;

/// Terms of a polynomial of the third degree in two places.
const TERMS: usize = 10;

/// A print in one tone.
#[derive(Clone, Debug)]
pub struct Tone {
    /// Its width and height.
    pub size_px: [usize; 2],
    /// What a pixel measures along and across.
    pub pixel_mm: [f64; 2],
    /// The tone of each pixel, row by row from the near selvedge; nought on average, and where nothing is seen.
    pub values: Vec<f64>,
    /// 1 where the photo shows the cloth, else 0.
    pub seen: Vec<f64>,
}

impl Tone {
    /// The tone of a flat print; none when next to nothing is seen of it, or it is all of one tone.
    pub fn of(print: &Print) -> Option<Self> {
        let step = print.size_px[0].max(print.size_px[1]).div_ceil(MOST_PX).max(1);
        let size_px = print.size_px.map(|side| side / step);
        let pixel_mm = [print.size_mm.x, print.size_mm.y];
        let pixel_mm = [0, 1].map(|i| pixel_mm[i] / print.size_px[i] as f64 * step as f64);
        let count = size_px[0] * size_px[1];
        let colours: Vec<Option<Vector3<f64>>> =
            (0..count).map(|i| colour(print, step, [i % size_px[0], i / size_px[0]])).collect();
        let seen: Vec<f64> = colours.iter().map(|colour| f64::from(u8::from(colour.is_some()))).collect();
        if seen.iter().sum::<f64>() < (8 * TERMS) as f64 {
            return None;
        }
        let flat = evenly_lit(&colours, size_px)?;
        let covariance: Matrix3<f64> = flat.iter().map(|colour| colour * colour.transpose()).sum();
        let axes = covariance.symmetric_eigen();
        let most = axes.eigenvalues.imax();
        let axis = axes.eigenvectors.column(most).into_owned();
        let values: Vec<f64> = flat.iter().map(|colour| colour.dot(&axis)).collect();
        (axes.eigenvalues[most] > f64::EPSILON).then(|| Self { size_px, pixel_mm, values, seen }.softened())
    }

    /// Each pixel mixed with those about it (1 2 1, both ways), so that single grains of noise weigh less.
    fn softened(mut self) -> Self {
        let [width, height] = self.size_px;
        let seen = self.seen.clone();
        for (step, count, at) in [(1, width, 0), (width, height, 1)] {
            let old = self.values.clone();
            let place = |i: usize| if at == 0 { i % width } else { i / width };
            self.values = (0..old.len())
                .map(|i| {
                    let before = (place(i) > 0).then(|| i - step);
                    let after = (place(i) + 1 < count).then(|| i + step);
                    let beside = [before, after].into_iter().flatten().map(|k| (k, 1.0));
                    let (sum, weight) = beside.chain([(i, 2.0)]).fold((0.0, 0.0), |(sum, weight), (k, share)| {
                        (sum + share * old[k] * seen[k], weight + share * seen[k])
                    });
                    if weight > 0.0 { seen[i] * sum / weight } else { 0.0 }
                })
                .collect();
        }
        self
    }
}

/// The mean colour of a square of the print's pixels, in logarithms; none where any of it is not seen.
fn colour(print: &Print, step: usize, [column, row]: [usize; 2]) -> Option<Vector3<f64>> {
    // Rows of a print begin at the far side.
    let top = print.size_px[1] - (row + 1) * step;
    let mut sum = Vector3::zeros();
    for y in top..top + step {
        for x in column * step..(column + 1) * step {
            let pixel = print.rgba.get(4 * (y * print.size_px[0] + x)..)?.get(..4)?;
            if pixel[3] == 0 {
                return None;
            }
            sum += Vector3::new(f64::from(pixel[0]), f64::from(pixel[1]), f64::from(pixel[2]));
        }
    }
    Some((sum / (step * step) as f64).map(f64::ln_1p))
}

/// The colours less the smooth part of each channel; nought where nothing is seen.
fn evenly_lit(colours: &[Option<Vector3<f64>>], size_px: [usize; 2]) -> Option<Vec<Vector3<f64>>> {
    let terms = |i: usize| {
        let share = |place: usize, of: usize| 2.0 * (place as f64 + 0.5) / of as f64 - 1.0;
        let (x, y) = (share(i % size_px[0], size_px[0]), share(i / size_px[0], size_px[1]));
        SVector::<f64, TERMS>::from([1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y])
    };
    let mut normal = SMatrix::<f64, TERMS, TERMS>::zeros();
    let mut right = SMatrix::<f64, TERMS, 3>::zeros();
    for (i, colour) in colours.iter().enumerate() {
        let Some(colour) = colour else { continue };
        let terms = terms(i);
        normal += terms * terms.transpose();
        right += terms * colour.transpose();
    }
    let light = normal.cholesky()?.solve(&right);
    let flat = |(i, colour): (usize, &Option<Vector3<f64>>)| {
        colour.map_or_else(Vector3::zeros, |colour| colour - light.transpose() * terms(i))
    };
    Some(colours.iter().enumerate().map(flat).collect())
}
