//! `chalklight garments`: what can be made, what it asks of the body, what may be chosen, and by which house rules.

use std::process::ExitCode;

use serde_json::{Value, json};

use super::print;
use crate::draft::rules::{Default, Rule};
use crate::draft::{GARMENTS, Garment};
use crate::order::Measure;
use crate::units::System;

/// Lists every kind of garment.
pub fn run(json: bool) -> ExitCode {
    if json {
        print::answer(GARMENTS.iter().map(value).collect::<Value>());
    } else {
        let texts: Vec<String> = GARMENTS.iter().map(in_words).collect();
        print::answer(texts.join("\n").trim_end());
    }
    ExitCode::SUCCESS
}

fn value(garment: &Garment) -> Value {
    let facts = garment.kind.facts();
    let measure = |measure: &Measure, needed: bool| {
        let facts = measure.facts();
        json!({"key": facts.key, "name": facts.name, "iso": facts.iso, "how": facts.how, "needed": needed})
    };
    let needs = facts.needs.iter().map(|each| measure(each, true));
    let wants = facts.wants.iter().map(|each| measure(each, false));
    let choices = facts.choices.iter().map(|choice| json!({"key": choice.key, "words": choice.words}));
    let rule = |rule: &&Rule| {
        let (default, unit) = match rule.default {
            Default::LengthMm(mm) => (mm, "mm"),
            Default::Number(number) => (number, "number"),
        };
        json!({"key": rule.key, "words": rule.words, "default": default, "unit": unit, "source": rule.source})
    };
    json!({
        "kind": facts.key,
        "name": facts.name,
        "length": facts.from,
        "measurements": needs.chain(wants).collect::<Vec<_>>(),
        "choices": choices.collect::<Vec<_>>(),
        "rules": garment.rules().iter().map(rule).collect::<Vec<_>>(),
        "fitting": garment.fitting.iter().map(rule).collect::<Vec<_>>(),
    })
}

fn in_words(garment: &Garment) -> String {
    let facts = garment.kind.facts();
    let mut text = format!("{}  ({})\n  length: {} to the hem\n", facts.key, facts.name, facts.from);
    for (group, measures) in [("needs", facts.needs), ("wants", facts.wants)] {
        for measure in measures {
            let facts = measure.facts();
            text += &format!("  {group} {}: {}\n", facts.key, facts.how);
        }
    }
    for choice in facts.choices {
        text += &format!("  {} = {}\n", choice.key, choice.words.join(" | "));
    }
    for rule in garment.rules().iter().chain(garment.fitting) {
        let default = match rule.default {
            Default::LengthMm(mm) => System::Inch.show_fine(mm),
            Default::Number(number) => number.to_string(),
        };
        text += &format!("  {} {default}: {} ({})\n", rule.key, rule.words, rule.source);
    }
    text
}
