//! The pieces: each reduced to a stated scale, and beside it what each edge measures and carries. A large one has a page by
//! itself, of small ones several stand on a page, and one between, such as a sleeve, is reduced as the largest is, so that it
//! leaves them room.
//!
//! Edges are numbered in rings, outside of the piece, so that no figure lies on a line that is to be read.

use super::book::Book;
use super::sentence;
use crate::finish::{Edge, Piece};
use crate::geometry::{Draft, Map, Point, Vector};
use crate::sheet::drawing::{is_free, line, name_beside, scale};
use crate::sheet::leaf::{
    At, BODY_MM, CAPITAL, HEAD_MM, Ink, LEADING, MARGIN_MM, PAGE_MM, Paper, SMALL_MM, Side, circle, width_mm, wrapped,
};
use crate::stages::LineKind;
use crate::units::System;

/// Room for the drawing, and where the table beside it begins.
const ROOM_MM: [f64; 2] = [104.0, 216.0];
const TABLE_MM: f64 = PAGE_MM[0] - MARGIN_MM - 54.0;

/// Left of the fold: room for its number.
const FOLD_ROOM_MM: f64 = 8.0;

/// The ring round an edge's number, and its distance from the cutting line.
const RING_MM: f64 = 2.5;
const RING_OFF_MM: f64 = 4.2;

/// Greatest height of the drawing of a small piece, and the scales down to which it is still drawn well: a strip's is of no
/// account.
const SMALL_ROOM_MM: f64 = 84.0;
const SMALL_SCALE: u32 = 5;
const STRIP_SCALE: u32 = 20;

/// Greatest height of the drawing of a piece that is reduced as the largest is.
const BETWEEN_ROOM_MM: f64 = 150.0;

/// Heading, scale and labels of a piece above and below its drawing or its table.
const AROUND_MM: f64 = 32.0;

/// Height of an edge in the table, and of the heading of the notches.
const EDGE_MM: f64 = 11.8;
const NOTCHES_MM: f64 = 7.0 + HEAD_MM;

/// How the pieces of an order are drawn.
#[derive(Clone, Copy)]
pub struct Manner {
    system: System,
    /// The scale of the largest, which has a page by itself.
    largest: u32,
}

impl Manner {
    /// For these pieces, in sentences of `system`.
    pub fn of(pieces: &[&Piece], system: System) -> Self {
        let shaped = pieces.iter().filter(|piece| !is_strip(piece));
        let largest = shaped.map(|piece| scale(size_mm(piece), ROOM_MM)).max().unwrap_or(1);
        Self { system, largest }
    }

    /// The height that a piece takes among others, with its table; none for a large one.
    pub fn small_mm(self, piece: &Piece) -> Option<f64> {
        let n = self.small_scale(piece)?;
        Some(AROUND_MM + (size_mm(piece)[1] / f64::from(n)).max(table_mm(piece, self.system)))
    }

    /// The scale at which a piece is drawn among others; none where that would be too small for it.
    fn small_scale(self, piece: &Piece) -> Option<u32> {
        let size_mm = size_mm(piece);
        let most = if is_strip(piece) { STRIP_SCALE } else { SMALL_SCALE };
        let small = Some(scale(size_mm, [ROOM_MM[0], SMALL_ROOM_MM])).filter(|n| *n <= most);
        let between = self.largest.min(SMALL_SCALE);
        let room_mm = [ROOM_MM[0], BETWEEN_ROOM_MM];
        small.or_else(|| (scale(size_mm, room_mm) <= between).then_some(between))
    }
}

fn size_mm(piece: &Piece) -> [f64; 2] {
    let (low, high) = piece.cut.bounds();
    (high - low).to_array()
}

