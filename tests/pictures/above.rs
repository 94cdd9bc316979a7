//! The simulated view from above shows a mark where it was meant to lie: the throw and the way back, written
//! independently of one another, undo each other.

use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::above::{View, seen};
use chalklight::geometry::Point;
use chalklight::scene::{Marks, Stroke};
use image::RgbaImage;

const PX_PER_MM: f64 = 2.0;

/// The centre of the light along a row or column of the view, in px from the beginning of the range.
fn centre(view: &RgbaImage, across: impl Fn(u32) -> [u32; 2], range: std::ops::Range<u32>) -> f64 {
    let dark = f64::from(view.get_pixel(0, 0).0[1]);
    let light = |i| {
        let [x, y] = across(i);
        // Encoded values are enough: the mark's profile is symmetric.
        f64::from(view.get_pixel(x, y).0[1]) - dark
    };
    let sum: f64 = range.clone().map(light).sum();
    assert!(sum > 100.0, "no mark is seen");
    range.map(|i| (f64::from(i) + 0.5) * light(i)).sum::<f64>() / sum
}

#[test]
fn a_mark_is_seen_where_it_was_meant() {
    let table = Hang { tilt_deg: [20.0, 5.0], k1: -0.05, k2: 0.01, roll_deg: 3.0, ..Hang::PLAIN }.table();
    let stroke = |a: [f64; 2], b: [f64; 2]| Stroke {
        points: vec![Point::from(a), Point::from(b)],
        closed: false,
        width_mm: 5.0,
        light: [255; 3],
    };
    let marks = Marks {
        strokes: vec![stroke([300.25, 150.0], [300.25, 500.0]), stroke([400.0, 310.75], [900.0, 310.75])],
        ..Marks::default()
    };
    let picture = thrown(&on_cloth(marks), &square(), &table).expect("a picture");
    let view = View { from_mm: Point::new(200.0, 100.0), size_mm: [800.0, 450.0], px_per_mm: PX_PER_MM };
    let shown = seen(&picture, &table, None, view);
    for y_mm in [180.0, 260.0, 340.0, 470.0] {
        let row = shown.height() - ((y_mm - 100.0) * PX_PER_MM) as u32;
        let x_mm = 200.0 + centre(&shown, |x| [x, row], 180..220) / PX_PER_MM;
        assert!((x_mm - 300.25).abs() < 0.2, "at y = {y_mm} mm the line is seen at x = {x_mm} mm");
    }
    for x_mm in [450.0, 600.0, 850.0] {
        let column = ((x_mm - 200.0) * PX_PER_MM) as u32;
        let middle = shown.height() - ((310.0 - 100.0) * PX_PER_MM) as u32;
        let down = centre(&shown, |y| [column, y], middle - 20..middle + 20);
        let y_mm = 100.0 + 450.0 - down / PX_PER_MM;
        assert!((y_mm - 310.75).abs() < 0.2, "at x = {x_mm} mm the line is seen at y = {y_mm} mm");
    }
}
