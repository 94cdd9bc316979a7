//! Nicks that must meet when two edges are walked along one another.

use chalklight::draft::{Draft, SewnPiece};

use super::sleeved;
use crate::check::OrderText;

/// Two nicks that meet may be this far apart.
const MEET_MM: f64 = 0.1;

fn piece<'d>(draft: &'d Draft, name: &str) -> &'d SewnPiece {
    draft.piece(name).unwrap_or_else(|| panic!("no {name}"))
}

/// The nicks of an edge: how far along it, and what each meets.
fn on(piece: &SewnPiece, edge: &str) -> Vec<(f64, &'static str)> {
    piece.notches.iter().filter(|notch| notch.edge == edge).map(|notch| (notch.along_mm, notch.meets)).collect()
}

/// The quarter from side to centre that a front or back is drawn by, along the waist from its side on: the place of its centre nick.
fn centre_mm(draft: &Draft, name: &str, meets: &str) -> f64 {
    let nicks = on(piece(draft, name), "waist");
    assert_eq!(nicks.len(), 1, "the {name} is nicked at its centre alone: {nicks:?}");
    assert_eq!(nicks[0].1, meets);
    nicks[0].0
}

/// The band is walked along the waist from the left side on: front from its left to its right side, back from right to left.
#[test]
fn a_band_meets_the_nicks_of_the_waist() {
    let body = [("waist", "78 cm"), ("hip", "102 cm")];
    for (kind, waist, band) in [
        ("circle-skirt", "band", "waistband"),
        ("circle-skirt", "casing", "casing"),
        ("a-line-skirt", "band", "waistband"),
        ("a-line-skirt", "casing", "casing"),
    ] {
        let order = OrderText::of("60 cm", &body).kind(kind).choose("waist", waist);
        let draft = order.draft();
        let (front, back) = (centre_mm(&draft, "front", "centre front"), centre_mm(&draft, "back", "centre back"));
        let half = |name: &str| piece(&draft, name).length_mm("waist");
        let walked = [
            ("centre front", front),
            ("right side seam", 2.0 * half("front")),
            ("centre back", 2.0 * half("front") + back),
        ];
        let nicks = on(piece(&draft, band), "left");
        for (meets, mm) in walked {
            let met = nicks.iter().find(|(_, name)| *name == meets).unwrap_or_else(|| panic!("{kind}: {nicks:?}"));
            assert!((met.0 - mm).abs() < MEET_MM, "{kind}, {waist}: {meets} at {mm}, the band's at {}", met.0);
        }
        // A nick at the fold is made, once, also where the piece is cut unfolded.
        for cut in order.pieces().iter().filter(|piece| ["front", "back"].contains(&piece.name)) {
            for cut in [cut, &cut.unfolded()] {
                let nicks: Vec<_> = cut.notches.iter().filter(|notch| notch.edge == "waist").collect();
                assert!(nicks.len() == 1 && nicks[0].nick[0].y < nicks[0].sewn_at.y, "{kind}: {nicks:?}");
            }
        }
    }
}

/// A half circle in one piece begins at the left back, where its band begins.
#[test]
fn the_band_of_one_piece_meets_its_nicks() {
    for (waist, band) in [("band", "waistband"), ("casing", "casing")] {
        let order = OrderText::of("60 cm", &[("waist", "78 cm"), ("hip", "102 cm")]).kind("circle-skirt");
        let draft = order.choose("circle", "half").choose("cut", "one-piece").choose("waist", waist).draft();
        let (whole, band) = (piece(&draft, "skirt"), on(piece(&draft, band), "left"));
        let nicks = on(whole, "waist");
        assert_eq!(nicks.len(), 3);
        for (mm, meets) in nicks {
            let met = band.iter().find(|(_, name)| *name == meets).unwrap_or_else(|| panic!("{meets}: {band:?}"));
            assert!((met.0 - mm).abs() < MEET_MM, "{waist}: {meets} at {mm}, the band's at {}", met.0);
        }
    }
}

