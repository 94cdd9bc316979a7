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

/// A zip and a pocket in one side would lie over one another (7 in from the top, 3 1/2 below the waist): with pockets in the sides a
/// skirt opens at its centre back. The band then begins there, and the side is left open for the pocket alone.
#[test]
fn a_skirt_with_pockets_in_its_sides_opens_behind() {
    let skirt = |pockets: &'static str| {
        let body = [("waist", "28 in"), ("hip", "38 in")];
        OrderText::of("26 in", &body).kind("a-line-skirt").choose("pockets", pockets)
    };
    let opens = |order: &OrderText, seam: &str| {
        let draft = order.draft();
        draft.seams.iter().find(|other| other.name == seam).map(|seam| seam.open_mm / INCH_MM)
    };
    for (order, side, behind) in [
        (skirt("none"), 7.0, None),
        (skirt("patch"), 7.0, None),
        (skirt("in-seam"), 0.0, Some(7.0)),
        (skirt("in-seam").rule("opening_length", "\"8 in\""), 0.0, Some(8.0)),
        (skirt("in-seam").choose("waist", "casing"), 0.0, None),
    ] {
        assert_eq!([opens(&order, "side"), opens(&order, "centre back")], [Some(side), behind], "{}", order.text());
        assert!(order.draft().checks.iter().all(|check| check.ok), "{:?}", order.draft().checks);
        let back = order.pieces().into_iter().find(|piece| piece.name == "back").expect("a back");
        assert_eq!(
            (back.on_fold, back.paired, back.count),
            (behind.is_none(), behind.is_some(), 1 + u32::from(behind.is_some()))
        );
    }
    let draft = skirt("in-seam").draft();
    let half = |name: &str| piece(&draft, name).length_mm("waist");
    let (front, back) = (half("front"), half("back"));
    let expected = [
        ("left side seam", back),
        ("centre front", back + front),
        ("right side seam", back + 2.0 * front),
        ("lap", 2.0 * (front + back)),
    ];
    for (notch, (meets, mm)) in piece(&draft, "waistband").notches.iter().zip(expected) {
        assert!(notch.meets == meets && (notch.along_mm - mm).abs() < 0.05, "{notch:?} for {mm}");
    }
    let end = piece(&draft, "back").notches.iter().find(|notch| notch.edge == "centre back").expect("an end");
    assert!((end.along_mm / INCH_MM - 7.0).abs() < 1e-9);
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
    let deep = |length: f64| top(length).rule("pocket_depth", "\"10 1/2 in\"").draft();
    assert!(check(&deep(27.0 + longer), name).ok && !check(&deep(26.75 + longer), name).ok, "{remedy}");
    let higher = named(remedy, "pocket_below ", " at most");
    assert!(check(&top(27.0).rule("pocket_below", &format!("\"{higher}\"")).draft(), name).ok, "{remedy}");
    assert!(check(&example().choose("pockets", "in-seam").draft(), name).ok);
    // A little too short, its bag is as much shallower as leaves 1/2 in above the hem, down to an opening of 0.7 of it.
    let less = top(29.0).draft();
    let depth = less.working.iter().find(|step| step.name == "depth of the pocket").expect("a step").value_mm;
    assert!(depth < 10.5 * INCH_MM && 6.0 * INCH_MM <= 0.7 * depth + 1e-6, "{depth}");
    let clear = inches(named(&check(&less, name).says, "its bag ends ", " above"));
    assert!((clear - 0.5).abs() < 1e-9, "{clear}");
    assert!(!check(&top(29.0).rule("pocket_depth", "\"10 1/2 in\"").draft(), name).ok, "what is written is taken");
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
