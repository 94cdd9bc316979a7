//! The bench: the laptop's window, along the way of the job from a client's measurements to the cut.
//!
//! Every step can be looked at at any time and nothing stops the others. [`paper`] is the order as text and [`notebook`]
//! the readings of a table; with their past ([`history`]) they are the [`model`], which knows no window. [`work`] runs the
//! stages on it. [`view`] shows a model and tells it what was done; [`window`] is the window, and [`desk`] what it asks
//! of the computer. The cutting session runs as a program of its own on the projector's screen, so that neither window
//! can stop the other: a window system allows one loop of events in a program, and a driver that fails under one window
//! takes its whole program along.

mod advice;
pub mod age;
mod cutting;
pub mod desk;
mod files;
mod habits;
pub mod history;
pub mod laying;
pub mod look;
pub mod made;
pub mod model;
pub mod motifs;
pub mod notebook;
pub mod paper;
pub mod pinning;
mod plain;
mod proving;
pub mod residual;
pub mod search;
pub mod shorter;
mod steps;
pub mod tables;
mod unsaved;
pub mod view;
pub mod window;
pub mod work;

pub use desk::{Cutting, Desk, Failed, Habits, Unsaved};
pub use model::Bench;
pub use search::{Search, Until};
pub use window::open;
