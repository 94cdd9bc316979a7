//! Prints whose repeat is known, drawn and photographed: several motifs in a cell, straight or half-drop, laid askew under
//! uneven light, with the noise of a sensor, in photos that show no whole number of repeats.

use chalklight::motif::Photograph;
use std::f64::consts::TAU;

use super::Chance;

/// The shape of a motif, in its own frame, about 1 large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    Disc,
    /// Petals, so many.
    Flower(u32),
    /// A drop with a stem: it has a head and a foot.
    Leaf,
    Triangle,
    /// A body, a head to one side and a tail: alike in no way.
    Bird,
    Ring,
    Bar,
}

#[derive(Clone, Debug)]
pub struct Motif {
    pub shape: Shape,
    /// Its place in the cell, in shares of it.
    pub at: [f64; 2],
    pub half_mm: f64,
    pub turn_rad: f64,
    pub ink: [f64; 3],
}

/// A print: along (x) and across (y) in mm.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub along_mm: f64,
    /// Between one column and the next.
    pub column_mm: f64,
    pub half_drop: bool,
    pub ground: [f64; 3],
    /// How strong the veins of the ground are.
    pub veins: f64,
    pub motifs: Vec<Motif>,
}

/// How it is photographed, from straight above.
#[derive(Clone, Debug)]
pub struct Taken {
    pub size_px: [u32; 2],
    pub px_per_mm: f64,
    pub slant_deg: f64,
    /// Where the photo's middle lies in the print.
    pub at_mm: [f64; 2],
    /// Light that grows along and across, and falls off to the corners, in shares.
    pub light: [f64; 3],
    /// Noise of a pixel, in levels of 255.
    pub noise: f64,
}

impl Shape {
    /// How far inside the shape a place is, about in its own measure; negative outside.
    fn inside(self, [x, y]: [f64; 2]) -> f64 {
        let far = x.hypot(y);
        let ellipse = |cx: f64, cy: f64, a: f64, b: f64| (1.0 - ((x - cx) / a).hypot((y - cy) / b)) * a.min(b);
        match self {
            Self::Disc => 0.8 - far,
            Self::Flower(petals) => 0.55 + 0.4 * (f64::from(petals) * y.atan2(x)).cos() - far,
            Self::Ring => 0.18 - (far - 0.7).abs(),
            Self::Bar => (0.9 - x.abs()).min(0.2 - y.abs()),
            Self::Triangle => (y + 0.6).min(0.5 - 0.5 * y - 0.9 * x.abs()),
            Self::Leaf => ellipse(0.35, 0.0, 0.5, 0.5).max((0.12 - y.abs()).min(x + 1.0).min(-x)),
            Self::Bird => ellipse(0.0, 0.0, 0.7, 0.35)
                .max(ellipse(0.6, 0.45, 0.28, 0.25))
                .max((0.3 - (x + 0.8).abs()).min(0.18 - (y + 0.3 - 0.5 * x - 0.4).abs())),
        }
    }
}

impl Drawn {
    /// The whole repeat across.
    pub fn across_mm(&self) -> f64 {
        if self.half_drop { 2.0 * self.column_mm } else { self.column_mm }
    }

    /// What the print gives back at a place, edges as soft as a pixel.
    fn ink(&self, [x, y]: [f64; 2], soft_mm: f64) -> [f64; 3] {
        let wave = |k: f64, l: f64| (TAU * (k * x / self.along_mm + l * y / self.across_mm())).cos();
        let [k, l] = if self.half_drop { [1.0, 3.0] } else { [2.0, 1.0] };
        let vein = 1.0 + self.veins * wave(k, l) * wave(k, -l);
        let mut ink = self.ground.map(|channel| channel * vein);
        for motif in &self.motifs {
            for column in -1..=1 {
                let column = (y / self.column_mm).floor() + f64::from(column);
                let drop = if self.half_drop && column.rem_euclid(2.0) == 1.0 { 0.5 } else { 0.0 };
                let off = x / self.along_mm - motif.at[0] - drop;
                let off = [(off - off.round()) * self.along_mm, y - (column + motif.at[1]) * self.column_mm];
                let (sin, cos) = motif.turn_rad.sin_cos();
                let own =
                    [(off[0] * cos + off[1] * sin) / motif.half_mm, (off[1] * cos - off[0] * sin) / motif.half_mm];
                if own[0].hypot(own[1]) > 1.4 {
                    continue;
                }
                let cover = (0.5 + motif.shape.inside(own) * motif.half_mm / soft_mm).clamp(0.0, 1.0);
                (0..3).for_each(|i| ink[i] += (motif.ink[i] - ink[i]) * cover);
            }
        }
        ink
    }

