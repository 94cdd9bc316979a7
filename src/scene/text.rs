//! What is written on the table: the sentence at the person's side, or a whole page.

use super::view::{LEADING, MARGIN_MM, SENTENCE_LINES};
use super::{Letters, View};
use crate::geometry::Table;

/// Advance of one letter of the label font in capitals (Hack: 1233 of 1493 font units).
const ADVANCE: f64 = 0.826;

/// A page shrinks to no less than this share of its size.
const SMALLEST: f64 = 1.0 / 3.0;

/// How long a text is.
pub fn width_mm(text: &str, cap_mm: f64) -> f64 {
    text.chars().count() as f64 * cap_mm * ADVANCE
}

/// The sentence at the person's side, the first line farthest from her.
pub fn sentence(text: &str, view: &View) -> Vec<Letters<Table>> {
    let (cap_mm, lines) = fitted(&[text.to_owned()], SENTENCE_LINES, view);
    written(lines, cap_mm, view)
}

/// A page that fills the room from the person's side.
pub fn page(paragraphs: &[String], view: &View) -> Vec<Letters<Table>> {
    let [_, deep_mm] = view.room.seen_mm(view.reads);
    let most = ((deep_mm - 2.0 * MARGIN_MM) / (view.cap_mm * LEADING)).max(1.0) as usize;
    let (cap_mm, lines) = fitted(paragraphs, most, view);
    written(lines, cap_mm, view)
}

/// Cap height and lines of text that fits the room's width in so many lines, smaller where it must be.
fn fitted(paragraphs: &[String], most: usize, view: &View) -> (f64, Vec<String>) {
    let [wide_mm, _] = view.room.seen_mm(view.reads);
    let wrap = |cap_mm: f64| -> Vec<String> {
        paragraphs.iter().flat_map(|text| wrapped(text, wide_mm - 2.0 * MARGIN_MM, cap_mm)).collect()
    };
    let mut cap_mm = view.cap_mm;
    let mut lines = wrap(cap_mm);
    while lines.len() as f64 * cap_mm > most as f64 * view.cap_mm && cap_mm > view.cap_mm * SMALLEST {
        cap_mm *= 0.95;
        lines = wrap(cap_mm);
    }
    (cap_mm, lines)
}

fn written(lines: Vec<String>, cap_mm: f64, view: &View) -> Vec<Letters<Table>> {
    let count = lines.len();
    let corner = view.reads.near_left((view.room.low_mm, view.room.high_mm));
    let place = |(i, text)| {
        let up_mm = MARGIN_MM / 2.0 + cap_mm * LEADING * (count - 1 - i) as f64;
        Letters {
            text,
            at: corner + view.reads.step(MARGIN_MM, up_mm),
            along: view.reads.right_hand(),
            cap_mm,
            light: view.line(),
        }
    };
    lines.into_iter().enumerate().map(place).collect()
}

fn wrapped(text: &str, room_mm: f64, cap_mm: f64) -> Vec<String> {
    let most = (room_mm / (cap_mm * ADVANCE)).max(8.0) as usize;
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.len() - 1;
        let fits = lines[last].is_empty() || lines[last].chars().count() + 1 + word.chars().count() <= most;
        if !fits {
            lines.push(word.to_owned());
            continue;
        }
        if !lines[last].is_empty() {
            lines[last].push(' ');
        }
        lines[last].push_str(word);
    }
    lines
}
