//! Ends, corners, curves and areas: every pixel's share against a count of points taken back to the table.

use super::oracle::{measure, table_json};
use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::geometry::{Cloth, Point};
use chalklight::scene::{Fill, Marks, Stroke};
use serde_json::{Value, json};
use std::f64::consts::TAU;

/// What was measured of one shape.
#[derive(Clone, Debug, serde::Deserialize)]
struct Found {
    /// Largest error of one pixel's share.
    worst: f64,
    /// Root mean square over the pixels on its edges.
    rms: f64,
    /// How many those are.
    pixels: usize,
    /// x, y, exact share, drawn share of the worst pixel; told when the test fails.
    #[allow(dead_code)]
    at: [f64; 4],
}

/// Small pictures keep the count of points short.
const HANG: Hang =
    Hang { picture_px: [960, 540], tilt_deg: [14.0, -9.0], roll_deg: 3.0, k1: -0.05, k2: 0.01, px_per_mm: 0.8 };

fn found(marks: Marks<Cloth>, hang: Hang, rule: &str) -> Vec<Found> {
    let table = hang.table();
    let shapes: Vec<Value> = marks
        .strokes
        .iter()
        .map(|s| json!({ "kind": "stroke", "closed": s.closed, "width": s.width_mm, "rings": [plain(&s.points)] }))
        .chain(marks.fills.iter().map(|f| {
            let rings: Vec<_> = f.rings.iter().map(|r| plain(r)).collect();
            json!({ "kind": "area", "rule": rule, "rings": rings })
        }))
        .collect();
    let picture = thrown(&on_cloth(marks), &square(), &table).expect("a picture");
    let job = json!({ "table": table_json(&table), "shapes": shapes });
    serde_json::from_value(measure("shapes.py", job, &picture)).expect("shapes")
}

fn plain(points: &[Point<Cloth>]) -> Vec<[f64; 2]> {
    points.iter().map(|p| p.to_array()).collect()
}

fn stroke(points: &[[f64; 2]], closed: bool, width_mm: f64) -> Stroke<Cloth> {
    Stroke { points: points.iter().map(|&p| Point::from(p)).collect(), closed, width_mm, light: [255; 3] }
}

/// A star of single lines, so that ends of every direction are seen.
fn ends(width_mm: f64, y: f64) -> Vec<Stroke<Cloth>> {
    (0..9)
        .map(|k| {
            let (sin, cos) = (TAU * f64::from(k) / 9.0 + 0.1).sin_cos();
            let (x, y) = (200.0 + 90.0 * f64::from(k), y + 1.3 * f64::from(k));
            stroke(&[[x, y], [x + 24.0 * cos, y + 24.0 * sin]], false, width_mm)
        })
        .collect()
}

/// Corners from nearly straight to nearly back.
fn corners(width_mm: f64, y: f64) -> Vec<Stroke<Cloth>> {
    [8.0_f64, 20.0, 45.0, 75.0, 90.0, 110.0, 135.0, 155.0]
        .iter()
        .enumerate()
        .map(|(k, turn)| {
            let k = k as f64;
            let (x, y) = (200.0 + 100.0 * k, y + 1.7 * k);
            let (sin, cos) = (0.7 * k).sin_cos();
            let (sin2, cos2) = (0.7 * k + turn.to_radians()).sin_cos();
            let a = [x - 22.0 * cos, y - 22.0 * sin];
            stroke(&[a, [x, y], [x + 22.0 * cos2, y + 22.0 * sin2]], false, width_mm)
        })
        .collect()
}

/// A regular ring.
fn ring(radius_mm: f64, corners: u32, x: f64, y: f64) -> Vec<[f64; 2]> {
    let corner = |k| {
        let (sin, cos) = (TAU * f64::from(k) / f64::from(corners)).sin_cos();
        [x + radius_mm * cos, y + radius_mm * sin]
    };
    (0..corners).map(corner).collect()
}

fn area(rings: &[Vec<[f64; 2]>]) -> Fill<Cloth> {
    let rings = rings.iter().map(|r| r.iter().map(|&p| Point::from(p)).collect()).collect();
    Fill { rings, light: [255; 3] }
}

fn assert_within(found: &[Found], worst: f64, rms: f64) {
    for (i, f) in found.iter().enumerate() {
        assert!(f.pixels > 8, "shape {i} is hardly in the picture: {f:?}");
        assert!(f.worst <= worst && f.rms <= rms, "shape {i} is wrong by more than {worst} or {rms} rms: {f:?}");
    }
}

/// Round ends and corners of any turn, for lines from 0.8 to 2.4 px: each pixel within the 0.015 that straight lines keep.
#[test]
fn ends_and_corners_are_exact() {
    let strokes = [ends(1.0, 150.0), ends(3.0, 220.0), corners(1.0, 330.0), corners(3.0, 430.0)].concat();
    assert_within(&found(Marks { strokes, ..Marks::default() }, HANG, ""), 0.015, 0.005);
}

/// Curves: within 0.02 down to a radius of 30 px. Tighter ones bend within a pixel, where the edge is taken for its
/// tangent, and corners are merged to 0.01 px; at 8 px, tighter than any line that is cut, that costs up to 0.035.
#[test]
fn curves_are_nearly_exact() {
    let circle = |radius, corners, x, width| stroke(&ring(radius, corners, x, 300.0), true, width);
    let wide = vec![circle(40.0, 120, 300.0, 1.6), circle(20.0, 12, 650.0, 1.6)];
    assert_within(&found(Marks { strokes: wide, ..Marks::default() }, HANG, ""), 0.02, 0.006);
    let tight = vec![circle(10.0, 60, 450.0, 0.8), circle(10.0, 60, 550.0, 1.6)];
    assert_within(&found(Marks { strokes: tight, ..Marks::default() }, HANG, ""), 0.035, 0.012);
}

/// Areas with holes, sharp corners and slivers thinner than a pixel.
#[test]
fn areas_are_exact() {
    let sliver = vec![[700.0, 300.0], [900.0, 310.0], [900.0, 311.0]];
    let fills = vec![
        area(&[ring(50.0, 100, 300.0, 300.0), ring(20.0, 5, 310.0, 300.0)]),
        area(&[ring(40.0, 3, 500.0, 300.0)]),
        area(&[ring(10.0, 40, 620.0, 300.0)]),
        area(&[sliver]),
    ];
    assert_within(&found(Marks { fills, ..Marks::default() }, HANG, "evenodd"), 0.02, 0.005);
}
