//! The proof of the table that lies here: three distances that she measures once more, and what they say of it.
//!
//! They are typed as readings are, and undone as these are; what they proved is not undone, so that undo leads round
//! nothing. Whenever one is left and all are given, the table holds, was moved as a whole, or holds
//! no longer. One that does not hold is not cut by before it is measured again, proved again, or she says yes to it; emptying
//! a field leads round nothing. Neither does the end of the bench: a proof that failed is kept with her habits, by what its
//! table says.

use super::desk::Failed;
use super::model::{Bench, Measured, TableFile, Wish};
use super::notebook::Slot;
use crate::calibrate::Grid;
use crate::calibrate::proof::{Proof, distances, prove};
use crate::remark::Remark;
use crate::table::{Kind, Reading, file};
use crate::units::{Length, NoLength};

/// Failed proofs that are remembered: of more tables than anyone has.
const MOST_FAILED: usize = 16;

/// What was measured to prove a table, and what it came to.
#[derive(Clone, Debug, Default)]
pub struct Proving {
    /// What is typed, by distance, as it stood when she left it last.
    left: [String; 3],
    /// What is typed, when she typed something since the table was last judged.
    new: Option<[String; 3]>,
    found: Option<Proof>,
}

impl Bench {
    /// The distances that prove the table; none where there is nothing to prove it by.
    pub fn proof_slots(&self) -> Vec<Slot> {
        let pairs = self.table().map(|table| distances(&table.kept)).unwrap_or_default();
        pairs.into_iter().map(|[from, to]| Slot::Between(from, to)).collect()
    }

    /// What she typed for one of them.
    pub fn proof_typed(&self, at: usize) -> &str {
        self.history.now().proof.get(at).map_or("", String::as_str)
    }

    /// Writes what one of them is now.
    pub fn prove_by(&mut self, at: usize, typed: &str) {
        let mut sheet = self.history.now().clone();
        let Some(here) = sheet.proof.get_mut(at) else { return };
        typed.clone_into(here);
        self.proving.new = Some(sheet.proof.clone());
        self.history.change(&format!("proof {at}"), sheet);
    }

    /// Whether a table says what the one that lies here does.
    pub(super) fn lies_here(&self, table: &TableFile) -> bool {
        self.table().is_some_and(|here| file::write(&here.kept) == file::write(&table.kept))
    }

    /// The numbers by which the proof of a table failed; none where none did.
    pub(super) fn failed_numbers(&self, table: &TableFile) -> Option<[String; 3]> {
        let says = file::write(&table.kept);
        self.habits.failed.iter().find(|failed| failed.table == says).map(|failed| failed.numbers.clone())
    }

    /// Another table may lie here than before. What a proof found is of its table, in whatever file that is: to open it anew,
    /// or to come back to it, leads round nothing.
    pub(super) fn follow_table(&mut self, before: Option<&TableFile>) {
        if before.is_none_or(|before| !self.lies_here(before)) {
            let numbers = self.table().and_then(|table| self.failed_numbers(table));
            let found = numbers.and_then(|numbers| self.proved_by(&numbers));
            self.proving = Proving { found, ..Proving::default() };
            self.trust_anyway = false;
        }
        self.habits.table = self.table().map(|table| table.path.clone());
        self.wish(Wish::KeepHabits);
    }

    /// She has left one of them, so what is typed for it stands.
    pub fn leave_proof(&mut self, at: usize) {
        let typed = self.proof_typed(at).to_owned();
        if let Some(left) = self.proving.left.get_mut(at) {
            *left = typed;
        }
    }

    /// Whether her number for one of them stands. What it should be is not shown before: she would read it off the tape.
    pub fn proof_stands(&self, at: usize) -> bool {
        self.proving.left.get(at).is_some_and(|left| !left.is_empty() && left == self.proof_typed(at))
    }

    /// What one of them is now; none when nothing is typed for it.
    pub fn proof_length(&self, at: usize) -> Option<Result<Length, NoLength>> {
        let typed = self.proof_typed(at).trim();
        (!typed.is_empty()).then(|| self.notebook().read(typed))
    }

    /// One of them as a reading, when it can be read.
    pub fn proof_reading(&self, at: usize) -> Option<Reading> {
        self.reading_of(*self.proof_slots().get(at)?, self.proof_typed(at))
    }

