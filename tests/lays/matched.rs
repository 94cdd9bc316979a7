//! Prints that meet: front, back and sleeves in step, by arithmetic of the test's own.
//!
//! What must meet: side seams at the waist, centre front and back, the sleeve's front notch (textileschool.com; J. Pray's
//! newsletter, *matching plaids*, as cited in our handbook).

use chalklight::finish::{Notch, Piece};
use chalklight::geometry::{Point, Vector};
use chalklight::lay::proof::{Fault, faults};
use chalklight::lay::{Effort, Fold, Lay, Wanted, plan, usual};
use chalklight::nest::{Forms, Home, Moves, Steps};
use chalklight::order::{Asked, Cloth, FoldKind, Matching};
use chalklight::remark::Told;
use chalklight::units::System;

use super::pieces::{Chance, half, sleeve};
use super::planned::{SHORT, asking, cloth};
use super::unfolded::worst_mm;

/// Points meet within this, as promised.
pub const MEETS_MM: f64 = 0.5;

fn notch(edge: &'static str, meets: &'static str, (x, y): (f64, f64)) -> Notch {
    let at = Point::new(x, y);
    Notch { edge, meets, sewn_at: at, nick: [at, at], chalked: false }
}

/// A front or a back whose side is notched at the waist, so far down.
pub fn body(name: &'static str, [length, hem, chest]: [f64; 3], waist: f64) -> Piece {
    let mut piece = half(name, [length, hem, chest]);
    for (edge, name) in piece.edges.iter_mut().zip(["fold", "hem", "side", "armhole", "armhole", "shoulder", "neck"]) {
        edge.name = name;
    }
    let share = (waist - 220.0) / (length - 220.0);
    piece.notches = vec![
        notch("side", "waist", (chest + share * (hem - chest), waist)),
        notch("armhole", "middle of the armhole", (0.75 * chest, 160.0)),
    ];
    piece
}

/// A sleeve about its middle, front at the left, notched where it meets the front's armhole.
pub fn notched_sleeve([length, width]: [f64; 2]) -> Piece {
    let mut piece = sleeve([length, width]).moved(Vector::new(-width / 2.0, 0.0));
    piece.notches = vec![notch("front crown", "notch of the front armhole", (-0.3 * width, 60.0))];
    piece
}

fn dress() -> Vec<Piece> {
    let [front, back] = [[1080.0, 420.0, 280.0], [1075.0, 410.0, 275.0]];
    vec![body("front", front, 400.0), body("back", back, 406.0), notched_sleeve([600.0, 420.0])]
}

fn asked(matching: Matching) -> Asked {
    Asked { matching, ..Asked::default() }
}

pub fn printed(width_mm: f64, repeat_mm: [f64; 2]) -> Cloth {
    Cloth { repeat_mm: repeat_mm.map(Some), ..cloth(width_mm) }
}

fn matched(pieces: &[Piece], cloth: &Cloth, matching: Matching, effort: &Effort<'_>) -> Told<Lay> {
    let wanted = Wanted::of(pieces, cloth, System::Metric).asking(&asked(matching));
    plan(&wanted, effort, &mut Forms::default())
}

