//! The working: every step of the arithmetic with its numbers, to be checked with a pencil, and the house rules that
//! this order sets otherwise.

use super::book::Book;
use crate::draft::working::Step;
use crate::entries::Amount;
use crate::order::Order;
use crate::sheet::leaf::{At, BODY_MM, Ink, LEADING, MARGIN_MM, PAGE_MM, SMALL_MM, Side, width_mm, wrapped};

/// Where the name, the rule and the result stand.
const NAME_MM: f64 = MARGIN_MM + 8.0;
const RULE_MM: f64 = NAME_MM + 42.0;
const RESULT_MM: f64 = PAGE_MM[0] - MARGIN_MM;

/// Room kept for a result.
const RESULT_ROOM_MM: f64 = 26.0;

/// What is left on a page so that the working begins there.
const BEGIN_MM: f64 = 60.0;

/// Writes the page, or pages.
pub fn working_page(book: &mut Book, working: &[Step], order: &Order) {
    book.part("Working", BEGIN_MM);
    book.paragraph("Each line is a rule with this order's numbers. Figures are rounded as printed; the draft is not.");
    book.y_mm += 2.0;
    for (i, step) in working.iter().enumerate() {
        row(book, i + 1, step);
    }
    if !(order.rules.is_empty() && order.fitting.is_empty()) {
        rules(book, order);
    }
}

/// The house rules that this order sets otherwise, and what the fitting found, as they stand in its file.
fn rules(book: &mut Book, order: &Order) {
    book.room(24.0, "");
    book.y_mm += 6.0;
    book.heading("Set in this order");
    for (key, set) in order.rules.iter().chain(&order.fitting) {
        let value = match set.value {
            Amount::Length(length) => length.system.show(length.mm),
            Amount::Number(number) => number.to_string(),
        };
        book.room(BODY_MM * LEADING, "Set in this order, continued");
        let base = book.y_mm + BODY_MM;
        book.leaf().words(key.replace('_', " "), At::new(NAME_MM, base), BODY_MM, Ink::Black);
        book.leaf().words(value, At::new(RULE_MM, base), BODY_MM, Ink::Black);
        book.y_mm += BODY_MM * LEADING + 0.9;
    }
}

fn row(book: &mut Book, number: usize, step: &Step) {
    let (rule, result) = step.rule.rsplit_once(" = ").unwrap_or((step.rule.as_str(), ""));
    let room_mm = RESULT_MM - RESULT_ROOM_MM.max(width_mm(result, BODY_MM) + 2.0) - RULE_MM;
    let name_lines = wrapped(step.name, BODY_MM, RULE_MM - NAME_MM - 2.0).len();
    let lines = wrapped(rule, BODY_MM, room_mm).len().max(name_lines);
    book.room(BODY_MM * LEADING * lines as f64 + 2.0, "Working, continued");
    let y = book.y_mm;
    let base = y + BODY_MM;
    book.leaf().words_to(&number.to_string(), (At::new(NAME_MM - 3.0, base), Side::Right), SMALL_MM, Ink::Grey);
    book.column(step.name, (At::new(NAME_MM, y), RULE_MM - NAME_MM - 2.0), BODY_MM, Ink::Black);
    book.column(rule, (At::new(RULE_MM, y), room_mm), BODY_MM, Ink::Black);
    book.leaf().words_to(result, (At::new(RESULT_MM, base), Side::Right), BODY_MM, Ink::Black);
    book.y_mm = y + BODY_MM * LEADING * lines as f64 + 1.3;
    let y = book.y_mm - 0.7;
    book.leaf().line(vec![At::new(NAME_MM, y), At::new(RESULT_MM, y)], 0.15, Ink::Pale);
}
