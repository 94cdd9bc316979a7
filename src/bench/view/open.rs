//! The cloth as it lies open, with its print and every piece unfolded on it: a piece is dragged along until the motifs
//! fall where they should. And the pieces as they will be sewn, front and back side by side, with what falls on them.

use egui::{Align2, Color32, Pos2, Ui, vec2};

use super::canvas::{Canvas, Pen, canvas, canvas_with_grips};
use super::field::sentence_case;
use super::print::Woven;
use crate::bench::model::Bench;
use crate::geometry::{Outline, Point, Vector};
use crate::lay::Lay;
use crate::motif::open::spread;
use crate::motif::{Open, Spread};

/// How strongly the print shows where no piece lies.
const BESIDE: u8 = 90;

/// Between front and back as they will be sewn.
const BETWEEN_MM: f64 = 60.0;

/// The open cloth.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    let Some(laid) = &bench.work().laid else { return super::laid::show(ui, bench) };
    let lay = laid.lay.clone();
    let spreads = spread(&lay);
    let [along, across] = [lay.used_mm, lay.cloth.width_mm];
    let show = |mm: f64| lay.system.show(mm);
    let name = format!(
        "The open cloth, {} of it, with {} pieces unfolded on it; drag one along, or write how far it lies",
        show(along),
        spreads.len()
    );
    let woven = Woven::of(ui, bench);
    let grip = |[x, y]: [f64; 2], _| spreads.iter().position(|spread| spread.cut.contains(Point::new(x, -y)));
    let extent = [[0.0, -across], [along, 0.0]];
    let hold = canvas_with_grips(ui, &name, extent, grip, |canvas| cloth(canvas, &lay, &spreads, woven.as_ref()));
    let Some(hold) = hold else { return };
    let id = egui::Id::unique("where the piece was taken hold of");
    let piece = spreads[hold.grip.min(spreads.len() - 1)].piece;
    if hold.taken {
        ui.data_mut(|data| data.insert_temp(id, lay.placed[piece].shift_mm));
    }
    let from_mm: f64 = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    bench.move_piece(piece, Vector::new(from_mm + hold.by_mm[0], -hold.by_mm[1]));
    if hold.let_go {
        bench.let_piece_go();
    }
}

fn cloth(canvas: &Canvas, lay: &Lay, spreads: &[Spread], woven: Option<&Woven>) {
    let ink = canvas.ink;
    let [along, across] = [lay.used_mm, lay.cloth.width_mm];
    let at = |p: Point<Open>| canvas.at(p.x, -p.y);
    let whole = [Point::new(0.0, 0.0), Point::new(along, across)];
    canvas.painter.rect_filled(
        egui::Rect::from_two_pos(at(whole[0]), at(whole[1])),
        0.0,
        ink.button.gamma_multiply(0.5),
    );
    if let Some(woven) = woven {
        woven.rectangle(canvas, whole, Color32::from_white_alpha(BESIDE), at);
        spreads.iter().for_each(|spread| woven.inside(canvas, &spread.cut, at));
    }
    let edge = [[0.0, 0.0], [along, 0.0], [along, -across], [0.0, -across], [0.0, 0.0]];
    canvas.line(edge, Pen::full(ink.edge, 1.2));
    canvas.line([[0.0, -across / 2.0], [along, -across / 2.0]], Pen::dashed(ink.words, 1.2, [12.0, 4.0]));
    for i in 1..lay.lengths {
        let x_mm = lay.length_mm * f64::from(i);
        canvas.line([[x_mm, 0.0], [x_mm, -across]], Pen::full(ink.edge, 1.2));
    }
    let show = |mm: f64| lay.system.show(mm);
    let below = |text: &str| canvas.words([along / 2.0, 0.0], Align2::CENTER_CENTER, vec2(0.0, 12.0), text);
    below(&format!("selvedge, {}", show(along)));
    canvas.words([0.0, -across], Align2::LEFT_CENTER, vec2(0.0, -11.0), &format!("cut end, {}", show(across)));
    for spread in spreads {
        lines(canvas, spread, |p| [p.x, -p.y]);
        let (low, _) = spread.sewn.bounds();
        let label = format!("{}, {} on", sentence_case(spread.name), show(lay.placed[spread.piece].shift_mm));
        canvas.words([low.x, -across / 2.0], Align2::LEFT_CENTER, vec2(26.0, 0.0), &label);
    }
}

