//! Open instances of strip packing: what the bench prints is a lay, and the same each time.

#[path = "../timing/nesting/strip.rs"]
mod strip;

use chalklight::geometry::Outline;
use chalklight::nest::{Moves, Nesting, nest};
use strip::Instance;

/// Albano and Sapuppo 1980, as kept with the sources named in `tests/data/nesting/README.md`.
fn albano() -> Instance {
    let text = include_str!("../data/nesting/albano.json");
    Instance::of(&serde_json::from_str(text).expect("JSON")).expect("an instance")
}

fn laid(instance: &Instance, moves: u64) -> Nesting {
    nest(&instance.task, &[1, 2], &Moves(moves)).expect("pieces that fit")
}

#[test]
fn nothing_overlaps_and_nothing_lies_outside() {
    let instance = albano();
    let nesting = laid(&instance, 300);
    let outlines: Vec<Outline<_>> =
        nesting.poses.iter().enumerate().map(|(item, pose)| instance.task.laid(item, pose)).collect();
    assert_eq!(outlines.len(), 24);
    for (i, outline) in outlines.iter().enumerate() {
        let (low, high) = outline.bounds();
        assert!(low.x >= -1e-6 && low.y >= -1e-6 && high.x <= nesting.length_mm + 1e-6 && high.y <= 4900.0 + 1e-6);
        assert!(outlines[i + 1..].iter().all(|other| outline.shared_mm2(other) < 1e-3), "piece {i}");
    }
    // The area of all pieces as the collection states it.
    let answer = instance.answer(&nesting, 0.0);
    let area = 42_656_785.0;
    assert_eq!(answer["instance"], "albano");
    assert_eq!(answer["placed"].as_array().map(Vec::len), Some(24));
    assert!((answer["density"].as_f64().unwrap() - 100.0 * area / (4900.0 * nesting.length_mm)).abs() < 1e-9);
}

#[test]
fn the_same_seeds_and_moves_give_the_same_lay_and_more_moves_none_longer() {
    let instance = albano();
    let few = laid(&instance, 100);
    assert_eq!(few, laid(&instance, 100));
    assert!(laid(&instance, 600).length_mm < laid(&instance, 1).length_mm);
}
