//! What is written on the cloth: beside its line, clear of every line and of other labels, and turned to the side it is read
//! from.
//!
//! Each kind of line has a place where its label is looked for. Where that is crossed by a line, as it is when text is turned
//! to a side and a name runs across a piece, other places beside the same line are tried, and the words in two lines and in
//! three. Where no place is clear the usual one is taken: a label is never left out for want of room.

use super::text::width_mm;
use super::view::LEADING;
use super::{Letters, Light, Side, View, Way};
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::stages::{Line, LineKind, Stage};

/// Labels are smaller than the sentence.
const LABEL_SHARE: f64 = 0.8;

/// How far along a line its label begins, and where else it may.
const BEGINS: f64 = 0.08;
const FOLD_BEGINS: f64 = 0.6;
const ELSEWHERE: [f64; 7] = [0.08, 0.2, 0.32, 0.44, 0.56, 0.68, 0.8];

/// How far a label stands off its line, in capitals: as near as may be.
const OFF: [f64; 4] = [0.6, 1.4, 2.6, 4.2];

/// Lines of a label at most, and what its letters shrink to where a piece is small.
const MOST_LINES: usize = 3;
const SIZES: [f64; 4] = [1.0, 0.8, 0.6, 0.45];

/// What a label keeps clear of a line, in capitals: as far as letters reach below their own line.
const CLEAR: f64 = 0.3;

/// Where an upright box of text is held: at a point, by what lies there, as shares of its width and height from its low
/// corner.
#[derive(Clone, Copy)]
struct Held {
    at: Point<Cloth>,
    by: [f64; 2],
}

/// An upright box on the cloth.
type Around = [Point<Cloth>; 2];

/// The labels of a stage. With a lit shape, one that would lie across the edge is left out, because nothing may blur
/// the edge that is cut along.
pub fn labels(stage: &Stage, view: &View) -> Vec<Letters<Cloth>> {
    if view.hidden.labels {
        return Vec::new();
    }
    let shape = (view.way == Way::LitShape).then_some(&stage.shape);
    let lines: Vec<&Line> = stage.lines.iter().filter(|line| !view.hidden.hides(line)).collect();
    let mut full = Full::of(&lines);
    let mut labels = Vec::new();
    for line in &lines {
        let written = line.label.as_deref().and_then(|text| full.written(line, text, view));
        // All of its words, or none.
        let seen =
            written.and_then(|letters| letters.into_iter().map(|line| seen(line, shape)).collect::<Option<Vec<_>>>());
        labels.extend(seen.into_iter().flatten());
    }
    labels
}

/// What labels keep clear of: lines, each with the box around it, and labels that stand already.
struct Full<'s> {
    lines: Vec<(&'s Line, Around)>,
    labels: Vec<Around>,
    whole: Around,
}

impl<'s> Full<'s> {
    fn of(lines: &[&'s Line]) -> Self {
        let none = [Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY)];
        let around = |line: &Line| line.points.iter().fold(none, |[low, high], p| [low.min(*p), high.max(*p)]);
        let lines: Vec<(&Line, Around)> = lines.iter().map(|line| (*line, around(line))).collect();
        let whole = lines.iter().fold(none, |[low, high], (_, [a, b])| [low.min(*a), high.max(*b)]);
        Self { lines, labels: Vec::new(), whole }
    }

    /// A label of a line where it is clear, or at its usual place; none where that is not lit.
    fn written(&mut self, line: &Line, text: &str, view: &View) -> Option<Vec<Letters<Cloth>>> {
        let usual_mm = view.cap_mm * LABEL_SHARE;
        let places = places(line, view.cap_mm);
        // A line that begins beyond the light is named in the reach that shows its beginning.
        let lit = view.window.map(|lit| lit.less(-2.0 * view.cap_mm));
        if lit.is_some_and(|lit| !lit.contains(places[0].at)) {
            return None;
        }
        let blocks: Vec<Vec<String>> = (1..=MOST_LINES).map(|count| split(text, count)).collect();
        let room = view.lit_cloth(self.whole[1]);
        let is_lit = |[low, high]: Around| room.contains(low) && room.contains(high);
        let usual = (&blocks[0], &places[0], usual_mm);
        let sizes = SIZES.into_iter().map(|share| share * usual_mm);
        let (blocks_of, held_of) = (&blocks, &places);
        let tried = sizes.flat_map(move |cap_mm| {
            blocks_of.iter().flat_map(move |block| held_of.iter().map(move |held| (block, held, cap_mm)))
        });
        let is_clear = |(block, held, cap_mm): &(&Vec<String>, &Held, f64)| {
            let around = held.around(block, *cap_mm, view);
            is_lit(around) && self.is_clear(around, *cap_mm)
        };
        let usual_is_clear = self.is_clear(usual.1.around(usual.0, usual_mm, view), usual_mm);
        let found = if usual_is_clear { usual } else { tried.skip(1).find(is_clear).unwrap_or(usual) };
        let (block, held, cap_mm) = found;
        self.labels.push(held.around(block, cap_mm, view));
        Some(held.letters(block, cap_mm, view))
    }

    fn is_clear(&self, [low, high]: Around, cap_mm: f64) -> bool {
        let off = Vector::new(CLEAR, CLEAR) * cap_mm;
        let around = [low - off, high + off];
        let apart = |[a, b]: &Around| a.x > around[1].x || b.x < around[0].x || a.y > around[1].y || b.y < around[0].y;
        let free_of = |(line, its): &(&Line, Around)| {
            apart(its) || line.points.windows(2).all(|side| !crosses(around, [side[0], side[1]]))
        };
        self.labels.iter().all(apart) && self.lines.iter().all(free_of)
    }
}

