//! The table on the bench: solved from the notebook, chosen for a screen, trusted or not.

use super::model::{Bench, ScreenHere, TableFile, Wish};
use crate::calibrate::{calibrate, readings_file};
use crate::remark::{Remark, Told};
use crate::table::{KeptTable, TrustedTable};

/// A solution, which belongs to the readings that it was solved from.
#[derive(Clone, Debug)]
pub(super) struct Solved {
    readings: String,
    told: Told<KeptTable>,
}

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
        if self.notebook().taken() == 0 || self.is_solved() || self.is_solving() {
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
        self.solved = Some(Solved { readings: text, told });
    }

    /// What the readings as they are give; none while they are not solved.
    pub fn solved(&self) -> Option<&Told<KeptTable>> {
        let solved = self.solved.as_ref()?;
        (solved.readings == self.notebook().readings_text()).then_some(&solved.told)
    }

    /// Whether the readings as they are have been solved.
    pub fn is_solved(&self) -> bool {
        self.solved().is_some()
    }

    /// Whether the readings as they are are being solved.
    pub fn is_solving(&self) -> bool {
        self.solving.as_ref().is_some_and(|text| *text == self.notebook().readings_text())
    }

    /// The table that the readings give, and that it is of the readings as they are; until these are solved the one that
    /// the numbers before gave, and that it is not.
    pub fn mapped(&self) -> Option<(&KeptTable, bool)> {
        let solved = self.solved.as_ref().filter(|_| self.notebook().taken() > 0)?;
        solved.told.as_ref().ok().map(|told| (&told.value, self.is_solved()))
    }

    /// The table that cloth is cut by.
    pub fn table(&self) -> Option<&TableFile> {
        self.history.now().table.as_deref()
    }

    /// The screen of the projector, by its title.
    pub fn screen(&self) -> Option<&str> {
        self.history.now().screen.as_deref()
    }

    /// The table of these readings, as it was written or opened last.
    pub(super) fn notebook_table(&self) -> Option<&TableFile> {
        self.filed.get(self.notebook().number)?.table.as_ref()
    }

    /// Whether the readings are in a file: as the table was written, or as they came with it.
    pub(super) fn readings_saved(&self) -> bool {
        let filed = self.filed.get(self.notebook().number).and_then(|filed| filed.readings.as_ref());
        filed.is_some_and(|text| *text == self.notebook().readings_text())
    }

    /// Whether what the map shows is another table than the one that lies here.
    pub fn maps_another(&self) -> bool {
        let Some((_, of_now)) = self.mapped() else { return false };
        !of_now || self.notebook_table() != self.table() || !self.readings_saved()
    }

    /// Why the table that lies here is not to be cut by without her yes; none when it may.
    pub fn distrust(&self) -> Option<Remark> {
        self.disproved().or(TrustedTable::by_fit(self.table()?.kept.clone()).err())
    }

    /// Why the table that lies here can't be used on the screens that are here: its picture has another size.
    pub fn misfit(&self) -> Option<Remark> {
        let picture_px = self.table()?.kept.table.picture_px;
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
        let mut sheet = self.history.now().clone();
        sheet.screen = Some(screen.title.clone());
        sheet.notebook.picture_px = screen.size_px;
        self.change_whole("screen", sheet);
    }

    /// The projector's screen, when it is there.
    pub fn chosen_screen(&self) -> Option<&ScreenHere> {
        self.screens.iter().find(|screen| Some(screen.title.as_str()) == self.screen())
    }

    /// Where the table of these readings is best written: over what they gave before, or beside the order. What else lies
    /// here is no matter.
    pub fn table_path(&self) -> String {
        let beside = || self.place.as_ref().map(|place| place.with_file_name("table.toml"));
        let path = self.notebook_table().map(|table| table.path.clone()).or_else(beside);
        path.map_or_else(|| "table.toml".to_owned(), |path| path.display().to_string())
    }
}
