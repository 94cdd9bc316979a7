//! From a stage to a scene: every line in its form, every label in its place, the sentence at the person's side.

use super::form::{drawn, form};
use super::{Fill, Letters, Light, Marks, Room, Scene, Stroke, proof};
use crate::geometry::{Cloth, Point, Vector};
use crate::stages::{Line, LineKind, Stage};
use crate::units::System;

/// How a stage is to be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The room that is lit.
    pub room: Room,
    /// The unit system of figures.
    pub system: System,
    /// Height of a capital in the sentence and on labels.
    pub cap_mm: f64,
    /// Light lines on a dark table, or dark lines on a lit ground.
    pub way: Way,
}

/// Which of line and ground is lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Light lines on dark.
    LightOnDark,
    /// Dark lines on a lit ground.
    DarkOnLit,
}

/// Margin kept free at the edge of the light.
const MARGIN_MM: f64 = 12.0;

/// Lines of the sentence at most.
const SENTENCE_LINES: usize = 3;

/// Distance between baselines, in capitals.
const LEADING: f64 = 1.75;

/// Advance of one letter of the label font in capitals (Hack: 1233 of 1493 font units).
const ADVANCE: f64 = 0.826;

impl Way {
    /// Light of the ground.
    pub fn ground(self) -> Light {
        match self {
            Self::LightOnDark => [0; 3],
            Self::DarkOnLit => [255; 3],
        }
    }

    /// Light of the lines.
    pub fn line(self) -> Light {
        match self {
            Self::LightOnDark => [255; 3],
            Self::DarkOnLit => [0; 3],
        }
    }

    /// Light of an area that must stay whole: set off from the ground, far from the lines.
    pub fn whole(self) -> Light {
        match self {
            Self::LightOnDark => [48; 3],
            Self::DarkOnLit => [214; 3],
        }
    }
}

impl View {
    /// A view of everything that is lit, with labels that can be read from an arm's length: a hundredth of the room's
    /// width, at least 7 mm.
    pub fn of(room: Room, system: System, way: Way) -> Self {
        Self { room, system, way, cap_mm: (room.width_mm() / 100.0).clamp(7.0, 20.0) }
    }

    /// The room for cloth: what the sentence at the person's side leaves.
    pub fn cloth_room(&self) -> Room {
        self.room.less(MARGIN_MM, self.cap_mm * LEADING * SENTENCE_LINES as f64)
    }
}

/// Composes the scene of a stage.
pub fn compose(stage: &Stage, number: usize, view: &View) -> Scene {
    let light = view.way.line();
    let mut on_cloth = Marks::default();
    for outline in &stage.whole {
        on_cloth.fills.push(Fill { rings: vec![outline.corners.clone()], light: view.way.whole() });
    }
    for line in &stage.lines {
        let form = form(line.kind);
        let strokes = drawn(&line.points, &form).into_iter();
        on_cloth.strokes.extend(strokes.map(|points| Stroke { points, closed: false, width_mm: form.width_mm, light }));
        on_cloth.letters.extend(label(line, view.cap_mm, light));
    }
    if stage.proof {
        let proof = proof::proof(lit_cloth_mm(stage, view), view.system, view.cap_mm, light);
        on_cloth.strokes.extend(proof.strokes);
        on_cloth.letters.extend(proof.letters);
    }
    let mut on_table = Marks::default();
    on_table.letters.extend(sentence(&format!("{number}  {}", stage.sentence), view));
    Scene { ground: view.way.ground(), on_cloth, on_table }
}

/// How far the cloth of a stage reaches along and across, as far as it is lit where it lies at first.
fn lit_cloth_mm(stage: &Stage, view: &View) -> [f64; 2] {
    let room = view.cloth_room();
    let points = stage.lines.iter().flat_map(|line| &line.points);
    let (along, across) = points.fold((0.0_f64, 0.0_f64), |(x, y), p| (x.max(p.x), y.max(p.y)));
    [along.min(room.width_mm()), across.min(room.depth_mm())]
}

/// The label of a line: along it where it runs along the cloth, beside its start where it runs across.
fn label(line: &Line, cap_mm: f64, light: Light) -> Option<Letters<Cloth>> {
    let text = line.label.clone()?;
    let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
    let run = last - first;
    let at = if line.kind == LineKind::Notch {
        let lift_mm = if run.y > 0.0 { -1.6 * cap_mm } else { 0.8 * cap_mm };
        first + Vector::new(-0.4 * ADVANCE * cap_mm * text.chars().count() as f64, lift_mm)
    } else if run.x.abs() >= run.y.abs() {
        let share = if line.kind == LineKind::Fold { 0.6 } else { 0.08 };
        let left = if run.x > 0.0 { first } else { last };
        let lift_mm = if line.kind == LineKind::Selvedge { -2.0 * cap_mm } else { 0.6 * cap_mm };
        left + Vector::new(run.x.abs() * share, lift_mm)
    } else {
        Point::new(first.x + 0.6 * cap_mm, first.y + run.y * 0.08 + 2.2 * cap_mm)
    };
    Some(Letters { text, at, along: Vector::new(1.0, 0.0), cap_mm: cap_mm * 0.8, light })
}

/// The sentence in lines at the person's side, the first one farthest from her.
fn sentence(text: &str, view: &View) -> Vec<Letters<crate::geometry::Table>> {
    let width_mm = view.room.width_mm() - 2.0 * MARGIN_MM;
    let mut cap_mm = view.cap_mm;
    let mut lines = wrapped(text, width_mm, cap_mm);
    while lines.len() > SENTENCE_LINES && cap_mm > view.cap_mm / 3.0 {
        cap_mm *= 0.95;
        lines = wrapped(text, width_mm, cap_mm);
    }
    let count = lines.len();
    let place = |(i, text)| Letters {
        text,
        at: view.room.low_mm + Vector::new(MARGIN_MM, MARGIN_MM / 2.0 + cap_mm * LEADING * (count - 1 - i) as f64),
        along: Vector::new(1.0, 0.0),
        cap_mm,
        light: view.way.line(),
    };
    lines.into_iter().enumerate().map(place).collect()
}

fn wrapped(text: &str, width_mm: f64, cap_mm: f64) -> Vec<String> {
    let most = (width_mm / (cap_mm * ADVANCE)).max(8.0) as usize;
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
