//! The draft as it is drawn: front and back over one another on the fold, sewn lines full and dashed, what is lit in
//! chalk. The line of the working that is lit is looked up by what it made.

use egui::{Align2, vec2};

use super::canvas::{Canvas, Pen, canvas};
use crate::bench::model::Bench;
use crate::bench::work::Drawn;
use crate::finish::{Edge, Piece};
use crate::geometry::{Draft as Frame, Point};

/// What a step of the working made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// An edge of one piece.
    Edge(&'static str, &'static str),
    /// The same edge of every piece.
    Edges(&'static str),
    /// A level across the draft.
    Level(&'static str),
    /// The point where an edge ends, and the edge.
    EndOf(&'static str),
    /// The width to fold the cloth at.
    FoldWidth,
    /// The length from the start line down.
    Length,
}

/// What each step of the working made, by the step's name.
const MADE: [(&str, Made); 25] = [
    ("shoulder tip", Made::EndOf("armhole")),
    ("shoulder drop", Made::EndOf("armhole")),
    ("neck reference", Made::Edges("shoulder")),
    ("neck half width", Made::EndOf("shoulder")),
    ("neck point", Made::EndOf("shoulder")),
    ("chest line", Made::Level("chest")),
    ("quarter bust", Made::Level("chest")),
    ("quarter waist", Made::Level("waist")),
    ("quarter hip", Made::Level("hip")),
    ("half width at hip", Made::Level("hip")),
    ("waist line", Made::Level("waist")),
    ("hip line", Made::Level("hip")),
    ("fold width", Made::FoldWidth),
    ("hem half width", Made::EndOf("hem")),
    ("hem at the side", Made::EndOf("hem")),
    ("length with hem", Made::Length),
    ("two lengths", Made::Length),
    ("front neck depth", Made::Edge("front", "neck")),
    ("back neck depth", Made::Edge("back", "neck")),
    ("neckline", Made::Edges("neck")),
    ("front armhole", Made::Edge("front", "armhole")),
    ("back armhole", Made::Edge("back", "armhole")),
    ("shoulder seam", Made::Edges("shoulder")),
    ("side seam", Made::Edges("side")),
    ("hem sweep", Made::Edges("hem")),
];

/// What a step of the working made.
pub fn made(step: &str) -> Option<Made> {
    MADE.iter().find(|(name, _)| *name == step).map(|(_, made)| *made)
}

/// Shows the draft.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let Some((drawn, of_now)) = bench.drawn() else {
        canvas(ui, "The draft: nothing is drawn yet", [[0.0, 0.0], [400.0, 600.0]], |canvas| {
            canvas.nothing("The draft is drawn here when it has what it needs.");
        });
        return;
    };
    let mut low = [0.0_f64, 0.0];
    let mut high = [drawn.draft.fold_width_mm, 0.0_f64];
    for piece in &drawn.pieces {
        let (l, h) = piece.cut.bounds();
        low = [low[0].min(l.x), low[1].min(l.y)];
        high = [high[0].max(h.x), high[1].max(h.y)];
    }
    let system = drawn.draft.system;
    let name = format!(
        "The draft, {} wide on the fold and {} long{}",
        system.show(high[0]),
        system.show(drawn.draft.length_mm),
        if of_now { "" } else { ", as it was before the last change" }
    );
    let lit = bench.lit.and_then(made);
    canvas(ui, &name, [low, high], |canvas| paint(canvas, drawn, of_now, lit));
}

fn paint(canvas: &Canvas, drawn: &Drawn, of_now: bool, lit: Option<Made>) {
    let ink = canvas.ink;
    let (words, faint) = if of_now { (ink.words, ink.edge) } else { (ink.edge, ink.lifted) };
    let width_mm = drawn.draft.fold_width_mm;
    canvas.line([[0.0, 0.0], [width_mm, 0.0]], Pen::full(faint, 0.8));
    canvas.words([width_mm, 0.0], Align2::LEFT_CENTER, vec2(8.0, 0.0), "start line");
    for (i, piece) in drawn.pieces.iter().enumerate().rev() {
        draw_piece(canvas, piece, i == 0, [words, faint]);
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
    if let (Some(made), true) = (lit, of_now) {
        light(canvas, drawn, made);
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

/// What an edge measures, for the edges that she walks with the tape: necks left of the fold, armholes right of all.
fn name_edges(canvas: &Canvas, drawn: &Drawn) {
    let right_mm = drawn.pieces.iter().map(|piece| piece.cut.bounds().1.x).fold(0.0, f64::max);
    let lines = drawn.pieces.iter().flat_map(|piece| {
        let neck = piece.edge("neck").map(|edge| (piece.name, edge, 0.0, edge.sewn.end().y));
        // The two armholes run side by side: one is named at its top, the other at its foot.
        let share = if piece.name == "front" { 0.15 } else { 0.8 };
        let beside = |edge| (piece.name, edge, right_mm, edge_level_mm(edge, share));
        neck.into_iter().chain(piece.edge("armhole").map(beside))
    });
    for (piece, edge, x_mm, y_mm) in lines {
        let text = format!("{piece} {} {}", edge.name, drawn.draft.system.show(edge.length_mm));
        let (align, off) =
            if x_mm == 0.0 { (Align2::RIGHT_CENTER, vec2(-10.0, 0.0)) } else { (Align2::LEFT_CENTER, vec2(8.0, 0.0)) };
        canvas.words([x_mm, y_mm], align, off, &text);
    }
}

/// The level of an edge at a share of its length.
fn edge_level_mm(edge: &Edge, share: f64) -> f64 {
    edge.sewn.at_length(edge.length_mm * share).0.y
}

fn light(canvas: &Canvas, drawn: &Drawn, made: Made) {
    let pen = Pen::full(canvas.ink.chalk, 4.5);
    let edges = |name: &'static str| drawn.pieces.iter().filter_map(move |piece| piece.edge(name));
    let draw = |edge: &Edge| canvas.line(edge.sewn.corners().into_iter().map(pair), pen);
    match made {
        Made::Edge(piece, name) => {
            drawn.pieces.iter().filter(|each| each.name == piece).filter_map(|each| each.edge(name)).for_each(draw);
        }
        Made::Edges(name) => edges(name).for_each(draw),
        Made::EndOf(name) => {
            edges(name).for_each(draw);
            for end in edges(name).map(|edge| edge.sewn.end()) {
                canvas.painter.circle_filled(canvas.at(end.x, end.y), 7.0, pen.colour);
            }
        }
        Made::Level(name) => {
            let levels = drawn.pieces.iter().flat_map(|piece| &piece.levels).filter(|(level, _)| *level == name);
            levels.for_each(|(_, ends)| canvas.line(ends.map(pair), pen));
        }
        Made::FoldWidth => canvas.line([[0.0, 0.0], [drawn.draft.fold_width_mm, 0.0]], pen),
        Made::Length => canvas.line([[0.0, 0.0], [0.0, drawn.draft.length_mm]], pen),
    }
}

fn pair(point: Point<Frame>) -> [f64; 2] {
    [point.x, point.y]
}
