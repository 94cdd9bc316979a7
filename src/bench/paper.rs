//! The order as it stands on paper: the text of its file, so that what the file says and what is on screen are one.
//!
//! A field of the bench is an entry of that text. Writing into one changes that entry and nothing else: her comments, her
//! order of lines and her way of writing a length stay as they are. Nothing is checked here but that the text is TOML at
//! all; what an entry means is for `order` to say.

use toml_edit::{Array, Datetime, DocumentMut, Item, Table, Value};

use crate::entries::slip::slip;
use crate::remark::{Refusal, Remark};

/// An order's text.
#[derive(Clone, Debug)]
pub struct Paper {
    document: DocumentMut,
    text: String,
}

/// An entry of the paper.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Entry {
    /// Its section: client, body, garment, rules, cloth.
    pub section: &'static str,
    /// Its key in that section.
    pub key: &'static str,
    /// How it is written.
    pub form: Form,
}

/// How an entry is written in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// In quotes.
    Text,
    /// Bare when it is a number; in quotes otherwise, so that the fault can be told.
    Number,
    /// Bare when it is a date; in quotes otherwise.
    Date,
    /// One of a list of two, by its place.
    OfTwo(usize),
    /// A list as it stands, lengths with commas between them; in quotes when it is none, so that the fault can be told.
    List,
}

impl PartialEq for Paper {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl Entry {
    /// A text.
    pub const fn text(section: &'static str, key: &'static str) -> Self {
        Self { section, key, form: Form::Text }
    }

    /// The field as remarks name it: `body.waist`.
    pub fn field(&self) -> String {
        format!("{}.{}", self.section, self.key)
    }
}

impl Paper {
    /// A new order: its sections, and nothing measured yet.
    pub fn blank() -> Self {
        let text = "[client]\n\n[body]\n\n[garment]\nkind = \"a-line-dress\"\n";
        Self { document: text.parse().unwrap_or_default(), text: text.to_owned() }
    }

    /// The paper of a text.
    ///
    /// # Errors
    /// When it is not TOML, with the line at which reading ended.
    pub fn of(text: &str) -> Result<Self, Refusal> {
        match text.parse::<DocumentMut>() {
            Ok(document) => Ok(Self { document, text: text.to_owned() }),
            Err(error) => {
                let at = error.span().map_or(0, |span| span.start.min(text.len()));
                let line = 1 + text.as_bytes()[..at].iter().filter(|byte| **byte == b'\n').count();
                let says = error.message().lines().collect::<Vec<_>>().join(", ");
                let slip = slip(text, line, &says);
                let write = slip.write;
                Err(Refusal::because(
                    Remark::refusal(slip.says)
                        .line(line)
                        .remedy(format!("{write}, in a text editor; the file was left as it is")),
                ))
            }
        }
    }

    /// The text of the file.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether it has such a section.
    pub fn has(&self, section: &str) -> bool {
        self.document.contains_key(section)
    }

    /// Whether nothing is written on it.
    pub fn is_empty(&self) -> bool {
        self.document.is_empty()
    }

    /// What is written at an entry; empty when nothing is.
    pub fn written(&self, entry: &Entry) -> String {
        let item = self.document.get(entry.section).and_then(|section| section.get(entry.key));
        let Some(value) = item.and_then(Item::as_value) else { return String::new() };
        match (entry.form, value) {
            (Form::OfTwo(place), Value::Array(list)) => list.get(place).map(bare).unwrap_or_default(),
            (Form::OfTwo(_), _) => String::new(),
            (Form::List, Value::Array(list)) if list.iter().all(Value::is_str) => {
                list.iter().map(bare).collect::<Vec<_>>().join(", ")
            }
            (_, value) => bare(value),
        }
    }

    /// The paper with something else written at an entry. An empty text takes the entry out, and a section with nothing
    /// left in it goes with it.
    #[must_use]
    pub fn with(&self, entry: &Entry, written: &str) -> Self {
        let mut document = self.document.clone();
        let section = document.entry(entry.section).or_insert_with(|| Item::Table(Table::new()));
        if !section.is_table_like() {
            *section = Item::Table(Table::new());
        }
        let Some(table) = section.as_table_like_mut() else { return self.clone() };
        match value(table.get(entry.key).and_then(Item::as_value), entry.form, written) {
            None => drop(table.remove(entry.key)),
            Some(mut value) => {
                let old = table.get(entry.key).and_then(Item::as_value);
                *value.decor_mut() = old.map(|old| old.decor().clone()).unwrap_or_default();
                table.insert(entry.key, Item::Value(value));
            }
        }
        if table.is_empty() {
            document.remove(entry.section);
        }
        let text = document.to_string();
        Self { document, text }
    }
}

/// A value without its quotes.
fn bare(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        other => other.to_string().trim().to_owned(),
    }
}