/// Whether a line comes into a box (Liang and Barsky, 1984).
fn crosses([low, high]: Around, [from, to]: [Point<Cloth>; 2]) -> bool {
    let along = to - from;
    let mut span = [0.0_f64, 1.0];
    for (p, q) in
        [(-along.x, from.x - low.x), (along.x, high.x - from.x), (-along.y, from.y - low.y), (along.y, high.y - from.y)]
    {
        if p < 0.0 {
            span[0] = span[0].max(q / p);
        } else if p > 0.0 {
            span[1] = span[1].min(q / p);
        } else if q < 0.0 {
            return false;
        }
    }
    span[0] <= span[1]
}

/// Words in so many lines, about as long as one another.
fn split(text: &str, count: usize) -> Vec<String> {
    let most = text.chars().count().div_ceil(count);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() / 2 < most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Where a label may stand beside its line, the usual place first: along it where it runs along the cloth, beside its start
/// where it runs across, outside of a nick.
fn places(line: &Line, cap_mm: f64) -> Vec<Held> {
    let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
    let run = last - first;
    if matches!(line.kind, LineKind::Notch | LineKind::Chalk) {
        let outside = if run.y > 0.0 { -1.0 } else { 1.0 };
        let at = |(way, off): (f64, f64)| Held {
            at: first + Vector::new(0.0, way * (off + 0.2) * cap_mm),
            by: [0.5, if way > 0.0 { 0.0 } else { 1.0 }],
        };
        return [outside, -outside].into_iter().flat_map(|way| OFF.map(|off| at((way, off)))).collect();
    }
    if run.x.abs() >= run.y.abs() {
        let usual = if line.kind == LineKind::Fold { FOLD_BEGINS } else { BEGINS };
        let below = line.kind == LineKind::Selvedge;
        let left = if run.x > 0.0 { first } else { last };
        let at = |share: f64, off: f64, below: bool| {
            let at = left + Vector::new(run.x.abs() * share, 0.0);
            match below {
                true => Held { at: at - Vector::new(0.0, 2.0 * off * cap_mm), by: [0.0, 1.0] },
                false => Held { at: at + Vector::new(0.0, off * cap_mm), by: [0.0, 0.0] },
            }
        };
        let shares = || std::iter::once(usual).chain(ELSEWHERE);
        let beside =
            |off: f64| [below, !below].into_iter().flat_map(move |way| shares().map(move |share| (share, off, way)));
        return OFF.into_iter().flat_map(beside).map(|(share, off, way)| at(share, off, way)).collect();
    }
    let at = |share: f64, off: f64, right: bool| {
        let y = first.y + run.y * share;
        match right {
            true => Held { at: Point::new(first.x + off * cap_mm, y), by: [0.0, 0.0] },
            false => Held { at: Point::new(first.x - off * cap_mm, y), by: [1.0, 0.0] },
        }
    };
    let usual = at(BEGINS, OFF[0], true);
    let usual = Held { at: usual.at + Vector::new(0.0, 2.2 * cap_mm), ..usual };
    let beside = OFF.into_iter().flat_map(|off| [true, false].map(|right| (off, right)));
    let others = beside.flat_map(|(off, right)| ELSEWHERE.map(|share| at(share, off, right)));
    std::iter::once(usual).chain(others).collect()
}

impl Held {
    /// The box around lines of text.
    fn around(&self, lines: &[String], cap_mm: f64, view: &View) -> Around {
        let long = lines.iter().map(|line| width_mm(line, cap_mm)).fold(0.0, f64::max);
        let deep = cap_mm * (1.0 + LEADING * (lines.len() - 1) as f64);
        let sideways = matches!(view.reads_cloth(), Side::Right | Side::Left);
        let size = if sideways { Vector::new(deep, long) } else { Vector::new(long, deep) };
        let low = self.at - Vector::new(self.by[0] * size.x, self.by[1] * size.y);
        [low, low + size]
    }

    fn letters(&self, lines: &[String], cap_mm: f64, view: &View) -> Vec<Letters<Cloth>> {
        let [low, high] = self.around(lines, cap_mm, view);
        let side = view.reads_cloth();
        let corner = side.near_left((low, high));
        let line = |(i, text): (usize, &String)| {
            let above = cap_mm * LEADING * (lines.len() - 1 - i) as f64;
            let at = corner + side.away::<Cloth>() * above;
            Letters { text: text.clone(), at, along: side.right_hand(), cap_mm, light: view.line() }
        };
        lines.iter().enumerate().map(line).collect()
    }
}

/// A label as it is seen on a lit shape: dark within, light outside, not at all across the edge.
fn seen(mut label: Letters<Cloth>, shape: Option<&Outline<Cloth>>) -> Option<Letters<Cloth>> {
    let Some(shape) = shape else { return Some(label) };
    let up = Vector::new(-label.along.y, label.along.x) * label.cap_mm;
    let along = label.along * width_mm(&label.text, label.cap_mm);
    let corners = [label.at, label.at + along, label.at + along + up, label.at + up];
    match corners.iter().filter(|p| shape.contains(**p)).count() {
        0 => Some(label),
        4 => {
            label.light = [0; 3];
            Some(label)
        }
        _ => None,
    }
}

/// Turns text that stands on its head for her about its own middle.
pub fn upright(letters: &mut Letters<Cloth>, reads: Side) {
    if letters.along.dot(reads.right_hand()) < -1e-6 {
        let up = Vector::new(-letters.along.y, letters.along.x);
        letters.at += letters.along * width_mm(&letters.text, letters.cap_mm) + up * letters.cap_mm;
        letters.along = -letters.along;
    }
}

/// Light of a mark inside the shape that is worked on.
pub fn light_within(view: &View) -> Light {
    if view.way == Way::LitShape { [0; 3] } else { view.line() }
}
