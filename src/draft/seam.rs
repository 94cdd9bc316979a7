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
    /// By how much the second side is longer.
    pub longer_mm: f64,
    /// Whether what is longer is gathered, and not eased in.
    pub gathered: bool,
    /// How far the first side stands over: the lap of a band.
    pub lap_mm: f64,
    /// How much of it is left open from the top, to get in; of a left and a right seam, the left one is.
    pub open_mm: f64,
    /// How much of it is left open between for a pocket.
    pub pocket_mm: f64,
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
    /// Two sides of one length, sewn from end to end.
    pub fn new(name: &'static str, walks: &'static str, sides: [Vec<Part>; 2]) -> Self {
        Self { name, walks, sides, longer_mm: 0.0, gathered: false, lap_mm: 0.0, open_mm: 0.0, pocket_mm: 0.0 }
    }

    /// Two edges of one name and one length.
    pub fn alike(walks: &'static str, edge: &'static str, pieces: [&'static str; 2]) -> Self {
        Self::new(edge, walks, pieces.map(|piece| vec![Part::of(piece, edge, 1)]))
    }

    /// Two edges of one piece, of one length.
    pub fn alike_edges(walks: &'static str, name: &'static str, piece: &'static str, edges: [&'static str; 2]) -> Self {
        Self::new(name, walks, edges.map(|edge| vec![Part::of(piece, edge, 1)]))
    }

    /// The same with a second side that is longer, to be eased in.
    pub fn eased(self, longer_mm: f64) -> Self {
        Self { longer_mm, ..self }
    }

    /// The same with a second side that is longer, to be gathered.
    pub fn gathered(self, longer_mm: f64) -> Self {
        Self { longer_mm, gathered: longer_mm > SEAM_MM, ..self }
    }

    /// The same with a first side that laps over.
    pub fn lapped(self, lap_mm: f64) -> Self {
        Self { lap_mm, ..self }
    }

    /// The same, left open at its top.
    pub fn open(self, open_mm: f64) -> Self {
        Self { open_mm, ..self }
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
        let over_mm = other_mm + self.lap_mm - one_mm;
        let ok = (over_mm - self.longer_mm).abs() <= SEAM_MM;
        let [one, other] = [0, 1].map(|side| self.words(side));
        let mut says = format!("{} seam: {one} {}, {other} {}", self.name, system.show(one_mm), system.show(other_mm));
        if self.lap_mm > 0.0 {
            says += &format!(", of which {} laps over", system.show(self.lap_mm));
        }
        if self.longer_mm > SEAM_MM {
            let how = if self.gathered { "gathered" } else { "eased in" };
            says += &format!(", {} to be {how} where {} is right", system.show(over_mm), system.show(self.longer_mm));
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
