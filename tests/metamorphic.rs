//! Orders that are related give drafts that are related in the same way; and what must hold for one must hold for all.
//!
//! No outside figures are needed here: geometry itself says what scaling, lengthening and letting out do.

use chalklight::draft::a_line_dress::RULES;
use chalklight::draft::rules::Default;
use chalklight::draft::{Draft, SewnPiece, draft};
use chalklight::finish::{Piece, finish};
use chalklight::order::read;
use proptest::prelude::*;

use crate::check::{OrderText, faults, step_mm};

const KEYS: [&str; 7] = ["bust", "waist", "hip", "shoulder", "waist_depth", "hip_depth", "head"];

/// A body in mm, in the order of the keys, and the length of the dress.
type Wearer = ([f64; 7], f64);

fn order(([bust, waist, hip, shoulder, waist_depth, hip_depth, head], length): Wearer) -> OrderText {
    let body: Vec<(&str, f64)> =
        KEYS.into_iter().zip([bust, waist, hip, shoulder, waist_depth, hip_depth, head]).collect();
    OrderText::of_mm(length, &body)
}

/// What proptest hands over for it.
type Drawn = ((f64, f64, f64, f64, f64, f64, f64), f64);

/// Bodies as wide apart as those of 1,986 women (ANSUR II, 2012), each measure by itself.
fn wearers() -> impl Strategy<Value = Wearer> {
    let body = (695.0..1266.0, 560.0..1334.0, 798.0..1341.0, 320.0..480.0, 345.0..505.0, 100.0..230.0, 500.0..635.0);
    (body, 850.0..1500.0_f64).prop_map(|((a, b, c, d, e, f, g), length): Drawn| ([a, b, c, d, e, f, g], length))
}

/// A few rules, each anywhere in half of what it takes, on its default's side of the range.
fn rules() -> impl Strategy<Value = Vec<(usize, f64)>> {
    prop::collection::vec((0..RULES.len(), 0.5..1.5_f64), 0..5)
}

fn with_rules(mut order: OrderText, rules: &[(usize, f64)]) -> OrderText {
    let mut set = std::collections::BTreeMap::new();
    set.extend(rules.iter().copied());
    for (rule, share) in set {
        order = match RULES[rule].default {
            Default::LengthMm(mm) => order.rule_mm(RULES[rule].key, mm * share),
            Default::Number(number) => order.rule(RULES[rule].key, &format!("{:.6}", number * share)),
        };
    }
    order
}

/// The same order with every length of it, house rules as well, `factor` times as large.
fn scaled((body, length): Wearer, factor: f64) -> OrderText {
    let mut order = order((body.map(|mm| mm * factor), length * factor));
    for rule in RULES {
        if let Default::LengthMm(mm) = rule.default {
            order = order.rule_mm(rule.key, mm * factor);
        }
    }
    order
}

fn made(order: &OrderText) -> Option<(Draft, Vec<Piece>)> {
    let draft = read(&order.text()).and_then(|order| draft(&order.value)).ok()?.value;
    let pieces = finish(&draft).ok()?.value;
    Some((draft, pieces))
}

fn middle() -> Wearer {
    ([980.0, 880.0, 1060.0, 400.0, 410.0, 200.0, 560.0], 1300.0)
}

#[test]
fn a_larger_body_gets_a_draft_as_much_larger() {
    for factor in [0.75, 1.1, 1.4] {
        let (one, other) = (scaled(middle(), 1.0).draft(), scaled(middle(), factor).draft());
        for (a, b) in one.working.iter().zip(&other.working) {
            assert!((a.value_mm * factor - b.value_mm).abs() < 2e-3, "{}: {} and {}", a.name, a.value_mm, b.value_mm);
        }
        for (a, b) in scaled(middle(), 1.0).pieces().iter().zip(&scaled(middle(), factor).pieces()) {
            let shares = [a.sewn.area_mm2() / b.sewn.area_mm2(), a.cut.area_mm2() / b.cut.area_mm2()];
            for share in shares {
                assert!((share * factor * factor - 1.0).abs() < 2e-5, "{}: {share} for {factor}", a.name);
            }
        }
    }
}

/// The rules' own defaults, written out, change nothing.
#[test]
fn defaults_written_out_are_the_defaults() {
    let (one, other) = (order(middle()).draft(), scaled(middle(), 1.0).draft());
    for (a, b) in one.working.iter().zip(&other.working) {
        assert!((a.value_mm - b.value_mm).abs() < 1e-6, "{a:?} {b:?}");
    }
}

