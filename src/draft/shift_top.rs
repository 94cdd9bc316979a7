//! The shift top: the block without its waist, to below the hip.

use super::block::{self, Cut};
use super::fitting;
use super::garments::{Garment, Group};
use super::rules::Rule;
use crate::order::Kind;

/// What differs from the house's dress: looser, narrower at the hem, which is hardly raised, and no zip.
const OWN: &[&Rule] = &[&BUST_EASE, &HEM_FLARE, &HEM_RAISE];
const BUST_EASE: Rule = block::rules::BUST_EASE.at(0.5);
const HEM_FLARE: Rule = block::rules::HEM_FLARE.at(0.25);
const HEM_RAISE: Rule = block::rules::HEM_RAISE.at(0.25);

/// The top.
pub const GARMENT: Garment = Garment {
    kind: Kind::ShiftTop,
    rules: &block::with(Group::always(OWN), Group::always(&block::STRAIGHT_RULES)),
    fitting: fitting::OF_BLOCK,
    draft: |sheet| block::draft(sheet, Cut::Straight),
};
