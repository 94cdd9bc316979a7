//! The sewing plan: one step after another, with the length of each seam and how far from the edge it is sewn.

use super::book::Book;
use super::sentence;
use crate::draft::Draft;
use crate::finish::Piece;
use crate::remark::sentence_case;
use crate::sewing::{Step, plan};
use crate::sheet::leaf::{At, BODY_MM, Ink, LEADING, MARGIN_MM, PAGE_MM, SMALL_MM, Side, wrapped};
use crate::units::System;

/// Where a step's text begins, behind its number.
const TEXT_MM: f64 = MARGIN_MM + 9.0;

/// Side of the box that is ticked when a step is done.
const BOX_MM: f64 = 3.6;

/// What is left on a page so that the sewing begins there.
const BEGIN_MM: f64 = 90.0;

/// Writes the page: of these pieces, as they were laid, of that draft.
pub fn sewing_page(book: &mut Book, pieces: &[&Piece], draft: &Draft) {
    book.part("Sewing", BEGIN_MM);
    book.paragraph("Lengths are of the sewn line, as drafted. Tick each step when it is done.");
    book.y_mm += 2.0;
    for (i, step) in plan(pieces, &draft.seams, draft.system).iter().enumerate() {
        row(book, i + 1, step, draft.system);
    }
}

/// A step: a box to tick, its number and name, what is sewn, and the sentence below.
fn row(book: &mut Book, number: usize, step: &Step, system: System) {
    let room_mm = PAGE_MM[0] - MARGIN_MM - TEXT_MM;
    let says = sentence(&step.says);
    let lines = wrapped(&says, SMALL_MM, room_mm).len();
    book.room(BODY_MM * LEADING + SMALL_MM * LEADING * lines as f64 + 1.7, "Sewing, continued");
    let y = book.y_mm;
    let corner = |x: f64, down: f64| At::new(MARGIN_MM + x, y + down);
    let tick_box = vec![corner(0.0, 0.3), corner(BOX_MM, 0.3), corner(BOX_MM, BOX_MM + 0.3), corner(0.0, BOX_MM + 0.3)];
    book.leaf().ring(tick_box, 0.25, Ink::Black);
    let title = format!("{number}. {}", sentence_case(step.name));
    book.leaf().words(title, At::new(TEXT_MM, y + BODY_MM), BODY_MM, Ink::Black);
    let right = At::new(PAGE_MM[0] - MARGIN_MM, y + BODY_MM);
    book.leaf().words_to(&figures(step, system), (right, Side::Right), BODY_MM, Ink::Black);
    book.y_mm = book.column(&says, (At::new(TEXT_MM, y + BODY_MM * LEADING), room_mm), SMALL_MM, Ink::Black) + 1.7;
}

/// Length and turning in short; nothing where nothing is sewn.
fn figures(step: &Step, system: System) -> String {
    if step.length_mm <= 0.0 {
        return String::new();
    }
    let times = if step.times > 1 { format!("{} x ", step.times) } else { String::new() };
    let turning = if step.turning_mm > 0.0 { system.show(step.turning_mm) } else { "none".to_owned() };
    format!("{times}{}, turning {turning}", system.show(step.length_mm))
}
