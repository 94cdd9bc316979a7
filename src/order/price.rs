//! What the cloth costs, as it is written on the bolt: a sum in any money for a metre or a yard.

use crate::entries::{Entries, shown};
use crate::units::read_length;

/// Longest name of a money.
const LONGEST_MONEY: usize = 12;

/// The price of cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// The sum for one millimetre.
    per_mm: f64,
    /// What stands before and after the sum: the money's name or sign.
    money: [String; 2],
}

impl Price {
    /// The cost of a length, in the same money.
    pub fn of(&self, length_mm: f64) -> String {
        let [before, after] = &self.money;
        format!("{before}{:.2}{after}", self.per_mm * length_mm)
    }
}

/// Reads `price`: `"8.50 EUR per m"`, `"$12 per yd"`.
pub(super) fn price(section: &mut Entries<'_, '_>) -> Option<Price> {
    let text = section.text("price")?;
    let price = read(&text.value);
    if price.is_none() {
        let sentence = format!("price = \"{}\" is no price that can be read", shown(&text.value));
        section.fault(
            "price",
            text.line,
            sentence,
            "write a sum and its length: price = \"8.50 EUR per m\", or \"$12 per yd\"",
        );
    }
    price
}

fn read(text: &str) -> Option<Price> {
    let (sum, unit) = text.split_once(" per ").or_else(|| text.split_once('/'))?;
    let unit_mm = read_length(&format!("1 {}", unit.trim())).ok()?.mm;
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let from = sum.find(|c: char| c.is_ascii_digit())?;
    let (before, rest) = sum.split_at(from);
    let (number, after) = rest.split_at(rest.find(|c| !is_number(c)).unwrap_or(rest.len()));
    let sum: f64 = number.replace(',', ".").parse().ok()?;
    let is_money =
        |text: &str| text.chars().count() <= LONGEST_MONEY && !text.contains(|c: char| c == '-' || is_number(c));
    let money = [before.trim_start(), after.trim_end()];
    let good = sum.is_finite() && unit_mm > 0.0 && money.iter().all(|text| is_money(text));
    good.then(|| Price { per_mm: sum / unit_mm, money: money.map(str::to_owned) })
}
