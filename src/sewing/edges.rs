//! What an edge is to be sewn to, by its name, and how often and how long it is on the whole garment.

use crate::finish::{Edge, Piece};

/// An edge that leans this far off the grain beside a hem drops when it is worn (common practice, no source).
const LEANS_DEG: f64 = 10.0;

/// What becomes of an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Sewn to its like.
    Seam,
    /// Left open: faced, bound, turned in, or something is set into it.
    Opening,
    /// Set into an opening: a sleeve's crown.
    SetIn,
    /// Turned up.
    Hem,
    /// Nothing is sewn there.
    Free,
}

/// One edge of a piece as it is on the whole garment.
#[derive(Clone, Copy, Debug)]
pub struct Run<'p> {
    /// Its piece.
    pub piece: &'p Piece,
    /// Its name, without front or back.
    pub name: &'static str,
    /// What becomes of it.
    pub role: Role,
    /// How often it is there: twice for left and right.
    pub times: u32,
    /// Sewn length of one.
    pub length_mm: f64,
    /// By how much its raw edge is longer, where it bends: the turning times the angle that it turns by.
    pub spread_mm: f64,
    /// Its turning.
    pub turning_mm: f64,
}

impl Run<'_> {
    /// Whether both are edges of one name on pieces of one family.
    pub fn is_with(&self, other: &Self) -> bool {
        self.name == other.name && family(self.piece.name) == family(other.piece.name)
    }

    /// Whether the other is sewn on here: a facing's edge of the same name, or a crown into an armhole.
    pub fn takes(&self, other: &Self) -> bool {
        let apart = family(self.piece.name) != family(other.piece.name);
        apart && (self.name == other.name || (self.name == "armhole" && other.role == Role::SetIn))
    }

    /// Whether it is a facing's.
    pub fn is_facing(&self) -> bool {
        self.piece.name.contains("facing")
    }
}

/// The edges of a piece but for its fold.
pub fn runs(piece: &Piece) -> impl Iterator<Item = Run<'_>> {
    piece.edges.iter().enumerate().filter(|(_, edge)| edge.name != "fold").map(|(i, edge)| {
        // Both halves of an edge that begins or ends at the fold are one run.
        let whole = piece.on_fold && beside(piece, i).iter().any(|edge| edge.name == "fold");
        let halves = if whole { 2.0 } else { 1.0 };
        let name = family(edge.name);
        Run {
            piece,
            name,
            role: role(name),
            times: piece.count * if piece.on_fold && !whole { 2 } else { 1 },
            length_mm: halves * edge.length_mm,
            spread_mm: halves * edge.allowance_mm * turned_rad(edge),
            turning_mm: edge.allowance_mm,
        }
    })
}

/// Whether an edge beside the hem leans off the grain.
pub fn leans(piece: &Piece) -> bool {
    piece.edges.iter().enumerate().filter(|(_, edge)| role(edge.name) == Role::Hem).any(|(i, _)| {
        let [before, after] = beside(piece, i);
        let at_hem = [(before, before.sewn.end_direction()), (after, after.sewn.start_direction())];
        at_hem.into_iter().any(|(edge, along)| {
            role(edge.name) == Role::Seam && along.x.abs().atan2(along.y.abs()).to_degrees() > LEANS_DEG
        })
    })
}

/// By how much an edge turns to the left from its start to its end; the outside is to its right (y down).
fn turned_rad(edge: &Edge) -> f64 {
    let (start, end) = (edge.sewn.start_direction(), edge.sewn.end_direction());
    (-start.cross(end)).atan2(start.dot(end))
}

/// The edges before and after the one at `i`.
fn beside(piece: &Piece, i: usize) -> [&Edge; 2] {
    let n = piece.edges.len();
    [&piece.edges[(i + n - 1) % n], &piece.edges[(i + 1) % n]]
}

/// A name without front and back: what is left is common to those that belong together.
fn family(name: &'static str) -> &'static str {
    ["front", "back"].iter().find_map(|half| name.strip_prefix(half)).map_or(name, str::trim_start)
}

fn role(name: &str) -> Role {
    match name {
        "hem" | "wrist" => Role::Hem,
        "neck" | "armhole" | "waist" | "slit" => Role::Opening,
        "crown" => Role::SetIn,
        "fold" | "free" => Role::Free,
        _ => Role::Seam,
    }
}
