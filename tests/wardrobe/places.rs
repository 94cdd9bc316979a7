//! Where things go: a patch pocket on its front, a band on its skirt, a gown's sides.

use chalklight::draft::{Draft, SewnPiece};
use chalklight::units::INCH_MM;

use super::{check, example};
use crate::check::OrderText;

fn piece<'d>(draft: &'d Draft, name: &str) -> &'d SewnPiece {
    draft.piece(name).unwrap_or_else(|| panic!("no {name}"))
}

/// A patch 6 3/4 wide, 3 1/2 below the waist at 16 and 2 1/2 beside the centre: its head from 2 1/2 to 9 1/4 at 19 1/2
/// (common practice, no source), with a corner marked at both ends; and none where the front has no room.
#[test]
fn a_patch_pocket_has_its_place_on_the_front() {
    let draft = example().choose("pockets", "patch").draft();
    let front = piece(&draft, "front");
    let marks: Vec<_> = front.marks.iter().filter(|(of, _)| *of == "pocket").map(|(_, ends)| *ends).collect();
    let head = marks[0].map(|p| p / INCH_MM);
    assert!((head[0].x - 2.5).abs() < 1e-9 && (head[1].x - 9.25).abs() < 1e-9, "{head:?}");
    assert!(head.iter().all(|p| (p.y - 19.5).abs() < 1e-9));
    let corners = &marks[1..];
    assert_eq!(corners.len(), 2);
    assert!(corners.iter().zip(head).all(|(corner, end)| (corner[0] / INCH_MM - end).length() < 1e-9));
    assert!(check(&draft, "pocket on the front").ok);
    // Where the side is in its way it lies nearer to the centre, 1/2 in clear of the side; where that is no place, it is told
    // how wide it may be.
    let skirt = |waist: &str, hip: &str| {
        OrderText::of("26 in", &[("waist", waist), ("hip", hip)])
            .kind("a-line-skirt")
            .choose("pockets", "patch")
            .draft()
    };
    let (slim, tiny) = (skirt("28 in", "38 in"), skirt("22 in", "30 in"));
    let head = piece(&slim, "front").marks[0].1;
    let room_mm = piece(&slim, "front").width_mm(head[0].y).expect("a side");
    assert!((room_mm - head[1].x - INCH_MM / 2.0).abs() < 1e-6 && head[0].x > INCH_MM / 2.0, "{head:?}");
    let told = check(&tiny, "pocket on the front").remedy.as_deref().unwrap_or_default();
    assert!(told.contains("wide at most (pocket_width)"), "{told}");
    let narrow = example().choose("pockets", "patch").rule("pocket_aside", "\"6 in\"").draft();
    let check = check(&narrow, "pocket on the front");
    assert!(!check.ok && check.remedy.is_some() && piece(&narrow, "front").marks.is_empty(), "{check:?}");
}

/// From the left side: half the front's waist, the front's, that and half the back's, and all of it, where the lap begins.
#[test]
fn a_band_is_notched_where_the_skirt_meets_it() {
    let body = [("waist", "28 in"), ("hip", "38 in")];
    for kind in ["a-line-skirt", "circle-skirt"] {
        let draft = OrderText::of("26 in", &body).kind(kind).draft();
        let band = piece(&draft, "waistband");
        let waist = |name: &str| 2.0 * piece(&draft, name).length_mm("waist");
        let (front, back) = (waist("front"), waist("back"));
        let expected = [front / 2.0, front, front + back / 2.0, front + back];
        let names = ["centre front", "right side seam", "centre back", "lap"];
        assert_eq!(band.notches.iter().map(|notch| notch.meets).collect::<Vec<_>>(), names);
        for (notch, mm) in band.notches.iter().zip(expected) {
            assert!(notch.edge == "left" && (notch.along_mm - mm).abs() < 0.05, "{kind}: {notch:?} for {mm}");
        }
    }
}

/// A gown's sides begin level with the nick in its outer edge and end at the nick in its hem.
#[test]
fn a_gown_is_nicked_where_its_sides_begin_and_end() {
    let draft =
        OrderText::of("50 in", &[("bust", "38 in"), ("hip", "42 in"), ("head", "22 in")]).kind("kaftan").draft();
    for name in ["front", "back"] {
        let gown = piece(&draft, name);
        let (_, [top, foot]) = gown.marks.iter().find(|(name, _)| *name == "side seam").expect("a side");
        let at = |edge: &str| {
            let notch = gown.notches.iter().find(|notch| notch.edge == edge).expect("a notch");
            gown.edge(edge).expect("an edge").curve.at_length(notch.along_mm).0
        };
        assert!((at("edge").y - top.y).abs() < 1e-6 && (at("hem").x - foot.x).abs() < 1e-6, "{name}");
    }
}
