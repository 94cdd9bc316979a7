//! Above everything: the order's name, files, undo and redo, the look, and the way of the job with how each step stands.

use egui::{Id, Key, KeyboardShortcut, Modifiers, RichText, TextEdit, Ui};

use super::field::{say_of_file, sign};
use crate::bench::look::Ink;
use crate::bench::model::{Bench, Step, Wish};
use crate::calibrate::proof::Proof;
use crate::remark::Weight;

/// The steps, as they are named.
const STEPS: [(Step, &str); 6] = [
    (Step::Client, "Client"),
    (Step::Garment, "Garment"),
    (Step::Draft, "Draft"),
    (Step::Cloth, "Cloth"),
    (Step::Table, "Table"),
    (Step::Cut, "Cut"),
];

/// What a strip under the bar asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Strip {
    None,
    Open,
    SaveAs,
}

const STRIP: &str = "strip under the bar";
const PATH: &str = "path in the strip";

/// Keys that work everywhere.
pub fn keys(ui: &Ui, bench: &mut Bench) {
    let pressed = |modifiers, key| {
        let shortcut = KeyboardShortcut::new(modifiers, key);
        ui.input_mut(|input| input.consume_shortcut(&shortcut))
    };
    let shift = Modifiers::COMMAND | Modifiers::SHIFT;
    if pressed(shift, Key::Z) || pressed(Modifiers::COMMAND, Key::Y) {
        bench.redo();
    }
    if pressed(Modifiers::COMMAND, Key::Z) {
        bench.undo();
    }
    if pressed(shift, Key::S) {
        open_strip(ui, bench, Strip::SaveAs);
    }
    if pressed(Modifiers::COMMAND, Key::S) {
        save(ui, bench);
    }
    if pressed(Modifiers::COMMAND, Key::O) {
        open_strip(ui, bench, Strip::Open);
    }
    if pressed(Modifiers::COMMAND, Key::Plus) || pressed(Modifiers::COMMAND, Key::Equals) {
        bench.resize_text(1);
    }
    if pressed(Modifiers::COMMAND, Key::Minus) {
        bench.resize_text(-1);
    }
    for (i, key) in [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6].into_iter().enumerate() {
        if pressed(Modifiers::COMMAND, key) {
            bench.step = STEPS[i].0;
            bench.arriving = true;
        }
    }
}

/// The bar.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    ui.horizontal_wrapped(|ui| {
        let name = match bench.place().and_then(|path| path.file_name()) {
            Some(name) => name.to_string_lossy().into_owned(),
            None => "New order".to_owned(),
        };
        let ink = Ink::here(ui);
        ui.add(egui::Label::new(RichText::new(name).heading()).extend());
        if bench.unsaved() {
            ui.add(egui::Label::new(RichText::new("not saved").small().color(ink.doubt)).extend());
        }
        if ui.button("New").clicked() {
            bench.begin_anew();
        }
        if ui.button("Open").clicked() {
            open_strip(ui, bench, Strip::Open);
        }
        if ui.button("Save").clicked() {
            save(ui, bench);
        }
        if ui.button("Save as").clicked() {
            open_strip(ui, bench, Strip::SaveAs);
        }
        let [undo, redo] = bench.steps();
        if ui.add_enabled(undo, egui::Button::new("Undo")).clicked() {
            bench.undo();
        }
        if ui.add_enabled(redo, egui::Button::new("Redo")).clicked() {
            bench.redo();
        }
        if ui.button(if bench.habits.dark { "Light look" } else { "Dark look" }).clicked() {
            bench.swap_look();
        }
        if ui.button("A\u{2212}").on_hover_text("Smaller text").accessible_name("Smaller text").clicked() {
            bench.resize_text(-1);
        }
        if ui.button("A+").on_hover_text("Larger text").accessible_name("Larger text").clicked() {
            bench.resize_text(1);
        }
    });
    offer(ui, bench);
    strip(ui, bench);
    bench.said.clone().iter().for_each(|remark| say_of_file(ui, remark));
}

/// The way of the job: its steps on a line of stitches, each with how it stands.
pub fn way(ui: &mut Ui, bench: &mut Bench) {
    let ink = Ink::here(ui);
    let top = ui.cursor().min.y + 2.0;
    let across = ui.max_rect().x_range();
    let stitches = [egui::pos2(across.min, top), egui::pos2(across.max, top)];
    ui.painter().extend(egui::Shape::dashed_line(&stitches, egui::Stroke::new(1.5, ink.edge), 7.0, 5.0));
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        for (i, (step, name)) in STEPS.into_iter().enumerate() {
            let here = bench.step == step;
            let (mark, says) = standing(&ink, bench, step);
            let words = RichText::new(format!("{}  {name}  {mark}", i + 1)).color(ink.words);
            let response = ui.add(egui::Button::selectable(here, words));
            let response = response.on_hover_text(says).accessible_name(format!("Step {}, {name}: {says}", i + 1));
            if response.clicked() {
                bench.step = step;
            }
        }
    });
}

