//! What is said: the list of garments, and orders that ask for what a garment has not.

use chalklight::draft::{GARMENTS, draft};
use chalklight::order::{KINDS, Kind, read};
use chalklight::remark::Weight;

use super::{example, sleeved};
use crate::check::OrderText;

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
        (sleeved("short").choose("edges", "all-in-one"), "a sleeve is set into the armhole", "edges = \"facing\""),
        (sleeved("short").rule("short_sleeve", "\"2 in\""), "ends within its crown", "sleeve = \"cap\""),
        (sleeved("long").body("upper_arm", "24 in"), "can't be set into an armhole", "chest_extra"),
    ] {
        let said = refused(&order).join("\n");
        assert!(said.contains(says) && said.contains(write), "{said}");
    }
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
