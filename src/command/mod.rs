//! The command line, one file a command.

pub mod calibrate;
pub mod grid;
pub mod locate;
pub mod scene;
pub mod screens;
