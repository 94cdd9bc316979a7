//! The cloth, how it is folded, what is needed of it and what is left.

use egui::{RichText, Ui};

use super::choice::{Words, choice, plainly};
use super::field::{Asked, aside, field, group, say, sentence, sentence_case};
use super::heading;
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form};
use crate::lay::{Fold, Lay};
use crate::order::{ClothWeight, FOLD, FoldKind, MATCH, MOTIF};
use crate::units::System;

const PRINT: Entry = Entry::text("cloth", "print");

/// The ways of a print: as the file says it, and in words.
const WAYS: [(&str, &str); 2] =
    [("all-over", "Either way up"), ("one-way", "One way only: turned, it stands on its head")];

/// The fields of the cloth: entry, name, meaning, hint, whether it is needed.
const FIELDS: [(Entry, &str, &str, &str, bool); 9] = [
    (Entry::text("cloth", "width"), "width", "between the usable selvedges, such as 114 cm or 45 in", "", true),
    (Entry::text("cloth", "length"), "length", "when it is bought already, such as 3 m or 3 1/4 yd", "", false),
    (
        Entry::text("cloth", "layer"),
        "one layer",
        "thickness of one layer; 0.35 mm for printed cotton",
        "0.35 mm (house)",
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
    (
        Entry { section: "cloth", key: "motif", form: Form::OfTwo(0) },
        "motif along",
        "the middle of one motif of the print, from the cut end, such as 12 cm",
        "",
        false,
    ),
    (
        Entry { section: "cloth", key: "motif", form: Form::OfTwo(1) },
        "motif across",
        "and from the near selvedge",
        "",
        false,
    ),
    (Entry::text("cloth", "border"), "border", "along the near selvedge, kept off the pieces", "none", false),
    (Entry::text("cloth", "price"), "price", "for a metre or a yard, in any money, such as 8.50 EUR per m", "", false),
];

/// How heavy the cloth is.
const WEIGHT: Entry = Entry::text("cloth", ClothWeight::CHOICE.key);
const WEIGHT_HOW: &str = "lawn is light, poplin medium, canvas heavy: what is heavy or quilted gets more ease";

/// Places that no piece may cover.
const FLAWS: Entry = Entry { section: "cloth", key: "flaws", form: Form::List };

/// The kind of fold.
const FOLDED: Entry = Entry::text("lay", FOLD);

/// Which way the print meets at the seams: as the file says it, and in words.
const MEETS: Entry = Entry::text("lay", MATCH);
const MEETS_WAYS: [(&str, &str); 4] =
    [("none", "Nowhere"), ("along", "Along the selvedge"), ("across", "Across"), ("both", "Along and across")];

/// Where a motif lies on front and back.
const LANDS: Entry = Entry::text("lay", MOTIF);
const LANDS_AT: [(&str, &str); 7] = [
    ("", "Anywhere"),
    ("centre", "On the centre line"),
    ("chest", "At the chest"),
    ("waist", "At the waist"),
    ("hip", "At the hip"),
    ("bust", "Level with the bust points"),
    ("off-bust", "Off the bust points"),
];

/// When the cloth is washed first.
const WASH: Entry = Entry::text("cloth", "wash");
const WASHED: [&str; 2] = ["before-cutting", "after-sewing"];

/// The wash test: which way, and what was measured before and after.
const SHRINKAGE: [(&str, &str); 2] = [("shrinkage_along", "along"), ("shrinkage_across", "across")];

/// Whether what is said about an entry of the cloth is shown beside its field.
pub fn shows(key: &str) -> bool {
    let entries = FIELDS.iter().map(|(entry, ..)| entry.key).chain(SHRINKAGE.iter().map(|(key, _)| *key));
    entries.chain([PRINT.key, WEIGHT.key, FLAWS.key, WASH.key, "photo"]).any(|shown| shown == key)
}

/// Cloth, fold and lay.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    heading(ui, "Cloth");
    for (entry, name, how, hint, needed) in FIELDS {
        field(ui, bench, &Asked { entry, name, how, hint: hint.to_owned(), needed });
    }
    choice(ui, bench, &WEIGHT, (WEIGHT.key, WEIGHT_HOW), &plainly(ClothWeight::CHOICE.words));
    print(ui, bench);
    let words =
        |all: &[(&str, &str)]| -> Words { all.iter().map(|(word, says)| ((*word).into(), (*says).into())).collect() };
    choice(ui, bench, &MEETS, ("print meets", "where pieces are sewn together"), &words(&MEETS_WAYS));
    choice(ui, bench, &LANDS, ("a motif lies", "on front and back"), &words(&LANDS_AT));
    super::motifs::list(ui, bench, &FLAWS, "Flaws", FLAWS_HOW);
    heading(ui, "Lay");
    fold(ui, bench);
    lay(ui, bench);
    super::shorter::show(ui, bench);
    heading(ui, "Washing");
    washing(ui, bench);
    super::motifs::show(ui, bench);
}

