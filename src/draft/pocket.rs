//! Pockets: bags in the side seams, or patches on the front.
//!
//! Common practice, no source; the opening is that of a hand and its ease.

use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::sheet::Sheet;
use super::trial::NOISE_MM;
use super::{Check, NotchPlace, SewnEdge, SewnPiece, at, fault, passed};
use crate::geometry::{Curve, QUARTER_ELLIPSE, Vector};
use crate::order::{Measure, Pockets};
use crate::remark::{Refusal, Weight};

const POCKET_BELOW: Rule = Rule::inches("pocket_below", "top of a pocket below the waist", 3.5, [0.0, 12.0]);
const POCKET_OPENING: Rule =
    Rule::inches("pocket_opening", "opening of a pocket, where no hand was measured", 6.0, [3.0, 12.0]);
const POCKET_DEPTH: Rule = Rule::inches("pocket_depth", "depth of a pocket", 10.5, [3.0, 18.0]);
const POCKET_WIDTH: Rule = Rule::inches("pocket_width", "width of a pocket", 6.75, [3.0, 14.0]);
const POCKET_ALLOWANCE: Rule = Rule::inches("pocket_allowance", "turning round a pocket", 0.5, [0.0, 2.0]);
const HAND_ROOM: Rule = Rule::inches("hand_room", "opening of a pocket beyond half the hand", 1.0, [0.0, 4.0]);

const POCKET_ASIDE: Rule =
    Rule::inches("pocket_aside", "from the centre to the near edge of a patch pocket", 2.5, [0.0, 12.0]);

/// House rules of pockets.
pub const RULES: Group = Group {
    rules: &[
        &POCKET_BELOW,
        &POCKET_OPENING,
        &POCKET_DEPTH,
        &POCKET_WIDTH,
        &POCKET_ALLOWANCE,
        &HAND_ROOM,
        &POCKET_ASIDE,
    ],
    applies: |style| style.pockets != Pockets::None,
};

/// An opening may be this share of its bag's depth.
const MOST_OPEN: f64 = 0.7;

/// How far above the opening the bag begins, of what its depth leaves.
const ABOVE_SHARE: f64 = 0.15;

/// Drafts the pockets.
///
/// # Errors
/// When the side seam ends above the pocket, or the opening is longer than the bag is deep.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    match sheet.style().pockets {
        Pockets::None => Ok(()),
        Pockets::InSeam => in_seam(sheet, drafted),
        Pockets::Patch => {
            let size_mm = [sheet.rule(&POCKET_WIDTH), sheet.rule(&POCKET_DEPTH).min(sheet.rule(&POCKET_WIDTH) * 1.1)];
            sheet.step("patch pocket", "its depth as set, no more than 1.1 x its width".into(), size_mm[1]);
            drafted.pieces.push(patch(size_mm, sheet.rule(&POCKET_ALLOWANCE)));
            let check = place(sheet, &mut drafted.pieces[0], size_mm);
            drafted.checks.push(check);
            Ok(())
        }
    }
}

