//! Which of the distances that are not measured yet is worth the walk with the tape.

use super::model::Bench;
use super::notebook::Slot;
use crate::calibrate::advice::{self, GOOD_CUTTING_MM};
use crate::calibrate::readings_file;
use crate::remark::Remark;
use crate::table::KeptTable;

/// So many of the best distances are looked at for one that the notebook has a field for.
const LOOKED_AT: usize = 8;

impl Bench {
    /// What is worth measuring next, while a line can be farther off than good cutting asks; none when the table is read
    /// off a mat, whose marks are all read anyway, or when nothing is left to be measured.
    pub(super) fn worth_measuring(&self, readings: &str, kept: &KeptTable) -> Option<Remark> {
        let off_mm = kept.fit.as_ref()?.bound95.largest_mm;
        let slots = self.notebook().slots();
        let left = |slot: &Slot| slots.contains(slot) && self.notebook().typed(*slot).trim().is_empty();
        if off_mm <= GOOD_CUTTING_MM || !slots.iter().any(|slot| matches!(slot, Slot::Between(..))) {
            return None;
        }
        let readings = readings_file::read(readings).ok()?.value;
        let next = advice::next(&readings, kept, LOOKED_AT).into_iter();
        let slot = next.flat_map(|it| [Slot::Between(it.from, it.to), Slot::Between(it.to, it.from)]).find(left)?;
        let remark = Remark::note(format!("a line can still be {off_mm:.1} mm off (95 in 100)"));
        Some(remark.remedy(format!("worth measuring next: {}", slot.says())))
    }
}
