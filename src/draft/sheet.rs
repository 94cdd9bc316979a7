//! The sheet that a garment is drafted on: the order, its house rules and fitting, and the working as it is written.

use super::rules::{CLOTH_EASE, FITTING, HOUSE_RULES, Rule, Rules};
use super::working::{Step, Working};
use crate::order::{ClothWeight, Measure, Order, Style};
use crate::remark::Refusal;

/// One draft in the making.
pub struct Sheet<'o> {
    /// The order.
    pub order: &'o Order,
    rules: Rules,
    fitting: Rules,
    working: Working,
}

impl<'o> Sheet<'o> {
    /// An empty sheet for an order of a garment with these house rules and these adjustments.
    ///
    /// # Errors
    /// When the order sets a rule that is none of them, or out of its range.
    pub fn new(order: &'o Order, rules: Vec<&'static Rule>, fitting: Vec<&'static Rule>) -> Result<Self, Refusal> {
        let rules = Rules::resolve(rules, &order.rules, &HOUSE_RULES, order.system);
        let fitting = Rules::resolve(fitting, &order.fitting, &FITTING, order.system);
        match (rules, fitting) {
            (Ok(rules), Ok(fitting)) => Ok(Self { order, rules, fitting, working: Working::new(order.system) }),
            (rules, fitting) => {
                let remarks = rules.err().into_iter().chain(fitting.err()).flatten().collect();
                Err(Refusal { remarks })
            }
        }
    }

    /// What was chosen of the garment.
    pub fn style(&self) -> &'o Style {
        &self.order.garment.style
    }

    /// The garment's length.
    pub fn length_mm(&self) -> f64 {
        self.order.garment.length_mm
    }

    /// A measurement that the garment needs.
    pub fn body_mm(&self, measure: Measure) -> f64 {
        self.order.body.get(measure).unwrap_or(0.0)
    }

    /// The value of a house rule.
    pub fn rule(&self, rule: &Rule) -> f64 {
        self.rules.value(rule)
    }

    /// The value of a house rule that has another default here; what the order sets goes before it.
    pub fn rule_or(&self, rule: &Rule, other: Option<Rule>) -> f64 {
        match (self.given(rule), other) {
            (None, Some(other)) => other.standard(),
            _ => self.rule(rule),
        }
    }

    /// What the cloth adds to the ease in a quarter.
    pub fn cloth_ease(&self) -> f64 {
        self.rule_or(&CLOTH_EASE, ease_by_weight(self.order))
    }

    /// Writes down the ease for the cloth that the order sets, with what the cloth's weight would give; nothing where it gives
    /// none.
    pub fn write_cloth_ease(&mut self) {
        if let (Some(own_mm), Some(by_weight)) = (self.given(&CLOTH_EASE), ease_by_weight(self.order)) {
            let words = format!("set; the cloth's weight would give {}", self.show(by_weight.standard()));
            self.step("ease for the cloth", words, own_mm);
        }
    }

    /// "+ cloth 3 mm" for the working, where the cloth adds so many times its ease in a quarter; nothing where it adds none.
    pub fn and_cloth(&self, times: f64) -> String {
        match times * self.cloth_ease() {
            0.0 => String::new(),
            mm if mm < 0.0 => format!(" - cloth {}", self.show(-mm)),
            mm => format!(" + cloth {}", self.show(mm)),
        }
    }

    /// The value that the order sets for a house rule.
    pub fn given(&self, rule: &Rule) -> Option<f64> {
        self.rules.given(rule)
    }

    /// The amount of an adjustment, when the fitting asks for it.
    pub fn fitted(&self, adjustment: &Rule) -> Option<f64> {
        self.fitting.given(adjustment)
    }

    /// A length in words.
    pub fn show(&self, mm: f64) -> String {
        self.working.show(mm)
    }

    /// Writes a step down and hands its value on; see [`Working::step`].
    pub fn step(&mut self, name: &'static str, rule: String, value_mm: f64) -> f64 {
        self.working.step(name, rule, value_mm)
    }

    /// Writes down a house rule that is taken as it stands.
    pub fn set(&mut self, name: &'static str, words: &str, rule: &Rule) -> f64 {
        let value_mm = self.rule(rule);
        self.step(name, words.to_owned(), value_mm)
    }

    /// The whole working.
    pub fn steps(self) -> Vec<Step> {
        self.working.steps()
    }
}

/// What the weight of an order's cloth by itself adds to the ease in a quarter; none where it adds nothing.
pub fn ease_by_weight(order: &Order) -> Option<Rule> {
    match order.cloth.as_ref().map(|cloth| cloth.weight).unwrap_or_default() {
        ClothWeight::Light | ClothWeight::Medium => None,
        ClothWeight::Heavy => Some(CLOTH_EASE.at(0.125)),
        ClothWeight::Quilted => Some(CLOTH_EASE.at(0.25)),
    }
}
