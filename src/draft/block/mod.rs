//! The block: a quarter draft on the fold, front and back drafted over one another, without waist seam.
//!
//! All defaults are common practice (no source). Shoulder, side and hem are the same line in both pieces, so the
//! seams are equal by construction; only neck and armhole differ, and the front's lie inside the back's. With a bust dart
//! the front is longer than the back from the bust down, and the dart takes that up at the side.
//!
//! ```text
//! o---3---.            start line
//! |   N~~~~.           N neck point on the shoulder slope, T shoulder tip
//! |_.'      T
//! |         )          armhole, beside the guide straight down from T
//! |          `---U     chest line
//! |            )       waist
//! |             \      hip point
//! |______.....---'     hem, raised at the side
//! ```

mod bust;
mod impossible;
mod pieces;
pub(super) mod rules;

use super::garments::{Drafted, Group};
use super::rules::{CLOTH_EASE, Rule};
use super::seam::Seam;
use super::sheet::Sheet;
use super::side::Levels;
use super::trial::{Least, Trial};
use super::{SewnPiece, at, bias, collar, facing, fitting, neck, pocket, simple, sleeve, tie};
use crate::geometry::{Draft as Frame, Point};
use crate::order::{Edges, Measure, Opening, Sleeve};
use crate::remark::Refusal;
use bust::Bust;
pub use rules::RULES;
use rules::*;
pub(super) use rules::{CHOICE_RULES, STRAIGHT_RULES};

/// How the sides run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cut {
    /// Into the waist, and from the hip to a hem as wide as the cloth is folded.
    ALine,
    /// Past the waist, and from the hip to a hem a little wider.
    Straight,
}

/// The points of the draft.
pub(super) struct Points {
    neck: Point<Frame>,
    tip: Point<Frame>,
    levels: Levels,
    front_neck_depth_mm: f64,
    back_neck_depth_mm: f64,
    fold_width_mm: f64,
    length_mm: f64,
    bust: Bust,
}

/// The rules of a garment of the block: its own, those of its cut, and those of what may be chosen.
pub(super) const fn with(own: Group, cut: Group) -> [Group; 13] {
    let [edges, opening, slit] = CHOICE_RULES;
    [
        own,
        cut,
        Group::always(&[&CLOTH_EASE]),
        DART_RULES,
        edges,
        opening,
        slit,
        sleeve::RULES,
        facing::RULES,
        bias::RULES,
        pocket::RULES,
        tie::RULES,
        collar::RULES,
    ]
}

/// Drafts front and back with all that was chosen for them.
///
/// # Errors
/// When the numbers can't be drawn.
pub(super) fn draft(sheet: &mut Sheet<'_>, cut: Cut) -> Result<Drafted, Refusal> {
    let points = points(sheet, cut);
    let mut faults = impossible::faults(&points, sheet);
    faults.extend(collar::faults(sheet));
    if !faults.is_empty() {
        return Err(Refusal { remarks: faults });
    }
    let (front, back) = pieces::pieces(&points, sheet);
    for piece in [&front, &back] {
        simple(piece).map_err(Refusal::because)?;
    }
    pieces::measure(&front, &back, sheet);
    at_the_hip(&front, sheet);
    let mut drafted = Drafted {
        checks: tried(&front, &back, &points, sheet),
        seams: seams(&back),
        pieces: vec![front, back],
        fold_width_mm: points.fold_width_mm,
    };
    chosen(sheet, &mut drafted)?;
    Ok(drafted)
}

/// Adds everything that was chosen.
fn chosen(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    let style = sheet.style();
    sleeve::add(sheet, drafted)?;
    collar::add(sheet, drafted)?;
    match style.edges {
        Edges::Plain => {}
        Edges::Bias => bias::add(sheet, drafted),
        Edges::Facing => facing::add(sheet, drafted, style.sleeve == Sleeve::None)?,
        Edges::AllInOne => facing::add_all_in_one(sheet, drafted)?,
    }
    pocket::add(sheet, drafted)?;
    tie::add(sheet, drafted);
    Ok(())
}

/// What is sewn to what; a back that opens is joined below its opening.
fn seams(back: &SewnPiece) -> Vec<Seam> {
    let mut seams = [("shoulder seams walk", "shoulder"), ("side seams walk", "side")]
        .map(|(walks, edge)| Seam::alike(walks, edge, ["front", "back"]))
        .to_vec();
    seams.extend(back.notches.iter().find(|notch| notch.edge == "centre back").map(|end| {
        let halves = [end.edge; 2];
        Seam::alike_edges("centre back seam walks", end.edge, back.name, halves).open(end.along_mm)
    }));
    seams
}

