//! Skirts and the kaftan against their formulas and against published drafts.

use std::f64::consts::PI;

use super::{check, example};
use crate::check::{OrderText, edge_mm, step_mm};
use chalklight::draft::draft;
use chalklight::order::read;
use chalklight::remark::Weight;
use chalklight::units::INCH_MM;

fn skirt(kind: &'static str, length: &str, waist: &str, hip: &str) -> OrderText {
    OrderText::of(length, &[("waist", waist), ("hip", hip)]).kind(kind)
}

/// Radius = waist / (2 pi part), sweep = 2 pi part (radius + length): geometry. Waist 28 and 1 of ease, length 26. A 1916
/// shortcut for the half circle (Baldt, *Clothing for Women*, fig. 41) takes a third of the waist and errs by 4.7 %.
#[test]
fn circle_skirts_have_the_radius_of_their_waist() {
    for (circle, part, radius_in, sweep_in) in [
        ("full", 1.0, 4.615, 192.36),
        ("three-quarter", 0.75, 6.154, 151.52),
        ("half", 0.5, 9.231, 110.68),
        ("quarter", 0.25, 18.462, 69.84),
    ] {
        let order = skirt("circle-skirt", "26 in", "28 in", "38 in").choose("circle", circle);
        let draft = order.draft();
        let radius = step_mm(&draft, "waist radius") / INCH_MM;
        assert!((radius - 29.0 / (2.0 * PI * part)).abs() < 1e-9 && (radius - radius_in).abs() < 5e-4, "{radius}");
        let sweep = step_mm(&draft, "hem sweep") / INCH_MM;
        assert!((sweep - sweep_in).abs() < 5e-3, "{circle}: {sweep}");
        // The lines themselves, front and back, have these lengths.
        let around = |edge: &str| 2.0 * (edge_mm(&draft.pieces[0], edge) + edge_mm(&draft.pieces[1], edge)) / INCH_MM;
        assert!((around("waist") - 29.0).abs() < 1e-4, "{circle}: waist {}", around("waist"));
        assert!((around("hem") - sweep).abs() < 1e-3, "{circle}: hem {}", around("hem"));
        // Every corner of the waist lies on its circle.
        for corner in draft.pieces[0].edge("waist").expect("a waist").curve.corners() {
            let from_centre = corner.x.hypot(corner.y + radius * INCH_MM);
            assert!((from_centre - radius * INCH_MM).abs() < 0.011, "{circle}: {from_centre}");
        }
        assert!(draft.wearable(), "{circle}: {:?}", draft.checks);
    }
    assert!((28.0_f64 / 3.0 / (28.0 / PI) - 1.047).abs() < 1e-3);
}

/// A circular flounce 12 deep, 72 at the top and 112 at the bottom (Baldt, *Clothing for Women*, 1916, fig. 56): radius =
/// top x depth / (bottom - top) = 21.6. The same ring is a skirt with that waist and that part of a circle.
#[test]
fn a_ring_is_the_published_flounce() {
    let radius_in = 72.0 * 12.0 / (112.0 - 72.0);
    assert_eq!(radius_in, 21.6);
    let part = 72.0 / (2.0 * PI * radius_in);
    // Half a circle with this radius: waist pi r; its hem is as much longer as the flounce's, share for share.
    let waist_in = PI * radius_in;
    let draft =
        skirt("circle-skirt", "12 in", &format!("{} in", waist_in - 1.0), "60 in").choose("circle", "half").draft();
    assert!((step_mm(&draft, "waist radius") / INCH_MM - 21.6).abs() < 1e-6);
    let grown = step_mm(&draft, "hem sweep") / INCH_MM / waist_in;
    assert!((grown - 112.0 / 72.0).abs() < 1e-6, "{grown}");
    assert!((part * 2.0 * PI * (radius_in + 12.0) - 112.0).abs() < 1e-9);
}

