//! A job of several orders that are cut from one cloth: a choir's six gowns.
//!
//! ```text
//! [cloth]
//! width = "150 cm"
//!
//! [[order]]
//! file = "first-alto.toml"
//! ```
//! The files are only named here; their cloth gives way to the job's.

use super::Cloth;
use super::read::cloth;
use crate::entries::other::{JOB, another};
use crate::entries::{Placed, Source};
use crate::remark::{Refusal, Remark, Told, told};

/// A job of several orders.
#[derive(Clone, Debug, PartialEq)]
pub struct Batch {
    /// The order files, as written.
    pub files: Vec<Placed<String>>,
    /// The cloth that all are cut from.
    pub cloth: Cloth,
}

/// Reads a job's file.
///
/// # Errors
/// Every fault of the file at once, each with its line, its field and what to write.
pub fn read_batch(text: &str) -> Told<Batch> {
    if let Some(remark) = another(text, JOB) {
        return Err(Refusal::because(remark));
    }
    let source = Source::new(text);
    let mut file = source.entries();
    let mut remarks = Vec::new();
    let mut files = Vec::new();
    for mut order in file.sections("order") {
        match order.text("file") {
            Some(name) => files.push(name),
            None => order.missing("file", "write the order's file: file = \"first-alto.toml\""),
        }
        order.close();
    }
    if files.is_empty() {
        file.missing("order", "write [[order]] and file = \"first-alto.toml\" for each dress");
    }
    let section = file.section("cloth");
    if section.is_none() {
        file.missing("cloth", "write [cloth] and width = \"150 cm\": the cloth that all are cut from");
    }
    let cloth = section.and_then(|section| cloth(section, &mut remarks));
    file.close();
    remarks.extend(source.faults());
    match cloth {
        Some(cloth) => told(Batch { files, cloth }, remarks),
        None if remarks.is_empty() => Err(Refusal::because(Remark::refusal("[cloth] can't be read"))),
        None => Err(Refusal { remarks }),
    }
}
