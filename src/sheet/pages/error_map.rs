//! The error of the light place by place: the lit area as she stands at it, with lines of equal error and the marks that it
//! was measured by.

use super::book::Book;
use crate::geometry::{Point, Table, Vector};
use crate::sheet::drawing::{clear, scale};
use crate::sheet::leaf::{At, Ink, Leaf, MARGIN_MM, MEASURE_MM, Mark, SMALL_MM, Side, Words, width_mm};
use crate::table::KeptTable;
use crate::table::contours::{Contour, contours};

/// The map is no higher than this, and keeps this free at its sides for names that reach over its edge.
const HEIGHT_MM: f64 = 105.0;
const SIDES_MM: f64 = 16.0;

/// A mark's cross, from its middle.
const ARM_MM: f64 = 1.3;

/// What the map shows.
const LEGEND: &str = "Each line joins the places where a thrown line can be as far off as is written on it (95 in 100). The \
    small crosses are the marks that the table was measured by.";

/// Draws the map below what is written; nothing for a table whose error isn't known.
pub fn error_map(book: &mut Book, kept: &KeptTable) {
    let contours = contours(kept);
    let Some(corners) = kept.table.lit_corners_mm().filter(|_| kept.fit.is_some()) else { return };
    let (mut low, mut high) = (corners[0], corners[0]);
    corners.iter().for_each(|corner| (low, high) = (low.min(*corner), high.max(*corner)));
    let size = high - low;
    let n = f64::from(scale(size.to_array(), [MEASURE_MM - 2.0 * SIDES_MM, HEIGHT_MM]));
    book.room(size.y / n + 24.0, "Error expected on the cloth, continued");
    let left = MARGIN_MM + (MEASURE_MM - size.x / n) / 2.0;
    let top = At::new(left, book.y_mm + 4.0);
    let on_paper = |p: Point<Table>| top + Vector::new((p.x - low.x) / n, (high.y - p.y) / n);
    let leaf = book.leaf();
    leaf.ring(corners.map(on_paper).to_vec(), 0.4, Ink::Black);
    let marks = marks(kept, &on_paper);
    let names = marks.iter().map(|(_, name)| name.clone()).collect();
    figures(leaf, (kept, &corners), &contours, (names, &on_paper));
    for (at, name) in marks {
        for arm in [Vector::new(ARM_MM, 0.0), Vector::new(0.0, ARM_MM)] {
            leaf.line(vec![at - arm, at + arm], 0.25, Ink::Black);
        }
        clear(leaf, name.at, &name.text);
        leaf.marks.push(Mark::Words(name));
    }
    let below = top.y + size.y / n + 2.0 + SMALL_MM;
    leaf.words_to(
        "your side of the table",
        (At::new(MARGIN_MM + MEASURE_MM / 2.0, below), Side::Middle),
        SMALL_MM,
        Ink::Grey,
    );
    leaf.words_to(&format!("1 : {n}"), (At::new(MARGIN_MM + MEASURE_MM, below), Side::Right), SMALL_MM, Ink::Grey);
    book.y_mm = below + 3.0;
    let (at, room_mm) = (At::new(MARGIN_MM, book.y_mm), MEASURE_MM);
    book.y_mm = book.column(LEGEND, (at, room_mm), SMALL_MM, Ink::Black) + 3.0;
}

/// Where the marks are on paper, each with its name.
fn marks(kept: &KeptTable, on_paper: &dyn Fn(Point<Table>) -> At) -> Vec<(At, Words)> {
    let marks = kept.record.iter().flat_map(|record| &record.marks);
    let named = marks.filter_map(|(mark, px)| {
        let at = on_paper(kept.table.mm_from_px(*px)?);
        let beside = at + Vector::new(ARM_MM, -ARM_MM);
        Some((at, Words { text: mark.to_string(), at: beside, size_mm: SMALL_MM, ink: Ink::Grey }))
    });
    named.collect()
}

/// Draws each line with its figure where there is most room; one whose figure would run into a name everywhere is left out.
fn figures(
    leaf: &mut Leaf,
    (kept, lit): (&KeptTable, &[Point<Table>; 4]),
    contours: &[Contour],
    (mut taken, on_paper): (Vec<Words>, &dyn Fn(Point<Table>) -> At),
) {
    let marks = kept.record.iter().flat_map(|record| record.marks.values());
    let mut clear_of: Vec<Point<Table>> = marks.filter_map(|px| kept.table.mm_from_px(*px)).collect();
    let before = taken.len();
    for contour in contours {
        let text = format!("{} mm", contour.bound_mm);
        let half = Vector::new(width_mm(&text, SMALL_MM) / 2.0, -SMALL_MM * 0.36);
        let words = |at| Words { text: text.clone(), at: on_paper(at) - half, size_mm: SMALL_MM, ink: Ink::Black };
        let places = contour.places(&clear_of, lit).into_iter().map(|at| (at, words(at)));
        let mut free = places.filter(|(_, words)| !taken.iter().any(|other| other.touches(words)));
        let Some((at, words)) = free.next() else { continue };
        drop(free);
        for piece in &contour.pieces {
            leaf.line(piece.map(on_paper).to_vec(), 0.2, Ink::Black);
        }
        clear_of.push(at);
        taken.push(words);
    }
    for words in taken.drain(before..) {
        clear(leaf, words.at, &words.text);
        leaf.marks.push(Mark::Words(words));
    }
}
