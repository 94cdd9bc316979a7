//! The grid as a picture: a cross on every mark with its name beside it, exact to the pixel.
//!
//! A mark's place is where the two middle lines of its cross meet. Lines are blended by exact area coverage, so that a
//! mark between two pixels is thrown between them. Nothing is thrown over another mark.

use crate::geometry::{Pixel, Point};
use crate::table::MarkName;

use super::Grid;

/// Eight bits of light a pixel, rows from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct GridPicture {
    /// Width and height.
    pub size_px: [u32; 2],
    /// Light from 0 to 255.
    pub light: Vec<u8>,
}

/// Width of a cross's lines; odd, so that a cross on a pixel's centre is symmetrical.
const LINE_PX: f64 = 3.0;

/// Radius of the ring round a mark that is to be measured next, as a share of the picture's height.
const RING_SHARE: f64 = 0.045;

/// Names stand off that ring by so many of the picture's units: more than half of its line.
const OFF_RING: f64 = 3.0;

/// Radius of the ring that may be thrown round a mark, to the middle of its line: the mark's name stands clear of it.
pub fn ring_px(size_px: [u32; 2]) -> f64 {
    f64::from(size_px[1]) * RING_SHARE
}

/// Draws the grid. Sizes follow the picture's height, so that they look the same on any projector.
pub fn draw(size_px: [u32; 2], grid: &Grid) -> GridPicture {
    let count = size_px[0] as usize * size_px[1] as usize;
    let mut picture = GridPicture { size_px, light: vec![0; count] };
    let unit = (f64::from(size_px[1]) / 540.0).round().max(1.0);
    let (arm, line) = (12.0 * unit, LINE_PX);
    for at in grid.marks.values() {
        picture.lighten([at.x - arm, at.y - line / 2.0], [at.x + arm, at.y + line / 2.0]);
        picture.lighten([at.x - line / 2.0, at.y - arm], [at.x + line / 2.0, at.y + arm]);
    }
    for (mark, at) in &grid.marks {
        picture.name(*mark, *at, unit);
    }
    picture
}

/// Radius of a disc of the grid for photos, and of the hole of its rings: a telephone sees both from above a table.
pub fn disc_radii_px(size_px: [u32; 2]) -> [f64; 2] {
    let unit = f64::from(size_px[1]) / 540.0;
    [6.0 * unit, 2.7 * unit]
}

/// Whether a mark of the grid for photos is a ring: the first two of the first row, which tell how the picture lies.
pub fn is_ring(mark: MarkName) -> bool {
    mark.row() == 0 && mark.column() < 2
}

/// Draws the grid for photos: a disc on every mark, whose middle a camera finds.
pub fn draw_discs(size_px: [u32; 2], grid: &Grid) -> GridPicture {
    let count = size_px[0] as usize * size_px[1] as usize;
    let mut picture = GridPicture { size_px, light: vec![0; count] };
    let [radius, hole] = disc_radii_px(size_px);
    for (mark, at) in &grid.marks {
        picture.disc(*at, [radius, if is_ring(*mark) { hole } else { 0.0 }]);
    }
    picture
}

impl GridPicture {
    /// Lights a disc with a hole, its edges by their distance from a pixel's middle.
    fn disc(&mut self, at: Point<Pixel>, [radius, hole]: [f64; 2]) {
        let [w, h] = self.size_px.map(f64::from);
        let columns = (at.x - radius - 1.0).max(0.0) as usize..(at.x + radius + 2.0).min(w) as usize;
        for y in (at.y - radius - 1.0).max(0.0) as usize..(at.y + radius + 2.0).min(h) as usize {
            for x in columns.clone() {
                let far = (Point::new(x as f64 + 0.5, y as f64 + 0.5) - at).length();
                let within = |radius: f64| (radius - far + 0.5).clamp(0.0, 1.0);
                let covered = within(radius) - if hole > 0.0 { within(hole) } else { 0.0 };
                self.light[y * self.size_px[0] as usize + x] = srgb(covered);
            }
        }
    }

    /// Lights a rectangle by area coverage.
    fn lighten(&mut self, from: [f64; 2], to: [f64; 2]) {
        let [w, h] = self.size_px.map(f64::from);
        let columns = from[0].max(0.0).floor() as usize..to[0].min(w).ceil() as usize;
        for y in from[1].max(0.0).floor() as usize..to[1].min(h).ceil() as usize {
            for x in columns.clone() {
                let covered = overlap(x, from[0], to[0]) * overlap(y, from[1], to[1]);
                let pixel = &mut self.light[y * self.size_px[0] as usize + x];
                *pixel = (*pixel).max(srgb(covered));
            }
        }
    }

    /// Writes the mark's name beside its cross, on whichever side has room, outside of a ring round the mark.
    fn name(&mut self, mark: MarkName, at: Point<Pixel>, unit: f64) {
        let text = mark.to_string();
        let cell = 2.0 * unit;
        let width = (6 * text.len()) as f64 * cell - cell;
        // The corner of the name that is nearest to the mark lies as far right of it as below it.
        let gap = (ring_px(self.size_px) + OFF_RING * unit) / std::f64::consts::SQRT_2;
        let right = at.x + gap + width <= f64::from(self.size_px[0]);
        let below = at.y + gap + 7.0 * cell <= f64::from(self.size_px[1]);
        let left_px = (if right { at.x + gap } else { at.x - gap - width }).round();
        let top_px = (if below { at.y + gap } else { at.y - gap - 7.0 * cell }).round();
        for (i, letter) in text.chars().enumerate() {
            for (row, bits) in glyph(letter).iter().enumerate() {
                for column in (0..5).filter(|c| bits >> (4 - c) & 1 == 1) {
                    let x = left_px + (6 * i + column) as f64 * cell;
                    let y = top_px + row as f64 * cell;
                    self.lighten([x, y], [x + cell, y + cell]);
                }
            }
        }
    }
}

