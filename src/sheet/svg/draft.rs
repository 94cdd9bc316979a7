//! The draft: all pieces over one another as they are drafted, with the construction points and levels by name.

use super::{MARGIN_MM, Svg, TYPE_MM, corners, curves};
use crate::draft::{Draft, SewnPiece};
use crate::finish::Piece;
use crate::geometry::{Draft as Frame, Outline, Point, Vector};
use crate::stages::LineKind;
use crate::units::System;

/// Half the size of the cross at a construction point.
const CROSS_MM: f64 = 3.0;

/// Points closer than this are one point.
const SAME_MM: f64 = 0.01;

/// The draft at true size, in its own frame: x out from the centre, y down.
///
/// Each piece is a group named as it is, with the paths `NAME-sewing`, `NAME-cutting`, `NAME-fold`, `NAME-grain`,
/// `NAME-notch-1` ... and `NAME-level-waist` ...
pub fn draft(draft: &Draft, pieces: &[Piece]) -> String {
    let mut svg = Svg::default();
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
    construction(&mut svg, draft, high.x);
    let foot = 5.0 * TYPE_MM;
    svg.rule(Point::<Frame>::new(0.0, high.y + MARGIN_MM));
    let (width, title) = (Vector::new(MARGIN_MM, MARGIN_MM), "draft");
    let room = Vector::new(3.0 * MARGIN_MM, foot);
    svg.finish(title, low - width, high + width + room)
}

fn piece(svg: &mut Svg, piece: &Piece, i: usize, system: System) {
    let name = piece.name;
    let edges: Vec<_> = piece.edges.iter().filter(|edge| !(piece.on_fold && edge.name == "fold")).collect();
    svg.open(name);
    if let (true, Some(fold)) = (piece.on_fold, piece.edge("fold")) {
        svg.path(&format!("{name}-fold"), LineKind::Fold, &corners(&fold.cut));
    }
    let sewn: Vec<_> = edges.iter().map(|edge| &edge.sewn).collect();
    svg.path(&format!("{name}-sewing"), LineKind::Sew, &curves(&sewn));
    let cut = Outline::joining(edges.iter().map(|edge| edge.cut.clone())).corners;
    let cut_as = if i == 0 { LineKind::Cut } else { LineKind::CutLater };
    svg.path(&format!("{name}-cutting"), cut_as, &corners(&cut));
    for (n, notch) in piece.notches.iter().enumerate() {
        svg.line(&format!("{name}-notch-{}", n + 1), LineKind::Notch, &notch.nick);
    }
    for (level, ends) in &piece.levels {
        svg.line(&format!("{name}-level-{level}"), LineKind::Level, ends);
    }
    svg.line(&format!("{name}-grain"), LineKind::Grain, &piece.grain);
    let row = Vector::new(TYPE_MM, 1.6 * TYPE_MM * (i as f64 + 1.0));
    svg.words(&piece.caption(), piece.grain[0] + row);
    for edge in piece.edges.iter().filter(|edge| ["neck", "armhole"].contains(&edge.name)) {
        let (middle, along) = edge.sewn.at_length(edge.length_mm * 0.5);
        let inward = Vector::new(along.y, -along.x);
        let text = format!("{name} {} {}", edge.name, system.show(edge.length_mm));
        svg.words(&text, middle + inward * (1.5 * TYPE_MM));
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
    let mut named: Vec<(String, Point<Frame>)> = Vec::new();
    for piece in &draft.pieces {
        for (name, point) in points(piece) {
            if !named.iter().any(|(_, other)| (*other - point).length() < SAME_MM) {
                named.push((name, point));
            }
        }
    }
    for (name, p) in named {
        let arm = |x: f64, y: f64| p + Vector::new(x, y) * CROSS_MM;
        let cross = [corners(&[arm(-1.0, 0.0), arm(1.0, 0.0)]), corners(&[arm(0.0, -1.0), arm(0.0, 1.0)])];
        svg.path(&format!("point-{}", name.replace(' ', "-")), LineKind::Grain, &cross.join(" "));
        svg.words(&name, p + Vector::new(1.4 * CROSS_MM, -1.0));
    }
    svg.close();
}

/// The points where two edges of a piece meet, by the names that the working uses.
fn points(piece: &SewnPiece) -> Vec<(String, Point<Frame>)> {
    let n = piece.edges.len();
    let name = |before: &str, after: &str| match (before, after) {
        ("fold", "hem") => "centre of the hem".to_owned(),
        ("hem", "side") => "hem at the side".to_owned(),
        ("side", "armhole") => "underarm".to_owned(),
        ("armhole", "shoulder") => "shoulder tip".to_owned(),
        ("shoulder", "neck") => "neck point".to_owned(),
        ("neck", "fold") => format!("{} neck depth", piece.name),
        (before, after) => format!("{} {before} and {after}", piece.name),
    };
    (0..n).map(|i| (name(piece.edges[i].name, piece.edges[(i + 1) % n].name), piece.edges[i].curve.end())).collect()
}
