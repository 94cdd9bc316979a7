//! Pieces that are pinned: they lie there, the others around them, and a place that breaks a rule says which.

use chalklight::entries::Placed;
use chalklight::geometry::Vector;
use chalklight::lay::proof::faults;
use chalklight::lay::{Broken, Lay, Wanted, plan};
use chalklight::nest::Forms;
use chalklight::order::{Asked, Cloth, Flaw, FoldKind};
use chalklight::remark::Told;
use chalklight::units::System;

use super::pieces::{dress, piece};
use super::planned::{SHORT, cloth};

fn laid(cloth: &Cloth, pins: &[(&str, &[[f64; 2]])]) -> Told<Lay> {
    let pins_mm = pins.iter().map(|(name, at)| ((*name).to_owned(), Placed { value: at.to_vec(), line: 7 })).collect();
    let pieces = dress();
    let wanted = Wanted::of(&pieces, cloth, System::Metric).asking(&Asked { pins_mm, ..Asked::default() });
    plan(&wanted, &SHORT, &mut Forms::default())
}

#[test]
fn the_others_are_laid_around_what_is_pinned() {
    let places: [&[[f64; 2]]; 2] = [&[[250.0, 120.0]], &[[100.0, 30.0], [1300.0, 450.0]]];
    for places in places {
        let lay = laid(&cloth(1120.0), &[("sleeve", places)]).expect("a lay").value;
        assert_eq!(faults(&lay), []);
        for place in places {
            let is_there = |placed: &chalklight::lay::Placed| {
                let low = placed.cut().bounds().0;
                placed.piece.name == "sleeve" && (low.x - place[0]).abs() < 1e-6 && (low.y - place[1]).abs() < 1e-6
            };
            assert!(lay.placed.iter().any(is_there), "{place:?}");
        }
    }
    // The back on its fold, a hand's breadth from the cut end.
    let lay = laid(&cloth(900.0), &[("back", &[[100.0, 0.0]])]).expect("a lay").value;
    let back = lay.placed.iter().find(|placed| placed.piece.name == "back").expect("a back");
    assert!((back.cut().bounds().0.x - 100.0).abs() < 1e-6 && faults(&lay).is_empty());
}

/// What kept places cost is told against the lay without them: here all the cloth before the sleeve, or more.
#[test]
fn what_kept_places_cost_is_told() {
    let free_mm = laid(&cloth(1120.0), &[]).expect("a lay").value;
    assert_eq!(free_mm.unpinned_mm, None);
    let lay = laid(&cloth(1120.0), &[("sleeve", &[[4000.0, 120.0]])]).expect("a lay").value;
    let unpinned_mm = lay.unpinned_mm.expect("told");
    assert!(lay.used_mm >= 4000.0 && unpinned_mm < 1.05 * free_mm.used_mm, "{unpinned_mm} {}", free_mm.used_mm);
    let says = lay.costs_say();
    let more = System::Metric.show_at_least(lay.used_mm - unpinned_mm);
    assert!(says.iter().any(|(what, says)| *what == "kept places" && says.contains(&more)), "{says:?}");
}

#[test]
fn a_place_that_breaks_a_rule_is_refused_with_the_rule() {
    let refused = |cloth: &Cloth, pins: &[(&str, &[[f64; 2]])]| laid(cloth, pins).expect_err("refused").to_string();
    let says = refused(&cloth(1120.0), &[("sleeve", &[[100.0, 1000.0]])]);
    assert!(says.contains("line 7") && says.contains("sleeve would not be all on the cloth"), "{says}");
    let says = refused(&cloth(1120.0), &[("sleeve", &[[100.0, 100.0], [200.0, 200.0]])]);
    assert!(says.contains("would lie over the sleeve"), "{says}");
    let says = refused(&cloth(1120.0), &[("sleeve", &[[0.0, 0.0], [700.0, 0.0], [1400.0, 0.0]])]);
    assert!(says.contains("more of the sleeve"), "{says}");
    let flaws = vec![Flaw { along_mm: 300.0, across_mm: 300.0, size_mm: 200.0 }];
    let flawed = Cloth { flaws, ..cloth(900.0) };
    let says = refused(&flawed, &[("sleeve", &[[100.0, 100.0]])]);
    assert!(says.contains("on a flaw"), "{says}");
    let short = Cloth { length_mm: Some(5000.0), ..cloth(1120.0) };
    let says = refused(&short, &[("sleeve", &[[4900.0, 100.0]])]);
    assert!(says.contains("not be all on the cloth"), "{says}");
    let says = refused(&cloth(1120.0), &[("sleve", &[[0.0, 0.0]])]);
    assert!(says.contains("did you mean sleeve?"), "{says}");
}

/// What a hand that moves a piece would be told.
#[test]
fn a_move_by_hand_says_the_rule_that_it_would_break() {
    let pieces = [piece("square", &[(0.0, 0.0), (0.0, 200.0), (200.0, 200.0), (200.0, 0.0)], (2, false, false))];
    let cloth = cloth(1000.0);
    let lay = plan(&Wanted::of(&pieces, &cloth, System::Metric), &SHORT, &mut Forms::default()).expect("a lay").value;
    let low = lay.placed[0].cut().bounds().0;
    let to = |x: f64, y: f64| Vector::new(x - low.x, y - low.y);
    assert_eq!(lay.broken_by(0, Vector::new(0.0, 0.0), &[]), None);
    assert_eq!(lay.broken_by(0, to(3000.0, low.y), &[]), None, "there is cloth beyond the lay");
    assert_eq!(lay.broken_by(0, to(-50.0, low.y), &[]), Some(Broken::Outside));
    assert_eq!(lay.broken_by(0, to(low.x, -50.0), &[]), Some(Broken::Outside));
    let other = lay.placed.get(1).map(|placed| placed.cut().bounds().0);
    if let Some(other) = other {
        let on_it = to(other.x + 1.0, other.y);
        assert_eq!(lay.broken_by(0, on_it, &[]), None, "what is not pinned makes room");
        assert_eq!(lay.broken_by(0, on_it, &[1]), Some(Broken::Over("square".into())));
    }
}

/// A fold on which what is kept in place has no room says which rule that would break.
#[test]
fn a_fold_that_a_kept_piece_rules_out_says_the_rule() {
    // On open cloth the back lies there; its centre lies on no fold.
    let lay = laid(&cloth(1500.0), &[("back", &[[100.0, 300.0]])]).expect("a lay").value;
    let half = lay.ruled_out.iter().find(|out| out.kind == FoldKind::Half).expect("ruled out");
    assert_eq!(half.why, "with pieces kept in place, the centre of the back would not lie on the fold there");
    let sleeves: &[[f64; 2]] = &[[0.0, 0.0], [700.0, 0.0]];
    let lay = laid(&cloth(1120.0), &[("sleeve", sleeves)]).expect("a lay").value;
    assert!(lay.ruled_out.iter().any(|out| out.why.contains("more of the sleeve are pinned than are cut")));
}
