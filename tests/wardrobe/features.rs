//! Everything that may be chosen, one by one, for a medium body: nothing that the house chooses by itself fails its own checks.

use chalklight::draft::Draft;
use chalklight::order::{KINDS, KindFacts};
use chalklight::units::INCH_MM;

use crate::check::{OrderText, edge_mm, faults, step_mm};

/// About the middle of 1,986 women at bust and hip (`tests/data/bodies.md`), and a waist as narrow as dresses are made for; in cm.
const MEDIUM: [(&str, &str); 10] = [
    ("bust", "94 cm"),
    ("waist", "78 cm"),
    ("hip", "102 cm"),
    ("hip_depth", "20 cm"),
    ("shoulder", "39 cm"),
    ("waist_depth", "40 cm"),
    ("head", "56 cm"),
    ("upper_arm", "29 cm"),
    ("arm_length", "58 cm"),
    ("hand", "20 cm"),
];

/// Much the same body in inches.
const INCHES: [(&str, &str); 6] = [
    ("bust", "37 in"),
    ("waist", "30 1/2 in"),
    ("hip", "40 in"),
    ("shoulder", "15 1/2 in"),
    ("waist_depth", "16 in"),
    ("head", "22 in"),
];

/// How long each is: a top to 4 in below the hip (2 to 4 in below are usual, common practice).
fn length(facts: &KindFacts) -> &'static str {
    match facts.key {
        "shift-top" => "70 cm",
        "tunic" => "85 cm",
        "kaftan" => "130 cm",
        "tiered-skirt" => "75 cm",
        key if key.ends_with("skirt") => "62 cm",
        _ => "104 cm",
    }
}

/// The house's own neck and waist are for few bodies without an opening, as the checks say: she follows them, and nothing else.
fn plain(facts: &KindFacts, neckline: &str) -> OrderText {
    let order = OrderText::of(length(facts), &MEDIUM).kind(facts.key);
    let of_block = facts.choices.iter().any(|choice| choice.key == "dart");
    let order = if of_block { order.rule("waist_ease", "\"4.5 cm\"") } else { order };
    match neckline {
        "round" | "slit" if of_block => order.rule("front_neck_depth", "\"13 cm\""),
        _ => order,
    }
}

/// Every garment with every word of every choice, all else at the house's defaults. A collar needs an opening, and its own neck;
/// one piece is half a circle.
fn ordered() -> Vec<OrderText> {
    let mut all = Vec::new();
    for facts in &KINDS {
        for choice in facts.choices {
            for word in choice.words {
                let order = match (choice.key, *word) {
                    ("neckline", neckline) => plain(facts, neckline),
                    ("collar", "stand") => plain(facts, "").choose("opening", "back"),
                    ("cut", "one-piece") => plain(facts, "round").choose("circle", "half"),
                    _ => plain(facts, "round"),
                };
                all.push(order.choose(choice.key, word));
            }
        }
    }
    all
}

#[test]
fn every_garment_with_every_single_choice_passes_its_own_checks() {
    let all = ordered();
    assert!(all.len() > 100, "{}", all.len());
    for order in all {
        let draft = order.draft();
        let failed: Vec<&str> =
            draft.checks.iter().filter(|check| !check.ok).map(|check| check.says.as_str()).collect();
        assert!(failed.is_empty(), "{}\n{failed:?}", order.text());
        assert_eq!(faults(&draft, &order.pieces()), Vec::<String>::new(), "{}", order.text());
        // Each check is told once, by a name of its own.
        for (i, check) in draft.checks.iter().enumerate() {
            let again = draft.checks[..i].iter().any(|other| other.name == check.name || other.says == check.says);
            assert!(!again, "{}\n{} is told twice: {}", order.text(), check.name, check.says);
        }
    }
}

/// On cloth of a weight.
fn on(order: &OrderText, weight: &str) -> Draft {
    let text = order.text() + &format!("[cloth]\nwidth = \"150 cm\"\n{weight}");
    let order = chalklight::order::read(&text).unwrap_or_else(|no| panic!("{no}"));
    chalklight::draft::draft(&order.value).unwrap_or_else(|no| panic!("{no}")).value
}

