//! Lengths, areas, allowances and splines of drafted pieces against scipy and GEOS.
//!
//! `tests/oracles/drafts.json` holds the Bezier points of a few drafts; `pieces.py` beside it reads them and writes
//! `pieces.json`. The first test here says whether those are still the drafts that are made.

use std::path::PathBuf;

use chalklight::draft::Draft;
use chalklight::finish::{Piece, finish};
use chalklight::geometry::{Curve, Draft as Frame, Outline, Point};
use kurbo::{PathEl, Point as At};
use serde_json::{Value, json};

use crate::check::OrderText;

/// The cases by name: a body of the middle, and others of the survey's ends, with rules that bend the lines more.
fn cases() -> Vec<(&'static str, OrderText)> {
    let order = |length, bust, waist, hip, shoulder, depth| {
        let body = [("bust", bust), ("waist", waist), ("hip", hip), ("shoulder", shoulder), ("waist_depth", depth)];
        OrderText::of(length, &body)
    };
    let same = |order: OrderText, mm: f64| {
        ["side", "shoulder", "hem", "neck", "armhole"]
            .iter()
            .fold(order, |order, edge| order.rule_mm(&format!("{edge}_allowance"), mm))
    };
    let middle = || order("53 in", "40 in", "36 in", "42 in", "16 in", "16 in");
    vec![
        ("worked example", middle()),
        ("fifteen millimetres all round", same(middle(), 15.0)),
        ("six millimetres all round", same(order("96 cm", "88 cm", "70 cm", "96 cm", "37 cm", "40 cm"), 6.0)),
        (
            "smallest",
            order("92 cm", "695 mm", "615 mm", "798 mm", "33 cm", "37 cm").rule("front_neck_depth", "\"6 in\""),
        ),
        (
            "largest",
            order("140 cm", "1266 mm", "1305 mm", "1341 mm", "44 cm", "48 cm").rule("neck_allowance", "\"1/4 in\""),
        ),
        ("sharp waist", order("96 cm", "968 mm", "880 mm", "1095 mm", "376 mm", "445 mm").body("hip_depth", "87 mm")),
    ]
}

fn oracle() -> Value {
    serde_json::from_str(include_str!("oracles/pieces.json")).expect("the oracle's JSON")
}

/// What the oracle is given.
fn drafts() -> Value {
    let case = |(name, order): &(&str, OrderText)| {
        let draft = order.draft();
        json!({ "name": name, "pieces": draft.pieces.iter().map(|piece| {
            let hollow_mm = if piece.name == "front" { 0.75 * 25.4 } else { 0.0 };
            let most_mm = 0.75 * 25.4;
            let edge = |edge: &chalklight::draft::SewnEdge| {
                json!({ "name": edge.name, "allowance_mm": edge.allowance_mm, "parts": beziers(&edge.curve) })
            };
            json!({ "name": piece.name, "hollow_mm": [hollow_mm, most_mm], "edges": piece.edges.iter().map(edge).collect::<Vec<_>>() })
        }).collect::<Vec<_>>() })
    };
    json!({ "cases": cases().iter().map(case).collect::<Vec<_>>() })
}

/// Each part as the four points of a cubic.
fn beziers(curve: &Curve<Frame>) -> Vec<[[f64; 2]; 4]> {
    let start = curve.start();
    let mut from = At::new(start.x, start.y);
    let mut cubics = Vec::new();
    for element in curve.elements() {
        let (a, b, to) = match element {
            PathEl::LineTo(to) => (from.lerp(to, 1.0 / 3.0), from.lerp(to, 2.0 / 3.0), to),
            PathEl::CurveTo(a, b, to) => (a, b, to),
            other => panic!("{other:?} in a drafted line"),
        };
        cubics.push([from, a, b, to].map(|p| [p.x, p.y]));
        from = to;
    }
    cubics
}

fn near(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(a, b)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len() && a.iter().all(|(key, a)| b.get(key).is_some_and(|b| near(a, b)))
        }
        _ => match (a.as_f64(), b.as_f64()) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-6,
            _ => a == b,
        },
    }
}

fn point(value: &Value) -> Point<Frame> {
    Point::new(value[0].as_f64().expect("x"), value[1].as_f64().expect("y"))
}

