//! What is said: the list of garments, and orders that ask for what a garment has not.

use chalklight::draft::{GARMENTS, draft};
use chalklight::order::{KINDS, Kind, read};
use chalklight::remark::Weight;

use super::{check, example, sleeved};
use crate::check::OrderText;
use chalklight::units::INCH_MM;

fn refused(order: &OrderText) -> Vec<String> {
    let refusal = read(&order.text()).and_then(|order| draft(&order.value)).expect_err("a refusal");
    let refusals = refusal.remarks.iter().filter(|remark| remark.weight == Weight::Refusal);
    refusals.map(|remark| format!("{remark}")).collect()
}

#[test]
fn a_misspelt_choice_is_told_the_nearest() {
    for (order, says, write) in [
        (
            example().choose("neckline", "sweethart"),
            "neckline = \"sweethart\" is not known here",
            "neckline = \"sweetheart\"",
        ),
        (example().choose("sleeve", "shrt"), "sleeve = \"shrt\"", "sleeve = \"short\""),
        (example().choose("neckine", "v"), "neckine is not known in [garment]", "did you mean neckline?"),
        (example().choose("circle", "full"), "circle is not known in [garment]", "known here: kind, length, neckline"),
        (example().kind("circle-skrt"), "kind = \"circle-skrt\" is no garment", "kind = \"circle-skirt\""),
        (example().choose("sleeve", "short"), "body.upper_arm is missing", "round the fullest part of the upper arm"),
        (
            example().fitted("slopping_shoulder", "1 cm"),
            "slopping_shoulder is no adjustment",
            "did you mean sloping_shoulder?",
        ),
        (example().fitted("round_back", "90 cm"), "round_back = 90 cm is outside", "write a value from"),
        (
            example().kind("kaftan").choose("fit", "close"),
            "the fit of a kaftan can't be chosen",
            "set its ease under [rules] instead: side_ease",
        ),
        (
            example().kind("kaftan").fitted("full_bust", "1 in"),
            "full_bust is no adjustment of this garment",
            "this garment's are round_back, sway_back, let_out; for anything else change its house rules",
        ),
        (
            example().kind("a-line-skirt").long(600.0).body("hip_depth", "4 in").fitted("high_hip", "5 in"),
            "the hip line, 1 in above the waist, can't be drawn",
            "measure hip_depth and high_hip again",
        ),
        (
            example().kind("circle-skirt").long(600.0).fitted("round_back", "1 in"),
            "round_back is no adjustment of this garment",
            "this garment's are let_out;",
        ),
        (sleeved("short").choose("edges", "all-in-one"), "a sleeve is set into the armhole", "edges = \"facing\""),
        (sleeved("short").rule("short_sleeve", "\"2 in\""), "ends within its crown", "sleeve = \"cap\""),
        (sleeved("long").body("arm_length", "5 in"), "arm_length = 5 in can't be an arm length", "measure again"),
        (
            example().rule("back_neck_depth", "\"1 1/2 in\"").fitted("round_back", "2 in"),
            "a round back of 2 in takes up all of a back neck 1 1/2 in deep",
            "there is room for",
        ),
        (sleeved("long").body("upper_arm", "24 in"), "can't be set into an armhole", "chest_extra"),
        (
            example().rule("let_out", "\"1 in\""),
            "let_out is no house rule of this garment",
            "what the fitting found stands under [fitting]",
        ),
        (
            example().choose("dart", "side").body("waist", "15 in"),
            "a quarter waist of 4 1/4 in leaves a dart no room",
            "measure the waist again",
        ),
    ] {
        let said = refused(&order).join("\n");
        assert!(said.contains(says) && said.contains(write), "{said}");
    }
}

