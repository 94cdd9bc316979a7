//! Small reference pictures, drawn by the software driver.
//!
//! A picture under tests/golden is the reference; a missing one is written and the test fails once, so that it is looked
//! at before it is kept. On a difference the expected, the different and the drawn pixels are left side by side in
//! the target folder. Tolerance: no more than one pixel of a thousand may differ by more than 1 of 255 a channel, and none by
//! more than [`ROUNDED`] of the light. The software driver compiles itself for the processor it finds and rounds
//! differently from one to the next: where dark areas are taken off a lit ground triangle by triangle, each time to a
//! whole byte, such roundings add up.

use super::others::linear;
use super::tables::Hang;
use super::{square, thrown};
use chalklight::geometry::{Point, Vector};
use chalklight::scene::{Fill, Letters, Light, Marks, Scene, Stroke};
use image::{Rgba, RgbaImage};
use std::path::Path;

/// Half a byte's step near white, 0.0045 of the light, for each of six triangles of a letter that share a pixel.
const ROUNDED: f64 = 6.0 * 0.0045;
/// Largest reference, in bytes.
const LARGEST: u64 = 64 * 1024;

const HANG: Hang =
    Hang { picture_px: [320, 180], tilt_deg: [18.0, 6.0], roll_deg: 2.0, k1: -0.05, k2: 0.01, px_per_mm: 0.27 };

pub fn compare(name: &str, drawn: &RgbaImage) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(format!("{name}.png"));
    if !path.exists() {
        drawn.save(&path).expect("the reference can be written");
        panic!("{} was not there; it is now: look at it and run the test again", path.display());
    }
    assert!(std::fs::metadata(&path).expect("a reference").len() <= LARGEST, "{name} is larger than {LARGEST} bytes");
    let expected = image::open(&path).expect("a reference").to_rgba8();
    assert_eq!(expected.dimensions(), drawn.dimensions(), "{name} has another size");
    let off = |a: &Rgba<u8>, b: &Rgba<u8>| (0..4).map(|c| a.0[c].abs_diff(b.0[c])).max().unwrap_or(0);
    let offs: Vec<u8> = expected.pixels().zip(drawn.pixels()).map(|(a, b)| off(a, b)).collect();
    let light_off =
        |a: &Rgba<u8>, b: &Rgba<u8>| (0..3).map(|c| (linear(a.0[c]) - linear(b.0[c])).abs()).fold(0.0, f64::max);
    let worst = expected.pixels().zip(drawn.pixels()).map(|(a, b)| light_off(a, b)).fold(0.0, f64::max);
    let beyond = offs.iter().filter(|&&d| d > 1).count();
    if worst > ROUNDED || beyond * 1000 > offs.len() {
        let (w, h) = drawn.dimensions();
        let side_by_side = RgbaImage::from_fn(3 * w, h, |x, y| match x / w {
            0 => *expected.get_pixel(x, y),
            1 => Rgba(
                [offs[(y * w + x - w) as usize].saturating_mul(32); 3]
                    .into_iter()
                    .chain([255])
                    .collect::<Vec<_>>()
                    .try_into()
                    .unwrap_or([255; 4]),
            ),
            _ => *drawn.get_pixel(x - 2 * w, y),
        });
        let left = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.png"));
        side_by_side.save(&left).expect("the difference can be written");
        panic!(
            "{name}: {beyond} pixels differ by more than 1, the worst by {worst:.4} of the light; see {}",
            left.display()
        );
    }
}

/// Line kinds: widths from a third of a pixel, a closed line, a hairpin, a dot, letters.
fn line_work<F>(light: Light) -> Marks<F> {
    let p = |x, y| Point::new(x, y);
    let line = |points: Vec<Point<F>>, closed, width_mm| Stroke { points, closed, width_mm, light };
    let mut strokes: Vec<_> = [1.0, 2.0, 4.0, 8.0, 16.0]
        .iter()
        .enumerate()
        .map(|(i, &w)| {
            let y = 100.0 + 90.0 * i as f64;
            line(vec![p(80.0, y), p(330.0, y + 20.0), p(380.0, y + 70.0), p(395.0, y)], false, w)
        })
        .collect();
    strokes.push(line(vec![p(480.0, 120.0), p(680.0, 110.0), p(640.0, 260.0)], true, 6.0));
    strokes.push(line(vec![p(760.0, 150.0)], false, 30.0));
    let letters = vec![Letters {
        text: "Front 4\u{215b}\u{2033}".to_owned(),
        at: p(480.0, 400.0),
        along: Vector::new(0.98, 0.2),
        cap_mm: 60.0,
        light,
    }];
    Marks { fills: Vec::new(), strokes, letters }
}

fn lit_shape() -> Scene {
    let p = |x, y| Point::new(x, y);
    let outline = vec![p(150.0, 80.0), p(900.0, 120.0), p(800.0, 600.0), p(400.0, 560.0)];
    let hole = vec![p(400.0, 250.0), p(600.0, 250.0), p(520.0, 420.0)];
    let mut on_cloth = line_work([0; 3]);
    on_cloth.fills.push(Fill { rings: vec![outline, hole], light: [255, 240, 200] });
    Scene { ground: [0; 3], on_cloth, on_table: Marks::default() }
}

#[test]
fn light_lines_on_dark() {
    let scene = Scene { ground: [0; 3], on_cloth: line_work([255, 220, 90]), on_table: Marks::default() };
    compare("light_on_dark", &thrown(&scene, &square(), &HANG.table()).expect("a picture"));
}

#[test]
fn dark_lines_on_a_lit_ground() {
    let scene = Scene { ground: [230, 240, 255], on_cloth: line_work([20, 0, 0]), on_table: Marks::default() };
    compare("dark_on_lit", &thrown(&scene, &square(), &HANG.table()).expect("a picture"));
}

#[test]
fn a_lit_shape_with_dark_marks() {
    compare("lit_shape", &thrown(&lit_shape(), &square(), &HANG.table()).expect("a picture"));
}
