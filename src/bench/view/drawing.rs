//! The draft as it is drawn: front and back over one another on the fold, every other piece beside them, sewn lines full
//! and dashed, what is lit in chalk.

use egui::{Align2, vec2};

use super::canvas::{Canvas, Pen, canvas};
use crate::bench::made::{Lit, made};
use crate::bench::model::Bench;
use crate::bench::work::Drawn;
use crate::finish::{Edge, Piece};
use crate::geometry::{Draft as Frame, Point};

/// Room for what is written at either side of the draft, in points.
const LABELS: f64 = 155.0;

/// Between the pieces beside it.
const BESIDE_MM: f64 = 50.0;

/// Shows the draft.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let Some((drawn, of_now)) = bench.drawn() else {
        canvas(ui, "The draft: nothing is drawn yet", [[0.0, 0.0], [400.0, 600.0]], |canvas| {
            canvas.nothing("The draft is drawn here when it has what it needs.");
        });
        return;
    };
    let labels_mm = labels_mm(ui, &drawn.pieces);
    let drawn = &Drawn { draft: drawn.draft.clone(), pieces: spread(&drawn.pieces, labels_mm) };
    let whole = reach(drawn.pieces.iter());
    let right_mm = whole.x.max(reach(over(&drawn.pieces)).x + labels_mm).max(drawn.draft.fold_width_mm);
    let top_mm = drawn.pieces.iter().map(|piece| piece.cut.bounds().0.y).fold(0.0, f64::min);
    let (low, high) = ([-labels_mm, top_mm], [right_mm, whole.y]);
    let system = drawn.draft.system;
    let name = format!(
        "The draft, {} wide on the fold and {} long{}",
        system.show(reach(over(&drawn.pieces)).x),
        system.show(drawn.draft.length_mm),
        if of_now { "" } else { ", as it was before the last change" }
    );
    let lit = bench.lit.map(|step| made(drawn, step));
    canvas(ui, &name, [low, high], |canvas| paint(canvas, drawn, of_now, lit));
}

/// Whether a piece is drafted over the others of its kind.
fn is_over(piece: &Piece) -> bool {
    ["front", "back"].contains(&piece.name)
}

fn over(pieces: &[Piece]) -> impl Iterator<Item = &Piece> {
    pieces.iter().filter(|piece| is_over(piece))
}

/// The farthest that pieces reach out and down.
fn reach<'p>(pieces: impl Iterator<Item = &'p Piece>) -> Point<Frame> {
    pieces.map(|piece| piece.cut.bounds().1).fold(Point::origin(), Point::max)
}

/// How wide what is written at a side is on this sheet, which shows the whole draft with it on either side.
fn labels_mm(ui: &egui::Ui, pieces: &[Piece]) -> f64 {
    let [wide, high] = [ui.available_width(), ui.available_height()].map(|points| f64::from(points).max(4.0 * LABELS));
    let whole = reach(spread(pieces, 0.0).iter());
    (LABELS * whole.y / high).max(LABELS * whole.x / (wide - 2.0 * LABELS))
}

/// Front and back as they are drafted, and the others in columns beside them, none longer than they are.
fn spread(pieces: &[Piece], labels_mm: f64) -> Vec<Piece> {
    let drafted = reach(over(pieces));
    let foot_mm = if drafted.y > 0.0 { drafted.y } else { reach(pieces.iter()).y };
    let mut next = Point::<Frame>::new(if drafted.x > 0.0 { drafted.x + labels_mm } else { 0.0 }, 0.0);
    let mut column_mm = 0.0_f64;
    let mut beside = |piece: &Piece| {
        if is_over(piece) {
            return piece.clone();
        }
        let (low, high) = piece.cut.bounds();
        if next.y > 0.0 && next.y + high.y - low.y > foot_mm {
            (next, column_mm) = (Point::new(next.x + column_mm + BESIDE_MM, 0.0), 0.0);
        }
        let moved = piece.moved(next - low);
        next.y += high.y - low.y + BESIDE_MM;
        column_mm = column_mm.max(high.x - low.x);
        moved
    };
    pieces.iter().map(&mut beside).collect()
}

