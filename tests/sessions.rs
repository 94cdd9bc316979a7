//! The cutting session: as a machine of its own, and as a real process that is killed.

mod desk;
mod knocked;
mod look;
mod machine;
mod pieces;
mod reaches;
mod real;
mod two_points;