/// An opening that ends above the waist, at 16 in, helps nobody in: 2 in of neck and 5 of opening leave 9 in to make it longer by,
/// and so long it goes on.
#[test]
fn an_opening_that_is_too_short_is_told_by_how_much() {
    let opening =
        |inches: u32| example().choose("opening", "back").rule("opening_length", &format!("\"{inches} in\"")).draft();
    let short = opening(5);
    let no = check(&short, "over shoulders and bust");
    let remedy = no.remedy.as_deref().expect("a remedy");
    assert!(!no.ok && no.says.contains("it needs a longer opening"), "{no:?}");
    assert!(remedy.contains("make the opening 9 in longer") && remedy.contains("(opening_length)"), "{remedy}");
    assert!(!remedy.contains("opening = \"back\""), "{remedy}");
    assert!(check(&opening(14), "over shoulders and bust").ok);
}

/// A garment is one row of what it asks, and one file of how it is drafted: none without the other.
#[test]
fn every_kind_is_drafted_by_its_own_file() {
    for facts in &KINDS {
        let of_kind: Vec<_> = GARMENTS.iter().filter(|garment| garment.kind == facts.kind).collect();
        assert_eq!(of_kind.len(), 1, "{}", facts.key);
        assert_eq!(facts.kind.facts().key, facts.key);
        assert!(!facts.needs.is_empty() && of_kind[0].rules().len() > 3);
        for rule in of_kind[0].rules() {
            assert!(!rule.words.is_empty() && !rule.source.is_empty(), "{}", rule.key);
        }
        let eases = facts.eases.split([',', ' ']).filter(|word| word.contains('_'));
        for key in eases {
            assert!(of_kind[0].rules().iter().any(|rule| rule.key == key), "{}: no rule {key}", facts.key);
        }
    }
    assert_eq!(Kind::ALL.len(), GARMENTS.len());
}

/// README names every choice with its words, and every kind.
#[test]
fn every_kind_and_choice_is_in_the_readme() {
    let readme = include_str!("../../README.md");
    for facts in &KINDS {
        assert!(readme.contains(&format!("`{}`", facts.key)), "README lacks {}", facts.key);
        for choice in facts.choices {
            assert!(readme.contains(&format!("`{}`", choice.key)), "README lacks {}", choice.key);
            for word in choice.words {
                assert!(readme.contains(&format!("`{word}`")), "README lacks {} = {word}", choice.key);
            }
        }
    }
    for adjustment in GARMENTS.iter().flat_map(|garment| garment.fitting) {
        assert!(readme.contains(&format!("`{}`", adjustment.key)), "README lacks {}", adjustment.key);
    }
}

/// A round back that the back neck has no room for is named with how much there is room for; so much is drawn, and all of it
/// where the neck is made as much deeper as is told.
#[test]
fn a_round_back_is_taken_as_far_as_is_told() {
    let inches = |text: &str, before: &str, after: &str| {
        let begins = text.find(before).unwrap_or_else(|| panic!("{text}")) + before.len();
        let ends = text[begins..].find(after).unwrap_or_else(|| panic!("{text}")) + begins;
        text[begins..ends].to_owned()
    };
    for [deep, wide] in [[2.0, 4.0], [1.5, 4.0], [2.0, 5.0]] {
        for edges in ["facing", "all-in-one"] {
            let order = |deep: f64| {
                let order = example().choose("edges", edges).rule("neck_half_width", &format!("\"{wide} in\""));
                order.rule("back_neck_depth", &format!("\"{deep} in\""))
            };
            let said = refused(&order(deep).fitted("round_back", "1 1/4 in")).join("\n");
            assert!(said.contains("round back of 1 1/4 in") && !said.contains("front_neck_depth"), "{said}");
            let room = inches(&said, "there is room for ", " (round_back)");
            assert!(!order(deep).fitted("round_back", &room).pieces().is_empty(), "{said}");
            let more = inches(&said, "make back_neck_depth ", " larger");
            let more = chalklight::units::read_length(&more).expect("a length").mm / INCH_MM;
            assert!(!order(deep + more).fitted("round_back", "1 1/4 in").pieces().is_empty(), "{said}");
        }
    }
}
