//! The cutting session: as a machine of its own, and as a real process that is killed.

mod desk;
mod knocked;
mod labels;
mod look;
mod machine;
mod pieces;
mod reaches;
mod real;
mod rest;
mod sentence;
mod side_by_side;
mod two_points;

pub use desk::TABLE;