fn paint(canvas: &Canvas, drawn: &Drawn, of_now: bool, lit: Option<Lit>) {
    let ink = canvas.ink;
    let (words, faint) = if of_now { (ink.words, ink.edge) } else { (ink.edge, ink.lifted) };
    let width_mm = drawn.draft.fold_width_mm;
    canvas.line([[0.0, 0.0], [width_mm, 0.0]], Pen::full(faint, 0.8));
    canvas.words([width_mm, 0.0], Align2::LEFT_CENTER, vec2(8.0, 0.0), "start line");
    for (i, piece) in drawn.pieces.iter().enumerate().rev() {
        draw_piece(canvas, piece, i == 0 || !is_over(piece), [words, faint]);
    }
    if let Some(front) = drawn.pieces.first() {
        for (_, [from, to]) in front.levels.iter().chain(&front.marks) {
            canvas.line([pair(*from), pair(*to)], Pen::dashed(faint, 0.8, [2.0, 4.0]));
        }
        for (level, [from, _]) in &front.levels {
            canvas.words([from.x, from.y], Align2::RIGHT_CENTER, vec2(-10.0, 0.0), level);
        }
    }
    name_edges(canvas, drawn);
    for piece in drawn.pieces.iter().filter(|piece| !is_over(piece)) {
        let (low, high) = piece.cut.bounds();
        canvas.words([(low.x + high.x) / 2.0, low.y], Align2::CENTER_CENTER, vec2(0.0, 14.0), piece.name);
    }
    if let (Some(lit), true) = (lit, of_now) {
        light(canvas, &lit);
    }
}

/// Sewn lines full in front and dashed behind, cutting lines thin, notches and grain.
fn draw_piece(canvas: &Canvas, piece: &Piece, front: bool, [words, faint]: [egui::Color32; 2]) {
    for edge in &piece.edges {
        let fold = edge.name == "fold";
        let cut = Pen::full(faint, 0.9);
        if !fold {
            canvas.line(edge.cut.iter().copied().map(pair), cut);
        }
        let sewn = match (fold, front) {
            (true, _) => Pen::dashed(words, 1.2, [12.0, 4.0]),
            (false, true) => Pen::full(words, 1.8),
            (false, false) => Pen::dashed(words, 1.4, [6.0, 4.0]),
        };
        canvas.line(edge.sewn.corners().into_iter().map(pair), sewn);
    }
    for notch in &piece.notches {
        canvas.line(notch.nick.map(pair), Pen::full(words, 1.4));
    }
}

/// What an edge measures, for the edges that she walks with the tape: necks left of the fold, armholes on their right.
fn name_edges(canvas: &Canvas, drawn: &Drawn) {
    for piece in over(&drawn.pieces) {
        let says = |edge: &Edge| format!("{} {} {}", piece.name, edge.name, drawn.draft.system.show(edge.length_mm));
        if let Some(neck) = piece.edge("neck") {
            canvas.words([0.0, neck.sewn.end().y], Align2::RIGHT_CENTER, vec2(-10.0, 0.0), &says(neck));
        }
        if let Some(armhole) = piece.edge("armhole") {
            // The two armholes run side by side: one is named at its top, the other at its foot.
            let share = if piece.name == "front" { 0.15 } else { 0.8 };
            let (at, _) = armhole.sewn.at_length(armhole.length_mm * share);
            canvas.words(pair(at), Align2::LEFT_CENTER, vec2(26.0, 0.0), &says(armhole));
        }
    }
}

fn light(canvas: &Canvas, lit: &Lit) {
    let pen = Pen::full(canvas.ink.chalk, 4.5);
    lit.lines.iter().for_each(|line| canvas.line(line.iter().copied().map(pair), pen));
    for point in &lit.points {
        canvas.dot(pair(*point), 7.0, pen.colour);
    }
}

fn pair(point: Point<Frame>) -> [f64; 2] {
    [point.x, point.y]
}
