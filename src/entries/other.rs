//! Which of her files a text is, told by its sections, so that one that is given in another's place is called by its name: one
//! sentence, where otherwise every line of it would be a fault.

use crate::remark::Remark;

/// Her files: what each is called, and the sections that tell it. One that has sections of a later one stands before it.
const FILES: [(&str, &[&str]); 7] = [
    ("the place of a cutting session", &["belongs"]),
    ("a lay that is kept", &["made_for"]),
    (TABLE, &["table", "fit"]),
    (READINGS, &["grid", "tape"]),
    (CLIENT, &["measured", "made", "note"]),
    (ORDER, &["body", "garment"]),
    (JOB, &["order"]),
];

/// What an order is called, and so on.
pub const ORDER: &str = "an order";
/// What a job is called.
pub const JOB: &str = "a job of several orders";
/// What a client's file is called.
pub const CLIENT: &str = "a client's file";
/// What a table is called.
pub const TABLE: &str = "a table";
/// What readings are called.
pub const READINGS: &str = "a file of readings";

/// What is said of a text that is plainly another file than what is wanted; none where it may be that.
pub fn another(text: &str, wanted: &str) -> Option<Remark> {
    let (found, line) = found(text).filter(|(found, _)| *found != wanted)?;
    let of_wanted = FILES.iter().find(|(file, _)| *file == wanted).map_or(&[][..], |(_, names)| names);
    let sections: Vec<String> = of_wanted.iter().map(|name| format!("[{name}]")).collect();
    let remark = Remark::refusal(format!("this is {found}, and {wanted} is wanted")).line(line);
    Some(remark.remedy(format!("give the file that has {} in it", sections.join(" or "))))
}

/// Whether a text is plainly such a file.
pub fn is(text: &str, wanted: &str) -> bool {
    found(text).is_some_and(|(found, _)| found == wanted)
}

/// Which file a text is, with the line that tells it.
fn found(text: &str) -> Option<(&'static str, usize)> {
    let first = |names: &[&str]| sections(text).find(|(_, section)| names.contains(section)).map(|(line, _)| line);
    FILES.iter().find_map(|(file, names)| Some((*file, first(names)?)))
}

/// The names of its sections, without what follows a point, each with its line.
fn sections(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let names = (1..).zip(text.lines()).filter_map(|(line, text)| Some((line, text.trim().strip_prefix('[')?)));
    names.map(|(line, name)| (line, name.trim_start_matches('[').split([']', '.']).next().unwrap_or_default().trim()))
}
