//! The cloth's print in the simulated view: a two-colour motif in the manner of wax-resist printing, drawn here.
//!
//! Rings of petals stand in a half-drop repeat; fine veins, as cracked wax leaves them, run through the ground between.

use crate::geometry::{Cloth, Point};
use std::f64::consts::TAU;

/// The repeat along and across.
const REPEAT_MM: [f64; 2] = [160.0, 160.0];
/// What the ground reflects, linear: ochre on bleached cotton.
const GROUND: [f64; 3] = [0.480, 0.360, 0.180];
/// What the motif reflects, linear: indigo.
const MOTIF: [f64; 3] = [0.045, 0.060, 0.150];
/// A vein's width.
const VEIN_MM: f64 = 0.9;

/// What the cloth reflects at a point, linear, 0 to 1 a channel.
pub fn wax(at: Point<Cloth>) -> [f64; 3] {
    let column = (at.x / REPEAT_MM[0]).floor();
    let drop = if column.rem_euclid(2.0) == 1.0 { REPEAT_MM[1] / 2.0 } else { 0.0 };
    let x = at.x - (column + 0.5) * REPEAT_MM[0];
    let y = (at.y + drop).rem_euclid(REPEAT_MM[1]) - REPEAT_MM[1] / 2.0;
    let (radius, angle) = (x.hypot(y), y.atan2(x));
    let petals = 58.0 + 9.0 * (angle * 8.0).cos();
    let inner = 30.0 + 5.0 * (angle * 8.0 + TAU / 2.0).cos();
    let flower = radius < petals && radius > inner + 6.0 && (radius - inner).rem_euclid(14.0) < 8.5;
    let eye = radius < 16.0 && !(6.0..=11.0).contains(&radius);
    let seeds = {
        let turned = angle * 16.0 / TAU;
        let along = (turned - turned.round()) * TAU / 16.0 * radius;
        (along).hypot(radius - 72.0) < 3.2
    };
    if flower || eye || seeds {
        MOTIF
    } else if vein(at.x, at.y) {
        MOTIF.map(|c| 0.55 * c)
    } else {
        GROUND
    }
}

/// Cracks: level lines of two slow waves laid over each other.
fn vein(x: f64, y: f64) -> bool {
    let wave =
        |x: f64, y: f64| (x / 41.0 + 1.7 * (y / 67.0).sin()).sin() + (y / 37.0 + 1.3 * (x / 53.0).cos()).sin() * 0.8;
    let step = 0.5;
    let slope = (wave(x + step, y) - wave(x - step, y)).hypot(wave(x, y + step) - wave(x, y - step));
    wave(x, y).abs() < slope * VEIN_MM / (2.0 * step) / 2.0
}
