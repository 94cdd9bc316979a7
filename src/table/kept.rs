//! A table together with what is known about it, as `table.toml` keeps it.

use std::collections::BTreeMap;

use super::{Fit, MarkName, Reading, Table};
use crate::geometry::{Pixel, Point};

/// A table and its history.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptTable {
    /// The map itself.
    pub table: Table,
    /// The screen it belongs to.
    pub screen: Option<String>,
    /// How well it fits; none when it was written by hand.
    pub fit: Option<Fit>,
    /// What it was solved from, so that it can be solved again.
    pub record: Option<Record>,
}

/// What was thrown and what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// Every mark's pixel.
    pub marks: BTreeMap<MarkName, Point<Pixel>>,
    /// Noise of one reading, one standard deviation.
    pub sigma_mm: f64,
    /// The readings.
    pub readings: Vec<Reading>,
}
