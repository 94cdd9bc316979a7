//! Chalklight: from a client's measurements to chalk lines of light on the cloth.
//!
//! The way of the data, one direction only:
//!
//! ```text
//! order.toml -> order -> draft -> finish -> lay -> stages -> scene --+
//!                                                                    +--> throw -> projector, or PNG
//! test grid -> readings.toml -> calibrate -> table.toml -------------+
//! ```
//! Inside, every length is an f64 in millimetres and every point is typed by its frame ([`geometry`]).

pub mod above;
pub mod bench;
pub mod calibrate;
pub mod clients;
pub mod command;
pub mod draft;
pub mod entries;
pub mod finish;
pub mod geometry;
pub mod lay;
pub mod motif;
pub mod nest;
pub mod order;
pub mod projector;
pub mod remark;
pub mod scene;
pub mod session;
pub mod sewing;
pub mod sheet;
pub mod stages;
pub mod table;
pub mod throw;
pub mod units;
