//! What is made, and by which house rules: each in words, with what the house takes when this order says nothing.

use egui::{RichText, Ui};

use super::field::{Asked, aside, field};
use super::heading;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};
use crate::draft::Garment;
use crate::draft::rules::{Default, Rule};
use crate::order::Kind;
use crate::units::System;

const KIND: Entry = Entry::text("garment", "kind");
const LENGTH: Entry = Entry::text("garment", "length");

/// The entry of a house rule.
pub fn rule_entry(rule: &Rule) -> Entry {
    let form = match rule.default {
        Default::LengthMm(_) => Form::Text,
        Default::Number(_) => Form::Number,
    };
    Entry { section: "rules", key: rule.key, form }
}

/// Garment and house rules.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Garment");
    kinds(ui, bench);
    let length = Asked {
        entry: LENGTH,
        name: "length",
        how: "from the shoulder at the neck straight down to the finished hem",
        hint: "cm or in".to_owned(),
        needed: true,
    };
    field(ui, bench, &length);
    heading(ui, "House rules");
    aside(ui, "Each stands at the house's own value until you write another for this order.");
    ui.add_space(4.0);
    let system = bench.work().order.as_ref().map_or(System::Metric, |order| order.system);
    let garment = bench.work().order.as_ref().map(|order| order.garment);
    let kind = garment.map_or(Kind::ALineDress, |garment| garment.kind);
    let style = garment.map(|garment| garment.style).unwrap_or_default();
    for rule in Garment::of(kind).rules_for(&style) {
        let hint = match rule.default {
            Default::LengthMm(mm) => system.show(mm),
            Default::Number(number) => number.to_string(),
        };
        let name = rule.key.replace('_', " ");
        field(ui, bench, &Asked { entry: rule_entry(rule), name: &name, how: rule.words, hint, needed: false });
    }
}

/// The kinds of garment, one of which is made.
fn kinds(ui: &mut Ui, bench: &mut Bench) {
    let now = bench.paper().written(&KIND);
    ui.horizontal_wrapped(|ui| {
        for kind in Kind::ALL {
            let words = super::field::sentence_case(&kind.key().replace('-', " "));
            if ui.radio(now == kind.key(), RichText::new(words)).clicked() {
                bench.write(&KIND, kind.key());
                bench.settle();
            }
        }
    });
    if !now.is_empty() && Kind::ALL.iter().all(|kind| kind.key() != now) {
        let said: Vec<_> = bench.work().about("garment.kind").cloned().collect();
        said.iter().for_each(|remark| super::field::say(ui, remark));
    }
    ui.add_space(6.0);
}