/// Longer by 200 mm: above the waist nothing moves. Between waist and hip the side swings to meet a steeper or flatter
/// straight run below (it is smooth at the hip), but never inside the quarter hip.
#[test]
fn length_alone_changes_nothing_above_the_waist() {
    let (body, length) = middle();
    let (short, long) = (order((body, length)).draft(), order((body, length + 200.0)).draft());
    for (a, b) in short.pieces.iter().zip(&long.pieces) {
        for name in ["neck", "shoulder", "armhole"] {
            assert_eq!(a.edge(name), b.edge(name), "{name} of the {}", a.name);
        }
        let width = |piece: &SewnPiece, y_mm: f64| {
            let side = &piece.edge("side").expect("a side").curve;
            side.at_length(side.length_to_level(y_mm).expect("crossed")).0.x
        };
        let (chest_mm, waist_mm) = (step_mm(&short, "chest line"), step_mm(&short, "waist line"));
        for share in [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] {
            let y_mm = chest_mm + (waist_mm - chest_mm) * share;
            assert!((width(a, y_mm) - width(b, y_mm)).abs() < 1e-3, "{}: {y_mm}", a.name);
        }
        for (draft, piece) in [(&short, a), (&long, b)] {
            assert!(width(piece, step_mm(draft, "hip line")) > step_mm(draft, "quarter hip") - 1e-3);
        }
        let hem = |piece: &SewnPiece| piece.edge("hem").expect("a hem").curve.end();
        assert!(((hem(b) - hem(a)).y - 200.0).abs() < 1e-9 && (hem(b) - hem(a)).x.abs() < 1e-9);
    }
}

/// More side allowance widens the cut piece at the side and nowhere else; the sewn hem gives way, the cut one stays.
#[test]
fn letting_out_moves_only_the_side() {
    let narrow = order(middle()).rule("side_allowance", "\"2 cm\"");
    let wide = order(middle()).rule("side_allowance", "\"5 cm\"");
    assert!((narrow.draft().fold_width_mm - wide.draft().fold_width_mm).abs() < 1e-9);
    for (a, b) in narrow.draft().pieces.iter().zip(&wide.draft().pieces) {
        for name in ["neck", "shoulder", "fold", "armhole"] {
            assert_eq!(a.edge(name).map(|e| &e.curve), b.edge(name).map(|e| &e.curve), "{name}");
        }
        let hem = |piece: &SewnPiece| piece.edge("hem").expect("a hem").curve.end().x;
        assert!((hem(a) - hem(b) - 30.0).abs() < 1e-6, "{} {}", hem(a), hem(b));
    }
}

/// A deeper front neck lengthens the neckline, and leaves the back alone.
#[test]
fn a_deeper_neck_is_a_longer_one() {
    let deep = |mm: f64| order(middle()).rule_mm("front_neck_depth", mm).draft();
    let girths: Vec<f64> = [60.0, 80.0, 100.0, 140.0, 200.0].map(|mm| step_mm(&deep(mm), "neckline")).into();
    assert!(girths.windows(2).all(|pair| pair[0] < pair[1]), "{girths:?}");
    assert_eq!(deep(60.0).piece("back"), deep(200.0).piece("back"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_drawn_is_sound(wearer in wearers(), rules in rules()) {
        let made = made(&with_rules(order(wearer), &rules));
        prop_assume!(made.is_some());
        let faults = made.map(|(draft, pieces)| faults(&draft, &pieces)).unwrap_or_default();
        prop_assert!(faults.is_empty(), "{faults:?}");
    }

    #[test]
    fn any_body_scales(wearer in wearers(), factor in 0.85..1.2_f64) {
        let (one, other) = (made(&scaled(wearer, 1.0)), made(&scaled(wearer, factor)));
        prop_assume!(one.is_some() && other.is_some());
        for (a, b) in one.iter().flat_map(|(draft, _)| &draft.working).zip(other.iter().flat_map(|(draft, _)| &draft.working)) {
            prop_assert!((a.value_mm * factor - b.value_mm).abs() < 5e-3, "{}", a.name);
        }
    }

    #[test]
    fn the_front_lies_inside_the_back_where_its_rules_say_so(wearer in wearers(), hollow in 0.0..1.0_f64, depth in 1.0..3.0_f64) {
        let order = order(wearer)
            .rule("armhole_hollow", &format!("\"{:.3} in\"", 0.5 + hollow))
            .rule("back_armhole_hollow", &format!("\"{hollow:.3} in\""))
            .rule("front_neck_depth", &format!("\"{:.3} in\"", 2.0 * depth))
            .rule("back_neck_depth", &format!("\"{depth:.3} in\""));
        let made = made(&order);
        prop_assume!(made.is_some());
        if let Some((_, pieces)) = made {
            prop_assert!(pieces[0].sewn.area_outside_mm2(&pieces[1].sewn) < 1.0);
            prop_assert!(pieces[0].cut.area_outside_mm2(&pieces[1].cut) < 1.0);
        }
    }
}
