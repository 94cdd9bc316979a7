//! House rules: every construction number of a garment by name, with its default, and what an order sets otherwise.

use std::collections::BTreeMap;

use super::fitting;
use crate::entries::{Amount, Placed, nearest, shown};
use crate::remark::Remark;
use crate::units::{INCH_MM, System, with_likely_unit};

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
    /// Where the default comes from.
    pub source: &'static str,
}

/// The source of a rule that names none.
const COMMON: &str = "common practice, no source";

/// What the cloth adds to the ease in every quarter of bust, waist and hip, and twice as much round an arm: what is thick takes
/// up room inside, and what is stiff gives none. By the cloth's weight nothing, 1/8 in where it is heavy, 1/4 in where it
/// is quilted (common practice, no source).
pub const CLOTH_EASE: Rule =
    Rule::inches("cloth_ease", "ease in a quarter that is added for a heavy or quilted cloth", 0.0, [-1.0, 4.0]);

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
    known: Vec<&'static Rule>,
}

impl Rule {
    /// A length with its default and range in inches, the unit in which the trade states them.
    pub const fn inches(key: &'static str, words: &'static str, default: f64, range: [f64; 2]) -> Self {
        let range = [range[0] * INCH_MM, range[1] * INCH_MM];
        Self { key, words, default: Default::LengthMm(default * INCH_MM), range, source: COMMON }
    }

    /// A bare number with its default and range.
    pub const fn number(key: &'static str, words: &'static str, default: f64, range: [f64; 2]) -> Self {
        Self { key, words, default: Default::Number(default), range, source: COMMON }
    }

    /// The same rule after a named source.
    pub const fn after(self, source: &'static str) -> Self {
        Self { source, ..self }
    }

    /// The same rule with the default of another garment, in the rule's unit of inches or bare.
    pub const fn at(self, default: f64) -> Self {
        let default = match self.default {
            Default::LengthMm(_) => Default::LengthMm(default * INCH_MM),
            Default::Number(_) => Default::Number(default),
        };
        Self { default, ..self }
    }

    /// The value of the default, in mm where it is a length.
    pub const fn standard(&self) -> f64 {
        let (Default::LengthMm(value) | Default::Number(value)) = self.default;
        value
    }

    /// Whether an order may set it to that, in mm where it is a length.
    pub fn takes(&self, value: f64) -> bool {
        let [low, high] = self.range;
        (low..=high).contains(&value)
    }

    /// The value that an order sets for it, or what is wrong with it.
    fn read(&self, set: &Placed<Amount>, system: System) -> Result<f64, Remark> {
        let (value, shown) = match (set.value, self.default) {
            (Amount::Length(length), Default::LengthMm(_)) => (length.mm, length.system.show(length.mm)),
            (Amount::Number(number), Default::Number(_)) => (number, number.to_string()),
            (Amount::Number(number), Default::LengthMm(_)) => {
                let own = if system == System::Inch { "in" } else { "cm" };
                let remark = Remark::refusal(format!("{} = {number} has no unit", self.key));
                return Err(remark.remedy(with_likely_unit(number, Some(own), None)));
            }
            (Amount::Length(length), Default::Number(default)) => {
                let shown = length.system.show(length.mm);
                let fault =
                    Remark::refusal(format!("{} = \"{shown}\" is a length, and a plain number is wanted", self.key));
                return Err(fault.remedy(format!("write {} = {default}", self.key)));
            }
        };
        if self.takes(value) {
            return Ok(value);
        }
        let [low, high] = self.range;
        let (low, high) = match self.default {
            Default::LengthMm(_) => (system.show(low), system.show(high)),
            Default::Number(_) => (low.to_string(), high.to_string()),
        };
        Err(Remark::refusal(format!("{} = {shown} is outside what can be drawn for {}", self.key, self.words))
            .remedy(format!("write a value from {low} to {high}")))
    }
}

impl Rules {
    /// Takes what a section of the order sets; every key must be one of `known`. Faults call a key a `what`.
    ///
    /// # Errors
    /// All faults at once, each with the line of its rule.
    pub fn resolve(
        known: Vec<&'static Rule>,
        set: &BTreeMap<String, Placed<Amount>>,
        section: &Section,
        system: System,
    ) -> Result<Self, Vec<Remark>> {
        let mut rules = BTreeMap::new();
        let mut faults = Vec::new();
        for (key, placed) in set {
            let read = match known.iter().find(|rule| rule.key == key) {
                Some(rule) => rule.read(placed, system).map(|value| (rule.key, value)),
                None => Err(unknown(key, &known, section)),
            };
            match read {
                Ok((key, value)) => drop(rules.insert(key, value)),
                Err(fault) => faults.push(fault.line(placed.line).field(format!("{}.{key}", section.name))),
            }
        }
        for [one, other] in section.opposites {
            if let (Some(_), Some(placed)) = (set.get(*one), set.get(*other)) {
                let says = format!("{one} and {other} can't both be found on one body");
                let fault = Remark::refusal(says).remedy("keep the one that is so, and take the other out");
                faults.push(fault.line(placed.line).field(format!("{}.{other}", section.name)));
            }
        }
        if faults.is_empty() { Ok(Self { set: rules, known }) } else { Err(faults) }
    }

    /// The value of a rule: in mm where it is a length. Where the garment has a default of its own, that one holds.
    pub fn value(&self, rule: &Rule) -> f64 {
        let own = self.known.iter().find(|own| own.key == rule.key).copied().unwrap_or(rule);
        self.given(rule).unwrap_or(own.standard())
    }

    /// The value that the order sets for a rule.
    pub fn given(&self, rule: &Rule) -> Option<f64> {
        self.set.get(rule.key).copied()
    }
}

/// A section of the order that holds amounts by name.
pub struct Section {
    /// Its name in the file.
    pub name: &'static str,
    /// What one of its keys is called.
    pub what: &'static str,
    /// Keys of which one speaks against the other.
    pub opposites: &'static [[&'static str; 2]],
    /// What is known of it, of whatever garment.
    every: &'static [&'static Rule],
}

/// The house rules of an order.
pub const HOUSE_RULES: Section = Section { name: "rules", what: "house rule", opposites: &[], every: &[] };

/// What the fitting found.
pub const FITTING: Section =
    Section { name: "fitting", what: "adjustment", opposites: OPPOSITES, every: fitting::OF_BLOCK };

const OPPOSITES: &[[&str; 2]] =
    &[["full_bust", "small_bust"], ["sloping_shoulder", "square_shoulder"], ["high_hip", "low_hip"]];

/// More keys than these can't be read in one sentence.
const FEW: usize = 15;

fn unknown(key: &str, known: &[&'static Rule], section: &Section) -> Remark {
    let keys: Vec<&str> = known.iter().map(|rule| rule.key).collect();
    let of_another = section.every.iter().any(|rule| rule.key == key);
    let is_found = section.name == HOUSE_RULES.name && FITTING.every.iter().any(|rule| rule.key == key);
    let remedy = match nearest(key, &keys).filter(|_| !of_another && !is_found) {
        _ if is_found => format!("what the fitting found stands under [{}]: write it there", FITTING.name),
        Some(near) => format!("did you mean {near}?"),
        None if keys.is_empty() => "leave it out".to_owned(),
        None if keys.len() > FEW => "see what there is: chalklight garments".to_owned(),
        None if of_another => {
            format!("this garment's are {}; for anything else change its house rules or its length", keys.join(", "))
        }
        None => format!("this garment's are {}", keys.join(", ")),
    };
    Remark::refusal(format!("{} is no {} of this garment", shown(key), section.what)).remedy(remedy)
}
