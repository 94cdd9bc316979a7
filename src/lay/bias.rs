//! Bias strips laid into a rectangle that is left: how many of a width and length it gives, counted exactly.
//!
//! True bias runs at 45 degrees, and the ends of a strip lie on the thread, so that two are joined there (both as in
//! *School Sewing*, pars. 143-144). The rectangle is cut into bands along one diagonal way; a band gives as many
//! strips, end to end, as its shorter side holds. Where the first band begins is free; since the count changes only at
//! finitely many places, trying those gives the most there is.

use std::f64::consts::SQRT_2;

use super::need::{LeftOver, NOISE_MM};

/// A bias strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// Its width, square to its length.
    pub width_mm: f64,
    /// Its length along either side.
    pub length_mm: f64,
}

impl LeftOver {
    /// How many such strips all rectangles of this kind give.
    pub fn strips(&self, strip: Strip) -> u32 {
        self.count * in_rectangle([self.along_mm, self.across_mm], strip)
    }
}

/// How many strips a rectangle gives, cut in bands along one diagonal way.
pub fn in_rectangle(sides_mm: [f64; 2], strip: Strip) -> u32 {
    let [along, across] = sides_mm;
    // Along a side of the cloth a band is wider, and a strip shorter, by the root of two.
    let (wide, long) = (strip.width_mm * SQRT_2, strip.length_mm / SQRT_2);
    if !(wide > NOISE_MM && long > NOISE_MM) || along + across - wide < long {
        return 0;
    }
    let most = (along.min(across) / long + NOISE_MM) as u32;
    let changes = (1..=most).map(|times| f64::from(times) * long);
    let starts = changes.flat_map(|length| [length - across, along - wide - length]);
    let strips = |start: f64| {
        let first = start - ((start + across) / wide).floor() * wide;
        let bands = ((along - first) / wide).max(0.0) as u32;
        let of_band = |band: u32| {
            let side = side_mm([along, across], first + f64::from(band) * wide, wide);
            ((side + NOISE_MM) / long).max(0.0) as u32
        };
        (0..=bands).map(of_band).sum()
    };
    starts.map(strips).max().unwrap_or(0)
}

/// How long a strip with its ends on the thread can be in the band whose sides leave the rectangle's long edge at `from`
/// and `from + wide`, measured along that edge: its ends lie along the cloth, or across it.
fn side_mm([along, across]: [f64; 2], from: f64, wide: f64) -> f64 {
    let ends_along = across.min(along - from - wide) - (-from).max(0.0);
    let ends_across = along.min(across + from) - (from + wide).max(0.0);
    ends_along.max(ends_across)
}
