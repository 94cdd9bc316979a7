//! The cutting session as a pure state machine: events in, state and scene out. No window, clock or file is known here.

use crate::geometry::Vector;
use crate::scene::{Pose, Scene, View, Way, compose};
use crate::stages::Stage;
use crate::table::TrustedTable;

/// One step of a nudge, and of one with shift held.
const NUDGE_MM: f64 = 1.0;
const LONG_NUDGE_MM: f64 = 10.0;

/// One step of a turn.
const TURN_DEG: f64 = 0.1;

/// What she asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// The next stage.
    Next,
    /// The stage before.
    Back,
    /// The lines moved, by how many steps to the right and away from her.
    Nudge {
        /// Steps to the right.
        right: i32,
        /// Steps away from her.
        away: i32,
        /// Ten times as far.
        long: bool,
    },
    /// The lines turned, by how many steps anticlockwise.
    Turn(i32),
    /// Light lines on dark changed for dark lines on a lit ground, or back.
    SwapLight,
    /// The end of the session.
    Leave,
}

/// What an event changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// Nothing.
    Nothing,
    /// Only where the cloth lies.
    Pose,
    /// What is seen.
    Scene,
    /// The session is over.
    Left,
}

/// A session at one table.
#[derive(Clone, Debug)]
pub struct Session {
    table: TrustedTable,
    stages: Vec<Stage>,
    view: View,
    at: usize,
    pose: Pose,
}

impl Session {
    /// Begins at the first stage. It takes a table that may be cut by: there is no session on another.
    ///
    /// `stages` are those of a lay, of which there is always one at least.
    pub fn begin(table: TrustedTable, stages: Vec<Stage>, view: View) -> Self {
        let pose = view.cloth_room().pose();
        Self { table, stages, view, at: 0, pose }
    }

    /// Answers an event.
    pub fn answer(&mut self, event: Event) -> Change {
        match event {
            Event::Next => self.go(self.at + 1),
            Event::Back => self.at.checked_sub(1).map_or(Change::Nothing, |before| self.go(before)),
            Event::Nudge { right, away, long } => {
                let step_mm = if long { LONG_NUDGE_MM } else { NUDGE_MM };
                self.pose.at_mm += Vector::new(f64::from(right), f64::from(away)) * step_mm;
                Change::Pose
            }
            Event::Turn(steps) => {
                self.pose.turn_rad += (TURN_DEG * f64::from(steps)).to_radians();
                Change::Pose
            }
            Event::SwapLight => {
                self.view.way = match self.view.way {
                    Way::LightOnDark => Way::DarkOnLit,
                    Way::DarkOnLit => Way::LightOnDark,
                };
                Change::Scene
            }
            Event::Leave => Change::Left,
        }
    }

    fn go(&mut self, to: usize) -> Change {
        if to >= self.stages.len() || to == self.at {
            return Change::Nothing;
        }
        self.at = to;
        Change::Scene
    }

    /// The scene of the stage that she is at.
    pub fn scene(&self) -> Scene {
        compose(self.stage(), self.at + 1, &self.view)
    }

    /// The stage that she is at.
    pub fn stage(&self) -> &Stage {
        &self.stages[self.at]
    }

    /// Its number, from 1.
    pub fn number(&self) -> usize {
        self.at + 1
    }

    /// Where the cloth lies.
    pub fn pose(&self) -> Pose {
        self.pose
    }

    /// The table that is cut by.
    pub fn table(&self) -> &TrustedTable {
        &self.table
    }
}
