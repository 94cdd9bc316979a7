//! What is to be laid: the pieces of one garment or several, on which cloth, and what is asked of the lay.

use super::is_all_on_fold;
use super::matching::{Meeting, Ties};
use crate::finish::Piece;
use crate::order::{Asked, Cloth, Matching};
use crate::remark::Remark;
use crate::units::System;

/// What is to be laid.
#[derive(Clone, Debug)]
pub struct Wanted<'w> {
    /// The pieces of each garment.
    pub garments: Vec<&'w [Piece]>,
    /// The cloth.
    pub cloth: &'w Cloth,
    /// The unit system of what is said.
    pub system: System,
    /// What is asked beyond the least cloth.
    pub asked: Asked,
}

impl<'w> Wanted<'w> {
    /// One garment, of whose lay nothing is asked.
    pub fn of(pieces: &'w [Piece], cloth: &'w Cloth, system: System) -> Self {
        Self { garments: vec![pieces], cloth, system, asked: Asked::default() }
    }

    /// The same with what an order asks.
    #[must_use]
    pub fn asking(self, asked: &Asked) -> Self {
        Self { asked: asked.clone(), ..self }
    }

    /// Every piece, one garment after the other.
    pub fn pieces(&self) -> impl Iterator<Item = &'w Piece> + '_ {
        self.garments.iter().flat_map(|pieces| pieces.iter())
    }

    /// The share of so much cloth along the selvedge that the pieces are.
    pub fn used_share(&self, used_mm: f64) -> f64 {
        let all_mm2 = |piece: &Piece| piece.unfolded().cut.area_mm2() * f64::from(piece.count);
        self.pieces().map(all_mm2).sum::<f64>() / (used_mm * self.cloth.width_mm)
    }

    /// Which way the print is to meet: neither on cloth of which no repeat is known.
    pub fn matching(&self) -> Matching {
        if self.cloth.repeat_mm.is_some() { self.asked.matching } else { Matching::None }
    }

    /// Whether its lay is searched for, which takes a while. Otherwise each piece is cut once, on the fold, on a length of its
    /// own: none is pinned, the cloth has no flaw to be gone round, and where the print must meet the lengths are in step.
    pub fn is_searched(&self) -> bool {
        let level = || self.ties().meetings.iter().filter(|meeting| meeting.along).all(Meeting::is_level);
        let free = self.cloth.flaws.is_empty() && self.asked.pins_mm.is_empty();
        !(is_all_on_fold(self.pieces()) && free && level())
    }

    /// What is said when the print is to meet and nothing can be done about it.
    pub(super) fn unmatched(&self) -> Option<Remark> {
        if self.asked.matching == Matching::None {
            return None;
        }
        if self.cloth.repeat_mm.is_none() {
            let remark = Remark::doubt("the print is to meet, but its repeat is not known: nothing is matched");
            let remedy = "write repeat = [\"32 cm\", \"64 cm\"] under [cloth], along the selvedge and across";
            return Some(remark.field("lay.match").remedy(remedy));
        }
        let none = self.ties().is_empty();
        none.then(|| Remark::note("none of these pieces has a seam at which a print is matched").field("lay.match"))
    }

    /// The repeat along the selvedge, where the print is to meet along it.
    pub(super) fn level_mm(&self) -> Option<f64> {
        self.cloth.repeat_mm.map(|[along_mm, _]| along_mm).filter(|_| self.matching().is_along())
    }

    /// What must meet what.
    pub(super) fn ties(&self) -> Ties {
        if self.matching() == Matching::None { Ties::default() } else { Ties::of(&self.garments) }
    }
}
