//! The table as it would be seen from straight above while a frame is thrown on it.
//!
//! For the demo and for tests. The way back from pixel to table ([`inverse`]) is written here a second time and by
//! other means than in [`crate::table`], so that a mistake in one does not hide in the other. Light is added
//! in linear light: what is seen is what the cloth reflects of the room's light and of the projector's.
//!
//! Not simulated: that a tilted projector is dimmer where its light is spread thinner, and its lens's blur.

mod inverse;
mod print;

use crate::geometry::{Point, Table as OnTable};
use crate::scene::Pose;
use crate::table::Table;
use image::{Rgba, RgbaImage};
use inverse::Inverse;

/// A piece of cloth that lies on the table.
#[derive(Clone, Copy, Debug)]
pub struct Spread {
    /// Its length along the selvedge and its width, as it lies.
    pub size_mm: [f64; 2],
    /// Where it lies.
    pub pose: Pose,
    /// Height of its upper side above the table.
    pub stack_mm: f64,
}

/// What part of the table is looked at, and how finely.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// The corner with the smallest x and y.
    pub from_mm: Point<OnTable>,
    /// Width and depth.
    pub size_mm: [f64; 2],
    /// Pixels of the view a mm.
    pub px_per_mm: f64,
}

/// The room's light as the eye is adapted to it: white cloth without the projector shows this share of full white.
const AMBIENT: f64 = 0.22;
/// The projector's full light on the same scale. A dim room's 100 lx against 2,000 lm on 0.8 square metres would be
/// 25 times the room's light; the eye adapts, and ten times shows the same.
const FULL: f64 = 2.2;
/// What the bare table reflects: a grey cutting mat.
const MAT: [f64; 3] = [0.16, 0.17, 0.18];
/// Deposits a projector pixel makes across one pixel of the view, so that none between is missed.
const DEPOSITS_A_PX: f64 = 2.0;
/// Most deposits along one side of a projector pixel.
const MOST_DEPOSITS: f64 = 16.0;

/// The view from above of a thrown frame. Up in the view is away from the person.
pub fn seen(frame: &RgbaImage, table: &Table, spread: Option<Spread>, view: View) -> RgbaImage {
    let [width, height] = view.size_mm.map(|mm| (mm * view.px_per_mm).round().max(1.0) as u32);
    let stack_mm = spread.map_or(0.0, |s| s.stack_mm);
    let light = fallen(frame, &Inverse::of(table, stack_mm), view, [width, height]);
    RgbaImage::from_fn(width, height, |x, y| {
        let at = Point::new(
            view.from_mm.x + (f64::from(x) + 0.5) / view.px_per_mm,
            view.from_mm.y + (f64::from(height - y) - 0.5) / view.px_per_mm,
        );
        let surface = spread.and_then(|s| cloth(s, at)).unwrap_or(MAT);
        let thrown = light[(y * width + x) as usize];
        let shown = [0, 1, 2].map(|c| surface[c] * (AMBIENT + FULL * thrown[c]));
        let [r, g, b] = shown.map(encoded);
        Rgba([r, g, b, 255])
    })
}

/// What the cloth reflects at a point of the table, if it lies there.
fn cloth(spread: Spread, at: Point<OnTable>) -> Option<[f64; 3]> {
    let (sin, cos) = spread.pose.turn_rad.sin_cos();
    let d = at - spread.pose.at_mm;
    let on = Point::new(cos * d.x + sin * d.y, cos * d.y - sin * d.x);
    let [length, width] = spread.size_mm;
    ((0.0..=length).contains(&on.x) && (0.0..=width).contains(&on.y)).then(|| print::wax(on))
}

/// The projector's light on each pixel of the view: the mean of what its pixels, each a small square of even light,
/// let fall there.
fn fallen(frame: &RgbaImage, inverse: &Inverse, view: View, size_px: [u32; 2]) -> Vec<[f64; 3]> {
    let mut sums = vec![([0.0; 3], 0u32); (size_px[0] * size_px[1]) as usize];
    let decoded: Vec<f64> = (0..=255).map(|b: u8| linear(b)).collect();
    let corners = |y: u32| -> Vec<Option<[f64; 2]>> {
        let place = |p: Point<OnTable>| {
            let from_top = view.size_mm[1] - (p.y - view.from_mm.y);
            [(p.x - view.from_mm.x) * view.px_per_mm, from_top * view.px_per_mm]
        };
        (0..=frame.width()).map(|x| inverse.mm_from_px(f64::from(x), f64::from(y)).map(place)).collect()
    };
    let mut above = corners(0);
    for (y, row) in frame.rows().enumerate() {
        let below = corners(y as u32 + 1);
        for (x, pixel) in row.enumerate() {
            let (Some(a), Some(b), Some(c), Some(d)) = (above[x], above[x + 1], below[x], below[x + 1]) else {
                continue;
            };
            let light = [0, 1, 2].map(|i| decoded[usize::from(pixel.0[i])]);
            deposit([a, b, c, d], light, size_px, &mut sums);
        }
        above = below;
    }
    sums.iter().map(|(sum, n)| sum.map(|s| if *n > 0 { s / f64::from(*n) } else { 0.0 })).collect()
}

/// Lets one projector pixel's light fall, at points evenly spread over its square.
fn deposit(square: [[f64; 2]; 4], light: [f64; 3], size_px: [u32; 2], sums: &mut [([f64; 3], u32)]) {
    let [a, b, c, d] = square;
    let side = (b[0] - a[0]).hypot(b[1] - a[1]).max((c[0] - a[0]).hypot(c[1] - a[1]));
    let n = (side * DEPOSITS_A_PX).ceil().clamp(2.0, MOST_DEPOSITS);
    for i in 0..n as u32 {
        for j in 0..n as u32 {
            let (s, t) = ((f64::from(i) + 0.5) / n, (f64::from(j) + 0.5) / n);
            let mix = |k: usize| (a[k] * (1.0 - s) + b[k] * s) * (1.0 - t) + (c[k] * (1.0 - s) + d[k] * s) * t;
            let (x, y) = (mix(0).floor(), mix(1).floor());
            if x >= 0.0 && y >= 0.0 && x < f64::from(size_px[0]) && y < f64::from(size_px[1]) {
                let (sum, count) = &mut sums[(y as u32 * size_px[0] + x as u32) as usize];
                for (to, from) in sum.iter_mut().zip(light) {
                    *to += from;
                }
                *count += 1;
            }
        }
    }
}

/// Linear light of an sRGB byte (IEC 61966-2-1).
fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// The sRGB byte of a linear light (IEC 61966-2-1).
fn encoded(light: f64) -> u8 {
    let c = if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
    (c.clamp(0.0, 1.0) * 255.0).round() as u8
}
