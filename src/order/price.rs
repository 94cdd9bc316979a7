//! What the cloth costs: a number, a currency as she writes it, and the length that it is for.

use crate::entries::{Entries, shown};
use crate::units::read_length;

/// The price of cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// For each millimetre along the selvedge.
    pub per_mm: f64,
    /// The currency, as written.
    pub money: String,
}

/// Reads `price = "14.50 EUR per m"`, or `"9 per yd"`.
pub(super) fn price(section: &mut Entries<'_, '_>) -> Option<Price> {
    let text = section.text("price")?;
    let price = read(&text.value);
    if price.is_none() {
        let sentence = format!("price = \"{}\" is no price of cloth", shown(&text.value));
        let remedy =
            "write a number, the currency and the length it is for: price = \"14.50 EUR per m\", or \"9 $ per yd\"";
        section.fault("price", text.line, sentence, remedy);
    }
    price
}

fn read(text: &str) -> Option<Price> {
    let (sum, length) = text.split_once("per")?;
    let length_mm = read_length(&format!("1 {}", length.trim())).ok()?.mm;
    let number = sum.find(|c: char| c.is_ascii_digit())?;
    let rest = &sum[number..];
    let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(rest.len());
    let amount: f64 = rest[..end].replace(',', ".").parse().ok()?;
    let money = format!("{}{}", sum[..number].trim(), rest[end..].trim());
    let believed = amount.is_finite() && amount >= 0.0 && length_mm > 0.0;
    believed.then(|| Price { per_mm: amount / length_mm, money })
}
