//! Skirts of tiers: panels about as wide as the cloth lie one behind the other, and the band beside them where it has room.

use chalklight::draft::draft;
use chalklight::finish::{Edge, Piece, finish};
use chalklight::geometry::{Draft, Point};
use chalklight::lay::proof::faults;
use chalklight::lay::{Effort, Wanted, lay};
use chalklight::nest::Moves;
use chalklight::order::{Asked, FoldKind, Matching, read};
use chalklight::units::System;

use super::matched::{MEETS_MM, printed};
use super::planned::{asking, cloth, given, plan};

/// The pieces of a skirt for that waist, drafted for cloth so wide.
fn skirt(waist_cm: f64, width_cm: f64) -> Vec<Piece> {
    let order = format!(
        "[body]\nwaist = \"{waist_cm} cm\"\nhip = \"{} cm\"\n[garment]\nkind = \"tiered-skirt\"\nlength = \"70 cm\"\n\
         [cloth]\nwidth = \"{width_cm} cm\"\n",
        waist_cm + 24.0
    );
    let order = read(&order).unwrap_or_else(|no| panic!("{no}")).value;
    finish(&draft(&order).unwrap_or_else(|no| panic!("{no}")).value).unwrap_or_else(|no| panic!("{no}")).value
}

/// What the pieces take one behind the other.
fn stacked_mm<'p>(pieces: impl Iterator<Item = &'p Piece>) -> f64 {
    let all_mm = |piece: &Piece| {
        let (low, high) = piece.cut.bounds();
        f64::from(piece.count) * (high.y - low.y)
    };
    pieces.map(all_mm).sum()
}

/// What fits piece by piece lies one behind the other at the longest, however little is searched.
#[test]
fn tiers_whose_every_panel_fits_have_a_lay() {
    /// Of lays that are as long but for this share, the one with the fewest cuttings is taken.
    const SAME: f64 = 1.01;

    let effort = Effort { tried: 2, pace: &Moves(2), from: None };
    let narrow = (0..=8).map(|i| (78.0, 60.0 + 2.0 * f64::from(i)));
    let waists = (0..=10).map(|i| 60.0 + 4.0 * f64::from(i));
    let usual = waists.flat_map(|waist_cm| [90.0, 112.0, 140.0].map(|width_cm| (waist_cm, width_cm)));
    for (waist_cm, width_cm) in narrow.chain(usual) {
        let pieces = skirt(waist_cm, width_cm);
        let lay = plan(&pieces, &cloth(10.0 * width_cm), System::Metric, &effort)
            .unwrap_or_else(|no| panic!("waist {waist_cm} on {width_cm}: {no}"))
            .value;
        assert_eq!(faults(&lay), [], "waist {waist_cm} on {width_cm}");
        assert!(given(&lay, &pieces).iter().zip(&pieces).all(|(given, piece)| *given >= piece.count));
        let most_mm = SAME * stacked_mm(pieces.iter());
        assert!(lay.used_mm <= most_mm, "waist {waist_cm} on {width_cm}: {} of {most_mm}", lay.used_mm);
    }
}

/// Worked by hand: on 90 cm the five lower panels, 78.5 cm wide, leave room for the band of 8.9 cm, and on 100 cm the five upper
/// ones of 87 cm do; so nothing but the tiers takes length.
#[test]
fn the_band_lies_beside_the_tiers() {
    for width_cm in [90.0, 100.0] {
        let pieces = skirt(110.0, width_cm);
        let lay = lay(&Wanted::of(&pieces, &cloth(10.0 * width_cm), System::Metric)).expect("a lay").value;
        let tiers_mm = stacked_mm(pieces.iter().filter(|piece| piece.name != "waistband"));
        assert!(lay.used_mm <= 1.02 * tiers_mm, "{width_cm}: {} of {tiers_mm}", lay.used_mm);
    }
}

fn foot(edge: &Edge) -> Point<Draft> {
    let ends = [edge.sewn.start(), edge.sewn.end()];
    if ends[0].y > ends[1].y { ends[0] } else { ends[1] }
}

/// Every panel of a tier lies on the print as the others of it do: at the foot of its seams, and by its middle.
#[test]
fn the_side_seams_of_a_tier_meet() {
    let repeat_mm = [160.0, 90.0];
    let cloth = printed(1120.0, repeat_mm);
    let pieces = skirt(78.0, 112.0);
    for matching in [Matching::Along, Matching::Across, Matching::Both] {
        let asked = Asked { matching, ..asking(Some(FoldKind::Open)) };
        let told = lay(&Wanted::of(&pieces, &cloth, System::Metric).asking(&asked));
        let lay = told.unwrap_or_else(|no| panic!("{matching:?}: {no}")).value;
        assert_eq!((faults(&lay), lay.meets.way), (vec![], matching));
        assert!(lay.meets.names().contains(&if matching.is_across() { "centre line" } else { "side seam" }));
        for (of, tier) in pieces.iter().enumerate().filter(|(_, piece)| piece.name.ends_with("tier")) {
            let [left, right] = ["left", "right"].map(|name| foot(tier.edge(name).expect("a seam")));
            let middle = left.lerp(right, 0.5);
            let panels = lay.placed.iter().filter(|placed| placed.of == of);
            let at = panels.map(|placed| placed.cloth_from_draft.transform_point(middle)).collect::<Vec<_>>();
            let off = |mm: f64, step_mm: f64| (mm - step_mm * (mm / step_mm).round()).abs();
            assert!(at.len() as u32 == tier.count && tier.count > 1);
            for other in &at[1..] {
                let apart = *other - at[0];
                assert!(!matching.is_along() || off(apart.x, repeat_mm[0]) <= MEETS_MM, "{matching:?}: {apart:?}");
                assert!(!matching.is_across() || off(apart.y, repeat_mm[1]) <= MEETS_MM, "{matching:?}: {apart:?}");
            }
        }
    }
}
