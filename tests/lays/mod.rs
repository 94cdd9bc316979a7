//! Lays: is every piece where the cloth allows it, and is the cheapest fold chosen?
//!
//! Every lay is checked by exact areas (`chalklight::lay::proof`, tested here with faults put in on purpose); a thousand of
//! them, drawn by chance, also by GEOS through shapely and by what comes of them on the open cloth (`unfolded.rs`).

mod folds;
mod landed;
mod left;
mod matched;
mod outside;
mod pieces;
mod pinned;
mod planned;
mod strips;
mod tiers;
mod unfolded;

pub use pieces::{dress, half, piece, sleeve};
pub use planned::cloth;
