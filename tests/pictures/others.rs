//! Beside the ways of others: a general rasteriser on the same mapped outlines, and a page that is drawn and warped.

use super::lines::{Stretch, in_all_directions, largest, measured, strokes};
use super::oracle::ask;
use super::outlines::{mapped_outline, page_map, svg};
use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::geometry::Point;
use chalklight::scene::Stroke;
use chalklight::table::Table;
use image::{Rgba, RgbaImage};
use serde_json::json;

const HANG: Hang = Hang { tilt_deg: [15.0, 0.0], k1: -0.03, k2: 0.004, ..Hang::PLAIN };

/// Linear light of an sRGB byte (IEC 61966-2-1).
pub fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

/// tiny-skia, which knows nothing of our shaders, draws the same lines from outlines mapped in f64. Its coverage has 4
/// sub-rows a pixel, so single pixels differ by up to a quarter and a little; sums over small squares must not.
#[test]
fn a_general_rasteriser_draws_the_same() {
    let table = HANG.table();
    let curve = |k: u32| {
        let (sin, cos) = (f64::from(k) / 60.0 * std::f64::consts::TAU).sin_cos();
        Point::new(600.0 + 250.0 * cos, 340.0 + 150.0 * sin)
    };
    let closed = Stroke { points: (0..60).map(curve).collect(), closed: true, width_mm: 2.0, light: [255; 3] };
    let mut marks = strokes(&in_all_directions(&[0.8, 1.5, 3.0]));
    marks.strokes.push(closed);
    let [width, height] = table.picture_px;
    let mut page = tiny_skia::Pixmap::new(width, height).expect("a page");
    let mut paint = tiny_skia::Paint::default();
    paint.set_color_rgba8(255, 255, 255, 255);
    for stroke in &marks.strokes {
        let outline = mapped_outline(&table, stroke).expect("an outline");
        page.fill_path(&outline, &paint, tiny_skia::FillRule::Winding, tiny_skia::Transform::identity(), None);
    }
    let ours = thrown(&on_cloth(marks), &square(), &table).expect("a picture");
    // tiny-skia writes coverage itself as the byte; ours is sRGB-encoded light.
    let theirs = |x: u32, y: u32| f64::from(page.data()[((y * width + x) * 4 + 1) as usize]) / 255.0;
    let light = |x: u32, y: u32| linear(ours.get_pixel(x, y).0[1]);
    let (mut worst, mut sum, mut count) = ((0.0_f64, 0, 0), 0.0, 0);
    for y in (0..height - 8).step_by(4) {
        for x in (0..width - 8).step_by(4) {
            let square = (0..8).flat_map(|j| (0..8).map(move |i| (x + i, y + j)));
            let (mut difference, mut lit) = (0.0, 0.0);
            for (x, y) in square {
                difference += light(x, y) - theirs(x, y);
                lit += light(x, y);
            }
            if lit > 0.0 {
                sum += difference.abs();
                count += 1;
            }
            if difference.abs() > worst.0 {
                worst = (difference.abs(), x, y);
            }
        }
    }
    // A line through an 8 x 8 square has two edges of 8 px or more, and tiny-skia rounds each to a quarter of a pixel.
    assert!(worst.0 < 2.0, "the 8 x 8 square at {}, {} differs by {} pixels' light", worst.1, worst.2, worst.0);
    assert!(
        sum / f64::from(count) < 0.25,
        "squares with light differ by {} pixels' light on average",
        sum / f64::from(count)
    );
}

/// A page drawn by resvg at the picture's mean resolution and warped by OpenCV, whichever of its filters is chosen: farther
/// off and softer than ours.
#[test]
fn a_page_that_is_drawn_and_warped_is_farther_off_and_softer() {
    const PAGE_PX_PER_MM: f64 = 1.6;
    let table = HANG.table();
    let lines = in_all_directions(&[3.0]);
    let scene = on_cloth(strokes(&lines));
    let size = [1200.0, 675.0].map(|mm: f64| (mm * PAGE_PX_PER_MM) as u32);
    let tree = usvg::Tree::from_str(&svg(&scene, [1200.0, 675.0]), &usvg::Options::default()).expect("an SVG");
    let mut page = tiny_skia::Pixmap::new(size[0], size[1]).expect("a page");
    page.fill(tiny_skia::Color::BLACK);
    let scale = tiny_skia::Transform::from_scale(PAGE_PX_PER_MM as f32, PAGE_PX_PER_MM as f32);
    resvg::render(&tree, scale, &mut page.as_mut());
    let ours = told(&measured(&table, &lines, &thrown(&scene, &square(), &table).expect("a picture"), false));
    for way in ["linear", "cubic", "lanczos"] {
        let theirs =
            told(&measured(&table, &lines, &warped(&page, &page_map(&table, PAGE_PX_PER_MM), &table, way), false));
        eprintln!(
            "{way}: off by {:.4} px against {:.4}, rise {:.2} px against {:.2}",
            ours[0], theirs[0], ours[1], theirs[1]
        );
        assert!(ours[0] < theirs[0] / 2.0, "{way}: off by {} px against {}", ours[0], theirs[0]);
        assert!(ours[1] < theirs[1], "{way}: rise over {} px against {}", ours[1], theirs[1]);
    }
}

/// The largest error of position and the mean rise of an edge, px.
fn told(all: &[Stretch]) -> [f64; 2] {
    let rises: Vec<f64> = all.iter().map(|s| s.rise_px).filter(|r| *r > 0.0).collect();
    assert!(rises.len() > 20, "only {} stretches tell their rise", rises.len());
    [largest(all.iter().map(|s| s.shift_px)), rises.iter().sum::<f64>() / rises.len() as f64]
}

/// The page as OpenCV warps it, one coverage a pixel, encoded as ours is so that both are read alike.
fn warped(page: &tiny_skia::Pixmap, map: &[[f32; 2]], table: &Table, way: &str) -> RgbaImage {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = |name: &str| folder.path().join(name);
    let shares: Vec<u8> = page.data().chunks_exact(4).map(|pixel| pixel[1]).collect();
    let places: Vec<u8> = map.iter().flatten().flat_map(|at| at.to_le_bytes()).collect();
    std::fs::write(file("page"), shares).expect("the page can be handed over");
    std::fs::write(file("map"), places).expect("the map can be handed over");
    ask(
        "warp.py",
        &json!({
            "page": file("page"), "map": file("map"), "frame": file("frame"),
            "size": [page.width(), page.height()], "picture": table.picture_px, "way": way,
        }),
    );
    let frame = std::fs::read(file("frame")).expect("a frame");
    let [width, height] = table.picture_px;
    RgbaImage::from_fn(width, height, |x, y| {
        let byte = encoded(f64::from(frame[(y * width + x) as usize]) / 255.0);
        Rgba([byte, byte, byte, 255])
    })
}

/// The sRGB byte of linear light (IEC 61966-2-1).
fn encoded(light: f64) -> u8 {
    let e = if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 };
    (e * 255.0).round() as u8
}
