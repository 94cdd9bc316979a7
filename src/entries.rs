//! A TOML file read entry by entry: every value knows its line, every fault is collected, nothing is skipped in silence.
//!
//! A reader takes the entries that it knows out of a section; [`Entries::close`] then refuses what is left,
//! with the nearest known key. All faults of a file are told at once.

mod find;
mod lists;
pub mod other;
pub mod slip;

use std::cell::RefCell;

pub use find::{line_of, nearest, shown};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::remark::{Refusal, Remark};
use crate::units::{Length, read_length, unit_of_most, with_likely_unit};

/// Most faults that are told of one file: whoever has more mends these first.
const MOST_FAULTS: usize = 100;

/// The text and all that was found wrong with it so far.
pub struct Source<'t> {
    text: &'t str,
    line_ends: Vec<usize>,
    faults: RefCell<Vec<Remark>>,
    missing: RefCell<Vec<Remark>>,
    misspelt: RefCell<Vec<String>>,
    unreadable: RefCell<Vec<usize>>,
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
        let line_ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect();
        Self {
            text,
            line_ends,
            faults: RefCell::default(),
            missing: RefCell::default(),
            misspelt: RefCell::default(),
            unreadable: RefCell::default(),
        }
    }

    /// The file's top level. Faults of TOML itself are collected like all others.
    pub fn entries(&self) -> Entries<'_, 't> {
        let (table, errors) = DeTable::parse_recoverable(self.text);
        for error in errors {
            let line = error.span().map_or(1, |span| self.line_at(span.start));
            let says = error.message().lines().collect::<Vec<_>>().join(", ");
            let slip = slip::slip(self.text, line, &says);
            self.fault(Remark::refusal(slip.says).line(line).remedy(slip.write));
            self.unreadable.borrow_mut().push(line);
        }
        Entries { source: self, name: String::new(), line: 1, left: table.into_inner(), known: Vec::new() }
    }

    /// Adds a fault, but none of a line that could not be read anyway: what was made of it is guesswork.
    pub fn fault(&self, remark: Remark) {
        if remark.place.line.is_none_or(|line| !self.unreadable.borrow().contains(&line)) {
            self.faults.borrow_mut().push(remark);
        }
    }

    /// Adds that something is missing. It is not told where a line could not be read, since it may stand there, nor
    /// where it stands under a misspelt name, or in a section that is itself at fault.
    pub fn missing(&self, remark: Remark) {
        self.missing.borrow_mut().push(remark);
    }

    /// Everything found wrong, in the order of the lines; of very many faults the first.
    pub fn faults(self) -> Vec<Remark> {
        let mut faults = self.faults.into_inner();
        let misspelt = self.misspelt.into_inner();
        let faulty = faults.iter().filter_map(|remark| remark.place.field.clone());
        let there: Vec<String> = misspelt.into_iter().chain(faulty).collect();
        let within = |field: &str, known: &String| field == known || field.starts_with(&format!("{known}."));
        let is_there = |remark: &Remark| {
            remark.place.field.as_ref().is_some_and(|field| there.iter().any(|known| within(field, known)))
        };
        if self.unreadable.borrow().is_empty() {
            faults.extend(self.missing.into_inner().into_iter().filter(|remark| !is_there(remark)));
        }
        faults.sort_by_key(|remark| remark.place.line);
        let more = faults.len().saturating_sub(MOST_FAULTS);
        if more > 0 {
            faults.truncate(MOST_FAULTS);
            let last = faults.last().and_then(|fault| fault.place.line).unwrap_or(1);
            faults.push(
                Remark::refusal(format!("{more} more faults follow"))
                    .line(last)
                    .remedy("mend those above first, and see whether this is the right file"),
            );
        }
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
        1 + self.line_ends.partition_point(|end| *end < byte)
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

    /// Adds that one of its keys is missing, unless a fault was found at it.
    pub fn missing(&self, key: &str, remedy: &str) {
        if !self.has_fault_at(key) {
            let field = self.field(key);
            let remark = Remark::refusal(format!("{field} is missing")).line(self.line).field(field);
            self.source.missing(remark.remedy(remedy));
        }
    }

    /// Whether a fault was already found at one of its keys.
    pub fn has_fault_at(&self, key: &str) -> bool {
        let field = self.field(key);
        let is_of =
            |found: &String| found.strip_prefix(&field).is_some_and(|rest| rest.is_empty() || rest.starts_with('['));
        self.source.faults.borrow().iter().any(|remark| remark.place.field.as_ref().is_some_and(is_of))
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
                let sentence = format!("{key} is a {}, not a section", kind(&other));
                let once = if matches!(other, DeValue::Array(_)) { ", in single brackets" } else { "" };
                self.fault(key, line, sentence, format!("write [{}] on a line of its own{once}", self.field(key)));
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
                self.fault(key, line, format!("{key} is a {}, not a text", kind(&other)), "put it in quotes");
                None
            }
        }
    }

    /// One text or a list of them; none where there is none.
    pub fn texts(&mut self, key: &'static str) -> Vec<Placed<String>> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let line = self.line_of(&value);
        let items = match value.into_inner() {
            DeValue::Array(items) => items.into_iter().map(Spanned::into_inner).collect(),
            one => vec![one],
        };
        let mut texts = Vec::new();
        for item in items {
            match item {
                DeValue::String(text) => texts.push(Placed { value: text.into_owned(), line }),
                other => {
                    self.fault(key, line, format!("{key} is a {}, not a text", kind(&other)), "put it in quotes");
                }
            }
        }
        texts
    }

    /// A length.
    pub fn length(&mut self, key: &'static str) -> Option<Placed<Length>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        self.length_in(key, line, value.get_ref()).map(|value| Placed { value, line })
    }

    /// A length of which its reader will believe a range: it tells which unit a bare number was meant in.
    pub fn length_within(&mut self, key: &'static str, believed_mm: [f64; 2]) -> Option<Placed<Length>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        self.length_like((key, line), value.get_ref(), Some(believed_mm)).map(|value| Placed { value, line })
    }

    /// What to write for a number without a unit.
    pub fn unit_for(&self, number: f64, believed_mm: Option<[f64; 2]>) -> String {
        with_likely_unit(number, unit_of_most(self.source.text), believed_mm)
    }

    /// Every entry of the section as a length or a number, with its key. Nothing is unknown afterwards.
    pub fn amounts(&mut self) -> Vec<(String, Placed<Amount>)> {
        let left = std::mem::take(&mut self.left);
        let mut amounts = Vec::new();
        for (key, value) in left {
            let (key, line) = (key.into_inner().into_owned(), self.line_of(&value));
            let amount = match value.get_ref() {
                number @ (DeValue::Integer(_) | DeValue::Float(_)) => {
                    self.number_in(&key, line, number).map(Amount::Number)
                }
                other => self.length_in(&key, line, other).map(Amount::Length),
            };
            if let Some(value) = amount {
                amounts.push((key, Placed { value, line }));
            }
        }
        amounts
    }

    fn length_in(&self, key: &str, line: usize, value: &DeValue<'_>) -> Option<Length> {
        self.length_like((key, line), value, None)
    }

    fn length_like(
        &self,
        (key, line): (&str, usize),
        value: &DeValue<'_>,
        believed_mm: Option<[f64; 2]>,
    ) -> Option<Length> {
        let (written, shown) = match value {
            DeValue::String(text) => (text.as_ref(), format!("\"{}\"", shown(text))),
            DeValue::Integer(number) => (number.as_str(), shown(number.as_str())),
            DeValue::Float(number) => (number.as_str(), shown(number.as_str())),
            other => {
                let sentence = format!("{} is a {}, not a length", shown(key), kind(other));
                self.fault(key, line, sentence, format!("write {} = \"92 cm\"", shown(key)));
                return None;
            }
        };
        match read_length(written) {
            Ok(length) => Some(length),
            Err(no) => {
                let write = no.bare.map_or(no.write, |number| self.unit_for(number, believed_mm));
                self.fault(key, line, format!("{key} = {shown} {}", no.says), write);
                None
            }
        }
    }

    /// A plain number, which may be one that is not finite; its reader has a range for it.
    fn number_in(&self, key: &str, line: usize, value: &DeValue<'_>) -> Option<f64> {
        let (written, radix) = match value {
            DeValue::Integer(number) => (number.as_str(), number.radix()),
            DeValue::Float(number) => (number.as_str(), 10),
            _ => return None,
        };
        let number = written.replace('_', "").parse().ok().filter(|_| radix == 10);
        if number.is_none() {
            let sentence = format!("{} is a number in another notation", shown(key));
            self.fault(key, line, sentence, "write it with the digits 0 to 9");
        }
        number
    }

    /// Refuses every entry that nobody took, offering the nearest known key.
    pub fn close(self) {
        for (key, value) in &self.left {
            let line = self.line_of(value).min(self.line_of(key));
            let key = key.get_ref().as_ref();
            let place = if self.name.is_empty() { "this file".to_owned() } else { format!("[{}]", self.name) };
            let remedy = match nearest(key, &self.known) {
                Some(near) => {
                    self.source.misspelt.borrow_mut().push(self.field(near));
                    format!("did you mean {near}?")
                }
                None => format!("known here: {}", self.known.join(", ")),
            };
            let key = shown(key);
            self.fault(&key, line, format!("{key} is not known in {place}"), remedy);
        }
    }
}

/// What a value is, in her words.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "number",
        DeValue::Boolean(_) => "yes or no",
        DeValue::Datetime(_) => "date",
        DeValue::Array(_) => "list",
        DeValue::Table(_) => "section",
    }
}
