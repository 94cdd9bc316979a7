//! The tunic: the block without its waist, longer and a little wider at the hem.

use super::block::{self, Cut};
use super::fitting;
use super::garments::{Garment, Group};
use super::rules::Rule;
use crate::order::Kind;

/// What differs from the house's dress.
const OWN: &[&Rule] = &[&BUST_EASE, &HEM_FLARE, &HEM_RAISE];
const BUST_EASE: Rule = block::rules::BUST_EASE.at(0.75);
const HEM_FLARE: Rule = block::rules::HEM_FLARE.at(2.0);
const HEM_RAISE: Rule = block::rules::HEM_RAISE.at(0.75);

/// The tunic.
pub const GARMENT: Garment = Garment {
    kind: Kind::Tunic,
    rules: &block::with(Group::always(OWN), Group::always(&block::STRAIGHT_RULES)),
    fitting: fitting::OF_BLOCK,
    draft: |sheet| block::draft(sheet, Cut::Straight),
};
