//! The search for a shorter lay: begun, looked on, stopped or given up; and the lay that is kept.

use egui::{Button, Id, Key, Label, Modifiers, Response, RichText, Ui};

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
    let button = ui.add_enabled(hindered.is_none(), Button::new("Search for a shorter lay"));
    take_focus(ui, &button);
    if button.clicked() {
        bench.search();
        hand_focus_on(ui);
    }
    aside(ui, hindered.unwrap_or("On every kind of fold, for as long as you let it; you can go on with the rest."));
}

fn under_way(ui: &mut Ui, bench: &mut Bench, searching: &Searching) {
    let ink = Ink::here(ui);
    ui.add(Label::new(RichText::new(so_far(bench, searching)).color(ink.words)).wrap());
    ui.horizontal_wrapped(|ui| {
        let stop = ui.add_enabled(!searching.is_ending, Button::new("Stop and keep it"));
        take_focus(ui, &stop);
        let give_up = ui.button("Give it up");
        if stop.clicked() || give_up.clicked() {
            bench.end_search(stop.clicked());
            hand_focus_on(ui);
        }
    });
    aside(ui, "Escape gives it up too, and so does a change of the pieces or the cloth.");
    // In a field, escape is meant for the field.
    let escaped =
        !ui.ctx().text_edit_focused() && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    if escaped {
        bench.end_search(false);
        hand_focus_on(ui);
    }
}

const HANDED_ON: &str = "the focus of the search's button";

/// The button that was pressed goes: the one that comes in its place has the focus next.
fn hand_focus_on(ui: &Ui) {
    ui.data_mut(|data| data.insert_temp(Id::unique(HANDED_ON), true));
}

fn take_focus(ui: &Ui, button: &Response) {
    let is_handed = button.enabled() && ui.data_mut(|data| data.remove_temp::<bool>(Id::unique(HANDED_ON))).is_some();
    if is_handed {
        button.request_focus();
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
