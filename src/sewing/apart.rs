//! What is made up by itself: pockets, belts and ties.

use super::{How, Step, pause};
use crate::finish::Piece;

/// The steps of the pieces that are made up by themselves.
pub fn made_up(pieces: &[&Piece]) -> Vec<Step> {
    pieces.iter().filter_map(|piece| step(piece)).collect()
}

/// The step of a piece; none where it is sewn into the garment by its seams.
fn step(piece: &Piece) -> Option<Step> {
    let of = |name: &str| piece.edge(name).map(|edge| (edge.length_mm, edge.allowance_mm));
    let ((length_mm, turning_mm), times) = match piece.name {
        // A patch is sewn on by its halves; two bags are sewn together.
        "pocket" if piece.on_fold => {
            (of("round").map(|(half_mm, turning_mm)| (2.0 * half_mm, turning_mm))?, piece.count)
        }
        "pocket" => (of("round")?, piece.count / 2),
        "belt" | "tie" => (of("left")?, piece.count),
        _ => return None,
    };
    Some(Step { times, length_mm, ..pause(piece.name, How::Make, vec![piece.name], turning_mm) })
}

/// What is done with it.
pub fn says(step: &Step, pieces: &[&Piece], turning: &str, of: &str) -> String {
    let patch = pieces.iter().any(|piece| piece.name == step.name && piece.on_fold);
    match step.name {
        "pocket" if patch => {
            format!(
                "turn the head of each pocket in, press {turning} under all round, and stitch it on the front: {of}"
            )
        }
        "pocket" => format!(
            "sew a bag to each side edge of front and back between the pocket's notches; when the sides are sewn, which \
             leaves them open there, sew the bags together, {turning} from the edge: {of}"
        ),
        name => format!(
            "fold the {name} along its middle, right sides facing, sew {turning} from the edge, leave a gap, turn and \
             press: {of}{}",
            if name == "tie" { "; its raw end is caught in the side seam" } else { "" }
        ),
    }
}
