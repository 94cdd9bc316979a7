//! What the bench wishes for, carried out at the desk or on a thread.

use std::path::{Path, PathBuf};
use std::time::{Instant, SystemTime};

use super::{Call, Host, LOOKED_ON};
use crate::bench::Cutting;
use crate::bench::laying::Errand;
use crate::bench::model::Wish;
use crate::bench::motifs::flatten;
use crate::bench::tables::solve;
use crate::remark::Refusal;
use crate::session::keep::keep_corrected;
use crate::table::file;

impl Host<'_> {
    /// Carries out what the bench wishes for.
    pub(super) fn carry_out(&mut self) {
        let wishes = self.bench.take_wishes();
        if wishes.is_empty() {
            return;
        }
        for wish in wishes {
            if let Err(refusal) = self.grant(wish) {
                self.bench.refused(refusal);
            }
        }
        if let Some(pane) = &self.pane {
            pane.window().request_redraw();
        }
    }

    fn grant(&mut self, wish: Wish) -> Result<(), Refusal> {
        match wish {
            Wish::Open(path) => {
                let text = self.desk.read(&path)?;
                self.bench.opened(&path, &text);
                if self.bench.place() == Some(&path) {
                    self.bench.lay_opened(self.desk.lay_of(&path)?);
                }
            }
            Wish::Save(path) => self.save(&path),
            Wish::Solve(text) => {
                let proxy = self.proxy.clone();
                std::thread::spawn(move || {
                    let told = Box::new(solve(&text));
                    drop(proxy.send_event(Call::Solved(text, told)));
                });
            }
            Wish::Lay(to_lay) => self.send(Errand::Lay(to_lay)),
            Wish::Search(to_lay) => {
                self.send(Errand::Search(to_lay));
                self.look_at = Some(Instant::now() + LOOKED_ON);
            }
            Wish::EndSearch { keep } => self.layer.end(keep),
            Wish::Photo(path) => {
                // Asked before it is read: what is written meanwhile is read again.
                self.photo_seen = Some((path.clone(), self.desk.written_at(&path)));
                let read = self.desk.photo(&path);
                self.bench.take_photo(path, read);
            }
            Wish::Flatten(photograph, recipe) => {
                let proxy = self.proxy.clone();
                std::thread::spawn(move || {
                    let print = flatten(&photograph, &recipe);
                    drop(proxy.send_event(Call::Flat(recipe, print)));
                });
            }
            Wish::SaveTable(path) => {
                let kept = self.bench.table_to_save(self.desk.today())?;
                let text = file::write(&kept);
                self.bench.may_save_table(&path, &text, self.desk.found(&path)?.as_deref())?;
                self.desk.save(&path, &text)?;
                self.bench.table_saved(&path, kept);
            }
            Wish::KeepCorrected(kept) => {
                if let Some(table) = self.bench.table() {
                    let text = file::write(&kept);
                    let path = keep_corrected(&table.path, &text)?;
                    self.bench.opened(&path, &text);
                }
            }
            Wish::Cut(cutting) => self.cut(&cutting)?,
            Wish::KeepHabits => self.desk.keep_habits(&self.bench.habits),
            Wish::ForgetKept => {
                self.desk.keep(None)?;
                self.kept = None;
            }
        }
        Ok(())
    }

    /// Has the photo read anew where another program has written it since.
    pub(super) fn look_at_photo(&mut self) {
        let is_other = |(path, at): &(PathBuf, Option<SystemTime>)| self.desk.written_at(path) != *at;
        if self.photo_seen.as_ref().is_some_and(is_other) {
            self.photo_seen = None;
            self.bench.read_photo_again();
        }
    }

    /// Saves the order; what is in the way of that is remembered.
    fn save(&mut self, path: &Path) {
        if let Err(refusal) = self.save_whole(path) {
            self.bench.save_refused(path, refusal);
        }
    }

    /// Saves the order, and the lay that is kept of it where that has changed; over nothing that another program wrote.
    fn save_whole(&mut self, path: &Path) -> Result<(), Refusal> {
        self.bench.may_save(path, self.desk.found(path)?.as_deref())?;
        let saves_lay = self.bench.saves_lay(path);
        if saves_lay {
            self.bench.may_save_lay(path, self.desk.lay_of(path)?.as_deref())?;
        }
        self.desk.save(path, self.bench.paper().text())?;
        if saves_lay {
            self.desk.keep_lay(path, self.bench.kept_lay())?;
        }
        self.bench.saved(path);
        self.keep();
        Ok(())
    }

    /// Starts the cutting session, when the files that it reads say what is shown.
    fn cut(&mut self, cutting: &Cutting) -> Result<(), Refusal> {
        let (order, table) = (self.desk.read(&cutting.order)?, self.desk.read(&cutting.table)?);
        self.bench.still_in_files(&order, &table)?;
        self.bench.lay_still_in_file(self.desk.lay_of(&cutting.order)?.as_deref())?;
        let proxy = self.proxy.clone();
        let ended = Box::new(move |how| drop(proxy.send_event(Call::Ended(how))));
        self.desk.cut(cutting, ended)?;
        self.bench.cutting = true;
        self.look_at = Some(Instant::now() + LOOKED_ON);
        self.bench.said.clear();
        Ok(())
    }

    /// Sends the thread that lays on an errand.
    pub(super) fn send(&mut self, errand: Errand) {
        let proxy = self.proxy.clone();
        self.layer.send(errand, move |brought| drop(proxy.send_event(Call::Laid(Box::new(brought)))));
    }
}
