//! One repeat, the mean of all that the photo shows, and whether it looks the same when it is turned or mirrored.
//!
//! A print that falls on itself when it is turned end for end, or whose upper half mirrors the lower, has no head and no
//! foot. One that does neither has one way up, unless its motifs lie in all directions, which no symmetry tells: there
//! only she can say.

use rustfft::num_complex::Complex;

use super::fourier::Plane;
use super::square::Square;
use super::tone::Tone;

/// Most places along and across a cell.
const MOST: usize = 96;

/// The likeness of halves that is taken where the photo shows too little to compare them.
const USUAL: f64 = 0.9;

/// How like itself a print is when it is turned end for end, and when it is mirrored about a line across the cloth and
/// about one along it; 1 is as like as one repeat is to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Symmetry {
    /// Turned end for end.
    pub turned_share: f64,
    /// Its head end for its foot.
    pub head_for_foot_share: f64,
    /// Its left side for its right.
    pub side_for_side_share: f64,
}

/// The symmetry of a print whose repeat is known.
pub fn symmetry(tone: &Tone, square: &Square) -> Symmetry {
    let size = square.moves_px.map(|by| (by[0].hypot(by[1]).round() as usize).clamp(2, MOST));
    let [odd, even] = folded(tone, square, size);
    let whole: Vec<f64> = odd.iter().zip(&even).map(|(a, b)| mean([*a, *b])).collect();
    let halves = odd.iter().zip(&even).filter(|(a, b)| a.1 > 0.0 && b.1 > 0.0);
    let halves: Vec<[f64; 2]> = halves.map(|(a, b)| [a.0 / a.1, b.0 / b.1]).collect();
    // Two halves as like as this make a whole that is like the true print by that much (Spearman and Brown, 1910).
    let half = if 2 * halves.len() > whole.len() { correlation(&halves) } else { USUAL };
    let reliable = (2.0 * half / (1.0 + half)).clamp(0.1, 1.0);
    let middle = whole.iter().sum::<f64>() / whole.len() as f64;
    let values: Vec<f64> = whole.iter().map(|value| value - middle).collect();
    let power: f64 = values.iter().map(|value| value * value).sum::<f64>().max(f64::EPSILON);
    let plane = Plane::of(size, size, &values, &vec![0.0; values.len()]).forward();
    let best = |other: &dyn Fn(usize, usize) -> Complex<f64>| {
        let product = Plane::filled(size, |x, y| plane.at(x, y).conj() * other(x, y)).back();
        let most = product.values.iter().map(|value| value.re).fold(f64::MIN, f64::max);
        (most / power / reliable).min(1.0)
    };
    Symmetry {
        turned_share: best(&|x, y| plane.at(size[0] - x, size[1] - y)),
        head_for_foot_share: best(&|x, y| plane.at(size[0] - x, y)),
        side_for_side_share: best(&|x, y| plane.at(x, size[1] - y)),
    }
}

/// Sum and weight of a place of the cell.
type Sum = (f64, f64);

fn mean(parts: [Sum; 2]) -> f64 {
    let (sum, weight) = parts.iter().fold((0.0, 0.0), |(sum, weight), part| (sum + part.0, weight + part.1));
    if weight > 0.0 { sum / weight } else { 0.0 }
}

/// Every pixel of the photo put into the cell where it belongs: those of every second repeat apart from the others.
fn folded(tone: &Tone, square: &Square, size: [usize; 2]) -> [Vec<Sum>; 2] {
    let [a, b] = square.moves_px;
    let area = a[0] * b[1] - a[1] * b[0];
    let mut halves = [vec![(0.0, 0.0); size[0] * size[1]], vec![(0.0, 0.0); size[0] * size[1]]];
    for (i, value) in tone.values.iter().enumerate().filter(|(i, _)| tone.seen[*i] > 0.0) {
        let (x, y) = ((i % tone.size_px[0]) as f64, (i / tone.size_px[0]) as f64);
        let repeats = [(x * b[1] - y * b[0]) / area, (a[0] * y - a[1] * x) / area];
        let place = [0, 1].map(|k| ((repeats[k].rem_euclid(1.0) * size[k] as f64) as usize).min(size[k] - 1));
        let half = (repeats[0].floor() + repeats[1].floor()).rem_euclid(2.0) as usize;
        let sum = &mut halves[half.min(1)][place[1] * size[0] + place[0]];
        *sum = (sum.0 + value, sum.1 + 1.0);
    }
    halves
}

fn correlation(pairs: &[[f64; 2]]) -> f64 {
    let count = pairs.len() as f64;
    let means = [0, 1].map(|k| pairs.iter().map(|pair| pair[k]).sum::<f64>() / count);
    let sum = |k: usize, l: usize| pairs.iter().map(|pair| (pair[k] - means[k]) * (pair[l] - means[l])).sum::<f64>();
    let spread = (sum(0, 0) * sum(1, 1)).sqrt();
    if spread > f64::EPSILON { sum(0, 1) / spread } else { 0.0 }
}
