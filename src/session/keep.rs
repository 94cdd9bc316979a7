//! What is put on the disc while a session runs: its place at every step, the trace of its events, and a table that was
//! corrected.
//!
//! A thread of its own writes, so that light never waits for the disc. It writes the newest place whole or not at all;
//! places that were passed while it wrote are left out.

use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use super::Event;
use crate::remark::{Refusal, Remark, why_not};
use crate::table::save::save_whole;

/// Writes a session's place beside its order.
#[derive(Debug)]
pub struct Keeper {
    places: Option<Sender<String>>,
    faults: Receiver<Refusal>,
    writer: Option<JoinHandle<()>>,
}

/// Appends events to a trace.
#[derive(Debug)]
pub struct Recorder {
    file: File,
}

/// The file of an order's session: `alto.toml` has `alto.session.toml` beside it.
pub fn beside(order: &Path) -> PathBuf {
    order.with_extension("session.toml")
}

/// The text of a saved session; none when there is none.
///
/// # Errors
/// When it is there and can't be read.
pub fn load(path: &Path) -> Result<Option<String>, Refusal> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(refusal(path, &format!("can't be read: {}", why_not(&error)))),
    }
}

/// Renames a session that is not taken up, so that it is not written over: `alto.session.toml` becomes
/// `alto.session.old.toml`, or the next number that is free. Gives the new name.
///
/// # Errors
/// When it can't be renamed.
pub fn set_aside(path: &Path) -> Result<PathBuf, Refusal> {
    let free = free_name(path, "old");
    std::fs::rename(path, &free).map_err(|error| refusal(path, &format!("can't be set aside: {}", why_not(&error))))?;
    Ok(free)
}

/// Writes a corrected table beside its table, under a name that is free: `table.toml` has `table.corrected.toml` beside
/// it, or the next number. Gives the name.
///
/// # Errors
/// When it can't be written.
pub fn keep_corrected(table: &Path, text: &str) -> Result<PathBuf, Refusal> {
    let free = free_name(table, "corrected");
    save_whole(&free, text.as_bytes())?;
    Ok(free)
}

fn free_name(path: &Path, word: &str) -> PathBuf {
    let name = |i: usize| path.with_extension(if i == 0 { format!("{word}.toml") } else { format!("{word}-{i}.toml") });
    (0..).map(name).find(|name| !name.exists()).unwrap_or_else(|| name(0))
}

fn refusal(path: &Path, says: &str) -> Refusal {
    let remark = Remark::refusal(says).file(path.display().to_string());
    Refusal::because(remark.remedy("look at the folder, and that you may read and write in it"))
}

impl Keeper {
    /// Begins to keep a session's place in a file.
    pub fn start(path: PathBuf) -> Self {
        let (places, new_places) = channel::<String>();
        let (say, faults) = channel();
        let writer = std::thread::spawn(move || {
            while let Ok(first) = new_places.recv() {
                let newest = new_places.try_iter().last().unwrap_or(first);
                if let Err(fault) = save_whole(&path, newest.as_bytes()) {
                    let _ = say.send(fault);
                }
            }
        });
        Self { places: Some(places), faults, writer: Some(writer) }
    }

    /// Keeps a place; it is on the disc a moment later.
    pub fn keep(&self, text: String) {
        if let Some(places) = &self.places {
            let _ = places.send(text);
        }
    }

    /// What went wrong since this was last asked.
    pub fn fault(&self) -> Option<Refusal> {
        self.faults.try_iter().last()
    }
}

impl Drop for Keeper {
    /// Waits until the last place is on the disc.
    fn drop(&mut self) {
        self.places = None;
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
    }
}

impl Recorder {
    /// Begins a trace.
    ///
    /// # Errors
    /// When the file can't be written.
    pub fn start(path: &Path, head: &str) -> Result<Self, Refusal> {
        let begun = File::create(path).and_then(|mut file| file.write_all(head.as_bytes()).map(|()| file));
        begun
            .map(|file| Self { file })
            .map_err(|error| refusal(path, &format!("can't be written: {}", why_not(&error))))
    }

    /// Writes an event. A trace that can't go on is no reason to stop cutting.
    pub fn record(&mut self, event: Event) {
        let _ = writeln!(self.file, "{event}");
    }
}
