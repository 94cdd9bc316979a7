//! The screens: listed by name and size, told apart by a numeral thrown on each, with what speaks against one.

use egui::{Align2, FontId, Sense, Ui, WidgetInfo, accesskit::Role, vec2};

use super::field::{self, aside};
use crate::bench::look::Ink;
use crate::bench::model::{Bench, ScreenHere, Step};

/// Chooses the projector's screen.
pub fn choose(ui: &mut Ui, bench: &mut Bench) {
    let screens = bench.screens.clone();
    if screens.is_empty() {
        aside(ui, "No screen is known. Plug the projector in.");
        return;
    }
    ui.vertical(|ui| {
        field::group(ui, "The projector's screen");
        for (i, screen) in screens.iter().enumerate() {
            let chosen = bench.screen() == Some(screen.title.as_str());
            let radio = ui.radio(chosen, format!("{}  {}", i + 1, screen.title));
            if bench.step == Step::Table {
                field::arrive(bench, &radio);
            }
            if radio.clicked() {
                bench.choose_screen(screen);
            }
        }
    });
    let words = if bench.numbering { "Take the numbers off" } else { "Show the numbers on the screens" };
    if ui.button(words).clicked() {
        bench.numbering = !bench.numbering;
        bench.throwing_grid = false;
    }
    if let Some(screen) = bench.chosen_screen().cloned() {
        warn(ui, &screen);
    }
}

/// What speaks against throwing on a screen.
fn warn(ui: &mut Ui, screen: &ScreenHere) {
    use crate::remark::Remark;
    if screen.scale_percent != 100 {
        field::say(
            ui,
            &Remark::doubt(format!("the desktop shows this screen at {} %", screen.scale_percent)).remedy(
                "set its scale to 100 % in the computer's display settings, or lines may be thrown at another size",
            ),
        );
    }
}

/// The number of the screen that the bench is on, large, in place of the drawing: on that screen it can't fill all.
pub fn numeral(ui: &mut Ui, bench: &Bench, own: usize) {
    let title = bench.screens.get(own).map_or("", |screen| &screen.title);
    let name = format!("This screen is number {}, {title}", own + 1);
    let (response, painter) = ui.allocate_painter(ui.available_size(), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let (ink, rect) = (Ink::here(ui), response.rect);
    painter.rect_filled(rect, 3.0, ink.sheet);
    let large = FontId::proportional(rect.height().min(rect.width()) * 0.6);
    painter.text(rect.center(), Align2::CENTER_CENTER, (own + 1).to_string(), large, ink.words);
    let below = rect.center_bottom() - vec2(0.0, rect.height() * 0.06);
    painter.text(below, Align2::CENTER_BOTTOM, title, FontId::proportional(17.0), ink.words);
}