/// How a step stands: its sign, and in words.
fn standing(ink: &Ink, bench: &Bench, step: Step) -> (&'static str, &'static str) {
    let work = bench.work();
    let good = ("good", "good");
    let weigh =
        |sections: &[&str], done: bool| match sections.iter().filter_map(|section| work.weight_of(section)).max() {
            Some(Weight::Refusal) => (sign(ink, Weight::Refusal).0, "something is missing or can't be"),
            Some(Weight::Doubt) => (sign(ink, Weight::Doubt).0, "something is questioned"),
            _ if done => good,
            _ => ("", "not reached yet"),
        };
    match step {
        Step::Client if work.weight_of_file() == Some(Weight::Refusal) => {
            (sign(ink, Weight::Refusal).0, "something in the file is not known")
        }
        Step::Client => weigh(&["client", "body"], work.order.is_some()),
        Step::Garment => weigh(&["garment", "rules"], work.drawn.is_some()),
        Step::Draft => match &work.drawn {
            Some(drawn) if drawn.draft.checks.iter().all(|check| check.ok) => good,
            Some(drawn) if drawn.draft.wearable() => (sign(ink, Weight::Doubt).0, "a check is questioned"),
            Some(_) => (sign(ink, Weight::Refusal).0, "it can't be worn"),
            None => ("", "not reached yet"),
        },
        Step::Cloth if bench.searching().is_some() => ("\u{2022}", "a shorter lay is being searched for"),
        Step::Cloth if work.unfit.is_some() => (sign(ink, Weight::Doubt).0, "the kept lay is of other pieces"),
        Step::Cloth => weigh(&["cloth"], work.laid.is_some()),
        Step::Table => table(ink, bench),
        Step::Cut if bench.cutting => ("\u{2022}", "under way"),
        Step::Cut => ("", "to be started"),
    }
}

/// How the table stands.
fn table(ink: &Ink, bench: &Bench) -> (&'static str, &'static str) {
    let doubt = |says| (sign(ink, Weight::Doubt).0, says);
    match (bench.table(), bench.proof()) {
        (None, _) => ("", "no table yet"),
        (Some(_), Some(Proof::Broken(_))) => (sign(ink, Weight::Refusal).0, "its proof failed: it no longer holds"),
        (Some(_), Some(Proof::Moved(..))) => doubt("its proof failed: it was moved"),
        _ if bench.distrust().is_some() => doubt("the table is not trusted"),
        _ if bench.misfit().is_some() => doubt("the table is for a screen of another size"),
        _ => ("good", "good"),
    }
}

/// Unsaved work from before.
fn offer(ui: &mut Ui, bench: &mut Bench) {
    let Some(kept) = &bench.offered else { return };
    let name = match &kept.place {
        Some(place) => place.display().to_string(),
        None => "an order that was in no file".to_owned(),
    };
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        ui.label(format!("Unsaved work is kept from before: {name}."));
        if ui.button("Take it up again").clicked() {
            answer = Some(true);
        }
        if ui.button("Let it go").clicked() {
            answer = Some(false);
        }
    });
    if let Some(take_up) = answer {
        bench.answer_offer(take_up);
    }
}

/// Saves to the order's own file, or asks for one.
fn save(ui: &Ui, bench: &mut Bench) {
    match bench.place() {
        Some(place) => {
            let place = place.to_owned();
            bench.wish(Wish::Save(place));
        }
        None => open_strip(ui, bench, Strip::SaveAs),
    }
}

fn open_strip(ui: &Ui, bench: &Bench, strip: Strip) {
    let path = match strip {
        Strip::SaveAs => bench.place().map_or_else(|| "order.toml".to_owned(), |place| place.display().to_string()),
        _ => String::new(),
    };
    ui.data_mut(|data| {
        data.insert_temp(Id::unique(STRIP), strip);
        data.insert_temp(Id::unique(PATH), path);
    });
    ui.memory_mut(|memory| memory.request_focus(Id::unique(PATH)));
}

/// What asks for a path; it stands under the bar and stops nothing.
fn strip(ui: &mut Ui, bench: &mut Bench) {
    let strip = ui.data(|data| data.get_temp(Id::unique(STRIP))).unwrap_or(Strip::None);
    if strip == Strip::None {
        return;
    }
    let mut path: String = ui.data(|data| data.get_temp(Id::unique(PATH))).unwrap_or_default();
    let (name, deed) = if strip == Strip::Open { ("File to open", "Open it") } else { ("File to save in", "Save it") };
    let mut done = false;
    let mut close = ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(name);
        let edit = TextEdit::singleline(&mut path).id(Id::unique(PATH)).desired_width(300.0);
        let response = ui.add(edit).labelled_by(label.id);
        done = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        done |= ui.button(deed).clicked();
        close |= ui.button("Leave it").clicked();
    });
    if strip == Strip::Open {
        super::field::aside(ui, "An order, a table or readings; a file can also be dragged on to this window.");
        for recent in bench.habits.recent.clone() {
            if ui.link(recent.display().to_string()).clicked() {
                path = recent.display().to_string();
                done = true;
            }
        }
    }
    if done && !path.trim().is_empty() {
        let path = path.trim().into();
        bench.wish(if strip == Strip::Open { Wish::Open(path) } else { Wish::Save(path) });
        close = true;
    }
    ui.data_mut(|data| {
        data.insert_temp(Id::unique(STRIP), if close { Strip::None } else { strip });
        data.insert_temp(Id::unique(PATH), path);
    });
}
