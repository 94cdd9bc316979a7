//! Faults in a TOML text as remarks: the line, the field, what is wrong, and what to write instead.

use std::ops::Range;

use serde::de::{Deserialize, Deserializer, Error, Visitor};

use crate::entries::slip::slip;
use crate::remark::Remark;
use crate::units::{NoLength, read_length};

/// A length in a file, in millimetres. A bare number is refused.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LengthMm(pub f64);

/// Names further than this from what was written are no likely slip of the pen (Jaro-Winkler similarity, 0 to 1).
const LIKELY_SLIP: f64 = 0.75;

/// The line, counted from 1, of a place in the text.
pub fn line_at(text: &str, offset: usize) -> usize {
    let end = offset.min(text.len());
    text.as_bytes()[..end].iter().filter(|b| **b == b'\n').count() + 1
}

/// The field that a place in the text belongs to: the table's name and the key of its line, as `tape.sigma`.
pub fn field_at(text: &str, offset: usize) -> Option<String> {
    let lines: Vec<&str> = text.lines().take(line_at(text, offset)).collect();
    let section = lines.iter().rev().find_map(|line| {
        let line = line.trim();
        let inner = line.strip_prefix('[')?.trim_start_matches('[');
        Some(inner.split(']').next().unwrap_or(inner).trim().to_owned())
    });
    let key = lines.last().and_then(|line| {
        let (key, _) = line.split_once('=')?;
        Some(key.trim().to_owned())
    });
    match (section, key) {
        (Some(section), Some(key)) => Some(format!("{section}.{key}")),
        (section, key) => key.or(section),
    }
}

/// What the TOML reader found wrong, as a remark with its place and remedy.
pub fn toml_remark(text: &str, error: &toml::de::Error) -> Remark {
    let span = error.span().unwrap_or(0..0);
    let message = error.message().replace('\n', ", ");
    let line = line_at(text, span.start);
    let remark = in_words(&message, section_at(text, &span).as_deref()).unwrap_or_else(|| {
        let slip = slip(text, line, &message);
        Remark::refusal(slip.says).remedy(slip.write)
    });
    let remark = remark.line(line);
    match field_at(text, span.start) {
        Some(field) => remark.field(field),
        None => remark.field("the file"),
    }
}

fn section_at(text: &str, span: &Range<usize>) -> Option<String> {
    field_at(text, span.start).map(|field| field.split('.').next().unwrap_or_default().to_owned())
}

/// What the reader of fields says, in her words; none where the line is no TOML at all.
fn in_words(message: &str, section: Option<&str>) -> Option<Remark> {
    let quoted: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    if message.starts_with("unknown field")
        && let Some((name, known)) = quoted.split_first()
    {
        return Some(Remark::refusal(format!("'{name}' is not known here")).remedy(instead_of(name, known)));
    }
    if let Some(name) = message.strip_prefix("missing field `").and_then(|rest| rest.strip_suffix('`')) {
        let place = section.map_or_else(|| format!("add [{name}]"), |s| format!("add {name} to [{s}]"));
        return Some(Remark::refusal(format!("'{name}' is missing")).remedy(place));
    }
    if let Some((says, write)) = message.split_once("; ") {
        return Some(Remark::refusal(says).remedy(write));
    }
    let mend = "mend this line; the README shows how the file is written";
    message.starts_with("invalid").then(|| Remark::refusal(message.to_owned()).remedy(mend))
}

/// The remedy for a name that is not among `known`.
pub fn instead_of(name: &str, known: &[&str]) -> String {
    let likeness = |k: &&&str| strsim::jaro_winkler(name, k);
    let nearest = known.iter().max_by(|a, b| likeness(a).total_cmp(&likeness(b)));
    match nearest {
        Some(nearest) if likeness(&nearest) >= LIKELY_SLIP => format!("did you mean '{nearest}'?"),
        Some(_) => format!("use one of: {}", known.join(", ")),
        None => "take it out".to_owned(),
    }
}

/// Why `written` is no length, in the words that [`toml_remark`] splits again at the semicolon.
fn no_length(written: &str, why: &NoLength) -> String {
    format!("\"{written}\" {}; {}", why.says, why.write)
}

impl<'de> Deserialize<'de> for LengthMm {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(LengthVisitor)
    }
}

struct LengthVisitor;

impl Visitor<'_> for LengthVisitor {
    type Value = LengthMm;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a length in quotes with its unit, such as \"12.5 mm\"")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<LengthMm, E> {
        read_length(text).map(|length| LengthMm(length.mm)).map_err(|why| E::custom(no_length(text, &why)))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<LengthMm, E> {
        Err(bare(&number.to_string()))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<LengthMm, E> {
        Err(bare(&number.to_string()))
    }
}

fn bare<E: Error>(number: &str) -> E {
    E::custom(format!("{number} has no unit; write \"{number} mm\" in quotes, or another unit"))
}
