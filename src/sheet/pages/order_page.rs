//! The first page of an order: whose dress it is, her measurements, the cloth where it has that for itself, and what was found
//! when the draft was tried on.
//!
//! A check is told by a word and a shape (a tick in a ring, a bar in a diamond, a cross in a square), never by colour.

use super::book::Book;
use super::{CutSheet, SheetOrder, sentence};
use crate::draft::Check;
use crate::geometry::Vector;
use crate::lay::{Bought, Lay, Offer};
use crate::order::{Facts, MEASURES, Order, Print};
use crate::remark::Weight;
use crate::sheet::leaf::{
    At, BODY_MM, CAPITAL, HEAD_MM, Ink, LEADING, Leaf, MARGIN_MM, PAGE_MM, SMALL_MM, Side, TITLE_MM, circle, width_mm,
    wrapped,
};
use crate::units::System;

/// Length of the rule that tells whether the printer kept the size.
const RULE_MM: f64 = 100.0;

/// Upper edge of the rule at the foot of the first page.
const RULE_Y_MM: f64 = 258.0;

/// Width of the left column, and where the right one begins.
const LEFT_MM: f64 = 72.0;
const RIGHT_MM: f64 = MARGIN_MM + 88.0;
const COLUMN_MM: f64 = PAGE_MM[0] - MARGIN_MM - RIGHT_MM;

/// Lines that a name may take; what is longer is cut off, since the rest of the page must keep its place.
const NAME_LINES: usize = 3;

/// Where the text of a check begins, behind its shape.
const CHECK_TEXT_MM: f64 = MARGIN_MM + 9.0;

/// Where what was found stands, beside the name of a check that passes.
const FOUND_MM: f64 = CHECK_TEXT_MM + 55.0;

/// Writes the page.
pub fn order_page(book: &mut Book, sheet: &CutSheet<'_>, one: &SheetOrder<'_>) {
    book.page("");
    title(book, one);
    let top = book.y_mm;
    let left = measurements(book, one.order, top);
    // What several are cut from stands with their lay.
    let right = if sheet.is_joint() { top } else { cloth(book, sheet, (At::new(RIGHT_MM, top), COLUMN_MM)) };
    book.y_mm = left.max(right) + 6.0;
    if !sheet.is_joint() {
        rule(book);
    }
    book.heading(&verdicts(&one.draft.checks));
    for check in &one.draft.checks {
        if check.ok { passed_row(book, check) } else { check_row(book, check) }
    }
}

fn title(book: &mut Book, one: &SheetOrder<'_>) {
    name(book, one.whose.unwrap_or("Cut sheet"));
    book.paragraph(&what(one.order));
    if let Some(date) = &one.order.client.measured {
        book.y_mm -= 2.0;
        book.paragraph(&format!("measured {date}"));
    }
    book.y_mm += 4.0;
}

/// The name of a sheet, at its head.
pub fn name(book: &mut Book, name: &str) {
    let room_mm = PAGE_MM[0] - 2.0 * MARGIN_MM;
    let at = At::new(MARGIN_MM, book.y_mm);
    let name = wrapped(name, TITLE_MM, room_mm).into_iter().take(NAME_LINES).collect::<Vec<_>>().join(" ");
    book.y_mm = book.column(&name, (at, room_mm), TITLE_MM, Ink::Black) + 0.8;
}

/// What is made: the kind, how long, and what was chosen.
pub fn what(order: &Order) -> String {
    let kind = order.garment.kind.facts().name;
    let length = order.system.show(order.garment.length_mm);
    let from = if order.garment.kind.worn() == "skirt" { "waist" } else { "start line" };
    format!("{kind}, {length} from the {from} to the hem{}", chosen(order))
}

/// What was chosen of the garment, in the words of its file; what is as it always is goes without saying.
fn chosen(order: &Order) -> String {
    const UNSAID: [&str; 3] = ["none", "plain", "house"];
    let is_chosen = |key: &str| order.garment.kind.facts().choices.iter().any(|choice| choice.key == key);
    let words = order.garment.style.words().into_iter();
    let said = words.filter(|(key, word)| is_chosen(key) && !UNSAID.contains(word));
    said.map(|(key, word)| format!("; {key} {word}")).collect()
}

fn small_heading(book: &mut Book, text: &str, at: At) -> f64 {
    book.leaf().words(text, at + Vector::new(0.0, HEAD_MM), HEAD_MM, Ink::Black);
    at.y + HEAD_MM + 4.0
}

/// Her measurements; gives the y below.
fn measurements(book: &mut Book, order: &Order, top: f64) -> f64 {
    let mut y = small_heading(book, "Measurements", At::new(MARGIN_MM, top));
    let is_taken = |measure| order.body.unmeasured().all(|(other, _)| other != measure);
    let name = |facts: &Facts| {
        if is_taken(facts.measure) { facts.name.to_owned() } else { format!("{} (a size's)", facts.name) }
    };
    let known = MEASURES.iter().filter_map(|facts| Some((name(facts), order.body.get(facts.measure)?)));
    for (name, value) in known.map(|(name, mm)| (name, order.system.show(mm))) {
        let right = At::new(MARGIN_MM + LEFT_MM, y + BODY_MM);
        book.leaf().words_to(&value, (right, Side::Right), BODY_MM, Ink::Black);
        y = book.column(&name, (At::new(MARGIN_MM, y), LEFT_MM - 25.0), BODY_MM, Ink::Black) + 0.9;
    }
    y
}

