//! Where the print lies under the pieces of a lay that is searched for: the place of it that the tied pieces of each garment
//! share, and where its motifs are.

use super::landing::Landing;
use crate::geometry::{Cloth as ClothFrame, Draft, Map, Point};
use crate::nest::Steps;
use crate::order::{Cloth, Matching};

/// What is asked of the print.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asks {
    /// Which way it must meet where pieces are sewn together.
    pub matching: Matching,
    /// Where its motifs are.
    pub motifs: Motifs,
}

/// Where the motifs are that must land.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Motifs {
    /// None must land.
    Anywhere,
    /// Where they are as the cloth lies.
    AsItLies,
    /// Where the lay is shortest along, as when the cloth is cut off there.
    AtTheirBest,
}

impl Asks {
    /// Nothing.
    pub const NOTHING: Self = Self { matching: Matching::None, motifs: Motifs::Anywhere };
}

/// Where the print lies on the folded cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// The place that the datums of each garment lie on, and whole repeats from it.
    pub tied: Vec<Point<ClothFrame>>,
    /// A motif.
    pub motif: Point<ClothFrame>,
}

/// What binds a piece to the print.
#[derive(Clone, Debug)]
pub struct Bound<'l> {
    /// The garment that it is tied in, and its datum.
    pub tie: Option<(usize, Point<Draft>)>,
    /// Where a motif must land on it.
    pub landing: Option<&'l Landing>,
    /// Whether it can move across: a piece drawn by half has its centre on the fold.
    pub is_free: bool,
}

impl Phase {
    /// The steps in which a piece lies that is turned so.
    pub fn steps(
        &self,
        (cloth, asks): (&Cloth, Asks),
        bound: &Bound<'_>,
        turn: &Map<Draft, ClothFrame>,
    ) -> Option<Steps> {
        let turned = |at: Point<Draft>| turn.transform_point(at).to_vector();
        let tie = bound.tie.map(|(garment, at)| self.tied[garment] - turned(at));
        let landing = |counts: bool| bound.landing.filter(|_| counts).map(|landing| self.motif - turned(landing.at));
        let [lands_along, lands_across] = bound.landing.map_or([false; 2], |landing| [landing.along, landing.across]);
        let tied_along = tie.filter(|_| asks.matching.is_along());
        let tied_across = tie.filter(|_| asks.matching.is_across());
        let along = tied_along.or_else(|| landing(lands_along));
        let across = tied_across.or_else(|| landing(lands_across)).filter(|_| bound.is_free);
        if along.is_none() && across.is_none() {
            return None;
        }
        // Both ways by the same place, columns may be dropped against one another; else the whole repeat is taken.
        let is_one = tied_along.is_some() == tied_across.is_some();
        let half_drop = cloth.half_drop && along.is_some() && across.is_some() && is_one;
        let [along_mm, across_mm] = cloth.repeat_mm;
        Some(Steps {
            from: Point::new(along.map_or(0.0, |from| from.x), across.map_or(0.0, |from| from.y)),
            along_mm: along.and(along_mm),
            across_mm: across.and(across_mm).map(|mm| if half_drop { mm / 2.0 } else { mm }),
            half_drop,
        })
    }

    /// Whether it is another one within a distance.
    pub fn is_near(&self, other: &Self, mm: f64) -> bool {
        let mut pairs = self.tied.iter().zip(&other.tied).chain([(&self.motif, &other.motif)]);
        pairs.all(|(a, b)| (*a - *b).length() < mm)
    }
}

/// One place for each garment out of its candidates: all garments by the same place, and each by one of its own. A garment
/// with a single candidate keeps to it.
pub fn for_all(candidates: &[Vec<Point<ClothFrame>>]) -> Vec<Vec<Point<ClothFrame>>> {
    let free = || candidates.iter().filter(|of| of.len() > 1);
    let shared = free().flatten().map(|at| {
        let own = |of: &Vec<Point<ClothFrame>>| if of.len() > 1 { *at } else { of[0] };
        candidates.iter().map(own).collect()
    });
    let most = candidates.iter().map(Vec::len).max().unwrap_or(0);
    let own = (0..most).map(|k| candidates.iter().map(|of| of[k % of.len()]).collect());
    shared.chain(own).collect()
}
