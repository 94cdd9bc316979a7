//! The A-line skirt: from the waist outside the hip point, and straight on to a hem square to the side.

use super::block::rules::{CENTRE_BACK, CENTRE_BACK_ALLOWANCE};
use super::garments::{Drafted, Garment, Group};
use super::rules::{CLOTH_EASE, Rule};
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::skirt::{HEM_ALLOWANCE, HIP_EASE, SIDE_ALLOWANCE, WAIST_ALLOWANCE};
use super::trial::{self, Ease};
use super::{Check, NotchPlace, SewnEdge, SewnPiece, at, fault, fitting, pocket, side, skirt};
use crate::geometry::{Curve, Draft as Frame, PARABOLA, Point, Vector};
use crate::order::{Kind, Measure, WaistEdge};
use crate::remark::Refusal;

const HIP_DEPTH: Rule = Rule::inches("hip_depth", "waist to hip, where it was not measured", 8.0, [2.0, 18.0]);
const WAIST_RAISE: Rule = Rule::inches("waist_raise", "waist raised at the side", 0.5, [0.0, 3.0]);
const BACK_WAIST_DROP: Rule =
    Rule::inches("back_waist_drop", "back waist below the front's at the centre", 0.375, [0.0, 2.0]);
const HEM_FLARE: Rule = Rule::inches("hem_flare", "hem half width beyond the quarter hip", 4.0, [0.0, 20.0]);
const LEAST_HIP_EASE: Rule = Rule::inches("least_hip_ease", "least ease round the hip", 2.0, [0.0, 12.0]);

const OWN: &[&Rule] =
    &[&CLOTH_EASE, &HIP_EASE, &HIP_DEPTH, &WAIST_RAISE, &BACK_WAIST_DROP, &HEM_FLARE, &LEAST_HIP_EASE];

/// The centre back's, where the skirt opens there.
const BEHIND: Group = Group { rules: &[&CENTRE_BACK_ALLOWANCE], applies: skirt::opens_behind };

/// The skirt.
pub const GARMENT: Garment = Garment {
    kind: Kind::ALineSkirt,
    rules: &[Group::always(OWN), BEHIND, skirt::RULES, pocket::RULES],
    fitting: fitting::OF_SKIRT,
    draft,
};

fn draft(sheet: &mut Sheet<'_>) -> Result<Drafted, Refusal> {
    let levels = points(sheet)?;
    let side = Curve::down_through(&[levels.waist, levels.hip, levels.hem]);
    let (drop_mm, length_mm) = (sheet.rule(&BACK_WAIST_DROP), sheet.length_mm());
    let back = [fitting::back_waist(sheet, drop_mm), fitting::hem_over_seat(sheet, length_mm)];
    let pieces = [("front", [0.0, length_mm]), ("back", back)]
        .map(|(name, centre_mm)| piece(sheet, name, (&levels, &side), centre_mm));
    sheet.step("side seam", "measured along the curve".into(), side.length_mm());
    let sweep_mm = 2.0 * pieces.iter().map(|piece| piece.length_mm("hem")).sum::<f64>();
    sheet.step("hem sweep", "measured all round".into(), sweep_mm);
    let reach_mm = levels.hem.x + sheet.rule(&SIDE_ALLOWANCE);
    let fold_width_mm = sheet.step("fold width", "hem half width + side allowance".into(), reach_mm);
    let mut drafted = Drafted::on_fold_of(fold_width_mm);
    drafted.add(pieces, seams(sheet), sheet);
    drafted.checks.push(ease(sheet, &drafted.pieces, levels.hip.y));
    let sewn_mm = 2.0 * drafted.pieces.iter().map(|piece| piece.length_mm("waist")).sum::<f64>();
    let sewn_mm = sheet.step("sewn waist", "measured along the curve, front and back".into(), sewn_mm);
    let around = vec![Part::of("front", "waist", 2), Part::of("back", "waist", 2)];
    skirt::add_waist(sheet, &mut drafted, around, [sewn_mm, 0.0]);
    pocket::add(sheet, &mut drafted)?;
    drafted.checks.extend(trial::deep_hem(&drafted.pieces, sheet.order.system));
    Ok(drafted)
}

/// The sides, and the centre back where it opens there.
fn seams(sheet: &mut Sheet<'_>) -> Vec<Seam> {
    let side = Seam::alike("side seams walk", "side", ["front", "back"]);
    if !skirt::opens_behind(sheet.style()) {
        return vec![side.open(skirt::open_mm(sheet))];
    }
    let words = "set, at the centre back: the pockets are in the sides".to_owned();
    let open_mm = sheet.step("opening", words, skirt::open_mm(sheet));
    vec![side, Seam::alike_edges("centre back seam walks", CENTRE_BACK, "back", [CENTRE_BACK; 2]).open(open_mm)]
}

/// The points that the side passes, downwards.
struct Levels {
    waist: Point<Frame>,
    hip: Point<Frame>,
    hem: Point<Frame>,
}

