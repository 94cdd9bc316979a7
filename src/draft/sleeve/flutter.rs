//! The flutter sleeve: a part of a ring whose inner edge is as long as the armhole, sewn in without ease.

use super::{SLEEVE_SEAM_ALLOWANCE, armholes_mm, crown_notches};
use crate::draft::garments::Drafted;
use crate::draft::rules::Rule;
use crate::draft::seam::{Part, Seam};
use crate::draft::sheet::Sheet;
use crate::draft::{SewnEdge, SewnPiece, at};
use crate::geometry::{Curve, Draft as Frame, Point};
use crate::remark::Refusal;

pub const FLUTTER_TURN: Rule =
    Rule::number("flutter_turn", "how much of a whole ring a flutter sleeve is", 0.5, [0.1, 0.9]);
pub const FLUTTER_LENGTH: Rule = Rule::inches("flutter_length", "depth of a flutter sleeve", 6.0, [1.0, 16.0]);
pub const FLUTTER_HEM_ALLOWANCE: Rule =
    Rule::inches("flutter_hem_allowance", "turning at a flutter sleeve's hem, rolled narrow", 0.25, [0.0, 1.0]);

/// Drafts the ring.
///
/// # Errors
/// None: any armhole has its ring.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    let [front_mm, back_mm] = armholes_mm(drafted);
    let (armhole_mm, turn) = (front_mm + back_mm, sheet.rule(&FLUTTER_TURN));
    let angle_rad = std::f64::consts::TAU * turn;
    let words = format!("armhole {} / (2 pi x {turn})", sheet.show(armhole_mm));
    let radius_mm = sheet.step("ring's radius", words, armhole_mm / angle_rad);
    let depth_mm = sheet.set("flutter length", "set", &FLUTTER_LENGTH);
    let allowance_mm = drafted.pieces[0].edge("armhole").map_or(0.0, |armhole| armhole.allowance_mm);
    let [back_rad, front_rad] = [back_mm, front_mm].map(|mm| mm / radius_mm);
    // The middle of the ring hangs straight down; its centre is the origin, the back to the right.
    let down_rad = std::f64::consts::FRAC_PI_2;
    let [right_rad, left_rad] = [down_rad - angle_rad / 2.0, down_rad + angle_rad / 2.0];
    let seam_rad = right_rad + back_rad;
    debug_assert!((left_rad - seam_rad - front_rad).abs() < 1e-9);
    let around = |radius_mm: f64, range| Curve::arc(at(0.0, 0.0), radius_mm, range);
    let on = |radius_mm: f64, rad: f64| -> Point<Frame> { at(radius_mm * rad.cos(), radius_mm * rad.sin()) };
    let outer_mm = radius_mm + depth_mm;
    let seam_mm = sheet.rule(&SLEEVE_SEAM_ALLOWANCE).min(depth_mm / 4.0);
    let hem_mm = sheet.rule(&FLUTTER_HEM_ALLOWANCE);
    let edges = vec![
        SewnEdge::new("front underarm", Curve::line(on(radius_mm, left_rad), on(outer_mm, left_rad)), seam_mm),
        SewnEdge::new("hem", around(outer_mm, [left_rad, right_rad]), hem_mm),
        SewnEdge::new("back underarm", Curve::line(on(outer_mm, right_rad), on(radius_mm, right_rad)), seam_mm),
        SewnEdge::new("back crown", around(radius_mm, [right_rad, seam_rad]), allowance_mm),
        SewnEdge::new("front crown", around(radius_mm, [seam_rad, left_rad]), allowance_mm),
    ];
    let piece = SewnPiece::pair("sleeve", edges);
    let piece = SewnPiece { notches: crown_notches(drafted, &piece), ..piece };
    let into = |name, walks, body, crown| {
        Seam::new(name, walks, [vec![Part::of(body, "armhole", 1)], vec![Part::of("sleeve", crown, 1)]])
    };
    let seams = vec![
        Seam::alike_edges("underarm seam walks", "underarm", "sleeve", ["front underarm", "back underarm"]),
        into("front armhole", "sleeve's front walks", "front", "front crown"),
        into("back armhole", "sleeve's back walks", "back", "back crown"),
    ];
    drafted.add([piece], seams, sheet);
    Ok(())
}