fn in_seam(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    let opening_mm = match sheet.order.body.get(Measure::Hand) {
        Some(hand_mm) => {
            let room_mm = sheet.rule(&HAND_ROOM);
            let words = format!("hand {} / 2 + {}", sheet.show(hand_mm), sheet.show(room_mm));
            sheet.step("pocket opening", words, hand_mm / 2.0 + room_mm)
        }
        None => sheet.set("pocket opening", "set", &POCKET_OPENING),
    };
    let waist_mm = drafted.pieces[0].level_mm("waist").unwrap_or(0.0);
    let below_mm = sheet.rule(&POCKET_BELOW);
    let words = format!("waist {} + {}", sheet.show(waist_mm), sheet.show(below_mm));
    let top_mm = sheet.step("top of the pocket", words, waist_mm + below_mm);
    if opening_mm > MOST_OPEN * sheet.rule(&POCKET_DEPTH) {
        let (opening, depth) = (sheet.show(opening_mm), sheet.show(sheet.rule(&POCKET_DEPTH)));
        let says = format!("a pocket {depth} deep can't have an opening of {opening}");
        return Err(Refusal::because(fault("rules.pocket_depth", says, "make pocket_depth larger")));
    }
    let mut up_mm = f64::INFINITY;
    for i in 0..2 {
        let own_mm = drafted.pieces[i].level_mm("waist").map_or(top_mm, |waist_mm| waist_mm + below_mm);
        let Some(ends) = on_side(&drafted.pieces[i], [own_mm, opening_mm]) else {
            let says = format!("the side seam ends above the end of a pocket {} down", sheet.show(top_mm + opening_mm));
            let remedy = "make the garment longer, make pocket_below smaller, or write pockets = \"patch\"";
            return Err(Refusal::because(fault("garment.pockets", says, remedy)));
        };
        let notch = |along_mm, meets| NotchPlace { edge: "side", along_mm, nicks: 1, meets };
        let notches = [notch(ends[0], "top of the pocket"), notch(ends[1], "end of the pocket's opening")];
        drafted.pieces[i].notches.extend(notches);
        up_mm = up_mm.min(ends[0]);
    }
    let depth_mm = bag_depth(sheet, drafted, [up_mm, opening_mm]);
    let hem = above_hem(sheet, drafted, up_mm, [depth_mm, opening_mm]);
    drafted.checks.push(hem);
    for seam in drafted.seams.iter_mut().filter(|seam| seam.name == "side") {
        seam.pocket_mm = opening_mm;
    }
    let side_mm = drafted.pieces[0].edge("side").map_or(0.0, |side| side.allowance_mm);
    let bag = bag([depth_mm, sheet.rule(&POCKET_WIDTH), opening_mm], [side_mm, sheet.rule(&POCKET_ALLOWANCE)]);
    drafted.pieces.push(bag);
    Ok(())
}

/// A patch lies no nearer to the centre than this, and as far off the side, so that both can be sewn past it.
const LEAST_ASIDE_MM: f64 = 12.7;
const CLEAR_MM: f64 = 12.7;

/// From the centre to the near edge of a patch: the house's, or nearer where the side would be in its way.
fn aside(sheet: &mut Sheet<'_>, room_mm: f64, width_mm: f64) -> f64 {
    let left_mm = room_mm - CLEAR_MM - width_mm;
    match sheet.given(&POCKET_ASIDE) {
        None if sheet.rule(&POCKET_ASIDE) + width_mm > room_mm => {
            let [room, clear, width] = [room_mm, CLEAR_MM, width_mm].map(|mm| sheet.show(mm));
            sheet.step(
                "pocket from the centre",
                format!("to the side {room} - {clear} clear of it - pocket {width}"),
                left_mm,
            )
        }
        _ => sheet.set("pocket from the centre", "set", &POCKET_ASIDE),
    }
}