/// The cloth, in a column: what there is, what is needed, what is left; gives the y below.
pub fn cloth(book: &mut Book, sheet: &CutSheet<'_>, (at, room_mm): (At, f64)) -> f64 {
    let mut y = small_heading(book, "Cloth", at);
    let seen = sheet.seen_best.map(|says| ("seen best", says.to_owned()));
    let widths = (!sheet.offers.is_empty()).then(|| ("by the width of the cloth", by_width(sheet)));
    for (name, value) in cloth_facts(sheet.lay).into_iter().chain(widths).chain(seen) {
        y = book.column(name, (At::new(at.x, y), room_mm), SMALL_MM, Ink::Grey);
        for line in value.lines() {
            y = book.column(line, (At::new(at.x, y), room_mm), BODY_MM, Ink::Black);
        }
        y += 1.4;
    }
    y
}

/// What would be bought of each usual width, with its price.
fn by_width(sheet: &CutSheet<'_>) -> String {
    let system = sheet.lay.system;
    let offer = |offer: &Offer| {
        let width = system.show(offer.width_mm);
        match &offer.bought {
            Ok(bought) => {
                let price = bought.price.as_ref().map(|price| format!(" ({price})")).unwrap_or_default();
                format!("{width}: {}{price}", system.show_cut_from_bolt(bought.needed_mm))
            }
            Err(_) => format!("{width}: won't do"),
        }
    };
    sheet.offers.iter().map(offer).collect::<Vec<_>>().join("; ")
}

fn cloth_facts(lay: &Lay) -> Vec<(&'static str, String)> {
    let show = |mm: f64| lay.system.show(mm);
    let print = match lay.cloth.print {
        Print::AllOver => "print either way up",
        Print::OneWay => "print one way only",
    };
    let repeat = match lay.cloth.repeat_mm {
        [Some(along), Some(across)] => format!(", repeat {} x {}", show(along), show(across)),
        [Some(along), None] => format!(", repeat {} along", show(along)),
        [None, Some(across)] => format!(", repeat {} across", show(across)),
        [None, None] => String::new(),
    };
    let left: Vec<String> = lay
        .left_over
        .iter()
        .map(|left| format!("{} of {} x {}", left.count, lay.along_in_words(left.along_mm), show(left.across_mm)))
        .collect();
    let washed = if lay.cloth.is_washed_first() { " when washed" } else { "" };
    let bought = Bought::of(lay);
    let cost = bought.price.clone().map(|price| ("cost of it", price));
    let facts = vec![
        ("kind", format!("{} wide{washed}, {print}{}", show(lay.cloth.width_mm), repeat)),
        ("needed", lay.in_lengths()),
        ("ask in the shop for", lay.system.show_cut_from_bolt(bought.needed_mm)),
        ("bought", lay.cloth.length_mm.map_or("not yet".to_owned(), |mm| show(mm) + washed)),
        ("left over", if left.is_empty() { "nothing worth keeping".to_owned() } else { left.join("\n") }),
        ("in the pieces", format!("{:.0} % of the cloth needed", 100.0 * lay.used_share())),
        ("as it lies", lay.as_it_lies()),
    ];
    facts.into_iter().chain(cost).collect()
}

/// All checks in one line: whether the cloth may be cut.
pub fn verdicts(checks: &[Check]) -> String {
    let count =
        |severe: bool| checks.iter().filter(|check| !check.ok && (check.severity == Weight::Refusal) == severe).count();
    match (count(true), count(false)) {
        (0, 0) => "Checks: all pass".to_owned(),
        (0, doubts) => format!("Checks: {doubts} to look at before cutting"),
        (1, _) => "Checks: 1 fails, don't cut it like this".to_owned(),
        (fails, _) => format!("Checks: {fails} fail, don't cut it like this"),
    }
}

/// One check that passes, in a line: its shape, its name and verdict, and beside them what was found.
fn passed_row(book: &mut Book, check: &Check) {
    let (right, verdict) = (PAGE_MM[0] - MARGIN_MM, verdict(check));
    let name_room_mm = FOUND_MM - CHECK_TEXT_MM - 3.0;
    let says_room_mm = right - FOUND_MM - width_mm(verdict, SMALL_MM) - 3.0;
    let says = sentence(&check.says);
    let lines = wrapped(check.name, SMALL_MM, name_room_mm).len().max(wrapped(&says, SMALL_MM, says_room_mm).len());
    let height_mm = SMALL_MM * LEADING * lines as f64 + 1.4;
    book.room(height_mm, "Checks, continued");
    let y = book.y_mm;
    verdict_shape(book.leaf(), At::new(MARGIN_MM + 2.6, y + SMALL_MM * (1.0 - CAPITAL / 2.0)), check);
    book.column(check.name, (At::new(CHECK_TEXT_MM, y), name_room_mm), SMALL_MM, Ink::Black);
    book.leaf().words_to(verdict, (At::new(right, y + SMALL_MM), Side::Right), SMALL_MM, Ink::Black);
    book.column(&says, (At::new(FOUND_MM, y), says_room_mm), SMALL_MM, Ink::Black);
    book.y_mm = y + height_mm;
}