/// Tries front and back on.
fn tried(front: &SewnPiece, back: &SewnPiece, points: &Points, sheet: &Sheet<'_>) -> Vec<super::Check> {
    let trial = Trial {
        body: &sheet.order.body,
        system: sheet.order.system,
        worn: sheet.order.garment.kind.worn(),
        style: sheet.style(),
        front,
        back,
        waist_y_mm: points.bust.back(&points.levels).waist.y,
        least: Least {
            bust_ease_mm: sheet.rule(&LEAST_BUST_EASE),
            waist_ease_mm: sheet.rule(&LEAST_WAIST_EASE),
            hip_ease_mm: sheet.rule(&LEAST_HIP_EASE),
            arm_ease_mm: sheet.rule(&LEAST_ARM_EASE),
            donning_mm: sheet.rule(&DONNING),
        },
    };
    trial.checks(&seams(back))
}

/// Works out every point, from the start line down.
fn points(sheet: &mut Sheet<'_>, cut: Cut) -> Points {
    let (neck, tip) = shoulder(sheet);
    let let_out_mm = fitting::let_out(sheet);
    let levels_above_hem = girths(sheet, cut, let_out_mm);
    let (fold_width_mm, hem) = match cut {
        Cut::ALine => hem_at_the_fold(sheet, let_out_mm),
        Cut::Straight => hem_below_the_hip(sheet, levels_above_hem.hip.x),
    };
    let [_, front, back] = neck::sizes(sheet);
    let whence = collar::whence(sheet.style());
    let front_neck_depth_mm = sheet.step("front neck depth", whence.into(), front);
    let back_neck_depth_mm = sheet.step("back neck depth", whence.into(), back);
    let levels = Levels { hem, ..levels_above_hem };
    Points {
        neck,
        tip,
        bust: bust::bust(sheet, &levels),
        levels,
        front_neck_depth_mm,
        back_neck_depth_mm: fitting::back_neck(sheet, back_neck_depth_mm),
        fold_width_mm,
        length_mm: sheet.length_mm(),
    }
}

/// The neck point and the shoulder tip.
fn shoulder(s: &mut Sheet<'_>) -> (Point<Frame>, Point<Frame>) {
    let across = s.body_mm(Measure::Shoulder);
    let tip_x = s.step("shoulder tip", format!("shoulder {} / 2", s.show(across)), across / 2.0);
    let drop = s.set("shoulder drop", "set, at the tip", &SHOULDER_DROP);
    let tip_y = fitting::shoulder_drop(s, drop);
    let reference = s.set("neck reference", "set; the slope starts here", &NECK_REFERENCE);
    let [half_width, ..] = neck::sizes(s);
    let words = format!("{}, along the start line", collar::whence(s.style()));
    let neck_x = s.step("neck half width", words, half_width);
    let slope = tip_y / (tip_x - reference);
    let [drop, x, from, to] = [tip_y, neck_x, reference, tip_x].map(|mm| s.show(mm));
    let words = match neck_x > reference {
        true => format!("on the slope: {drop} x ({x} - {from}) / ({to} - {from})"),
        false => "on the start line: the slope starts farther out".to_owned(),
    };
    let neck_y = s.step("neck point", words, (slope * (neck_x - reference)).max(0.0));
    (at(neck_x, neck_y), at(tip_x, tip_y))
}

/// Underarm, waist and hip; the hem is not known yet.
fn girths(s: &mut Sheet<'_>, cut: Cut, let_out: f64) -> Levels {
    let [bust, waist, hip] = [Measure::Bust, Measure::Waist, Measure::Hip].map(|measure| s.body_mm(measure));
    let (parts, extra) = (s.rule(&CHEST_PARTS), s.rule(&CHEST_EXTRA));
    let chest_y =
        s.step("chest line", format!("bust {} / {parts} + {}", s.show(bust), s.show(extra)), bust / parts + extra);
    let chest_y = fitting::chest_line(s, chest_y);
    let mut quarter = |name, measure: &str, girth: f64, rule| {
        let (ease, cloth) = (ease(s, rule), s.cloth_ease());
        let also = s.and_cloth(1.0) + &fitting::also(s, let_out);
        let words = format!("{measure} {} / 4 + {}{also}", s.show(girth), s.show(ease));
        s.step(name, words, girth / 4.0 + ease + cloth + let_out)
    };
    let bust_x = quarter("quarter bust", "bust", bust, &BUST_EASE);
    let waist_x = quarter("quarter waist", "waist", waist, &WAIST_EASE);
    let hip_x = quarter("quarter hip", "hip", hip, &HIP_EASE);
    let words = format!("waist depth {}", s.order.body.whence(Measure::WaistDepth));
    let waist_y = s.step("waist line", words, s.body_mm(Measure::WaistDepth));
    let hip_y = hip_line(s, waist_y);
    let mut waist = at(waist_x, waist_y);
    if cut == Cut::Straight {
        let straight = bust_x + (hip_x - bust_x) * (waist_y - chest_y) / (hip_y - chest_y);
        let words = "straight from quarter bust to quarter hip, no less than the quarter waist";
        waist.x = s.step("side at the waist", words.into(), waist_x.max(straight));
    }
    Levels { underarm: at(bust_x, chest_y), waist, hip: at(hip_x, hip_y), hem: at(0.0, 0.0) }
}

