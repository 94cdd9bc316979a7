//! The calibrated table as a value: which projector pixel lights which point of the table, and back.
//!
//! [`model`] holds the mathematics, [`sight`] its derivatives, [`bound`] how far off it can be,
//! [`contours`] the map of that; [`reading`] what was measured on it and [`fit`] how well that fits; [`kept`] is all of
//! it together as `table.toml` holds it, read and written by [`file`] and put on the disc by [`save`]; [`trusted`] is the
//! table that cloth may be cut by. [`located`] turns a fault in any TOML text into a remark with line and remedy.

pub mod bound;
pub mod contours;
pub mod file;
pub mod fit;
pub mod kept;
pub mod located;
pub mod model;
pub mod reading;
pub mod save;
pub mod sight;
pub mod trusted;

pub use bound::{Bound, Spread, TapeClass};
pub use fit::{Fit, Suspect};
pub use kept::{KeptTable, Record};
pub use model::{Lens, Stand, Table};
pub use reading::{Kind, MarkName, Reading};
pub use trusted::TrustedTable;
