//! Lays judged by GEOS.

use chalklight::geometry::{Cloth as Frame, Outline};
use chalklight::lay::{Lay, Placed};
use chalklight::order::{Cloth, Flaw, Print};
use serde_json::{Value, json};

use super::pieces::dress;
use super::planned::{SHORT, cloth, planned};

fn ring(outline: &Outline<Frame>) -> Value {
    outline.corners.iter().map(|p| json!([p.x, p.y])).collect()
}

fn told(lay: &Lay) -> Value {
    json!({
        "length": lay.length_mm,
        "width": lay.folded_width_mm,
        "cuts": lay.placed.iter().map(|placed| ring(&placed.cut())).collect::<Vec<_>>(),
        "flaws": lay.flaws().iter().chain(&lay.border()).map(ring).collect::<Vec<_>>(),
        "grains": lay.placed.iter().map(grain).collect::<Vec<_>>(),
        "one_way": lay.is_one_way(),
    })
}

/// Where a piece's grain arrow begins and ends on the cloth.
fn grain(placed: &Placed) -> Value {
    placed.piece.grain.iter().map(|p| placed.cloth_from_draft.transform_point(*p)).map(|p| json!([p.x, p.y])).collect()
}

/// Asks GEOS about lays: nothing lies over another, off the cloth, on a flaw or the border, off the grain.
pub fn judged(lays: &[Lay]) {
    let content = serde_json::to_vec(&lays.iter().map(told).collect::<Vec<_>>()).expect("JSON");
    let judged = crate::sheets::ask("lays.py", &content);
    assert_eq!(judged.as_array().map(Vec::len), Some(lays.len()));
    for (i, (lay, said)) in lays.iter().zip(judged.as_array().expect("a list")).enumerate() {
        let number = |key: &str| said[key].as_f64().expect("a number");
        assert_eq!(said["valid"], true, "lay {i}: {said}");
        assert!(number("shared_mm2") < 1e-3 && number("flawed_mm2") < 1e-3, "lay {i}: {said}");
        assert!(number("outside_mm") < 1e-6 && number("off_grain_mm") < 1e-6, "lay {i}: {said}");
        let area_mm2: f64 = lay.placed.iter().map(|placed| placed.cut().area_mm2()).sum();
        assert!((area_mm2 - number("area_mm2")).abs() < 1e-6 * area_mm2, "lay {i}: {said}");
    }
}

#[test]
fn geos_finds_no_fault_in_a_lay() {
    let flaws = vec![Flaw { along_mm: 400.0, across_mm: 450.0, size_mm: 40.0 }];
    let cloths = [
        cloth(900.0),
        cloth(1120.0),
        Cloth { print: Print::OneWay, ..cloth(1120.0) },
        Cloth { flaws: flaws.clone(), ..cloth(1120.0) },
        cloth(1400.0),
        Cloth { print: Print::OneWay, flaws, ..cloth(1500.0) },
    ];
    let lays: Vec<Lay> = cloths.iter().map(|cloth| planned(&dress(), cloth, &SHORT)).collect();
    judged(&lays);
}

/// A fault that is put in is found by GEOS too.
#[test]
#[should_panic(expected = "lay 0")]
fn geos_finds_a_piece_on_its_head() {
    let mut lay = planned(&dress(), &Cloth { print: Print::OneWay, ..cloth(1120.0) }, &SHORT);
    for placed in &mut lay.placed {
        placed.piece.grain.reverse();
    }
    judged(&[lay]);
}
