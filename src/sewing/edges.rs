//! What becomes of an edge, by its name, and how often and how long it is on the whole garment.

use std::f64::consts::FRAC_PI_4;

use crate::draft::{CENTRE_BACK, CENTRE_FRONT, Part, Seam};
use crate::finish::{Edge, Piece};

/// An edge that leans this far off the grain beside a hem drops when it is worn (common practice, no source).
const LEANS_DEG: f64 = 10.0;

/// What becomes of an edge that is in no seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Bound or turned in.
    Opening,
    /// Turned up.
    Hem,
    /// Nothing that is sewn, or a seam that the draft names.
    Other,
}

/// One edge of a piece, and how often it is on the whole garment.
#[derive(Clone, Copy, Debug)]
pub struct Run<'p> {
    /// Its piece.
    pub piece: &'p Piece,
    /// Its name on the piece.
    pub edge: &'static str,
    /// Its name, without front or back.
    pub name: &'static str,
    /// How often it is there, halves on the fold counted one by one.
    pub parts: u32,
    /// Whether it begins or ends at the fold, the centre seam or a slit there, so that two halves are one run.
    pub whole: bool,
    /// Its length as it is drawn.
    pub part_mm: f64,
    /// By how much the raw edge of a run, turned up, is longer than the line that it is sewn to, as far inside.
    pub spread_mm: f64,
    /// Its turning, or how far inside of the edge it lies.
    pub turning_mm: f64,
    /// Whether it is a marked line inside of the piece, and no edge.
    pub inside: bool,
}

impl Run<'_> {
    /// Whether a seam takes it.
    pub fn is_in(&self, seams: &[Seam]) -> bool {
        let is_it = |part: &Part| part.piece == self.piece.name && part.edge == self.edge;
        seams.iter().flat_map(|seam| seam.sides.iter().flatten()).any(is_it)
    }

    /// Whether its pieces are joined to one another, the last to the first, so that their edges are one run.
    pub fn is_of_ring(&self, seams: &[Seam]) -> bool {
        let is_own = |part: &Part| part.piece == self.piece.name;
        let rings = |seam: &Seam| seam.name == "panels" && seam.sides.iter().flatten().all(is_own);
        seams.iter().any(rings)
    }

    /// Whether both are one edge of one piece.
    pub fn is_same(&self, other: &Self) -> bool {
        (self.piece.name, self.edge) == (other.piece.name, other.edge)
    }

    /// Whether it is a facing's.
    pub fn is_facing(&self) -> bool {
        self.piece.name.contains("facing")
    }
}

/// The edges of a piece but for its fold.
pub fn runs(piece: &Piece) -> impl Iterator<Item = Run<'_>> {
    piece.edges.iter().enumerate().filter(|(_, edge)| edge.name != "fold").map(|(i, edge)| {
        let whole =
            beside(piece, i).iter().any(|edge| ["fold", CENTRE_FRONT, CENTRE_BACK, "slit"].contains(&edge.name));
        let halves = if whole { 2.0 } else { 1.0 };
        Run {
            piece,
            edge: edge.name,
            name: family(edge.name),
            parts: parts(piece),
            whole,
            part_mm: edge.length_mm,
            spread_mm: halves * spread_mm(edge, beside(piece, i)),
            turning_mm: edge.allowance_mm,
            inside: false,
        }
    })
}

/// How often the drawn part of a piece is on the garment.
fn parts(piece: &Piece) -> u32 {
    piece.count * if piece.on_fold { 2 } else { 1 }
}

/// The edge that a part of a seam is, with how often that side has it; none where the piece is not cut.
pub fn run_of<'p>(part: &Part, pieces: &[&'p Piece]) -> Option<(Run<'p>, u32)> {
    let piece = pieces.iter().find(|piece| piece.name == part.piece)?;
    let run = runs(piece).find(|run| run.edge == part.edge).or_else(|| marked(piece, part.edge))?;
    Some((run, part.times))
}

/// A marked line that is stitched along, as far inside of the finished edge as the piece goes on beside it.
fn marked<'p>(piece: &'p Piece, line: &'static str) -> Option<Run<'p>> {
    let ([from, to], turning_mm) = piece.stitched(line)?;
    Some(Run {
        piece,
        edge: line,
        name: line,
        parts: parts(piece),
        whole: false,
        part_mm: (to - from).length(),
        spread_mm: 0.0,
        turning_mm,
        inside: true,
    })
}

/// Whether an edge beside the hem leans off the grain, or the hem goes round so far that the cloth above it does.
pub fn leans(piece: &Piece) -> bool {
    piece.edges.iter().enumerate().filter(|(_, edge)| role(edge.name) == Role::Hem).any(|(i, hem)| {
        let [before, after] = beside(piece, i);
        let at_hem = [(before, before.sewn.end_direction()), (after, after.sewn.start_direction())];
        let off_grain = at_hem.into_iter().any(|(edge, along)| {
            role(edge.name) == Role::Other
                && edge.name != "fold"
                && along.x.abs().atan2(along.y.abs()).to_degrees() > LEANS_DEG
        });
        off_grain || turned_rad(hem).abs() > FRAC_PI_4
    })
}

/// By how much the raw edge of one drawn edge is longer than the line as far inside, which is shorter than the edge by the
/// turning times the angle that it bends by.
fn spread_mm(edge: &Edge, [before, after]: [&Edge; 2]) -> f64 {
    let cut_mm: f64 = edge.cut.windows(2).map(|side| (side[1] - side[0]).length()).sum();
    let raw_mm = cut_mm - before.allowance_mm - after.allowance_mm;
    raw_mm - (edge.length_mm - edge.allowance_mm * turned_rad(edge))
}

/// By how much an edge turns to the left from its start to its end, half a turn and more counted as such; the outside is to
/// its right (y down).
fn turned_rad(edge: &Edge) -> f64 {
    let corners = edge.sewn.corners();
    let sides = corners.windows(2).map(|side| side[1] - side[0]);
    let (start, end) = (edge.sewn.start_direction(), edge.sewn.end_direction());
    let ways: Vec<_> = [start].into_iter().chain(sides).chain([end]).collect();
    ways.windows(2).map(|way| (-way[0].cross(way[1])).atan2(way[0].dot(way[1]))).sum()
}

/// The edges before and after the one at `i`.
fn beside(piece: &Piece, i: usize) -> [&Edge; 2] {
    let n = piece.edges.len();
    [&piece.edges[(i + n - 1) % n], &piece.edges[(i + 1) % n]]
}

/// A name without front and back: what is left is common to those that belong together.
pub fn family(name: &'static str) -> &'static str {
    ["front ", "back "].iter().find_map(|half| name.strip_prefix(half)).unwrap_or(match name {
        "front" | "back" => "",
        other => other,
    })
}

/// What becomes of an edge of that name when it is in no seam.
pub fn role(name: &str) -> Role {
    match name {
        "hem" => Role::Hem,
        "neck" | "armhole" | "waist" | "slit" => Role::Opening,
        _ => Role::Other,
    }
}
