//! Everything that a calibration starts from, as checked values.

use std::collections::BTreeSet;

use super::Grid;
use crate::geometry::{Pixel, Point};
use crate::table::{Kind, MarkName, Reading, Stand, TapeClass};

/// How the picture lies on the table; needed only when nothing but distances is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hang {
    /// The picture is seen mirrored: with row A along the far edge, the rest lies beyond it.
    pub mirrored: bool,
    /// Quarter turns of the picture, clockwise as she sees it: 0 to 3.
    pub quarter_turns: u8,
}

/// What is known of the lens before anything is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LensBelief {
    /// Known k1 and k2, from a measurement elsewhere; then they are not solved for.
    pub known: Option<[f64; 2]>,
    /// Known or likeliest centre; none means the picture's middle.
    pub centre_px: Option<Point<Pixel>>,
    /// One standard deviation of k1 about 0.
    pub k1_sd: f64,
    /// One standard deviation of k2 about 0.
    pub k2_sd: f64,
    /// One standard deviation of the centre, each way, in half diagonals.
    pub centre_sd: f64,
}

/// Projector lenses as they are sold distort by a few per cent at most (common practice, no source). Wider, and six readings
/// say less than they could; narrower, and a poor lens is not believed.
impl Default for LensBelief {
    fn default() -> Self {
        Self { known: None, centre_px: None, k1_sd: 0.05, k2_sd: 0.02, centre_sd: 0.12 }
    }
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
    /// Noise of one reading, one standard deviation, before it is rounded.
    pub sigma_mm: f64,
    /// The tape's accuracy class.
    pub tape_class: Option<TapeClass>,
    /// What is believed of the lens.
    pub lens: LensBelief,
    /// Where the lens stands, by tape and plumb line.
    pub stand: Option<Stand>,
    /// Noise of the stand's three figures, one standard deviation.
    pub stand_sd_mm: f64,
    /// The readings.
    pub readings: Vec<Reading>,
}

/// A plumb line and a tape find foot and height to about this (common practice, no source).
pub const USUAL_STAND_SD_MM: f64 = 10.0;

/// The steps that readings are rounded to, coarsest first: 1/8 in, 1/16 in, 1/32 in and the metric ones.
const STEPS_MM: [f64; 8] = [5.0, 3.175, 2.0, 1.587_5, 1.0, 0.793_75, 0.5, 0.1];

impl Readings {
    /// The marks whose place was read.
    pub fn places(&self) -> BTreeSet<MarkName> {
        let place = |r: &Reading| match r.kind {
            Kind::Place { mark, .. } => Some(mark),
            Kind::Distance { .. } => None,
        };
        self.readings.iter().filter_map(place).collect()
    }

    /// The coarsest step that every reading is a multiple of; 0 when they are not rounded.
    pub fn step_mm(&self) -> f64 {
        step_mm(&self.readings)
    }

    /// Noise of one reading as it is written.
    pub fn noise_mm(&self) -> f64 {
        noise_mm(self.sigma_mm, &self.readings)
    }
}

/// Noise of one of these readings as it is written: her reading's and that of rounding, step/sqrt(12) (Sheppard 1898).
pub(super) fn noise_mm(sigma_mm: f64, readings: &[Reading]) -> f64 {
    sigma_mm.hypot(step_mm(readings) / 12.0_f64.sqrt())
}

fn step_mm(readings: &[Reading]) -> f64 {
    let whole = |step: f64| lengths_mm(readings).all(|mm| ((mm / step).round() * step - mm).abs() < 1e-6);
    STEPS_MM.into_iter().find(|step| whole(*step)).unwrap_or(0.0)
}

/// Every length that was read.
fn lengths_mm(readings: &[Reading]) -> impl Iterator<Item = f64> + '_ {
    readings.iter().flat_map(|r| {
        match r.kind {
            Kind::Place { at_mm, .. } => [Some(at_mm.x), Some(at_mm.y)],
            Kind::Distance { distance_mm, .. } => [Some(distance_mm), None],
        }
        .into_iter()
        .flatten()
    })
}
