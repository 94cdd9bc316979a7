//! From readings on the table to the table: which pixel lights which point, and how far off it can be.
//!
//! A pure function: readings in, table out; no file, no clock, no chance. The stages in the order in which they run:
//!
//! | stage | takes | gives |
//! |---|---|---|
//! | [`grid`] | the picture's size | the marks' pixels |
//! | [`readings_file`] | readings.toml | checked [`Readings`] |
//! | [`network`] | readings | equations between the unknowns, priors, gauge |
//! | [`start`] | equations | a first map, in closed form or from plain guesses |
//! | [`slips`] | first map | every [hypothesis](hypotheses) that weighs anything: a lens model and a set of misreadings, each [adjusted](adjust) |
//! | [`average`] | hypotheses | one table and its covariance |
//! | [`verdict`] | all of it | suspects, noise, trust, in words |
//!
//! Beside the chain: [`advice`] names the distances worth taking next, [`proof`] tests a table before cutting, [`refuse`]
//! says why readings fix no table, [`cause`] what may have gone wrong with one,
//! `twice` what was written down twice, [`words`] says how good a fit is, [`picture`] draws the grid.

pub mod adjust;
pub mod advice;
pub mod average;
pub mod cause;
pub mod grid;
pub mod hypotheses;
pub mod network;
pub mod photo;
pub mod picture;
pub mod proof;
pub mod readings;
pub mod readings_file;
pub mod refuse;
pub mod slips;
pub mod solve;
pub mod start;
mod twice;
pub mod verdict;
pub mod words;

pub use grid::Grid;
pub use readings::Readings;
pub use solve::{calibrate, calibrate_plane};
