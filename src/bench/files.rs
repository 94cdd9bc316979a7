//! Files that come to the bench: orders, tables and readings, told apart by what they say, whatever they are called.
//!
//! A file that can't be taken leaves the bench and itself as they were, with a sentence why.

use std::path::Path;
use std::sync::Arc;

use super::model::{Bench, Step, TableFile};
use super::notebook::Notebook;
use super::paper::Paper;
use super::steps::Filed;
use super::tables::solve;
use crate::calibrate::readings_file;
use crate::lay::kept;
use crate::remark::{Refusal, Remark, Remarked};
use crate::table::{KeptTable, file};

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
            Holds::Readings => self.take_readings_file(path, &readings_file::read(text)?.value),
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

    /// A table lies on the bench, with its readings where none are there that are in no file: all of it is one step.
    fn take_table(&mut self, path: &Path, kept: KeptTable, text: &str) {
        let table = TableFile { path: path.to_owned(), text: text.to_owned(), kept };
        let mut said = vec![Remark::note(format!("The table of {} lies on the bench", path.display()))];
        let mut sheet = self.history.now().clone();
        let stay = sheet.notebook.taken() > 0 && !self.readings_saved();
        let brought = if stay { None } else { Notebook::of_table(&table.kept) };
        if stay {
            said.push(Remark::note("the notebook keeps your readings, which are in no table file yet"));
        } else if brought.is_none() && table.kept.record.is_some() {
            said.push(Remark::note("its own readings can't all be shown in the notebook, which is empty now"));
        }
        let readings = brought.as_ref().map(Notebook::readings_text);
        if let Some(notebook) = brought {
            let filed = Filed { table: Some(table.clone()), readings: readings.clone() };
            sheet.notebook = self.numbered(notebook, filed);
        } else if !stay && sheet.notebook.taken() > 0 {
            sheet.notebook = self.numbered(Notebook::new(table.kept.table.picture_px), Filed::default());
        }
        sheet.screen = table.kept.screen.clone().or(sheet.screen);
        if !self.lies_here(&table) {
            sheet.proof = self.failed_numbers(&table).unwrap_or_default();
        }
        let kept = table.kept.clone();
        let before = sheet.table.replace(Arc::new(table));
        self.change_whole("table", sheet);
        self.follow_table(before.as_deref());
        // What a table's own readings give is that table.
        if let Some(readings) = readings {
            self.take_solved(readings, Ok(Remarked::silent(kept)));
        }
        self.said = said;
    }

    fn take_readings_file(&mut self, path: &Path, readings: &crate::calibrate::Readings) {
        let (notebook, left_out) = Notebook::of(readings);
        self.take_readings(notebook, None);
        self.step = Step::Table;
        self.said = vec![match left_out {
            0 => Remark::note("The readings are in the notebook"),
            count => Remark::doubt(format!("{count} of these readings can't be shown on the bench"))
                .file(path.display().to_string())
                .remedy("solve this file by the command 'chalklight calibrate'; it was left as it is"),
        }];
    }

    /// Whether the files that a session reads say what is shown here: another program may have written them since.
    ///
    /// # Errors
    /// Which of the two says something else, and how to choose.
    pub fn still_in_files(&self, order: &str, table: &str) -> Result<(), Refusal> {
        if order != self.paper().text() {
            return Err(changed(
                "order",
                self.place(),
                "open it again to cut by the file, or save it under another name",
            ));
        }
        let shown = self.table();
        // As it is written: what was solved here has more digits than its file.
        match file::read(table) {
            Ok(told) if shown.is_some_and(|shown| file::write(&shown.kept) == file::write(&told.value)) => Ok(()),
            _ => {
                let how = "open it again to cut by the file, or write it under another name";
                Err(changed("table", shown.map(|shown| shown.path.as_path()), how))
            }
        }
    }

    /// Whether the lay in its file is the one that is shown.
    ///
    /// # Errors
    /// When it is not, with how to choose.
    pub fn lay_still_in_file(&self, lay: Option<&str>) -> Result<(), Refusal> {
        if lay == self.kept_lay() {
            return Ok(());
        }
        let place = self.place().map(|order| kept::beside(&[order]));
        Err(changed("lay that is kept", place.as_deref(), "open the order again to cut by the file"))
    }

    /// Whether the order may be written to a file in which `there` stands by now; none where there is no such file.
    ///
    /// # Errors
    /// When that would write over what another program wrote, or over another file than the order's, with what to do.
    pub fn may_save(&self, path: &Path, there: Option<&str>) -> Result<(), Refusal> {
        let known = self.own(path).map(|()| self.on_disc.as_deref());
        may_write("order", (path, self.paper().text()), known, there)
    }

    /// Whether the lay that is kept may be written beside an order that is saved in `path`, or be taken away there, when
    /// `there` stands in its file by now; none where there is no such file.
    ///
    /// # Errors
    /// As for [`Bench::may_save`].
    pub fn may_save_lay(&self, path: &Path, there: Option<&str>) -> Result<(), Refusal> {
        // Where none was kept, none is known to be there.
        let known = self.own(path).map(|()| Some(self.saved.lay.as_deref().unwrap_or_default()));
        may_write("lay", (&kept::beside(&[path]), self.kept_lay().unwrap_or_default()), known, there)
    }

    /// Whether the table of these readings may be written, as `text`, to a file in which `there` stands by now; none where
    /// there is no such file. The table that lies here may be of other readings: its file is not theirs.
    ///
    /// # Errors
    /// As for [`Bench::may_save`].
    pub fn may_save_table(&self, path: &Path, text: &str, there: Option<&str>) -> Result<(), Refusal> {
        let own = self.notebook_table().filter(|table| table.path == path);
        may_write("table", (path, text), own.map(|table| Some(table.text.as_str())), there)
    }

    /// The order could not be saved in a file. Where that is its own, or it has none, this stands in its way until it is saved.
    pub fn save_refused(&mut self, path: &Path, refusal: Refusal) {
        if self.place().is_none() || self.own(path).is_some() {
            self.not_saved.clone_from(&refusal.remarks);
        }
        self.refused(refusal);
    }

    /// Why the order could not be saved when she tried last; empty where nothing was in the way.
    pub fn not_saved(&self) -> &[Remark] {
        &self.not_saved
    }

    /// Whether a file is the order's own.
    fn own(&self, path: &Path) -> Option<()> {
        (self.place() == Some(path)).then_some(())
    }

    /// The table that was solved from the notebook, as it is to be written on `date`.
    ///
    /// # Errors
    /// Why the readings give no table.
    pub fn table_to_save(&mut self, date: String) -> Result<KeptTable, Refusal> {
        let screen = self.screen().map(str::to_owned);
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
    pub fn table_saved(&mut self, path: &Path, kept: KeptTable) {
        let table = TableFile { path: path.to_owned(), text: file::write(&kept), kept };
        let filed = Filed { table: Some(table.clone()), readings: Some(self.notebook().readings_text()) };
        let number = self.notebook().number;
        self.filed[number] = filed;
        let numbers = (!self.lies_here(&table)).then(|| self.failed_numbers(&table).unwrap_or_default());
        let before = self.history.now().table.clone();
        let table = Some(Arc::new(table));
        // To write is no step: wherever the table before lay, this one lies.
        self.history.rewrite(|sheet| {
            if sheet.table == before {
                sheet.table.clone_from(&table);
                if let Some(numbers) = &numbers {
                    sheet.proof.clone_from(numbers);
                }
            }
        });
        self.follow_table(before.as_deref());
        self.said = vec![Remark::note(format!("Table written to {}", path.display()))];
    }
}

