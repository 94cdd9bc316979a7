//! Shorter and shorter: the strip is cut off a little, what overlaps then is taken apart, and so on.

use super::chance::Chance;
use super::ground::Ground;
use super::part::{Outcome, Parting, Patience};
use super::shape::Shape;
use super::start::{Begin, CLEAR_MM, greedy};
use super::task::{Pose, Task};
use super::{Nesting, Pace, Watch};
use crate::geometry::Vector;

/// The strip is first made shorter by the first of these shares, then by less and less down to the last.
const EXPLORED: [f64; 2] = [0.02, 0.001];

/// The share of the time after which nothing new is looked for and the lay is only pressed together.
pub const EXPLORE_UNTIL_SHARE: f64 = 0.8;

/// First and last share by which it is pressed.
const PRESSED: [f64; 2] = [0.0005, 0.00001];

/// Patience with large steps, with the smallest step, and when pressing; for a task of [`MANY`] outlines. A few outlines
/// soon show whether they come apart, and rather begin anew.
const BOLD: Patience = Patience { passes: 60, strikes: 1 };
const PATIENT: Patience = Patience { passes: 200, strikes: 3 };
const PRESSING: Patience = Patience { passes: 100, strikes: 5 };
const MANY: usize = 40;
const FEWEST_PASSES: usize = 10;

/// The strip of a first lay is longer than all outlines one behind the other, by this factor.
const ROOM: f64 = 1.01;

/// Failed lays that are kept to go on from.
const POOL: usize = 20;

/// The shapes of every kind.
pub fn shapes(task: &Task) -> Vec<Vec<Shape>> {
    task.kinds.iter().map(|kind| kind.form.shapes(&kind.homes)).collect()
}

/// Searches with one seed, on from a lay where there is one.
pub fn search(
    task: &Task,
    shapes: &[Vec<Shape>],
    (seed, from): (u64, Option<&Nesting>),
    pace: &dyn Pace,
) -> Option<Nesting> {
    let mut chance = Chance::of(seed);
    let best = match from {
        Some(from) => from.clone(),
        None => {
            let longest_mm = longest_mm(task, shapes);
            let mut begun = |begin: Begin| {
                let mut ground = Ground::new(task, shapes, longest_mm)?;
                let poses = greedy(&mut ground, (begin, longest_mm), &mut chance)?;
                Some(Nesting { length_mm: used_mm(&ground, &poses), poses })
            };
            // Chance may leave gaps until the last outline has no room.
            begun(Begin::of(seed)).or_else(|| begun(Begin::Touching))?
        }
    };
    let ground = Ground::new(task, shapes, best.length_mm)?;
    pace.found(best.length_mm);
    let watch = Watch { pace, moves: 0, until_share: 1.0 };
    let mut shrinking = Shrinking { ground, best, chance, watch };
    shrinking.explore();
    shrinking.press();
    Some(shrinking.best)
}

/// Every outline behind the other, beyond all obstacles.
fn longest_mm(task: &Task, shapes: &[Vec<Shape>]) -> f64 {
    let longest = |kind: &usize| shapes[*kind].iter().map(|s| s.high.x - s.low.x).fold(0.0, f64::max);
    let kept_off_mm = |shape: &Shape| {
        let [low, high] = shape.kept_off();
        high.x - low.x + 2.0 * CLEAR_MM
    };
    let most = |kind: &usize| shapes[*kind].iter().map(kept_off_mm).fold(0.0, f64::max);
    let all_mm = (ROOM * task.items.iter().map(longest).sum::<f64>()).max(task.items.iter().map(most).sum());
    let obstacles_mm = task.obstacles.iter().map(|o| o.bounds().1.x).fold(0.0, f64::max);
    let homes = |kind: usize| task.kinds[kind].homes.iter().zip(&shapes[kind]);
    // Where a print must meet, every outline may lie a step farther on, and the first a step from the cut end.
    let step = |kind: &usize| homes(*kind).filter_map(|(home, _)| home.steps?.along_mm).fold(0.0, f64::max);
    let steps_mm = task.items.iter().map(step).sum::<f64>() + task.items.iter().map(step).fold(0.0, f64::max);
    let pinned = |kind: &usize| {
        let ends = homes(*kind).filter_map(|(home, shape)| Some(home.along_mm?[1] + shape.high.x));
        ends.fold(0.0, f64::max)
    };
    all_mm + obstacles_mm + steps_mm + task.items.iter().map(pinned).fold(0.0, f64::max)
}

/// Where the last outline ends.
fn used_mm(ground: &Ground<'_>, poses: &[Pose]) -> f64 {
    let end = |(item, pose): (usize, &Pose)| pose.at.x + ground.shape(item, pose.home).high.x;
    poses.iter().enumerate().map(end).fold(0.0, f64::max)
}

/// A search under way.
struct Shrinking<'a, 'p> {
    ground: Ground<'a>,
    best: Nesting,
    chance: Chance,
    watch: Watch<'p>,
}

