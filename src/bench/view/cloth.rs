//! The cloth, how it is folded, what is needed of it and what is left.

use egui::{RichText, Ui};

use super::choice::{choice, plainly};
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
const FIELDS: [(Entry, &str, &str, &str, bool); 6] = [
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
    (Entry::text("cloth", "price"), "price", "for a metre or a yard, in any money", "8.50 EUR per m", false),
];

/// Places that no piece may cover.
const FLAWS: Entry = Entry { section: "cloth", key: "flaws", form: Form::List };

/// When the cloth is washed first.
const WASH: Entry = Entry::text("cloth", "wash");
const WASHED: [&str; 2] = ["before-cutting", "after-sewing"];

/// The wash test: which way, and what was measured before and after.
const SHRINKAGE: [(&str, &str); 2] = [("shrinkage_along", "along"), ("shrinkage_across", "across")];

/// Whether what is said about an entry of the cloth is shown beside its field.
pub fn shows(key: &str) -> bool {
    let entries = FIELDS.iter().map(|(entry, ..)| entry.key).chain(SHRINKAGE.iter().map(|(key, _)| *key));
    entries.chain([PRINT.key, FLAWS.key, WASH.key, "photo"]).any(|shown| shown == key)
}

/// Cloth, fold and lay.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Cloth");
    for (entry, name, how, hint, needed) in FIELDS {
        field(ui, bench, &Asked { entry, name, how, hint: hint.to_owned(), needed });
    }
    print(ui, bench);
    super::motifs::list(ui, bench, &FLAWS, "Flaws", FLAWS_HOW);
    heading(ui, "Lay");
    lay(ui, bench);
    super::shorter::show(ui, bench);
    heading(ui, "Washing");
    washing(ui, bench);
    super::motifs::show(ui, bench);
}

/// How flaws are written.
const FLAWS_HOW: &str = "Gone round by every lay. For each in turn from the cut end, from the near selvedge, and its \
                         size: [\"120 cm\", \"30 cm\", \"5 cm\"].";

/// What washing does to the cloth, and when it is done.
fn washing(ui: &mut Ui, bench: &mut Bench) {
    aside(ui, "Mark two places, wash the cloth or a strip of it, and measure between them again.");
    ui.add_space(4.0);
    for (key, way) in SHRINKAGE {
        for (place, when) in ["before", "after"].into_iter().enumerate() {
            let entry = Entry { section: "cloth", key, form: Form::OfTwo(place) };
            let name = format!("{way}, {when}");
            let hint = ["50 cm", "48.5 cm"][place].to_owned();
            // What is said is said of both.
            field(ui, bench, &Asked { entry, name: &name, how: "", hint, needed: false });
        }
    }
    choice(
        ui,
        bench,
        &WASH,
        ("wash", "before cutting, more is bought; after sewing, pieces are larger"),
        &plainly(&WASHED),
    );
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
        let why = match bench.work().drawn {
            None => "The draft comes first.",
            Some(_) if bench.is_laying() => super::laid::LAYING,
            Some(_) => "Nothing is laid: see what is said of the cloth above.",
        };
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
