//! Kinds of fold: all are weighed, each can be asked for, and what is ruled out says why.

use chalklight::lay::proof::faults;
use chalklight::lay::{Effort, Fold, Lay, Wanted, Weighed, lay, usual};
use chalklight::nest::{Forms, Moves};
use chalklight::order::{Asked, Cloth, FoldKind, Matching, Print};
use chalklight::remark::Told;
use chalklight::stages::{LineKind, stages};
use chalklight::units::System;

use super::pieces::{Chance, dress, half, piece, sleeve};
use super::planned::{asking, cloth, given};

fn folded(pieces: &[chalklight::finish::Piece], cloth: &Cloth, fold: Option<FoldKind>) -> Told<Lay> {
    lay(&Wanted::of(pieces, cloth, System::Metric).asking(&asking(fold)))
}

/// Worked by hand: on 150 cm a front 84 cm wide at the hem and a back 82 cm wide lie side by side, head to tail, since no
/// level of both is wider than (42 + 22.4) x 2 or, half way, (35 + 35) x 2 cm. So the longer is all that is spent; on lengths of
/// their own both are.
#[test]
fn a_front_and_a_back_alone_are_weighed_on_every_fold() {
    let pieces = [half("front", [1080.0, 420.0, 280.0]), half("back", [1075.0, 410.0, 275.0])];
    let spent = |fold| folded(&pieces, &cloth(1500.0), fold).expect("a lay").value;
    let (usual, lengths) = (spent(None), spent(Some(FoldKind::Lengths)));
    assert_eq!((faults(&usual), given(&usual, &pieces)), (vec![], vec![1; 2]));
    assert!((lengths.used_mm - 2.0 * 1080.0).abs() < 1e-6 && usual.used_mm <= 1.01 * 1080.0, "{}", usual.used_mm);
    let of_lengths = usual.weighed.iter().find(|weighed| weighed.fold == Fold::LengthsOnTheirCentre);
    assert_eq!(of_lengths.and_then(|weighed| weighed.used_mm), Some(lengths.used_mm));
    // Cloth that is too short for two lengths is enough.
    let short = Cloth { length_mm: Some(1200.0), ..cloth(1500.0) };
    assert!(folded(&pieces, &short, None).is_ok() && folded(&pieces, &short, Some(FoldKind::Lengths)).is_err());
}

/// Worked by hand: two rectangles as wide as the cloth spend two lengths however it is folded.
#[test]
fn where_a_shop_would_cut_the_same_both_lie_on_their_centre() {
    let corners = [(0.0, 0.0), (0.0, 1000.0), (560.0, 1000.0), (560.0, 0.0)];
    let pieces = [piece("front", &corners, (1, true, false)), piece("back", &corners, (1, true, false))];
    let lay = folded(&pieces, &cloth(1120.0), None).expect("a lay").value;
    assert_eq!((lay.fold, lay.used_mm), (Fold::LengthsOnTheirCentre, 2000.0));
    let spent: Vec<f64> = lay.weighed.iter().filter_map(|weighed| weighed.used_mm).collect();
    assert!(spent.len() >= 2 && spent.iter().all(|mm| (mm - 2000.0).abs() < 10.0), "{:?}", lay.weighed);
}

#[test]
fn every_kind_of_fold_is_weighed_or_says_why_not() {
    /// What a first answer may spend beside a longer search.
    const FIRST_MAY: f64 = 1.03;

    for (print, width_mm) in [(Print::AllOver, 1500.0), (Print::OneWay, 1120.0), (Print::AllOver, 700.0)] {
        let cloth = Cloth { print, ..cloth(width_mm) };
        let Ok(told) = folded(&dress(), &cloth, None) else { continue };
        let lay = told.value;
        for (word, kind) in FoldKind::WORDS {
            let is_weighed = lay.weighed.iter().any(|weighed| weighed.fold.kind() == kind);
            let why = lay.ruled_out.iter().find(|out| out.kind == kind).map(|out| out.why.as_str());
            assert_eq!(is_weighed, why.is_none(), "{word} on {width_mm}: {why:?}");
            match folded(&dress(), &cloth, Some(kind)) {
                Ok(told) => {
                    assert_eq!((told.value.fold.kind(), is_weighed), (kind, true), "{word}");
                    assert_eq!((faults(&told.value), given(&told.value, &dress())), (vec![], vec![1, 1, 2, 1, 1, 4]));
                    // Two first answers of one fold are two searches: the free one spends no more than first answers may.
                    let shorter = told.value.used_mm < lay.used_mm / FIRST_MAY && lay.fold.kind() == kind;
                    assert!(!shorter, "{word} on {width_mm}: {} and {}", told.value.used_mm, lay.used_mm);
                }
                Err(no) => {
                    let no = no.to_string();
                    assert!(no.contains(why.unwrap_or("weighed, and yet not laid")), "{word}: {no}");
                    assert!(
                        no.contains("line 9") || no.contains(":9:") || no.contains("take fold out of [lay]"),
                        "{no}"
                    );
                }
            }
        }
    }
}

