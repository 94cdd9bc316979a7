//! A better place for one outline: many places by chance, the best of them improved step by step.

use super::chance::Chance;
use super::ground::Ground;
use super::start::anywhere;
use super::task::Pose;
use crate::geometry::{Cloth, Point, Vector};

/// Places tried anywhere, and around where the outline lies.
const ANYWHERE: usize = 50;
const NEARBY: usize = 25;

/// So many of the best are improved; of few outlines only the best, and more moves are made in the same time.
const KEPT: usize = 3;
const FEW: usize = 20;

/// First and last step of the improvement, as shares of the outline's narrow side: coarse for each that is kept, fine for
/// the best.
const COARSE: [f64; 2] = [0.25, 0.02];
const FINE: [f64; 2] = [0.01, 0.0005];

/// A step that helped grows, one that did not shrinks.
const GROWS: f64 = 1.1;
const SHRINKS: f64 = 0.5;

/// Ends of a step that are tried at most, so that no seam of the ground can hold it for ever.
const MOST_STEPS: usize = 200;

/// One outline on the ground, with what each of the others weighs against it.
pub struct Seeker<'g, 'a, W: Fn(usize) -> f64> {
    /// The ground.
    pub ground: &'g mut Ground<'a>,
    /// The outline.
    pub item: usize,
    /// What a unit of overlap with another outline weighs.
    pub weight: W,
    /// The strip's length.
    pub length_mm: f64,
    /// How many of the best places are improved.
    kept: usize,
}

impl<'g, 'a, W: Fn(usize) -> f64> Seeker<'g, 'a, W> {
    /// Seeks a place for an outline on a strip of that length.
    pub fn new(ground: &'g mut Ground<'a>, item: usize, weight: W, length_mm: f64) -> Self {
        let kept = if ground.counts()[0] < FEW { 1 } else { KEPT };
        Self { ground, item, weight, length_mm, kept }
    }
}

impl<W: Fn(usize) -> f64> Seeker<'_, '_, W> {
    /// A place that weighs less than `now` does where the outline lies; none when none was found.
    pub fn better(&mut self, now: &Pose, cost: f64, chance: &mut Chance) -> Option<Pose> {
        let mut kept: Vec<(f64, Pose)> = vec![(cost, *now)];
        for _ in 0..ANYWHERE {
            let home = chance.below(self.ground.homes(self.item).len());
            let pose = anywhere(self.ground, self.item, home, self.length_mm, chance);
            self.keep(&mut kept, pose);
        }
        let size = self.ground.shape(self.item, now.home).high - self.ground.shape(self.item, now.home).low;
        for _ in 0..NEARBY {
            let by = Vector::new(chance.within([-0.5, 0.5]) * size.x, chance.within([-0.5, 0.5]) * size.y);
            let pose = self.ground.allowed(self.item, &Pose { at: now.at + by, ..*now }, self.length_mm);
            self.keep(&mut kept, pose);
        }
        for start in &mut kept {
            *start = self.improved(*start, COARSE, chance);
        }
        kept.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (best_cost, best) = self.improved(kept[0], FINE, chance);
        (best_cost < cost).then_some(best)
    }

    fn cost(&mut self, pose: &Pose, below: f64) -> Option<f64> {
        let weight = &self.weight;
        self.ground.cost(self.item, pose, below, |other, overlap| weight(other) * overlap)
    }

    /// Keeps a place when it is among the best, the best first.
    fn keep(&mut self, kept: &mut Vec<(f64, Pose)>, pose: Option<Pose>) {
        let Some(pose) = pose else { return };
        let below = if kept.len() < self.kept { f64::INFINITY } else { kept[kept.len() - 1].0 };
        let Some(cost) = self.cost(&pose, below) else { return };
        let place = kept.partition_point(|(other, _)| *other <= cost);
        kept.insert(place, (cost, pose));
        kept.truncate(self.kept);
    }

    /// Goes down by steps along, across and aslant, both ways; a step that does not help is halved.
    fn improved(
        &mut self,
        (mut cost, mut pose): (f64, Pose),
        [first, last]: [f64; 2],
        chance: &mut Chance,
    ) -> (f64, Pose) {
        let size = self.ground.shape(self.item, pose.home).high - self.ground.shape(self.item, pose.home).low;
        let narrow_mm = size.x.min(size.y);
        let mut step = Vector::<Cloth>::new(first * narrow_mm, first * narrow_mm);
        for _ in 0..MOST_STEPS {
            if cost <= 0.0 || step.x.max(step.y) < last * narrow_mm {
                break;
            }
            let axis: Vector<Cloth> = match chance.below(4) {
                0 => Vector::new(1.0, 0.0),
                1 => Vector::new(0.0, 1.0),
                2 => Vector::new(1.0, 1.0),
                _ => Vector::new(1.0, -1.0),
            };
            let by = Vector::new(axis.x * step.x, axis.y * step.y);
            let mut helped = false;
            for at in [pose.at + by, pose.at - by] {
                let Some(next) = self.next(&pose, at) else { continue };
                if let Some(less) = self.cost(&next, cost) {
                    (cost, pose, helped) = (less, next, true);
                }
            }
            let factor = if helped { GROWS } else { SHRINKS };
            if axis.x != 0.0 {
                step.x *= factor;
            }
            if axis.y != 0.0 {
                step.y *= factor;
            }
        }
        (cost, pose)
    }

    /// The allowed place nearest to `at`, when it is another one.
    fn next(&self, pose: &Pose, at: Point<Cloth>) -> Option<Pose> {
        let next = self.ground.allowed(self.item, &Pose { at, ..*pose }, self.length_mm)?;
        (next.at != pose.at).then_some(next)
    }
}
