//! The table: which one lies here, how old and how far off; and the notebook in which another is read off the grid.

use egui::{Id, Key, RichText, TextEdit, Ui};

use super::field::{WIDTH, arrive, aside, clicker, ends, holds_keys, left, line, say, sentence};
use super::heading;
use crate::bench::age::ago;
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Measured, Wish};
use crate::bench::notebook::{By, LENS, Slot, Unit};
use crate::bench::residual::residual_mm;
use crate::calibrate::readings::Hang;
use crate::calibrate::words;
use crate::table::{Fit, KeptTable, TapeClass};

/// Table and readings.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "The table that you cut by");
    lying_here(ui, bench);
    heading(ui, "Measure a table");
    super::screens::choose(ui, bench);
    ways(ui, bench);
    grid(ui, bench);
    readings(ui, bench);
    heading(ui, "What the readings give");
    result(ui, bench);
    super::proof::show(ui, bench);
}

fn lying_here(ui: &mut Ui, bench: &Bench) {
    let Some(table) = &bench.table else {
        aside(ui, "None yet. Measure one below, or open a table file.");
        return;
    };
    ui.add(egui::Label::new(RichText::new(table.path.display().to_string()).strong()).wrap());
    if let Some(screen) = &table.kept.screen {
        aside(ui, &format!("It belongs to the screen {screen}."));
    }
    match &table.kept.fit {
        Some(fit) => fitted(ui, fit, &bench.today),
        None => aside(ui, "It was written by hand: how far off it is is not known."),
    }
    if bench.maps_another() {
        aside(ui, "The map is of the readings below, not of this table.");
    }
    for remark in bench.distrust().into_iter().chain(bench.misfit()) {
        say(ui, &remark);
    }
}

fn fitted(ui: &mut Ui, fit: &Fit, today: &str) {
    let age = fit.date.as_ref().map(|date| match ago(date, today) {
        Some(ago) => format!("Measured {ago}, on {date}."),
        None => format!("Measured on {date}."),
    });
    if let Some(age) = age {
        aside(ui, &age);
    }
    aside(ui, &in_words(fit));
}

/// How well readings fit, in sentences.
fn in_words(fit: &Fit) -> String {
    let says =
        words::left_out(fit).into_iter().chain([words::bound(fit), words::agreement(fit), words::lens(fit).into()]);
    says.collect::<Vec<_>>().join(" ")
}

fn ways(ui: &mut Ui, bench: &mut Bench) {
    let mut by = bench.notebook().by;
    ui.horizontal_wrapped(|ui| {
        ui.radio_value(&mut by, By::Tape, "Tape, from mark to mark");
        ui.radio_value(&mut by, By::Mat, "Ruled mat, each mark's place");
    });
    let mut notebook = bench.notebook().measured_by(by);
    ui.horizontal_wrapped(|ui| {
        ui.label("A number without a unit is in");
        for unit in Unit::ALL {
            ui.radio_value(&mut notebook.unit, unit, unit.says());
        }
    });
    if notebook.by == By::Tape {
        ui.horizontal_wrapped(|ui| {
            ui.label("The tape's class, in a ring near its end:");
            for (class, says) in [(Some(TapeClass::One), "I"), (Some(TapeClass::Two), "II"), (None, "none there")] {
                ui.radio_value(&mut notebook.tape_class, class, says);
            }
        });
        hang(ui, &mut notebook.hang);
    }
    if notebook != *bench.notebook() {
        bench.change_notebook("how the table is measured", notebook);
        bench.settle();
    }
}

/// How the picture lies: distances alone can't tell a picture from its mirror image.
fn hang(ui: &mut Ui, hang: &mut Hang) {
    ui.checkbox(&mut hang.mirrored, "The letters on the table are seen mirrored");
    ui.horizontal_wrapped(|ui| {
        ui.label("The picture is turned by");
        for turns in 0..4_u8 {
            ui.radio_value(&mut hang.quarter_turns, turns, format!("{}\u{b0}", 90 * u32::from(turns)));
        }
    });
}

fn grid(ui: &mut Ui, bench: &mut Bench) {
    let button = throw(ui, bench, Measured::Anew);
    arrive(bench, &button);
    let how = match bench.notebook().by {
        By::Tape => "Lay the tape from the middle of one cross to the middle of the other.",
        By::Mat => "Read each cross off the mat: right of its zero, and away from you.",
    };
    aside(ui, &format!("{how} What you are to measure next is ringed on the table. Enter or page down goes on."));
}

/// The button that throws the grid to measure a table anew, or to prove the one that lies here, and takes it off again.
pub fn throw(ui: &mut Ui, bench: &mut Bench, measured: Measured) -> egui::Response {
    let thrown = bench.throwing_grid && bench.measured == measured;
    let words = match (thrown, measured) {
        (true, _) => "Take the grid off the table",
        (false, Measured::Anew) => "Throw the grid on the table",
        (false, Measured::Proof) => "Throw the grid to prove the table",
    };
    let there = bench.chosen_screen().is_some();
    let button = ui.add_enabled(there, egui::Button::new(words));
    if button.clicked() {
        bench.throwing_grid = !thrown;
        bench.measured = measured;
        bench.measure_next = bench.throwing_grid;
        bench.numbering = false;
    }
    if !there {
        aside(ui, "Choose the projector's screen above; the grid is thrown on that one.");
    }
    button
}

