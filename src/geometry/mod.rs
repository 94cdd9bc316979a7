//! Plane geometry in millimetres, with every point typed by its frame.
//!
//! [`frame`] lists the frames; [`curve`] draws smooth lines and measures them; [`outline`] closes them into
//! areas; [`parallel`] sets allowances beside them. Nothing here knows cloth or light.

pub mod curve;
pub mod frame;
pub mod outline;
pub mod parallel;

pub use curve::{Curve, PARABOLA, QUARTER_ELLIPSE};
pub use frame::{Cloth, Draft, Map, Pixel, Point, Table, Vector, mirror};
pub use outline::Outline;
