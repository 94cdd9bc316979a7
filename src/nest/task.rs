//! What is to be laid, and where each outline may lie.

use super::shape::Form;
use crate::geometry::{Cloth, Draft, Map, Outline, Point, Vector};

/// Outlines to be laid on a strip of cloth, as short as may be.
#[derive(Clone, Debug)]
pub struct Task {
    /// Across the strip.
    pub width_mm: f64,
    /// The kinds of outline.
    pub kinds: Vec<Kind>,
    /// The kind of each outline that is to be laid.
    pub items: Vec<usize>,
    /// What must not be covered: flaws, and what lies there already.
    pub obstacles: Vec<Outline<Cloth>>,
}

/// An outline and its domain.
#[derive(Clone, Debug)]
pub struct Kind {
    /// The outline.
    pub form: Form,
    /// Every way in which it may lie; one at least.
    pub homes: Vec<Home>,
}

/// One way in which an outline may lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Home {
    /// How it is turned or mirrored; its shift is nought.
    pub turn: Map<Draft, Cloth>,
    /// Where the outline's origin may lie across the strip, least and most; both alike when it is pinned.
    pub across_mm: [f64; 2],
    /// The same along the strip; none where it may lie anywhere on it.
    pub along_mm: Option<[f64; 2]>,
    /// The steps in which it may lie, where a print must meet.
    pub steps: Option<Steps>,
}

/// Places in steps: the lattice of a print.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// One of the places.
    pub from: Point<Cloth>,
    /// From a place to the next along; none where it is free along.
    pub along_mm: Option<f64>,
    /// From a place to the next across; none where it is free across.
    pub across_mm: Option<f64>,
    /// Whether every second step across lies half a step farther along.
    pub half_drop: bool,
}

/// Where an outline lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// Which of its homes it lies in.
    pub home: usize,
    /// Where its origin lies.
    pub at: Point<Cloth>,
}

impl Home {
    /// A home on the whole length, with no steps.
    pub fn free(turn: Map<Draft, Cloth>, across_mm: [f64; 2]) -> Self {
        Self { turn, across_mm, along_mm: None, steps: None }
    }

    /// Whether there is but one place along.
    pub fn is_pinned(&self) -> bool {
        self.along_mm.is_some_and(|[least_mm, most_mm]| least_mm == most_mm)
    }

    /// The place nearest to `at` that it allows, within a range along; none when there is none.
    pub fn nearest(&self, at: Point<Cloth>, along_mm: [f64; 2]) -> Option<Point<Cloth>> {
        let range = self.along_mm.map_or(along_mm, |own| [own[0].max(along_mm[0]), own[1].min(along_mm[1])]);
        let steps = self.steps.unwrap_or(Steps { from: at, along_mm: None, across_mm: None, half_drop: false });
        let (y, across) = stepped(at.y, steps.from.y, steps.across_mm, self.across_mm)?;
        let dropped_mm = if steps.half_drop && across % 2.0 != 0.0 { steps.along_mm.unwrap_or(0.0) / 2.0 } else { 0.0 };
        let (x, _) = stepped(at.x, steps.from.x + dropped_mm, steps.along_mm, range)?;
        Some(Point::new(x, y))
    }

    /// From the outline's own frame to the cloth, at a place.
    pub fn cloth_from_item(&self, at: Point<Cloth>) -> Map<Draft, Cloth> {
        self.turn.then_translate(Vector::new(at.x, at.y))
    }
}

/// The place nearest to `at` in a range, so many whole steps from one of them; without steps any place.
fn stepped(at: f64, from: f64, step: Option<f64>, [low, high]: [f64; 2]) -> Option<(f64, f64)> {
    let Some(step) = step else { return (low <= high).then(|| (at.clamp(low, high), 0.0)) };
    let within = [((low - from) / step - NOISE).ceil(), ((high - from) / step + NOISE).floor()];
    (within[0] <= within[1]).then(|| {
        let count = ((at - from) / step).round().clamp(within[0], within[1]);
        // By rounding the one step that is left may lie a hair beside the range.
        ((from + count * step).max(low).min(high), count)
    })
}

/// Rounding noise in a count of steps.
const NOISE: f64 = 1e-9;

impl Task {
    /// The area of all outlines.
    pub fn area_mm2(&self) -> f64 {
        let areas_mm2: Vec<f64> = self.kinds.iter().map(|kind| kind.form.outline.area_mm2()).collect();
        self.items.iter().map(|kind| areas_mm2[*kind]).sum()
    }

    /// An outline where it lies.
    pub fn laid(&self, item: usize, pose: &Pose) -> Outline<Cloth> {
        let kind = &self.kinds[self.items[item]];
        kind.form.outline.mapped(&kind.homes[pose.home].cloth_from_item(pose.at))
    }
}
