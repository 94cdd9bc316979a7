//! How like itself a print is when it is moved: the correlation of what lies over one another, for every move.
//!
//! Each move is judged by the part that overlaps alone, by its own means and variances (D. Padfield, *Masked Object
//! Registration in the Fourier Domain*, IEEE Transactions on Image Processing 21, 2012): a plain autocorrelation falls
//! off with the overlap and draws its peaks towards nought, this one does not. All sums come from Fourier transforms of
//! the print set in nothing.

use rustfft::num_complex::Complex;

use super::fourier::{Plane, quick_length};
use super::tone::Tone;

/// Moves up to this share of the print's size are looked at.
const FARTHEST: f64 = 0.75;

/// Less than this share of the print lying over itself says nothing.
const LEAST_OVERLAP: f64 = 0.2;

/// The likeness of a print to itself, from -1 to 1, by how far it is moved.
#[derive(Clone, Debug)]
pub struct Likeness {
    /// The farthest move along and across, in pixels.
    pub farthest_px: [i32; 2],
    values: Vec<f64>,
}

impl Likeness {
    /// The likeness of a print in one tone.
    pub fn of(tone: &Tone) -> Self {
        let far = tone.size_px.map(|side| (FARTHEST * side as f64) as usize);
        let size = [0, 1].map(|i| quick_length(tone.size_px[i] + far[i] + 1));
        let squares: Vec<f64> = tone.values.iter().map(|value| value * value).collect();
        let both = Plane::of(size, tone.size_px, &tone.values, &tone.seen).forward();
        let squared = Plane::of(size, tone.size_px, &squares, &vec![0.0; squares.len()]).forward();
        let imaginary = Complex::new(0.0, 1.0);
        let products = Plane::filled(size, |column, row| {
            let [value, seen] = both.parts(column, row);
            value.norm_sqr() + imaginary * seen.norm_sqr()
        })
        .back();
        let sums = Plane::filled(size, |column, row| {
            let [value, seen] = both.parts(column, row);
            value.conj() * seen + imaginary * squared.at(column, row).conj() * seen
        })
        .back();
        let seen_px: f64 = tone.seen.iter().sum();
        let farthest_px = far.map(|far| far as i32);
        let round = |by: i32, of: usize| by.rem_euclid(of as i32) as usize;
        let likeness = |x: i32, y: i32| {
            let (to, from) = ([round(x, size[0]), round(y, size[1])], [round(-x, size[0]), round(-y, size[1])]);
            let (product, overlap) = (products.at(to[0], to[1]).re, products.at(to[0], to[1]).im);
            if overlap < LEAST_OVERLAP * seen_px {
                return f64::NAN;
            }
            let [one, other] = [to, from].map(|at| sums.at(at[0], at[1]));
            let variance = |sums: Complex<f64>| (sums.im - sums.re * sums.re / overlap).max(0.0);
            let spread = (variance(one) * variance(other)).sqrt();
            if spread > f64::EPSILON { (product - one.re * other.re / overlap) / spread } else { 0.0 }
        };
        let rows = -farthest_px[1]..=farthest_px[1];
        let values = rows.flat_map(|y| (-farthest_px[0]..=farthest_px[0]).map(move |x| (x, y)));
        let values = values.map(|(x, y)| likeness(x, y)).collect();
        Self { farthest_px, values }
    }

    /// The likeness at a move; none where too little overlaps.
    pub fn at(&self, x: i32, y: i32) -> Option<f64> {
        let [far_x, far_y] = self.farthest_px;
        if x.abs() > far_x || y.abs() > far_y {
            return None;
        }
        let value = self.values[(y + far_y) as usize * (2 * far_x + 1) as usize + (x + far_x) as usize];
        (!value.is_nan()).then_some(value)
    }

    /// The likeness at the whole move nearest to one.
    pub fn near(&self, [x, y]: [f64; 2]) -> Option<f64> {
        self.at(x.round() as i32, y.round() as i32)
    }

    /// The highest likeness of any move of at least so many pixels.
    pub fn highest(&self, least_px: f64) -> f64 {
        let [far_x, far_y] = self.farthest_px;
        let moves = (0..=far_y).flat_map(|y| (-far_x..=far_x).map(move |x| (x, y)));
        let far = moves.filter(|(x, y)| f64::from(*x).hypot(f64::from(*y)) >= least_px);
        far.filter_map(|(x, y)| self.at(x, y)).fold(0.0, f64::max)
    }

    /// The summit at a place that lies above all eight about it: where between the pixels, and how high. By the parabola
    /// through three, both ways.
    pub fn summit(&self, x: i32, y: i32) -> Option<([f64; 2], f64)> {
        let here = self.at(x, y)?;
        for (i, k) in [(-1, -1), (0, -1), (1, -1), (-1, 0), (1, 0), (-1, 1), (0, 1), (1, 1)] {
            if self.at(x + i, y + k)? > here {
                return None;
            }
        }
        let off = |before: f64, after: f64| {
            let bend = before - 2.0 * here + after;
            if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 }
        };
        let dx = off(self.at(x - 1, y)?, self.at(x + 1, y)?);
        let dy = off(self.at(x, y - 1)?, self.at(x, y + 1)?);
        Some(([f64::from(x) + dx, f64::from(y) + dy], here))
    }

    /// The least likeness on the straight way to a move.
    pub fn least_on_the_way(&self, [x, y]: [f64; 2]) -> f64 {
        let steps = x.hypot(y).ceil().max(1.0) as usize;
        let on_the_way = |i: usize| self.near([x, y].map(|far| far * i as f64 / steps as f64));
        (0..=steps).filter_map(on_the_way).fold(f64::INFINITY, f64::min)
    }
}
