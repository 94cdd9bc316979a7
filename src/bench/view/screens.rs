//! The screens: listed by name and size, told apart by a numeral thrown on each, with what speaks against one.

use egui::Ui;

use super::field::aside;
use crate::bench::model::{Bench, ScreenHere, Step};

/// Chooses the projector's screen.
pub fn choose(ui: &mut Ui, bench: &mut Bench) {
    let screens = bench.screens.clone();
    if screens.is_empty() {
        aside(ui, "No screen is known. Plug the projector in.");
        return;
    }
    for (i, screen) in screens.iter().enumerate() {
        let chosen = bench.screen.as_deref() == Some(&screen.title);
        let radio = ui.radio(chosen, format!("{}  {}", i + 1, screen.title));
        if bench.step == Step::Table {
            super::field::arrive(bench, &radio);
        }
        if radio.clicked() {
            bench.choose_screen(screen);
        }
    }
    let words = if bench.numbering { "Take the numbers off" } else { "Show the numbers on the screens" };
    if ui.button(words).clicked() {
        bench.numbering = !bench.numbering;
        bench.throwing_grid = false;
    }
    if let Some(screen) = bench.chosen_screen().cloned() {
        warn(ui, bench, &screen);
    }
}

/// What speaks against throwing on a screen.
fn warn(ui: &mut Ui, bench: &Bench, screen: &ScreenHere) {
    use crate::remark::Remark;
    if screen.scale_percent != 100 {
        super::field::say(
            ui,
            &Remark::doubt(format!("the desktop shows this screen at {} %", screen.scale_percent)).remedy(
                "set its scale to 100 % in the computer's display settings, or lines may be thrown at another size",
            ),
        );
    }
    if let Some(table) = &bench.table
        && table.kept.table.picture_px != screen.size_px
    {
        let [width, height] = table.kept.table.picture_px;
        super::field::say(
            ui,
            &Remark::doubt(format!(
                "the table was measured at {width} x {height}, and this screen is {}",
                screen.title
            ))
            .remedy("set the screen to that size, or measure the table again"),
        );
    }
}
