//! The sentence of each step, with its numbers.

use super::{How, Step};
use crate::finish::Piece;
use crate::units::System;

/// Less than this is not worth a word about holding in.
const HELD_IN_MM: f64 = 3.0;

/// What to do in a step.
pub fn says(step: &Step, pieces: &[&Piece], system: System) -> String {
    let show = |mm: f64| system.show(mm);
    let names = step.pieces.join(" and ");
    let of = if step.times > 1 { format!("{} of {}", step.times, show(step.length_mm)) } else { show(step.length_mm) };
    let turning = show(step.turning_mm);
    match step.how {
        How::Join => format!(
            "sew {names} together, right sides facing, {turning} from the edge: {of}{}{}",
            held_in(step, system, "longer side"),
            meeting(step, pieces)
        ),
        How::Face => {
            format!("sew the facing on, right sides facing, {turning} from the edge: {of}; clip the curve and turn")
        }
        How::Bind => format!("bind with bias strip, which encloses the edge: {of}, and what the join takes"),
        How::TurnIn => format!("turn in {turning} and stitch: {of}"),
        How::Fit => format!(
            "tack the sides and try it on before they are sewn; the turning of {turning} is there to let out, so trim \
             nothing yet"
        ),
        How::Hang => format!(
            "hang it up by the shoulders overnight, and two to three days where it is cut on the bias: {names} lean off \
             the grain and drop; then level the hem from the floor"
        ),
        How::Hem => format!("turn up {turning}: {of}{}", held_in(step, system, "raw edge")),
    }
}

/// What is longer and must be held in.
fn held_in(step: &Step, system: System, what: &str) -> String {
    if step.held_in_mm < HELD_IN_MM {
        return String::new();
    }
    format!("; its {what} is {} longer, to be eased in", system.show(step.held_in_mm))
}

/// The notches that meet in a seam.
fn meeting(step: &Step, pieces: &[&Piece]) -> String {
    let of_seam = pieces.iter().filter(|piece| step.pieces.contains(&piece.name)).flat_map(|piece| &piece.notches);
    let mut meet: Vec<&str> = of_seam.filter(|notch| notch.edge == step.name).map(|notch| notch.meets).collect();
    meet.sort_unstable();
    meet.dedup();
    if meet.is_empty() { String::new() } else { format!("; the notches meet at {}", meet.join(" and ")) }
}
