//! A TOML file read entry by entry: every value knows its line, every fault is collected, nothing is skipped in silence.
//!
//! A reader takes the entries that it knows out of a section; [`Entries::close`] then refuses what is left,
//! with the nearest known key. All faults of a file are told at once.

use std::cell::RefCell;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::remark::{Refusal, Remark};
use crate::units::{Length, read_length};

/// A key at least this similar (Jaro-Winkler, 1 = the same) is offered in place of an unknown one.
const NEAREST_KEY: f64 = 0.75;

/// The text and all that was found wrong with it so far.
pub struct Source<'t> {
    text: &'t str,
    faults: RefCell<Vec<Remark>>,
}

/// One section of the file, less the entries already taken.
pub struct Entries<'s, 't> {
    source: &'s Source<'t>,
    name: String,
    line: usize,
    left: DeTable<'t>,
    known: Vec<&'static str>,
}

/// A value with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Its line in the file, from 1.
    pub line: usize,
}

/// A quantity in a file: a length, or a plain number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// A length, as text with a unit.
    Length(Length),
    /// A bare number.
    Number(f64),
}

impl<'t> Source<'t> {
    /// Wraps a text to be read.
    pub fn new(text: &'t str) -> Self {
        Self { text, faults: RefCell::default() }
    }

    /// The file's top level. Faults of TOML itself are collected like all others.
    pub fn entries(&self) -> Entries<'_, 't> {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        for error in errors {
            let line = error.span().map_or(1, |span| self.line_at(span.start));
            let says = error.message().lines().collect::<Vec<_>>().join(", ");
            self.fault(
                Remark::refusal(format!("this line can't be read: {says}"))
                    .line(line)
                    .remedy("write it as key = \"value\", texts and lengths in quotes"),
            );
        }
        Entries { source: self, name: String::new(), line: 1, left: table.into_inner(), known: Vec::new() }
    }

    /// Adds a fault.
    pub fn fault(&self, remark: Remark) {
        self.faults.borrow_mut().push(remark);
    }

    /// Everything found wrong, in the order of the lines.
    pub fn faults(self) -> Vec<Remark> {
        let mut faults = self.faults.into_inner();
        faults.sort_by_key(|remark| remark.place.line);
        faults
    }

    /// A refusal when anything was found wrong.
    ///
    /// # Errors
    /// All faults.
    pub fn checked(self) -> Result<Vec<Remark>, Refusal> {
        crate::remark::told((), self.faults()).map(|told| told.remarks)
    }

    fn line_at(&self, byte: usize) -> usize {
        1 + self.text.as_bytes()[..byte.min(self.text.len())].iter().filter(|b| **b == b'\n').count()
    }
}

impl<'s, 't> Entries<'s, 't> {
    /// The line on which the section stands.
    pub fn line(&self) -> usize {
        self.line
    }

    /// The dotted name of one of its keys.
    pub fn field(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }

    /// Adds a fault at one of its keys.
    pub fn fault(&self, key: &str, line: usize, sentence: String, remedy: impl Into<String>) {
        self.source.fault(Remark::refusal(sentence).line(line).field(self.field(key)).remedy(remedy));
    }

    /// Whether a fault was already found at one of its keys.
    pub fn has_fault_at(&self, key: &str) -> bool {
        let field = self.field(key);
        self.source.faults.borrow().iter().any(|remark| remark.place.field.as_ref() == Some(&field))
    }

    fn take(&mut self, key: &'static str) -> Option<Spanned<DeValue<'t>>> {
        self.known.push(key);
        self.left.remove(key)
    }

    fn line_of<T>(&self, value: &Spanned<T>) -> usize {
        self.source.line_at(value.span().start)
    }

    /// A section of this one.
    pub fn section(&mut self, key: &'static str) -> Option<Entries<'s, 't>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        match value.into_inner() {
            DeValue::Table(left) => {
                Some(Entries { source: self.source, name: self.field(key), line, left, known: Vec::new() })
            }
            other => {
                let sentence = format!("{key} is a {}, not a section", other.type_str());
                self.fault(key, line, sentence, format!("write [{}] on a line of its own", self.field(key)));
                None
            }
        }
    }

