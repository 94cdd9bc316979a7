//! Seams: which edges are sewn together, and by how much one is longer to be eased or gathered in.

use super::{Check, SewnPiece};
use crate::remark::Weight;
use crate::units::System;

/// How far two seams that are sewn together may differ.
const SEAM_MM: f64 = 0.1;

/// Edges that are sewn together.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// What it is called: shoulder, side.
    pub name: &'static str,
    /// The name of the check that it walks.
    pub walks: &'static str,
    /// The edges of both sides.
    pub sides: [Vec<Part>; 2],
    /// By how much the second side is longer, at least and at most.
    pub ease_mm: [f64; 2],
}

/// A part of one side of a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// The piece.
    pub piece: &'static str,
    /// Its edge.
    pub edge: &'static str,
    /// How often the edge is there: twice where the piece is cut on the fold, or left and right.
    pub times: u32,
}

impl Part {
    /// An edge as often as it is there.
    pub fn of(piece: &'static str, edge: &'static str, times: u32) -> Self {
        Self { piece, edge, times }
    }
}

impl Seam {
    /// Two edges of one name and one length.
    pub fn alike(walks: &'static str, edge: &'static str, pieces: [&'static str; 2]) -> Self {
        Self { name: edge, walks, sides: pieces.map(|piece| vec![Part::of(piece, edge, 1)]), ease_mm: [0.0, 0.0] }
    }

    /// Two edges of one piece, of one length.
    pub fn alike_edges(walks: &'static str, name: &'static str, piece: &'static str, edges: [&'static str; 2]) -> Self {
        Self { name, walks, sides: edges.map(|edge| vec![Part::of(piece, edge, 1)]), ease_mm: [0.0, 0.0] }
    }

    /// Length of both sides.
    pub fn sides_mm(&self, pieces: &[SewnPiece]) -> [f64; 2] {
        let part_mm = |part: &Part| {
            let piece = pieces.iter().find(|piece| piece.name == part.piece);
            f64::from(part.times) * piece.map_or(0.0, |piece| piece.length_mm(part.edge))
        };
        [0, 1].map(|side| self.sides[side].iter().map(part_mm).sum())
    }

    /// Whether the sides can be sewn together.
    pub fn check(&self, pieces: &[SewnPiece], system: System) -> Check {
        let [one_mm, other_mm] = self.sides_mm(pieces);
        let over_mm = other_mm - one_mm;
        let [least_mm, most_mm] = self.ease_mm;
        let ok = (least_mm - SEAM_MM..=most_mm + SEAM_MM).contains(&over_mm);
        let [one, other] = [0, 1].map(|side| self.words(side));
        let mut says = format!("{} seam: {one} {}, {other} {}", self.name, system.show(one_mm), system.show(other_mm));
        if most_mm > SEAM_MM {
            let (least, most) = (system.show(least_mm), system.show(most_mm));
            says += &format!(", {} to be held in where {least} to {most} is right", system.show(over_mm));
        }
        Check {
            name: self.walks,
            ok,
            severity: if ok { Weight::Note } else { Weight::Refusal },
            says,
            remedy: (!ok).then(|| "the two can't be sewn together; set the house rules back".to_owned()),
        }
    }

    /// The pieces of a side.
    fn words(&self, side: usize) -> String {
        let mut names: Vec<&str> = self.sides[side].iter().map(|part| part.piece).collect();
        names.dedup();
        names.join(" and ")
    }
}
