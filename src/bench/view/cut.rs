//! The cut: its stages in their order, what still stands in the way, and the session on the projector's screen.

use egui::{RichText, Ui};

use super::field::{arrive, aside, say, say_of_file, sentence_case};
use super::heading;
use crate::bench::desk::Cutting;
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Wish};
use crate::calibrate::proof::Proof;
use crate::remark::Remark;

/// Stages, screen and start.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Stages");
    stages(ui, bench);
    heading(ui, "Screen");
    super::screens::choose(ui, bench);
    heading(ui, "Cutting");
    start(ui, bench);
}

fn stages(ui: &mut Ui, bench: &mut Bench) {
    if bench.stages().is_empty() {
        let planned = "The stages are planned when the draft lies on the cloth.";
        aside(ui, if bench.is_laying() { super::laid::LAYING } else { planned });
        return;
    }
    let stages: Vec<(String, String)> =
        bench.stages().iter().map(|stage| (stage.title.clone(), stage.sentence.clone())).collect();
    let ink = Ink::here(ui);
    for (i, (title, sentence)) in stages.iter().enumerate() {
        let here = bench.stage == i;
        let words = RichText::new(format!("{}  {}", i + 1, sentence_case(title)));
        let words = words.color(ink.words);
        if ui.add(egui::Button::selectable(here, words).wrap()).clicked() {
            bench.stage = i;
        }
        if here {
            aside(ui, sentence);
        }
    }
}

fn start(ui: &mut Ui, bench: &mut Bench) {
    if bench.cutting {
        let of = bench.session_stages().map_or_else(String::new, |stages| format!(" of {}", stages.len()));
        let at = bench.cutting_at.map_or_else(String::new, |stage| format!(", at stage {stage}{of}"));
        let at = format!("A cutting session is under way{at}.");
        ui.add(egui::Label::new(at).wrap());
        aside(ui, "It is led from the table; escape there ends it.");
        return;
    }
    let missing = missing(bench);
    for remark in &missing {
        if remark.place.file.is_some() { say_of_file(ui, remark) } else { say(ui, remark) }
    }
    if let Some(remark) = bench.distrust() {
        say(ui, &remark);
        let yes = match bench.proof() {
            Some(Proof::Moved(..) | Proof::Broken(_)) => "Yes, cut by this table although its proof failed",
            _ => "Yes, cut by this table although it is not trusted",
        };
        ui.checkbox(&mut bench.trust_anyway, yes);
    }
    if bench.work().drawn.as_ref().is_some_and(|drawn| !drawn.draft.wearable()) {
        say(ui, &Remark::refusal("this dress can't be worn as drafted").remedy("see the checks of the draft"));
        ui.checkbox(&mut bench.cut_anyway, "Yes, cut it all the same");
    }
    let ready = missing.is_empty()
        && (bench.distrust().is_none() || bench.trust_anyway)
        && (bench.work().can_be_cut() || bench.cut_anyway);
    let button = ui.add_enabled(ready, egui::Button::new("Throw it on the table"));
    // While the pieces are being laid nothing can be pressed yet.
    if !bench.is_laying() {
        arrive(bench, &button);
    }
    if button.clicked() {
        begin(bench);
    }
    aside(ui, "Never look up into the lens, and darken it before you lean under it.");
}

/// What is missing for a cut.
fn missing(bench: &Bench) -> Vec<Remark> {
    let mut missing = Vec::new();
    if bench.is_laying() {
        missing.push(Remark::note("the pieces are being laid").remedy("wait a moment"));
    } else if bench.work().laid.is_none() {
        missing.push(Remark::doubt("nothing is laid on the cloth yet").remedy("go back to the cloth"));
    }
    if bench.searching().is_some() {
        missing.push(Remark::note("a shorter lay is being searched for").remedy("stop it first, on the cloth's page"));
    }
    if let Some(remark) = &bench.work().unfit {
        missing.push(super::shorter::unfit(remark));
    }
    if bench.table().is_none() {
        missing.push(Remark::doubt("no table lies here").remedy("measure one, or open a table file"));
    }
    missing.extend(bench.misfit());
    missing.extend(unsaved(bench));
    missing
}

/// What keeps the order from being cut as it stands: that it is not saved, and where she tried, what was in the way of that.
fn unsaved(bench: &Bench) -> Vec<Remark> {
    let (says, remedy) = match bench.place() {
        None => ("the order is in no file yet", "save it first; the session keeps its place beside it"),
        Some(_) if bench.unsaved() => ("the order was changed since it was saved", "save it first"),
        Some(_) => return Vec::new(),
    };
    match bench.not_saved() {
        [] => vec![Remark::doubt(says).remedy(remedy)],
        in_the_way => {
            let first = Remark::doubt(format!("{says}, and could not be saved"));
            std::iter::once(first).chain(in_the_way.iter().cloned()).collect()
        }
    }
}

fn begin(bench: &mut Bench) {
    let (Some(order), Some(table)) = (bench.place(), bench.table()) else { return };
    let cutting = Cutting {
        order: order.to_owned(),
        table: table.path.clone(),
        screen: bench.screen().map(str::to_owned),
        trust_anyway: bench.trust_anyway,
        cut_anyway: bench.cut_anyway,
    };
    bench.numbering = false;
    bench.throwing_grid = false;
    bench.wish(Wish::Cut(cutting));
}
