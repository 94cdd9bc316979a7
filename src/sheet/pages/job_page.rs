//! The first page of several orders that are cut in one go: their cloth, whose they are, and whether each can be cut.

use super::CutSheet;
use super::book::Book;
use super::order_page::{cloth, name, rule, verdicts, what};
use crate::sheet::leaf::{At, BODY_MM, Ink, LEADING, MARGIN_MM, MEASURE_MM, SMALL_MM, wrapped};

/// What is left on a page so that the list of the orders begins there.
const BEGIN_MM: f64 = 40.0;

/// Writes the page.
pub fn job_page(book: &mut Book, sheet: &CutSheet<'_>) {
    book.page("");
    name(book, &format!("{} orders cut in one go", sheet.orders.len()));
    book.y_mm += 4.0;
    rule(book);
    let at = At::new(MARGIN_MM, book.y_mm);
    book.y_mm = cloth(book, sheet, (at, MEASURE_MM)) + 4.0;
    book.room(BEGIN_MM, "");
    book.heading("Whose they are");
    for one in sheet.orders {
        let rows = [what(one.order), verdicts(&one.draft.checks)];
        let whose = one.whose.unwrap_or("Not named");
        let high_mm = |text: &str, size_mm: f64| size_mm * LEADING * wrapped(text, size_mm, MEASURE_MM).len() as f64;
        let height_mm = high_mm(whose, BODY_MM) + rows.iter().map(|row| high_mm(row, SMALL_MM)).sum::<f64>() + 2.0;
        book.room(height_mm, "Whose they are, continued");
        let at = At::new(MARGIN_MM, book.y_mm);
        book.y_mm = book.column(whose, (at, MEASURE_MM), BODY_MM, Ink::Black);
        for row in rows {
            book.y_mm = book.column(&row, (At::new(MARGIN_MM, book.y_mm), MEASURE_MM), SMALL_MM, Ink::Black);
        }
        book.y_mm += 2.0;
    }
}
