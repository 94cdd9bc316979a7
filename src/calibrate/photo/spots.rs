//! Round spots in a photo: discs and rings, dark on light or light on dark.
//!
//! A pixel belongs to a spot when it is darker (or lighter) than the mean around it. What hangs together is a spot when
//! its area is that of the ellipse with the same second moments: for a filled ellipse the area is 4 pi sqrt(det) of its
//! covariance, for a ring less. The centre is the centroid of the contrast against the ground around, which a pixel's
//! rounding hardly moves.

use image::{GrayImage, Luma, imageops};
use imageproc::contrast::adaptive_threshold;
use imageproc::region_labelling::{Connectivity, connected_components};

use crate::geometry::{Pixel, Point, Vector};

/// A round spot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Its centre.
    pub at_px: Point<Pixel>,
    /// Radius of the circle of the same area, hole included.
    pub radius_px: f64,
    /// How far its light stands off that of the ground around it, of 255.
    pub contrast: f64,
    /// Whether it has a hole in its middle.
    pub ring: bool,
}

/// The mean is taken over squares of this share of the photo's width, some spots wide.
const AROUND_SHARE: f64 = 1.0 / 24.0;

/// A pixel differs from the mean around it by at least this, of 255.
const CONTRAST: i32 = 14;

/// A spot has at least so many pixels, and at most this share of the photo's width as its radius.
const FEWEST_PIXELS: f64 = 28.0;
const LARGEST_SHARE: f64 = 1.0 / 30.0;

/// Area over that of the ellipse with the same moments: of a disc, and of a ring with a hole of 0.35 to 0.55 of its radius.
const DISC: [f64; 2] = [0.93, 1.06];
const RING: [f64; 2] = [0.45, 0.93];

/// Seen slantwise a circle is an ellipse; one narrower than this is none of ours.
const LEAST_AXES: f64 = 0.35;

/// Contrast below this share of the spot's own is noise.
const NOISE_SHARE: f64 = 0.12;

/// Dark spots on lighter ground.
pub fn dark(photo: &GrayImage) -> Vec<Spot> {
    let mut negative = photo.clone();
    imageops::invert(&mut negative);
    spots(&negative, |grey| 255.0 - linear(255 - grey))
}

/// Light spots on darker ground.
pub fn light(photo: &GrayImage) -> Vec<Spot> {
    spots(photo, linear)
}

/// Spots whose grey is higher than the mean around; `light` is what a grey value stands for.
fn spots(photo: &GrayImage, light: fn(u8) -> f64) -> Vec<Spot> {
    let radius_px = (f64::from(photo.width()) * AROUND_SHARE).max(3.0) as u32;
    let brighter = adaptive_threshold(photo, radius_px, -CONTRAST);
    let labels = connected_components(&brighter, Connectivity::Four, Luma([0]));
    let count = labels.pixels().map(|label| label.0[0]).max().unwrap_or(0) as usize;
    let mut heaps = vec![Heap::default(); count + 1];
    for (x, y, label) in labels.enumerate_pixels() {
        heaps[label.0[0] as usize].add(x, y);
    }
    let inside = |heap: &Heap| {
        heap.low[0] > 0 && heap.low[1] > 0 && heap.high[0] + 1 < photo.width() && heap.high[1] + 1 < photo.height()
    };
    heaps.iter().skip(1).filter(|heap| inside(heap)).filter_map(|heap| spot(photo, light, heap)).collect()
}

/// Pixels that hang together: their sums.
#[derive(Clone, Copy, Debug)]
struct Heap {
    count: f64,
    sum: [f64; 2],
    square: [f64; 3],
    low: [u32; 2],
    high: [u32; 2],
}

impl Default for Heap {
    fn default() -> Self {
        Self { count: 0.0, sum: [0.0; 2], square: [0.0; 3], low: [u32::MAX; 2], high: [0; 2] }
    }
}

