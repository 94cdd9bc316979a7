//! What is left between the pieces, by exact areas.

use chalklight::geometry::{Cloth as Frame, Outline, Point};
use chalklight::lay::{Lay, LeftOver, Strip, Wanted, lay};
use chalklight::order::{Cloth, Flaw, FoldKind};
use chalklight::sheet::svg;
use chalklight::units::System;

use super::pieces::{Chance, dress, half, piece};
use super::planned::{SHORT, asking, cloth, planned};

/// Rectangles are told to the square of 5 mm below.
const SQUARE_MM: f64 = 5.0;

fn ring(left: &LeftOver) -> Option<Outline<Frame>> {
    let low = left.at?;
    let far = Point::new(low.x + left.along_mm, low.y + left.across_mm);
    Some(Outline { corners: vec![low, Point::new(far.x, low.y), far, Point::new(low.x, far.y)] })
}

/// Every rectangle lies on the cloth, on one strip of it, off every piece and off the others.
fn lie_free(lay: &Lay) {
    let rings: Vec<_> = lay.left_over.iter().filter_map(ring).collect();
    for (i, one) in rings.iter().enumerate() {
        let (low, high) = one.bounds();
        assert!(low.x >= 0.0 && low.y >= 0.0 && high.x <= lay.length_mm + 1e-6 && high.y <= lay.folded_width_mm + 1e-6);
        assert!(lay.placed.iter().all(|placed| placed.cut().shared_mm2(one) < 1e-3), "on a piece");
        let off = lay.flaws().into_iter().chain(lay.border());
        assert!(off.into_iter().all(|off| off.shared_mm2(one) < 1e-3), "on a flaw or the border");
        assert!(rings[i + 1..].iter().all(|other| other.shared_mm2(one) < 1e-3), "on one another");
        let zones = lay.fold.zones(lay.cloth.width_mm);
        assert!(zones.iter().any(|zone| low.y >= zone.across_mm[0] - 1e-6 && high.y <= zone.across_mm[1] + 1e-6));
    }
}

/// Worked by hand: one piece of 60 x 50 cm on cloth 90 cm wide leaves 60 x 40 cm beside it; with a notch of 30 x 20 cm cut out of
/// the piece that is left too.
#[test]
fn what_lies_beside_and_within_a_piece_is_left() {
    let corners = [
        (0.0, 0.0),
        (0.0, 600.0),
        (500.0, 600.0),
        (500.0, 450.0),
        (300.0, 450.0),
        (300.0, 150.0),
        (500.0, 150.0),
        (500.0, 0.0),
    ];
    let lay = planned(&[piece("yoke", &corners, (1, false, false))], &cloth(900.0), &SHORT);
    lie_free(&lay);
    assert_eq!(lay.used_mm, 600.0);
    let sizes: Vec<[f64; 2]> = lay.left_over.iter().map(|left| [left.along_mm, left.across_mm]).collect();
    // The piece may lie anywhere across, so what is beside it may be in two; together it is all.
    let area_mm2: f64 = sizes.iter().map(|[along, across]| along * across).sum();
    let whole_mm2 = 600.0 * 400.0 + 300.0 * 200.0;
    assert!(area_mm2 <= whole_mm2 && area_mm2 >= whole_mm2 - 4.0 * SQUARE_MM * 1500.0, "{sizes:?}");
}

#[test]
fn nothing_that_is_left_lies_on_a_piece() {
    let mut chance = Chance(7);
    let [mut found, mut laid] = [0; 2];
    for kind in [None, Some(FoldKind::Half), Some(FoldKind::OneSide), Some(FoldKind::Open), Some(FoldKind::Lengths)] {
        for _ in 0..6 {
            let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
            let body = |name, grown: f64| half(name, [1000.0 + grown, 380.0 + grown, 260.0 + grown]);
            let mut pieces = vec![body("front", within(-90.0, 90.0)), body("back", within(-90.0, 90.0))];
            if kind != Some(FoldKind::Lengths) {
                pieces.extend_from_slice(&dress()[2..]);
            }
            let border_mm = if laid % 2 == 0 { 40.0 } else { 0.0 };
            let cloth = Cloth { length_mm: Some(6000.0), border_mm, ..cloth(within(1000.0, 1600.0)) };
            let Ok(told) = lay(&Wanted::of(&pieces, &cloth, System::Metric).asking(&asking(kind))) else { continue };
            let lay = told.value;
            lie_free(&lay);
            laid += 1;
            found += lay.left_over.iter().filter(|left| left.at.is_some()).count();
            let rest = lay.left_over.iter().find(|left| left.at.is_none()).expect("the rest of the length");
            assert!((rest.along_mm - (6000.0 - lay.used_mm)).abs() < 1e-6);
            assert!((rest.across_mm - (lay.cloth.width_mm - border_mm)).abs() < 1e-6, "the border is none of it");
        }
    }
    assert!(laid > 20 && found > laid, "only {found} rectangles between the pieces of {laid} lays");
}

/// Bias strips come out of what lies between the pieces too.
#[test]
fn bias_strips_come_out_of_what_is_between_the_pieces() {
    let lay = planned(&dress()[..2], &cloth(1120.0), &SHORT);
    let strip = Strip { width_mm: 32.0, length_mm: 120.0 };
    assert!(lay.left_over.iter().filter(|left| left.at.is_some()).map(|left| left.strips(strip)).sum::<u32>() > 0);
}

/// Flaws and the border are drawn where they lie, hatched, and no stroke of it lies beyond.
#[test]
fn flaws_and_the_border_are_drawn() {
    let flaws = vec![Flaw { along_mm: 300.0, across_mm: 700.0, size_mm: 50.0 }];
    let cloth = Cloth { flaws, border_mm: 60.0, ..cloth(1500.0) };
    let lay = planned(&dress(), &cloth, &SHORT);
    let drawn = svg::lay(&lay);
    for (id, outlines) in [("border-1", lay.border()), ("flaw-2", lay.flaws())] {
        let path = drawn.split_once(&format!("id=\"{id}\"")).expect(id).1;
        let d = path.split_once(" d=\"").and_then(|(_, d)| d.split_once('"')).expect("a path").0;
        let numbers = d.split(|sign: char| !(sign.is_ascii_digit() || "-.".contains(sign)));
        let numbers: Vec<f64> = numbers.filter(|word| !word.is_empty()).map(|word| word.parse().expect(word)).collect();
        let (low, high) = outlines[0].bounds();
        // The drawing has the far side of the cloth on top; whatever lies beside the lay makes it higher.
        let far_mm = numbers.chunks_exact(2).map(|at| at[1]).fold(0.0, f64::max) + low.y;
        for at in numbers.chunks_exact(2) {
            let (x, y) = (at[0], far_mm - at[1]);
            assert!(x >= low.x - 1e-3 && x <= high.x + 1e-3 && y >= low.y - 1e-3 && y <= high.y + 1e-3, "{id}: {at:?}");
        }
        assert!(numbers.len() > 2 * 7, "{id} is hatched: {d}");
    }
    assert!(!svg::lay(&planned(&dress(), &super::cloth(1500.0), &SHORT)).contains("flaw-"));
}
