//! Whose it is, and her measurements in the order in which a person takes them.

use egui::Ui;

use super::choice::{Words, chosen, pick};
use super::field::{Asked, aside, field, say, sentence_case};
use super::heading;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};
use crate::order::{Facts, MEASURES, Measure, TABLES};

const NAME: Entry = Entry::text("client", "name");
const MEASURED: Entry = Entry { section: "client", key: "measured", form: Form::Date };
const FROM_SIZE: Entry = Entry::text("body", "from_size");

/// The entry of a measurement.
pub fn measure_entry(facts: &Facts) -> Entry {
    Entry::text("body", facts.key)
}

/// Client and measurements.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Client");
    let asked = |entry, name, how| Asked { entry, name, how, hint: String::new(), needed: false };
    field(ui, bench, &asked(NAME, "name", "whose it is"));
    field(ui, bench, &asked(MEASURED, "measured on", "year, month, day, such as 2026-11-25"));
    heading(ui, "Measurements");
    aside(ui, "In cm or in inches, such as 94 cm, 37 in or 36 1/4 in.");
    ui.add_space(4.0);
    let (kind, style) = chosen(bench);
    let needs = [kind.needs(), style.needs()].concat();
    for facts in &MEASURES {
        // A sleeve that reaches the wrist must let the hand through.
        let wanted = kind.facts().wants.contains(&facts.measure)
            || (facts.measure == Measure::Hand && needs.contains(&Measure::ArmLength));
        let needed = needs.contains(&facts.measure);
        let written = !bench.paper().written(&measure_entry(facts)).is_empty();
        if !needed && !wanted && !written {
            continue;
        }
        let by_size = by_size(bench, facts.measure);
        let asked = Asked {
            entry: measure_entry(facts),
            name: facts.name,
            how: facts.how,
            needed: needed && by_size.is_none(),
            hint: by_size.unwrap_or_default(),
        };
        field(ui, bench, &asked);
    }
    heading(ui, "Quick start");
    size(ui, bench);
}

/// What a size stands in with for a measurement that was not taken.
fn by_size(bench: &Bench, measure: Measure) -> Option<String> {
    let order = bench.work().order.as_ref()?;
    order.body.unmeasured().find(|(unmeasured, _)| *unmeasured == measure)?;
    order.body.get(measure).map(|mm| format!("{} by size", order.system.show(mm)))
}

/// A published size that stands in for what is not measured yet.
fn size(ui: &mut Ui, bench: &mut Bench) {
    let written = bench.paper().written(&FROM_SIZE);
    let (key, size) = written.trim().split_once(' ').unwrap_or((written.trim(), ""));
    let none = (String::new(), "None: all is measured".to_owned());
    let known = TABLES.iter().map(|table| (table.key.to_owned(), sentence_case(table.name)));
    let tables: Words = [none].into_iter().chain(known).collect();
    let mut next = pick(ui, "size table", key, &tables).map(|key| {
        let middle = TABLES.iter().find(|table| table.key == key).map(|table| table.sizes[table.sizes.len() / 2]);
        middle.map_or_else(String::new, |size| format!("{key} {size}"))
    });
    if let Some(table) = TABLES.iter().find(|table| table.key == key) {
        let sizes: Words = table.sizes.iter().map(|size| ((*size).to_owned(), (*size).to_owned())).collect();
        next = next.or(pick(ui, "size", size.trim(), &sizes).map(|size| format!("{key} {size}")));
    }
    if let Some(next) = next {
        bench.write(&FROM_SIZE, &next);
        bench.settle();
    }
    aside(
        ui,
        "Stands in for what is not measured yet. A size is nobody's body: what you measure and write goes before it.",
    );
    let said: Vec<_> = bench.work().about("body.from_size").cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
}
