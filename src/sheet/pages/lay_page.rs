//! The lay on paper, and how to read the lines of every drawing.

use super::book::Book;
use crate::geometry::{Outline, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::sheet::drawing::{clear, is_free, line, on_cloth, paper_from_cloth, scale};
use crate::sheet::laid::Laid;
use crate::sheet::leaf::{
    At, BODY_MM, CAPITAL, Ink, Leaf, MARGIN_MM, MEASURE_MM, Mark, Paper, SMALL_MM, Words, width_mm,
};
use crate::stages::LineKind;

/// Greatest height of the drawing on A4; where it would be smaller than so many to one, the drawing has the page for itself.
const ROOM_MM: f64 = 110.0;
const SMALLEST: u32 = 10;
const WHOLE_ROOM_MM: f64 = 176.0;

/// A name on top of another is let down by a line, at most so often.
const MOST_DROPS: usize = 8;

/// Height of the legend, and of a row of it.
const LEGEND_MM: f64 = 24.0 + ROW_MM * KINDS.len() as f64;
const ROW_MM: f64 = 7.2;

/// Where along a rectangle that is left its number stands: the first place that is free.
const NUMBERED: [f64; 5] = [0.5, 0.7, 0.3, 0.85, 0.15];

/// Lines over cloth on which nothing may lie are so far apart, and so wide.
const HATCH_MM: [f64; 2] = [1.6, 0.15];

/// Length of a sample of a line.
const SAMPLE_MM: f64 = 32.0;

/// The kinds of lines, in words.
const KINDS: [(LineKind, &str); 11] = [
    (LineKind::Cut, "cut now; on this page, the piece on top"),
    (LineKind::CutLater, "cut in another stage; on this page, the piece below"),
    (LineKind::Sew, "sewing line"),
    (LineKind::Fold, "fold: never cut"),
    (LineKind::Selvedge, "selvedges"),
    (LineKind::ClothEnd, "cut end of the cloth"),
    (LineKind::LayEnd, "where the lay ends and the cloth goes on"),
    (LineKind::Grain, "grain, along the selvedge"),
    (LineKind::Notch, "notch: a nick, no deeper than drawn"),
    (LineKind::Chalk, "where there is no turning: chalked, never cut"),
    (LineKind::Level, "level: chest, waist, hip; legs of a dart, place of a pocket"),
];

/// Writes the page; on the cloth's print, where that is among the pictures.
pub fn lay_page(book: &mut Book, lay: &Lay, print: Option<usize>) {
    let laid = Laid::of(lay);
    let in_room = |mm: f64| scale([lay.length_mm, lay.folded_width_mm], [MEASURE_MM - 2.0, mm - book.shorter_mm]);
    let n = if in_room(ROOM_MM) > SMALLEST { in_room(WHOLE_ROOM_MM) } else { in_room(ROOM_MM) };
    book.page("The lay");
    book.paragraph(&format!(
        "{} Drawn 1 : {n}, as it lies before you with the {} at your side: {}.",
        super::sentence(lay.fold.says()),
        if matches!(lay.fold, Fold::Open | Fold::Across) { "selvedge" } else { "fold" },
        stacked(&laid)
    ));
    if let Some(print) = print {
        book.paragraph("Under it lies the print of the layer on the table.");
        let size_mm = [lay.length_mm, lay.folded_width_mm].map(|mm| mm / f64::from(n));
        let top = corner(book, &laid, n).y - size_mm[1];
        book.picture(print, At::new(MARGIN_MM + 1.0, top), size_mm);
    }
    let lettered = drawing(book, &laid, n);
    if !lettered.is_empty() {
        book.paragraph(&format!("{}.", lettered.join("; ")));
    }
    let off: Vec<&str> =
        ["border", "flaw"].into_iter().filter(|name| laid.kept_off.iter().any(|off| off.name == *name)).collect();
    if !off.is_empty() {
        book.paragraph(&format!("Hatched: {}, where nothing lies.", off.join(" and ")));
    }
    let numbered = laid.left_over.iter().filter(|left| !left.rest).enumerate();
    let numbered = numbered.map(|(i, left)| format!("{}: {}", i + 1, left.caption));
    let rest = laid.left_over.iter().filter(|left| left.rest);
    let rest = rest.map(|left| format!("{} across the whole width", left.caption.replace(", drawn folded", "")));
    let left_over: Vec<String> = numbered.chain(rest).collect();
    if !left_over.is_empty() {
        book.paragraph(&super::sentence(&format!("left over: {}", left_over.join("; "))));
    }
    let print = lay.costs_say().into_iter().map(|(what, says)| super::sentence(&format!("{what}: {says}")));
    let print: Vec<String> = print.collect();
    if !print.is_empty() {
        book.paragraph(&print.join(" "));
    }
    book.y_mm += 4.0;
    book.room(LEGEND_MM, "");
    book.heading("How to read the lines");
    book.paragraph("On the cloth and on paper a line is told by its form, never by its colour. A shaded area must stay whole: cut past it.");
    book.y_mm += 1.0;
    for (kind, words) in KINDS {
        let from = At::new(MARGIN_MM, book.y_mm + BODY_MM * 0.65);
        sample(book.leaf(), kind, from);
        let at = At::new(MARGIN_MM + 40.0, book.y_mm + BODY_MM);
        book.leaf().words(words, at, BODY_MM, Ink::Black);
        book.y_mm += ROW_MM;
    }
}

/// A piece of a line of a kind; a notch hangs from a cutting line.
fn sample(leaf: &mut Leaf, kind: LineKind, from: At) {
    let along = |mm: f64, down: f64| from + Vector::new(mm, down);
    if matches!(kind, LineKind::Notch | LineKind::Chalk) {
        line(leaf, LineKind::Cut, &[along(0.0, -0.6), along(SAMPLE_MM, -0.6)]);
        line(leaf, kind, &[along(SAMPLE_MM / 2.0, -0.6), along(SAMPLE_MM / 2.0, 0.9)]);
    } else {
        line(leaf, kind, &[from, along(SAMPLE_MM, 0.0)]);
    }
}

/// The pieces from the top down, with what is cut of each.
fn stacked(laid: &Laid) -> String {
    let captions: Vec<&str> = laid.pieces.iter().rev().map(|piece| piece.caption.as_str()).collect();
    let on_one_another = laid.pieces.iter().any(|piece| piece.depth.is_some());
    captions.join(if on_one_another { "; under it " } else { "; " })
}

/// Where the cloth's origin is on paper.
fn corner(book: &Book, laid: &Laid, n: u32) -> At {
    At::new(MARGIN_MM + 1.0, book.y_mm + 6.0 + laid.far.y / f64::from(n))
}

/// Writes a piece's name, within the margins and clear of what is written already.
fn name(leaf: &mut Leaf, text: String, at: At) {
    let most_x = MARGIN_MM + MEASURE_MM - width_mm(&text, SMALL_MM);
    let at = At::new(at.x.clamp(MARGIN_MM, most_x.max(MARGIN_MM)), at.y);
    let mut words = Words { text, at, size_mm: SMALL_MM, ink: Ink::Black };
    for _ in 0..MOST_DROPS {
        let is_taken = |mark: &Mark| if let Mark::Words(other) = mark { other.touches(&words) } else { false };
        if !leaf.marks.iter().any(is_taken) {
            break;
        }
        words.at.y += SMALL_MM * 1.3;
    }
    leaf.marks.push(Mark::Words(words));
}

/// Writes a piece's name where it is off every line and word, as near to its middle as can be; where there is no such place its
/// letter, and gives the two.
fn name_within(leaf: &mut Leaf, name: &str, cut: &Outline<Paper>, letter: &str) -> Option<String> {
    /// Places across and along the box around it.
    const PLACES: u32 = 15;
    /// Off every line.
    const CLEAR_MM: f64 = 0.6;
    let (low, high) = cut.bounds();
    let share = |i: u32| f64::from(i) / f64::from(PLACES - 1);
    let mut places: Vec<At> = (0..PLACES * PLACES)
        .map(|i| At::new(low.x + share(i % PLACES) * (high.x - low.x), low.y + share(i / PLACES) * (high.y - low.y)))
        .filter(|at| cut.contains(*at))
        .collect();
    let middle = low.lerp(high, 0.5);
    places.sort_by(|a, b| (*a - middle).length().total_cmp(&(*b - middle).length()));
    let words = |text: &str, at: &At| {
        let off = Vector::new(-width_mm(text, SMALL_MM) / 2.0, SMALL_MM * CAPITAL / 2.0);
        Words { text: text.to_owned(), at: *at + off, size_mm: SMALL_MM, ink: Ink::Black }
    };
    let is_clear = |words: &Words| {
        let [left, top, right, bottom] = words.extents_mm();
        is_free(leaf, [left - CLEAR_MM, top - CLEAR_MM, right + CLEAR_MM, bottom + CLEAR_MM])
    };
    if let Some(words) = places.iter().map(|at| words(name, at)).find(is_clear) {
        leaf.marks.push(Mark::Words(words));
        return None;
    }
    let found = places.iter().map(|at| words(letter, at)).find(is_clear).unwrap_or_else(|| words(letter, &middle));
    clear(leaf, found.at, &found.text);
    leaf.marks.push(Mark::Words(found));
    Some(format!("{letter}: {name}"))
}

/// a to z, and behind them aa, ab and so on.
fn letter(i: usize) -> String {
    let last = char::from(b'a' + (i % 26) as u8);
    if i < 26 { last.to_string() } else { format!("{}{last}", letter(i / 26 - 1)) }
}

/// Draws it, and gives what its letters stand for.
fn drawing(book: &mut Book, laid: &Laid, n: u32) -> Vec<String> {
    let strips = laid.left_over.iter().filter(|left| !left.rest);
    let corner = corner(book, laid, n);
    let paper_from_cloth = paper_from_cloth(corner, n);
    let on_paper = |p: &crate::geometry::Point<_>| paper_from_cloth.transform_point(*p);
    let whole: Vec<_> = strips.clone().map(|left| left.outline.clone()).collect();
    on_cloth(book.leaf(), &whole, &laid.cloth, &paper_from_cloth);
    let leaf = book.leaf();
    for off in &laid.kept_off {
        let [apart_mm, width_mm] = HATCH_MM;
        leaf.ring(off.outline.corners.iter().map(on_paper).collect(), width_mm, Ink::Black);
        for ends in off.hatch(apart_mm * f64::from(n)) {
            leaf.line(ends.map(|p| on_paper(&p)).to_vec(), width_mm, Ink::Black);
        }
    }
    for piece in &laid.pieces {
        line(leaf, piece.cut_as, &piece.cut.iter().map(on_paper).collect::<Vec<_>>());
        for sewn in &piece.sewn {
            line(leaf, LineKind::Sew, &sewn.corners().iter().map(on_paper).collect::<Vec<_>>());
        }
        for (kind, nick) in &piece.notches {
            line(leaf, *kind, &nick.map(|p| on_paper(&p)));
        }
        for mark in &piece.marks {
            line(leaf, LineKind::Level, &mark.map(|p| on_paper(&p)));
        }
        line(leaf, LineKind::Grain, &piece.grain.map(|p| on_paper(&p)));
    }
    let mut lettered = Vec::new();
    for piece in laid.pieces.iter().rev() {
        let Some(row) = piece.depth else {
            let cut = Outline { corners: piece.cut.iter().map(on_paper).collect() };
            let letter = letter(lettered.len());
            lettered.extend(name_within(leaf, &piece.called, &cut, &letter));
            continue;
        };
        let text = format!("{} {}", piece.called, if row == 0 { "on top" } else { "below" });
        let middle = on_paper(&piece.grain[0].lerp(piece.grain[1], 0.5));
        let at = middle + Vector::new(-width_mm(&text, SMALL_MM) / 2.0, -2.2 - SMALL_MM * 1.5 * row as f64);
        name(leaf, text, at);
    }
    book.y_mm = corner.y + 8.0;
    for (i, left) in strips.enumerate() {
        let (low, high) = left.outline.bounds();
        let text = (i + 1).to_string();
        let off = Vector::new(-width_mm(&text, SMALL_MM) / 2.0, SMALL_MM * 0.3);
        let number = |share: f64| {
            let at = on_paper(&Point::new(low.x + share * (high.x - low.x), (low.y + high.y) / 2.0)) + off;
            Words { text: text.clone(), at, size_mm: SMALL_MM, ink: Ink::Black }
        };
        // Beside what is written there already; what has no room for its number is found by its size.
        let Some(words) = NUMBERED.map(number).into_iter().find(|words| book.leaf().has_room(words)) else { continue };
        clear(book.leaf(), words.at, &words.text);
        book.leaf().words(words.text, words.at, SMALL_MM, Ink::Black);
    }
    lettered
}