/// A hem of depth h on an arc of angle a is 2 a h too long at its raw edge (geometry): at a full circle of 30.6 in 1 in is
/// refused with what may be turned up, and that is taken.
#[test]
fn a_deep_hem_on_a_curve_is_refused_with_the_reason() {
    let order = || skirt("circle-skirt", "26 in", "28 in", "38 in");
    let deep = order().rule("hem_allowance", "\"2 in\"").draft();
    let no = check(&deep, "hem turns up");
    assert!(!no.ok && no.severity == Weight::Refusal && no.says.contains("2 in deep on this curve"), "{no:?}");
    // A quarter of the skirt turns by a right angle: 2 x 2 x pi/2 = 6.28 in.
    assert!(no.says.contains("6 1/4 in too long"), "{no:?}");
    let remedy = no.remedy.as_deref().expect("a remedy");
    assert!(remedy.contains("15/16 in at most"), "{remedy}");
    assert!(
        order().rule("hem_allowance", "\"7/8 in\"").draft().checks.iter().all(|check| check.name != "hem turns up")
    );
    // In an order in centimetres it is told in them.
    let metric = skirt("circle-skirt", "66 cm", "71 cm", "97 cm").rule("hem_allowance", "\"5 cm\"").draft();
    let remedy = check(&metric, "hem turns up").remedy.clone().unwrap_or_default();
    assert!(remedy.contains("turn up 2.3 cm at most"), "{remedy}");
    // The dress's own hem is taken, and one of 8 in on it is not.
    assert!(example().draft().checks.iter().all(|check| check.name != "hem turns up"));
    let deep = example().rule("hem_allowance", "\"8 in\"").rule("hem_raise", "\"4 in\"").draft();
    assert!(!check(&deep, "hem turns up").ok);
}

/// Waist 28 and hip 38 make quarters of 7 1/4 and 10 (waist/4 + 1/4, hip/4 + 1/2: common practice, no source).
#[test]
fn the_a_line_skirt_has_its_quarters() {
    let draft = skirt("a-line-skirt", "26 in", "28 in", "38 in").draft();
    for (name, inches) in [("quarter waist", 7.25), ("quarter hip", 10.0), ("hip line", 8.0), ("hem half width", 14.0)]
    {
        assert!((step_mm(&draft, name) / INCH_MM - inches).abs() < 1e-9, "{name}");
    }
    let front = draft.piece("front").expect("a front");
    let side = &front.edge("side").expect("a side").curve;
    assert!((side.end().x / INCH_MM - 7.25).abs() < 1e-9);
    assert!(side.at_level(8.0 * INCH_MM).expect("crossed").x / INCH_MM >= 10.0 - 1e-6);
    // Square at the fold and at the side, waist and hem.
    for piece in &draft.pieces[..2] {
        for (one, other) in [("hem", "side"), ("side", "waist"), ("waist", "fold"), ("fold", "hem")] {
            let (a, b) = (&piece.edge(one).expect("one").curve, &piece.edge(other).expect("other").curve);
            let square = a.end_direction().dot(b.start_direction());
            assert!(square.abs() < 1e-6, "{} {one} and {other}: {square}", piece.name);
        }
    }
}

/// A tier is as much wider than the one above as the house gathers (1 1/2 to 2 times, common practice, no source); panels
/// fit the cloth.
#[test]
fn tiers_are_gathered_by_their_share() {
    let order = skirt("tiered-skirt", "30 in", "28 in", "38 in");
    let draft = order.draft();
    let width = |name: &str| {
        let piece = draft.piece(name).expect("a tier");
        f64::from(piece.count) * edge_mm(piece, "head") / INCH_MM
    };
    let widths = ["upper tier", "middle tier", "lower tier"].map(width);
    assert!((widths[0] - 43.5).abs() < 1e-6, "{widths:?}");
    assert!((widths[1] / widths[0] - 1.5).abs() < 1e-9 && (widths[2] / widths[1] - 1.5).abs() < 1e-9);
    assert!(draft.wearable(), "{:?}", draft.checks);
    for piece in order.pieces().iter().filter(|piece| piece.name.ends_with("tier")) {
        let (low, high) = piece.cut.bounds();
        assert!(high.x - low.x <= 43.0 * INCH_MM + 1e-6, "{} is too wide", piece.name);
        assert!((piece.sewn.bounds().1.y - 10.0 * INCH_MM).abs() < 1e-6);
    }
}

/// Casings must go over the hip; bands open.
#[test]
fn a_casing_goes_over_the_hip() {
    for kind in ["circle-skirt", "a-line-skirt", "tiered-skirt"] {
        let draft = skirt(kind, "26 in", "28 in", "38 in").choose("waist", "casing").draft();
        let over = check(&draft, "waist over the hip");
        assert!(over.ok && over.says.contains("hip 38 in"), "{kind}: {over:?}");
        assert!(step_mm(&draft, "waist of the skirt") / INCH_MM >= 40.0 - 1e-9);
        assert!(draft.piece("casing").is_some());
    }
}