impl Heap {
    fn add(&mut self, x: u32, y: u32) {
        let (fx, fy) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
        self.count += 1.0;
        self.sum = [self.sum[0] + fx, self.sum[1] + fy];
        self.square = [self.square[0] + fx * fx, self.square[1] + fx * fy, self.square[2] + fy * fy];
        self.low = [self.low[0].min(x), self.low[1].min(y)];
        self.high = [self.high[0].max(x), self.high[1].max(y)];
    }

    /// Variances along both axes of the ellipse with the same moments, the larger first.
    fn axes(&self) -> [f64; 2] {
        let mean = self.sum.map(|sum| sum / self.count);
        let xx = self.square[0] / self.count - mean[0] * mean[0];
        let xy = self.square[1] / self.count - mean[0] * mean[1];
        let yy = self.square[2] / self.count - mean[1] * mean[1];
        let (middle, apart) = (f64::midpoint(xx, yy), ((xx - yy) / 2.0).hypot(xy));
        [middle + apart, (middle - apart).max(0.0)]
    }
}

fn spot(photo: &GrayImage, light: fn(u8) -> f64, heap: &Heap) -> Option<Spot> {
    if heap.count < FEWEST_PIXELS {
        return None;
    }
    let [long, short] = heap.axes();
    let round = 4.0 * std::f64::consts::PI * (long * short).sqrt();
    let filled = heap.count / round;
    let within = |range: [f64; 2]| (range[0]..=range[1]).contains(&filled);
    let ring = within(RING);
    // Of a ring the area is pi (R2 - r2) and the moments are those of an area pi (R2 + r2).
    let outer = if ring { f64::midpoint(heap.count, round) } else { heap.count };
    let radius_px = (outer / std::f64::consts::PI).sqrt();
    let small_enough = radius_px <= f64::from(photo.width()) * LARGEST_SHARE;
    if !(ring || within(DISC)) || !small_enough || short < LEAST_AXES * LEAST_AXES * long {
        return None;
    }
    let (at_px, weight) = centre(photo, light, heap)?;
    Some(Spot { at_px, radius_px, contrast: weight / heap.count, ring })
}

/// Light of a grey value, of 255: cameras write it nearly so (IEC 61966-2-1 with one exponent). Blur adds light, not grey
/// values, so that a centre is one of light.
fn linear(grey: u8) -> f64 {
    255.0 * (f64::from(grey) / 255.0).powf(2.2)
}

/// The centroid of the contrast in the spot's box and a little around it, and the sum of the contrast.
fn centre(photo: &GrayImage, light: fn(u8) -> f64, heap: &Heap) -> Option<(Point<Pixel>, f64)> {
    let reach = |i: usize| 3 + (heap.high[i] - heap.low[i]) / 6;
    let low = [0, 1].map(|i| heap.low[i].saturating_sub(reach(i)));
    let high = [(heap.high[0] + reach(0)).min(photo.width() - 1), (heap.high[1] + reach(1)).min(photo.height() - 1)];
    let value = |x: u32, y: u32| light(photo.get_pixel(x, y).0[0]);
    let frame = (low[0]..=high[0]).flat_map(|x| [(x, low[1]), (x, high[1])]);
    let frame = frame.chain((low[1]..=high[1]).flat_map(|y| [(low[0], y), (high[0], y)]));
    let mut around: Vec<f64> = frame.map(|(x, y)| value(x, y)).collect();
    around.sort_by(f64::total_cmp);
    let ground = around[around.len() / 2];
    let pixels = || (low[1]..=high[1]).flat_map(|y| (low[0]..=high[0]).map(move |x| (x, y)));
    let most = pixels().map(|(x, y)| value(x, y) - ground).fold(0.0, f64::max);
    let (mut weight, mut sum) = (0.0, Vector::<Pixel>::new(0.0, 0.0));
    for (x, y) in pixels() {
        let above = value(x, y) - ground;
        if above > NOISE_SHARE * most {
            weight += above;
            sum += Vector::new(f64::from(x) + 0.5, f64::from(y) + 0.5) * above;
        }
    }
    (weight > 0.0).then(|| ((sum / weight).to_point(), weight))
}
