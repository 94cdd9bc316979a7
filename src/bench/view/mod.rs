//! What is seen of the bench: above, the bar and the way of the job; on the left what is asked at this step; on the right
//! what it looks like. Nothing here opens a window, a file or a dialogue: it shows a [`Bench`] and tells it what she did.

mod bar;
mod canvas;
mod cells;
mod choice;
mod client;
mod cloth;
mod cut;
mod draft;
mod drawing;
mod errors;
mod falls;
mod field;
mod garment;
mod labels;
mod laid;
mod motifs;
mod open;
mod photo;
mod pinned;
mod print;
mod proof;
mod screens;
mod shorter;
mod staged;
mod table;
mod told;

use egui::{CentralPanel, Frame, Id, Margin, Panel, RichText, ScrollArea, Ui, Vec2};

use super::look;
use super::model::{Bench, Step};
use super::motifs::Showing;
use crate::draft::GARMENTS;
use crate::order::KINDS;

/// How much of the window's width is asked in, and the least and most of it in points.
const ASKED_SHARE: f32 = 0.36;
const ASKED: [f32; 2] = [290.0, 470.0];

/// Height of the checks under the draft, as a share of the window's.
const CHECKS_SHARE: f32 = 0.27;

/// Shows the bench.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    look::follow(ui.ctx(), bench.habits.dark, bench.habits.text_percent);
    bar::keys(ui, bench);
    if bench.step != Step::Table {
        bench.measuring = None;
        bench.settle_proof();
    }
    dropped(ui, bench);
    let margin = |x, y| Frame::new().fill(ui.visuals().panel_fill).inner_margin(Margin::symmetric(x, y));
    let (wide, tall, side) = (margin(12, 8), margin(12, 4), margin(12, 8));
    Panel::top("bar").frame(wide).show_separator_line(false).show(ui, |ui| bar::show(ui, bench));
    Panel::top("way").frame(tall).show(ui, |ui| bar::way(ui, bench));
    let width = (ui.available_width() * ASKED_SHARE).clamp(ASKED[0], ASKED[1]);
    Panel::left("asked").frame(side).resizable(false).exact_size(width).show(ui, |ui| {
        ScrollArea::vertical().id_salt(bench.step as u8).animated(false).auto_shrink([false, false]).show(ui, |ui| {
            asked(ui, bench);
            follow_focus(ui);
        });
    });
    if bench.step <= Step::Garment {
        let height = ui.available_height() * CHECKS_SHARE;
        Panel::bottom("checks").frame(side).resizable(false).exact_size(height).show(ui, |ui| {
            ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| draft::checks(ui, bench));
        });
    }
    CentralPanel::default().frame(side).show(ui, |ui| seen(ui, bench));
}

/// Brings what has the focus into sight, with what is said under it, when it is on this page: as it takes the focus, and when
/// what is said above or under it moves it or makes it longer. What she scrolls away herself stays away.
fn follow_focus(ui: &Ui) {
    let followed = ui.scope_id().with("followed");
    // Looked up and not read: to read a response is to ask whether a click elsewhere takes the focus away.
    let look_up = |id| ui.ctx().viewport(|viewport| viewport.this_pass.widgets.get(id).copied());
    let focused = ui.memory(|memory| memory.focused()).and_then(look_up);
    let page = ui.min_rect();
    let on_page = |it: &egui::WidgetRect| it.layer_id == ui.layer_id() && page.contains(it.rect.center());
    let whole = focused.filter(on_page).map(|it| (it.id, field::whole(ui, it.id, it.rect)));
    // Where it is on the page, to the point, however that is scrolled.
    let now = whole.map(|(id, rect)| (id, (rect.min - page.min).round(), rect.size().round()));
    if ui.data(|data| data.get_temp::<Option<(Id, Vec2, Vec2)>>(followed)).flatten() == now {
        return;
    }
    ui.data_mut(|data| data.insert_temp(followed, now));
    let seen = ui.clip_rect().y_range();
    if let Some((_, rect)) = whole.filter(|(_, rect)| !(seen.contains(rect.min.y) && seen.contains(rect.max.y))) {
        ui.scroll_to_rect(rect, None);
    }
}

fn asked(ui: &mut Ui, bench: &mut Bench) {
    match bench.step {
        Step::Client => client::show(ui, bench),
        Step::Garment => garment::show(ui, bench),
        Step::Draft => draft::show(ui, bench),
        Step::Cloth => cloth::show(ui, bench),
        Step::Table => table::show(ui, bench),
        Step::Cut => cut::show(ui, bench),
    }
}

fn seen(ui: &mut Ui, bench: &mut Bench) {
    if let Some(own) = bench.own_screen.filter(|_| bench.numbering) {
        return screens::numeral(ui, bench, own);
    }
    match bench.step {
        Step::Client | Step::Garment | Step::Draft => drawing::show(ui, bench),
        Step::Cloth => cloth_seen(ui, bench),
        Step::Table => errors::show(ui, bench),
        Step::Cut => staged::show(ui, bench),
    }
}

/// The cloth, in the way that was chosen.
fn cloth_seen(ui: &mut Ui, bench: &mut Bench) {
    motifs::choose(ui, bench);
    match bench.motifs.showing {
        Showing::Folded => told::below(ui, bench, pinned::show),
        Showing::Open => told::below(ui, bench, open::show),
        Showing::Sewn => told::below(ui, bench, |ui, bench| open::sewn(ui, bench)),
        Showing::Photo => photo::show(ui, bench),
    }
}

/// Files dragged on to the window.
fn dropped(ui: &Ui, bench: &mut Bench) {
    let paths: Vec<_> = ui.input(|input| input.raw.dropped_files.iter().map(|file| file.path().to_owned()).collect());
    paths.into_iter().for_each(|path| bench.wish(super::model::Wish::Open(path)));
}

/// A heading.
fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(4.0);
    ui.add(egui::Label::new(RichText::new(text).heading()));
    ui.add_space(2.0);
}

/// Whether what is said about a field is shown beside that field.
fn shown_fields(field: &str) -> bool {
    let (section, key) = field.split_once('.').unwrap_or((field, ""));
    match section {
        "client" => ["name", "measured"].contains(&key),
        "body" => key == "from_size" || crate::order::MEASURES.iter().any(|facts| facts.key == key),
        "garment" => {
            let is_choice = || KINDS.iter().flat_map(|kind| kind.choices).any(|choice| choice.key == key);
            ["kind", "length"].contains(&key) || is_choice()
        }
        "rules" => GARMENTS.iter().flat_map(|garment| garment.rules()).any(|rule| rule.key == key),
        "fitting" => GARMENTS.iter().flat_map(|garment| garment.fitting).any(|rule| rule.key == key),
        "cloth" => cloth::shows(key),
        "lay" | "photo" => !key.is_empty(),
        _ => false,
    }
}