impl Shrinking<'_, '_> {
    /// Shortens by bold steps while they succeed, then by small ones, going on from failed lays with two large outlines
    /// exchanged.
    fn explore(&mut self) {
        self.watch.until_share = EXPLORE_UNTIL_SHARE;
        let mut share = EXPLORED[0];
        let mut pool: Vec<(f64, Vec<Pose>)> = Vec::new();
        loop {
            let length_mm = self.best.length_mm * (1.0 - share);
            let small = share <= EXPLORED[1];
            let start = match pool.is_empty() {
                true => self.shortened(&self.best.poses.clone(), self.best.length_mm, length_mm),
                false => self.exchanged(&pool, length_mm),
            };
            // Where outlines lie in steps, or are pinned, a bold step may be too much and a small one not.
            let Some(start) = start else {
                if small {
                    return;
                }
                share = (share / 2.0).max(EXPLORED[1]);
                continue;
            };
            match self.part(start, length_mm, if small { PATIENT } else { BOLD }) {
                Outcome::Apart(poses) => {
                    self.keep(poses);
                    pool.clear();
                }
                Outcome::Stuck(poses, overlap) if small => {
                    let place = pool.partition_point(|(other, _)| *other < overlap);
                    pool.insert(place, (overlap, poses));
                    pool.truncate(POOL);
                }
                Outcome::Stuck(..) => share = (share / 2.0).max(EXPLORED[1]),
                Outcome::Ended => return,
            }
        }
    }

    /// Presses the best lay together by less and less.
    fn press(&mut self) {
        self.watch.until_share = 1.0;
        loop {
            let gone_share = self.watch.gone_share();
            let late = ((gone_share - EXPLORE_UNTIL_SHARE) / (1.0 - EXPLORE_UNTIL_SHARE)).clamp(0.0, 1.0);
            let share = PRESSED[0] * (PRESSED[1] / PRESSED[0]).powf(late);
            let length_mm = self.best.length_mm * (1.0 - share);
            let Some(start) = self.shortened(&self.best.poses.clone(), self.best.length_mm, length_mm) else { return };
            match self.part(start, length_mm, PRESSING) {
                Outcome::Apart(poses) => self.keep(poses),
                Outcome::Stuck(..) => {}
                Outcome::Ended => return,
            }
        }
    }

    fn part(&mut self, poses: Vec<Pose>, length_mm: f64, patience: Patience) -> Outcome {
        let passes = (patience.passes * poses.len() / MANY).clamp(FEWEST_PASSES, patience.passes);
        let strikes = if poses.len() < MANY { 1 } else { patience.strikes };
        let patience = Patience { passes, strikes };
        // Where outlines lie loose nothing is moved, and many shortenings take as long as a move.
        if self.watch.is_over() {
            return Outcome::Ended;
        }
        Parting::new(&mut self.ground, poses, length_mm).run(patience, &mut self.chance, &mut self.watch)
    }

    fn keep(&mut self, poses: Vec<Pose>) {
        self.best = Nesting { length_mm: used_mm(&self.ground, &poses), poses };
        self.watch.pace.found(self.best.length_mm);
    }

    /// A lay on a shorter strip: what lies beyond a line across, drawn by chance, moves up. None when an outline does
    /// not fit on it.
    fn shortened(&mut self, poses: &[Pose], from_mm: f64, to_mm: f64) -> Option<Vec<Pose>> {
        let line_mm = self.chance.within([0.0, from_mm]);
        let moved = |(item, pose): (usize, &Pose)| {
            let shape = self.ground.shape(item, pose.home);
            let middle_mm = pose.at.x + (shape.low.x + shape.high.x) / 2.0;
            let by = if middle_mm > line_mm { to_mm - from_mm } else { 0.0 };
            self.ground.allowed(item, &Pose { at: pose.at + Vector::new(by, 0.0), ..*pose }, to_mm)
        };
        poses.iter().enumerate().map(moved).collect()
    }

    /// One of the failed lays, rather one with little overlap, with a large outline and any other exchanged, and either
    /// turned as chance will.
    fn exchanged(&mut self, pool: &[(f64, Vec<Pose>)], length_mm: f64) -> Option<Vec<Pose>> {
        let draw = self.chance.share() * self.chance.share();
        let mut poses = pool[(draw * pool.len() as f64) as usize].1.clone();
        let large = self.large();
        let a = large[self.chance.below(large.len())];
        let b = (a + 1 + self.chance.below(poses.len().max(2) - 1)) % poses.len();
        let middle = |item: usize, pose: &Pose| {
            let shape = self.ground.shape(item, pose.home);
            pose.at + (shape.low + shape.high) / 2.0
        };
        let to = [middle(b, &poses[b]), middle(a, &poses[a])];
        for (item, to) in [(a, to[0]), (b, to[1])] {
            let home = self.chance.below(self.ground.homes(item).len());
            let shape = self.ground.shape(item, home);
            let pose = Pose { home, at: to - (shape.low + shape.high) / 2.0 };
            poses[item] = self.ground.allowed(item, &pose, length_mm)?;
        }
        let fit = |(item, pose): (usize, &Pose)| self.ground.allowed(item, pose, length_mm);
        poses.iter().enumerate().map(fit).collect()
    }

    /// The larger outlines: those that together make up half of the area.
    fn large(&self) -> Vec<usize> {
        let area = |item: usize| f64::from(self.ground.shape(item, 0).polygon.area());
        let mut order: Vec<usize> = (0..self.best.poses.len()).collect();
        order.sort_by(|a, b| area(*b).total_cmp(&area(*a)));
        let half = order.iter().map(|item| area(*item)).sum::<f64>() / 2.0;
        let mut sum = 0.0;
        let mut taken = |item: &usize| {
            let before = sum;
            sum += area(*item);
            before < half
        };
        order.into_iter().take_while(|item| taken(item)).collect()
    }
}
