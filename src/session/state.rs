//! Everything about a session that changes: where she is, where the cloth lies, how it is seen.

use super::Work;
use super::align::{Alignment, Anchor, Why};
use crate::geometry::{Point, Table, Vector};
use crate::remark::Remark;
pub use crate::scene::light::COLOURS;
use crate::scene::{Hidden, Light, Pose, Side, Way};

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
    /// How far each piece of the lay lies from where it lies by itself.
    pub shifts_mm: Vec<f64>,
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
        /// Why it did not go where it was moved.
        hindered: Option<Remark>,
    },
}

/// A measured move of the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// How far the middle of the crosses moved on the table.
    pub by_mm: Vector<Table>,
    /// How far the cloth turned, anticlockwise.
    pub turned_rad: f64,
}

impl Doing {
    /// Meeting the crosses of the move from one step's reach to another's.
    pub(super) fn moving(to: usize, from: usize, pose: Pose, work: &Work) -> Self {
        let Some(of_move) = work.way(from, to) else { return Self::Cutting };
        let expected = work.after_move(pose, from, to);
        let marks = work.plan.moves[of_move].crosses;
        Self::Aligning(Alignment::begin(Why::Moved { to }, Anchor::Crosses { of_move }, marks, expected))
    }
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
    /// The same with every place left out that only moves the picture: states alike in this have the same scene.
    pub fn unplaced(&self) -> Self {
        let mut same = self.clone();
        same.pose = Pose { at_mm: Point::origin(), turn_rad: 0.0 };
        if let Doing::Aligning(alignment) = &mut same.doing {
            alignment.at = [Point::origin(); 2];
        }
        same
    }
}
