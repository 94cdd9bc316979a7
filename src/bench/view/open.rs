//! The cloth as it lies open, with its print, or the grid of its repeat, and every piece unfolded on it: a piece is dragged
//! along until the motifs fall where they should. And the pieces as they will be sewn, front and back side by side, with
//! what falls on them.

use egui::{Align2, Color32, Pos2, Ui, vec2};

use super::canvas::{Canvas, Hold, Pen, canvas, canvas_with_grips};
use super::cells::Cells;
use super::field::sentence_case;
use super::print::Woven;
use super::told::moved;
use crate::bench::model::Bench;
use crate::bench::pinning::Held;
use crate::geometry::{Outline, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::motif::open::spread;
use crate::motif::{Open, Spread};

/// How strongly the print shows where no piece lies.
const BESIDE: u8 = 90;

/// Between front and back as they will be sewn.
const BETWEEN_MM: f64 = 60.0;

/// The open cloth.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    let Some((laid, of_now)) = bench.laid() else { return super::laid::show(ui, bench) };
    let lay = laid.lay.clone();
    let spreads = spread(&lay);
    let [along, across] = [lay.used_mm, lay.cloth.width_mm];
    let show = |mm: f64| lay.system.show(mm);
    let by_side = lay.fold != Fold::LengthsOnTheirCentre;
    let how = if by_side { "drag one to keep it at a place" } else { "drag one along, or write how far it lies" };
    let name = format!("The open cloth, {} of it, with {} pieces unfolded on it; {how}", show(along), spreads.len());
    let print = Woven::of(ui, bench).ok_or(Cells::of(bench));
    let at = |[x, y]: [f64; 2]| spreads.iter().position(|spread| spread.cut.contains(Point::new(x, -y)));
    let grip = |place: [f64; 2], _| at(place).filter(|_| of_now);
    let extent = [[0.0, -across], [along, 0.0]];
    let hold = canvas_with_grips(ui, &name, extent, grip, |canvas, hold| {
        // It follows the hand at once: where it would lie is known before it is drawn.
        if let Some(hold) = hold.filter(|_| by_side) {
            hold_it(bench, &lay, &spreads[hold.grip.min(spreads.len() - 1)], hold);
        }
        let spreads = moved(bench, &lay, spreads.clone());
        cloth(canvas, (&lay, of_now), &spreads, (&print, bench.motifs.held.as_ref()));
    });
    let Some(hold) = hold else { return };
    if by_side {
        if hold.let_go {
            bench.drop_piece();
        }
        return;
    }
    let id = egui::Id::unique("where the piece was taken hold of");
    let piece = spreads[hold.grip.min(spreads.len() - 1)].piece;
    if hold.taken {
        ui.data_mut(|data| data.insert_temp(id, lay.placed[piece].shift_mm.x));
    }
    let from_mm: f64 = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    bench.move_piece(piece, Vector::new(from_mm + hold.by_mm[0], -hold.by_mm[1]));
    if hold.let_go {
        bench.let_piece_go();
    }
}

/// Holds a piece where the hand has moved what of it lies open.
fn hold_it(bench: &mut Bench, lay: &Lay, held: &Spread, hold: Hold) {
    let draft_from_open = held.open_from_draft.inverse().unwrap_or_default();
    let by_mm = draft_from_open.transform_vector(Vector::new(hold.by_mm[0], -hold.by_mm[1]));
    bench.hold_piece(held.piece, lay.placed[held.piece].cloth_from_draft.transform_vector(by_mm));
}

fn cloth(
    canvas: &Canvas,
    (lay, of_now): (&Lay, bool),
    spreads: &[Spread],
    (print, held): (&Result<Woven, Cells>, Option<&Held>),
) {
    let ink = canvas.ink;
    let [along, across] = [lay.used_mm, lay.cloth.width_mm];
    let at = |p: Point<Open>| canvas.at(p.x, -p.y);
    let whole = [Point::new(0.0, 0.0), Point::new(along, across)];
    canvas.painter.rect_filled(
        egui::Rect::from_two_pos(at(whole[0]), at(whole[1])),
        0.0,
        ink.button.gamma_multiply(0.5),
    );
    // What is held lies over the others.
    let is_held = |spread: &&Spread| held.is_some_and(|held| held.piece == spread.piece);
    let (above, below): (Vec<&Spread>, Vec<&Spread>) = spreads.iter().partition(is_held);
    let over: Vec<&Spread> = below.into_iter().chain(above).collect();
    match print {
        Ok(woven) => {
            woven.rectangle(canvas, whole, Color32::from_white_alpha(BESIDE), at);
            over.iter().for_each(|spread| woven.inside(canvas, &spread.cut, at));
        }
        Err(cells) => cells.paint(canvas, lay),
    }
    edges(canvas, lay);
    let show = |mm: f64| lay.system.show(mm);
    for spread in over {
        let colours = match held.filter(|held| held.piece == spread.piece) {
            Some(held) if held.broken.is_some() => [ink.refused; 2],
            Some(_) => [ink.chalk; 2],
            None if of_now => [ink.words, ink.chalk],
            None => [ink.edge; 2],
        };
        lines(canvas, spread, colours, |p| [p.x, -p.y]);
        let (low, high) = spread.sewn.bounds();
        let name = sentence_case(spread.name);
        match lay.fold {
            Fold::LengthsOnTheirCentre => {
                let label = format!("{name}, {} on", show(lay.placed[spread.piece].shift_mm.x));
                canvas.words([low.x, -across / 2.0], Align2::LEFT_CENTER, vec2(26.0, 0.0), &label);
            }
            _ => canvas.words(
                [(low.x + high.x) / 2.0, -(low.y + high.y) / 2.0],
                Align2::CENTER_CENTER,
                vec2(0.0, 0.0),
                &name,
            ),
        }
    }
}