/// How flaws are written.
const FLAWS_HOW: &str = "Gone round by every lay. For each in turn from the cut end, from the near selvedge, and its \
                         size, such as 120 cm, 30 cm, 5 cm.";

/// What washing does to the cloth, and when it is done.
fn washing(ui: &mut Ui, bench: &mut Bench) {
    aside(ui, "Mark two places, wash the cloth or a strip of it, and measure between them again.");
    ui.add_space(4.0);
    for (key, way) in SHRINKAGE {
        for (place, when) in ["before", "after"].into_iter().enumerate() {
            let entry = Entry { section: "cloth", key, form: Form::OfTwo(place) };
            let name = format!("{way}, {when}");
            let how = ["such as 50 cm, marked on the cloth", "the same, washed and pressed"][place];
            // What is said is said of both.
            field(ui, bench, &Asked { entry, name: &name, how, hint: String::new(), needed: false });
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
    ui.vertical(|ui| {
        group(ui, "Print");
        for (way, words) in WAYS {
            if ui.radio(now == way, words).clicked() {
                chosen = Some(way);
            }
        }
    });
    if let Some(way) = chosen {
        bench.write(&PRINT, way);
        bench.settle();
    }
    let said: Vec<_> = bench.work().about("cloth.print").cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
}

/// The kind of fold, which is hers to choose.
fn fold(ui: &mut Ui, bench: &mut Bench) {
    let kinds = FoldKind::WORDS.map(|(word, _)| word);
    let words = [vec![(String::new(), "The cheapest".to_owned())], plainly(&kinds)].concat();
    choice(ui, bench, &FOLDED, ("fold", "all are weighed, unless you say how"), &words);
}

fn lay(ui: &mut Ui, bench: &Bench) {
    let ink = Ink::here(ui);
    let Some(laid) = &bench.work().laid else {
        let why = match bench.work().drawn {
            None if bench.laid().is_none() => "The draft comes first.",
            None => super::laid::UNFINISHED,
            Some(_) if bench.is_laying() => super::laid::LAYING,
            Some(_) => "Nothing is laid: see what is said of the cloth above.",
        };
        aside(ui, why);
        return;
    };
    let lay = &laid.lay;
    let show = |mm: f64| lay.system.show(mm);
    let mut lines = vec![
        needed(lay),
        lay.in_lengths(),
        sentence_case(&lay.fold.in_words(lay.system)),
        lay.as_it_lies(),
        format!("{:.0} % of the cloth used is dress", 100.0 * lay.used_share()),
    ];
    for left in &lay.left_over {
        lines.push(format!(
            "Left over: {} of {} by {}",
            left.count,
            lay.along_in_words(left.along_mm),
            show(left.across_mm)
        ));
    }
    lines.extend(lay.weighed_in_words().into_iter().map(|says| format!("Weighed: {says}")));
    lines.extend(lay.ruled_out_in_words().into_iter().map(|says| format!("Not possible: {says}")));
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

/// The cloth needed, as it would be bought. Where that is more than there is, why, though the pieces lie on what there is.
fn needed(lay: &Lay) -> String {
    let (system, cloth, needed_mm) = (lay.system, &lay.cloth, lay.to_buy_mm());
    let needed = format!("Cloth needed: {}", system.show_cut_from_bolt(needed_mm));
    let is_less = |own_mm: &f64| cloth.to_buy_mm(*own_mm) < system.cut_from_bolt_mm(needed_mm) - 0.5;
    let Some(own_mm) = cloth.length_mm.filter(is_less) else { return needed };
    let show = |mm: f64| match system {
        System::Metric => format!("{} m", system.at_least_mm(mm) / 1000.0),
        System::Inch => system.show_at_least(mm),
    };
    let why = match cloth.repeat_mm[0].filter(|_| lay.fold == Fold::LengthsOnTheirCentre) {
        Some(repeat_mm) => format!(
            "when it is bought anew, for {} lengths in whole repeats of {} and one repeat more to begin them on",
            lay.lengths,
            system.show(repeat_mm)
        ),
        None => "as a shop cuts it".to_owned(),
    };
    let [own, used] = [own_mm, lay.used_mm].map(show);
    format!("{needed} {why}; you have {own}, and that is enough: as it lies, this takes {used} of it")
}