/// The lines of a piece: cut thin, sewn full, levels dashed.
fn lines(canvas: &Canvas, spread: &Spread, to: impl Fn(Point<Open>) -> [f64; 2]) {
    let ink = canvas.ink;
    let closed = |outline: &Outline<Open>| {
        let corners = outline.corners.iter().chain(outline.corners.first());
        corners.map(|corner| to(*corner)).collect::<Vec<_>>()
    };
    // On a print a line is seen by its halo.
    for (line, width) in [(closed(&spread.cut), 1.0), (closed(&spread.sewn), 1.8)] {
        canvas.line(line.iter().copied(), Pen::full(ink.sheet, width + 2.0));
        canvas.line(line, Pen::full(ink.words, width));
    }
    for (level, ends) in &spread.levels {
        let line = ends.map(&to);
        canvas.line(line, Pen::full(ink.sheet, 2.6));
        canvas.line(line, Pen::dashed(ink.chalk, 1.4, [4.0, 4.0]));
        canvas.words(line[1], Align2::CENTER_CENTER, vec2(0.0, -9.0), level);
    }
}

/// The pieces as they will be sewn.
pub fn sewn(ui: &mut Ui, bench: &Bench) {
    let Some(laid) = &bench.work().laid else { return super::laid::show(ui, bench) };
    let spreads = spread(&laid.lay);
    let size = |spread: &Spread| {
        let (low, high) = spread.sewn.bounds();
        [high.y - low.y, high.x - start_mm(spread)]
    };
    let sizes: Vec<[f64; 2]> = spreads.iter().map(size).collect();
    let top_mm = spreads.iter().map(|spread| spread.sewn.bounds().0.x - start_mm(spread)).fold(0.0, f64::min);
    let wide_mm: f64 = sizes.iter().map(|size| size[0] + BETWEEN_MM).sum::<f64>() - BETWEEN_MM;
    let high_mm = sizes.iter().map(|size| size[1]).fold(0.0, f64::max);
    let names: Vec<&str> = spreads.iter().map(|spread| spread.name).collect();
    let name = format!("As they will be sewn: {}, whole, with what of the print falls on them", names.join(" and "));
    let woven = Woven::of(ui, bench);
    let fold_mm = laid.lay.folded_width_mm;
    canvas(ui, &name, [[0.0, top_mm], [wide_mm, high_mm]], |canvas| {
        let mut left_mm = 0.0;
        for (spread, size) in spreads.iter().zip(&sizes) {
            let middle_mm = left_mm + size[0] / 2.0;
            // Turned a quarter, so that the neck is up: what lies along the selvedge goes down.
            let to = |p: Point<Open>| [middle_mm + p.y - fold_mm, p.x - start_mm(spread)];
            let at = |p: Point<Open>| -> Pos2 {
                let [x, y] = to(p);
                canvas.at(x, y)
            };
            if let Some(woven) = &woven {
                woven.inside(canvas, &spread.sewn, at);
            }
            let bare = Spread { cut: spread.sewn.clone(), ..spread.clone() };
            lines(canvas, &bare, to);
            canvas.words([middle_mm, high_mm], Align2::CENTER_CENTER, vec2(0.0, 13.0), &sentence_case(spread.name));
            left_mm += size[0] + BETWEEN_MM;
        }
    });
}

/// Where the start line of a piece lies along the cloth.
fn start_mm(spread: &Spread) -> f64 {
    spread.open_from_draft.transform_point(Point::origin()).x
}
