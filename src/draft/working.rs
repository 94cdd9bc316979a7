//! The working: every step of the arithmetic, written so that she can check it with a pencil.

use crate::units::System;

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is found.
    pub name: &'static str,
    /// The rule in words with the numbers put in.
    pub rule: String,
    /// What comes out.
    pub value_mm: f64,
}

/// Steps as they are made.
pub struct Working {
    system: System,
    steps: Vec<Step>,
}

impl Working {
    /// An empty sheet, written in `system`.
    pub fn new(system: System) -> Self {
        Self { system, steps: Vec::new() }
    }

    /// Writes a step down and hands its value on. `rule` comes without the result, which is put behind it.
    pub fn step(&mut self, name: &'static str, rule: String, value_mm: f64) -> f64 {
        let rule = format!("{rule} = {}", self.system.show(value_mm));
        self.steps.push(Step { name, rule, value_mm });
        value_mm
    }

    /// A length in words.
    pub fn show(&self, mm: f64) -> String {
        self.system.show(mm)
    }

    /// All steps.
    pub fn steps(self) -> Vec<Step> {
        self.steps
    }
}
