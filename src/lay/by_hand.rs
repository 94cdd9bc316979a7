//! Pieces that lie side by side, moved by hand: at the table on cloth that lies as it is cut, and in a lay that is kept.
//!
//! The lay's rules hold at every step, but at the table those of its print do not: she sees the print itself under the
//! light. How far it is out of step by the order's repeat is told then.

use super::pin::Broken;
use super::proof::{Fault, faults};
use super::{Lay, Placed, left};
use crate::geometry::{Cloth, Vector};
use crate::remark::Remark;

impl Fault {
    /// Whether it is one of the print alone.
    fn is_of_print(&self) -> bool {
        matches!(self, Self::OutOfStep(..) | Self::OffMotif(..))
    }
}

impl Lay {
    /// The lay with one piece moved so far from where it lies, not held against any rule; none when there is no such piece.
    pub(super) fn with_piece_moved(&self, piece: usize, by_mm: Vector<Cloth>) -> Option<Self> {
        let mut lay = self.clone();
        let placed = lay.placed.get_mut(piece)?;
        *placed = placed.moved(by_mm);
        Some(lay)
    }

    /// The same on as much cloth as its pieces then take, without room, as a lay that can be kept.
    pub fn with_piece_at(&self, piece: usize, by_mm: Vector<Cloth>) -> Option<Self> {
        let lay = self.with_piece_moved(piece, by_mm)?;
        let length_mm = lay.placed.iter().map(|placed| placed.cut().bounds().1.x).fold(0.0, f64::max);
        Some(Self { room_mm: 0.0, length_mm, used_mm: lay.fold.spent_mm(length_mm), ..lay })
    }

    /// The lay with all pieces moved so far; none when one can't lie so.
    pub(super) fn moved_side_by_side(&self, shifts_mm: &[Vector<Cloth>]) -> Option<Self> {
        if !shifts_mm.iter().all(|shift_mm| shift_mm.is_finite()) {
            return None;
        }
        let moved = |(placed, to_mm): (&Placed, &Vector<Cloth>)| placed.moved(*to_mm - placed.shift_mm);
        let placed = self.placed.iter().zip(shifts_mm).map(moved).collect();
        let lay = Self { placed, ..self.clone() };
        let stands = faults(&lay).iter().all(Fault::is_of_print);
        stands.then(|| Self { left_over: left::over(&lay), ..lay })
    }

    /// Where a piece comes to lie that is moved so far from where it lies by itself: there, or where it lay, with the rule that
    /// it would break.
    pub(super) fn slid_side_by_side(&self, piece: usize, to_mm: Vector<Cloth>) -> (Vector<Cloth>, Option<Remark>) {
        let Some(placed) = self.placed.get(piece) else { return (to_mm, None) };
        let broken = self.with_piece_moved(piece, to_mm - placed.shift_mm).and_then(|lay| {
            let faults = faults(&lay);
            faults.iter().filter(|fault| !fault.is_of_print()).find_map(|fault| lay.rule(fault, piece))
        });
        match broken {
            Some(broken) => (placed.shift_mm, Some(self.says(piece, &broken))),
            None => (to_mm, None),
        }
    }

    /// How far a piece lies out of step with what its print must meet, or off the motif that it must lie on; none when it does
    /// not.
    pub fn print_missed(&self, piece: usize) -> Option<Remark> {
        let faults = faults(self);
        let broken = faults.iter().filter(|fault| fault.is_of_print()).find_map(|fault| self.rule(fault, piece))?;
        Some(self.says(piece, &broken))
    }

    /// A rule said of a piece, without a remedy that needs the order's file.
    fn says(&self, piece: usize, broken: &Broken) -> Remark {
        Remark::doubt(broken.remark(self.placed[piece].piece.name, |mm| self.system.show_fine(mm)).sentence)
    }
}

impl Placed {
    /// The same, so far from where it lies.
    fn moved(&self, by_mm: Vector<Cloth>) -> Self {
        let cloth_from_draft = self.cloth_from_draft.then_translate(by_mm);
        Self { cloth_from_draft, shift_mm: self.shift_mm + by_mm, ..self.clone() }
    }
}
