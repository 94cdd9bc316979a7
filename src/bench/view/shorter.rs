//! The search for a shorter lay: begun, looked on, stopped or given up; and the lay that is kept.

use egui::{Button, Key, Label, Modifiers, RichText, Ui};

use super::field::{aside, say};
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::bench::shorter::Searching;
use crate::remark::{Remark, Weight};

/// What she can do about the lay.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    ui.add_space(4.0);
    match bench.searching().cloned() {
        Some(searching) => under_way(ui, bench, &searching),
        None => begin(ui, bench),
    }
    kept(ui, bench);
    ui.add_space(4.0);
}

fn begin(ui: &mut Ui, bench: &mut Bench) {
    let hindered = bench.hinders_search();
    if ui.add_enabled(hindered.is_none(), Button::new("Search for a shorter lay")).clicked() {
        bench.search();
    }
    aside(ui, hindered.unwrap_or("On every kind of fold, for as long as you let it; you can go on with the rest."));
}

fn under_way(ui: &mut Ui, bench: &mut Bench, searching: &Searching) {
    let ink = Ink::here(ui);
    ui.add(Label::new(RichText::new(so_far(bench, searching)).color(ink.words)).wrap());
    ui.horizontal_wrapped(|ui| {
        if ui.add_enabled(!searching.is_ending, Button::new("Stop and keep it")).clicked() {
            bench.end_search(true);
        }
        if ui.button("Give it up").clicked() {
            bench.end_search(false);
        }
    });
    aside(ui, "Escape gives it up too, and so does a change of the pieces or the cloth.");
    // In a field, escape is meant for the field.
    let escaped =
        !ui.ctx().text_edit_focused() && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    if escaped {
        bench.end_search(false);
    }
}

/// "Searching for 12 s: 1.42 m of cloth so far, 71 % of it used. Now it is 1.60 m."
fn so_far(bench: &Bench, searching: &Searching) -> String {
    if searching.is_ending {
        return "Pressing it together \u{2026}".to_owned();
    }
    let time = format!("Searching for {} s", searching.seconds);
    let Some(laid) = &bench.work().laid else { return time };
    let show = |mm: f64| laid.lay.system.show_at_least(mm);
    let now = show(laid.lay.used_mm);
    match (searching.best_mm, searching.used_share()) {
        (Some(best_mm), Some(share)) => {
            format!("{time}: {} of cloth so far, {:.0} % of it used. Now it is {now}.", show(best_mm), 100.0 * share)
        }
        _ => format!("{time}: looking at the kinds of fold. Now it is {now}."),
    }
}

/// The lay that is kept, or why it is none of these pieces any more.
fn kept(ui: &mut Ui, bench: &mut Bench) {
    if bench.kept_lay().is_none() {
        return;
    }
    match bench.work().unfit.clone() {
        Some(remark) => say(ui, &unfit(&remark)),
        None => aside(ui, "This lay was searched for; it is kept beside the order, and will be cut so."),
    }
    if ui.button("Let the kept lay go").clicked() {
        bench.let_lay_go();
    }
}

/// Why a kept lay can't be cut, and what to do.
pub fn unfit(remark: &Remark) -> Remark {
    let remark = Remark { weight: Weight::Doubt, ..remark.clone() };
    remark.remedy("search again, or let the kept lay go; until then nothing is cut")
}
