//! The sentence of each step, with its numbers.

use super::{CENTRE_BACK, How, Step, apart, is_of_all_edges};
use crate::finish::Piece;
use crate::units::System;

/// The edge of a slit.
const SLIT: &str = "slit";

/// Less than this is not worth a word about holding in.
const HELD_IN_MM: f64 = 3.0;

/// What to do in a step.
pub fn says(step: &Step, pieces: &[&Piece], system: System) -> String {
    let show = |mm: f64| system.show(mm);
    let names = match &step.pieces[..] {
        [one] if step.how == How::Join => format!("the edges of the {one}"),
        several => several.join(" and "),
    };
    let of = if step.times > 1 { format!("{} of {}", step.times, show(step.length_mm)) } else { show(step.length_mm) };
    let (turning, one) = (show(step.turning_mm), step.pieces.len() == 1);
    match step.how {
        How::Join if step.inside => format!(
            "finish or hem the outer edges first; then lay {names} on one another, wrong sides facing, and stitch through \
             both along the chalked line, {turning} from the edge: {of}; what lies outside of it hangs free"
        ),
        How::Join => format!(
            "sew {names} together, right sides facing, {turning} from the edge: {of}{}{}{}{}{}",
            left_open(step, system),
            in_one_line(step, pieces),
            held_in(step, system, "longer side"),
            lapped(step, system),
            meeting(step, pieces)
        ),
        How::Open => format!("put the zip into what was left open, from the top down: {of}"),
        How::Make => apart::says(step, pieces, system, &of),
        How::Face if step.name == "armhole" && pieces.iter().any(|piece| is_of_all_edges(piece)) => format!(
            "with the sides still open, roll the other half up to this armhole, bring garment and facing round the roll, right \
             sides facing, and sew them {turning} from the edge: {of}; clip the curve, draw the roll out through the \
             shoulder, then the other armhole likewise"
        ),
        How::Face if step.name == SLIT => format!(
            "stitch on round the chalked slit, a narrow turning beside it at the neck and running out to nothing at its end: \
             {of}; cut both layers open between the stitches, up to the last of them, and turn the facing in"
        ),
        How::Face => format!(
            "sew the facing on, right sides facing, {turning} from the edge: {of}; clip the curve and turn{}",
            ends(step, pieces)
        ),
        How::Bind => {
            format!("bind with bias strip, which encloses the edge: {of}, and what its ends take{}", ends(step, pieces))
        }
        How::TurnIn => format!("turn in {turning} and stitch: {of}{}", ends(step, pieces)),
        How::Fit if step.inside => {
            "tack the sides along their chalked lines and try it on before they are stitched".to_owned()
        }
        How::Fit => format!(
            "tack the sides and try it on before they are sewn; the turning of {turning} is there to let out, so trim \
             nothing yet"
        ),
        How::Hang => format!(
            "hang it up as it is worn overnight, and two to three days where it is cut on the bias: {names} {} off the \
             grain and {}; then level the hem from the floor",
            if one { "leans" } else { "lean" },
            if one { "drops" } else { "drop" }
        ),
        How::Hem => format!("turn up {turning}: {of}{}", held_in(step, system, "raw edge")),
    }
}

/// What is longer and must be held in.
fn held_in(step: &Step, system: System, what: &str) -> String {
    if step.held_in_mm < HELD_IN_MM {
        return String::new();
    }
    let how = if step.gathered { "gathered" } else { "eased in" };
    format!("; its {what} is {} longer, to be {how}", system.show(step.held_in_mm))
}

/// What is left open at the top.
fn left_open(step: &Step, system: System) -> String {
    let open = system.show(step.open_mm);
    match step.times {
        _ if step.open_mm <= 0.0 => String::new(),
        1 => format!(", below the {open} at the top that stay open"),
        _ => format!("; {open} at the top of the left one stay open"),
    }
}

/// What stands over.
fn lapped(step: &Step, system: System) -> String {
    if step.lap_mm <= 0.0 {
        return String::new();
    }
    format!("; {} of the {} stand over, to lap", system.show(step.lap_mm), step.pieces[0])
}

/// What becomes of the ends where a neck begins, at a slit that was bound before it or at an opening; nothing elsewhere.
fn ends(step: &Step, pieces: &[&Piece]) -> &'static str {
    let has = |edge: &str| pieces.iter().any(|piece| step.pieces.contains(&piece.name) && piece.edge(edge).is_some());
    match step.how {
        _ if step.name != "neck" => "",
        How::Face if has(CENTRE_BACK) => "; at the opening turn its ends in, and sew them to the tape of the zip",
        How::Bind if has(SLIT) && has(CENTRE_BACK) => {
            "; at the slit enclose the ends of its binding too, and turn the strip's own in, there and at the opening"
        }
        How::Bind if has(SLIT) => "; at the slit enclose the ends of its binding too, and turn the strip's own in",
        How::Bind if has(CENTRE_BACK) => "; at the opening turn the strip's ends in",
        How::TurnIn if has(SLIT) => "; at the slit turn the ends of its binding in too",
        _ => "",
    }
}

/// The sides of facings that are sewn on from the dress's own; nothing elsewhere.
fn in_one_line(step: &Step, pieces: &[&Piece]) -> &'static str {
    let in_one = step.name == "side" && step.is_of_facings() && pieces.iter().any(|piece| is_of_all_edges(piece));
    if in_one { ", in one line with the side of the garment" } else { "" }
}

/// The notches that meet in a seam.
fn meeting(step: &Step, pieces: &[&Piece]) -> String {
    let sewn: Vec<&Piece> = pieces.iter().copied().filter(|piece| step.pieces.contains(&piece.name)).collect();
    let notches: Vec<_> = sewn.iter().flat_map(|piece| &piece.notches).collect();
    // A piece that has no edge of that name, a sleeve at the armhole or a band at the waist, says by a notch of its own which
    // one it meets.
    let on_edge = |meets: &str| notches.iter().any(|notch| notch.edge == step.name && notch.meets == meets);
    let answered = sewn.iter().all(|piece| {
        let answers = |meets: &str| meets.contains(step.name) || on_edge(meets);
        piece.edge(step.name).is_some() || piece.notches.iter().any(|notch| answers(notch.meets))
    });
    let of_seam = notches.iter().filter(|notch| answered && notch.edge == step.name && notch.meets != "dart");
    let mut meet: Vec<&str> = of_seam.map(|notch| notch.meets).collect();
    meet.sort_unstable();
    meet.dedup();
    let at_top = notches.iter().any(|notch| notch.edge.ends_with("crown") && notch.meets == "shoulder seam");
    let both = if meet.is_empty() { String::new() } else { format!("; the notches meet at {}", meet.join(" and ")) };
    let top = if step.name == "armhole" && at_top { "; the notch of the crown meets the shoulder seam" } else { "" };
    let quarters = if step.gathered && notches.iter().any(|notch| notch.meets.starts_with("quarter")) {
        "; quarter meets quarter, at its nick or seam, and the gathers are spread alike between them"
    } else {
        ""
    };
    format!("{both}{top}{quarters}")
}