/// A case: its name, its draft, and each piece with what the oracle says of it.
type Told = (&'static str, Draft, Vec<(Piece, Value)>);

/// Every case with its draft, its pieces, and what the oracle says of each piece.
fn told() -> Vec<Told> {
    let oracle = oracle();
    let with = |(case, told): ((&'static str, OrderText), &Value)| {
        assert_eq!(told["name"], case.0);
        let draft = case.1.draft();
        let pieces = finish(&draft).expect("pieces").value;
        let told = told["pieces"].as_array().expect("pieces").iter().cloned();
        (case.0, draft, pieces.into_iter().zip(told).collect())
    };
    cases().into_iter().zip(oracle["cases"].as_array().expect("cases")).map(with).collect()
}

#[test]
fn the_oracle_was_given_these_drafts() {
    let given: Value = serde_json::from_str(include_str!("oracles/drafts.json")).expect("JSON");
    let drafts = drafts();
    if near(&given, &drafts) {
        return;
    }
    let now = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("target/drafts.json");
    std::fs::write(&now, serde_json::to_string_pretty(&drafts).expect("JSON") + "\n").expect("a file in target");
    panic!(
        "the drafts have changed; if that is meant, copy {} to tests/oracles/, run pieces.py there, and read the difference",
        now.display()
    );
}

/// scipy.integrate.quad of each cubic's speed, to 1e-11.
#[test]
fn lengths_are_those_of_the_curves() {
    for (case, _, pieces) in told() {
        for (piece, told) in pieces {
            for (edge, told) in piece.edges.iter().zip(told["edges"].as_array().expect("edges")) {
                let expected_mm = told["length_mm"].as_f64().expect("a length");
                let off_mm = edge.length_mm - expected_mm;
                assert!(off_mm.abs() < 1e-3, "{case}, {} {}: {off_mm} mm off {expected_mm}", piece.name, edge.name);
            }
        }
    }
}

/// GEOS polygons of 2,000 points a cubic.
#[test]
fn areas_are_those_of_geos() {
    for (case, _, pieces) in told() {
        for (piece, told) in pieces {
            assert_eq!(told["valid"], true, "{case}: GEOS calls the {} crossed", piece.name);
            let expected_mm2 = told["area_mm2"].as_f64().expect("an area");
            // Flattening moves the line by at most 0.01 mm.
            let most_mm2 = 0.01 * piece.edges.iter().map(|edge| edge.length_mm).sum::<f64>();
            let off_mm2 = (piece.sewn.area_mm2() - expected_mm2).abs();
            assert!(off_mm2 < most_mm2, "{case}, {}: {off_mm2} mm2 off {expected_mm2}", piece.name);
        }
    }
}

/// Points at the allowance along the normal (by arithmetic), where nothing of the edge is nearer (by GEOS), lie on the
/// edge's part of the cutting line; and no corner of that part is nearer to the edge than its allowance.
#[test]
fn cutting_lines_stand_off_by_their_allowance() {
    let mut tried = 0;
    for (case, _, pieces) in told() {
        for (piece, told) in pieces {
            for (edge, told) in piece.edges.iter().zip(told["edges"].as_array().expect("edges")) {
                for expected in told["parallel"].as_array().expect("points") {
                    let off_mm = distance_to_line_mm(&edge.cut, point(expected));
                    assert!(off_mm < 0.02, "{case}, {} {}: {off_mm} mm off at {expected}", piece.name, edge.name);
                    tried += 1;
                }
                let sewn = edge.sewn.corners();
                for corner in &edge.cut {
                    let from_mm = distance_to_line_mm(&sewn, *corner);
                    assert!(from_mm > edge.allowance_mm - 0.02, "{case}, {} {}: {from_mm}", piece.name, edge.name);
                }
            }
        }
    }
    assert!(tried > 900, "only {tried} points were tried");
}

/// GEOS's mitred buffer of the unfolded piece, where all allowances are one.
#[test]
fn one_allowance_all_round_is_a_mitred_buffer() {
    let mut tried = 0;
    for (case, _, pieces) in told() {
        for (piece, told) in pieces.iter().filter(|(_, told)| told.get("mitred").is_some()) {
            let told = &told["mitred"];
            for expected in told["border"].as_array().expect("points") {
                let off_mm = piece.cut.distance_mm(point(expected));
                assert!(off_mm < 0.02, "{case}, {}: {off_mm} mm off at {expected}", piece.name);
                tried += 1;
            }
            let expected_mm2 = told["half_area_mm2"].as_f64().expect("an area");
            let off_mm2 = (piece.cut.area_mm2() - expected_mm2).abs();
            let round_mm: f64 = piece.cut.sides().map(|(a, b)| (b - a).length()).sum();
            assert!(off_mm2 < 0.02 * round_mm, "{case}, {}: {off_mm2} mm2 off {expected_mm2}", piece.name);
        }
    }
    assert!(tried > 300, "only {tried} points were tried");
}

/// scipy.interpolate.CubicSpline with clamped ends through underarm, guide and tip; the back's guide, where that curve would bend in,
/// out and in again, at the least hollow at which its second derivative has at most one change of side (numpy's roots, bisected).
#[test]
fn armholes_are_clamped_cubic_splines() {
    for (case, draft, pieces) in told() {
        for (sewn, (_, told)) in draft.pieces.iter().zip(&pieces) {
            let ours = json!(beziers(&sewn.edge("armhole").expect("an armhole").curve));
            assert!(near(&ours, &told["armhole"]), "{case}, {}: {ours} {}", sewn.name, told["armhole"]);
        }
    }
}

/// scipy.interpolate.PchipInterpolator: the slopes of Fritsch and Butland at every inner point but the last.
#[test]
fn monotone_lines_have_the_published_slopes() {
    let oracle = &oracle()["monotone"];
    let points: Vec<Point<Frame>> = oracle["points"].as_array().expect("points").iter().map(point).collect();
    let parts = beziers(&Curve::down_through(&points));
    for (part, slope) in parts[1..].iter().zip(oracle["slopes"].as_array().expect("slopes")) {
        let [[x0, y0], [x1, y1], ..] = *part;
        let expected = slope.as_f64().expect("a slope");
        assert!(((x1 - x0) / (y1 - y0) - expected).abs() < 1e-9, "{} for {expected}", (x1 - x0) / (y1 - y0));
    }
}

/// Distance to an open line.
fn distance_to_line_mm(line: &[Point<Frame>], from: Point<Frame>) -> f64 {
    // An outline's closing side would be counted too, so each side is its own.
    let sides = line.windows(2).map(|side| Outline { corners: side.to_vec() }.distance_mm(from));
    sides.fold(f64::INFINITY, f64::min)
}
