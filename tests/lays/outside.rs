//! Lays judged by GEOS.

use chalklight::geometry::{Cloth as Frame, Outline};
use chalklight::lay::Lay;
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
        "flaws": lay.flaws().iter().map(ring).collect::<Vec<_>>(),
    })
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
    let content = serde_json::to_vec(&lays.iter().map(told).collect::<Vec<_>>()).expect("JSON");
    let judged = crate::sheets::ask("lays.py", &content);
    for (lay, said) in lays.iter().zip(judged.as_array().expect("a list")) {
        let number = |key: &str| said[key].as_f64().expect("a number");
        assert_eq!(said["valid"], true, "{said}");
        assert!(number("shared_mm2") < 1e-3 && number("flawed_mm2") < 1e-3, "{said}");
        assert!(number("outside_mm") < 1e-6, "{said}");
        let area_mm2: f64 = lay.placed.iter().map(|placed| placed.cut().area_mm2()).sum();
        assert!((area_mm2 - number("area_mm2")).abs() < 1e-6 * area_mm2, "{said}");
    }
}