/// Baldt, *Clothing for Women* (1916), fig. 60: across = bust/4 + 2, 11 1/2 at a bust of 38; neck 4 to 5 across, 3 to 4
/// behind, 5 to 6 in front. A lesson on a bubu gown (2017): length 40 and sleeve 20 with 1 in at each end make a piece of 41
/// by 21 folded, the sides joined from 10 in below the shoulder.
#[test]
fn the_kaftan_is_the_published_gown() {
    let order = OrderText::of("40 in", &[("bust", "38 in"), ("hip", "38 in"), ("head", "22 1/2 in")])
        .kind("kaftan")
        .rule("shoulder_allowance", "\"0 in\"");
    let draft = order.draft();
    for (name, inches) in [("side seam", 11.5), ("opening for the arm", 10.0), ("spread", 21.0)] {
        assert!((step_mm(&draft, name) / INCH_MM - inches).abs() < 1e-9, "{name}");
    }
    for piece in order.pieces() {
        let (low, high) = piece.cut.bounds();
        assert!(((high.x - low.x) / INCH_MM - 21.0).abs() < 1e-6 && ((high.y - low.y) / INCH_MM - 41.0).abs() < 1e-6);
        let (_, [top, foot]) = piece.marks.iter().find(|(name, _)| *name == "side seam").expect("a side seam");
        assert!((top.x / INCH_MM - 11.5).abs() < 1e-9 && (top.y / INCH_MM - 10.0).abs() < 1e-9 && top.x == foot.x);
    }
    assert!(draft.wearable(), "{:?}", draft.checks);
    // A straight side clears the larger hip as well.
    let wide = order.clone().body("hip", "42 in").draft();
    assert!((step_mm(&wide, "side seam") / INCH_MM - 12.5).abs() < 1e-9);
    // The arm, where it was measured, moves the opening; a narrow spread is refused.
    let arm = order.clone().body("upper_arm", "14 in").draft();
    assert!((step_mm(&arm, "opening for the arm") / INCH_MM - 11.0).abs() < 1e-9);
}

/// Let out by 2 in, every quarter is 1/2 in wider from waist to hem, and the band 2 in longer; what else the fitting found moves
/// its own line by its amount (arithmetic on the example above).
#[test]
fn what_the_fitting_found_acts_on_a_skirt() {
    let order = skirt("a-line-skirt", "26 in", "28 in", "38 in");
    let plain = order.draft();
    for (amount, quarter) in [("2 in", 0.5), ("-1 in", -0.25)] {
        let fitted = order.clone().fitted("let_out", amount).draft();
        for (name, inches) in [("quarter waist", 7.25), ("quarter hip", 10.0), ("hem half width", 14.0)] {
            assert!((step_mm(&fitted, name) / INCH_MM - inches - quarter).abs() < 1e-9, "{amount}: {name}");
        }
        let sewn = step_mm(&fitted, "sewn waist") - step_mm(&plain, "sewn waist");
        assert!((sewn / INCH_MM - 4.0 * quarter).abs() < 0.05, "{amount}: the waist is {sewn} mm longer");
        assert!(fitted.wearable() && check(&fitted, "waist walks").ok && check(&fitted, "side seams walk").ok);
    }
    for (key, inches) in [("high_hip", 7.5), ("low_hip", 8.5)] {
        let fitted = order.clone().fitted(key, "1/2 in").draft();
        assert!((step_mm(&fitted, "hip line fitted") / INCH_MM - inches).abs() < 1e-9, "{key}");
        assert!((fitted.piece("front").expect("one").level_mm("hip").expect("one") / INCH_MM - inches).abs() < 1e-9);
    }
    let behind = order.fitted("sway_back", "1/2 in").fitted("hem_over_seat", "1 in").draft();
    for (name, [head, foot]) in [("front", [0.0, 26.0]), ("back", [0.875, 27.0])] {
        let fold = &behind.piece(name).expect("a piece").edge("fold").expect("a fold").curve;
        assert!(
            (fold.start().y / INCH_MM - head).abs() < 1e-9 && (fold.end().y / INCH_MM - foot).abs() < 1e-9,
            "{name}"
        );
    }
    assert!(check(&behind, "waist walks").ok && check(&behind, "side seams walk").ok);
}

