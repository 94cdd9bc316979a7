//! The table on the bench: solved from the notebook, chosen for a screen, trusted or not.

use super::model::{Bench, ScreenHere, TableFile, Wish};
use crate::calibrate::{calibrate, readings_file};
use crate::remark::{Remark, Told};
use crate::table::{KeptTable, TrustedTable};

/// Solves readings.
///
/// # Errors
/// Why they give no table.
pub fn solve(readings: &str) -> Told<KeptTable> {
    calibrate(&readings_file::read(readings)?.value)
}

impl Bench {
    /// Wishes for the table that the readings give, unless that is known or under way.
    pub fn ask_to_solve(&mut self) {
        let text = self.notebook().readings_text();
        if self.is_solved() || self.solving.as_ref() == Some(&text) {
            return;
        }
        self.solving = Some(text.clone());
        self.wish(Wish::Solve(text));
    }

    /// Takes the table that readings gave.
    pub fn take_solved(&mut self, text: String, told: Told<KeptTable>) {
        if self.solving.as_ref() == Some(&text) {
            self.solving = None;
        }
        // What comes late is of readings that are there no more.
        if self.is_solved() && text != self.notebook().readings_text() {
            return;
        }
        let told = told.map(|mut told| {
            told.remarks.extend(self.worth_measuring(&text, &told.value));
            told
        });
        self.solved = Some((text, told));
    }

    /// The table that readings gave when they were last solved; of the readings as they are only when
    /// [`Bench::is_solved`].
    pub fn solved(&self) -> Option<&Told<KeptTable>> {
        self.solved.as_ref().map(|(_, told)| told)
    }

    /// Whether the readings as they are have been solved.
    pub fn is_solved(&self) -> bool {
        self.solved.as_ref().is_some_and(|(text, _)| *text == self.notebook().readings_text())
    }

    /// The table of these readings, as it was written or opened last.
    pub(super) fn notebook_table(&self) -> Option<&TableFile> {
        self.notebook_tables.get(self.notebook().number)?.as_ref()
    }

    /// Whether the readings are in a file: as the table was written, or as they came.
    pub(super) fn readings_saved(&self) -> bool {
        self.notebook().readings_text() == self.saved.notebook.readings_text()
    }

    /// Whether what the readings give, which is what the map shows, is another table than the one that lies here.
    pub fn maps_another(&self) -> bool {
        self.solved().is_some_and(Result::is_ok)
            && (self.notebook_table() != self.table.as_ref() || !self.readings_saved())
    }

    /// Why the table that lies here is not to be cut by without her yes; none when it may.
    pub fn distrust(&self) -> Option<Remark> {
        self.disproved().or(TrustedTable::by_fit(self.table.as_ref()?.kept.clone()).err())
    }

    /// Why the table that lies here can't be used on the screens that are here: its picture has another size.
    pub fn misfit(&self) -> Option<Remark> {
        let picture_px = self.table.as_ref()?.kept.table.picture_px;
        let here = match self.chosen_screen() {
            Some(screen) if screen.size_px != picture_px => format!("this screen is {}", screen.title),
            None if !self.screens.is_empty() && self.screens.iter().all(|screen| screen.size_px != picture_px) => {
                "no screen here has that size".to_owned()
            }
            _ => return None,
        };
        let [width, height] = picture_px;
        let remark =
            Remark::doubt(format!("the table was measured at {width} x {height}, and {here}: it can't be used here"));
        Some(remark.remedy("set the projector's screen to that size, or measure the table again"))
    }

    /// The projector's screen: its picture's size is that of the grid.
    pub fn choose_screen(&mut self, screen: &ScreenHere) {
        self.screen = Some(screen.title.clone());
        let mut notebook = self.notebook().clone();
        notebook.picture_px = screen.size_px;
        self.change_notebook("screen", notebook);
        self.settle();
    }

    /// The projector's screen, when it is there.
    pub fn chosen_screen(&self) -> Option<&ScreenHere> {
        self.screens.iter().find(|screen| Some(&screen.title) == self.screen.as_ref())
    }

    /// Where the table of these readings is best written: over what they gave before, or beside the order. What else lies
    /// here is no matter.
    pub fn table_path(&self) -> String {
        let beside = || self.place.as_ref().map(|place| place.with_file_name("table.toml"));
        let path = self.notebook_table().map(|table| table.path.clone()).or_else(beside);
        path.map_or_else(|| "table.toml".to_owned(), |path| path.display().to_string())
    }
}
