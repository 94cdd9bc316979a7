//! Bias strips laid into a rectangle that is left: how many of a width and length it gives, counted exactly.
//!
//! True bias runs at 45 degrees, and the ends of a strip lie on the thread, so that two are joined there (both as in
//! *School Sewing*, pars. 143-144). The rectangle is cut into bands along one diagonal way; a band gives as many
//! strips, end to end, as its shorter side holds. Where the first band begins is free; since the count changes only at
//! finitely many places, trying those gives the most there is.

use std::f64::consts::SQRT_2;

use super::LeftOver;
use super::need::NOISE_MM;

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
    best_start(sides_mm, strip).map_or(0, |start| bands(sides_mm, strip, start).map(|(_, count)| count).sum())
}

/// The same strips where they lie: the corners of each, from a corner of the rectangle, along and across.
pub fn laid_in_rectangle(sides_mm: [f64; 2], strip: Strip) -> Vec<[[f64; 2]; 4]> {
    let Some(start) = best_start(sides_mm, strip) else { return Vec::new() };
    let long = strip.length_mm / SQRT_2;
    let wide = strip.width_mm * SQRT_2;
    let of_band = |(from, count): (f64, u32)| {
        let [ends_along, ends_across] = sides_of_band_mm(sides_mm, from, wide);
        let strip = move |i: u32| match ends_along >= ends_across {
            true => {
                let low = (-from).max(0.0) + f64::from(i) * long;
                let end = |y: f64| [[y + from, y], [y + from + wide, y]];
                let (head, foot) = (end(low), end(low + long));
                [head[0], head[1], foot[1], foot[0]]
            }
            false => {
                let left = (from + wide).max(0.0) + f64::from(i) * long;
                let end = |x: f64| [[x, x - from - wide], [x, x - from]];
                let (head, foot) = (end(left), end(left + long));
                [head[0], head[1], foot[1], foot[0]]
            }
        };
        (0..count).map(strip)
    };
    bands(sides_mm, strip, start).flat_map(of_band).collect()
}

/// Where a band begins so that most strips come out; none when there is none.
fn best_start([along, across]: [f64; 2], strip: Strip) -> Option<f64> {
    // Along a side of the cloth a band is wider, and a strip shorter, by the root of two.
    let (wide, long) = (strip.width_mm * SQRT_2, strip.length_mm / SQRT_2);
    if !(wide > NOISE_MM && long > NOISE_MM) || along + across - wide < long {
        return None;
    }
    let most = (along.min(across) / long + NOISE_MM) as u32;
    let changes = (1..=most).map(|times| f64::from(times) * long);
    let starts = changes.flat_map(|length| [length - across, along - wide - length]);
    let strips = |start: f64| bands([along, across], strip, start).map(|(_, count)| count).sum::<u32>();
    let counted = starts.map(|start| (strips(start), start));
    counted.max_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1))).map(|(_, start)| start)
}

/// Every band, of which one begins at `start`: where its sides leave the long edge, and how many strips it holds.
fn bands([along, across]: [f64; 2], strip: Strip, start: f64) -> impl Iterator<Item = (f64, u32)> {
    let (wide, long) = (strip.width_mm * SQRT_2, strip.length_mm / SQRT_2);
    let first = start - ((start + across) / wide).floor() * wide;
    let bands = ((along - first) / wide).max(0.0) as u32;
    (0..=bands).map(move |band| {
        let from = first + f64::from(band) * wide;
        let [ends_along, ends_across] = sides_of_band_mm([along, across], from, wide);
        (from, ((ends_along.max(ends_across) + NOISE_MM) / long).max(0.0) as u32)
    })
}

/// How long a strip can be in the band whose sides leave the rectangle's long edge at `from` and `from + wide`, measured
/// along that edge: with its ends along the cloth, and with its ends across it.
fn sides_of_band_mm([along, across]: [f64; 2], from: f64, wide: f64) -> [f64; 2] {
    let ends_along = across.min(along - from - wide) - (-from).max(0.0);
    let ends_across = along.min(across + from) - (from + wide).max(0.0);
    [ends_along, ends_across]
}
