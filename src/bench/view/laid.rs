//! The lay as it lies folded: the stack with its fold towards her, and every piece where it is cut.

use egui::{Align2, vec2};

use super::canvas::{Pen, canvas};
use crate::bench::look::Ink;
use crate::bench::model::Bench;
use crate::geometry::{Cloth, Outline};
use crate::lay::{Fold, Lay};

/// What is said while the pieces are being laid.
pub const LAYING: &str = "Laying the pieces \u{2026}";

/// Said while the lay is of the numbers before.
pub const UNFINISHED: &str = "Something typed is not finished, or can't be.";

/// Shows the lay; faintly while it is not of the numbers as they are now: each piece as it is now where it lay before, while
/// they are being laid, or all as it lay last.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let Some((laid, of_now)) = bench.laid() else {
        let [name, words] = match bench.is_laying() {
            true => ["The lay: the pieces are being laid", LAYING],
            false => ["The lay: nothing is laid yet", "The lay is drawn here when the draft and the cloth are known."],
        };
        canvas(ui, name, [[0.0, -600.0], [1200.0, 0.0]], |canvas| canvas.nothing(words));
        return;
    };
    let lay = &laid.lay;
    let size_mm = [lay.length_mm, lay.folded_width_mm];
    let name = name_of(lay);
    let why = if bench.is_laying() { LAYING } else { UNFINISHED };
    let name = if of_now { name } else { format!("{why} Before it was: {name}") };
    canvas(ui, &name, [[0.0, -size_mm[1]], [size_mm[0], 0.0]], |canvas| {
        paint(canvas, lay, of_now);
    });
}

/// What a screen reader is told of a lay.
pub fn name_of(lay: &Lay) -> String {
    let [along, across] = [lay.length_mm, lay.folded_width_mm].map(|mm| lay.system.show(mm));
    format!("The lay: {} pieces on cloth folded to {along} by {across}, {} layers", lay.placed.len(), lay.layers)
}

/// Draws a lay, faintly when it is not of the pieces as they are now.
pub fn paint(canvas: &super::canvas::Canvas, lay: &Lay, of_now: bool) {
    let now = canvas.ink;
    let ink = if of_now { now } else { Ink { words: now.edge, edge: now.lifted, ..now } };
    let [along, across] = [lay.length_mm, lay.folded_width_mm];
    let sheet = egui::Rect::from_two_pos(canvas.at(0.0, -across), canvas.at(along, 0.0));
    canvas.painter.rect_filled(sheet, 0.0, ink.button.gamma_multiply(0.5));
    for left in &lay.left_over {
        let Some(low) = left.at else { continue };
        let far = canvas.at(low.x + left.along_mm, -low.y - left.across_mm);
        canvas.painter.rect_filled(egui::Rect::from_two_pos(canvas.at(low.x, -low.y), far), 0.0, ink.button);
    }
    canvas.line([[0.0, 0.0], [0.0, -across], [along, -across], [along, 0.0]], Pen::full(ink.edge, 1.2));
    let [near, far] = edges(lay.fold);
    for (edge, y_mm) in [(near, 0.0), (far, -across)] {
        if edge.starts_with("fold") {
            canvas.line([[0.0, y_mm], [along, y_mm]], Pen::dashed(ink.words, 1.6, [12.0, 4.0]));
        }
    }
    if lay.fold.is_across() {
        canvas.line([[along, 0.0], [along, -across]], Pen::dashed(ink.words, 1.6, [12.0, 4.0]));
    }
    let stacked = lay.fold == Fold::LengthsOnTheirCentre;
    for (i, placed) in lay.placed.iter().enumerate().rev() {
        let below = stacked && i > 0;
        let pen = if below { Pen::dashed(ink.words, 1.4, [6.0, 4.0]) } else { Pen::full(ink.words, 1.8) };
        canvas.line(closed(&placed.cut()), pen);
        let sewn = placed.piece.sewn.mapped(&placed.cloth_from_draft);
        canvas.line(closed(&sewn), Pen::full(ink.edge, 0.8));
    }
    let mid = Align2::CENTER_CENTER;
    if stacked {
        let names: Vec<&str> = lay.placed.iter().map(|placed| placed.piece.name).collect();
        let says = format!("from the top: {}", names.join(", "));
        canvas.words([along / 2.0, -across / 4.0], mid, vec2(0.0, 0.0), &says);
    } else {
        for placed in &lay.placed {
            let (low, high) = placed.cut().bounds();
            let middle = low.lerp(high, 0.5);
            canvas.words([middle.x, -middle.y], mid, vec2(0.0, 0.0), placed.piece.name);
        }
    }
    canvas.words([along / 2.0, 0.0], mid, vec2(0.0, 12.0), &format!("{near}, {}", lay.system.show_at_least(along)));
    canvas.words([along / 2.0, -across], mid, vec2(0.0, -11.0), &format!("{far}; {}", lay.as_it_lies()));
}

/// What the edges of the cloth as it lies are: that at her side, and the far one.
fn edges(fold: Fold) -> [&'static str; 2] {
    match fold {
        Fold::Open | Fold::Across => ["selvedge", "selvedge"],
        Fold::AtHalf => ["fold", "selvedges"],
        Fold::LengthsOnTheirCentre | Fold::InFour => ["folds", "selvedges"],
        Fold::Partly { .. } => ["fold", "selvedge"],
        Fold::BothIn { .. } => ["fold", "fold"],
    }
}

/// An outline as a line that comes back to its start, turned over so that the fold lies towards her.
pub fn closed(outline: &Outline<Cloth>) -> Vec<[f64; 2]> {
    let corners = outline.corners.iter();
    corners.chain(outline.corners.first()).map(|corner| [corner.x, -corner.y]).collect()
}