/// Whether `text` may be written to a file in which `there` stands: over nothing, over itself, or over the bench's own file
/// while that says what is `known` of it. A file that is not the bench's own is not known at all; of its own the bench may not
/// know what it said, when that was kept by an older version of the program.
fn may_write(
    what: &str,
    (path, text): (&Path, &str),
    known: Option<Option<&str>>,
    there: Option<&str>,
) -> Result<(), Refusal> {
    let Some(there) = there.filter(|there| *there != text) else { return Ok(()) };
    let remark = |says: String| Remark::refusal(says).file(path.display().to_string());
    Err(match known {
        Some(Some(known)) if known == there => return Ok(()),
        Some(Some(_)) => {
            changed(what, Some(path), "save it under another name, or open the file anew; nothing was written")
        }
        Some(None) => Refusal::because(
            remark(format!(
                "this {what} was kept by an older version, which did not note what its file said; nothing was written"
            ))
            .remedy("save it under another name, and compare the two"),
        ),
        None => Refusal::because(
            remark(format!("a file of this name is there, and it is not this {what}'s own; nothing was written"))
                .remedy("save it under another name, or move that file away first"),
        ),
    })
}

/// A file says something else than the bench knows of it.
fn changed(what: &str, path: Option<&Path>, remedy: &str) -> Refusal {
    let path = path.map_or_else(String::new, |path| path.display().to_string());
    let remark = Remark::refusal(format!("the {what} was changed in its file since it was opened or saved here"));
    Refusal::because(remark.file(path).remedy(remedy))
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
