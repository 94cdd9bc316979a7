//! Which marks are light on dark, which dark on light, and how each is mixed with what lies under it.
//!
//! Sources: sRGB transfer curve and luminance weights, IEC 61966-2-1:1999 (values as in the W3C's
//! WCAG 2.1 definition of relative luminance, with the corrected threshold 0.04045).

use crate::scene::{Light, Scene};

/// Linear light of an sRGB byte, 0 to 1.
pub fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// Relative luminance of a light, 0 to 1.
pub fn luminance(light: Light) -> f64 {
    let [r, g, b] = light.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

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
    ground: Light,
    brightest: Light,
}

impl Under {
    /// Looks at the ground and at the areas of a scene.
    pub fn of(scene: &Scene) -> Self {
        let areas = scene.on_cloth.fills.iter().map(|f| f.light).chain(scene.on_table.fills.iter().map(|f| f.light));
        let brightest = areas.fold(scene.ground, |a, b| if luminance(b) > luminance(a) { b } else { a });
        Self { ground: scene.ground, brightest }
    }

    /// How a mark of this light stands out, and against which light: a mark brighter than the ground against the
    /// ground, any other against the brightest area (black letters on a lit shape, dark lines on a lit ground).
    pub fn sense(&self, mark: Light) -> (Sense, Light) {
        if luminance(mark) > luminance(self.ground) {
            (Sense::Bright, self.ground)
        } else {
            (Sense::Dark, self.brightest)
        }
    }
}

/// Linear light as the buffers hold it: 16 bits a channel, 0 to 1.
pub fn packed(light: [f64; 3]) -> [u16; 4] {
    let channel = |c: f64| (c.clamp(0.0, 1.0) * 65535.0).round() as u16;
    [channel(light[0]), channel(light[1]), channel(light[2]), u16::MAX]
}
