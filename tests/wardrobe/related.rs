//! Related orders give related drafts, whatever is chosen; and what is drawn is sound for any body and any rule.

use chalklight::draft::rules::Default;
use chalklight::draft::{Draft, Garment, draft};
use chalklight::finish::{Piece, finish};
use chalklight::order::{KINDS, KindFacts, read};
use proptest::prelude::*;

use crate::check::{OrderText, edge_mm, faults};

const KEYS: [&str; 10] =
    ["bust", "waist", "hip", "shoulder", "waist_depth", "hip_depth", "head", "upper_arm", "arm_length", "hand"];

/// A body in mm, in the order of the keys.
type Body = [f64; KEYS.len()];

const MIDDLE: Body = [980.0, 880.0, 1060.0, 400.0, 410.0, 200.0, 560.0, 300.0, 580.0, 190.0];

/// An order of a kind with these measurements and words: each choice takes the word of its number.
fn order(facts: &'static KindFacts, body: Body, words: &[usize]) -> OrderText {
    let body: Vec<(&str, f64)> = KEYS.into_iter().zip(body).collect();
    let order = OrderText::of_mm(length_mm(facts), &body).kind(facts.key);
    facts
        .choices
        .iter()
        .zip(words)
        .fold(order, |order, (choice, word)| order.choose(choice.key, choice.words[word % choice.words.len()]))
}

fn length_mm(facts: &KindFacts) -> f64 {
    match facts.key {
        "shift-top" => 700.0,
        "tunic" => 850.0,
        key if key.ends_with("skirt") => 600.0,
        _ => 1100.0,
    }
}

fn made(order: &OrderText) -> Option<(Draft, Vec<Piece>)> {
    let draft = read(&order.text()).and_then(|order| draft(&order.value)).ok()?.value;
    let pieces = finish(&draft).ok()?.value;
    Some((draft, pieces))
}

/// The same order with every length of it, house rules as well, `factor` times as large.
fn scaled(facts: &'static KindFacts, words: &[usize], factor: f64) -> OrderText {
    let order = order(facts, MIDDLE.map(|mm| mm * factor), words).long(length_mm(facts) * factor);
    let style = read(&order.text()).expect("an order").value.garment.style;
    let rules = Garment::of(facts.kind).rules_for(&style);
    rules.into_iter().fold(order, |order, rule| match rule.default {
        Default::LengthMm(mm) => order.rule_mm(rule.key, mm * factor),
        Default::Number(_) => order,
    })
}

/// Each kind with a few sets of words.
fn variants() -> Vec<(&'static KindFacts, Vec<usize>)> {
    let kinds: &'static [KindFacts] = &KINDS;
    kinds.iter().flat_map(|facts| (0..7).map(move |n| (facts, vec![n, n, n + 1, n, n, n + 2, n, n + 1]))).collect()
}

#[test]
fn a_larger_body_gets_everything_as_much_larger() {
    let mut tried = 0;
    for (facts, words) in variants() {
        for factor in [0.9, 1.25] {
            let (Some((one, pieces)), Some((other, larger))) =
                (made(&scaled(facts, &words, 1.0)), made(&scaled(facts, &words, factor)))
            else {
                continue;
            };
            tried += 1;
            // A gathered tier is cut in as many panels as the house's widest asks for, which grows with it.
            for (a, b) in pieces.iter().zip(&larger) {
                assert_eq!((a.name, a.count), (b.name, b.count), "{}: {words:?}", facts.key);
                for (a_edge, b_edge) in a.edges.iter().zip(&b.edges) {
                    let off_mm = a_edge.length_mm * factor - b_edge.length_mm;
                    // A facing's free edge is a flattened parallel, and flattening (0.01 mm) does not grow with her.
                    let most_mm = if a_edge.name == "free edge" { 0.1 } else { 5e-3 };
                    assert!(off_mm.abs() < most_mm, "{} {words:?}: {} {} {off_mm}", facts.key, a.name, a_edge.name);
                }
                // Both outlines are flattened to 0.01 mm.
                let round_mm: f64 = b.cut.sides().map(|(p, q)| (q - p).length()).sum();
                let off_mm2 = (a.cut.area_mm2() * factor * factor - b.cut.area_mm2()).abs();
                assert!(off_mm2 < 0.02 * round_mm, "{} {words:?}: {} {off_mm2}", facts.key, a.name);
            }
            assert_eq!(one.working.len(), other.working.len());
        }
    }
    assert!(tried > 60, "only {tried}");
}

