//! Pieces that lie side by side, dragged to where they are to be kept: what is held is seen where it would lie, in the
//! colour of chalk while no rule is broken there.

use egui::Ui;

use super::canvas::{Canvas, Pen, canvas_with_grips};
use super::laid::{closed, name_of, paint};
use crate::bench::model::Bench;
use crate::bench::pinning::Held;
use crate::geometry::{Map, Point, Vector};
use crate::lay::{Fold, Lay};

/// Shows the lay. Whole lengths, fold on fold, are moved on the open cloth instead.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    let by_side = bench.work().laid.as_ref().filter(|laid| laid.lay.fold != Fold::LengthsOnTheirCentre);
    let Some(lay) = by_side.map(|laid| laid.lay.clone()) else { return super::laid::show(ui, bench) };
    let name = format!("{}; drag one to keep it at a place, or write where it is kept", name_of(&lay));
    let extent = [[0.0, -lay.folded_width_mm], [lay.length_mm, 0.0]];
    let grip = |[x, y]: [f64; 2], _| lay.placed.iter().position(|placed| placed.cut().contains(Point::new(x, -y)));
    let hold = canvas_with_grips(ui, &name, extent, grip, |canvas, hold| {
        if let Some(hold) = hold {
            bench.hold_piece(hold.grip, Vector::new(hold.by_mm[0], -hold.by_mm[1]));
        }
        paint(canvas, &lay, true);
        bench.motifs.held.iter().for_each(|held| ghost(canvas, &lay, held));
    });
    if hold.is_some_and(|hold| hold.let_go) {
        bench.drop_piece();
    }
}

/// The piece that is held, where it would lie: in the colour of what is refused where it may not.
fn ghost(canvas: &Canvas, lay: &Lay, held: &Held) {
    let Some(placed) = lay.placed.get(held.piece) else { return };
    let moved = placed.cut().mapped(&Map::translation(held.by_mm.x, held.by_mm.y));
    let colour = if held.broken.is_some() { canvas.ink.refused } else { canvas.ink.chalk };
    canvas.line(closed(&moved), Pen::full(colour, 3.0));
}
