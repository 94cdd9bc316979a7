//! The proof of the table that lies here: three distances that she measures once more, and what they say of it.
//!
//! They are typed as readings are. Whenever one is left and all are given, the table holds, was moved as a whole, or holds
//! no longer. One that does not hold is not cut by before it is measured again, proved again, or she says yes to it; emptying
//! a field leads round nothing.

use super::model::{Bench, Measured};
use super::notebook::Slot;
use crate::calibrate::Grid;
use crate::calibrate::proof::{Proof, distances, prove};
use crate::remark::Remark;
use crate::table::{Kind, Reading};
use crate::units::{Length, NoLength};

/// What was measured to prove a table, and what it came to.
#[derive(Clone, Debug, Default)]
pub struct Proving {
    /// As she typed it, by distance.
    typed: [String; 3],
    /// Whether something was typed since the table was last judged.
    is_new: bool,
    found: Option<Proof>,
}

impl Bench {
    /// The distances that prove the table; none where there is nothing to prove it by.
    pub fn proof_slots(&self) -> Vec<Slot> {
        let pairs = self.table.as_ref().map(|table| distances(&table.kept)).unwrap_or_default();
        pairs.into_iter().map(|[from, to]| Slot::Between(from, to)).collect()
    }

    /// What she typed for one of them.
    pub fn proof_typed(&self, at: usize) -> &str {
        self.proving.typed.get(at).map_or("", String::as_str)
    }

    /// Writes what one of them is now.
    pub fn prove_by(&mut self, at: usize, typed: &str) {
        if let Some(here) = self.proving.typed.get_mut(at) {
            typed.clone_into(here);
            self.proving.is_new = true;
        }
    }

    /// What one of them is now; none when nothing is typed for it.
    pub fn proof_length(&self, at: usize) -> Option<Result<Length, NoLength>> {
        let typed = self.proof_typed(at).trim();
        (!typed.is_empty()).then(|| self.notebook().read(typed))
    }

    /// One of them as a reading, when it can be read.
    pub fn proof_reading(&self, at: usize) -> Option<Reading> {
        let Some(Slot::Between(from, to)) = self.proof_slots().get(at).copied() else { return None };
        let distance_mm = self.proof_length(at)?.ok()?.mm;
        (distance_mm > 0.0).then_some(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
    }

    /// Judges the table, when all is measured that was to be and something was typed since.
    pub fn settle_proof(&mut self) {
        if !std::mem::take(&mut self.proving.is_new) {
            return;
        }
        let slots = self.proof_slots();
        let readings: Vec<Reading> = (0..slots.len()).filter_map(|at| self.proof_reading(at)).collect();
        let Some(table) = self.table.as_ref().filter(|_| !slots.is_empty() && readings.len() == slots.len()) else {
            return;
        };
        let found = prove(&table.kept, &readings);
        if found != self.proving.found {
            self.trust_anyway = false;
            self.proving.found = found;
        }
    }

    /// What the proof said last of the table that lies here.
    pub fn proof(&self) -> Option<&Proof> {
        self.proving.found.as_ref()
    }

    /// Why the proof speaks against cutting by the table.
    pub(super) fn disproved(&self) -> Option<Remark> {
        match self.proof()? {
            Proof::Holds => None,
            Proof::Moved(_, remark) | Proof::Broken(remark) => Some(remark.clone()),
        }
    }

    /// The size of the picture and the marks that are thrown to be measured.
    pub fn thrown_grid(&self) -> ([u32; 2], Grid) {
        let of_table = self.table.as_ref().filter(|_| self.measured == Measured::Proof);
        let marks = of_table.and_then(|table| Some((table.kept.table.picture_px, table.kept.record.as_ref()?)));
        match marks {
            Some((picture_px, record)) => (picture_px, Grid { marks: record.marks.clone() }),
            None => (self.notebook().picture_px, self.notebook().grid()),
        }
    }
}