/// Marks where a patch goes on its ground: the line of its head, and a short line down from either end.
fn place(sheet: &mut Sheet<'_>, ground: &mut SewnPiece, [width_mm, depth_mm]: [f64; 2]) -> Check {
    /// Length of the line down from a corner.
    const CORNER_MM: f64 = 20.0;
    let name = "pocket on the front";
    let waist_mm = ground.level_mm("waist").unwrap_or(0.0);
    let below_mm = sheet.rule(&POCKET_BELOW);
    let words = format!("waist {} + {}", sheet.show(waist_mm), sheet.show(below_mm));
    let head_mm = sheet.step("head of the pocket", words, waist_mm + below_mm);
    let no =
        |says: String, remedy: String| Check { name, ok: false, severity: Weight::Doubt, says, remedy: Some(remedy) };
    let [Some(at_head_mm), Some(at_foot_mm)] = [head_mm, head_mm + depth_mm].map(|y_mm| ground.width_mm(y_mm)) else {
        let says = format!("the side ends above the foot of a pocket, {} down", sheet.show(head_mm + depth_mm));
        return no(says, "make the garment longer, or pocket_below or pocket_depth smaller".to_owned());
    };
    let room_mm = at_head_mm.min(at_foot_mm);
    let near_mm = aside(sheet, room_mm, width_mm);
    let far_mm = near_mm + width_mm;
    let far = sheet.show(far_mm);
    if near_mm < LEAST_ASIDE_MM.min(sheet.rule(&POCKET_ASIDE)) || far_mm > room_mm {
        let [width, room] = [width_mm, room_mm].map(|mm| sheet.show(mm));
        let says =
            format!("a pocket {width} wide has no room between the centre and the side, which is {room} away there");
        let most = sheet.show(room_mm - LEAST_ASIDE_MM - CLEAR_MM);
        return no(says, format!("make it {most} wide at most (pocket_width), or set it lower (pocket_below)"));
    }
    let [near, outer] = [near_mm, far_mm].map(|x_mm| at(x_mm, head_mm));
    let down = Vector::new(0.0, CORNER_MM.min(depth_mm / 2.0));
    ground.marks.push(("pocket", [near, outer]));
    ground.marks.extend([near, outer].map(|corner| ("pocket", [corner, corner + down])));
    passed(
        name,
        format!(
            "the pocket's head lies {} below the waist, from {} to {far} beside the centre",
            sheet.show(below_mm),
            sheet.show(near_mm)
        ),
    )
}

/// Where on the side seam, from the hem up, a pocket's opening begins and ends.
fn on_side(piece: &SewnPiece, [top_mm, opening_mm]: [f64; 2]) -> Option<[f64; 2]> {
    let top = piece.edge("side")?.curve.length_to_level(top_mm)?;
    (top > opening_mm).then_some([top, top - opening_mm])
}

/// The depth of the bag of a pocket `up_mm` above the hem: the house's, or less where it would reach below the hem and a
/// shallower one leaves its opening room.
fn bag_depth(sheet: &mut Sheet<'_>, drafted: &Drafted, [up_mm, opening_mm]: [f64; 2]) -> f64 {
    let house_mm = sheet.rule(&POCKET_DEPTH);
    let most_mm = (room_mm(drafted, up_mm) - CLEAR_MM - ABOVE_SHARE * opening_mm) / (1.0 - ABOVE_SHARE);
    let is_shallower = sheet.given(&POCKET_DEPTH).is_none() && most_mm < house_mm && opening_mm <= MOST_OPEN * most_mm;
    if !is_shallower {
        return house_mm;
    }
    let words = format!("as deep as leaves the hem {} clear", sheet.show(CLEAR_MM));
    sheet.step("depth of the pocket", words, most_mm)
}

/// From the top of a pocket's opening, `up_mm` above the hem along the side, down to the hem.
fn room_mm(drafted: &Drafted, up_mm: f64) -> f64 {
    let side = drafted.pieces[0].edge("side").map(|side| &side.curve);
    side.map_or(0.0, |side| side.start().y - side.at_length(up_mm).0.y)
}

