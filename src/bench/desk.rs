//! What the bench asks of the computer it stands on: files, the day's date, and somebody to run the cutting.
//!
//! The bench itself opens no file and starts no program; whoever opens it hands it a [`Desk`]. So everything on it can be
//! tried without a disc or a projector.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::motif::Photograph;
use crate::remark::Refusal;

/// The computer under the bench.
pub trait Desk {
    /// The text of a file.
    ///
    /// # Errors
    /// When it can't be read, with what to do.
    fn read(&self, path: &Path) -> Result<String, Refusal>;

    /// The text of a file that may be there; none where there is none.
    ///
    /// # Errors
    /// When it is there and can't be read, with what to do.
    fn found(&self, path: &Path) -> Result<Option<String>, Refusal>;

    /// The text of the lay that is kept of an order; none where none is.
    ///
    /// # Errors
    /// When it can't be read, with what to do.
    fn lay_of(&self, order: &Path) -> Result<Option<String>, Refusal>;

    /// Keeps the lay of an order beside it; none takes it away.
    ///
    /// # Errors
    /// When it can't be written, with what to do.
    fn keep_lay(&self, order: &Path, text: Option<&str>) -> Result<(), Refusal>;

    /// A photo of cloth.
    ///
    /// # Errors
    /// When it can't be read, with what to do.
    fn photo(&self, path: &Path) -> Result<Photograph, Refusal>;

    /// When a file was written last; none where there is no such file, or the computer doesn't tell.
    fn written_at(&self, path: &Path) -> Option<SystemTime>;

    /// Writes a file whole, or leaves the old one as it was.
    ///
    /// # Errors
    /// When it can't be written, with what to do.
    fn save(&self, path: &Path, text: &str) -> Result<(), Refusal>;

    /// Keeps unsaved work where a crash can't reach it; none forgets it.
    ///
    /// # Errors
    /// When it can't be kept, with what to do.
    fn keep(&self, unsaved: Option<&Unsaved>) -> Result<(), Refusal>;

    /// Unsaved work kept by a bench that is no longer open.
    fn kept(&self) -> Option<Unsaved>;

    /// Keeps how she likes the bench.
    fn keep_habits(&self, habits: &Habits);

    /// How she likes the bench.
    fn habits(&self) -> Habits;

    /// Today, as `2026-11-25`.
    fn today(&self) -> String;

    /// Starts the cutting session on the projector; `ended` is called, on any thread, when it is over.
    ///
    /// # Errors
    /// When it can't be started.
    fn cut(&self, cutting: &Cutting, ended: Box<dyn FnOnce(Result<String, String>) + Send>) -> Result<(), Refusal>;
}

/// Work that is in no file.
#[derive(Clone, Debug, PartialEq)]
pub struct Unsaved {
    /// The order's text.
    pub order: String,
    /// The file it belongs to, when it has one.
    pub place: Option<PathBuf>,
    /// What that file said when it was opened or saved last.
    pub on_disc: Option<String>,
    /// The text of the readings, when there are any.
    pub readings: Option<String>,
    /// The file that their table was written to or opened from last, and what it said then.
    pub table: Option<(PathBuf, String)>,
    /// The text of the lay that is kept, when there is one.
    pub lay: Option<String>,
    /// What the file of that lay said when the order was opened or saved last; none where there was none.
    pub lay_on_disc: Option<String>,
}

/// How she likes the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Habits {
    /// Light ink on a dark ground.
    pub dark: bool,
    /// Size of text, in percent.
    pub text_percent: u32,
    /// Files opened of late, the latest first.
    pub recent: Vec<PathBuf>,
    /// The table file used last.
    pub table: Option<PathBuf>,
    /// Proofs that failed, the latest first; kept here since they outlive the bench as these do.
    pub failed: Vec<Failed>,
}

/// A proof that failed. It speaks against cutting by its table until that is measured or proved again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// The table, as its file says it.
    pub table: String,
    /// The numbers that she measured, with their unit.
    pub numbers: [String; 3],
}

/// What a cutting session needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cutting {
    /// The order file.
    pub order: PathBuf,
    /// The table file.
    pub table: PathBuf,
    /// The screen, by its title; the table's own when not given.
    pub screen: Option<String>,
    /// Her yes to a table that is not trusted.
    pub trust_anyway: bool,
    /// Her yes to a dress that can't be worn as drafted.
    pub cut_anyway: bool,
}

impl Default for Habits {
    fn default() -> Self {
        Self { dark: false, text_percent: 100, recent: Vec::new(), table: None, failed: Vec::new() }
    }
}