#[test]
fn random_lays_meet_within_half_a_millimetre() {
    let mut chance = Chance(77);
    let mut folds = std::collections::BTreeSet::new();
    for i in 0_u32..150 {
        let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
        let waist = within(300.0, 420.0);
        let front = [within(500.0, 1000.0), within(250.0, 420.0), within(200.0, 300.0)];
        let back = [front[0] + within(-20.0, 20.0), within(250.0, 420.0), within(200.0, 300.0)];
        let mut pieces = vec![body("front", front, waist), body("back", back, waist + within(-15.0, 15.0))];
        if i % 3 != 0 {
            pieces.push(notched_sleeve([within(200.0, 600.0), within(250.0, 420.0)]));
        }
        let matching = [Matching::Along, Matching::Across, Matching::Both][(i % 3) as usize];
        let repeat_mm = [within(20.0, 700.0), within(20.0, 400.0)];
        let cloth = Cloth { half_drop: i % 2 == 0, ..printed(within(900.0, 1600.0), repeat_mm) };
        let lay =
            matched(&pieces, &cloth, matching, &Effort { tried: 2, pace: &Moves(2), from: None }).expect("a lay").value;
        assert_eq!(faults(&lay), [], "lay {i}");
        assert_eq!(lay.meets.way, matching);
        let worst_mm = worst_mm(&lay, &pieces);
        assert!(worst_mm <= MEETS_MM, "lay {i}, {matching:?} of {repeat_mm:?}, {}: {worst_mm}", lay.fold.says());
        assert!(lay.placed.iter().all(|placed| !placed.turned), "what meets lies one way up");
        assert!(lay.plain_mm() <= lay.used_mm);
        folds.insert(lay.fold.says());
    }
    assert!(folds.len() >= 2, "only {folds:?}");
}

/// The proof finds a piece that is moved out of step, and not one that is moved by a whole repeat.
#[test]
fn a_piece_out_of_step_is_found() {
    for matching in [Matching::Along, Matching::Across, Matching::Both] {
        let lay = matched(&dress(), &printed(1400.0, [160.0, 90.0]), matching, &SHORT).expect("a lay").value;
        let out = |by: Vector<_>| {
            let mut lay = lay.clone();
            let sleeve = lay.placed.iter().position(|placed| placed.of == 2).expect("a sleeve");
            let placed = &mut lay.placed[sleeve];
            placed.cloth_from_draft = placed.cloth_from_draft.then_translate(by);
            faults(&lay).iter().any(|fault| matches!(fault, Fault::OutOfStep(..)))
        };
        assert!(!out(Vector::new(0.0, 0.0)) && !out(Vector::new(160.0, 0.0)), "{matching:?}");
        assert_eq!(out(Vector::new(3.0, 0.0)), matching.is_along(), "{matching:?}");
        assert_eq!(out(Vector::new(0.0, 3.0)), matching.is_across(), "{matching:?}");
    }
}

/// Sewing sites: a matched lay takes a repeat for each piece that lies behind another, and one to start.
#[test]
fn matching_costs_no_more_than_the_rule_of_thumb() {
    for repeat_mm in [100.0, 320.0, 640.0] {
        let lay =
            matched(&dress(), &printed(1120.0, [repeat_mm, 100.0]), Matching::Along, &SHORT).expect("a lay").value;
        assert!(lay.used_mm <= lay.plain_mm() + 5.0 * repeat_mm, "{repeat_mm}: {} {}", lay.used_mm, lay.plain_mm());
    }
}

#[test]
fn a_repeat_that_the_cloth_is_too_short_for_says_how_much_more() {
    let plain_mm = matched(&dress(), &cloth(1120.0), Matching::None, &SHORT).expect("a lay").value.used_mm;
    for repeat_mm in [900.0, 7000.0] {
        let cloth = Cloth { length_mm: Some(plain_mm + 200.0), ..printed(1120.0, [repeat_mm, 100.0]) };
        let says = matched(&dress(), &cloth, Matching::Along, &SHORT).expect_err("too short").to_string();
        assert!(says.contains("whose print meets") && says.contains("more)"), "{says}");
        assert!(says.contains("match = \"none\""), "{says}");
    }
}

/// Stripes along that meet across: what that costs is told against the shortest lay of the plain cloth, though the lay that is
/// taken lies on another fold.
#[test]
fn what_meeting_costs_is_told_against_the_shortest_lay_without() {
    let pieces = [body("front", [1080.0, 420.0, 280.0], 400.0), body("back", [1075.0, 410.0, 275.0], 400.0)];
    let stripes = Cloth { repeat_mm: [None, Some(40.0)], ..cloth(1140.0) };
    let laid = |cloth: &Cloth, asked: &Asked| {
        let wanted = Wanted::of(&pieces, cloth, System::Metric).asking(asked);
        usual(&wanted, &Effort::FIRST, &mut Forms::default()).expect("a lay").value
    };
    let (plain, striped) =
        (laid(&cloth(1140.0), &asking(Some(FoldKind::Open))), laid(&stripes, &asked(Matching::Across)));
    assert_eq!(striped.fold, Fold::LengthsOnTheirCentre, "a shop cuts the same for it");
    assert!(striped.used_mm > plain.used_mm + 1.0, "{} {}", striped.used_mm, plain.used_mm);
    assert!(striped.plain_mm() <= plain.used_mm + 1.0, "{} {}", striped.plain_mm(), plain.used_mm);
}

