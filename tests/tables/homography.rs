//! The bare homography against OpenCV's findHomography on the same noisy readings.

use std::collections::BTreeMap;

use chalklight::calibrate::readings::{Hang, LensBelief};
use chalklight::calibrate::{Grid, Readings, calibrate};
use chalklight::geometry::Point;
use chalklight::table::{Kind, Reading};
use serde_json::Value;

pub fn numbers(value: &Value) -> [f64; 2] {
    [value[0].as_f64().expect("a number"), value[1].as_f64().expect("a number")]
}

pub fn readings(case: &Value) -> Readings {
    let size = |i: usize| case["size"][i].as_u64().expect("a size") as u32;
    let count = |key: &str| case[key].as_u64().expect("a count") as usize;
    let picture_px = [size(0), size(1)];
    let read = case["readings"].as_array().expect("readings").iter().map(|r| {
        let [x, y] = numbers(&r["at"]);
        let mark = r["mark"].as_str().and_then(|m| m.parse().ok()).expect("a mark");
        Reading { kind: Kind::Place { mark, at_mm: Point::new(x, y) }, height_mm: 0.0 }
    });
    Readings {
        picture_px,
        hang: Hang::default(),
        grid: Grid::even(picture_px, count("columns"), count("rows"), 0.06),
        sigma_mm: case["sigma"].as_f64().expect("a sigma"),
        tape_class: None,
        lens: LensBelief { known: Some([0.0, 0.0]), ..LensBelief::default() },
        stand: None,
        stand_sd_mm: 10.0,
        readings: read.collect(),
    }
}

/// Source: tests/oracles/homography.py (OpenCV 5.0.0, method 0: least squares of the same error, in mm).
#[test]
fn homographies_agree_with_opencv() {
    let oracle: Value = serde_json::from_str(include_str!("../oracles/homography.json")).expect("the oracle's JSON");
    let cases = oracle["cases"].as_array().expect("cases");
    assert!(cases.len() >= 6);
    for (i, case) in cases.iter().enumerate() {
        let solved = calibrate(&readings(case)).unwrap_or_else(|e| panic!("case {i}: {e}"));
        let table = solved.value.table;
        for (mm, px) in
            case["probes_mm"].as_array().expect("probes").iter().zip(case["probes_px"].as_array().expect("px"))
        {
            let ([x, y], [u, v]) = (numbers(mm), numbers(px));
            let ours = table.px_from_mm(Point::new(x, y)).expect("a pixel");
            let off_px = (ours.x - u).hypot(ours.y - v);
            assert!(off_px < 0.01, "case {i}: {off_px} px from OpenCV at {x}, {y} mm");
        }
    }
}

/// Four pairs that fix a homography by hand: a square of 1000 mm on a square of 100 px, moved by (10, 20) and turned over.
#[test]
fn a_moved_square_needs_no_noise() {
    let marks = [("A1", 10.0, 20.0), ("A2", 110.0, 20.0), ("B1", 10.0, 120.0), ("B2", 110.0, 120.0)];
    let grid: BTreeMap<_, _> = marks.iter().map(|(m, x, y)| (m.parse().expect("mark"), Point::new(*x, *y))).collect();
    let read = marks.iter().map(|(m, x, y)| Reading {
        kind: Kind::Place { mark: m.parse().expect("mark"), at_mm: Point::new(10.0 * (x - 10.0), 10.0 * (120.0 - y)) },
        height_mm: 0.0,
    });
    let readings = Readings {
        picture_px: [160, 160],
        hang: Hang::default(),
        grid: Grid { marks: grid.clone() },
        sigma_mm: 0.5,
        tape_class: None,
        lens: LensBelief { known: Some([0.0, 0.0]), ..LensBelief::default() },
        stand: None,
        stand_sd_mm: 10.0,
        readings: read.collect(),
    };
    let table = calibrate(&readings).expect("a table").value.table;
    let px = table.px_from_mm(Point::new(500.0, 250.0)).expect("a pixel");
    assert!((px.x - 60.0).hypot(px.y - 95.0) < 1e-6, "{px:?}");
}
