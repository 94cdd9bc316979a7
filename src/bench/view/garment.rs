//! What is made: its kind, what may be chosen of it, what the fitting found, and by which house rules: each in words,
//! with what the house takes when this order says nothing.

use egui::Ui;

use super::choice::{KIND, Words, choice, chosen, plainly};
use super::field::{Asked, aside, field, house, sentence_case};
use super::heading;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};
use crate::draft::rules::{Default, Rule};
use crate::draft::{GARMENTS, Garment};
use crate::order::{KINDS, Kind, Style};
use crate::units::System;

const LENGTH: Entry = Entry::text("garment", "length");

/// The entry of a house rule, or of an adjustment.
fn rule_entry(section: &'static str, rule: &Rule) -> Entry {
    let form = match rule.default {
        Default::LengthMm(_) => Form::Text,
        Default::Number(_) => Form::Number,
    };
    Entry { section, key: rule.key, form }
}

/// Garment, choices, fitting and house rules.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Garment");
    let kinds: Words = KINDS.iter().map(|facts| (facts.key.to_owned(), sentence_case(facts.name))).collect();
    choice(ui, bench, &KIND, ("kind", ""), &kinds);
    let (kind, style) = chosen(bench);
    let from = format!("{} to the finished hem", kind.facts().from);
    let from = format!("{from}, such as 104 cm or 41 in");
    field(ui, bench, &Asked { entry: LENGTH, name: "length", how: &from, hint: String::new(), needed: true });
    choices(ui, bench, kind);
    rules(ui, bench, kind, &style);
    fitting(ui, bench, kind);
}

/// What may be chosen, and what was written that this kind does not take, so that it can be taken out.
fn choices(ui: &mut Ui, bench: &mut Bench, kind: Kind) {
    let takes = kind.facts().choices;
    for facts in takes {
        choice(ui, bench, &Entry::text("garment", facts.key), (facts.key, ""), &plainly(facts.words));
    }
    for facts in all_choices() {
        let entry = Entry::text("garment", facts.key);
        if !takes.contains(&facts) && !bench.paper().written(&entry).is_empty() {
            field(ui, bench, &left_over(entry, facts.key));
        }
    }
}

/// Every choice of every kind, once.
fn all_choices() -> Vec<&'static crate::order::ChoiceFacts> {
    let mut all = Vec::new();
    for facts in KINDS.iter().flat_map(|kind| kind.choices) {
        if !all.contains(facts) {
            all.push(*facts);
        }
    }
    all
}

/// The field of something written that this garment does not ask for.
fn left_over(entry: Entry, name: &str) -> Asked<'_> {
    Asked { entry, name, how: "not of this garment: empty it", hint: String::new(), needed: false }
}

fn rules(ui: &mut Ui, bench: &mut Bench, kind: Kind, style: &Style) {
    heading(ui, "House rules");
    aside(ui, "Each stands at the house's own value, in grey, until you write another for this order.");
    ui.add_space(4.0);
    let all = GARMENTS.iter().flat_map(Garment::rules).collect();
    of_section(ui, bench, "rules", (Garment::of(kind).rules_for(style), all));
}

fn fitting(ui: &mut Ui, bench: &mut Bench, kind: Kind) {
    let garment = Garment::of(kind);
    let all: Vec<&Rule> = GARMENTS.iter().flat_map(|garment| garment.fitting).copied().collect();
    if garment.fitting.is_empty()
        && all.iter().all(|rule| bench.paper().written(&rule_entry("fitting", rule)).is_empty())
    {
        return;
    }
    heading(ui, "Fitting");
    aside(ui, "What was found on her when the last one, or a toile, was tried on.");
    ui.add_space(4.0);
    of_section(ui, bench, "fitting", (garment.fitting.to_vec(), all));
}

/// The rules of a section that are in force, and of all others those that are written all the same.
fn of_section(
    ui: &mut Ui,
    bench: &mut Bench,
    section: &'static str,
    (in_force, all): (Vec<&'static Rule>, Vec<&'static Rule>),
) {
    let system = bench.work().order.as_ref().map_or(System::Metric, |order| order.system);
    for rule in &in_force {
        let hint = match rule.default {
            Default::LengthMm(mm) => house(&system.show(mm)),
            Default::Number(number) => house(&number.to_string()),
        };
        let name = rule.key.replace('_', " ");
        let entry = rule_entry(section, rule);
        field(ui, bench, &Asked { entry, name: &name, how: rule.words, hint, needed: false });
    }
    let mut shown: Vec<&str> = in_force.iter().map(|rule| rule.key).collect();
    for rule in all {
        let entry = rule_entry(section, rule);
        if shown.contains(&rule.key) || bench.paper().written(&entry).is_empty() {
            continue;
        }
        shown.push(rule.key);
        field(ui, bench, &left_over(entry, &rule.key.replace('_', " ")));
    }
}
