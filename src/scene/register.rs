//! Register crosses, and the line at which the cutting of a reach ends.

use super::form::dashed;
use super::{Letters, Light, Marks, Stroke};
use crate::geometry::{Cloth, Point, Vector};

/// Length of a cross's arm from its middle.
pub const ARM_MM: f64 = 16.0;

/// Radius of the ring around a cross; it tells it from a crossing of two lines.
const RING_MM: f64 = 8.0;

/// Width of a cross's lines.
const LINE_MM: f64 = 1.0;

/// Corners of a ring.
const RING_CORNERS: usize = 24;

/// Dots at which the cutting of a reach ends.
const DOTS_MM: [f64; 2] = [1.0, 9.0];

/// A cross with its name, written along `along`.
pub fn cross<F>(at: Point<F>, name: &str, along: Vector<F>, (cap_mm, light): (f64, Light)) -> Marks<F> {
    let stroke = |points, closed| Stroke { points, closed, width_mm: LINE_MM, light };
    let (x, y) = (Vector::new(ARM_MM, 0.0), Vector::new(0.0, ARM_MM));
    let corner = |i: usize| {
        let (sin, cos) = (std::f64::consts::TAU * i as f64 / RING_CORNERS as f64).sin_cos();
        at + Vector::new(cos, sin) * RING_MM
    };
    let ring = (0..RING_CORNERS).map(corner).collect();
    let up = Vector::new(-along.y, along.x);
    let beside = at + (along + up) * (ARM_MM * 0.7);
    let letters = Letters { text: name.to_owned(), at: beside, along, cap_mm, light };
    Marks {
        fills: Vec::new(),
        strokes: vec![stroke(vec![at - x, at + x], false), stroke(vec![at - y, at + y], false), stroke(ring, true)],
        letters: if name.is_empty() { Vec::new() } else { vec![letters] },
    }
}

/// A line of dots.
pub fn dots(from: Point<Cloth>, to: Point<Cloth>, light: Light) -> Vec<Stroke<Cloth>> {
    let dots = dashed(&[from, to], &DOTS_MM).into_iter();
    dots.map(|points| Stroke { points, closed: false, width_mm: 2.0, light }).collect()
}
