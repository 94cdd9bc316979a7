//! What is written on the cloth: beside its line, clear of it, and turned to the side it is read from.

use super::text::width_mm;
use super::{Letters, Light, Side, View, Way};
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::stages::{Line, LineKind, Stage};

/// Labels are smaller than the sentence.
const LABEL_SHARE: f64 = 0.8;

/// How far along a line its label begins.
const BEGINS: f64 = 0.08;
const FOLD_BEGINS: f64 = 0.6;

/// Where an upright box of text is held: at a point, by what lies there, as shares of its width and height from its low
/// corner.
struct Held {
    at: Point<Cloth>,
    by: [f64; 2],
}

/// The labels of a stage. With a lit shape, one that would lie across the edge is left out, because nothing may blur
/// the edge that is cut along.
pub fn labels(stage: &Stage, view: &View) -> Vec<Letters<Cloth>> {
    if view.hidden.labels {
        return Vec::new();
    }
    let shape = (view.way == Way::LitShape).then_some(&stage.shape);
    let lines = stage.lines.iter().filter(|line| !view.hidden.hides(line));
    lines.filter_map(|line| label(line, view)).filter_map(|label| seen(label, shape)).collect()
}

/// A label beside a line: along it where it runs along the cloth, beside its start where it runs across, outside of a
/// nick.
fn label(line: &Line, view: &View) -> Option<Letters<Cloth>> {
    let text = line.label.clone()?;
    let cap_mm = view.cap_mm;
    let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
    let run = last - first;
    let held = if matches!(line.kind, LineKind::Notch | LineKind::Chalk) {
        let (lift, by) = if run.y > 0.0 { (-0.8, 1.0) } else { (0.8, 0.0) };
        Held { at: first + Vector::new(0.0, lift * cap_mm), by: [0.5, by] }
    } else if run.x.abs() >= run.y.abs() {
        let share = if line.kind == LineKind::Fold { FOLD_BEGINS } else { BEGINS };
        let left = if run.x > 0.0 { first } else { last };
        let at = left + Vector::new(run.x.abs() * share, 0.0);
        if line.kind == LineKind::Selvedge {
            Held { at: at - Vector::new(0.0, 1.2 * cap_mm), by: [0.0, 1.0] }
        } else {
            Held { at: at + Vector::new(0.0, 0.6 * cap_mm), by: [0.0, 0.0] }
        }
    } else {
        let at = Point::new(first.x + 0.6 * cap_mm, first.y + run.y * BEGINS + 2.2 * cap_mm);
        Held { at, by: [0.0, 0.0] }
    };
    // A line that begins beyond the light is named in the reach that shows its beginning.
    let is_lit = view.window.is_none_or(|lit| lit.less(-2.0 * cap_mm).contains(held.at));
    is_lit.then(|| held.letters(text, cap_mm * LABEL_SHARE, view))
}

impl Held {
    fn letters(&self, text: String, cap_mm: f64, view: &View) -> Letters<Cloth> {
        let long = width_mm(&text, cap_mm);
        let sideways = matches!(view.reads_cloth(), Side::Right | Side::Left);
        let size = if sideways { Vector::new(cap_mm, long) } else { Vector::new(long, cap_mm) };
        let low = self.at - Vector::new(self.by[0] * size.x, self.by[1] * size.y);
        let side = view.reads_cloth();
        let at = side.near_left((low, low + size));
        Letters { text, at, along: side.right_hand(), cap_mm, light: view.line() }
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