    fn reading_of(&self, slot: Slot, typed: &str) -> Option<Reading> {
        let Slot::Between(from, to) = slot else { return None };
        let distance_mm = self.notebook().read(typed.trim()).ok()?.mm;
        (distance_mm > 0.0).then_some(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
    }

    /// What numbers prove of the table that lies here; none while one of them is missing.
    fn proved_by(&self, numbers: &[String; 3]) -> Option<Proof> {
        let slots = self.proof_slots();
        let readings: Option<Vec<Reading>> =
            slots.iter().zip(numbers).map(|(slot, typed)| self.reading_of(*slot, typed)).collect();
        prove(&self.table()?.kept, &readings.filter(|all| !all.is_empty())?)
    }

    /// Judges the table, when all is measured that was to be and something was typed since that was not undone.
    pub fn settle_proof(&mut self) {
        if self.proving.new.take().as_ref() != Some(&self.history.now().proof) {
            return;
        }
        let Some(found) = self.proved_by(&self.history.now().proof) else { return };
        if self.proving.found.as_ref() != Some(&found) {
            self.trust_anyway = false;
            self.proving.found = Some(found);
        }
        self.keep_proof();
    }

    /// Keeps a proof that failed, beyond the end of the bench; or forgets it, when the table was proved again and holds.
    fn keep_proof(&mut self) {
        let Some(table) = self.table().map(|table| file::write(&table.kept)) else { return };
        let before = self.habits.failed.clone();
        self.habits.failed.retain(|failed| failed.table != table);
        if self.disproved().is_some() {
            // A number without a unit is in that of the notebook, which may be another tomorrow.
            let number = |at| self.proof_length(at).and_then(Result::ok).map(|length| format!("{} mm", length.mm));
            let numbers = [0, 1, 2].map(|at| number(at).unwrap_or_default());
            self.habits.failed.insert(0, Failed { table, numbers });
            self.habits.failed.truncate(MOST_FAILED);
        }
        if self.habits.failed != before {
            self.wish(Wish::KeepHabits);
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
        let of_table = self.table().filter(|_| self.measured == Measured::Proof);
        let marks = of_table.and_then(|table| Some((table.kept.table.picture_px, table.kept.record.as_ref()?)));
        match marks {
            Some((picture_px, record)) => (picture_px, Grid { marks: record.marks.clone() }),
            None => (self.notebook().picture_px, self.notebook().grid()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::desk::Habits;
    use crate::bench::steps::Sheet;
    use proptest::prelude::*;

    /// What she does with numbers.
    #[derive(Clone, Debug)]
    enum Does {
        Proves(usize, String),
        Reads(usize, String),
        Leaves,
        Undoes,
        Redoes,
    }

    fn does() -> impl Strategy<Value = Does> {
        prop_oneof![
            4 => (0..3_usize, "[0-9]{0,2}").prop_map(|(at, typed)| Does::Proves(at, typed)),
            3 => (0..3_usize, "[0-9]{0,2}").prop_map(|(at, typed)| Does::Reads(at, typed)),
            2 => Just(Does::Leaves),
            3 => Just(Does::Undoes),
            2 => Just(Does::Redoes),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn undo_gives_back_every_number_of_a_proof_and_of_readings(all in prop::collection::vec(does(), 1..80)) {
            let mut bench = Bench::new(Habits::default(), None);
            let slots = bench.notebook().slots();
            let (mut past, mut future): (Vec<Sheet>, Vec<Sheet>) = (Vec::new(), Vec::new());
            let mut open: Option<String> = None;
            for it in all {
                let before = bench.history.now().clone();
                let mut expected = before.clone();
                let field = match it {
                    Does::Leaves => {
                        bench.settle();
                        None
                    }
                    Does::Undoes => {
                        bench.undo();
                        if let Some(was) = past.pop() {
                            future.push(std::mem::replace(&mut expected, was));
                        }
                        None
                    }
                    Does::Redoes => {
                        bench.redo();
                        if let Some(was) = future.pop() {
                            past.push(std::mem::replace(&mut expected, was));
                        }
                        None
                    }
                    Does::Proves(at, typed) => {
                        bench.prove_by(at, &typed);
                        expected.proof[at] = typed;
                        Some(format!("proof {at}"))
                    }
                    Does::Reads(at, typed) => {
                        bench.read_off(slots[at], &typed);
                        expected.notebook = expected.notebook.with(slots[at], &typed);
                        Some(slots[at].says())
                    }
                };
                prop_assert_eq!(bench.history.now(), &expected);
                match field {
                    Some(field) if expected != before => {
                        future.clear();
                        if open.as_ref() != Some(&field) {
                            past.push(before);
                        }
                        open = Some(field);
                    }
                    Some(_) => {}
                    None => open = None,
                }
                prop_assert_eq!(bench.steps(), [!past.is_empty(), !future.is_empty()]);
            }
        }
    }
}
