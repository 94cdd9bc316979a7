//! Lays that are kept beside their orders: taken from there, and written there.

use std::path::{Path, PathBuf};

use super::task::{Stop, say, spoken};
use crate::lay::kept::{self, Kept};
use crate::lay::{Lay, Wanted, lay as plain_lay};
use crate::remark::{Refusal, Remark};
use crate::session::keep::{load, set_aside};
use crate::table::save::save_whole;

pub use crate::lay::kept::beside;

/// A lay that is kept.
pub struct KeptFile {
    path: PathBuf,
    kept: Kept,
}

impl KeptFile {
    /// The lay that is kept of these orders together; none where there is none.
    ///
    /// # Errors
    /// [`Stop::Unreadable`] when its file can't be read.
    pub fn beside(orders: &[impl AsRef<Path>]) -> Result<Option<Self>, Stop> {
        let path = beside(orders);
        let Some(text) = load(&path).map_err(Stop::Unreadable)? else { return Ok(None) };
        let kept = kept::read(&text).map_err(|no| Stop::Unreadable(no.in_file(&path.display().to_string())))?;
        Ok(Some(Self { path, kept }))
    }

    /// The lay; that it was kept is said.
    ///
    /// # Errors
    /// [`Stop::No`] when it is not of these pieces and this cloth, or breaks a rule.
    pub fn lay(&self, wanted: &Wanted<'_>) -> Result<Lay, Stop> {
        let name = self.path.display().to_string();
        let told = self.kept.lay(wanted).map_err(|mut refusal| {
            let remedy =
                format!("search again, with --seconds 60 --keep, or remove {name} to have the pieces laid anew");
            refusal.remarks.iter_mut().for_each(|remark| remark.remedy = remark.remedy.take().or(Some(remedy.clone())));
            Stop::No(refusal.in_file(&name))
        })?;
        say(Remark::note("the pieces lie as they are kept there").file(&name), &name);
        Ok(spoken(told, &name))
    }

    /// The lay, to search on from; none where it is not of these pieces and this cloth any more.
    pub fn to_go_on_from(&self, wanted: &Wanted<'_>) -> Option<Lay> {
        let told = self.kept.lay(wanted).ok()?;
        let name = self.path.display().to_string();
        say(Remark::note("the search goes on from the lay that is kept there").file(&name), &name);
        Some(told.value)
    }

    /// Why it is not of these pieces and this cloth; none when it is.
    pub fn differs(&self, wanted: &Wanted<'_>) -> Option<Remark> {
        self.kept.differs(wanted).map(|remark| remark.file(self.path.display().to_string()))
    }
}

/// Rounding noise in a comparison of lengths.
const NOISE_MM: f64 = 1e-6;

/// Keeps what a search found, unless a lay that is as short is kept there already. What is there and is none of these pieces
/// is set aside.
///
/// # Errors
/// When the file can't be written.
pub fn keep(path: &Path, lay: &Lay, wanted: &Wanted<'_>) -> Result<(), Refusal> {
    let name = path.display().to_string();
    let told = |sentence: String| say(Remark::note(sentence).file(&name), &name);
    let there = load(path)?;
    let before = there.as_deref().and_then(|text| kept::read(text).ok()?.lay(wanted).ok());
    let before_mm = before.map(|told| told.value.used_mm);
    let found_mm = lay.without_room_mm();
    if let Some(before_mm) = before_mm.filter(|before_mm| *before_mm <= found_mm) {
        told(format!("the lay that is kept there stays: it needs {}", lay.system.show_at_least(before_mm)));
        return Ok(());
    }
    if there.is_some() && before_mm.is_none() {
        told(format!("this is set aside as {}: it was no lay of these pieces", set_aside(path)?.display()));
    }
    match kept::write(lay, wanted) {
        Some(text) => {
            save_whole(path, text.as_bytes())?;
            let is_shorter = plain_lay(wanted).is_ok_and(|told| found_mm < told.value.used_mm - NOISE_MM);
            let how = if is_shorter { "" } else { ": none shorter was found than without a search" };
            told(format!("the lay is kept there, and will be cut so{how}"));
        }
        None => told("nothing is kept: the lay without a search is as short".to_owned()),
    }
    Ok(())
}