#[test]
fn lengths_on_their_centre_begin_alike() {
    let pieces = [body("front", [1080.0, 420.0, 280.0], 400.0), body("back", [1075.0, 410.0, 275.0], 400.0)];
    let cloth = printed(1120.0, [320.0, 100.0]);
    let lengths = asking(Some(FoldKind::Lengths));
    let wanted = |matching| Wanted::of(&pieces, &cloth, System::Metric).asking(&Asked { matching, ..lengths.clone() });
    let plain = usual(&wanted(Matching::None), &Effort::FIRST, &mut Forms::default()).expect("a lay").value;
    let level = usual(&wanted(Matching::Both), &Effort::FIRST, &mut Forms::default()).expect("a lay").value;
    assert_eq!((plain.fold, level.fold), (Fold::LengthsOnTheirCentre, Fold::LengthsOnTheirCentre));
    let out = faults(&level).into_iter().find(|fault| matches!(fault, Fault::OutOfStep(..)));
    assert_eq!((level.length_mm, out), (4.0 * 320.0, None));
    assert!((plain.to_buy_mm() - level.to_buy_mm()).abs() < 1e-6, "what is bought has room for it either way");
    // A back that is not level at the waist is laid by the planner.
    let askew = [pieces[0].clone(), body("back", [1075.0, 410.0, 275.0], 430.0)];
    let wanted = Wanted::of(&askew, &cloth, System::Metric).asking(&asked(Matching::Along));
    let lay = usual(&wanted, &Effort::FIRST, &mut Forms::default()).expect("a lay").value;
    assert!(lay.fold != Fold::LengthsOnTheirCentre && worst_mm(&lay, &askew) <= MEETS_MM);
}

/// A range along that holds one place only may have its ends the wrong way round by rounding.
#[test]
fn rounding_leaves_a_place_its_range() {
    let steps = Steps { from: Point::new(6.35, 0.0), along_mm: Some(320.0), across_mm: None, half_drop: false };
    let turn = euclid::Transform2D::new(1.0, 0.0, 0.0, 1.0, 0.0, 0.0);
    let home = Home { steps: Some(steps), ..Home::free(turn, [0.0, 0.0]) };
    let found = home.nearest(Point::new(0.0, 0.0), [6.35, 6.349999999999994]).expect("a place");
    assert!((found.x - 6.35).abs() < 1e-9);
}

#[test]
fn what_cannot_be_matched_is_told() {
    let no = matched(&dress(), &cloth(1120.0), Matching::Along, &SHORT).expect_err("no repeat").to_string();
    assert!(no.contains("repeat is not known") && no.contains("take match out"), "{no}");
    let belt = [half("belt", [300.0, 80.0, 80.0])];
    let printed = printed(1120.0, [100.0, 100.0]);
    let no = matched(&belt, &printed, Matching::Along, &SHORT).expect_err("no seam").to_string();
    assert!(no.contains("none of these pieces has a seam"), "{no}");
    // Of a job the belt's dress has one.
    let (dress, garments) = (dress(), |dress: &[Piece], belt: &[Piece]| {
        let wanted = Wanted { garments: vec![belt, dress], ..Wanted::of(belt, &printed, System::Metric) };
        usual(&wanted.asking(&asked(Matching::Along)), &Effort::FIRST, &mut Forms::default()).is_ok()
    });
    assert!(garments(&dress, &belt));
}
