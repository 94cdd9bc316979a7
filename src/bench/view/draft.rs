//! The written working and the checks. A line of the working that is tapped lights the line it made.

use egui::{RichText, Ui};

use super::field::{say, say_of_file, sentence, sentence_case, sign};
use super::{heading, shown_fields};
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::draft::Check;
use crate::remark::{Remark, Weight};

/// Working and checks.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Checks");
    checks(ui, bench);
    heading(ui, "Working");
    working(ui, bench);
}

/// What was tried on the draft, and everything said about no field.
pub fn checks(ui: &mut Ui, bench: &Bench) {
    let ink = Ink::here(ui);
    // What is only missing has no line.
    let is_there = |remark: &Remark| remark.weight == Weight::Refusal && remark.place.line.is_some();
    for remark in bench.work().elsewhere(shown_fields) {
        if is_there(remark) { say_of_file(ui, remark) } else { say(ui, remark) }
    }
    let Some((drawn, of_now)) = bench.drawn() else {
        let stands = bench.work().elsewhere(shown_fields).any(is_there);
        super::field::aside(
            ui,
            match stands {
                // An order that another version of the program wrote, or another hand.
                true => {
                    "Nothing is drawn while that stands in the order. Open it in the version of the program that wrote it, or \
                     mend it in its file."
                }
                false => "Nothing is drawn yet. Type the measurements that are needed, and the garment's length.",
            },
        );
        return;
    };
    if !of_now {
        let text = "!  These numbers can't be drawn. What is shown faintly is the draft before.";
        ui.add(egui::Label::new(RichText::new(text).color(ink.refused)).wrap());
        return;
    }
    drawn.draft.checks.iter().for_each(|each| check(ui, &ink, each));
}

fn check(ui: &mut Ui, ink: &Ink, check: &Check) {
    let (sign, colour) = if check.ok { ("Good", ink.good) } else { sign(ink, check.severity.max(Weight::Doubt)) };
    let text = format!("{sign}  {}", sentence(&check.says));
    ui.add(egui::Label::new(RichText::new(text).color(colour)).wrap());
    if let Some(remedy) = check.remedy.as_ref().filter(|_| !check.ok) {
        ui.horizontal(|ui| {
            ui.add_space(16.0);
            ui.add(egui::Label::new(RichText::new(sentence(remedy)).small().color(ink.words)).wrap());
        });
    }
}

fn working(ui: &mut Ui, bench: &mut Bench) {
    let ink = Ink::here(ui);
    let Some((drawn, true)) = bench.drawn() else {
        super::field::aside(ui, "The working is written when the numbers can be drawn.");
        return;
    };
    let steps = drawn.draft.working.clone();
    super::field::aside(ui, "Tap a line to light what it made on the draft.");
    for step in steps {
        let lit = bench.lit == Some(step.name);
        let text = format!("{}: {}", sentence_case(step.name), step.rule);
        let words = RichText::new(text).color(ink.words);
        let response = ui.add(egui::Button::selectable(lit, words).wrap());
        super::field::arrive(bench, &response);
        if response.clicked() {
            bench.lit = if lit { None } else { Some(step.name) };
        }
    }
}
