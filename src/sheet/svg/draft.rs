//! The draft: all pieces over one another as they are drafted, with the construction points and levels by name.

use super::{MARGIN_MM, ROW, Svg, corners, curves, in_rows, width_mm};
use crate::draft::{Draft, SewnPiece};
use crate::finish::Piece;
use crate::geometry::{Draft as Frame, Outline, Point, Vector};
use crate::stages::LineKind;
use crate::units::System;

/// Type is 7 mm: read standing, and small enough for the room between two necklines.
const TYPE_MM: f64 = 7.0;

/// Half the size of the cross at a construction point.
const CROSS_MM: f64 = 3.0;

/// Room for the names of levels and points between the draft and the pieces beside it.
const LABELS_MM: f64 = 180.0;

/// Room for the caption of a piece below it.
const CAPTION_MM: f64 = 4.0 * ROW * TYPE_MM;

/// Points closer than this are one point.
const SAME_MM: f64 = 0.01;

/// The draft at true size, in its own frame: x out from the centre, y down.
///
/// Each piece is a group named as it is, with the paths `NAME-sewing`, `NAME-cutting`, `NAME-fold`, `NAME-grain`,
/// `NAME-notch-1` ..., `NAME-level-waist` ... and `NAME-mark-1-dart` ...
pub fn draft(draft: &Draft, pieces: &[Piece]) -> String {
    let mut svg = Svg::new(TYPE_MM);
    let pieces = &spread(pieces);
    // The first piece is drawn last, so that its full lines lie over the dashes of the others.
    for (i, each) in pieces.iter().enumerate().rev() {
        piece(&mut svg, each, i, draft.system);
    }
    let mut low = Point::new(0.0, 0.0);
    let mut high = low;
    for piece in pieces {
        let (l, h) = piece.cut.bounds();
        (low, high) = (low.min(l), high.max(h));
    }
    let over = pieces.iter().filter(|piece| is_over(piece.name)).map(|piece| piece.cut.bounds().1.x);
    construction(&mut svg, draft, over.reduce(f64::max).unwrap_or(high.x));
    let foot = 5.0 * TYPE_MM + CAPTION_MM;
    svg.rule(Point::<Frame>::new(0.0, high.y + MARGIN_MM + CAPTION_MM));
    let (width, title) = (Vector::new(MARGIN_MM, MARGIN_MM), "draft");
    let room = Vector::new(3.0 * MARGIN_MM, foot);
    svg.finish(title, low - width, high + width + room)
}

/// Front and back over one another as they are drafted, every other piece by itself to the right of them.
fn spread(pieces: &[Piece]) -> Vec<Piece> {
    let reach_mm = |piece: &Piece| piece.cut.bounds().1.x;
    let over: Vec<&Piece> = pieces.iter().filter(|piece| is_over(piece.name)).collect();
    let mut next_mm = over.iter().map(|piece| reach_mm(piece) + LABELS_MM).fold(0.0, f64::max);
    let mut beside = |piece: &Piece| {
        if is_over(piece.name) {
            return piece.clone();
        }
        let (low, _) = piece.cut.bounds();
        let moved = piece.moved(Vector::new(next_mm - low.x, -low.y));
        let caption_mm = rows_of(&piece.caption(), &moved).iter().map(|row| width_mm(row, TYPE_MM)).fold(0.0, f64::max);
        next_mm = reach_mm(&moved).max(next_mm + caption_mm) + MARGIN_MM;
        moved
    };
    pieces.iter().map(&mut beside).collect()
}

/// The rows of the caption of a piece beside the draft: as wide as the piece, where they can be.
fn rows_of<'c>(caption: &'c str, piece: &Piece) -> Vec<&'c str> {
    let (low, high) = piece.cut.bounds();
    in_rows(caption, TYPE_MM, high.x - low.x)
}

/// Whether a piece is drafted over the others.
fn is_over(name: &str) -> bool {
    ["front", "back"].contains(&name)
}