/// One check that doesn't pass: its shape, its name and verdict, what was found, and what to do.
fn check_row(book: &mut Book, check: &Check) {
    let room_mm = PAGE_MM[0] - MARGIN_MM - CHECK_TEXT_MM;
    let remedy = check.remedy.as_ref().map(|remedy| format!("To do: {}", sentence(remedy)));
    let says = sentence(&check.says);
    let texts = [Some(&says), remedy.as_ref()];
    let lines: usize = texts.into_iter().flatten().map(|text| wrapped(text, SMALL_MM, room_mm).len()).sum();
    let height = BODY_MM * LEADING + SMALL_MM * LEADING * lines as f64 + 2.4;
    book.room(height, "Checks, continued");
    let y = book.y_mm;
    verdict_shape(book.leaf(), At::new(MARGIN_MM + 2.6, y + BODY_MM * (1.0 - CAPITAL / 2.0) + 0.4), check);
    book.leaf().words(check.name, At::new(CHECK_TEXT_MM, y + BODY_MM), BODY_MM, Ink::Black);
    let right = At::new(PAGE_MM[0] - MARGIN_MM, y + BODY_MM);
    book.leaf().words_to(verdict(check), (right, Side::Right), BODY_MM, Ink::Black);
    let mut y = y + BODY_MM * LEADING;
    for text in texts.into_iter().flatten() {
        y = book.column(text, (At::new(CHECK_TEXT_MM, y), room_mm), SMALL_MM, Ink::Black);
    }
    book.y_mm = y + 2.4;
}

fn verdict(check: &Check) -> &'static str {
    match (check.ok, check.severity) {
        (true, _) => "passes",
        (false, Weight::Refusal) => "fails",
        (false, _) => "look at this",
    }
}

/// A tick in a ring, a bar in a diamond, or a cross in a square.
fn verdict_shape(leaf: &mut Leaf, at: At, check: &Check) {
    let p = |x: f64, y: f64| at + Vector::new(x, y);
    match (check.ok, check.severity) {
        (true, _) => {
            leaf.ring(circle(at, 2.3), 0.35, Ink::Black);
            leaf.line(vec![p(-1.1, 0.1), p(-0.3, 1.0), p(1.2, -1.0)], 0.5, Ink::Black);
        }
        (false, Weight::Refusal) => {
            leaf.area(vec![p(-2.3, -2.3), p(2.3, -2.3), p(2.3, 2.3), p(-2.3, 2.3)], Ink::Black);
            leaf.line(vec![p(-1.2, -1.2), p(1.2, 1.2)], 0.6, Ink::White);
            leaf.line(vec![p(-1.2, 1.2), p(1.2, -1.2)], 0.6, Ink::White);
        }
        (false, _) => {
            leaf.ring(vec![p(0.0, -2.7), p(2.7, 0.0), p(0.0, 2.7), p(-2.7, 0.0)], 0.35, Ink::Black);
            leaf.line(vec![p(0.0, -1.3), p(0.0, 0.5)], 0.5, Ink::Black);
            leaf.line(vec![p(0.0, 0.9), p(0.0, 1.4)], 0.5, Ink::Black);
        }
    }
}

/// The rule at the foot of the page, which shows whether the printer kept the size; nothing more is written so far down.
pub fn rule(book: &mut Book) {
    book.bottom_mm = RULE_Y_MM - book.shorter_mm;
    let y = RULE_Y_MM - book.shorter_mm + 7.0;
    let leaf = book.leaf();
    let at = |mm: f64, up: f64| At::new(MARGIN_MM + mm, y - up);
    leaf.line(vec![at(0.0, 0.0), at(RULE_MM, 0.0)], 0.3, Ink::Black);
    for tick in 0..=10u32 {
        let mm = f64::from(tick) * RULE_MM / 10.0;
        let up = if tick.is_multiple_of(5) { 4.5 } else { 2.5 };
        leaf.line(vec![at(mm, 0.0), at(mm, up)], 0.3, Ink::Black);
    }
    let inches = System::Inch.show_fine(RULE_MM);
    let says = format!("This rule must measure {RULE_MM} mm ({inches}) when printed.");
    let text = [says.as_str(), "Where it does not, print again without fitting to the page."];
    for (i, text) in text.into_iter().enumerate() {
        let at = At::new(MARGIN_MM, y + 4.2 + SMALL_MM * LEADING * i as f64);
        leaf.words(text, at, SMALL_MM, Ink::Black);
    }
}