/// Longer by 150 mm: neck, shoulder, armhole, sleeve and facings stay as they were.
#[test]
fn the_hem_alone_leaves_the_bodice() {
    for (facts, words) in variants().into_iter().filter(|(facts, _)| facts.from.contains("shoulder")) {
        let short = order(facts, MIDDLE, &words);
        let long = short.clone().long(length_mm(facts) + 150.0);
        let (Some((one, _)), Some((other, _))) = (made(&short), made(&long)) else { continue };
        for (a, b) in one.pieces.iter().zip(&other.pieces) {
            assert_eq!(a.name, b.name);
            for edge in a.edges.iter().filter(|edge| {
                ["neck", "shoulder", "armhole", "front crown", "back crown", "front underarm"].contains(&edge.name)
            }) {
                let off_mm = edge.curve.length_mm() - edge_mm(b, edge.name);
                assert!(off_mm.abs() < 1e-6, "{} {words:?}: {} {} {off_mm}", facts.key, a.name, edge.name);
            }
        }
    }
}

/// A longer skirt has the same waist and the same band, and its tiers the same widths.
#[test]
fn the_hem_alone_leaves_the_waist() {
    for (facts, words) in variants().into_iter().filter(|(facts, _)| facts.from.contains("waist")) {
        let short = order(facts, MIDDLE, &words);
        let long = short.clone().long(length_mm(facts) + 150.0);
        let (Some((one, _)), Some((other, _))) = (made(&short), made(&long)) else { continue };
        for (a, b) in one.pieces.iter().zip(&other.pieces) {
            assert_eq!((a.name, a.count), (b.name, b.count));
            for edge in a
                .edges
                .iter()
                .filter(|edge| ["waist", "head"].contains(&edge.name) || ["waistband", "casing"].contains(&a.name))
            {
                let off_mm = edge.curve.length_mm() - edge_mm(b, edge.name);
                assert!(off_mm.abs() < 1e-6, "{} {words:?}: {} {} {off_mm}", facts.key, a.name, edge.name);
            }
        }
    }
}

/// Left and right of a paired piece are one outline and its mirror: the same edges and lengths, the other way round, and a
/// mirror's outline is as simple and as large.
#[test]
fn a_mirrored_piece_is_the_same_piece() {
    for (facts, words) in variants() {
        let Some((_, pieces)) = made(&order(facts, MIDDLE, &words)) else { continue };
        for piece in pieces.iter().filter(|piece| piece.paired) {
            assert!(piece.count >= 2 && piece.count.is_multiple_of(2) && !piece.on_fold, "{}", piece.caption());
            let mut mirror = piece.cut.clone();
            mirror.corners.iter_mut().for_each(|p| p.x = -p.x);
            assert!(mirror.is_simple() && (mirror.area_mm2() - piece.cut.area_mm2()).abs() < 1e-6);
            assert!(mirror.signed_area_mm2() > 0.0 && piece.cut.signed_area_mm2() < 0.0);
        }
        for piece in pieces.iter().filter(|piece| piece.on_fold) {
            assert!(piece.cut.bounds().0.x.abs() < 1e-9, "the {} begins at {}", piece.name, piece.cut.bounds().0.x);
            assert!(piece.sewn.corners[0].x.abs() < 1e-9);
        }
    }
}

/// What proptest hands over for five measures.
type Five = (f64, f64, f64, f64, f64);

/// Bodies as wide apart as those of 1,986 women (ANSUR II, 2012), each measure by itself.
fn bodies() -> impl Strategy<Value = Body> {
    let body = (695.0..1266.0, 560.0..1334.0, 798.0..1341.0, 320.0..480.0, 345.0..505.0);
    let more = (100.0..230.0, 500.0..635.0, 220.0..435.0, 478.0..662.0, 165.0..230.0);
    (body, more).prop_map(|(a, b): (Five, Five)| [a.0, a.1, a.2, a.3, a.4, b.0, b.1, b.2, b.3, b.4])
}

/// A few rules, each anywhere in half of what it takes, on its default's side of the range.
fn rules() -> impl Strategy<Value = Vec<(prop::sample::Index, f64)>> {
    prop::collection::vec((any::<prop::sample::Index>(), 0.5..1.5_f64), 0..5)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_chosen_is_sound_or_refused(
        kind in 0..KINDS.len(),
        body in bodies(),
        words in prop::collection::vec(0..12_usize, 8),
        rules in rules(),
    ) {
        let kinds: &'static [KindFacts] = &KINDS;
        let facts = &kinds[kind];
        let known = Garment::of(facts.kind).rules();
        let mut set = std::collections::BTreeMap::new();
        set.extend(rules.iter().map(|(index, share)| (index.index(known.len()), *share)));
        let ordered = set.into_iter().fold(order(facts, body, &words), |order, (i, share)| match known[i].default {
            Default::LengthMm(mm) => order.rule_mm(known[i].key, mm * share),
            Default::Number(number) => order.rule(known[i].key, &format!("{:.6}", number * share)),
        });
        if let Some((draft, pieces)) = made(&ordered) {
            let faults = faults(&draft, &pieces);
            prop_assert!(faults.is_empty(), "{}\n{faults:?}", ordered.text());
        }
    }
}