/// Works out waist, hip and hem at the side.
fn points(s: &mut Sheet<'_>) -> Result<Levels, Refusal> {
    let waist_mm = skirt::waist(s);
    let hip_mm = s.body_mm(Measure::Hip);
    let waist_x = s.step("quarter waist", format!("{} / 4", s.show(waist_mm)), waist_mm / 4.0);
    let ease_mm = s.rule_or(&HIP_EASE, skirt::fit_of(s.style().fit).map(|[_, hip]| hip));
    let let_out_mm = fitting::let_out(s);
    let also = s.and_cloth(1.0) + &fitting::also(s, let_out_mm);
    let words = format!("hip {} / 4 + {}{also}", s.show(hip_mm), s.show(ease_mm));
    let hip_x = s.step("quarter hip", words, hip_mm / 4.0 + ease_mm + s.cloth_ease() + let_out_mm);
    let (depth_mm, whence) = match s.order.body.get(Measure::HipDepth) {
        Some(measured) => (measured, "as measured"),
        None => (s.rule(&HIP_DEPTH), "set"),
    };
    let hip_y = s.step("hip line", format!("hip depth, {whence}"), depth_mm);
    let hip_y = fitting::hip_line(s, hip_y);
    if hip_y <= 0.0 {
        let says = format!("the hip line, {} above the waist, can't be drawn", s.show(-hip_y));
        return Err(Refusal::because(fault("fitting.high_hip", says, "measure hip_depth and high_hip again")));
    }
    let raise_mm = match s.style().waist {
        WaistEdge::Band => s.set("waist at the side", "raised, set", &WAIST_RAISE),
        WaistEdge::Casing => 0.0,
    };
    let (length_mm, flare_mm) = (s.length_mm(), s.rule(&HEM_FLARE));
    let words = format!("quarter hip {} + {}", s.show(hip_x), s.show(flare_mm));
    let hem_x = s.step("hem half width", words, hip_x + flare_mm);
    if length_mm <= hip_y {
        let (length, hip) = (s.show(length_mm), s.show(hip_y));
        let says = format!("a skirt {length} long ends above the hip at {hip}");
        return Err(Refusal::because(fault("garment.length", says, "measure from the waist to the hem")));
    }
    // The side is square to the hem: as far as it leans out, so much is the hem raised.
    let lean = (hem_x - hip_x) / (length_mm - hip_y);
    let words = format!("hem half width {} x flare {lean:.3} / 2", s.show(hem_x));
    let lift_mm = s.step("hem raise", words, hem_x * lean / 2.0);
    let hem_y = length_mm - lift_mm;
    if hem_y <= hip_y {
        let says = format!("a hem {} wide is raised above the hip at the side", s.show(hem_x));
        return Err(Refusal::because(fault("rules.hem_flare", says, "make hem_flare smaller, or the skirt longer")));
    }
    Ok(Levels { waist: at(waist_x, -raise_mm), hip: at(hip_x, hip_y), hem: at(hem_x, hem_y) })
}

/// Front or back, by where its centre begins and ends.
fn piece(
    sheet: &Sheet<'_>,
    name: &'static str,
    (levels, side): (&Levels, &Curve<Frame>),
    [head_mm, foot_mm]: [f64; 2],
) -> SewnPiece {
    let (head, foot): (Point<Frame>, _) = (at(0.0, head_mm), at(0.0, foot_mm));
    let waist_end = Vector::new(-1.0, 0.0);
    let down = side.start_direction();
    let out = Vector::new(-down.y, down.x);
    let waist = Curve::between((levels.waist, out), (head, waist_end), PARABOLA);
    let hip_mm = side.length_to_level(levels.hip.y).map_or(0.0, |mm| side.length_mm() - mm);
    let opens = name == "back" && skirt::opens_behind(sheet.style());
    let (middle, turning_mm) = if opens { (CENTRE_BACK, sheet.rule(&CENTRE_BACK_ALLOWANCE)) } else { ("fold", 0.0) };
    let edges = vec![
        SewnEdge::new(middle, Curve::line(head, foot), turning_mm),
        SewnEdge::new("hem", side::hem(foot, levels.hem, side.end_direction()), sheet.rule(&HEM_ALLOWANCE)),
        SewnEdge::new("side", side.reversed(), sheet.rule(&SIDE_ALLOWANCE)),
        SewnEdge::new("waist", waist, sheet.rule(&WAIST_ALLOWANCE)),
    ];
    let mut notches = vec![NotchPlace { edge: "side", along_mm: hip_mm, nicks: 1, meets: "hip" }];
    let piece = if opens {
        let along_mm = skirt::open_mm(sheet).min(foot_mm - head_mm);
        notches.push(NotchPlace { edge: middle, along_mm, nicks: 1, meets: "end of the opening" });
        SewnPiece::pair(name, edges)
    } else {
        let piece = SewnPiece::on_fold(name, edges);
        notches.push(skirt::centre_nick(&piece));
        piece
    };
    SewnPiece { levels_mm: vec![("hip", levels.hip.y)], notches, ..piece }
}

/// Ease at the hip line.
fn ease(sheet: &Sheet<'_>, pieces: &[SewnPiece], hip_y_mm: f64) -> Check {
    let girth_mm = 2.0 * pieces.iter().filter_map(|piece| piece.width_mm(hip_y_mm)).sum::<f64>();
    let (measure, least_mm) = (Measure::Hip, sheet.rule(&LEAST_HIP_EASE));
    let girths_mm = [sheet.body_mm(measure), girth_mm];
    let ease = Ease { name: "ease at hip", measure, worn: "skirt", girths_mm, least_mm };
    ease.check(sheet.order.system, |more| format!("give {more} more in each quarter (hip_ease)"))
}
