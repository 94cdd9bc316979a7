//! Every garment and every choice: worked numbers, all bodies, related orders, and what is said of bad ones.

mod bodies;
mod bust;
mod circle;
mod collar;
mod cut;
mod drawn;
mod examples;
mod features;
mod nicks;
mod parts;
mod places;
mod related;
mod skirts;
mod words;

pub use drawn::{Sequence, drawn};

use chalklight::draft::{Check, Draft};

use crate::check::OrderText;

/// Bust 38, waist 32, hip 42, shoulder 15 1/2, waist depth 16, length 51 (common practice, no source).
pub fn example() -> OrderText {
    let body =
        [("bust", "38 in"), ("waist", "32 in"), ("hip", "42 in"), ("shoulder", "15 1/2 in"), ("waist_depth", "16 in")];
    OrderText::of("51 in", &body)
}

/// The same with everything that a sleeve may ask for.
pub fn sleeved(sleeve: &'static str) -> OrderText {
    example().body("upper_arm", "12 in").body("arm_length", "23 in").body("hand", "8 in").choose("sleeve", sleeve)
}

pub fn check<'d>(draft: &'d Draft, name: &str) -> &'d Check {
    draft
        .checks
        .iter()
        .find(|check| check.name == name)
        .unwrap_or_else(|| panic!("no check {name}: {:?}", draft.checks))
}