/// Worked by hand: on 90 cm half is 45 cm, so that a front of 46.4 cm from its fold lies on none; open it is twice as wide, and
/// with 30.8 cm folded in 90 - 61.6 = 28.4 cm lie single. What is told are the widths that it is held against.
#[test]
fn a_piece_too_wide_for_a_fold_is_told_beside_what_there_is() {
    let on_fold = |name, wide_mm: f64| {
        let corners = [(0.0, 0.0), (0.0, 600.0), (wide_mm, 600.0), (wide_mm, 0.0)];
        piece(name, &corners, (1, true, false))
    };
    let refused = |pieces: &[chalklight::finish::Piece]| {
        folded(pieces, &cloth(900.0), Some(FoldKind::OneSide)).expect_err("too wide").to_string()
    };
    let says = refused(&[on_fold("front", 464.0), on_fold("facing", 308.0)]);
    let why = "the front reaches 46.4 cm from its fold, where 30.8 cm are folded in; open it is 92.8 cm wide, and 28.4 cm lie \
               single";
    assert!(says.contains(why), "{says}");
    let says = refused(&[on_fold("front", 464.0)]);
    let why = "the front reaches 46.4 cm from its fold, and less than 45 cm, half of the cloth, can be folded in";
    assert!(says.contains(why), "{says}");
}

/// A fold that was never tried is not said to have no lay.
#[test]
fn a_fold_that_was_not_tried_is_told_as_such() {
    let mut lay = folded(&dress(), &cloth(1400.0), None).expect("a lay").value;
    let of = |is_tried| Weighed { fold: Fold::AtHalf, bound_mm: 100.0, is_tried, used_mm: None };
    let mut says = |is_tried| {
        lay.weighed = vec![of(is_tried)];
        lay.weighed_in_words().remove(0)
    };
    assert_eq!(says(false), "folded along its centre: not tried, others promised more; none is shorter than 10 cm");
    assert_eq!(says(true), "folded along its centre: no lay was found; none is shorter than 10 cm");
}

/// Folded across every second layer stands on its head.
#[test]
fn one_way_cloth_and_a_print_that_must_meet_are_never_folded_across() {
    let one_way = Cloth { print: Print::OneWay, ..cloth(1500.0) };
    let printed = Cloth { repeat_mm: [Some(100.0); 2], ..cloth(1500.0) };
    for kind in [FoldKind::Across, FoldKind::Four] {
        let no = folded(&dress(), &one_way, Some(kind)).expect_err("one layer on its head").to_string();
        assert!(no.contains("stand on its head"), "{no}");
    }
    let asked = Asked { matching: Matching::Along, ..Asked::default() };
    let body = |name| super::matched::body(name, [700.0, 300.0, 250.0], 400.0);
    let pieces = [body("front"), body("back"), sleeve([300.0, 300.0])];
    let lay = lay(&Wanted::of(&pieces, &printed, System::Metric).asking(&asked)).expect("a lay").value;
    assert!(lay.ruled_out.iter().any(|out| out.kind == FoldKind::Across && out.why.contains("must meet")));
}