fn readings(ui: &mut Ui, bench: &mut Bench) {
    let slots = bench.notebook().slots();
    let fields: Vec<Id> = slots.iter().map(|slot| field_id(*slot)).collect();
    let solved = bench.solved().and_then(|told| told.as_ref().ok()).map(|told| told.value.clone());
    let mut measuring = None;
    for (i, slot) in slots.iter().enumerate() {
        let response = reading(ui, bench, *slot, solved.as_ref());
        let is_next = bench.measure_next && bench.measured == Measured::Anew;
        if is_next && bench.notebook().typed(*slot).is_empty() {
            bench.measure_next = false;
            response.request_focus();
        }
        if holds_keys(ui, &response) {
            measuring = Some(*slot);
            bench.measured = Measured::Anew;
            if clicker(ui, &fields, i) {
                bench.ask_to_solve();
            }
        }
    }
    bench.measuring = measuring;
    ui.add_space(6.0);
    let zero = match bench.notebook().by {
        By::Tape => "mark A1, right along row A; what lies nearer to you than A1 has a minus",
        By::Mat => "the mat's zero",
    };
    aside(
        ui,
        &format!(
            "For a thick stack of cloth: how high the lens is, and the foot, where a plumb line from it meets the table, \
             measured from {zero}."
        ),
    );
    for slot in LENS {
        reading(ui, bench, slot, None);
    }
}

/// The field of a slot.
fn field_id(slot: Slot) -> Id {
    Id::unique(("reading", slot.says()))
}

fn reading(ui: &mut Ui, bench: &mut Bench, slot: Slot, solved: Option<&KeptTable>) -> egui::Response {
    let ink = Ink::here(ui);
    let mut typed = bench.notebook().typed(slot).to_owned();
    let response = line(ui, &slot.says(), |ui| {
        ui.add(TextEdit::singleline(&mut typed).id(field_id(slot)).hint_text("not measured").desired_width(WIDTH))
    });
    if response.changed() {
        bench.read_off(slot, &typed);
    }
    left(ui, bench, &response);
    if response.lost_focus() {
        bench.ask_to_solve();
    }
    match bench.notebook().length(slot) {
        None => {}
        Some(Err(no)) => {
            let text = format!("!  {typed} {}. {}", no.says, sentence(&no.write));
            ui.add(egui::Label::new(RichText::new(text).small().color(ink.refused)).wrap());
        }
        Some(Ok(length)) => {
            let off = solved.and_then(|kept| residual_mm(kept, slot));
            let off = off.map_or(String::new(), |off| format!(", {off:.1} mm off the table"));
            aside(ui, &format!("= {:.1} mm{off}", length.mm));
        }
    }
    if let Some(fit) = solved.and_then(|kept| kept.fit.as_ref()) {
        of_the_fit(ui, slot, fit, holds_keys(ui, &response));
    }
    ends(ui, &response);
    response
}

/// What the readings so far say of one of them: whether it seems misread, and, where she is, how far off a line can be.
fn of_the_fit(ui: &mut Ui, slot: Slot, fit: &Fit, here: bool) {
    let ink = Ink::here(ui);
    for suspect in fit.suspects.iter().filter(|suspect| slot.is_of(&suspect.reading)) {
        let text = format!("?  {}", sentence(&suspect.says));
        ui.add(egui::Label::new(RichText::new(text).small().color(ink.doubt)).wrap());
    }
    if here {
        aside(ui, &format!("So far: {}", words::bound(fit).to_lowercase()));
    }
}

fn result(ui: &mut Ui, bench: &mut Bench) {
    let taken = bench.notebook().taken();
    aside(ui, &format!("{taken} of {} measured.", bench.notebook().slots().len()));
    if taken > 0 && !bench.is_solved() && bench.measuring.is_none() {
        bench.ask_to_solve();
    }
    if taken > 0 && !bench.is_solved() {
        aside(ui, "Being worked out.");
    }
    let Some(told) = bench.solved().filter(|_| taken > 0).cloned() else { return };
    match told {
        Err(refusal) => refusal.remarks.iter().for_each(|remark| say(ui, remark)),
        Ok(told) => {
            if let Some(fit) = &told.value.fit {
                aside(ui, &in_words(fit));
            }
            told.remarks.iter().for_each(|remark| say(ui, remark));
            write(ui, bench);
        }
    }
}

/// Where the table is written.
fn write(ui: &mut Ui, bench: &mut Bench) {
    // What she names is forgotten with the notebook that she named it for.
    let best = bench.table_path();
    let id = Id::unique(("table to write", bench.notebook().number, best.clone()));
    let mut path: String = ui.data(|data| data.get_temp(id)).unwrap_or(best);
    let field = Id::unique("table to write");
    let response = line(ui, "Table file", |ui| ui.add(TextEdit::singleline(&mut path).id(field).desired_width(WIDTH)));
    if response.changed() {
        ui.data_mut(|data| data.insert_temp(id, path.clone()));
    }
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    let named = !path.trim().is_empty();
    if ui.add_enabled(named, egui::Button::new("Write the table")).clicked() || (entered && named) {
        bench.wish(Wish::SaveTable(path.trim().into()));
    }
}