/// The ease in a quarter: as the order sets it, by the fit that was chosen, or by the house.
fn ease(s: &Sheet<'_>, rule: &Rule) -> f64 {
    s.rule_or(rule, eases(s.style().fit).and_then(|eases| eases.into_iter().find(|of| of.key == rule.key)))
}

/// The level of the fullest seat.
fn hip_line(s: &mut Sheet<'_>, waist_y: f64) -> f64 {
    let (depth, whence) = match s.order.body.get(Measure::HipDepth) {
        Some(measured) => (measured, "measured"),
        None => (s.rule(&HIP_DEPTH), "set"),
    };
    let words = format!("waist line {} + hip depth {} ({whence})", s.show(waist_y), s.show(depth));
    let hip_y = s.step("hip line", words, waist_y + depth);
    fitting::hip_line(s, hip_y)
}

/// The fold width, and the corner of hem and side, where the hem is as wide as the cloth is folded.
fn hem_at_the_fold(s: &mut Sheet<'_>, let_out: f64) -> (f64, Point<Frame>) {
    let largest = [Measure::Bust, Measure::Waist, Measure::Hip].map(|m| s.body_mm(m)).into_iter().fold(0.0, f64::max);
    let extra = s.rule(&FOLD_EXTRA);
    let words = format!("largest girth {} / 4 + {}{}", s.show(largest), s.show(extra), fitting::also(s, let_out));
    let fold = s.step("fold width", words, largest / 4.0 + extra + let_out);
    let side = s.rule(&SIDE_ALLOWANCE);
    let half =
        s.step("hem half width", format!("fold width {} - side allowance {}", s.show(fold), s.show(side)), fold - side);
    (fold, hem_corner(s, half))
}

/// The same where the hem is a little wider than the hip.
fn hem_below_the_hip(s: &mut Sheet<'_>, hip_x: f64) -> (f64, Point<Frame>) {
    let flare = s.rule(&HEM_FLARE);
    let words = format!("quarter hip {} + {}", s.show(hip_x), s.show(flare));
    let half = s.step("hem half width", words, hip_x + flare);
    let side = s.rule(&SIDE_ALLOWANCE);
    let words = format!("hem half width {} + side allowance {}", s.show(half), s.show(side));
    let fold = s.step("fold width", words, half + side);
    (fold, hem_corner(s, half))
}

/// Where hem and side meet, and how long the cloth must be.
fn hem_corner(s: &mut Sheet<'_>, half: f64) -> Point<Frame> {
    let (length, raise) = (s.length_mm(), s.rule(&HEM_RAISE));
    let side_y =
        s.step("hem at the side", format!("length {} - raise {}", s.show(length), s.show(raise)), length - raise);
    let turning = s.rule(&HEM_ALLOWANCE);
    let with_hem =
        s.step("length with hem", format!("length {} + hem {}", s.show(length), s.show(turning)), length + turning);
    let words = format!("2 x {} (the lay adds what the shoulder turning takes above the start line)", s.show(with_hem));
    s.step("two lengths", words, 2.0 * with_hem);
    at(half, side_y)
}

/// Writes down how wide the dress is at the hip: the side runs outside the quarter hip where the hem asks for it.
fn at_the_hip(front: &SewnPiece, sheet: &mut Sheet<'_>) {
    if let Some(half_mm) = front.level_mm("hip").and_then(|hip_y_mm| front.width_mm(hip_y_mm)) {
        let words = "measured at the hip line; outside the quarter hip where the skirt flares";
        sheet.step("half width at hip", words.into(), half_mm);
    }
}

/// Whether the back is cut in two, to open.
fn opens_behind(sheet: &Sheet<'_>) -> bool {
    sheet.style().opening == Opening::Back
}
