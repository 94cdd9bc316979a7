//! The table: which one lies here, how old and how far off; and the notebook in which another is read off the grid.

use egui::{Id, Key, RichText, TextEdit, Ui};

use super::field::{WIDTH, arrive, aside, clicker, ends, group, holds_keys, left, line, say, sentence};
use super::heading;
use crate::bench::age;
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Measured, Wish};
use crate::bench::notebook::{By, LENS, Slot, Unit};
use crate::bench::residual::residual_mm;
use crate::calibrate::readings::Hang;
use crate::calibrate::words;
use crate::table::{Fit, KeptTable, TapeClass};

/// Said before what was solved from other numbers than stand here now.
const OF_BEFORE: &str = "Of the numbers before";

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
    let Some(table) = bench.table() else {
        aside(ui, "None yet. Measure one below, or open a table file.");
        return;
    };
    ui.add(egui::Label::new(RichText::new(table.path.display().to_string()).strong()).wrap());
    if let Some(screen) = &table.kept.screen {
        aside(ui, &format!("It belongs to the screen {screen}."));
    }
    match &table.kept.fit {
        Some(fit) => fitted(ui, fit, &bench.today),
        None => aside(ui, "It was written by hand: neither how far off nor how old it is is known. Measure one below."),
    }
    if bench.maps_another() {
        let of = if bench.is_solved() { "readings below" } else { "numbers before" };
        aside(ui, &format!("The map is of the {of}, not of this table."));
    }
    for remark in bench.distrust().into_iter().chain(bench.misfit()) {
        say(ui, &remark);
    }
}

fn fitted(ui: &mut Ui, fit: &Fit, today: &str) {
    aside(ui, &age::in_words(fit.date.as_deref(), today));
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
        group(ui, "How the table is measured");
        ui.radio_value(&mut by, By::Tape, "Tape, from mark to mark");
        ui.radio_value(&mut by, By::Mat, "Ruled mat, each mark's place");
    });
    let mut notebook = bench.notebook().measured_by(by);
    ui.horizontal_wrapped(|ui| {
        let name = "A number without a unit is in";
        group(ui, name);
        ui.label(name);
        for unit in Unit::ALL {
            ui.radio_value(&mut notebook.unit, unit, unit.says());
        }
    });
    if notebook.by == By::Tape {
        ui.horizontal_wrapped(|ui| {
            group(ui, "The tape's class");
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
        let name = "The picture is turned by";
        group(ui, name);
        ui.label(name);
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
    let solved = bench.mapped().map(|(kept, _)| kept.clone());
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

/// The field of a reading, with what a table says of it: the one that the readings give, or the one that those before gave.
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
    // Asked here: what is typed in this very look is not solved yet.
    let of_now = solved.is_some() && bench.is_solved();
    match bench.notebook().length(slot) {
        None => {}
        Some(Err(no)) => {
            let text = format!("!  {typed} {}. {}", no.says, sentence(&no.write));
            ui.add(egui::Label::new(RichText::new(text).small().color(ink.refused)).wrap());
        }
        Some(Ok(length)) => {
            let off = solved.filter(|_| of_now).and_then(|kept| residual_mm(kept, slot));
            let off = off.map_or(String::new(), |off| format!(", {off:.1} mm off the table"));
            aside(ui, &format!("= {:.1} mm{off}", length.mm));
        }
    }
    if let Some(fit) = solved.and_then(|kept| kept.fit.as_ref()) {
        of_the_fit(ui, slot, (fit, of_now), holds_keys(ui, &response));
    }
    ends(ui, &response);
    response
}

/// What the readings so far say of one of them: whether it seems misread, and, where she is, how far off a line can be.
fn of_the_fit(ui: &mut Ui, slot: Slot, (fit, of_now): (&Fit, bool), here: bool) {
    let ink = Ink::here(ui);
    for suspect in fit.suspects.iter().filter(|suspect| of_now && slot.is_of(&suspect.reading)) {
        let text = format!("?  {}", sentence(&suspect.says));
        ui.add(egui::Label::new(RichText::new(text).small().color(ink.doubt)).wrap());
    }
    if here {
        let of = if of_now { "So far" } else { OF_BEFORE };
        aside(ui, &format!("{of}: {}", words::bound(fit).to_lowercase()));
    }
}

fn result(ui: &mut Ui, bench: &mut Bench) {
    let taken = bench.notebook().taken();
    aside(ui, &format!("{taken} of {} measured.", bench.notebook().slots().len()));
    if taken == 0 {
        return;
    }
    // While she types, the number is none yet.
    if bench.measuring.is_none() || bench.is_settled() {
        bench.ask_to_solve();
    }
    if !bench.is_solved() {
        before(ui, bench);
    }
    match bench.solved().cloned() {
        Some(Err(refusal)) => refusal.remarks.iter().for_each(|remark| say(ui, remark)),
        Some(Ok(told)) => {
            if let Some(fit) = &told.value.fit {
                aside(ui, &in_words(fit));
            }
            told.remarks.iter().for_each(|remark| say(ui, remark));
        }
        None => {}
    }
    if bench.mapped().is_some() {
        write(ui, bench);
    }
}

/// What stands here until the readings are solved.
fn before(ui: &mut Ui, bench: &Bench) {
    let how = if bench.is_solving() { "Being worked out." } else { "What you type is worked out when you go on." };
    aside(ui, how);
    if let Some(fit) = bench.mapped().and_then(|(kept, _)| kept.fit.as_ref()) {
        aside(ui, &format!("{OF_BEFORE}: {}", words::bound(fit).to_lowercase()));
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