/// Worked by hand: of four panels of a skirt, each half 30 cm wide on a fold, two come out of every cutting in four layers.
/// 70 cm long and two one behind the other they spend 4 x 70 cm, as they do on one fold.
#[test]
fn panels_come_out_two_at_once_of_cloth_in_four() {
    let corners = [(0.0, 0.0), (0.0, 700.0), (300.0, 700.0), (300.0, 0.0)];
    let panels = [piece("panel", &corners, (4, true, false))];
    let lay = folded(&panels, &cloth(800.0), Some(FoldKind::Four)).expect("a lay").value;
    let gives: Vec<u32> = lay.placed.iter().map(|placed| placed.gives).collect();
    assert_eq!((gives, lay.layers, faults(&lay)), (vec![2, 2], 4, vec![]));
    assert!((lay.used_mm - 4.0 * 700.0).abs() < 5.0 && (lay.length_mm - 2.0 * 700.0).abs() < 2.5, "{}", lay.used_mm);
    let half = folded(&panels, &cloth(800.0), Some(FoldKind::Half)).expect("a lay").value;
    assert!((half.used_mm - lay.used_mm).abs() < 10.0 && half.placed.len() == 4);
    let stages = stages(&lay);
    assert!(stages[0].sentence.contains("then fold it across its middle"), "{}", stages[0].sentence);
    assert!(stages[2].sentence.contains("4 layers") && stages[2].sentence.contains("That gives 2"));
    // The fold across lies at the foot, and is no cut end.
    let upright =
        |kind| stages[0].lines.iter().filter(|line| line.kind == kind && line.points[0].x == line.points[1].x).count();
    assert_eq!([upright(LineKind::Fold), upright(LineKind::ClothEnd)], [1, 1]);
}

/// Where two folds spend the same, the one with fewer cuttings is taken: pairs as wide as the cloth come out of cloth that
/// is folded across at one cutting each.
#[test]
fn of_folds_that_spend_the_same_the_one_with_the_fewest_cuttings_is_taken() {
    let corners = [(0.0, 0.0), (0.0, 500.0), (900.0, 500.0), (700.0, 0.0)];
    let lay = folded(&[piece("panel", &corners, (2, false, true))], &cloth(900.0), None).expect("a lay").value;
    assert_eq!((lay.fold, lay.placed.len(), lay.layers), (Fold::Across, 1, 2));
    assert!((lay.used_mm - 1000.0).abs() < 1e-6 && (lay.length_mm - 500.0).abs() < 1e-6);
}

#[test]
fn random_lays_on_every_fold_have_no_fault() {
    let mut chance = Chance(20_261_126);
    let mut laid = std::collections::BTreeMap::new();
    for i in 0_usize..350 {
        let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
        let front = half("front", [within(300.0, 900.0), within(150.0, 350.0), within(100.0, 250.0)]);
        let sides = [within(60.0, 200.0), within(60.0, 300.0)];
        let belt = [(0.0, 0.0), (0.0, sides[1]), (sides[0], sides[1]), (sides[0] * 0.8, 0.0)];
        let belt = piece("belt", &belt, (1 + i as u32 % 5, false, i % 2 == 0));
        let pieces = [front, belt, sleeve([within(200.0, 600.0), within(200.0, 420.0)])];
        let kind = FoldKind::WORDS[i % 7].1;
        let cloth =
            Cloth { print: if i % 3 == 0 { Print::OneWay } else { Print::AllOver }, ..cloth(within(600.0, 1600.0)) };
        let effort = Effort { tried: 2, pace: &Moves(2), from: None };
        let wanted = Wanted::of(&pieces, &cloth, System::Metric).asking(&asking(Some(kind)));
        let Ok(told) = usual(&wanted, &effort, &mut Forms::default()) else { continue };
        let lay = told.value;
        assert_eq!((faults(&lay), lay.fold.kind()), (vec![], kind), "lay {i}");
        let all = given(&lay, &pieces).into_iter().zip(&pieces).all(|(given, piece)| given == piece.count);
        assert!(all, "lay {i}: {:?}", given(&lay, &pieces));
        assert!((lay.used_mm - lay.length_mm * if lay.fold.is_across() { 2.0 } else { 1.0 }).abs() < 1e-6);
        *laid.entry(kind).or_insert(0) += 1;
    }
    assert!(laid.len() == 6 && laid.values().all(|count| *count >= 10), "{laid:?}");
}
