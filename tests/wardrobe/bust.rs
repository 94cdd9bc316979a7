//! The bust: the dart out of the side seam, full and small bust, hollow back, and letting out.

use chalklight::draft::{Draft, SewnPiece};
use chalklight::geometry::{Draft as Frame, Outline, Point};
use chalklight::units::INCH_MM;

use super::{check, example, sleeved};
use crate::check::{OrderText, edge_mm, faults, step_mm};

fn piece<'d>(draft: &'d Draft, name: &str) -> &'d SewnPiece {
    draft.piece(name).unwrap_or_else(|| panic!("no {name}"))
}

/// The trade's example (waist depth 16) with a back depth of 15, bust points 10 1/2 down and 7 1/2 apart.
fn darted() -> OrderText {
    let body = [("back_depth", "15 in"), ("bust_depth", "10 1/2 in"), ("bust_span", "7 1/2 in")];
    body.iter().fold(example().choose("dart", "side"), |order, (key, value)| order.body(key, value))
}

/// The legs of the front's dart, upper and lower, in inches: each from the seam to its point.
fn legs(draft: &Draft) -> [[Point<Frame>; 2]; 2] {
    let legs: Vec<_> = piece(draft, "front").marks.iter().filter(|(name, _)| *name == "dart").collect();
    [legs[0].1, legs[1].1]
}

fn mirrored(p: Point<Frame>, [from, through]: [Point<Frame>; 2]) -> Point<Frame> {
    let along = (through - from).normalize();
    let off = p - from;
    from + along * (2.0 * off.dot(along)) - off
}

/// By hand (common practice, no source): the front is longer by 16 - 15 = 1, so the dart is 1 wide; level with the bust
/// point at 10 1/2, its legs begin at 10 and 11; it ends 1 in (Erwin, *Practical Dress Design*, 1954: the point may lie 1 to
/// 1 1/2 in away) short of 7 1/2 / 2, 4 3/4 from the centre. The back's levels are 1 higher, and its hem.
#[test]
fn a_side_dart_is_as_wide_as_the_front_is_longer() {
    let draft = darted().draft();
    let [[high, point], [low, same]] = legs(&draft).map(|leg| leg.map(|p| p / INCH_MM));
    assert_eq!(point, same);
    assert!((point.x - 4.75).abs() < 1e-9 && (point.y - 10.5).abs() < 1e-9, "{point:?}");
    assert!((high.y - 10.0).abs() < 1e-5 && (low.y - 11.0).abs() < 1e-5 && (high.x - low.x).abs() < 1e-5);
    let (front, back) = (piece(&draft, "front"), piece(&draft, "back"));
    for (level, inches) in [("waist", 16.0), ("hip", 24.0)] {
        assert!((front.level_mm(level).expect("one") / INCH_MM - inches).abs() < 1e-9);
        assert!((back.level_mm(level).expect("one") / INCH_MM - inches + 1.0).abs() < 1e-9);
    }
    let foot = |piece: &SewnPiece| piece.edge("hem").expect("a hem").curve.start().y / INCH_MM;
    assert!((foot(front) - 51.0).abs() < 1e-9 && (foot(back) - 50.0).abs() < 1e-9);
    // Walked by hand: above the upper leg, and below the lower one, on the front's drawn edge; and the back's.
    let side = &front.edge("side").expect("a side").curve;
    let up_to = |p: Point<Frame>| side.length_to_level(p.y).expect("crossed");
    let [[high, _], [low, _]] = legs(&draft);
    let walked_mm = up_to(low) + side.length_mm() - up_to(high);
    assert!((walked_mm - edge_mm(back, "side")).abs() < 0.01, "{walked_mm}");
    assert!(check(&draft, "side seams walk").ok);
    let (order, made) = (darted(), darted().pieces());
    assert!(faults(&order.draft(), &made).is_empty());
}

/// Where the back was not measured the dart is 1 in (Rosenfeld, *The Practical Designer*, 1918, of what fits close); the bust
/// point lies 2 1/2 below the chest line (7.833) and a tenth of the bust from the centre (common practice, no source).
#[test]
fn a_dart_without_measures_is_the_houses() {
    for kind in ["a-line-dress", "shift-top", "tunic"] {
        let length = if kind == "shift-top" { 650.0 } else { 900.0 };
        let draft = example().kind(kind).long(length).choose("dart", "side").draft();
        assert!((step_mm(&draft, "bust dart") / INCH_MM - 1.0).abs() < 1e-9);
        assert!((step_mm(&draft, "bust point") / INCH_MM - (38.0 / 6.0 + 4.0)).abs() < 1e-9);
        assert!((step_mm(&draft, "dart's point") / INCH_MM - 4.8).abs() < 1e-9);
        assert!(check(&draft, "side seams walk").ok, "{kind}");
    }
}

