//! The print's part of the cloth: its photo and what has a known size in it, where each piece lies along its length, and
//! what of the print that puts on bust, waist and hem.

use egui::{Id, RichText, TextEdit, Ui};

use super::falls::in_words;
use super::field::{Asked, aside, field, group, house, left, list_left, say, sentence};
use super::heading;
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::bench::motifs::{CORNERS, ENDS, PHOTO, Showing};
use crate::bench::paper::{Entry, Form};
use crate::bench::pinning::{in_field, place_of};
use crate::motif::falls::out_of_step_mm;
use crate::motif::open::spread;
use crate::order::ROOM;

/// How the cloth can be shown.
const SHOWN: [(Showing, &str); 4] = [
    (Showing::Folded, "Folded"),
    (Showing::Open, "Open, with its print"),
    (Showing::Sewn, "As sewn"),
    (Showing::Photo, "The photo"),
];

/// Where new marks in a photo stand, as shares of its size.
const FIRST_MARKS: [[f64; 2]; 4] = [[0.2, 0.8], [0.8, 0.8], [0.8, 0.2], [0.2, 0.2]];

/// What is marked, in the order in which the marks are numbered.
const CORNER_NAMES: [&str; 4] =
    ["Corner 1, lower left", "Corner 2, lower right", "Corner 3, upper right", "Corner 4, upper left"];
const END_NAMES: [&str; 2] = ["End 1", "End 2"];

/// How a place is written.
const KEPT_HOW: &str = "A place for a piece: from the cut end, from the near edge, for each one of it that is kept, such as \
                        40 cm, 12 cm. Or drag the piece. The others are laid around it.";

/// How pieces are moved in a lay that is kept.
const AS_KEPT: &str = "The pieces lie as they are kept. Drag one to move it in that lay; the others stay. To have them laid \
                       anew, let the kept lay go.";

/// Photo, places and what falls where.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    bench.ask_for_print();
    heading(ui, "Motifs");
    photo(ui, bench);
    places(ui, bench);
    falls(ui, bench);
}

/// Chooses how the cloth is shown.
pub fn choose(ui: &mut Ui, bench: &mut Bench) {
    ui.horizontal_wrapped(|ui| {
        group(ui, "How the cloth is shown");
        for (showing, words) in SHOWN {
            ui.radio_value(&mut bench.motifs.showing, showing, words);
        }
    });
}

/// A list of places in the photo, over the whole width, since it is long.
pub fn list(ui: &mut Ui, bench: &mut Bench, entry: &Entry, name: &str, how: &str) {
    let mut written = bench.paper().written(entry);
    let label = ui.add(egui::Label::new(RichText::new(name).strong()));
    let edit =
        TextEdit::multiline(&mut written).id(Id::unique(entry.field())).desired_rows(2).desired_width(f32::INFINITY);
    let response = ui.add(edit.return_key(None)).labelled_by(label.id);
    if response.changed() {
        bench.write(entry, &written);
    }
    list_left(bench, entry, &response, &written);
    left(ui, bench, &response);
    aside(ui, how);
    let said: Vec<_> = bench.work().about(&entry.field()).cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
    ui.add_space(6.0);
}

fn photo(ui: &mut Ui, bench: &mut Bench) {
    let plain = |entry, name, how, hint: &str| Asked { entry, name, how, hint: hint.to_owned(), needed: false };
    field(ui, bench, &plain(PHOTO, "photo", "the name of a picture of the open cloth, in the folder of the order", ""));
    if bench.photo_path().is_none() {
        return;
    }
    if let Some(Err(refusal)) = bench.photo() {
        refusal.remarks.clone().iter().for_each(|remark| say(ui, remark));
        if ui.button("Read it again").clicked() {
            bench.read_photo_again();
        }
        return;
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Read it again").clicked() {
            bench.read_photo_again();
        }
        if ui.button("Mark a rectangle").clicked() {
            mark(bench, (&CORNERS, &ENDS), 4);
        }
        if ui.button("Mark a length").clicked() {
            mark(bench, (&ENDS, &CORNERS), 2);
        }
    });
    let two = |key, place| Entry { section: "photo", key, form: Form::OfTwo(place) };
    if !bench.paper().written(&CORNERS).is_empty() {
        super::photo::marks(ui, bench, &CORNERS, ("Corners", &CORNER_NAMES));
        field(ui, bench, &plain(two("size", 0), "rectangle along", "along the selvedge, such as 30 cm", ""));
        field(ui, bench, &plain(two("size", 1), "rectangle across", "across the cloth", ""));
    }
    if !bench.paper().written(&ENDS).is_empty() {
        aside(ui, "The ends of something measured, in a photo from straight above.");
        super::photo::marks(ui, bench, &ENDS, ("Ends", &END_NAMES));
        field(ui, bench, &plain(Entry::text("photo", "length"), "between them", "such as 30 cm", ""));
    }
    let along = "where the first corner, or the photo's lower left, lies from the cut end";
    field(ui, bench, &plain(two("at", 0), "begins along", along, "0 cm (house)"));
    field(ui, bench, &plain(two("at", 1), "begins across", "and from the selvedge", "0 cm (house)"));
    let askew = "how far the cloth is turned in the photo, from along towards across";
    field(ui, bench, &plain(Entry::text("photo", "slant"), "slant", askew, "0 deg (house)"));
    if let Some(print) = bench.print().cloned() {
        let remarks = print.map_or_else(|refusal| refusal.remarks, |told| told.remarks);
        remarks.iter().for_each(|remark| say(ui, remark));
    }
}

