//! Lays: is every piece where the cloth allows it, and is the cheapest fold chosen?
//!
//! Every lay is checked by exact areas (`chalklight::lay::proof`, tested here with faults put in on purpose) and, for a
//! part of them, by GEOS through shapely.

mod folds;
mod landed;
mod left;
mod matched;
mod outside;
mod pieces;
mod pinned;
mod planned;
mod strips;

pub use pieces::{dress, half, piece, sleeve};
pub use planned::cloth;
