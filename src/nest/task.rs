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
    /// From the outline's own frame to the cloth, at a place.
    pub fn cloth_from_item(&self, at: Point<Cloth>) -> Map<Draft, Cloth> {
        self.turn.then_translate(Vector::new(at.x, at.y))
    }
}

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
