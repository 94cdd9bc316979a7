//! How well a table fits the readings it was solved from.

use super::{Bound, Spread};

/// Trade tolerance: an eighth of an inch is the usual limit of cutting (common practice, no source). A table that can
/// be further off than this is not trusted. Smaller, and good tables would be refused; larger, and cloth is lost.
pub const TRUST_MM: f64 = 3.0;

/// The solver's verdict on a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Root mean square of the residuals, each the distance between where the table puts a mark and where she read it.
    pub rms_mm: f64,
    /// The largest residual.
    pub largest_mm: f64,
    /// The reading with the largest residual.
    pub worst: String,
    /// Readings beyond the fewest that make a table.
    pub redundancy: usize,
    /// The lens terms of the heaviest hypothesis, in words.
    pub model: String,
    /// How many times noisier the readings are than stated; 1 where they agree with it.
    pub noise: f64,
    /// Readings that don't fit the others.
    pub suspects: Vec<Suspect>,
    /// The 95 % bound of a thrown point over the lit area.
    pub bound95: Bound,
    /// What is known of the errors, for the bound at any one place.
    pub spread: Spread,
    /// Whether cloth may be cut by this table without asking.
    pub trusted: bool,
    /// The day it was solved, as `2026-11-25`.
    pub date: Option<String>,
}

/// A reading that doesn't fit the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// The reading, as `B2` or `A1 to C5`.
    pub reading: String,
    /// How far off it is.
    pub residual_mm: f64,
    /// What is thought of it.
    pub says: String,
}
