//! What is written on the table: lines of text as she reads them, at her side or over a whole page.

use super::view::{LEADING, MARGIN_MM};
use super::{Letters, View};
use crate::geometry::Table;

/// Advance of one letter of the label font in capitals (Hack: 1233 of 1493 font units).
const ADVANCE: f64 = 0.826;

/// How far letters reach below their line, in capitals (Hack's y: 310 of 1493 font units, rounded up).
const DESCENT: f64 = 0.3;

/// Text shrinks to no less than this share of its usual size.
pub(super) const SMALLEST: f64 = 1.0 / 3.0;

/// Rounding noise in a comparison of lengths.
const NOISE_MM: f64 = 1e-6;

/// Lines of text in letters of one size.
#[derive(Clone, Debug)]
pub(super) struct Block {
    pub lines: Vec<String>,
    pub cap_mm: f64,
    /// Where the lowest line begins, to her right and away from her, from the corner of the room at her left.
    pub at_mm: [f64; 2],
}

/// How long a text is.
pub fn width_mm(text: &str, cap_mm: f64) -> f64 {
    text.chars().count() as f64 * cap_mm * ADVANCE
}

/// The sentence at the person's side, the first line farthest from her. It keeps to its band however large labels are.
pub(super) fn at_her_side(text: &str, view: &View) -> Block {
    fitted(&[text.to_owned()], view.band_mm(), view)
}

/// A page that fills the room from the person's side.
pub fn page(paragraphs: &[String], view: &View) -> Vec<Letters<Table>> {
    let [_, deep_mm] = view.room.seen_mm(view.reads);
    fitted(paragraphs, deep_mm - 2.0 * MARGIN_MM, view).letters(view)
}

/// Text that fits the room's width and a depth, smaller where it must be.
fn fitted(paragraphs: &[String], deep_mm: f64, view: &View) -> Block {
    let [wide_mm, _] = view.room.seen_mm(view.reads);
    let wrap = |cap_mm: f64| Block::within(wide_mm - 2.0 * MARGIN_MM, paragraphs, cap_mm);
    let mut block = wrap(view.cap_mm);
    while block.lines.len() as f64 * block.cap_mm * LEADING > deep_mm + NOISE_MM
        && block.cap_mm > view.usual_cap_mm() * SMALLEST
    {
        block = wrap(block.cap_mm * 0.95);
    }
    block
}

impl Block {
    /// Text wrapped to a width, in the corner of the room.
    pub fn within(wide_mm: f64, paragraphs: &[String], cap_mm: f64) -> Self {
        let lines = paragraphs.iter().flat_map(|text| wrapped(text, wide_mm, cap_mm)).collect();
        Self { lines, cap_mm, at_mm: [MARGIN_MM, (DESCENT * cap_mm).max(MARGIN_MM / 2.0)] }
    }

    /// The box around it: its near left and far right corner, as it is placed.
    pub fn bounds_mm(&self) -> [[f64; 2]; 2] {
        let wide_mm = self.lines.iter().map(|line| width_mm(line, self.cap_mm)).fold(0.0, f64::max);
        let above = LEADING * (self.lines.len().max(1) - 1) as f64 + 1.0;
        let [right_mm, away_mm] = self.at_mm;
        [[right_mm, away_mm - DESCENT * self.cap_mm], [right_mm + wide_mm, away_mm + above * self.cap_mm]]
    }

    /// The letters of its lines.
    pub fn letters(&self, view: &View) -> Vec<Letters<Table>> {
        let corner = view.reads.near_left((view.room.low_mm, view.room.high_mm));
        let place = |line: Block| {
            let [right_mm, away_mm] = line.at_mm;
            Letters {
                at: corner + view.reads.step(right_mm, away_mm),
                text: line.lines.concat(),
                along: view.reads.right_hand(),
                cap_mm: self.cap_mm,
                light: view.line(),
            }
        };
        self.by_line().map(place).collect()
    }

    fn by_line(&self) -> impl Iterator<Item = Self> + '_ {
        let [right_mm, away_mm] = self.at_mm;
        let count = self.lines.len();
        self.lines.iter().enumerate().map(move |(i, line)| {
            let above_mm = self.cap_mm * LEADING * (count - 1 - i) as f64;
            Self { lines: vec![line.clone()], cap_mm: self.cap_mm, at_mm: [right_mm, away_mm + above_mm] }
        })
    }

    /// Every word of it by itself, where it stands.
    pub fn by_word(&self) -> impl Iterator<Item = Self> + '_ {
        self.by_line().flat_map(|line| {
            let text = line.lines.concat();
            let mut before = 0;
            let words = text.split(' ').map(|word| {
                let [right_mm, away_mm] = line.at_mm;
                let at_mm = [right_mm + width_mm(&text[..before], line.cap_mm), away_mm];
                before = (before + word.len() + 1).min(text.len());
                Self { lines: vec![word.to_owned()], cap_mm: line.cap_mm, at_mm }
            });
            words.filter(|word| !word.lines[0].is_empty()).collect::<Vec<_>>()
        })
    }
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
