//! Everything that a calibration starts from, as checked values.

use super::Grid;
use crate::table::{Reading, Stand};

/// How the picture lies on the table; needed only when nothing but distances is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hang {
    /// The picture is seen mirrored.
    pub mirrored: bool,
    /// Quarter turns of the picture, clockwise as she sees it: 0 to 3.
    pub quarter_turns: u8,
}

/// What was thrown and what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// Width and height of the picture.
    pub picture_px: [u32; 2],
    /// How the picture lies.
    pub hang: Hang,
    /// The marks.
    pub grid: Grid,
    /// Noise of one reading, one standard deviation.
    pub sigma_mm: f64,
    /// Where the lens stands, by tape and plumb line.
    pub stand: Option<Stand>,
    /// The readings.
    pub readings: Vec<Reading>,
}
