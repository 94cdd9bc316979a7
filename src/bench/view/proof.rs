//! The proof of the table that lies here: three distances, and whether it still holds.

use egui::{Id, RichText, TextEdit, Ui};

use super::field::{WIDTH, aside, left, line, say};
use super::heading;
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Wish};
use crate::calibrate::proof::{Gap, Proof, compare, distances, expected, nothing_to_prove_by, prove};
use crate::remark::Remark;
use crate::table::{KeptTable, Kind, MarkName, Reading};
use crate::units::{NoLength, read_length};

/// What is typed is kept by the view: it belongs to no file.
type Typed = [String; 3];

/// The proof; nothing where no table lies here.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    let Some(table) = &bench.table else { return };
    let kept = table.kept.clone();
    heading(ui, "Has the projector been knocked?");
    let pairs = distances(&kept);
    if pairs.is_empty() {
        say(ui, &nothing_to_prove_by());
        return;
    }
    aside(ui, "Throw the grid and measure these three on the bare table: once now, and whenever you doubt it.");
    let id = Id::unique(("proof", &table.path));
    let mut typed: Typed = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    let mut readings = Vec::new();
    for (pair, text) in pairs.iter().zip(&mut typed) {
        readings.extend(distance(ui, bench, (&kept, *pair), text));
    }
    ui.data_mut(|data| data.insert_temp(id, typed));
    if readings.is_empty() {
        return;
    }
    for gap in compare(&kept, &readings).unwrap_or_default() {
        told(ui, &gap);
    }
    if readings.len() == pairs.len() {
        verdict(ui, bench, &kept, &readings);
    }
}

/// One distance, with what it should be.
fn distance(
    ui: &mut Ui,
    bench: &mut Bench,
    (kept, [from, to]): (&KeptTable, [MarkName; 2]),
    text: &mut String,
) -> Option<Reading> {
    let id = Id::unique(("proof", from.to_string(), to.to_string()));
    let response = line(ui, &format!("{from} to {to}, as it is now"), |ui| {
        ui.add(TextEdit::singleline(text).id(id).hint_text("not measured").desired_width(WIDTH))
    });
    left(ui, bench, &response);
    if text.trim().is_empty() {
        if let Some([should_mm, allowed_mm]) = expected(kept, [from, to], 3) {
            aside(ui, &format!("Should be {should_mm:.1} mm; up to {allowed_mm:.1} mm more or less is chance."));
        }
        return None;
    }
    match length_mm(bench, text) {
        Ok(distance_mm) if distance_mm > 0.0 => {
            Some(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
        }
        Ok(_) => None,
        Err(no) => {
            say(ui, &Remark::refusal(format!("{text} {}", no.says)).remedy(no.write));
            None
        }
    }
}

/// A length as the notebook's own fields take it: a number without a unit is in the notebook's.
fn length_mm(bench: &Bench, text: &str) -> Result<f64, NoLength> {
    let bare = text.trim().replace(',', ".").parse::<f64>().is_ok();
    let unit = bench.notebook().unit.says();
    let text = if bare { format!("{} {unit}", text.trim()) } else { text.to_owned() };
    read_length(&text).map(|length| length.mm)
}

fn told(ui: &mut Ui, gap: &Gap) {
    let (off_mm, allowed_mm) = (gap.off_mm(), gap.allowed_mm());
    let ink = Ink::here(ui);
    let within = off_mm.abs() <= allowed_mm;
    let (sign, colour) = if within { ("\u{2022}", ink.aside) } else { ("?", ink.doubt) };
    let way = if off_mm >= 0.0 { "longer" } else { "shorter" };
    let text = format!("{sign}  {}: {:.1} mm {way}, {allowed_mm:.1} mm allowed", gap.name, off_mm.abs());
    ui.add(egui::Label::new(RichText::new(text).small().color(colour)).wrap());
}

fn verdict(ui: &mut Ui, bench: &mut Bench, kept: &KeptTable, readings: &[Reading]) {
    match prove(kept, readings) {
        Some(Proof::Holds) => aside(ui, "The table holds: its lines are as true as when it was measured."),
        Some(Proof::Moved(change, remark)) => {
            say(ui, &remark);
            aside(ui, "It is written beside the old table, which stays as it is, and lies on the bench then.");
            let corrected = change.made(kept).map(Box::new);
            let button = ui.add_enabled(corrected.is_some(), egui::Button::new("Take the corrected table"));
            if let (true, Some(corrected)) = (button.clicked(), corrected) {
                bench.wish(Wish::KeepCorrected(corrected));
            }
        }
        Some(Proof::Broken(remark)) => say(ui, &remark),
        None => {}
    }
}