/// Marks new places in the photo instead of those of the other kind, and shows it.
fn mark(bench: &mut Bench, (entry, other): (&Entry, &Entry), count: usize) {
    let Some(Ok(photograph)) = bench.photo() else { return };
    let size = photograph.size_px.map(f64::from);
    let marks: Vec<[f64; 2]> =
        FIRST_MARKS[..count].iter().map(|[x, y]| [(x * size[0]).round(), (y * size[1]).round()]).collect();
    bench.write(other, "");
    bench.settle();
    bench.write(entry, &super::photo::written(&marks));
    bench.settle();
    bench.motifs.showing = Showing::Photo;
}

/// How far each piece lies along its length, or where it is kept, and the room that is kept for the table.
fn places(ui: &mut Ui, bench: &mut Bench) {
    let Some((drawn, _)) = bench.drawn() else { return };
    let nought = house(&in_field(0.0, drawn.draft.system));
    let names: Vec<&'static str> = drawn.pieces.iter().map(|piece| piece.name).collect();
    let (kept, as_kept) = (bench.lays_side_by_side(), bench.laid_as_kept().is_some());
    // In a kept lay nothing is asked of a piece, but what is written can be taken out.
    let is_asked = |bench: &Bench, piece| !as_kept || !bench.paper().written(&place_of(piece)).is_empty();
    for piece in names {
        if !is_asked(bench, piece) {
            continue;
        }
        let (entry, name, how, hint) = match kept {
            true => (place_of(piece), format!("{piece} kept at"), "", ""),
            false => {
                let how = "so far on along its length, towards the hem; or drag it on the open cloth";
                (Entry::text("lay", piece), format!("{piece} lies"), how, nought.as_str())
            }
        };
        field(ui, bench, &Asked { entry, name: &name, how, hint: hint.to_owned(), needed: false });
    }
    if kept || as_kept {
        aside(ui, if as_kept { AS_KEPT } else { KEPT_HOW });
        ui.add_space(6.0);
    }
    let how = "added to every length, so that a piece can still be moved at the table";
    field(ui, bench, &Asked { entry: Entry::text("lay", ROOM), name: "room", how, hint: nought, needed: false });
    let said: Vec<_> = bench.work().about("lay").cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
}

/// What of the print falls on the levels.
fn falls(ui: &mut Ui, bench: &Bench) {
    let ink = Ink::here(ui);
    let Some(laid) = &bench.work().laid else { return };
    let Some(repeat_mm) = laid.lay.cloth.repeat_mm[0] else {
        aside(ui, "Write the repeat along, and it is said here what falls on bust, waist and hem.");
        return;
    };
    let spreads = spread(&laid.lay);
    let show = |mm: f64| laid.lay.system.show(mm);
    let with_levels = spreads.iter().filter(|spread| !spread.levels.is_empty());
    let mut lines: Vec<String> = with_levels.filter_map(|spread| in_words(bench, &laid.lay, spread)).collect();
    let named = |name: &str| spreads.iter().find(|spread| spread.name == name);
    if let (Some(one), Some(other)) = (named("back"), named("front"))
        && let Some(off_mm) = out_of_step_mm(one, other, repeat_mm)
    {
        lines.push(match off_mm {
            off if off.abs() < laid.lay.system.hand_step_mm() / 2.0 => {
                format!("The print of {} and {} is in step at the side seams", one.name, other.name)
            }
            off => format!(
                "At the side seams the print of the {} is {} out of step with the {}'s: move it {} by that",
                other.name,
                show(off.abs()),
                one.name,
                if off > 0.0 { "back" } else { "on" }
            ),
        });
    }
    for line in lines {
        ui.add(egui::Label::new(RichText::new(sentence(&line)).color(ink.words)).wrap());
    }
}
