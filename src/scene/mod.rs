//! What is to be thrown, as marks in millimetres: strokes, fills and letters.
//!
//! A scene has two groups. What belongs to the cloth lies in the cloth's frame and moves with its pose; what belongs to
//! the table (the stage's sentence) stays where it is. No pixel is known here, and dashes,
//! arrows and ticks have already become plain strokes, true in millimetres.

mod between;
mod compose;
mod form;
mod label;
pub mod light;
mod lit;
pub mod marks;
mod proof;
mod register;
mod sentence;
mod side;
mod text;
mod view;

pub use between::between;
pub use compose::{compose, compose_saying, page, proof_lengths_mm, proof_of, proof_on};
pub use form::{Form, drawn, form};
pub use lit::Room;
pub use marks::{Fill, Letters, Light, Marks, Pose, Scene, Stroke};
pub use register::{cross, dots};
pub use side::Side;
pub use view::{Hidden, View, Way};