/// Heavy cloth gets 1/8 in more in every quarter, quilted 1/4, and round an arm twice that (common practice, no source), whatever
/// the fit; light and medium nothing, as in orders that say nothing. It is written in the working, and her own rule goes before.
#[test]
fn a_heavy_cloth_gets_more_ease() {
    let dress = OrderText::of("104 cm", &MEDIUM).choose("sleeve", "long");
    let skirt = OrderText::of("62 cm", &MEDIUM).kind("a-line-skirt");
    for fit in ["house", "close", "easy", "loose"] {
        let (dress, skirt) = (dress.clone().choose("fit", fit), skirt.clone().choose("fit", fit));
        let (plain, bare) = (on(&dress, ""), on(&skirt, ""));
        for (weight, inches) in [("light", 0.0), ("medium", 0.0), ("heavy", 0.125), ("quilted", 0.25)] {
            let line = format!("weight = \"{weight}\"\n");
            let (heavy, hung) = (on(&dress, &line), on(&skirt, &line));
            for (name, quarters) in
                [("quarter bust", 1.0), ("quarter waist", 1.0), ("quarter hip", 1.0), ("sleeve width", 2.0)]
            {
                let more = (step_mm(&heavy, name) - step_mm(&plain, name)) / INCH_MM;
                assert!((more - quarters * inches).abs() < 1e-9, "{fit}, {weight}: {name} {more}");
                let step = heavy.working.iter().find(|step| step.name == name).expect("a step");
                assert_eq!(step.rule.contains("+ cloth"), inches > 0.0, "{}", step.rule);
            }
            assert!((step_mm(&hung, "quarter hip") - step_mm(&bare, "quarter hip") - inches * INCH_MM).abs() < 1e-9);
            assert_eq!(
                step_mm(&hung, "waist of the skirt"),
                step_mm(&bare, "waist of the skirt"),
                "a skirt hangs from it"
            );
        }
        let own = dress.rule("cloth_ease", "\"1/2 in\"");
        let more = step_mm(&on(&own, "weight = \"heavy\"\n"), "quarter bust") - step_mm(&plain, "quarter bust");
        assert!((more - 0.5 * INCH_MM).abs() < 1e-9);
    }
    let armhole = |draft: &Draft| edge_mm(&draft.pieces[0], "armhole");
    assert!(armhole(&on(&dress, "weight = \"quilted\"\n")) > armhole(&on(&dress, "")), "the chest is wider");
}

/// Where an order sets `cloth_ease`, what the cloth's weight would give is said beside it, in the working and in a remark on its line;
/// not where the weight gives none or as much.
#[test]
fn ease_that_goes_before_the_weight_says_what_each_gives() {
    for (weight, own, by_weight) in [
        ("heavy", "1/2 in", Some("1/8 in")),
        ("quilted", "0 in", Some("1/4 in")),
        ("quilted", "1/4 in", None),
        ("medium", "1/2 in", None),
    ] {
        let dress = OrderText::of("41 in", &INCHES).rule("cloth_ease", &format!("\"{own}\""));
        let text = dress.text() + &format!("[cloth]\nwidth = \"60 in\"\nweight = \"{weight}\"\n");
        let order = chalklight::order::read(&text).unwrap_or_else(|no| panic!("{no}")).value;
        let told = chalklight::draft::draft(&order).unwrap_or_else(|no| panic!("{no}"));
        let says = |remark: &&chalklight::remark::Remark| remark.place.field.as_deref() == Some("rules.cloth_ease");
        let remark = told.remarks.iter().find(says);
        assert_eq!(remark.is_some(), by_weight.is_some(), "{weight}, {own}: {:?}", told.remarks);
        let step = told.value.working.iter().find(|step| step.name == "ease for the cloth");
        assert_eq!(step.is_some(), weight != "medium", "{weight}, {own}");
        if let (Some(remark), Some(step), Some(by_weight)) = (remark, step, by_weight) {
            assert!(remark.sentence.contains(own) && remark.sentence.contains(by_weight), "{}", remark.sentence);
            let line = remark.place.line.and_then(|line| text.lines().nth(line - 1));
            assert!(line.is_some_and(|line| line.starts_with("cloth_ease")), "{line:?}");
            assert!(step.rule.contains(by_weight) && step.rule.ends_with(&format!("= {own}")), "{}", step.rule);
        }
    }
}