/// Writes a piece: on what is left of a page where it is small, else on a page of its own.
pub fn piece_page(book: &mut Book, piece: &Piece, manner: Manner) {
    let (low, size_mm, system) = (piece.cut.bounds().0, size_mm(piece), manner.system);
    let heading = sentence(&piece.caption()).replace('.', "");
    let n = match (manner.small_mm(piece), manner.small_scale(piece)) {
        (Some(height_mm), Some(n)) => {
            book.part(&heading, height_mm);
            n
        }
        _ => {
            book.page(&heading);
            scale(size_mm, [ROOM_MM[0], ROOM_MM[1].min(book.bottom_mm - book.y_mm - 16.0)])
        }
    };
    let share = 1.0 / f64::from(n);
    book.paragraph(&format!("Drawn 1 : {n}. Full line: cut. Short dashes: sew. Long and short: levels."));
    let corner = At::new(MARGIN_MM + FOLD_ROOM_MM, book.y_mm + 6.0);
    let top = corner - (low.to_vector() * share).cast_unit();
    let paper_from_draft = Map::new(share, 0.0, 0.0, share, top.x, top.y);
    let top_mm = corner.y - 4.0;
    drawing(book, piece, &paper_from_draft);
    let mut y = top_mm;
    for (i, edge) in piece.edges.iter().enumerate() {
        y = edge_row(book, (i + 1, edge), piece, system, y);
    }
    let notches = notches(piece, system);
    if !notches.is_empty() {
        book.leaf().words("Notches", At::new(TABLE_MM, y + 3.0 + HEAD_MM), HEAD_MM, Ink::Black);
        y += 3.0 + HEAD_MM + 4.0;
    }
    for text in notches {
        let room_mm = PAGE_MM[0] - MARGIN_MM - TABLE_MM;
        y = book.column(&text, (At::new(TABLE_MM, y), room_mm), SMALL_MM, Ink::Black) + 1.5;
    }
    book.y_mm = y.max(corner.y + size_mm[1] * share + 6.0);
}

/// Whether it is a strip: straight, and as its figures say.
fn is_strip(piece: &Piece) -> bool {
    ["left", "foot", "right", "head"].iter().all(|edge| piece.edge(edge).is_some())
}

/// Height of the table beside a piece.
fn table_mm(piece: &Piece, system: System) -> f64 {
    let notches = notches(piece, system);
    let lines = |text: &String| wrapped(text, SMALL_MM, PAGE_MM[0] - MARGIN_MM - TABLE_MM).len();
    let notched_mm: f64 = notches.iter().map(|text| SMALL_MM * LEADING * lines(text) as f64 + 1.5).sum();
    let edges_mm = EDGE_MM * piece.edges.len() as f64;
    if notches.is_empty() { edges_mm } else { edges_mm + NOTCHES_MM + notched_mm }
}

fn drawing(book: &mut Book, piece: &Piece, paper_from_draft: &Map<Draft, Paper>) {
    let on_paper =
        |points: &[Point<Draft>]| -> Vec<At> { points.iter().map(|p| paper_from_draft.transform_point(*p)).collect() };
    let leaf = book.leaf();
    for edge in &piece.edges {
        if edge.name == "fold" {
            line(leaf, LineKind::Fold, &on_paper(&edge.cut));
            continue;
        }
        if edge.allowance_mm > 0.0 {
            line(leaf, LineKind::Sew, &on_paper(&edge.sewn.corners()));
        }
        line(leaf, LineKind::Cut, &on_paper(&edge.cut));
    }
    let marked: Vec<_> = piece.levels.iter().chain(&piece.marks).collect();
    for (_, ends) in &marked {
        line(leaf, LineKind::Level, &on_paper(ends));
    }
    for notch in &piece.notches {
        line(leaf, LineKind::of_notch(notch), &on_paper(&notch.nick));
    }
    let grain = on_paper(&piece.grain);
    line(leaf, LineKind::Grain, &grain);
    name_beside(leaf, "grain", [grain[0], grain[1]]);
    for (i, (name, ends)) in marked.iter().enumerate() {
        // Both legs of a dart, or head and corners of a pocket, have one name.
        if marked[..i].iter().all(|(before, _)| before != name) {
            let ends = on_paper(ends);
            name_beside(leaf, name, [ends[0], ends[1]]);
        }
    }
    for (i, edge) in piece.edges.iter().enumerate() {
        number(book, i + 1, edge, paper_from_draft);
    }
}

/// The edge's number in a ring beside its middle.
fn number(book: &mut Book, number: usize, edge: &Edge, paper_from_draft: &Map<Draft, Paper>) {
    /// How far along the edge it may stand, best first.
    const SHARES: [f64; 5] = [0.5, 0.4, 0.6, 0.25, 0.75];
    let place = |share: f64| {
        let (middle, along) = edge.sewn.at_length(edge.sewn.length_mm() * share);
        let outward = Vector::new(-along.y, along.x);
        let on_line = paper_from_draft.transform_point(middle + outward * edge.allowance_mm);
        on_line + outward.cast_unit() * RING_OFF_MM
    };
    let around = |at: At| [at.x - RING_MM, at.y - RING_MM, at.x + RING_MM, at.y + RING_MM];
    let free = SHARES.into_iter().map(place).find(|at| is_free(book.leaf(), around(*at)));
    ring(book, number, free.unwrap_or_else(|| place(SHARES[0])));
}

