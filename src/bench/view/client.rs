//! Whose it is, and her measurements in the order in which a person takes them.

use egui::Ui;

use super::field::{Asked, field};
use super::heading;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};
use crate::order::{Facts, Kind, MEASURES};

const NAME: Entry = Entry::text("client", "name");
const MEASURED: Entry = Entry { section: "client", key: "measured", form: Form::Date };

/// The entry of a measurement.
pub fn measure_entry(facts: &Facts) -> Entry {
    Entry::text("body", facts.key)
}

/// Client and measurements.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Client");
    let asked = |entry, name, how, hint: &str| Asked { entry, name, how, hint: hint.to_owned(), needed: false };
    field(ui, bench, &asked(NAME, "name", "", "whose it is"));
    field(ui, bench, &asked(MEASURED, "measured on", "", "2026-11-25"));
    heading(ui, "Measurements");
    let kind = bench.work().order.as_ref().map_or(Kind::ALineDress, |order| order.garment.kind);
    for facts in &MEASURES {
        let asked = Asked {
            entry: measure_entry(facts),
            name: facts.name,
            how: facts.how,
            hint: "cm or in".to_owned(),
            needed: kind.needs().contains(&facts.measure),
        };
        field(ui, bench, &asked);
    }
}
