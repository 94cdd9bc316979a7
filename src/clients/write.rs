//! What is written into a client's file: always a part of its own, put at the end.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::Date;
use crate::order::{MEASURES, Measure};

/// The file of a new client, with nothing in it yet.
pub fn new(name: &str) -> String {
    format!("name = {}\n", quoted(name))
}

/// A set of measurements, each as it was written.
pub fn measured(on: Date, written: &BTreeMap<Measure, String>) -> String {
    let mut text = format!("\n[[measured]]\non = {on}\n");
    for facts in &MEASURES {
        if let Some(value) = written.get(&facts.measure) {
            let _ = writeln!(text, "{} = {}", facts.key, quoted(value));
        }
    }
    text
}

/// A note.
pub fn note(on: Date, note: &str) -> String {
    format!("\n[[note]]\non = {on}\ntext = {}\n", quoted(note))
}

/// An order that was made.
pub fn made(on: Date, order: &str, garment: &str) -> String {
    format!("\n[[made]]\non = {on}\norder = {}\ngarment = {}\n", quoted(order), quoted(garment))
}

/// A text as a basic string of TOML 1.0: quotes, backslashes and controls escaped, everything else as it is.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted + "\""
}