/// Folded along its middle and laid down, as horizontal darts are (Erwin, 1954: fold and pin the dart before the underarm
/// seam is cut), the dart's cutting edge lies on that of the closed side, all the way from leg to leg; and the closed side is cut
/// at its turning everywhere. Closed by turning the cloth above about the dart's point until leg lies on leg.
#[test]
fn the_cap_of_a_folded_dart_lies_on_the_turning() {
    /// Two flattened curves.
    const ON_LINE_MM: f64 = 0.03;
    let leaning = darted().body("waist", "26 in").body("hip", "44 in").fitted("full_bust", "1 in");
    let narrow = darted().rule("side_allowance", "\"5/8 in\"");
    for order in [darted(), darted().fitted("full_bust", "1 in"), leaning, narrow] {
        let draft = order.draft();
        let [upper, lower] = legs(&draft);
        let front = order.pieces().into_iter().find(|piece| piece.name == "front").expect("a front");
        let side = front.edge("side").expect("a side");
        let above = |p: &Point<Frame>, [at, to]: [Point<Frame>; 2]| (at - to).cross(*p - to) < -1e-6;
        let middle = [upper[0].lerp(lower[0], 0.5), lower[1]];
        // Mirrored about the upper leg and then about the middle, what lies above comes down on the lower leg.
        let closed = |p: &Point<Frame>| mirrored(mirrored(*p, upper), middle);
        let close = |line: &[Point<Frame>]| -> Vec<Point<Frame>> {
            let (below, beyond) =
                (line.iter().filter(|p| !above(p, lower)), line.iter().filter(|p| !above(p, upper)).count());
            below.copied().chain(line[beyond..].iter().map(closed)).collect()
        };
        let line = |corners: Vec<Point<Frame>>| {
            let sides: Vec<_> = corners.windows(2).map(|side| Outline { corners: side.to_vec() }).collect();
            move |p: Point<Frame>| sides.iter().map(|side| side.distance_mm(p)).fold(f64::INFINITY, f64::min)
        };
        let cut = close(&side.cut);
        let off_cut_mm = line(cut.clone());
        let off_sewn_mm = line(close(&side.sewn.corners()));
        let cap: Vec<&Point<Frame>> = side.cut.iter().filter(|p| above(p, lower) && !above(p, upper)).collect();
        assert!(cap.len() > 2);
        for p in cap {
            let folded = if above(p, middle) { mirrored(*p, middle) } else { *p };
            let laid = mirrored(folded, lower);
            assert!(off_cut_mm(laid) < ON_LINE_MM, "{p:?} comes to lie {} mm off", off_cut_mm(laid));
        }
        let ends = cut.len() - 1;
        for p in &cut[1..ends] {
            let off_mm = off_sewn_mm(*p) - side.allowance_mm;
            assert!(off_mm > -ON_LINE_MM, "{p:?} is cut {off_mm} mm within the turning");
        }
    }
}

/// Legs are nicked in the turning, on the leg's own line, and the point is marked.
#[test]
fn a_dart_is_nicked_at_its_legs() {
    let front = darted().pieces().into_iter().find(|piece| piece.name == "front").expect("a front");
    let [upper, lower] = legs(&darted().draft());
    let nicks: Vec<_> = front.notches.iter().filter(|notch| notch.meets == "dart").collect();
    assert_eq!(nicks.len(), 2);
    for leg in [upper, lower] {
        let nick = nicks.iter().find(|notch| (notch.sewn_at - leg[0]).length() < 0.01).expect("a nick at the leg");
        let across = (leg[0] - leg[1]).normalize().cross(nick.nick[0] - leg[1]);
        assert!(across.abs() < 0.01 && !nick.chalked, "{nick:?}");
    }
    assert_eq!(front.marks.iter().filter(|(name, _)| *name == "dart").count(), 2);
}

/// A full bust wants so much more length: the dart is as much wider and the front as much longer, the back stays. A small one
/// the other way; without a dart the hem's middle goes with it and the sides stay.
#[test]
fn a_full_bust_goes_into_the_dart_or_into_the_hem() {
    for (key, sign) in [("full_bust", 1.0), ("small_bust", -1.0)] {
        for (order, has_dart) in [(darted(), true), (example(), false)] {
            let (plain, fitted) = (order.draft(), order.clone().fitted(key, "1/2 in").draft());
            let foot = |draft: &Draft, name: &str| piece(draft, name).edge("hem").expect("a hem").curve.start().y;
            let longer = (foot(&fitted, "front") - foot(&plain, "front")) / INCH_MM;
            assert!((longer - 0.5 * sign).abs() < 1e-9, "{key}: {longer}");
            assert_eq!(foot(&fitted, "back"), foot(&plain, "back"));
            let side = |draft: &Draft| edge_mm(piece(draft, "back"), "side");
            assert!((side(&fitted) - side(&plain)).abs() < 1e-9 && check(&fitted, "side seams walk").ok);
            let name = if has_dart { "bust dart fitted" } else { "front length fitted" };
            let step = fitted.working.iter().find(|step| step.name == name).expect("a step");
            assert!(step.rule.contains(&key.replace('_', " ")) && step.rule.contains("1/2 in"), "{}", step.rule);
            assert_eq!(step.rule.contains("no dart takes it up"), !has_dart);
        }
    }
    let widths = |order: OrderText| {
        let [[high, _], [low, _]] = legs(&order.draft());
        (low - high).length() / INCH_MM
    };
    assert!((widths(darted().fitted("full_bust", "1/2 in")) - 1.5).abs() < 1e-5);
    assert!((widths(darted().fitted("small_bust", "1/2 in")) - 0.5).abs() < 1e-5);
}

