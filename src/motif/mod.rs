//! Motifs: where the print of the open cloth falls on the pieces.
//!
//! The cloth as it comes off the bolt is one strip; the lengths are cut off it one after the other, the topmost of the
//! stack first, and each is folded along its centre. Unfolded again, each piece lies there whole, both halves. A photo
//! of the cloth is made flat by what in it has a known size ([`straighten`]), laid on that strip, and where the print's
//! repeat is known it is carried on. [`falls`] says in figures what the levels of each piece meet. Nothing here knows
//! files or windows.

pub mod falls;
mod ground;
mod measure;
pub mod open;
pub mod repeat;
pub mod straighten;

pub use ground::{Ground, ground};
pub use measure::bare;
pub use open::{Open, Spread};
pub use repeat::{Repeat, repeat};
pub use straighten::{Photograph, Print, place_on_cloth, straighten};
