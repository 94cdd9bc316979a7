//! What is told below a drawing of the cloth: how a lay that is on its way stands, the rule that a piece would break where it
//! is held, and what of the print falls on it there.

use egui::{RichText, Ui};

use super::cells;
use super::falls::in_words;
use super::field::{aside, say, sentence};
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::lay::{Fold, Lay};
use crate::motif::Spread;
use crate::motif::open::spread;

/// Room for it, in lines of words that explain.
const LINES: f32 = 3.0;

/// Said while the pieces are laid anew.
const ANEW: &str =
    "Being laid anew: each piece is drawn as it is now, where it lay before. Nothing can be cut or moved yet.";

/// Said while a number is half typed, or can't be.
const BEFORE: &str =
    "As it lay by the last whole numbers: what is typed is not finished, or can't be. Nothing can be cut or moved yet.";

/// A drawing with what is told of it below.
pub fn below(ui: &mut Ui, bench: &mut Bench, draw: impl FnOnce(&mut Ui, &mut Bench)) {
    let height = LINES * (ui.text_style_height(&egui::TextStyle::Small) + ui.spacing().item_spacing.y);
    let room = ui.available_size() - egui::vec2(0.0, height);
    ui.allocate_ui(room, |ui| draw(ui, bench));
    told(ui, bench);
}

fn told(ui: &mut Ui, bench: &Bench) {
    let ink = Ink::here(ui);
    let Some((laid, of_now)) = bench.laid() else { return };
    let lay = &laid.lay;
    if bench.motifs.moving.is_none() {
        cells::in_words(bench, lay).iter().for_each(|says| aside(ui, says));
    }
    if !of_now {
        let why = if bench.is_laying() { ANEW } else { BEFORE };
        ui.add(egui::Label::new(RichText::new(format!("?  {why}")).color(ink.doubt)).wrap());
        return;
    }
    match bench.motifs.moving {
        Some(piece) => {
            match &bench.motifs.hindered {
                Some(remark) => say(ui, remark),
                None => {
                    let may = "It may lie here.";
                    ui.add(egui::Label::new(RichText::new(may).small().color(ink.chalk)).wrap());
                }
            }
            let here = moved(bench, lay, spread(lay)).into_iter().find(|spread| spread.piece == piece);
            if let Some(says) = here.and_then(|spread| in_words(bench, lay, &spread)) {
                ui.add(egui::Label::new(RichText::new(sentence(&says)).small().color(ink.words)).wrap());
            }
        }
        None if lay.fold != Fold::LengthsOnTheirCentre => {
            aside(ui, "Drag a piece to see it elsewhere; where no rule is broken it is kept there.");
        }
        None => {}
    }
}

/// The spread pieces of a lay, what is held of them where it would lie.
pub fn moved(bench: &Bench, lay: &Lay, spreads: Vec<Spread>) -> Vec<Spread> {
    let Some(held) = &bench.motifs.held else { return spreads };
    let Some(placed) = lay.placed.get(held.piece) else { return spreads };
    let Some(draft_from_cloth) = placed.cloth_from_draft.inverse() else { return spreads };
    let by_mm = draft_from_cloth.transform_vector(held.by_mm);
    let moved = |spread: Spread| match spread.piece == held.piece {
        // One that lies there twice moves twice, the second mirrored.
        true => spread.moved(spread.open_from_draft.transform_vector(by_mm)),
        false => spread,
    };
    spreads.into_iter().map(moved).collect()
}
