//! Everything about a session that changes: where she is, where the cloth lies, how it is seen.

use super::Measuring;
use super::align::Alignment;
use crate::geometry::{Cloth, Table, Vector};
use crate::remark::Remark;
pub use crate::scene::light::COLOURS;
use crate::scene::{Hidden, Light, Pose, Side, Way};
use crate::table::Reading;

/// Steps of label size, smallest and largest.
pub const SIZES: [i32; 2] = [-2, 4];

/// One step of label size.
const SIZE_STEP: f64 = 1.25;

/// Where she is, where the cloth lies, how it is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// Whether she said yes to a table that is not trusted.
    pub said_yes: bool,
    /// Which step of the work, from 0.
    pub step: usize,
    /// The farthest step that she came to: those before it are done.
    pub farthest: usize,
    /// Where the cloth lies.
    pub pose: Pose,
    /// How it is seen.
    pub look: Look,
    /// Which moves have their register crosses on the cloth.
    pub chalked: Vec<bool>,
    /// What she is in the middle of.
    pub doing: Doing,
    /// The last move of the cloth, as it was measured, while she is in the reach that it led to.
    pub moved: Option<Moved>,
    /// How far each piece of the lay lies from where it lies by itself, along and across.
    pub shifts_mm: Vec<Vector<Cloth>>,
    /// The distances by which the table was corrected; none when it is thrown by as it was calibrated.
    pub taken: Vec<Reading>,
    /// Whether the table was found knocked, and nothing done about it yet.
    pub knocked: bool,
}

/// How it is seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Look {
    /// Which of line and ground is lit.
    pub way: Way,
    /// Which of [`COLOURS`].
    pub colour: usize,
    /// Steps of label size from the usual.
    pub size: i32,
    /// What is hidden.
    pub hidden: Hidden,
    /// The side that she reads from.
    pub reads: Side,
}

/// What she is in the middle of.
#[derive(Clone, Debug, PartialEq)]
pub enum Doing {
    /// The work of the step.
    Cutting,
    /// Measuring the proof.
    Proving,
    /// Chalking the register crosses, before the cloth is moved to the reach of this step.
    Chalking {
        /// The step, from 0.
        to: usize,
    },
    /// Laying the cloth to two crosses.
    Aligning(Alignment),
    /// Moving a piece on the cloth.
    Placing {
        /// Which of the lay's, from 0.
        piece: usize,
        /// Why it did not go where it was moved, or what of its print does not meet there.
        hindered: Option<Remark>,
    },
    /// Measuring distances of the table.
    Measuring(Measuring),
}

/// A measured move of the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// How far the middle of the crosses moved on the table.
    pub by_mm: Vector<Table>,
    /// How far the cloth turned, anticlockwise.
    pub turned_rad: f64,
}

impl Look {
    /// Which of [`COLOURS`] a light is; the first when it is none of them.
    pub fn colour_of(light: Light) -> usize {
        COLOURS.iter().position(|(_, other)| *other == light).unwrap_or(0)
    }

    /// Its light.
    pub fn light(&self) -> Light {
        COLOURS[self.colour % COLOURS.len()].1
    }

    /// How many times the usual label size.
    pub fn size_share(&self) -> f64 {
        SIZE_STEP.powi(self.size)
    }

    /// Takes a step of label size.
    pub fn resize(&mut self, by: i32) {
        self.size = (self.size + by).clamp(SIZES[0], SIZES[1]);
    }
}

impl State {
    /// Another state of the work, with what the tape said of the table as it is here.
    pub(super) fn with_the_work_of(&self, other: Self) -> Self {
        Self { taken: self.taken.clone(), knocked: self.knocked, ..other }
    }
}
