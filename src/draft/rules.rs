//! House rules: every construction number of a garment by name, with its default, and what an order sets otherwise.

use std::collections::BTreeMap;

use crate::entries::{Amount, Placed, nearest, shown};
use crate::remark::Remark;
use crate::units::{INCH_MM, System, without_unit};

/// One construction number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Its key under `[rules]`.
    pub key: &'static str,
    /// What it is, in words.
    pub words: &'static str,
    /// Its kind and default.
    pub default: Default,
    /// Smallest and largest value taken, in the default's unit.
    range: [f64; 2],
}

/// The default of a house rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Default {
    /// A length in mm.
    LengthMm(f64),
    /// A bare number.
    Number(f64),
}

/// The house rules of one order.
pub struct Rules {
    set: BTreeMap<&'static str, f64>,
}

impl Rule {
    /// A length with its default and range in inches, the unit in which the trade states them.
    pub const fn inches(key: &'static str, words: &'static str, default: f64, range: [f64; 2]) -> Self {
        let range = [range[0] * INCH_MM, range[1] * INCH_MM];
        Self { key, words, default: Default::LengthMm(default * INCH_MM), range }
    }

    /// A bare number with its default and range.
    pub const fn number(key: &'static str, words: &'static str, default: f64, range: [f64; 2]) -> Self {
        Self { key, words, default: Default::Number(default), range }
    }

    /// The value that an order sets for it, or what is wrong with it.
    fn read(&self, set: &Placed<Amount>, system: System) -> Result<f64, Remark> {
        let (value, shown) = match (set.value, self.default) {
            (Amount::Length(length), Default::LengthMm(_)) => (length.mm, length.system.show(length.mm)),
            (Amount::Number(number), Default::Number(_)) => (number, number.to_string()),
            (Amount::Number(number), Default::LengthMm(_)) => {
                let no = without_unit(number);
                return Err(Remark::refusal(format!("{} = {number} {}", self.key, no.says)).remedy(no.write));
            }
            (Amount::Length(length), Default::Number(default)) => {
                let shown = length.system.show(length.mm);
                let fault =
                    Remark::refusal(format!("{} = \"{shown}\" is a length, and a plain number is wanted", self.key));
                return Err(fault.remedy(format!("write {} = {default}", self.key)));
            }
        };
        let [low, high] = self.range;
        if (low..=high).contains(&value) {
            return Ok(value);
        }
        let (low, high) = match self.default {
            Default::LengthMm(_) => (system.show(low), system.show(high)),
            Default::Number(_) => (low.to_string(), high.to_string()),
        };
        Err(Remark::refusal(format!("{} = {shown} is outside what can be drawn for {}", self.key, self.words))
            .remedy(format!("write a value from {low} to {high}")))
    }
}

impl Rules {
    /// Takes what the order sets; every key must be one of `known`.
    ///
    /// # Errors
    /// All faults at once, each with the line of its rule.
    pub fn resolve(
        known: &[&'static Rule],
        set: &BTreeMap<String, Placed<Amount>>,
        system: System,
    ) -> Result<Self, Vec<Remark>> {
        let mut rules = BTreeMap::new();
        let mut faults = Vec::new();
        for (key, placed) in set {
            let read = match known.iter().find(|rule| rule.key == key) {
                Some(rule) => rule.read(placed, system).map(|value| (rule.key, value)),
                None => Err(unknown(key, known)),
            };
            match read {
                Ok((key, value)) => drop(rules.insert(key, value)),
                Err(fault) => faults.push(fault.line(placed.line).field(format!("rules.{key}"))),
            }
        }
        if faults.is_empty() { Ok(Self { set: rules }) } else { Err(faults) }
    }

    /// The value of a rule: in mm where it is a length.
    pub fn value(&self, rule: &Rule) -> f64 {
        let (Default::LengthMm(default) | Default::Number(default)) = rule.default;
        self.set.get(rule.key).copied().unwrap_or(default)
    }
}

fn unknown(key: &str, known: &[&'static Rule]) -> Remark {
    let keys: Vec<&str> = known.iter().map(|rule| rule.key).collect();
    let remedy = match nearest(key, &keys) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("this garment's rules are {}", keys.join(", ")),
    };
    Remark::refusal(format!("{} is no house rule of this garment", shown(key))).remedy(remedy)
}
