//! Work that is in no file: what of it is kept from a crash, and how it is taken up again.

use super::desk::Unsaved;
use super::model::{Bench, TableFile, Wish};
use super::notebook::Notebook;
use super::paper::Paper;
use crate::calibrate::readings_file;
use crate::table::file;

impl Bench {
    /// What must be kept from a crash; none when everything is in a file.
    pub fn to_keep(&self) -> Option<Unsaved> {
        let sheet = self.history.now();
        let readings = (sheet.notebook.taken() > 0).then(|| sheet.notebook.readings_text());
        let table = self.notebook_table().filter(|_| readings.is_some());
        let table = table.map(|table| (table.path.clone(), table.text.clone()));
        let order = sheet.paper.text().to_owned();
        let lay = sheet.lay.clone();
        let (place, on_disc, lay_on_disc) = (self.place.clone(), self.on_disc.clone(), self.saved.lay.clone());
        // A proof that failed is kept with her habits, and the screen with its table.
        let unsaved = self.unsaved() || (readings.is_some() && !self.readings_saved());
        unsaved.then_some(Unsaved { order, place, on_disc, readings, table, lay, lay_on_disc })
    }

    /// Takes up what was kept from before, or puts it away.
    pub fn answer_offer(&mut self, take_up: bool) {
        let Some(kept) = self.offered.take() else { return };
        self.wish(Wish::ForgetKept);
        if !take_up {
            return;
        }
        match Paper::of(&kept.order) {
            Ok(paper) => {
                self.lay_out(paper, kept.place);
                self.on_disc = kept.on_disc;
                self.lay_opened(kept.lay);
                // It is in no file, so nothing of it counts as saved but what its lay's file said.
                self.saved.paper = Paper::blank();
                self.saved.lay = kept.lay_on_disc;
                if let Some(told) = kept.readings.and_then(|text| readings_file::read(&text).ok()) {
                    let table = kept.table.and_then(|(path, text)| {
                        let kept = file::read(&text).ok()?.value;
                        Some(TableFile { path, text, kept })
                    });
                    self.take_readings(Notebook::of(&told.value).0, table);
                }
            }
            Err(refusal) => self.refused(refusal),
        }
    }
}
