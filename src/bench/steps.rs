//! What can be undone, step by step: the order and its lay, the readings and the table that lies here, the screen and the
//! proof. A step is whole: what was changed together is brought back together.

use std::sync::Arc;

use super::history::History;
use super::model::{Bench, TableFile};
use super::notebook::{Notebook, Slot};
use super::paper::{Entry, Paper};

/// What can be undone.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The order.
    pub paper: Paper,
    /// The readings.
    pub notebook: Notebook,
    /// The text of the lay that is kept, when one is.
    pub lay: Option<String>,
    /// The table that cloth is cut by.
    pub table: Option<Arc<TableFile>>,
    /// The numbers of its proof, as she typed them.
    pub proof: [String; 3],
    /// The screen of the projector, by its title.
    pub screen: Option<String>,
}

/// What the order's files say.
#[derive(Clone, Debug)]
pub(super) struct Saved {
    /// The order.
    pub paper: Paper,
    /// The text of the lay that is kept of it, when one is.
    pub lay: Option<String>,
}

/// What of a notebook is in a file.
#[derive(Clone, Debug, Default)]
pub(super) struct Filed {
    /// The table of its readings, as it was written or opened last.
    pub table: Option<TableFile>,
    /// The text of the readings of which that is.
    pub readings: Option<String>,
}

impl Bench {
    /// Writes into an entry of the order.
    pub fn write(&mut self, entry: &Entry, written: &str) {
        let paper = self.paper().with(entry, written);
        let sheet = Sheet { paper, ..self.history.now().clone() };
        self.history.change(&entry.field(), sheet);
        self.follow();
    }

    /// Writes into the notebook.
    pub fn read_off(&mut self, slot: Slot, typed: &str) {
        self.change_notebook(&slot.says(), self.notebook().with(slot, typed));
    }

    /// Changes how the table is measured.
    pub fn change_notebook(&mut self, field: &str, notebook: Notebook) {
        let sheet = Sheet { notebook, ..self.history.now().clone() };
        self.history.change(field, sheet);
    }

    /// A change that is a step of its own.
    pub(super) fn change_whole(&mut self, field: &str, sheet: Sheet) {
        self.history.settle();
        self.history.change(field, sheet);
        self.history.settle();
    }

    /// A field was left.
    pub fn settle(&mut self) {
        self.history.settle();
    }

    /// Whether every field was left in which something was typed.
    pub fn is_settled(&self) -> bool {
        self.history.is_settled()
    }

    /// One step back.
    pub fn undo(&mut self) {
        self.step_by(History::undo);
    }

    /// One step forward again.
    pub fn redo(&mut self) {
        self.step_by(History::redo);
    }

    fn step_by(&mut self, go: fn(&mut History<Sheet>) -> bool) {
        let before = self.history.now().clone();
        if !go(&mut self.history) {
            return;
        }
        self.follow();
        if self.history.now().table != before.table {
            // What was said of the table that is gone.
            self.said.clear();
            self.follow_table(before.table.as_deref());
        }
        if *self.notebook() != before.notebook {
            self.ask_to_solve();
        }
    }

    /// Whether there is a step to undo, and one to redo.
    pub fn steps(&self) -> [bool; 2] {
        [self.history.can_undo(), self.history.can_redo()]
    }

    /// Another notebook, of which so much is in a file.
    pub(super) fn numbered(&mut self, mut notebook: Notebook, filed: Filed) -> Notebook {
        notebook.number = self.filed.len();
        self.filed.push(filed);
        notebook
    }

    /// Takes readings into another notebook, with the table whose readings they are, as a step that can be undone.
    pub(super) fn take_readings(&mut self, notebook: Notebook, table: Option<TableFile>) {
        let notebook = self.numbered(notebook, Filed { table, readings: None });
        let sheet = Sheet { notebook, ..self.history.now().clone() };
        self.change_whole("readings", sheet);
        self.ask_to_solve();
    }
}
