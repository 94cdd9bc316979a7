//! The running session looked on: at which stage it is, and what its stages are.
//!
//! In a light that is smaller than the cloth pieces are cut and marked reach by reach, so that the stages are others than
//! where all is lit at once. They are worked out from the lay and the table that lie on the bench, as the session did. Where
//! it is of others, since she went on with the order meanwhile, only its stage's number is told.

use super::model::Bench;
use crate::scene::{Room, View, Way};
use crate::session::file::{self, Saved};
use crate::stages::Stage;
use crate::table::file as table_file;

impl Bench {
    /// The place of the running session as it was kept last: the bench shows its stage. A text that can't be read changes
    /// nothing.
    pub fn session_kept(&mut self, text: &str) {
        let Ok(saved) = file::read(text) else { return };
        let Some(stage) = saved.stage() else { return };
        let before = self.cutting_at.replace(stage);
        if before == Some(stage) {
            return;
        }
        let known = self.cutting_stages.take().filter(|_| before.is_some());
        self.cutting_stages = self.stages_of(&saved).or(known);
        if self.cutting_stages.is_some() {
            self.stage = stage.saturating_sub(1);
        }
    }

    /// The stages as they are shown: those of the running session, or else those of the lay where all of it is lit.
    pub fn stages(&self) -> &[Stage] {
        let of_lay = || self.work().laid.as_ref().map(|laid| laid.stages.as_slice());
        self.session_stages().or_else(of_lay).unwrap_or_default()
    }

    /// The stages of the running session; none where there is none, or where it is of another lay or table than lie here.
    pub fn session_stages(&self) -> Option<&[Stage]> {
        self.cutting_stages.as_deref().filter(|_| self.cutting_at.is_some())
    }

    fn stages_of(&self, saved: &Saved) -> Option<Vec<Stage>> {
        let lay = &self.work().laid.as_ref()?.lay;
        // As it is written: what was solved here has more digits than its file.
        let table = table_file::read(&self.table()?.text).ok()?.value.table;
        let view = View::of(Room::in_lit_area(table.lit_corners_mm()?), lay.system, Way::LightOnDark);
        Some(saved.work(lay, &view)?.stages)
    }
}
