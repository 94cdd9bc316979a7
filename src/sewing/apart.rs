//! What is made up by itself: darts, pockets, belts and ties, bias strip out of its square, and a waist's band or casing when
//! it is sewn on.

use super::{How, Step, pause};
use crate::finish::Piece;
use crate::geometry::{Draft as Frame, Point};
use crate::units::System;

/// The steps of the pieces that are made up by themselves.
pub fn made_up(pieces: &[&Piece]) -> Vec<Step> {
    pieces.iter().filter_map(|piece| darts(piece)).chain(pieces.iter().filter_map(|piece| step(piece))).collect()
}

/// What the legs of a dart are called.
const DART: &str = "dart";

/// The square that bias strip is cut from.
const BIAS: &str = "bias square";

/// The legs of a piece's dart, each from the seam to the point.
fn legs<'p>(piece: &'p Piece) -> impl Iterator<Item = &'p [Point<Frame>; 2]> + use<'p> {
    piece.marks.iter().filter(|(name, _)| *name == DART).map(|(_, ends)| ends)
}

/// The darts of a piece; none where it has none.
fn darts(piece: &Piece) -> Option<Step> {
    let [from, to] = legs(piece).next()?;
    let times = piece.count * if piece.on_fold { 2 } else { 1 };
    Some(Step { times, length_mm: (*to - *from).length(), ..pause(DART, How::Make, vec![piece.name], 0.0) })
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
        // Two layers on one another, sewn along the top and both ends.
        "collar" => {
            let ((top_mm, turning_mm), (end_mm, _)) = (of("top")?, of("end")?);
            ((2.0 * (top_mm + end_mm), turning_mm), 1)
        }
        // The halves to a parallelogram, and that to a tube.
        BIAS => ((of("left")?.0, piece.strip?.seam_mm), 2),
        "belt" | "tie" => (of("left")?, piece.count),
        // One long edge is sewn to the waist, the other is stitched down over that seam.
        "waistband" | "casing" => (of("right")?, piece.count),
        _ => return None,
    };
    Some(Step { times, length_mm, ..pause(piece.name, How::Make, vec![piece.name], turning_mm) })
}

/// What is done with it.
pub fn says(step: &Step, pieces: &[&Piece], system: System, of: &str) -> String {
    let turning = system.show(step.turning_mm);
    let patch = pieces.iter().any(|piece| piece.name == step.name && piece.on_fold);
    match step.name {
        DART => {
            let ends = |piece: &Piece| legs(piece).map(|leg| leg[0]).collect::<Vec<_>>();
            let darted = pieces.iter().find(|piece| step.pieces.contains(&piece.name)).map(|piece| ends(piece));
            let width_mm = darted.filter(|ends| ends.len() > 1).map_or(0.0, |ends| (ends[1] - ends[0]).length());
            format!(
                "lay leg on leg, right sides facing, and sew from the nicks, where the dart is {} wide, to its chalked point, \
                 running out to nothing there: {of}; tie the threads, and press the dart down",
                system.show(width_mm)
            )
        }
        BIAS => bias(pieces, (system, &turning, of)),
        "pocket" if patch => {
            format!(
                "turn the head of each pocket in, press {turning} under all round, and stitch it on the front, head to the \
                 chalked line: {of}"
            )
        }
        "pocket" => format!(
            "sew a bag to each side edge of front and back between the pocket's notches; when the sides are sewn, which \
             leaves them open there, sew the bags together, {turning} from the edge: {of}"
        ),
        "collar" => format!(
            "lay the two collars on one another, right sides facing, and an interlining on them; sew ends and top, {turning} \
             from the edge: {of}; clip, turn and press. When the outer one is sewn to the neck, turn the inner one's edge in \
             and stitch it down over that seam"
        ),
        "waistband" | "casing" => at_waist(step.name, &turning, of),
        name => format!(
            "fold the {name} along its middle, right sides facing, sew {turning} from the edge, {} and press: {of}{}",
            if name == "tie" { "turn it through its raw end" } else { "leave a gap, turn" },
            match name {
                "tie" if step.inside =>
                    "; when the sides are stitched, sew its end, turned in, on their line at the waist",
                "tie" => "; its raw end is caught in the side seam",
                _ => "",
            }
        ),
    }
}

/// How a band or a casing is closed when it is sewn to the waist (common practice, no source).
fn at_waist(name: &str, turning: &str, of: &str) -> String {
    let down = format!("turn its free edge in by {turning} and stitch it down over the seam at the waist: {of}");
    match name {
        "casing" => format!(
            "fold the casing along its middle to the inside, {down}, but for a gap; draw elastic as long as the waist through \
             it, try the skirt on, sew the ends of the elastic together and close the gap"
        ),
        _ => format!(
            "fold the waistband along its middle, right sides facing, and sew its ends, {turning} from the edge; turn it, \
             {down}; close it where it laps with hook and eye, or with a button and its hole"
        ),
    }
}

/// How a square becomes one strip.
fn bias(pieces: &[&Piece], (system, turning, of): (System, &str, &str)) -> String {
    let Some(strip) = pieces.iter().find_map(|piece| piece.strip) else { return String::new() };
    let (width, length, rows) = (system.show(strip.width_mm), system.show(strip.length_mm), strip.rows);
    format!(
        "cut the square along its diagonal; lay its halves on one another, right sides facing, one straight edge of either to \
         that of the other, and sew them {turning} from the edge to a parallelogram: {of}; press the seam open and rule {rows} \
         rows, each {width} wide, along the long bias edges; lay the two straight edges on one another, right sides facing, \
         shifted by one row, and sew them to a tube likewise; cut round and round along the line: one strip, of which {length} \
         are needed"
    )
}
