//! The proof of the table that lies here: three distances, measured as a table is, and whether it still holds.

use egui::{Id, RichText, TextEdit, Ui};

use super::field::{WIDTH, aside, clicker, ends, holds_keys, left, line, say, sentence};
use super::heading;
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Measured, Wish};
use crate::bench::notebook::Slot;
use crate::calibrate::proof::{Gap, Proof, compare, nothing_to_prove_by};

/// The proof; nothing where no table lies here.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    if bench.table().is_none() {
        return;
    }
    heading(ui, "Has the projector been knocked?");
    let slots = bench.proof_slots();
    if slots.is_empty() {
        say(ui, &nothing_to_prove_by());
        return;
    }
    super::table::throw(ui, bench, Measured::Proof);
    aside(
        ui,
        "Measure these three on the bare table, whenever you doubt it. What comes next is ringed there. Enter or page down \
         goes on.",
    );
    let fields: Vec<Id> = slots.iter().map(|slot| field_id(*slot)).collect();
    let mut is_measuring = false;
    for (at, slot) in slots.iter().enumerate() {
        let response = distance(ui, bench, (at, *slot));
        if bench.measure_next && bench.measured == Measured::Proof && bench.proof_typed(at).is_empty() {
            bench.measure_next = false;
            response.request_focus();
        }
        let mut is_done = false;
        if holds_keys(ui, &response) {
            (is_measuring, bench.measuring, bench.measured) = (true, Some(*slot), Measured::Proof);
            is_done = clicker(ui, &fields, at);
        }
        if is_done {
            // She has gone on past the last one, which keeps the focus: what it should be is shown by it now.
            bench.leave_proof(at);
            ui.ctx().request_repaint();
        }
        // Asked after the clicker, which may have led away from it.
        if is_done || response.lost_focus() {
            bench.settle_proof();
        }
    }
    if !is_measuring {
        bench.settle_proof();
    }
    verdict(ui, bench);
}

/// The field of a distance.
fn field_id(slot: Slot) -> Id {
    Id::unique(("proof", slot.says()))
}

/// One distance; and once her number for it stands, what it should be and how far it is off that.
fn distance(ui: &mut Ui, bench: &mut Bench, (at, slot): (usize, Slot)) -> egui::Response {
    let mut typed = bench.proof_typed(at).to_owned();
    let response = line(ui, &format!("{}, as it is now", slot.says()), |ui| {
        ui.add(TextEdit::singleline(&mut typed).id(field_id(slot)).hint_text("not measured").desired_width(WIDTH))
    });
    if response.changed() {
        bench.prove_by(at, &typed);
    }
    left(ui, bench, &response);
    if !holds_keys(ui, &response) {
        bench.leave_proof(at);
    }
    let kept = bench.table().map(|table| &table.kept).filter(|_| bench.proof_stands(at));
    match (bench.proof_length(at), bench.proof_reading(at), kept) {
        (Some(Err(no)), ..) => {
            let text = format!("!  {typed} {}. {}", no.says, sentence(&no.write));
            ui.add(egui::Label::new(RichText::new(text).small().color(Ink::here(ui).refused)).wrap());
        }
        (_, Some(reading), Some(kept)) => {
            // As one of all: so much may be off by chance in each of them.
            let others = (0..bench.proof_slots().len()).filter(|other| *other != at);
            let all = std::iter::once(reading.clone()).chain(others.map(|_| reading.clone())).collect::<Vec<_>>();
            if let Some(gap) = compare(kept, &all).and_then(|gaps| gaps.into_iter().next()) {
                told(ui, &gap);
            }
        }
        _ => {}
    }
    ends(ui, &response);
    response
}

fn told(ui: &mut Ui, gap: &Gap) {
    let (off_mm, allowed_mm) = (gap.off_mm(), gap.allowed_mm());
    let ink = Ink::here(ui);
    let within = off_mm.abs() <= allowed_mm;
    let (sign, colour) = if within { ("\u{2022}", ink.aside) } else { ("?", ink.doubt) };
    let way = if off_mm >= 0.0 { "longer" } else { "shorter" };
    let chance = if within { "that is chance" } else { "that is no chance: measure it again" };
    let should = gap.told_mm().map_or_else(String::new, |mm| format!("Should be {mm:.1} mm. It is "));
    let text = format!(
        "{sign}  {should}{:.1} mm {way} than the table says, {allowed_mm:.1} mm allowed: {chance}.",
        off_mm.abs()
    );
    ui.add(egui::Label::new(RichText::new(text).small().color(colour)).wrap());
}

fn verdict(ui: &mut Ui, bench: &mut Bench) {
    match bench.proof().cloned() {
        Some(Proof::Holds) => aside(ui, "The table holds: its lines are as true as when it was measured."),
        Some(Proof::Moved(change, remark)) => {
            say(ui, &remark);
            aside(ui, "It is written beside the old table, which stays as it is, and lies on the bench then.");
            let corrected = bench.table().and_then(|table| change.made(&table.kept)).map(Box::new);
            let button = ui.add_enabled(corrected.is_some(), egui::Button::new("Take the corrected table"));
            if let (true, Some(corrected)) = (button.clicked(), corrected) {
                bench.wish(Wish::KeepCorrected(corrected));
            }
        }
        Some(Proof::Broken(remark)) => say(ui, &remark),
        None => {}
    }
}
