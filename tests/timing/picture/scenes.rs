//! Scenes of a stated number of segments, the same on every machine.

use chalklight::geometry::Point;
use chalklight::scene::{Marks, Scene, Stroke};

/// The lit part of the table, mm.
pub const TABLE_MM: [f64; 2] = [1200.0, 675.0];

/// Nothing on a dark table.
pub fn empty() -> Scene {
    Scene { ground: [0; 3], on_cloth: Marks::default(), on_table: Marks::default() }
}

/// A scene of about `segments` segments: four fifths in smooth closed outlines of 40 (pieces), a fifth dashes and ticks.
pub fn scene(segments: usize) -> Scene {
    let mut dice = Dice(0x5eed);
    let mut strokes = Vec::new();
    let outlines = segments / 50;
    // More outlines are smaller ones: the lit part of the table stays as full of light as cloth with pieces is.
    let largest_mm = (120.0 * (10.0 / outlines as f64).sqrt()).max(12.0);
    for _ in 0..outlines {
        let (x, y) = (dice.between(60.0, TABLE_MM[0] - 60.0), dice.between(60.0, TABLE_MM[1] - 60.0));
        let (radius, wave) = (dice.between(0.4, 1.0) * largest_mm, dice.between(0.0, 0.25));
        let points = (0..40).map(|k| {
            let angle = f64::from(k) / 40.0 * std::f64::consts::TAU;
            let r = radius * (1.0 + wave * (3.0 * angle).sin());
            Point::new(x + r * angle.cos(), y + r * angle.sin())
        });
        let width_mm = [0.5, 1.0, 1.5][dice.below(3)];
        strokes.push(Stroke { points: points.collect(), closed: true, width_mm, light: [255; 3] });
    }
    for _ in 0..segments / 5 {
        let (x, y) = (dice.between(0.0, TABLE_MM[0]), dice.between(0.0, TABLE_MM[1]));
        let (sin, cos) = dice.between(0.0, std::f64::consts::TAU).sin_cos();
        let length = dice.between(3.0, 12.0);
        let points = vec![Point::new(x, y), Point::new(x + length * cos, y + length * sin)];
        strokes.push(Stroke { points, closed: false, width_mm: 0.8, light: [255; 3] });
    }
    Scene { on_cloth: Marks { strokes, ..Marks::default() }, ..empty() }
}

/// Evenly spread numbers, the same on every machine (Knuth's MMIX linear congruential generator).
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn below(&mut self, n: usize) -> usize {
        (self.unit() * n as f64) as usize
    }
}