fn ring(book: &mut Book, number: usize, at: At) {
    let leaf = book.leaf();
    leaf.ring(circle(at, RING_MM), 0.2, Ink::Black);
    let base = at + Vector::new(0.0, SMALL_MM * CAPITAL / 2.0);
    leaf.words_to(&number.to_string(), (base, Side::Middle), SMALL_MM, Ink::Black);
}

/// An edge's number, name, length and turning; gives the y below.
fn edge_row(book: &mut Book, (i, edge): (usize, &Edge), piece: &Piece, system: System, y: f64) -> f64 {
    ring(book, i, At::new(TABLE_MM + RING_MM, y + BODY_MM * (1.0 - CAPITAL / 2.0)));
    let text = At::new(TABLE_MM + 2.0 * RING_MM + 3.0, y);
    book.leaf().words(edge.name, text + Vector::new(0.0, BODY_MM), BODY_MM, Ink::Black);
    let (length, right) = (system.show(edge.length_mm), PAGE_MM[0] - MARGIN_MM);
    let meets = text.x + width_mm(edge.name, BODY_MM) + width_mm(&length, BODY_MM) > right - 2.0;
    // Behind a long name there is no room for a long figure: it stands below.
    let base = y + BODY_MM * if meets { 1.0 + LEADING } else { 1.0 };
    book.leaf().words_to(&length, (At::new(right, base), Side::Right), BODY_MM, Ink::Black);
    let turning = match (edge.name, edge.allowance_mm) {
        ("fold", _) if piece.on_fold => "lies on the fold".to_owned(),
        (_, 0.0) => "no turning".to_owned(),
        (_, mm) => format!("turning {}", system.show(mm)),
    };
    let below = text + Vector::new(0.0, BODY_MM * 1.4);
    book.column(&turning, (below, PAGE_MM[0] - MARGIN_MM - below.x), SMALL_MM, Ink::Black) + 2.6
}

/// Nicks side by side lie no farther apart than this.
const SIDE_BY_SIDE_MM: f64 = 10.0;

/// The notches in words: those that meet the same thing on one edge together.
fn notches(piece: &Piece, system: System) -> Vec<String> {
    let mut groups: Vec<(&Edge, &str, Vec<Point<Draft>>)> = Vec::new();
    for notch in &piece.notches {
        let Some(edge) = piece.edge(notch.edge) else { continue };
        match groups.iter_mut().find(|(of, meets, _)| (of.name, *meets) == (edge.name, notch.meets)) {
            Some((_, _, places)) => places.push(notch.sewn_at),
            None => groups.push((edge, notch.meets, vec![notch.sewn_at])),
        }
    }
    let words = |(edge, meets, places): &(&Edge, &str, Vec<Point<Draft>>)| {
        let along: Vec<f64> = places.iter().map(|at| along_mm(edge, *at)).collect();
        let apart_mm = (places[places.len() - 1] - places[0]).length();
        let bare = edge.allowance_mm <= 0.0;
        let (nicks, at_mm) = match (places.len(), bare) {
            // The legs of a dart: between them lies what is no part of the edge's length.
            (more, _) if apart_mm > SIDE_BY_SIDE_MM => {
                let nearest_mm = edge.sewn.length_mm() - along.iter().copied().fold(0.0, f64::max);
                (format!("{more} nicks, {} apart, the nearer", system.show(apart_mm)), nearest_mm)
            }
            (1, false) => ("1 nick,".to_owned(), edge.length_mm - along[0]),
            (1, true) => ("1 mark, chalked and not cut,".to_owned(), edge.length_mm - along[0]),
            (more, _) => {
                let what = if bare { "marks side by side, chalked and not cut" } else { "nicks side by side" };
                (format!("{more} {what},"), edge.length_mm - along.iter().sum::<f64>() / more as f64)
            }
        };
        let next = piece.edges.iter().position(|e| e.name == edge.name).map(|i| (i + 1) % piece.edges.len());
        let from = next.map_or("its end", |i| piece.edges[i].name);
        sentence(&format!("{}, {meets}: {nicks} {} from the {from}", edge.name, system.show(at_mm)))
    };
    groups.iter().map(words).collect()
}

/// How far along the edge's sewing line a point of it lies.
fn along_mm(edge: &Edge, at: Point<Draft>) -> f64 {
    let corners = edge.sewn.corners();
    let mut before_mm = 0.0;
    let mut nearest = (f64::INFINITY, 0.0);
    for side in corners.windows(2) {
        let run = side[1] - side[0];
        let t = ((at - side[0]).dot(run) / run.square_length()).clamp(0.0, 1.0);
        let off_mm = (side[0] + run * t - at).length();
        if off_mm < nearest.0 {
            nearest = (off_mm, before_mm + run.length() * t);
        }
        before_mm += run.length();
    }
    nearest.1
}
