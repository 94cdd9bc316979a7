//! How a circle skirt is cut out: on folds, in panels, in one piece; and how much cloth each takes.

use chalklight::draft::{SewnPiece, draft};
use chalklight::finish::{Piece, finish};
use chalklight::lay::{Wanted, lay, offers};
use chalklight::order::{Order, read};
use chalklight::units::INCH_MM;

use crate::check::{OrderText, edge_mm, faults, step_mm};

const CUTS: [&str; 3] = ["on-fold", "panels", "one-piece"];

fn skirt(circle: &'static str, cut: &'static str) -> OrderText {
    let body = [("waist", "28 in"), ("hip", "38 in")];
    OrderText::of("26 in", &body).kind("circle-skirt").choose("circle", circle).choose("cut", cut)
}

fn piece<'p>(pieces: &'p [Piece], name: &str) -> &'p Piece {
    pieces.iter().find(|piece| piece.name == name).unwrap_or_else(|| panic!("no {name}"))
}

/// Across the grain and along it.
fn size_in(piece: &Piece) -> [f64; 2] {
    let (low, high) = piece.cut.bounds();
    [(high.x - low.x) / INCH_MM, (high.y - low.y) / INCH_MM]
}

/// However it is cut, the waist that is sewn to the band and the sweep are those of the ring, and every seam walks.
#[test]
fn however_it_is_cut_it_is_the_same_skirt() {
    for (circle, cut) in ["full", "three-quarter", "half", "quarter"].into_iter().flat_map(|c| CUTS.map(|cut| (c, cut)))
    {
        let order = skirt(circle, cut);
        let drafted = read(&order.text()).and_then(|order| draft(&order.value));
        if cut == "one-piece" && circle != "half" {
            let no = drafted.expect_err("no half circle").to_string();
            assert!(no.contains("only half a circle") && no.contains("cut = \"panels\""), "{no}");
            continue;
        }
        let made = order.draft();
        let folded = skirt(circle, "on-fold").draft();
        for step in ["waist of the skirt", "waist radius", "hem radius", "hem sweep", "band's length"] {
            assert!((step_mm(&made, step) - step_mm(&folded, step)).abs() < 1e-9, "{circle}, {cut}: {step}");
        }
        let times = |piece: &SewnPiece| f64::from(if piece.on_fold { 2 } else { piece.count });
        let skirts = || made.pieces.iter().filter(|piece| piece.name != "waistband");
        let around = |edge: &str| skirts().map(|piece| times(piece) * edge_mm(piece, edge)).sum::<f64>();
        assert!((around("hem") - step_mm(&made, "hem sweep")).abs() < 0.02, "{circle}, {cut}: {}", around("hem"));
        assert!((around("waist") - 29.0 * INCH_MM).abs() < 0.02, "{circle}, {cut}: {}", around("waist"));
        assert!(made.checks.iter().all(|check| check.ok), "{circle}, {cut}: {:?}", made.checks);
        assert_eq!(faults(&made, &order.pieces()), Vec::<String>::new(), "{circle}, {cut}");
    }
}

/// A full circle in two halves, each along the selvedge, or in four panels in a row: 4 (r + L + hem) long and r + L + hem
/// wide, 126.5 by 31.6 in at a waist of 28 and 1 of ease, r 4.6, length 26, hem 1 (geometry).
#[test]
fn four_panels_are_as_wide_as_the_radius() {
    let order = skirt("full", "panels")
        .rule("hem_allowance", "\"1 in\"")
        .rule("centre_allowance", "\"0 in\"")
        .rule("side_allowance", "\"0 in\"");
    let pieces = order.pieces();
    let mut long_in = 0.0;
    for name in ["front", "back"] {
        let panel = piece(&pieces, name);
        assert!(panel.paired && panel.count == 2 && !panel.on_fold, "{}", panel.caption());
        let [across, along] = size_in(panel);
        assert!((across - 31.6).abs() < 0.05 && (along - across).abs() < 1e-3, "{name}: {across} x {along}");
        long_in += f64::from(panel.count) * along;
    }
    assert!((long_in - 126.5).abs() < 0.05, "{long_in}");
}

/// Half a circle with its straight edge along the selvedge is as wide as the radius and twice as long (geometry): waist 28 and 1,
/// r 9.231, length 26, hem 1/2 in.
#[test]
fn half_a_circle_is_cut_in_one_piece() {
    let order = skirt("half", "one-piece").rule("centre_allowance", "\"0 in\"");
    let pieces = order.pieces();
    let whole = piece(&pieces, "skirt");
    let radius_in = 29.0 / std::f64::consts::PI + 26.0 + 0.5;
    let [across, along] = size_in(whole);
    assert!((across - radius_in).abs() < 1e-3 && (along - 2.0 * radius_in).abs() < 1e-3, "{across} x {along}");
    assert!(whole.count == 1 && !whole.on_fold && !whole.paired, "{}", whole.caption());
    let draft = order.draft();
    let seam = draft.seams.iter().find(|seam| seam.name == "centre back").expect("a seam");
    assert!((seam.open_mm / INCH_MM - 7.0).abs() < 1e-9, "it opens there for a zip: {seam:?}");
    assert!(draft.seams.iter().all(|seam| seam.name != "side"));
    let cased = order.choose("waist", "casing").draft();
    assert!(cased.seams.iter().all(|seam| seam.open_mm == 0.0) && cased.checks.iter().all(|check| check.ok));
}

/// Waist 78 and length 60 cm: on folds a full circle wants cloth of 148 cm; on what shops have the sentence says how else it is
/// cut, and so cut it is laid on every usual width.
#[test]
fn where_folds_are_too_wide_the_panels_are_named() {
    let order = |cut: &str, width: &str| {
        let garment = format!("[garment]\nkind = \"circle-skirt\"\nlength = \"60 cm\"\ncut = \"{cut}\"\n");
        let text = format!("[body]\nwaist = \"78 cm\"\nhip = \"102 cm\"\n{garment}[cloth]\nwidth = \"{width}\"\n");
        read(&text).unwrap_or_else(|no| panic!("{no}\n{text}")).value
    };
    let pieces = |order: &Order| finish(&draft(order).unwrap_or_else(|no| panic!("{no}")).value).expect("pieces").value;
    for width in ["112 cm", "115 cm", "140 cm"] {
        let folded = order("on-fold", width);
        let (pieces, cloth) = (pieces(&folded), folded.cloth.as_ref().expect("a cloth"));
        let no = lay(&Wanted::of(&pieces, cloth, folded.system)).expect_err("too narrow").to_string();
        assert!(
            no.contains("take cloth at least 148") && no.contains("write cut = \"panels\" under [garment]"),
            "{no}"
        );
    }
    let panels = order("panels", "112 cm");
    let (pieces, cloth) = (pieces(&panels), panels.cloth.as_ref().expect("a cloth"));
    let wanted = Wanted::of(&pieces, cloth, panels.system);
    let laid = lay(&wanted).unwrap_or_else(|no| panic!("{no}")).value;
    // Four radii in a row and the band would be longest.
    assert!(laid.used_mm < 4.0 * 780.0, "{}", laid.used_mm);
    assert!(offers(&wanted, &laid).iter().all(|offer| offer.bought.is_ok()), "{:?}", offers(&wanted, &laid));
}