/// What is to be written; none takes the entry out.
fn value(old: Option<&Value>, form: Form, written: &str) -> Option<Value> {
    let plain = written.trim();
    if let Form::OfTwo(place) = form {
        let mut two = [String::new(), String::new()];
        if let Some(list) = old.and_then(Value::as_array) {
            list.iter().zip(&mut two).for_each(|(value, text)| *text = bare(value));
        }
        if let Some(text) = two.get_mut(place) {
            written.clone_into(text);
        }
        return two.iter().any(|text| !text.trim().is_empty()).then(|| Value::from(Array::from_iter(two)));
    }
    if plain.is_empty() {
        return None;
    }
    Some(match form {
        Form::Number => number(plain).unwrap_or_else(|| Value::from(written)),
        Form::List => plain.parse::<Value>().unwrap_or_else(|_| Value::from(written)),
        Form::Date => plain.parse::<Datetime>().map_or_else(|_| Value::from(written), Value::from),
        _ => Value::from(written),
    })
}

/// Lengths with commas between them as a list; none when that is no such thing.
pub fn listed(plain: &str) -> Option<String> {
    let is_lengths = plain.contains(',') && !plain.contains(['[', ']', '"']);
    is_lengths.then(|| Value::from(plain.split(',').map(str::trim).collect::<Array>()).to_string())
}

/// A plain number, as TOML writes it.
fn number(plain: &str) -> Option<Value> {
    let value: f64 = plain.replace(',', ".").parse().ok()?;
    if !value.is_finite() {
        return None;
    }
    Some(plain.parse::<i64>().map_or_else(|_| Value::from(value), Value::from))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WAIST: Entry = Entry::text("body", "waist");

    #[test]
    fn writing_keeps_every_other_word_of_the_file() {
        let text = "# Rosalind\n[body]\nbust = \"94 cm\"   # over the corset\nwaist = \"78 cm\" # twice\n\n[garment]\n";
        let paper = Paper::of(text).expect("TOML");
        let changed = paper.with(&WAIST, "78½ cm");
        assert_eq!(changed.text(), text.replace("78 cm", "78½ cm"));
        assert_eq!(changed.written(&WAIST), "78½ cm");
        assert_eq!(changed.with(&WAIST, "78 cm"), paper);
    }

    #[test]
    fn every_form_reads_back_as_it_was_typed() {
        let rule = Entry { section: "rules", key: "chest_parts", form: Form::Number };
        let date = Entry { section: "client", key: "measured", form: Form::Date };
        let along = Entry { section: "cloth", key: "repeat", form: Form::OfTwo(0) };
        let across = Entry { section: "cloth", key: "repeat", form: Form::OfTwo(1) };
        let mut paper = Paper::blank();
        for (entry, written) in [
            (&rule, "6"),
            (&rule, "6.5"),
            (&rule, "six"),
            (&date, "2026-11-25"),
            (&date, "last week"),
            (&along, "32 cm"),
            (&across, "64 cm"),
            (&WAIST, "31 1/8\" "),
            (&WAIST, "a \"quoted\" \\ text"),
        ] {
            paper = paper.with(entry, written);
            assert_eq!(paper.written(entry), written);
            assert!(Paper::of(paper.text()).is_ok(), "{}", paper.text());
        }
        assert!(paper.text().contains("repeat = [\"32 cm\", \"64 cm\"]"), "{}", paper.text());
        let bare = paper.with(&rule, "6").with(&date, "2026-11-25");
        assert!(bare.text().contains("chest_parts = 6\n") && bare.text().contains("measured = 2026-11-25\n"));
        let gone = bare.with(&along, "").with(&across, " ").with(&rule, "");
        assert!(!gone.has("cloth") && !gone.has("rules"), "{}", gone.text());
    }

    #[test]
    fn a_text_that_is_no_toml_is_refused_with_its_line() {
        let refusal = Paper::of("[body]\nbust = 94 cm\n").unwrap_err();
        assert_eq!(refusal.remarks[0].place.line, Some(2));
    }

    #[test]
    fn a_section_that_is_none_becomes_one_when_she_writes_into_it() {
        let paper = Paper::of("body = 3\n").expect("TOML");
        assert_eq!(paper.with(&WAIST, "78 cm").written(&WAIST), "78 cm");
    }
}