    /// A print drawn by chance.
    pub fn by_chance(chance: &mut Chance) -> Self {
        let along_mm = (chance.between(30.0_f64.ln(), 400.0_f64.ln())).exp();
        let column_mm = along_mm * chance.between(0.5, 1.6);
        let half_drop = chance.below(2) == 1;
        let ground = [0, 1, 2].map(|_| chance.between(0.25, 0.9));
        let shapes = [
            Shape::Disc,
            Shape::Flower(5),
            Shape::Flower(6),
            Shape::Leaf,
            Shape::Triangle,
            Shape::Bird,
            Shape::Ring,
            Shape::Bar,
        ];
        let count = 1 + chance.below(4);
        let motifs = (0..count).map(|_| Motif {
            shape: shapes[chance.below(shapes.len())],
            at: [chance.between(0.0, 1.0), chance.between(0.0, 1.0)],
            half_mm: along_mm.min(column_mm) * chance.between(0.18, 0.42),
            turn_rad: chance.between(0.0, TAU),
            ink: loop {
                let ink = [0, 1, 2].map(|_| chance.between(0.05, 0.95));
                let apart: f64 = (0..3).map(|i| (f64::ln(ink[i]) - f64::ln(ground[i])).abs()).sum();
                if apart > 0.9 {
                    break ink;
                }
            },
        });
        let mut motifs: Vec<Motif> = motifs.collect();
        // An echo half a repeat on, a little other: what looks like half the repeat and is none.
        if chance.below(4) == 0 {
            let off = [[0.5, 0.0], [0.0, 0.5], [0.5, 0.5]][chance.below(3)];
            let (larger, lighter) = (chance.between(0.6, 0.85), chance.between(0.3, 0.7));
            let echoes: Vec<Motif> = motifs
                .iter()
                .map(|motif| Motif {
                    at: [0, 1].map(|i| (motif.at[i] + off[i]).fract()),
                    half_mm: motif.half_mm * larger,
                    ink: [0, 1, 2].map(|i| motif.ink[i] * lighter + ground[i] * (1.0 - lighter)),
                    ..motif.clone()
                })
                .collect();
            motifs.splice(0..0, echoes);
        }
        Self { along_mm, column_mm, half_drop, ground, veins: chance.between(0.0, 0.15), motifs }
    }

    /// A photo of it.
    pub fn photographed(&self, taken: &Taken, chance: &mut Chance) -> Photograph {
        let soft_mm = 1.0 / taken.px_per_mm;
        photographed(taken, chance, |at| self.ink(at, soft_mm))
    }
}

/// A photo of any cloth, by what it gives back at a place in mm.
pub fn photographed(taken: &Taken, chance: &mut Chance, ink: impl Fn([f64; 2]) -> [f64; 3]) -> Photograph {
    let [width, height] = taken.size_px.map(f64::from);
    let (sin, cos) = taken.slant_deg.to_radians().sin_cos();
    let mut rgb = Vec::new();
    for row in 0..taken.size_px[1] {
        for column in 0..taken.size_px[0] {
            let off = [f64::from(column) + 0.5 - width / 2.0, height / 2.0 - f64::from(row) - 0.5];
            let mm = off.map(|px| px / taken.px_per_mm);
            // The print is turned by the slant, so a place of the photo is turned back.
            let at = [mm[0] * cos + mm[1] * sin + taken.at_mm[0], mm[1] * cos - mm[0] * sin + taken.at_mm[1]];
            let share = [2.0 * off[0] / width, 2.0 * off[1] / height];
            let [x, y, corner] = taken.light;
            let light = 1.0 + x * share[0] + y * share[1] - corner * (share[0].powi(2) + share[1].powi(2)) / 2.0;
            rgb.push(ink(at).map(|back| {
                // Encoded as a picture is, by a power of 2.2.
                let level = 255.0 * (0.8 * back * light).clamp(0.0, 1.0).powf(1.0 / 2.2);
                (level + taken.noise * chance.normal()).round().clamp(0.0, 255.0) as u8
            }));
        }
    }
    Photograph { size_px: taken.size_px, rgb }
}

impl Taken {
    /// A photo by chance that shows so many repeats along and across, at least.
    pub fn by_chance(print: &Drawn, least: f64, noise: [f64; 2], chance: &mut Chance) -> Self {
        let size_px = [320 + chance.below(100) as u32, 240 + chance.below(80) as u32];
        let [along, across] = [print.along_mm, print.across_mm()];
        // The larger of the two in its measure decides how near the camera stands.
        let most_per_mm = (f64::from(size_px[0]) / along / least).min(f64::from(size_px[1]) / across / least);
        Self {
            size_px,
            px_per_mm: most_per_mm / chance.between(1.0, 2.6),
            slant_deg: chance.between(-3.0, 3.0),
            at_mm: [chance.between(0.0, along), chance.between(0.0, across)],
            light: [chance.between(-0.35, 0.35), chance.between(-0.35, 0.35), chance.between(0.0, 0.3)],
            noise: chance.between(noise[0], noise[1]),
        }
    }
}
