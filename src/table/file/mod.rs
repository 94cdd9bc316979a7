//! `table.toml`: a kept table as text, written and read.
//!
//! Promised: what is written reads back as the same value, to the last digit. Numbers are checked on the way in: a
//! homography that is no map, a lens that folds the picture over, a length without a unit are refused with line, field
//! and remedy. Not done here: the disc ([`super::save`]) and trust ([`super::trusted`]). [`parts`] are what the readings
//! file has in common with it.

pub mod parts;
mod read;
mod write;

pub use read::read;
pub use write::write;
