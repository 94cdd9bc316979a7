//! Fourier's transform of a plane, by rustfft row by row and column by column.

use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

/// A plane of complex numbers, row by row.
#[derive(Clone)]
pub struct Plane {
    /// Columns and rows.
    pub size: [usize; 2],
    /// The numbers.
    pub values: Vec<Complex<f64>>,
}

impl Plane {
    /// Two planes of real numbers, `first` as its real and `second` as its imaginary part, nought beyond them.
    pub fn of(size: [usize; 2], within: [usize; 2], first: &[f64], second: &[f64]) -> Self {
        let mut values = vec![Complex::default(); size[0] * size[1]];
        for (row, (first, second)) in first.chunks(within[0]).zip(second.chunks(within[0])).enumerate() {
            for (column, (re, im)) in first.iter().zip(second).enumerate() {
                values[row * size[0] + column] = Complex::new(*re, *im);
            }
        }
        Self { size, values }
    }

    /// Its transform.
    #[must_use]
    pub fn forward(self) -> Self {
        self.transformed(false)
    }

    /// What it is the transform of.
    #[must_use]
    pub fn back(self) -> Self {
        let share = 1.0 / self.values.len() as f64;
        let mut plane = self.transformed(true);
        plane.values.iter_mut().for_each(|value| *value *= share);
        plane
    }

    /// The number at a place, counted round.
    pub fn at(&self, column: usize, row: usize) -> Complex<f64> {
        self.values[row % self.size[1] * self.size[0] + column % self.size[0]]
    }

    /// The transforms of the two real planes whose transform this is, at one place: of a real plane the transform at the
    /// opposite place is the conjugate.
    pub fn parts(&self, column: usize, row: usize) -> [Complex<f64>; 2] {
        let here = self.at(column, row);
        let there = self.at(self.size[0] - column, self.size[1] - row).conj();
        [(here + there) / 2.0, (here - there) / Complex::new(0.0, 2.0)]
    }

    /// A plane of the same size, by what stands at each column and row.
    pub fn filled(size: [usize; 2], value: impl Fn(usize, usize) -> Complex<f64>) -> Self {
        let values = (0..size[0] * size[1]).map(|i| value(i % size[0], i / size[0])).collect();
        Self { size, values }
    }

    fn transformed(mut self, back: bool) -> Self {
        let mut planner = FftPlanner::new();
        for _ in 0..2 {
            let width = self.size[0];
            let line = if back { planner.plan_fft_inverse(width) } else { planner.plan_fft_forward(width) };
            line.process(&mut self.values);
            self = self.turned();
        }
        self
    }

    /// Columns for rows.
    fn turned(self) -> Self {
        let [width, height] = self.size;
        let mut values = Vec::with_capacity(self.values.len());
        for column in 0..width {
            values.extend((0..height).map(|row| self.values[row * width + column]));
        }
        Self { size: [height, width], values }
    }
}

/// The least length of at least `least` that is made of twos, threes and fives: the quickest to transform.
pub fn quick_length(least: usize) -> usize {
    let smooth = |mut length: usize| {
        for factor in [2, 3, 5] {
            while length.is_multiple_of(factor) {
                length /= factor;
            }
        }
        length == 1
    };
    (least.max(1)..).find(|length| smooth(*length)).unwrap_or(least)
}
