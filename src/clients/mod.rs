//! The client's book: each client with her dated measurements, notes, and the orders made for her.
//!
//! One client is one plain TOML file that can be read and mended without this program. Writing only ever adds to its
//! end, so that everything she wrote herself stays as it is:
//!
//! ```text
//! name = "Rosalind"
//!
//! [[measured]]
//! on = 2026-11-02
//! bust = "94 cm"
//! ```
//! Texts come in and go out here; folder and files are the command's.

mod date;
mod naming;
mod read;
mod write;

use std::collections::BTreeMap;

pub use date::Date;
pub use naming::{file_stem, is_same_name, likeness};
pub use read::{body_as_written, read};
pub use write::{made, measured, new, note};

use crate::order::{Kind, Measure};
use crate::units::{Length, System};

/// A client.
#[derive(Clone, Debug, PartialEq)]
pub struct Client {
    /// What she is called.
    pub name: String,
    /// What was noted, oldest first.
    pub notes: Vec<Note>,
    /// Her measurements, oldest first.
    pub sets: Vec<MeasureSet>,
    /// What was made for her, oldest first.
    pub made: Vec<Made>,
}

/// Something noted.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// When.
    pub on: Date,
    /// What.
    pub text: String,
}

/// What was measured on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureSet {
    /// When.
    pub on: Date,
    /// Each measurement that was taken.
    pub taken: BTreeMap<Measure, Taken>,
}

/// One measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// The length.
    pub length: Length,
    /// How it stands in the file.
    pub written: String,
}

/// Something made.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// When.
    pub on: Date,
    /// The order file, as she gave it.
    pub order: String,
    /// What it was.
    pub garment: String,
}

/// A measurement on two days.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// Which one.
    pub measure: Measure,
    /// The earlier value in mm, when it was taken.
    pub before_mm: Option<f64>,
    /// The later value in mm, when it was taken.
    pub after_mm: Option<f64>,
    /// The garments that need or want it.
    pub matters_for: Vec<Kind>,
}

impl MeasureSet {
    /// The unit system that most of it was written in.
    pub fn system(&self) -> System {
        System::of_most(self.taken.values().map(|taken| taken.length.system))
    }

    /// A measurement, in mm.
    fn mm(&self, measure: Measure) -> Option<f64> {
        self.taken.get(&measure).map(|taken| taken.length.mm)
    }
}

impl Difference {
    /// Later less earlier, when both were taken.
    pub fn grown_mm(&self) -> Option<f64> {
        Some(self.after_mm? - self.before_mm?)
    }
}

impl Client {
    /// What was measured on a day.
    pub fn set_of(&self, on: Date) -> Option<&MeasureSet> {
        self.sets.iter().find(|set| set.on == on)
    }
}

/// Whether a garment needs or wants a measurement.
fn asks(kind: Kind, measure: Measure) -> bool {
    [kind.facts().needs, kind.facts().wants].iter().any(|asked| asked.contains(&measure))
}

/// Every measurement of two days, in the order in which they are taken.
pub fn compare(before: &MeasureSet, after: &MeasureSet) -> Vec<Difference> {
    let both = |facts: &crate::order::Facts| {
        let (before_mm, after_mm) = (before.mm(facts.measure), after.mm(facts.measure));
        let matters_for = Kind::ALL.into_iter().filter(|kind| asks(*kind, facts.measure)).collect();
        before_mm.or(after_mm)?;
        Some(Difference { measure: facts.measure, before_mm, after_mm, matters_for })
    };
    crate::order::MEASURES.iter().filter_map(both).collect()
}