    /// A list of sections, as `[[key]]` makes them.
    pub fn sections(&mut self, key: &'static str) -> Vec<Entries<'s, 't>> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let line = self.line_of(&value);
        let DeValue::Array(items) = value.into_inner() else {
            self.fault(key, line, format!("{key} is not a list"), format!("write [[{key}]] before each one"));
            return Vec::new();
        };
        let mut sections = Vec::new();
        for item in items.into_iter() {
            let line = self.line_of(&item);
            match item.into_inner() {
                DeValue::Table(left) => {
                    sections.push(Entries { source: self.source, name: self.field(key), line, left, known: Vec::new() })
                }
                _ => {
                    self.fault(key, line, format!("{key} has an entry that is no section"), format!("write [[{key}]]"))
                }
            }
        }
        sections
    }

    /// A text.
    pub fn text(&mut self, key: &'static str) -> Option<Placed<String>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        match value.into_inner() {
            DeValue::String(text) => Some(Placed { value: text.into_owned(), line }),
            DeValue::Datetime(date) => Some(Placed { value: date.to_string(), line }),
            other => {
                self.fault(key, line, format!("{key} is a {}, not a text", other.type_str()), "put it in quotes");
                None
            }
        }
    }

    /// A length.
    pub fn length(&mut self, key: &'static str) -> Option<Placed<Length>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        self.length_in(key, line, value.get_ref()).map(|value| Placed { value, line })
    }

    /// A list of lengths.
    pub fn lengths(&mut self, key: &'static str) -> Option<Placed<Vec<Length>>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        let DeValue::Array(items) = value.into_inner() else {
            self.fault(key, line, format!("{key} is not a list"), format!("write {key} = [\"32 cm\", \"64 cm\"]"));
            return None;
        };
        let value: Vec<Length> = items.iter().filter_map(|item| self.length_in(key, line, item.get_ref())).collect();
        (value.len() == items.len()).then_some(Placed { value, line })
    }

    /// Every entry of the section as a length or a number, with its key. Nothing is unknown afterwards.
    pub fn amounts(&mut self) -> Vec<(String, Placed<Amount>)> {
        let left = std::mem::take(&mut self.left);
        let mut amounts = Vec::new();
        for (key, value) in left {
            let (key, line) = (key.into_inner().into_owned(), self.line_of(&value));
            let amount = match value.get_ref() {
                number @ (DeValue::Integer(_) | DeValue::Float(_)) => number_in(number).map(Amount::Number),
                other => self.length_in(&key, line, other).map(Amount::Length),
            };
            if let Some(value) = amount {
                amounts.push((key, Placed { value, line }));
            }
        }
        amounts
    }

    fn length_in(&self, key: &str, line: usize, value: &DeValue<'_>) -> Option<Length> {
        let text = match value {
            DeValue::String(text) => text.to_string(),
            DeValue::Integer(number) => number.as_str().to_owned(),
            DeValue::Float(number) => number.as_str().to_owned(),
            other => {
                let sentence = format!("{key} is a {}, not a length", other.type_str());
                self.fault(key, line, sentence, format!("write {key} = \"92 cm\""));
                return None;
            }
        };
        match read_length(&text) {
            Ok(length) => Some(length),
            Err(no) => {
                let shown: String = text.chars().take(40).collect();
                self.fault(key, line, format!("{key} = \"{shown}\" {}", no.says), no.write);
                None
            }
        }
    }

    /// Refuses every entry that nobody took, offering the nearest known key.
    pub fn close(self) {
        for (key, value) in &self.left {
            let line = self.line_of(value).min(self.line_of(key));
            let key = key.get_ref().as_ref();
            let place = if self.name.is_empty() { "this file".to_owned() } else { format!("[{}]", self.name) };
            let remedy = match nearest(key, &self.known) {
                Some(near) => format!("did you mean {near}?"),
                None => format!("known here: {}", self.known.join(", ")),
            };
            self.fault(key, line, format!("{key} is not known in {place}"), remedy);
        }
    }
}

/// A TOML number; none for one that is not finite.
fn number_in(value: &DeValue<'_>) -> Option<f64> {
    let text = match value {
        DeValue::Integer(number) => number.as_str(),
        DeValue::Float(number) => number.as_str(),
        _ => return None,
    };
    text.replace('_', "").parse().ok()
}

/// The known key most like the given one, when any is like it at all.
pub fn nearest<'k>(key: &str, known: &[&'k str]) -> Option<&'k str> {
    let likeness = |other: &str| strsim::jaro_winkler(&key.to_lowercase(), other);
    let best = known.iter().max_by(|a, b| likeness(a).total_cmp(&likeness(b)))?;
    (likeness(best) >= NEAREST_KEY).then_some(*best)
}
