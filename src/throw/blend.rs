//! Which marks are light on dark, which dark on light, and how each is mixed with what lies under it.

use crate::scene::light::luminance;
use crate::scene::{Light, Scene};

/// How a mark stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Brighter than what it lies on.
    Bright,
    /// Darker than what it lies on.
    Dark,
}

/// What marks lie on in one scene.
#[derive(Clone, Copy, Debug)]
pub struct Under {
    /// What is thrown where no mark is.
    pub ground: Light,
    brightest: Light,
}

impl Under {
    /// Looks at the ground and at the areas of a scene.
    pub fn of(scene: &Scene) -> Self {
        let areas = scene.on_cloth.fills.iter().map(|f| f.light).chain(scene.on_table.fills.iter().map(|f| f.light));
        let brightest = areas.fold(scene.ground, |a, b| if luminance(b) > luminance(a) { b } else { a });
        Self { ground: scene.ground, brightest }
    }

    /// How a mark of this light stands out.
    pub fn sense(&self, mark: Light) -> Sense {
        if luminance(mark) > luminance(self.ground) { Sense::Bright } else { Sense::Dark }
    }

    /// What marks lie on that stand out so: bright ones on the ground, dark ones on the brightest area (black letters on a
    /// lit shape, dark lines on a lit ground).
    pub fn light(&self, sense: Sense) -> Light {
        match sense {
            Sense::Bright => self.ground,
            Sense::Dark => self.brightest,
        }
    }
}

/// Linear light as the buffers hold it: 16 bits a channel, 0 to 1.
pub fn packed(light: [f64; 3]) -> [u16; 4] {
    let channel = |c: f64| (c.clamp(0.0, 1.0) * 65535.0).round() as u16;
    [channel(light[0]), channel(light[1]), channel(light[2]), u16::MAX]
}
