//! Files that come to the bench: orders, tables and readings, told apart by what they say, whatever they are called.
//!
//! A file that can't be taken leaves the bench and itself as they were, with a sentence why.

use std::path::Path;

use super::model::{Bench, Step, TableFile, Wish};
use super::notebook::Notebook;
use super::paper::Paper;
use super::tables::solve;
use crate::calibrate::readings_file;
use crate::remark::{Refusal, Remark};
use crate::session::file as session;
use crate::table::file;

/// Sections by which an order is known.
const ORDER_SECTIONS: [&str; 5] = ["client", "body", "garment", "rules", "cloth"];

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Holds {
    Order,
    Table,
    Readings,
    Neither,
}

impl Bench {
    /// A file was read, at her wish.
    pub fn opened(&mut self, path: &Path, text: &str) {
        let name = path.display().to_string();
        if let Err(refusal) = self.take(path, text) {
            self.refused(refusal.in_file(&name));
        }
    }

    fn take(&mut self, path: &Path, text: &str) -> Result<(), Refusal> {
        let paper = Paper::of(text)?;
        match holds(&paper) {
            Holds::Order => self.take_order(path, paper),
            Holds::Table => self.take_table(path, file::read(text)?.value, text),
            Holds::Readings => self.take_readings_file(&readings_file::read(text)?.value),
            Holds::Neither => {
                return Err(Refusal::because(
                    Remark::refusal("this is no order, no table and no readings; it was left as it is")
                        .remedy("open an order, which begins with [client], [body] or [garment]"),
                ));
            }
        }
        Ok(())
    }

    fn take_order(&mut self, path: &Path, paper: Paper) {
        self.lay_out(paper, Some(path.to_owned()));
        self.remember(path);
        self.said = vec![Remark::note(format!("Opened {}", path.display()))];
        if self.step > Step::Cloth {
            self.step = Step::Client;
        }
    }

    fn take_table(&mut self, path: &Path, kept: crate::table::KeptTable, text: &str) {
        if let Some(screen) = &kept.screen {
            self.screen = Some(screen.clone());
        }
        if let (Some(notebook), 0) = (Notebook::of_table(&kept), self.notebook().taken()) {
            self.take_readings(notebook);
            self.notebook_saved();
        }
        self.table = Some(TableFile { path: path.to_owned(), text: text.to_owned(), kept });
        self.habits.table = Some(path.to_owned());
        self.wish(Wish::KeepHabits);
        self.said = vec![Remark::note(format!("The table of {} lies on the bench", path.display()))];
    }

    fn take_readings_file(&mut self, readings: &crate::calibrate::Readings) {
        let (notebook, left_out) = Notebook::of(readings);
        self.take_readings(notebook);
        self.step = Step::Table;
        self.said = vec![match left_out {
            0 => Remark::note("The readings are in the notebook"),
            count => Remark::doubt(format!("{count} of these readings can't be shown on the bench"))
                .remedy("solve that file with 'chalklight calibrate'; the file was left as it is"),
        }];
    }

    /// Whether the files that a session reads say what is shown here: another program may have written them since.
    ///
    /// # Errors
    /// Which of the two says something else, and how to choose.
    pub fn still_in_files(&self, order: &str, table: &str) -> Result<(), Refusal> {
        let changed = |what: &str, path: Option<&Path>, keep: &str| {
            let path = path.map_or_else(String::new, |path| path.display().to_string());
            let remark = Remark::refusal(format!("the {what} was changed in its file since it was opened here"));
            Err(Refusal::because(
                remark
                    .file(path)
                    .remedy(format!("open it again to cut by the file, or {keep} to cut by what is shown")),
            ))
        };
        if order != self.paper().text() {
            return changed("order", self.place(), "save it under another name");
        }
        let shown = self.table.as_ref();
        match file::read(table) {
            // As it is written: what was solved here has more digits than its file.
            Ok(told) if shown.is_some_and(|shown| file::write(&shown.kept) == file::write(&told.value)) => Ok(()),
            _ => changed("table", shown.map(|shown| shown.path.as_path()), "write it under another name"),
        }
    }

    /// Whether the order may be written to a file in which `there` stands by now; none where there is no such file.
    ///
    /// # Errors
    /// When that would write over what another program wrote, or over another file than the order's, with what to do.
    pub fn may_save(&self, path: &Path, there: Option<&str>) -> Result<(), Refusal> {
        let own = self.place().zip(self.on_disc.as_deref());
        may_write("order", path, own, there.filter(|there| *there != self.paper().text()))
    }

    /// Whether a table may be written, as `text`, to a file in which `there` stands by now; none where there is no such
    /// file.
    ///
    /// # Errors
    /// As for [`Bench::may_save`].
    pub fn may_save_table(&self, path: &Path, text: &str, there: Option<&str>) -> Result<(), Refusal> {
        let own = self.table.as_ref().map(|table| (table.path.as_path(), table.text.as_str()));
        may_write("table", path, own, there.filter(|there| *there != text))
    }

    /// The place of the running session as it was kept last: the bench shows its stage. A text that can't be read, because
    /// it is of another order or none, changes nothing.
    pub fn session_kept(&mut self, text: &str) {
        let Some(stage) = session::read(text).ok().and_then(|saved| saved.stage()) else { return };
        if self.cutting_at.replace(stage) != Some(stage) {
            self.stage = stage.saturating_sub(1);
        }
    }

    /// The table that was solved from the notebook, as it is to be written on `date`.
    ///
    /// # Errors
    /// Why the readings give no table.
    pub fn table_to_save(&mut self, date: String) -> Result<crate::table::KeptTable, Refusal> {
        let screen = self.screen.clone();
        let text = self.notebook().readings_text();
        if !self.is_solved() {
            self.take_solved(text.clone(), solve(&text));
        }
        let mut kept = self.solved().cloned().unwrap_or_else(|| solve(&text))?.value;
        kept.screen = screen;
        if let Some(fit) = &mut kept.fit {
            fit.date = Some(date);
        }
        Ok(kept)
    }

    /// The table was written to a file, and is now the one that is cut by.
    pub fn table_saved(&mut self, path: &Path, kept: crate::table::KeptTable) {
        let text = file::write(&kept);
        self.take_table(path, kept, &text);
        self.notebook_saved();
        self.said = vec![Remark::note(format!("Table written to {}", path.display()))];
    }
}

/// Whether a file in which `there` stands may be written over: only the bench's `own`, and only while it says what it said
/// when it was opened or saved here.
fn may_write(what: &str, path: &Path, own: Option<(&Path, &str)>, there: Option<&str>) -> Result<(), Refusal> {
    let Some(there) = there else { return Ok(()) };
    let (says, remedy) = match own.filter(|(own, _)| *own == path) {
        Some((_, known)) if known == there => return Ok(()),
        Some(_) => (
            format!("the {what} was changed in its file since it was opened or saved here; nothing was written"),
            "save it under another name, or open the file anew",
        ),
        None => (
            format!("a file of this name is there, and not the one of the {what} that lies here; nothing was written"),
            "save it under another name, or move that file away first",
        ),
    };
    Err(Refusal::because(Remark::refusal(says).file(path.display().to_string()).remedy(remedy)))
}

/// What a text holds, by its sections.
fn holds(paper: &Paper) -> Holds {
    if paper.has("table") {
        Holds::Table
    } else if paper.has("projector") || paper.has("reading") {
        Holds::Readings
    } else if paper.is_empty() || ORDER_SECTIONS.iter().any(|section| paper.has(section)) {
        Holds::Order
    } else {
        Holds::Neither
    }
}
