//! From readings on the table to the table: which pixel lights which point, and how far off it can be.
//!
//! A pure function: readings in, table out; no file, no clock, no chance. The stages in the order in which they run:
//! [`grid`] says where the marks are in the picture, [`readings_file`] reads what was measured, [`start`] finds a first
//! map in closed form, [`adjust`] improves it by least squares in the parameters of [`sight`].

pub mod adjust;
pub mod grid;
pub mod picture;
pub mod readings;
pub mod readings_file;
pub mod sight;
pub mod solve;
pub mod start;

pub use grid::Grid;
pub use readings::Readings;
pub use solve::calibrate;
