//! `chalklight garments`: what can be made, what it asks of the body, what may be chosen, and by which house rules.

use std::process::ExitCode;

use serde_json::{Value, json};

use super::print;
use crate::draft::rules::{Default, Rule};
use crate::draft::{GARMENTS, Garment};
use crate::order::{ChoiceFacts, Measure, Style};
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
    let asked = |choice: &ChoiceFacts, of: fn(&Style) -> &'static [Measure], needed: bool| {
        let asked = asked_for(choice, of).into_iter();
        let of_word = asked.map(|(word, all)| {
            let all: Vec<Value> = all.iter().map(|each| measure(each, needed)).collect();
            json!({"word": word, "measurements": all})
        });
        of_word.collect::<Vec<Value>>()
    };
    let choices = facts.choices.iter().map(|choice| {
        let (needs, wants) = (asked(choice, Style::needs, true), asked(choice, Style::wants, false));
        json!({"key": choice.key, "words": choice.words, "needs": needs, "wants": wants})
    });
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

/// The words of a choice that ask for measurements of their own, each with those.
fn asked_for(choice: &ChoiceFacts, of: fn(&Style) -> &'static [Measure]) -> Vec<(&'static str, &'static [Measure])> {
    let chosen = |word: &str| Style::of_words(|key| if key == choice.key { word.to_owned() } else { String::new() });
    let asks = choice.words.iter().map(|word| (*word, of(&chosen(word))));
    asks.filter(|(_, measures)| !measures.is_empty()).collect()
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
        for (group, asked) in [("needs", asked_for(choice, Style::needs)), ("wants", asked_for(choice, Style::wants))] {
            for (word, measures) in asked {
                for facts in measures.iter().map(|measure| measure.facts()) {
                    text += &format!("    {word} {group} {}: {}\n", facts.key, facts.how);
                }
            }
        }
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
