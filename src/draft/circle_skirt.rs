//! The circle skirt: a ring, or a part of one, whose inner edge is the waist.
//!
//! ```text
//! radius = waist / (2 pi part)      sweep = 2 pi part (radius + length)
//! ```
//! Front and back are alike, each on the fold, with a seam at either side. A skirt of a whole circle hangs down on its
//! bias and drops there: hang it for two or three days, then level the hem (*The New Dressmaker*, 1921, chapter 9).

use super::garments::{Drafted, Garment, Group};
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::skirt::{HEM_ALLOWANCE, SIDE_ALLOWANCE, WAIST_ALLOWANCE};
use super::{NotchPlace, SewnEdge, SewnPiece, at, fitting, rules::Rule, skirt, trial};
use crate::geometry::{Curve, Draft as Frame, Point};
use crate::order::{Circle, Kind};
use crate::remark::Refusal;

/// A ring's hem is narrow and its sides hang; there is nothing to let out at a ring.
const OWN: &[&Rule] = &[&OWN_HEM, &OWN_SIDE];
const OWN_HEM: Rule = HEM_ALLOWANCE.at(0.5);
const OWN_SIDE: Rule = SIDE_ALLOWANCE.at(0.75);

/// The skirt.
pub const GARMENT: Garment = Garment {
    kind: Kind::CircleSkirt,
    rules: &[Group::always(OWN), skirt::RULES],
    fitting: fitting::OF_FREE_SKIRT,
    draft,
};

/// How much of a circle it is, and the share in words.
fn share(circle: Circle) -> (f64, &'static str) {
    match circle {
        Circle::Full => (1.0, "1"),
        Circle::ThreeQuarter => (0.75, "3/4"),
        Circle::Half => (0.5, "1/2"),
        Circle::Quarter => (0.25, "1/4"),
    }
}

fn draft(sheet: &mut Sheet<'_>) -> Result<Drafted, Refusal> {
    let waist_mm = skirt::waist(sheet);
    let (part, words) = share(sheet.style().circle);
    let angle_rad = std::f64::consts::TAU * part;
    let radius = format!("waist {} / (2 pi x {words})", sheet.show(waist_mm));
    let radius_mm = sheet.step("waist radius", radius, waist_mm / angle_rad);
    let length_mm = sheet.length_mm();
    let outer = format!("waist radius {} + length {}", sheet.show(radius_mm), sheet.show(length_mm));
    let outer_mm = sheet.step("hem radius", outer, radius_mm + length_mm);
    let sweep = format!("2 pi x {words} x hem radius {}", sheet.show(outer_mm));
    sheet.step("hem sweep", sweep, angle_rad * outer_mm);
    let pieces = ["front", "back"].map(|name| piece(sheet, name, [radius_mm, outer_mm], angle_rad / 4.0));
    let reach_mm = pieces[0].outline().bounds().1.x + sheet.rule(&SIDE_ALLOWANCE);
    let fold_width_mm = sheet.step("fold width", "widest half piece with its turning".into(), reach_mm);
    let seams = vec![Seam::alike("side seams walk", "side", ["front", "back"]).open(skirt::open_mm(sheet))];
    let mut drafted = Drafted::on_fold_of(fold_width_mm);
    drafted.add(pieces, seams, sheet);
    let around = vec![Part::of("front", "waist", 2), Part::of("back", "waist", 2)];
    skirt::add_waist(sheet, &mut drafted, around, [waist_mm, 0.0]);
    drafted.checks.extend(trial::deep_hem(&drafted.pieces, sheet.order.system));
    Ok(drafted)
}

/// A half of front or back: `angle_rad` of the ring from the fold on, the waist at the start line.
fn piece(sheet: &Sheet<'_>, name: &'static str, [inner_mm, outer_mm]: [f64; 2], angle_rad: f64) -> SewnPiece {
    let centre = at(0.0, -inner_mm);
    let down_rad = std::f64::consts::FRAC_PI_2;
    let side_rad = down_rad - angle_rad;
    let on = |radius_mm: f64, rad: f64| -> Point<Frame> { at(radius_mm * rad.cos(), radius_mm * rad.sin() - inner_mm) };
    let edges = vec![
        SewnEdge::new("fold", Curve::line(at(0.0, 0.0), at(0.0, outer_mm - inner_mm)), 0.0),
        SewnEdge::new("hem", Curve::arc(centre, outer_mm, [down_rad, side_rad]), sheet.rule(&HEM_ALLOWANCE)),
        SewnEdge::new("side", Curve::line(on(outer_mm, side_rad), on(inner_mm, side_rad)), sheet.rule(&SIDE_ALLOWANCE)),
        SewnEdge::new("waist", Curve::arc(centre, inner_mm, [side_rad, down_rad]), sheet.rule(&WAIST_ALLOWANCE)),
    ];
    let notches =
        vec![NotchPlace { edge: "waist", along_mm: inner_mm * angle_rad / 2.0, nicks: 1, meets: "waistband" }];
    SewnPiece { notches, ..SewnPiece::on_fold(name, edges) }
}
