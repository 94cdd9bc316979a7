//! What is said to the dressmaker: how heavily it weighs, where it belongs, the sentence, and what to do about it.
//!
//! A stage of the work returns [`Told`]: either its value together with remarks, or a [`Refusal`] that lists
//! everything that stands in the way at once. Each remark is shown once, by whoever ends the chain
//! (the command line, the sheet, a window).

use std::fmt;
use std::io::{Error, ErrorKind};

/// How heavily a remark weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Worth knowing; nothing needs to change.
    Note,
    /// Questionable: she should look before cutting.
    Doubt,
    /// The work cannot go on.
    Refusal,
}

/// Where a remark belongs: a line of a file, a field, or neither.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The file's name as she gave it.
    pub file: Option<String>,
    /// The line in that file, from 1.
    pub line: Option<usize>,
    /// The field, e.g. `body.waist`.
    pub field: Option<String>,
}

/// One thing to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// How heavily it weighs.
    pub weight: Weight,
    /// Where it belongs.
    pub place: Place,
    /// What is the matter, with the value that was read.
    pub sentence: String,
    /// What to do about it.
    pub remedy: Option<String>,
}

/// A value and what is to be said about it.
#[derive(Clone, Debug)]
pub struct Remarked<T> {
    /// The value.
    pub value: T,
    /// What is to be said about it; never a refusal.
    pub remarks: Vec<Remark>,
}

/// Why there is no value: at least one remark of weight [`Weight::Refusal`], with every other remark made on the way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// All remarks, in the order in which they were found.
    pub remarks: Vec<Remark>,
}

/// A value with remarks, or a refusal.
pub type Told<T> = Result<Remarked<T>, Refusal>;

impl Remark {
    /// A note without a place.
    pub fn note(sentence: impl Into<String>) -> Self {
        Self::new(Weight::Note, sentence)
    }

    /// A doubt without a place.
    pub fn doubt(sentence: impl Into<String>) -> Self {
        Self::new(Weight::Doubt, sentence)
    }

    /// A refusal without a place.
    pub fn refusal(sentence: impl Into<String>) -> Self {
        Self::new(Weight::Refusal, sentence)
    }

    fn new(weight: Weight, sentence: impl Into<String>) -> Self {
        Self { weight, place: Place::default(), sentence: sentence.into(), remedy: None }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = Some(remedy.into());
        self
    }

    /// Adds the field.
    #[must_use]
    pub fn field(mut self, field: impl Into<String>) -> Self {
        self.place.field = Some(field.into());
        self
    }

    /// Adds the line, counted from 1.
    #[must_use]
    pub fn line(mut self, line: usize) -> Self {
        self.place.line = Some(line);
        self
    }

    /// Adds the file's name.
    #[must_use]
    pub fn file(mut self, file: impl Into<String>) -> Self {
        self.place.file = Some(file.into());
        self
    }
}

impl<T> Remarked<T> {
    /// A value about which there is nothing to say.
    pub fn silent(value: T) -> Self {
        Self { value, remarks: Vec::new() }
    }
}

impl Refusal {
    /// A refusal for one reason.
    pub fn because(remark: Remark) -> Self {
        Self { remarks: vec![remark] }
    }

    /// Names the file in every remark that has none yet.
    #[must_use]
    pub fn in_file(mut self, file: &str) -> Self {
        for remark in &mut self.remarks {
            remark.place.file.get_or_insert_with(|| file.to_owned());
        }
        self
    }
}

/// Gives `value` with `remarks`, or refuses when one of them is a refusal.
///
/// # Errors
/// All of `remarks`, when one of them is a refusal.
pub fn told<T>(value: T, remarks: Vec<Remark>) -> Told<T> {
    if remarks.iter().any(|r| r.weight == Weight::Refusal) {
        Err(Refusal { remarks })
    } else {
        Ok(Remarked { value, remarks })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.file, self.line) {
            (Some(file), Some(line)) => write!(f, "{file}:{line}: "),
            (Some(file), None) => write!(f, "{file}: "),
            (None, Some(line)) => write!(f, "line {line}: "),
            (None, None) => Ok(()),
        }
    }
}

impl fmt::Display for Remark {
    /// `order.toml:7: waist = "82" has no unit; write "82 cm"`. The field stands in the sentence where it matters.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.place, self.sentence)?;
        if let Some(remedy) = &self.remedy {
            write!(f, "; {remedy}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.remarks.iter().map(Remark::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl std::error::Error for Refusal {}

/// Why a file can't be read or written, in words that she can act on; what is not known here as the system says it.
pub fn why_not(error: &Error) -> String {
    let says = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "you may not read or write there",
        ErrorKind::IsADirectory => "that is a folder",
        ErrorKind::NotADirectory => "a part of its path is no folder",
        ErrorKind::InvalidData => "it is no plain text",
        ErrorKind::StorageFull => "the disk is full",
        ErrorKind::ReadOnlyFilesystem => "nothing can be written on that disk",
        _ => return format!("the system says: {error}"),
    };
    says.to_owned()
}

/// With a capital at its start, as a sentence has it.
pub fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
