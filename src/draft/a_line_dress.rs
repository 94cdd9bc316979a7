//! The A-line dress: the block, wide at the hem as the cloth is folded.

use super::block::{self, Cut};
use super::fitting;
use super::garments::{Garment, Group};
use crate::order::Kind;

pub use super::block::RULES;

/// The dress.
pub const GARMENT: Garment = Garment {
    kind: Kind::ALineDress,
    rules: &block::with(Group::always(&[]), Group::always(&RULES)),
    fitting: fitting::OF_BLOCK,
    draft: |sheet| block::draft(sheet, Cut::ALine),
};
