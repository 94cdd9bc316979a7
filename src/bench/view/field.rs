//! One field: its name, where she types, how it is taken, and what is wrong with it, under it, as she types.

use egui::accesskit::Role;
use egui::{Id, Key, Modifiers, Response, RichText, TextEdit, Ui};

use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::bench::paper::{Entry, Form, listed};
use crate::bench::plain::plainly;
pub use crate::remark::sentence_case;
use crate::remark::{Remark, Weight};

/// Where what belongs to the field that has the focus ends: its id, and the level on screen.
const ENDS: &str = "where the field ends";

/// What a field asks for.
pub struct Asked<'a> {
    /// The entry of the order.
    pub entry: Entry,
    /// What it is called.
    pub name: &'a str,
    /// How it is taken, or what it means; may be empty.
    pub how: &'a str,
    /// What is in force while nothing is typed; an example of what could be belongs to `how`.
    pub hint: String,
    /// Whether the garment can't be drafted without it.
    pub needed: bool,
}

/// Width of a field, in points: room for `1 yd 16 1/2 in`, and for a name.
pub const WIDTH: f32 = 170.0;

/// What the house takes while nothing is typed, as it stands in the field.
pub fn house(value: &str) -> String {
    format!("{value} (house)")
}

/// Shows a field of the order.
pub fn field(ui: &mut Ui, bench: &mut Bench, asked: &Asked<'_>) {
    let mut written = bench.paper().written(&asked.entry);
    let name = sentence_case(asked.name);
    let id = Id::unique((asked.entry.field(), asked.entry.form));
    let said: Vec<Remark> = bench.work().about(&asked.entry.field()).cloned().collect();
    let response = line(ui, &name, |ui| {
        ui.add(TextEdit::singleline(&mut written).id(id).hint_text(asked.hint.clone()).desired_width(WIDTH))
    });
    arrive(bench, &response);
    if response.changed() {
        bench.write(&asked.entry, &written);
    }
    list_left(bench, &asked.entry, &response, &written);
    left(ui, bench, &response);
    if !asked.how.is_empty() {
        aside(ui, &sentence(asked.how));
    }
    if written.trim().is_empty() {
        if asked.needed {
            aside(ui, "Needed for this garment.");
        }
    } else {
        said.iter().for_each(|remark| say(ui, remark));
    }
    ends(ui, &response);
    ui.add_space(6.0);
}

/// Lengths with commas between them become a list when their field is left: not before, or they would be written over under
/// her hand.
pub fn list_left(bench: &mut Bench, entry: &Entry, response: &Response, written: &str) {
    let list = (entry.form == Form::List && response.lost_focus()).then(|| listed(written)).flatten();
    if let Some(list) = list.filter(|list| bench.paper().with(entry, list) != *bench.paper()) {
        bench.write(entry, &list);
    }
}

/// All that belongs to a field ends here: it comes into sight with it.
pub fn ends(ui: &Ui, response: &Response) {
    if holds_keys(ui, response) {
        ui.data_mut(|data| data.insert_temp(Id::unique(ENDS), (response.id, ui.cursor().min.y)));
    }
}

/// The place of a field with all that belongs to it, as far as that was told by [`ends`].
pub fn whole(ui: &Ui, field: Id, rect: egui::Rect) -> egui::Rect {
    let end: Option<(Id, f32)> = ui.data(|data| data.get_temp(Id::unique(ENDS)));
    let end = end.filter(|(id, _)| *id == field).map_or(rect.max.y, |(_, y)| y);
    egui::Rect::from_min_max(rect.min, egui::pos2(rect.max.x, rect.max.y.max(end)))
}

/// What a clicker does in the field `at` of these: page down goes on to the next, page up back. Whether she went on past the
/// last.
pub fn clicker(ui: &Ui, fields: &[Id], at: usize) -> bool {
    // Taken out of the input: the next field has the focus in this very look, and must not pass it on again.
    let taken = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let (on, back) = (taken(Key::PageDown), taken(Key::PageUp));
    let next = if on {
        at.checked_add(1)
    } else if back {
        at.checked_sub(1)
    } else {
        None
    };
    match next.and_then(|next| fields.get(next)) {
        Some(next) => {
            ui.memory_mut(|memory| memory.request_focus(*next));
            false
        }
        None => on,
    }
}