fn overlap(pixel: usize, from: f64, to: f64) -> f64 {
    let at = pixel as f64;
    (to.min(at + 1.0) - from.max(at)).clamp(0.0, 1.0)
}

/// Linear light as an sRGB byte (IEC 61966-2-1).
fn srgb(linear: f64) -> u8 {
    let encoded = if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
    (encoded * 255.0).round() as u8
}

/// A capital or digit, five by seven cells, one byte a row, drawn for this picture.
fn glyph(letter: char) -> [u8; 7] {
    const LETTERS: [[u8; 7]; 26] = [
        [14, 17, 17, 31, 17, 17, 17],
        [30, 17, 17, 30, 17, 17, 30],
        [14, 17, 16, 16, 16, 17, 14],
        [30, 17, 17, 17, 17, 17, 30],
        [31, 16, 16, 30, 16, 16, 31],
        [31, 16, 16, 30, 16, 16, 16],
        [14, 17, 16, 23, 17, 17, 14],
        [17, 17, 17, 31, 17, 17, 17],
        [14, 4, 4, 4, 4, 4, 14],
        [7, 2, 2, 2, 2, 18, 12],
        [17, 18, 20, 24, 20, 18, 17],
        [16, 16, 16, 16, 16, 16, 31],
        [17, 27, 21, 21, 17, 17, 17],
        [17, 25, 21, 21, 19, 17, 17],
        [14, 17, 17, 17, 17, 17, 14],
        [30, 17, 17, 30, 16, 16, 16],
        [14, 17, 17, 17, 21, 18, 13],
        [30, 17, 17, 30, 20, 18, 17],
        [14, 17, 16, 14, 1, 17, 14],
        [31, 4, 4, 4, 4, 4, 4],
        [17, 17, 17, 17, 17, 17, 14],
        [17, 17, 17, 17, 17, 10, 4],
        [17, 17, 17, 21, 21, 27, 17],
        [17, 17, 10, 4, 10, 17, 17],
        [17, 17, 10, 4, 4, 4, 4],
        [31, 1, 2, 4, 8, 16, 31],
    ];
    const DIGITS: [[u8; 7]; 10] = [
        [14, 17, 19, 21, 25, 17, 14],
        [4, 12, 4, 4, 4, 4, 14],
        [14, 17, 1, 6, 8, 16, 31],
        [31, 2, 4, 2, 1, 17, 14],
        [2, 6, 10, 18, 31, 2, 2],
        [31, 16, 30, 1, 1, 17, 14],
        [6, 8, 16, 30, 17, 17, 14],
        [31, 1, 2, 4, 8, 8, 8],
        [14, 17, 17, 14, 17, 17, 14],
        [14, 17, 17, 15, 1, 2, 12],
    ];
    match letter {
        'A'..='Z' => LETTERS[letter as usize - 'A' as usize],
        '0'..='9' => DIGITS[letter as usize - '0' as usize],
        _ => [0; 7],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_cross_is_centred_on_its_mark() {
        let size_px = [640, 360];
        let grid = Grid::even(size_px, 5, 3, 0.06);
        let picture = draw(size_px, &grid);
        for at in grid.marks.values() {
            // Along a row through the upper arm only the upright line is lit; its middle by linear light is the mark's x.
            let row = (at.y - 8.0) as usize;
            let from = at.x as usize - 8;
            let linear = |x: usize| {
                let v = f64::from(picture.light[row * 640 + x]) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            };
            let sum: f64 = (from..from + 17).map(linear).sum();
            let moment: f64 = (from..from + 17).map(|x| linear(x) * (x as f64 + 0.5)).sum();
            assert!((sum - LINE_PX).abs() < 0.02, "line is {sum} px wide at {at:?}");
            assert!((moment / sum - at.x).abs() < 0.01, "cross at {} for mark {at:?}", moment / sum);
        }
    }

    /// No light falls where the ring round a mark is thrown, but the cross's own within it.
    #[test]
    fn a_ring_round_a_mark_is_clear_of_every_name() {
        for size_px in [[640, 360], [1280, 720], [1280, 800], [1920, 1080], [3840, 2160]] {
            let grid = Grid::even(size_px, 5, 3, 0.06);
            let picture = draw(size_px, &grid);
            // Half of the ring's line, and half a pixel's diagonal.
            let (radius, half) = (ring_px(size_px), 2.0 + 0.71);
            let lit = picture.light.iter().enumerate().filter(|(_, light)| **light > 0).map(|(i, _)| i);
            for i in lit {
                let (x, y) = (i % size_px[0] as usize, i / size_px[0] as usize);
                let at = Point::<Pixel>::new(x as f64 + 0.5, y as f64 + 0.5);
                for mark in grid.marks.values() {
                    let off = ((at - *mark).length() - radius).abs();
                    assert!(off > half, "{at:?} is lit {off} px from the ring round {mark:?}");
                }
            }
        }
    }
}