/// Skirts that hang free are let out at the waist alone: a ring for a waist of 29 + 2 in, tiers gathered to one.
#[test]
fn free_skirts_are_let_out_at_the_waist() {
    let ring = skirt("circle-skirt", "26 in", "28 in", "38 in").fitted("let_out", "2 in").draft();
    assert!((step_mm(&ring, "waist radius") / INCH_MM - 31.0 / (2.0 * PI)).abs() < 1e-9);
    let tiers = skirt("tiered-skirt", "30 in", "28 in", "38 in").fitted("let_out", "2 in").draft();
    assert!((step_mm(&tiers, "band's length") / INCH_MM - 32.0).abs() < 1e-9);
    assert!((step_mm(&tiers, "first tier") / INCH_MM - 1.5 * 31.0).abs() < 1e-9);
    for draft in [ring, tiers] {
        assert!(draft.wearable() && check(&draft, "waist walks").ok, "{:?}", draft.checks);
    }
}

/// Close is 1/2 in round the waist and 2 round the hip (Central Washington University, costume text, chapter 16: 1/2 to 3/4,
/// 2 to 2 3/4); the waist of the others is the house's, and none is narrower than the one before.
#[test]
fn a_skirt_has_the_ease_of_its_fit() {
    for (fit, [waist, hip]) in
        [("close", [28.5, 10.0]), ("house", [29.0, 10.0]), ("easy", [29.0, 10.25]), ("loose", [29.0, 11.5])]
    {
        let draft = skirt("a-line-skirt", "26 in", "28 in", "38 in").choose("fit", fit).draft();
        assert!((step_mm(&draft, "waist of the skirt") / INCH_MM - waist).abs() < 1e-9, "{fit}");
        assert!((step_mm(&draft, "quarter hip") / INCH_MM - hip).abs() < 1e-9, "{fit}");
    }
}

/// What is left open is said in the units of the order.
#[test]
fn the_opening_is_told_in_her_own_units() {
    for (order, says) in [
        (skirt("a-line-skirt", "26 in", "28 in", "38 in"), "7 in of the seam"),
        (skirt("a-line-skirt", "66 cm", "71 cm", "97 cm"), "17.8 cm of the seam"),
    ] {
        let draft = order.draft();
        assert!(check(&draft, "waist over the hip").says.contains(says), "{:?}", draft.checks);
    }
}

/// A gown is let out at its sides, and a round or hollow back changes its back neck (3 1/2 in) by its amount.
#[test]
fn what_the_fitting_found_acts_on_a_gown() {
    let order = OrderText::of("50 in", &[("bust", "38 in"), ("hip", "38 in"), ("head", "22 in")]).kind("kaftan");
    let wide = order.clone().fitted("let_out", "2 in").draft();
    assert!((step_mm(&wide, "side seam") / INCH_MM - 12.0).abs() < 1e-9 && check(&wide, "side seams walk").ok);
    for (key, inches) in [("round_back", 3.0), ("sway_back", 4.0)] {
        let draft = order.clone().fitted(key, "1/2 in").draft();
        let neck = &draft.piece("back").expect("a back").edge("neck").expect("a neck").curve;
        assert!((neck.end().y / INCH_MM - inches).abs() < 1e-9, "{key}");
    }
}

/// A heavy cloth gives ease to the kinds that have `cloth_ease`; on any other its weight is remarked, as an idle house rule is.
#[test]
fn a_weight_that_nothing_goes_by_is_remarked() {
    let cloth = |weight: &str| format!("[cloth]\nwidth = \"150 cm\"\nweight = \"{weight}\"\n");
    for (kind, is_idle) in [("a-line-skirt", false), ("circle-skirt", true), ("tiered-skirt", true)] {
        for (weight, adds) in [("medium", false), ("light", false), ("heavy", true), ("quilted", true)] {
            let text = skirt(kind, "26 in", "28 in", "38 in").text() + &cloth(weight);
            let order = read(&text).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
            let remarks = draft(&order).unwrap_or_else(|no| panic!("{no}\n{text}")).remarks;
            let is_said = remarks.iter().any(|remark| remark.place.field.as_deref() == Some("cloth.weight"));
            assert_eq!(is_said, is_idle && adds, "{kind}, {weight}: {remarks:?}");
        }
    }
}