/// All round a tier, its nicks and the seams of its panels: the quarters are among them, on both edges that are gathered together,
/// and on the band.
#[test]
fn tiers_are_nicked_at_their_quarters() {
    for (waist, length) in [("78 cm", "75 cm"), ("112 cm", "90 cm"), ("60 cm", "60 cm")] {
        let hip = if waist == "112 cm" { "130 cm" } else { "102 cm" };
        let draft = OrderText::of(length, &[("waist", waist), ("hip", hip)]).kind("tiered-skirt").draft();
        for tier in draft.pieces.iter().filter(|piece| piece.name.ends_with("tier")) {
            for edge in ["head", "foot"].into_iter().filter(|edge| tier.edge(edge).is_some()) {
                let (panel_mm, count) = (tier.length_mm(edge), tier.count);
                let marks: Vec<f64> = (0..count)
                    .flat_map(|i| {
                        let nicks = on(tier, edge).into_iter().map(|(mm, _)| mm).chain([0.0]);
                        nicks.map(move |mm| f64::from(i) * panel_mm + mm)
                    })
                    .collect();
                for quarter in [0.25, 0.5, 0.75] {
                    let at_mm = quarter * f64::from(count) * panel_mm;
                    let is_marked = marks.iter().any(|mm| (mm - at_mm).abs() < MEET_MM);
                    assert!(is_marked, "{}, {count} panels: {quarter} of its {edge}: {marks:?}", tier.name);
                }
            }
        }
        let band: Vec<f64> = on(piece(&draft, "waistband"), "left")
            .iter()
            .filter(|(_, meets)| *meets != "lap")
            .map(|(mm, _)| *mm)
            .collect();
        let round_mm = crate::check::step_mm(&draft, "waist of the skirt");
        for (mm, share) in band.iter().zip([0.25, 0.5, 0.75]) {
            assert!((mm - share * round_mm).abs() < MEET_MM, "{band:?} of {round_mm}");
        }
        assert_eq!(band.len(), 3);
    }
}

/// Every sleeve that is sewn into an armhole, the flutter sleeve too, meets its nicks, walked from the underarm: one in front, two
/// behind.
#[test]
fn every_sleeve_meets_the_nicks_of_the_armhole() {
    for sleeve in ["short", "long", "flutter"] {
        let draft = sleeved(sleeve).draft();
        let crown = piece(&draft, "sleeve");
        for (body, edge, nicks) in [("front", "front crown", 1), ("back", "back crown", 2)] {
            let armhole = *piece(&draft, body).notches.iter().find(|notch| notch.edge == "armhole").expect("a nick");
            let met = format!("notch of the {body} armhole");
            let own =
                *crown.notches.iter().find(|notch| notch.meets == met).unwrap_or_else(|| panic!("{sleeve}: {body}"));
            assert_eq!((own.edge, own.nicks, armhole.nicks), (edge, nicks, nicks), "{sleeve}");
            // The back crown begins at the underarm, the front one ends there.
            let from_underarm_mm = if body == "back" { own.along_mm } else { crown.length_mm(edge) - own.along_mm };
            assert!((from_underarm_mm - armhole.along_mm).abs() < MEET_MM, "{sleeve}, {body}: {from_underarm_mm}");
        }
    }
}

/// A collar's nick lies as far from the centre front as the front neck is long, where the shoulder seam is.
#[test]
fn a_collar_is_nicked_for_the_shoulder_seam() {
    let body =
        [("bust", "94 cm"), ("waist", "78 cm"), ("hip", "102 cm"), ("shoulder", "39 cm"), ("waist_depth", "40 cm")];
    let draft = OrderText::of("104 cm", &body).choose("collar", "stand").choose("opening", "back").draft();
    let nicks = on(piece(&draft, "collar"), "neck");
    assert!(nicks.len() == 1 && nicks[0].1 == "shoulder seam", "{nicks:?}");
    assert!((nicks[0].0 - piece(&draft, "front").length_mm("neck")).abs() < MEET_MM, "{nicks:?}");
}
