//! The calibrated table as a value: which projector pixel lights which point of the table, and back.
//!
//! [`model`] holds the mathematics.

pub mod model;

pub use model::{Lens, Stand, Table};