/// A name on the left and what it names on the right, told to a screen reader as belonging together.
pub fn line(ui: &mut Ui, name: &str, add: impl FnOnce(&mut Ui) -> Response) -> Response {
    ui.horizontal(|ui| {
        let room = (ui.available_width() - WIDTH - 24.0).max(60.0);
        let label = ui.scope(|ui| {
            ui.set_width(room);
            ui.add(egui::Label::new(RichText::new(name).strong()).wrap())
        });
        add(ui).labelled_by(label.inner.id)
    })
    .inner
}

/// What is shown here is one of several, told to a screen reader as a group of that name.
pub fn group(ui: &Ui, name: &str) {
    ui.ctx().accesskit_node_builder(ui.unique_id(), |node| {
        node.set_role(Role::RadioGroup);
        node.set_label(name);
    });
}

/// Whether what is typed goes here: also while the window with the grid has the keys, which hands them on.
pub fn holds_keys(ui: &Ui, response: &Response) -> bool {
    ui.memory(|memory| memory.has_focus(response.id))
}

/// What is asked first takes the focus of somebody who has just come.
pub fn arrive(bench: &mut Bench, response: &Response) {
    if std::mem::take(&mut bench.arriving) {
        response.request_focus();
    }
}

/// Ends a step of undoing when a field is left; enter goes on to the next field.
pub fn left(ui: &Ui, bench: &mut Bench, response: &Response) {
    if response.lost_focus() {
        bench.settle();
        // Taken out, or a list that comes next would open by it.
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter)) {
            ui.memory_mut(|memory| memory.move_focus(egui::FocusDirection::Next));
        }
    }
}

/// Words that explain.
pub fn aside(ui: &mut Ui, text: &str) {
    let ink = Ink::here(ui);
    ui.add(egui::Label::new(RichText::new(text).small().color(ink.aside)).wrap());
}

/// A remark with its remedy, marked by how heavily it weighs, in the words of the page.
pub fn say(ui: &mut Ui, remark: &Remark) {
    said(ui, remark, sentence);
}

fn said(ui: &mut Ui, remark: &Remark, words: fn(&str) -> String) {
    let ink = Ink::here(ui);
    let (sign, colour) = sign(&ink, remark.weight);
    let mut text = format!("{sign}  {}", words(&remark.sentence));
    if let Some(remedy) = &remark.remedy {
        text = format!("{text} {}", words(remedy));
    }
    ui.add(egui::Label::new(RichText::new(text).small().color(colour)).wrap());
}

/// A remark about a file, with the file's name and line before it, in the file's own words; where it is about none, in those
/// of the page.
pub fn say_of_file(ui: &mut Ui, remark: &Remark) {
    let place = &remark.place;
    let file = place.file.as_ref().map_or_else(String::new, |file| format!("in {file}"));
    let line = place.line.map_or_else(String::new, |line| format!("line {line}"));
    let place: Vec<String> = [file, line].into_iter().filter(|part| !part.is_empty()).collect();
    match (place.is_empty(), remark.weight) {
        // It names the file that was opened or saved.
        (true, Weight::Note) => said(ui, remark, ended),
        (true, _) => say(ui, remark),
        (false, _) => {
            let sentence = format!("{}: {}", place.join(", "), remark.sentence);
            said(ui, &Remark { sentence, ..remark.clone() }, ended);
        }
    }
}

/// The sign and colour of a weight; the sign says it without the colour.
pub fn sign(ink: &Ink, weight: Weight) -> (&'static str, egui::Color32) {
    match weight {
        Weight::Note => ("\u{2022}", ink.aside),
        Weight::Doubt => ("?", ink.doubt),
        Weight::Refusal => ("!", ink.refused),
    }
}

/// A remark as a sentence of its own, in the words of the page.
pub fn sentence(text: &str) -> String {
    ended(&plainly(text))
}

/// The same in its own words.
fn ended(text: &str) -> String {
    let cased = sentence_case(text);
    if cased.ends_with(['.', '?', '!']) { cased } else { format!("{cased}.") }
}