/// The edges and folds of the cloth, and where its lengths are cut off.
fn edges(canvas: &Canvas, lay: &Lay) {
    let ink = canvas.ink;
    let [along, across] = [lay.used_mm, lay.cloth.width_mm];
    let show = |mm: f64| lay.system.show(mm);
    let edge = [[0.0, 0.0], [along, 0.0], [along, -across], [0.0, -across], [0.0, 0.0]];
    canvas.line(edge, Pen::full(ink.edge, 1.2));
    for y_mm in lay.fold.lines_mm(across) {
        canvas.line([[0.0, -y_mm], [along, -y_mm]], Pen::dashed(ink.words, 1.2, [12.0, 4.0]));
    }
    for i in 1..lay.lengths {
        let x_mm = lay.length_mm * f64::from(i);
        canvas.line([[x_mm, 0.0], [x_mm, -across]], Pen::full(ink.edge, 1.2));
    }
    let below = |text: &str| canvas.words([along / 2.0, 0.0], Align2::CENTER_CENTER, vec2(0.0, 12.0), text);
    below(&format!("selvedge, {}", show(along)));
    canvas.words([0.0, -across], Align2::LEFT_CENTER, vec2(0.0, -11.0), &format!("cut end, {}", show(across)));
}

/// The lines of a piece: cut thin, sewn full, levels dashed.
fn lines(canvas: &Canvas, spread: &Spread, [words, level_ink]: [Color32; 2], to: impl Fn(Point<Open>) -> [f64; 2]) {
    let ink = canvas.ink;
    let closed = |outline: &Outline<Open>| {
        let corners = outline.corners.iter().chain(outline.corners.first());
        corners.map(|corner| to(*corner)).collect::<Vec<_>>()
    };
    // On a print a line is seen by its halo.
    for (line, width) in [(closed(&spread.cut), 1.0), (closed(&spread.sewn), 1.8)] {
        canvas.line(line.iter().copied(), Pen::full(ink.sheet, width + 2.0));
        canvas.line(line, Pen::full(words, width));
    }
    for (level, ends) in &spread.levels {
        let line = ends.map(&to);
        canvas.line(line, Pen::full(ink.sheet, 2.6));
        canvas.line(line, Pen::dashed(level_ink, 1.4, [4.0, 4.0]));
        // Within the piece, beside the level's end: outside it would be read as the neighbour's.
        let inwards = if line[0][1] > line[1][1] { 14.0 } else { -14.0 };
        canvas.words(line[1], Align2::LEFT_CENTER, vec2(5.0, inwards), level);
    }
}

/// The pieces as they will be sewn.
pub fn sewn(ui: &mut Ui, bench: &Bench) {
    let Some((laid, of_now)) = bench.laid() else { return super::laid::show(ui, bench) };
    let spreads = spread(&laid.lay);
    let boxes: Vec<[Point<Open>; 2]> = spreads.iter().map(upright_box).collect();
    let top_mm = boxes.iter().map(|[low, _]| low.y).fold(0.0, f64::min);
    let wide_mm = boxes.iter().map(|[low, high]| high.x - low.x + BETWEEN_MM).sum::<f64>() - BETWEEN_MM;
    let high_mm = boxes.iter().map(|[_, high]| high.y).fold(0.0, f64::max);
    let names: Vec<&str> = spreads.iter().map(|spread| spread.name).collect();
    let name = format!("As they will be sewn: {}, whole, with what of the print falls on them", names.join(" and "));
    let woven = Woven::of(ui, bench);
    canvas(ui, &name, [[0.0, top_mm], [wide_mm, high_mm]], |canvas| {
        let mut left_mm = 0.0;
        for (spread, [low, high]) in spreads.iter().zip(&boxes) {
            let to = |p: Point<Open>| {
                let up = upright(spread, p);
                [left_mm + up.x - low.x, up.y]
            };
            let at = |p: Point<Open>| -> Pos2 {
                let [x, y] = to(p);
                canvas.at(x, y)
            };
            if let Some(woven) = &woven {
                woven.inside(canvas, &spread.sewn, at);
            }
            let bare = Spread { cut: spread.sewn.clone(), ..spread.clone() };
            let ink = canvas.ink;
            lines(canvas, &bare, if of_now { [ink.words, ink.chalk] } else { [ink.edge; 2] }, to);
            let middle_mm = left_mm + (high.x - low.x) / 2.0;
            canvas.words([middle_mm, high_mm], Align2::CENTER_CENTER, vec2(0.0, 13.0), &sentence_case(spread.name));
            left_mm += high.x - low.x + BETWEEN_MM;
        }
    });
}

/// A place of a piece turned so that its head is up, however it lies on the cloth: out to its right, and down from its start
/// line. It is turned, never mirrored, so that its print is as it will be seen.
fn upright(spread: &Spread, p: Point<Open>) -> Point<Open> {
    let down = spread.open_from_draft.transform_vector(Vector::new(0.0, 1.0)).x.signum();
    let off = (p - spread.open_from_draft.transform_point(Point::origin())) * down;
    Point::new(off.y, off.x)
}

/// The box around a piece so turned.
fn upright_box(spread: &Spread) -> [Point<Open>; 2] {
    let corners = spread.sewn.corners.iter().map(|p| upright(spread, *p));
    let none = [Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)];
    corners.fold(none, |[low, high], p| [low.min(p), high.max(p)])
}