/// Whether the bag of a pocket `up_mm` above the hem, along the side, hangs clear of it.
fn above_hem(sheet: &Sheet<'_>, drafted: &Drafted, up_mm: f64, [depth_mm, opening_mm]: [f64; 2]) -> Check {
    let name = "pocket above the hem";
    let under_mm = depth_mm - ABOVE_SHARE * (depth_mm - opening_mm) - room_mm(drafted, up_mm);
    if under_mm <= NOISE_MM {
        return passed(name, format!("its bag ends {} above the finished hem", sheet.show(-under_mm)));
    }
    let system = sheet.order.system;
    let below_mm = system.at_most_mm(sheet.rule(&POCKET_BELOW) - under_mm);
    let shallow_mm = system.at_most_mm(depth_mm - under_mm / (1.0 - ABOVE_SHARE));
    let higher = POCKET_BELOW
        .takes(below_mm)
        .then(|| format!("set the pocket higher: pocket_below {} at most", system.show(below_mm)));
    let shallower = (POCKET_DEPTH.takes(shallow_mm) && opening_mm <= MOST_OPEN * shallow_mm)
        .then(|| format!("make its bag shallower: pocket_depth {} at most", system.show(shallow_mm)));
    let under = system.show_at_least(under_mm);
    let longer = format!("make the garment {under} longer");
    let ways: Vec<String> = [longer].into_iter().chain(higher).chain(shallower).collect();
    let says = format!("the bag of a pocket reaches {under} below the finished hem");
    Check { name, ok: false, severity: Weight::Doubt, says, remedy: Some(ways.join(", or ")) }
}

/// The bag: straight at the side seam, where it is open, and round at its foot. Two for each side.
fn bag([depth_mm, width_mm, opening_mm]: [f64; 3], [side_mm, round_mm]: [f64; 2]) -> SewnPiece {
    let above_mm = ABOVE_SHARE * (depth_mm - opening_mm);
    let (head, top) = (at(0.0, 0.0), at(width_mm * 0.6, 0.0));
    let (foot, out) = (at(0.0, depth_mm * 0.8), at(width_mm, depth_mm * 0.6));
    let (left, low) = (at(width_mm * 0.3, depth_mm), at(width_mm * 0.6, depth_mm));
    let (down, right, up, back) =
        (Vector::new(0.0, 1.0), Vector::new(1.0, 0.0), Vector::new(0.0, -1.0), Vector::new(-1.0, 0.0));
    let under = Curve::between((foot, down), (left, right), QUARTER_ELLIPSE).then(Curve::line(left, low));
    let around = Curve::between((low, right), (out, up), QUARTER_ELLIPSE).then(Curve::between(
        (out, up),
        (top, back),
        QUARTER_ELLIPSE,
    ));
    let edges = vec![
        SewnEdge::new("side", Curve::line(head, foot), side_mm),
        SewnEdge::new("round", under.then(around), round_mm),
        SewnEdge::new("head", Curve::line(top, head), round_mm),
    ];
    let notch = |along_mm, meets| NotchPlace { edge: "side", along_mm, nicks: 1, meets };
    let notches =
        vec![notch(above_mm, "top of the pocket"), notch(above_mm + opening_mm, "end of the pocket's opening")];
    SewnPiece { count: 4, notches, ..SewnPiece::pair("pocket", edges) }
}

/// A patch with its lower corners rounded, drawn by its half on the fold.
fn patch([width_mm, depth_mm]: [f64; 2], turning_mm: f64) -> SewnPiece {
    /// Radius of the lower corners, of the width.
    const CORNER_SHARE: f64 = 0.18;
    let (half, radius) = (width_mm / 2.0, width_mm * CORNER_SHARE);
    let [right, up] = [Vector::new(1.0, 0.0), Vector::new(0.0, -1.0)];
    let corner =
        Curve::between((at(half - radius, depth_mm), right), (at(half, depth_mm - radius), up), QUARTER_ELLIPSE);
    let edges = vec![
        SewnEdge::new("fold", Curve::line(at(0.0, 0.0), at(0.0, depth_mm)), 0.0),
        SewnEdge::new(
            "round",
            Curve::line(at(0.0, depth_mm), corner.start())
                .then(corner.clone())
                .then(Curve::line(corner.end(), at(half, 0.0))),
            turning_mm,
        ),
        SewnEdge::new("head", Curve::line(at(half, 0.0), at(0.0, 0.0)), 2.0 * turning_mm),
    ];
    SewnPiece { count: 2, ..SewnPiece::on_fold("pocket", edges) }
}
