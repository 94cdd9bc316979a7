//! Where things go: a patch pocket on its front, a band on its skirt, a gown's sides.

use chalklight::draft::{Draft, SewnPiece};
use chalklight::units::{INCH_MM, read_length};

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

/// What a remedy names between two words of its own.
fn named<'t>(text: &'t str, before: &str, after: &str) -> &'t str {
    let begins = text.find(before).unwrap_or_else(|| panic!("no {before} in {text}")) + before.len();
    text[begins..].split(after).next().unwrap_or_default()
}

fn inches(text: &str) -> f64 {
    read_length(text).unwrap_or_else(|no| panic!("{no:?}")).mm / INCH_MM
}

/// A zip takes 7 in of the left side from its top, 1/2 in above the waist: a pocket 3 1/2 below the waist lies over it, and
/// one at most 6 1/2 below does not, nor is there anything to lie over where the waist is drawn in by elastic. What the
/// remedy says helps.
#[test]
fn a_pocket_in_the_side_lies_below_its_opening() {
    let name = "pocket below the opening";
    let skirt = || {
        let body = [("waist", "28 in"), ("hip", "38 in")];
        OrderText::of("26 in", &body).kind("a-line-skirt").choose("pockets", "in-seam")
    };
    let draft = skirt().draft();
    let over = check(&draft, name);
    let remedy = over.remedy.as_deref().unwrap_or_default();
    assert!(!over.ok && over.says.contains("open for 7 in"), "{over:?}");
    let lower = named(remedy, "pocket_below ", " at least");
    assert!((5.5..=6.5).contains(&inches(lower)), "{remedy}");
    assert!(check(&skirt().rule("pocket_below", &format!("\"{lower}\"")).draft(), name).ok, "{remedy}");
    let above = skirt().rule("pocket_below", &format!("\"{} in\"", inches(lower) - 0.25));
    assert!(!check(&above.draft(), name).ok, "{remedy}");
    let shorter = named(remedy, "opening_length ", " at most");
    assert!(check(&skirt().rule("opening_length", &format!("\"{shorter}\"")).draft(), name).ok, "{remedy}");
    let cased = skirt().choose("waist", "casing").draft();
    assert!(cased.checks.iter().all(|check| check.name != name) && check(&cased, "pocket above the hem").ok);
}

/// A bag 10 1/2 deep begins 0.15 of the 4 1/2 that its opening of 6 leaves above the opening, which is 3 1/2 below the waist
/// at 16: it ends 29.3 in down (common practice, no source), 2 1/3 below the middle of the hem of a top of 27, and more at its
/// side, where the hem is raised. What the remedy says helps, and a dress has room for it.
#[test]
fn the_bag_of_a_pocket_ends_above_the_hem() {
    let name = "pocket above the hem";
    let top = |length: f64| example().kind("shift-top").choose("pockets", "in-seam").long(length * INCH_MM);
    let draft = top(27.0).draft();
    let under = check(&draft, name);
    assert!(!under.ok, "{under:?}");
    let reaches = inches(named(&under.says, "reaches ", " below"));
    assert!((2.25..=3.5).contains(&reaches), "{under:?}");
    let remedy = under.remedy.as_deref().unwrap_or_default();
    let longer = inches(named(remedy, "make the garment ", " longer"));
    assert!(check(&top(27.0 + longer).draft(), name).ok && !check(&top(26.75 + longer).draft(), name).ok, "{remedy}");
    let higher = named(remedy, "pocket_below ", " at most");
    assert!(check(&top(27.0).rule("pocket_below", &format!("\"{higher}\"")).draft(), name).ok, "{remedy}");
    assert!(check(&example().choose("pockets", "in-seam").draft(), name).ok);
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