/// The fold over a hollow back is smoothed up and cut away at the neck; what is let out in all is a quarter of it in every
/// quarter, from underarm to hem, and the sleeve goes into the armhole that this makes.
#[test]
fn hollow_back_and_letting_out_act_by_their_amount() {
    let plain = sleeved("long").draft();
    let sway = sleeved("long").fitted("sway_back", "1/2 in").draft();
    let deeper = step_mm(&sway, "back neck fitted") - step_mm(&plain, "back neck depth");
    assert!((deeper / INCH_MM - 0.5).abs() < 1e-9);
    for (amount, quarter) in [("2 in", 0.5), ("-1 in", -0.25)] {
        let fitted = sleeved("long").fitted("let_out", amount).draft();
        for name in ["quarter bust", "quarter waist", "quarter hip", "hem half width"] {
            let wider = (step_mm(&fitted, name) - step_mm(&plain, name)) / INCH_MM;
            assert!((wider - quarter).abs() < 1e-9, "{name}: {wider}");
        }
        assert!(fitted.checks.iter().filter(|check| check.name.contains("walk")).all(|check| check.ok));
        assert!(check(&fitted, "sleeve goes into the armhole").ok);
        assert_eq!(fitted.working.iter().any(|step| step.rule.contains("holds no more than that")), quarter > 0.0);
    }
}

/// Close is 1, 1 and 2 in round bust, waist and hip (common practice, no source), loose a quarter of the bust and 2 in
/// (Baldt, *Clothing for Women*, 1916, fig. 60); a rule that is written goes before. None is narrower than the one before it.
#[test]
fn a_fit_brings_its_ease_and_a_written_rule_goes_before() {
    let (bust, waist, hip) = (38.0 / 4.0, 32.0 / 4.0, 42.0 / 4.0);
    let mut before = [0.0; 3];
    for (fit, quarters) in [
        ("close", [bust + 0.25, waist + 0.25, hip + 0.5]),
        ("house", [bust + 0.25, waist + 0.5, hip + 0.5]),
        ("easy", [bust + 0.625, waist + 0.5, hip + 0.75]),
        ("loose", [bust + 2.0, waist + 2.0, hip + 2.0]),
    ] {
        assert!(before.iter().zip(quarters).all(|(before, quarter)| *before <= quarter), "{fit}");
        before = quarters;
        let draft = example().choose("fit", fit).draft();
        for (name, inches) in ["quarter bust", "quarter waist", "quarter hip"].into_iter().zip(quarters) {
            assert!((step_mm(&draft, name) / INCH_MM - inches).abs() < 1e-9, "{fit}: {name}");
        }
        let own = example().choose("fit", fit).rule("bust_ease", "\"1 in\"").draft();
        assert!((step_mm(&own, "quarter bust") / INCH_MM - bust - 1.0).abs() < 1e-9);
    }
}

/// A dart that can't be sewn ends in a sentence with what to do.
#[test]
fn a_dart_that_cannot_be_is_told() {
    for (order, says) in [
        (darted().body("back_depth", "16 in"), "nothing is left of the bust dart"),
        (darted().fitted("small_bust", "7/8 in"), "wide can't be sewn"),
        (darted().fitted("small_bust", "1/2 in").fitted("full_bust", "1/2 in"), "can't both be found on one body"),
        (darted().body("bust_depth", "6 in"), "too near the underarm"),
        (darted().body("bust_span", "17 in"), "can't be drawn"),
        (darted().body("bust_depth", "15 3/4 in"), "reaches below the waist"),
    ] {
        let told = chalklight::order::read(&order.text()).and_then(|order| chalklight::draft::draft(&order.value));
        let refusal = told.expect_err("a refusal");
        let found = refusal.remarks.iter().find(|remark| remark.sentence.contains(says));
        assert!(found.is_some_and(|remark| remark.remedy.is_some()), "{says}: {refusal}");
    }
}