fn piece(svg: &mut Svg, piece: &Piece, i: usize, system: System) {
    let name = piece.name;
    let edges: Vec<_> = piece.edges.iter().filter(|edge| !(piece.on_fold && edge.name == "fold")).collect();
    let id = name.replace(' ', "-");
    svg.open(&id);
    if let (true, Some(fold)) = (piece.on_fold, piece.edge("fold")) {
        // From the hem up, so that the dashes of all pieces fall on one another.
        let upwards: Vec<_> = fold.cut.iter().rev().copied().collect();
        svg.path(&format!("{id}-fold"), LineKind::Fold, &corners(&upwards));
    }
    let sewn: Vec<_> = edges.iter().map(|edge| &edge.sewn).collect();
    svg.path(&format!("{id}-sewing"), LineKind::Sew, &curves(&sewn));
    let mut cut = Outline::joining(edges.iter().map(|edge| edge.cut.clone())).corners;
    if !piece.on_fold {
        // Without a fold the line goes all round: back to where it began.
        cut.extend(cut.first().copied());
    }
    let cut_as = if i == 0 || !is_over(name) { LineKind::Cut } else { LineKind::CutLater };
    svg.path(&format!("{id}-cutting"), cut_as, &corners(&cut));
    for (n, notch) in piece.notches.iter().enumerate() {
        svg.line(&format!("{id}-notch-{}", n + 1), LineKind::of_notch(notch), &notch.nick);
    }
    for (level, ends) in &piece.levels {
        svg.line(&format!("{id}-level-{}", level.replace(' ', "-")), LineKind::Level, ends);
    }
    for (n, (mark, ends)) in piece.marks.iter().enumerate() {
        svg.line(&format!("{id}-mark-{}-{}", n + 1, mark.replace(' ', "-")), LineKind::Level, ends);
    }
    svg.line(&format!("{id}-grain"), LineKind::Grain, &piece.grain);
    let (low, high) = piece.cut.bounds();
    let caption = piece.caption();
    let (rows, at) = match is_over(name) {
        true => (vec![caption.as_str()], piece.grain[0] + Vector::new(TYPE_MM, ROW * TYPE_MM * (i as f64 + 1.0))),
        false => (rows_of(&caption, piece), Point::new(low.x, high.y + ROW * TYPE_MM)),
    };
    svg.rows(&rows, at);
    // Facings have the same edges again.
    for edge in piece.edges.iter().filter(|edge| is_over(name) && ["neck", "armhole"].contains(&edge.name)) {
        let (middle, along) = edge.sewn.at_length(edge.length_mm * 0.5);
        // The first piece's lines lie inside the others', so its labels stand inside, and theirs outside.
        let inward = Vector::new(along.y, -along.x) * if i == 0 { 1.0 } else { -1.0 };
        let text = format!("{name} {} {}", edge.name, system.show(edge.length_mm));
        svg.words_beside(&text, middle, inward * (1.2 * TYPE_MM) + Vector::new(0.0, TYPE_MM / 3.0));
    }
    svg.close();
}

/// Start line, centre line and levels across all, and every point where two edges meet, each labelled once.
fn construction(svg: &mut Svg, draft: &Draft, width_mm: f64) {
    svg.open("construction");
    let at = Point::<Frame>::new;
    let behind_mm = width_mm + TYPE_MM;
    svg.line("start-line", LineKind::Level, &[at(0.0, 0.0), at(width_mm, 0.0)]);
    svg.words("start line", at(behind_mm, TYPE_MM / 3.0));
    if let Some(piece) = draft.pieces.first() {
        for (name, y) in &piece.levels_mm {
            svg.words(&format!("{name} {}", draft.system.show(*y)), at(behind_mm, *y + TYPE_MM / 3.0));
        }
    }
    let mut named: Vec<Named> = Vec::new();
    for each in draft.pieces.iter().filter(|piece| is_over(piece.name)).flat_map(points) {
        if !named.iter().any(|other| (other.at - each.at).length() < SAME_MM) {
            named.push(each);
        }
    }
    for Named { name, at: p, off } in named {
        let arm = |x: f64, y: f64| p + Vector::new(x, y) * CROSS_MM;
        let cross = [corners(&[arm(-1.0, 0.0), arm(1.0, 0.0)]), corners(&[arm(0.0, -1.0), arm(0.0, 1.0)])];
        svg.path(&format!("point-{}", name.replace(' ', "-")), LineKind::Grain, &cross.join(" "));
        svg.words_beside(&name, p, off);
    }
    svg.close();
}

/// A construction point, and where its name stands beside it.
struct Named {
    name: String,
    at: Point<Frame>,
    off: Vector<Frame>,
}

/// The points where two edges of a piece meet, by the names that the working uses, each name clear of the lines.
fn points(piece: &SewnPiece) -> Vec<Named> {
    let n = piece.edges.len();
    let named = |before: &str, after: &str| match (before, after) {
        ("fold", "hem") => ("centre of the hem".to_owned(), (5.0, -5.0)),
        ("hem", "side") => ("hem at the side".to_owned(), (-8.0, -4.0)),
        ("side", "armhole") => ("underarm".to_owned(), (5.0, -6.0)),
        ("armhole", "shoulder") => ("shoulder tip".to_owned(), (6.0, 2.0)),
        ("shoulder", "neck") => ("neck point".to_owned(), (-6.0, 9.0)),
        ("neck", "fold") => (format!("{} neck depth", piece.name), (5.0, 11.0)),
        (before, after) => (format!("{} {before} and {after}", piece.name), (5.0, -5.0)),
    };
    let point = |i: usize| {
        let (name, (x, y)) = named(piece.edges[i].name, piece.edges[(i + 1) % n].name);
        Named { name, at: piece.edges[i].curve.end(), off: Vector::new(x, y) }
    };
    (0..n).map(point).collect()
}
