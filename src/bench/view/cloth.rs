//! The cloth, how it is folded, what is needed of it and what is left.

use egui::{RichText, Ui};

use super::field::{Asked, aside, field, say, sentence, sentence_case};
use super::heading;
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};

const PRINT: Entry = Entry::text("cloth", "print");

/// The ways of a print: as the file says it, and in words.
const WAYS: [(&str, &str); 2] =
    [("all-over", "Either way up"), ("one-way", "One way only: turned, it stands on its head")];

/// The fields of the cloth: entry, name, meaning, hint, whether it is needed.
const FIELDS: [(Entry, &str, &str, &str, bool); 5] = [
    (Entry::text("cloth", "width"), "width", "between the usable selvedges", "cm or in", true),
    (Entry::text("cloth", "length"), "length", "when it is bought already", "m or yd", false),
    (
        Entry::text("cloth", "layer"),
        "one layer",
        "thickness of one layer; 0.35 mm for printed cotton",
        "0.35 mm",
        false,
    ),
    (
        Entry { section: "cloth", key: "repeat", form: Form::OfTwo(0) },
        "repeat along",
        "of the print, along the selvedge",
        "none",
        false,
    ),
    (
        Entry { section: "cloth", key: "repeat", form: Form::OfTwo(1) },
        "repeat across",
        "of the print, across the cloth",
        "none",
        false,
    ),
];

/// Cloth, fold and lay.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Cloth");
    for (entry, name, how, hint, needed) in FIELDS {
        field(ui, bench, &Asked { entry, name, how, hint: hint.to_owned(), needed });
    }
    print(ui, bench);
    super::motifs::show(ui, bench);
    heading(ui, "Lay");
    lay(ui, bench);
}

fn print(ui: &mut Ui, bench: &mut Bench) {
    ui.add(egui::Label::new(RichText::new("Print").strong()));
    let now = bench.paper().written(&PRINT);
    let now = if now.is_empty() { WAYS[0].0 } else { &now };
    let mut chosen = None;
    for (way, words) in WAYS {
        if ui.radio(now == way, words).clicked() {
            chosen = Some(way);
        }
    }
    if let Some(way) = chosen {
        bench.write(&PRINT, way);
        bench.settle();
    }
    let said: Vec<_> = bench.work().about("cloth.print").cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
}

fn lay(ui: &mut Ui, bench: &Bench) {
    let ink = Ink::here(ui);
    let Some(laid) = &bench.work().laid else {
        let drawn = bench.work().drawn.is_some();
        let why =
            if drawn { "Nothing is laid: see what is said of the cloth above." } else { "The draft comes first." };
        aside(ui, why);
        return;
    };
    let lay = &laid.lay;
    let show = |mm: f64| lay.system.show(mm);
    let mut lines = vec![
        format!("Cloth needed: {}", lay.system.show_cut_from_bolt(lay.to_buy_mm())),
        lay.in_lengths(),
        sentence_case(lay.fold.says()),
        lay.as_it_lies(),
        format!("{:.0} % of the cloth used is dress", 100.0 * lay.used_share()),
    ];
    for left in &lay.left_over {
        lines.push(format!("Left over: {} of {} by {}", left.count, show(left.along_mm), show(left.across_mm)));
    }
    for line in lines {
        ui.add(egui::Label::new(RichText::new(sentence(&line)).color(ink.words)).wrap());
    }
    for remark in &bench.work().remarks {
        let of_cloth = remark.place.field.as_deref().is_none_or(|field| field == "cloth");
        if of_cloth {
            say(ui, remark);
        }
    }
}
