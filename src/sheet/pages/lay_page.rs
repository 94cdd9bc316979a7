//! The lay on paper, and how to read the lines of every drawing.

use super::book::Book;
use crate::geometry::Vector;
use crate::lay::Lay;
use crate::sheet::drawing::{clear, line, on_cloth, paper_from_cloth, scale};
use crate::sheet::laid::Laid;
use crate::sheet::leaf::{At, BODY_MM, Ink, MARGIN_MM, MEASURE_MM, SMALL_MM};
use crate::stages::LineKind;

/// Greatest height of the drawing.
const ROOM_MM: f64 = 120.0;

/// The kinds of lines, in words.
const KINDS: [(LineKind, &str); 9] = [
    (LineKind::Cut, "cut now; on this page, the piece on top"),
    (LineKind::CutLater, "cut in another stage; on this page, the piece below"),
    (LineKind::Sew, "sewing line"),
    (LineKind::Fold, "fold: never cut"),
    (LineKind::Selvedge, "selvedges"),
    (LineKind::ClothEnd, "cut end of the cloth"),
    (LineKind::Grain, "grain, along the selvedge"),
    (LineKind::Notch, "notch: a nick, no deeper than drawn"),
    (LineKind::Level, "level: chest, waist, hip"),
];

/// Writes the page.
pub fn lay_page(book: &mut Book, lay: &Lay) {
    let laid = Laid::of(lay);
    let n = scale([laid.far.x, laid.far.y], [MEASURE_MM - 2.0, ROOM_MM]);
    book.page("The lay");
    book.paragraph(&format!("{}. Drawn 1 : {n}, as it lies before you with the fold at your side.", folded(lay)));
    drawing(book, &laid, n);
    book.heading("How to read the lines");
    book.paragraph("On the cloth and on paper a line is told by its form, never by its colour.");
    book.y_mm += 1.0;
    for (kind, words) in KINDS {
        let y = book.y_mm + BODY_MM * 0.65;
        line(book.leaf(), kind, &[At::new(MARGIN_MM, y), At::new(MARGIN_MM + 32.0, y)]);
        let at = At::new(MARGIN_MM + 40.0, book.y_mm + BODY_MM);
        book.leaf().words(words, at, BODY_MM, Ink::Black);
        book.y_mm += 7.2;
    }
}

fn folded(lay: &Lay) -> String {
    super::sentence(lay.fold.says()).trim_end_matches('.').to_owned()
}

fn drawing(book: &mut Book, laid: &Laid, n: u32) {
    let height_mm = laid.far.y / f64::from(n);
    let corner = At::new(MARGIN_MM + 1.0, book.y_mm + 6.0 + height_mm);
    let paper_from_cloth = paper_from_cloth(corner, n);
    let on_paper = |p: &crate::geometry::Point<_>| paper_from_cloth.transform_point(*p);
    let whole: Vec<_> = laid.left_over.iter().map(|left| left.outline.clone()).collect();
    on_cloth(book.leaf(), &whole, &laid.cloth, &paper_from_cloth);
    let leaf = book.leaf();
    for piece in &laid.pieces {
        line(leaf, piece.cut_as, &piece.cut.iter().map(on_paper).collect::<Vec<_>>());
        for sewn in &piece.sewn {
            line(leaf, LineKind::Sew, &sewn.corners().iter().map(on_paper).collect::<Vec<_>>());
        }
        for nick in &piece.notches {
            line(leaf, LineKind::Notch, &nick.map(|p| on_paper(&p)));
        }
        line(leaf, LineKind::Grain, &piece.grain.map(|p| on_paper(&p)));
    }
    for (i, piece) in laid.pieces.iter().rev().enumerate() {
        let place = if i == 0 { "on top" } else { "below" };
        let at = on_paper(&piece.grain[0]) + Vector::new(4.0, -1.6 - SMALL_MM * 1.5 * i as f64);
        leaf.words(format!("{}, {place}", piece.caption), at, SMALL_MM, Ink::Black);
    }
    book.y_mm = corner.y + 8.0;
    for left in &laid.left_over {
        let (low, high) = left.outline.bounds();
        let at = on_paper(&low.lerp(high, 0.5));
        let half_mm = crate::sheet::leaf::width_mm(&left.caption, SMALL_MM) / 2.0;
        let (from, to) = (on_paper(&low).x, on_paper(&high).x);
        if to - from >= 2.0 * half_mm {
            let at = At::new(f64::midpoint(from, to) - half_mm, at.y + SMALL_MM * 0.3);
            clear(book.leaf(), at, &left.caption);
            book.leaf().words(left.caption.as_str(), at, SMALL_MM, Ink::Black);
        }
    }
}
