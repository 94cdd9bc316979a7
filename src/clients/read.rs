//! Reading a client's file: what each entry means, and what is refused.

use std::collections::BTreeMap;

use super::{Client, Date, Made, MeasureSet, Note, Taken};
use crate::entries::other::{CLIENT, another};
use crate::entries::{Entries, Source, shown};
use crate::order::{MEASURES, Measure, measured};
use crate::remark::{Refusal, Told, told};

/// Reads a client's file.
///
/// # Errors
/// Every fault of the file at once, each with its line, its field and what to write.
pub fn read(text: &str) -> Told<Client> {
    if let Some(remark) = another(text, CLIENT) {
        return Err(Refusal::because(remark));
    }
    let source = Source::new(text);
    let mut file = source.entries();
    let name = file.text("name").map(|name| name.value).unwrap_or_default();
    if name.trim().is_empty() {
        file.missing("name", "write whose measurements these are: name = \"Rosalind\"");
    }
    let mut sets = sets(&mut file, text);
    let mut notes: Vec<Note> = file.sections("note").into_iter().filter_map(note).collect();
    let mut made: Vec<Made> = file.sections("made").into_iter().filter_map(made).collect();
    file.close();
    sets.sort_by_key(|set| set.on);
    notes.sort_by_key(|note| note.on);
    made.sort_by_key(|made| made.on);
    told(Client { name, notes, sets, made }, source.faults())
}

/// The measurements of an order as they stand in its text.
pub fn body_as_written(order: &str) -> BTreeMap<Measure, String> {
    Source::new(order).entries().section("body").map(as_written).unwrap_or_default()
}

fn as_written(mut section: Entries<'_, '_>) -> BTreeMap<Measure, String> {
    MEASURES.iter().filter_map(|facts| Some((facts.measure, section.text(facts.key)?.value))).collect()
}

/// The sets of measurements, each day once.
fn sets(file: &mut Entries<'_, '_>, text: &str) -> Vec<MeasureSet> {
    let written = Source::new(text).entries().sections("measured").into_iter().map(as_written).collect::<Vec<_>>();
    let mut sets: Vec<MeasureSet> = Vec::new();
    for (section, written) in file.sections("measured").into_iter().zip(written) {
        let line = section.line();
        let Some(set) = set(section, &written) else { continue };
        if sets.iter().any(|other| other.on == set.on) {
            let sentence = format!("measured twice on {}", set.on);
            file.fault("measured", line, sentence, "give the two different days, or put them together");
        } else {
            sets.push(set);
        }
    }
    sets
}

fn set(mut section: Entries<'_, '_>, written: &BTreeMap<Measure, String>) -> Option<MeasureSet> {
    let on = on(&mut section);
    let mut taken = BTreeMap::new();
    for facts in &MEASURES {
        // What is unusual was said when it was taken.
        let read = measured(facts, &mut section, &mut Vec::new());
        if let (Some(read), Some(written)) = (read, written.get(&facts.measure)) {
            taken.insert(facts.measure, Taken { length: read.value, written: written.clone() });
        }
    }
    section.close();
    Some(MeasureSet { on: on?, taken })
}

fn note(mut section: Entries<'_, '_>) -> Option<Note> {
    let on = on(&mut section);
    let text = needed(&mut section, "text", "write what is to be remembered: text = \"likes a deep neck\"");
    section.close();
    Some(Note { on: on?, text: text? })
}

fn made(mut section: Entries<'_, '_>) -> Option<Made> {
    let on = on(&mut section);
    let order = needed(&mut section, "order", "write the order's file: order = \"rosalind-gown.toml\"");
    let garment = needed(&mut section, "garment", "write what it was: garment = \"a-line-dress\"");
    section.close();
    Some(Made { on: on?, order: order?, garment: garment? })
}

fn needed(section: &mut Entries<'_, '_>, key: &'static str, remedy: &str) -> Option<String> {
    let text = section.text(key);
    if text.is_none() {
        section.missing(key, remedy);
    }
    text.map(|text| text.value)
}

/// The day of an entry.
fn on(section: &mut Entries<'_, '_>) -> Option<Date> {
    let Some(text) = section.text("on") else {
        section.missing("on", "write the day: on = 2026-11-02");
        return None;
    };
    let date = text.value.parse();
    if date.is_err() {
        let sentence = format!("on = {} is no day of the calendar", shown(&text.value));
        section.fault("on", text.line, sentence, "write year, month and day: on = 2026-11-02");
    }
    date.ok()
}
