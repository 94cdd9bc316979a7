//! What is cut in one go: an order, several orders side by side, or the orders of a job on the job's cloth.

use std::path::{Path, PathBuf};

use super::kept::{self, KeptFile};
use super::search;
use super::task::{self, Drafted, How, Stop};
use crate::entries::{line_of, other};
use crate::lay::{Effort, Lay};
use crate::order::{Order, Print, read_batch};
use crate::remark::{Refusal, Remark};

/// Orders that are cut in one go.
pub struct Job {
    /// The files that were named: orders, or the job's own. What is kept of them stands beside the first.
    files: Vec<PathBuf>,
    /// What they and the orders say.
    pub text: String,
    /// The orders, drafted; at least one.
    pub all: Vec<Drafted>,
    /// Each laid by itself, in the same order, where that is done already.
    alone: Vec<Lay>,
    /// The job's own text, which says the cloth, where the orders are those of a job.
    own: Option<String>,
}

impl Job {
    /// Reads and drafts what is named; remarks, and checks that failed, go to stderr.
    ///
    /// # Errors
    /// [`Stop::Unreadable`] when a file is at fault, [`Stop::No`] when a garment can't be drawn.
    pub fn of(files: &[PathBuf]) -> Result<Self, Stop> {
        let mut job =
            Self { files: files.to_vec(), text: String::new(), all: Vec::new(), alone: Vec::new(), own: None };
        for file in files {
            let text = task::text_of(file).map_err(Stop::Unreadable)?;
            match other::is(&text, other::JOB) && files.len() == 1 {
                true => job.orders_of(file, &text)?,
                false => job.all.push(drafted(file, &text)?),
            }
            job.text += &text;
        }
        Ok(job)
    }

    /// Those orders of a job that could be drafted on its cloth, and laid by themselves.
    pub fn of_laid(file: &Path, text: &str, laid: impl Iterator<Item = (Drafted, Lay)>) -> Self {
        let (mut all, alone): (Vec<Drafted>, Vec<Lay>) = laid.unzip();
        on_one_cloth(&mut all);
        Self { files: vec![file.to_owned()], text: text.to_owned(), all, alone, own: Some(text.to_owned()) }
    }

    /// Drafts the orders that a job's file names, on its cloth.
    fn orders_of(&mut self, file: &Path, text: &str) -> Result<(), Stop> {
        let name = file.display().to_string();
        let batch = read_batch(text).map_err(|refusal| Stop::Unreadable(refusal.in_file(&name)))?;
        let batch = task::spoken(batch, &name);
        self.own = Some(text.to_owned());
        for order in &batch.files {
            let order = file.with_file_name(&order.value);
            let text = task::text_of(&order).map_err(Stop::Unreadable)?;
            let drafted = task::drafted_on(&text, &order.display().to_string(), Some(&batch.cloth))?;
            drafted.say_doubts();
            self.all.push(drafted);
            self.text += &text;
        }
        on_one_cloth(&mut self.all);
        Ok(())
    }

    /// Whether everything can be worn as drafted.
    pub fn wearable(&self) -> bool {
        self.all.iter().all(|drafted| drafted.draft.wearable())
    }

    /// The lay that is kept of it; none where none is.
    ///
    /// # Errors
    /// [`Stop::Unreadable`] when its file can't be read.
    pub fn kept(&self) -> Result<Option<KeptFile>, Stop> {
        KeptFile::beside(&self.files)
    }

    /// How everything lies on the cloth: as it is kept, where it is.
    ///
    /// # Errors
    /// [`Stop::Unreadable`] when no cloth is named or what is kept can't be read, [`Stop::No`] when the cloth does not suffice.
    pub fn lay(&self) -> Result<Lay, Stop> {
        let kept = self.kept()?;
        let lay = match (self.all.as_slice(), &kept) {
            ([one], _) => task::laid(one, kept.as_ref()).map(|laid| laid.lay),
            (all, Some(kept)) => task::laid_together(all, How::Kept(kept)),
            (all, None) => {
                let from = self.end_to_end();
                task::laid_together(all, How::Answered(&Effort { from: from.as_ref(), ..Effort::SEVERAL }))
            }
        };
        lay.map_err(|stop| self.of_its_cloth(stop))
    }

    /// The same; where a time to search is given, by a search so long, on from what is kept.
    ///
    /// # Errors
    /// As [`Self::lay`]; but what is kept and can't be read is no lay to go on from.
    pub fn lay_within(&self, seconds: Option<f64>) -> Result<Lay, Stop> {
        let Some(seconds) = seconds else { return self.lay() };
        let (kept, from) = (self.kept().ok().flatten(), self.end_to_end());
        let lay = search::watched(seconds, &self.all, |pace| {
            let effort = Effort { from: from.as_ref(), ..Effort::until(pace) };
            task::laid_together(&self.all, How::Searched(&effort, kept.as_ref()))
        });
        lay.map_err(|stop| self.of_its_cloth(stop))
    }

    /// A stop with what is said of the cloth said of the job's, where it is the job that says it.
    fn of_its_cloth(&self, stop: Stop) -> Stop {
        match (&self.own, stop) {
            (Some(own), Stop::No(refusal)) => Stop::No(of_its_cloth(refusal, (&self.files[0], own))),
            (_, stop) => stop,
        }
    }

    /// The order whose cloth is laid on, with the file that says it.
    pub fn on_cloth(&self) -> (&Order, &Path) {
        let first = self.all.iter().position(|drafted| drafted.order.cloth.is_some()).unwrap_or(0);
        (&self.all[first].order, self.files.get(first).unwrap_or(&self.files[0]))
    }

    /// Several orders one after the other, each laid by itself: where a search begins; none where they can't lie so.
    fn end_to_end(&self) -> Option<Lay> {
        match (self.all.len() > 1, self.alone.as_slice()) {
            (false, _) => None,
            (true, []) => {
                let lays =
                    self.all.iter().map(|drafted| task::by_itself(drafted).ok()).collect::<Option<Vec<Lay>>>()?;
                Lay::end_to_end(&lays)
            }
            (true, lays) => Lay::end_to_end(lays),
        }
    }

    /// Where its lay is kept.
    pub fn lay_file(&self) -> PathBuf {
        kept::beside(&self.files)
    }

    /// Where the place of its session is kept.
    pub fn session_file(&self) -> PathBuf {
        self.lay_file().with_extension("").with_extension("session.toml")
    }
}

fn drafted(file: &Path, text: &str) -> Result<Drafted, Stop> {
    let drafted = task::drafted(text, &file.display().to_string())?;
    drafted.say_doubts();
    Ok(drafted)
}

/// One cloth has one print: where any order's goes one way, nothing of any is turned.
fn on_one_cloth(all: &mut [Drafted]) {
    let mut cloths: Vec<_> = all.iter_mut().filter_map(|drafted| drafted.order.cloth.as_mut()).collect();
    if cloths.iter().any(|cloth| cloth.print == Print::OneWay) {
        cloths.iter_mut().for_each(|cloth| cloth.print = Print::OneWay);
    }
}

/// A refusal of an order of a job, with what is said of the cloth said of the job's file, since no order brings its own.
pub fn of_its_cloth(mut refusal: Refusal, (job, text): (&Path, &str)) -> Refusal {
    for Remark { place, .. } in &mut refusal.remarks {
        if let Some(field) = place.field.as_ref().filter(|field| field.starts_with("cloth")) {
            place.line = line_of(text, field);
            place.file = Some(job.display().to_string());
        }
    }
    refusal
}
