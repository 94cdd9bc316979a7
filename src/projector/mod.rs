//! The projector's window: full screen on the chosen screen, at its native size, never scaled.
//!
//! [`screen`] lists the screens; [`window`] shows a [`Show`] on one of them; [`cutting`] is the show of a cutting session,
//! with its keys; [`grid`] that of the test grid. A table belongs to one screen at one size. While
//! the window does not cover that screen (before it is full screen, when the projector is unplugged or came back at another
//! resolution) it stays black but for a sentence, because a line through the wrong table would be cut along: [`astray`].
//! A frame is drawn only when something changed.

mod astray;
mod cutting;
mod grid;
mod screen;
mod window;

pub use cutting::Cutting;
pub use grid::ThrownGrid;
pub use screen::{Screen, screens};
pub use window::{Venue, run};

use crate::geometry::{Point, Table as OnTable};
use crate::scene::{Pose, Scene};
use crate::table::Table;
use std::time::Duration;

/// What is shown, and how it answers keys.
pub trait Show {
    /// The screen was found; nothing is thrown yet.
    fn found(&mut self) {}
    /// The first picture of the show was handed to the screen.
    fn begun(&mut self) {}
    /// The scene as it is now.
    fn scene(&mut self) -> Scene;
    /// Height of the cloth's upper side above the table, for the scene as it is now.
    fn stack_mm(&self) -> f64;
    /// Where the cloth lies now.
    fn pose(&mut self) -> Pose;
    /// The table to throw by, where it is no longer the one that the show began with.
    fn table(&self) -> Option<&Table> {
        None
    }
    /// A key was pressed.
    fn key(&mut self, key: Key) -> Reaction;
    /// Whether a place on the table may be pointed at now.
    fn asks_for_a_place(&self) -> bool {
        false
    }
    /// A place on what is lit was pointed at.
    fn pointed(&mut self, _at: Point<OnTable>) -> Reaction {
        Reaction::None
    }
    /// A frame that answers a key was finished and handed to the screen this long after the key came.
    fn shown(&mut self, _since_key: Duration) {}
}

/// What a key changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reaction {
    /// Nothing.
    None,
    /// The scene, or where the cloth lies.
    Scene,
    /// The show is over.
    Leave,
}

/// A key with its modifier.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    /// Which key.
    pub name: KeyName,
    /// Whether it is one of the numeric pad.
    pub pad: bool,
    /// Whether shift was held.
    pub shift: bool,
    /// Whether it comes again because it is held down.
    pub held: bool,
}

/// The keys that a show can be asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyName {
    /// The arrow to the left.
    Left,
    /// The arrow to the right.
    Right,
    /// The arrow up.
    Up,
    /// The arrow down.
    Down,
    /// Page up; what a presenter's clicker sends to go back.
    PageUp,
    /// Page down; what a presenter's clicker sends to go on.
    PageDown,
    /// The space bar.
    Space,
    /// Escape.
    Escape,
    /// The enter key.
    Enter,
    /// Home; 7 on a numeric pad without its lock.
    Home,
    /// End; 1 there.
    End,
    /// Insert; 0 there.
    Insert,
    /// Delete; the point there.
    Delete,
    /// The middle of a numeric pad without its lock; 5 there.
    Middle,
    /// Backspace.
    Backspace,
    /// The first function key.
    F1,
    /// The mouse wheel, turned by so many notches away from the hand.
    Wheel(i32),
    /// A key that writes a sign.
    Sign(char),
}
