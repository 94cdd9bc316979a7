//! A first lay: what is pinned, then large outlines first, each as far to the head of the strip as a few hundred tries find it,
//! or at the edges of what lies there already. Behind all of that every outline has a place.

use super::chance::Chance;
use super::ground::Ground;
use super::task::{Home, Pose};
use crate::geometry::{Cloth, Point};

/// Tries for one outline.
const TRIES: usize = 100;

/// How finely a found place is pushed towards the head, as a share of the way.
const HALVINGS: usize = 8;

/// How far beyond the last laid outline is tried, as a share of the outline's own length.
const BEYOND_SHARE: f64 = 1.02;

/// Outlines that touch are laid so far apart, a few times what single precision rounds off.
pub const CLEAR_MM: f64 = 0.01;

/// How outlines are laid first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begin {
    /// The largest, then the next.
    LargestFirst,
    /// The same, but the largest of all comes last: what is in the middle of the strip then lies between large ones.
    LargestLast,
    /// The largest first, each touching what lies there already: without chance, where chance found no room.
    Touching,
}

impl Begin {
    /// Seeds take turns, so that threads that search side by side begin otherwise.
    pub fn of(seed: u64) -> Self {
        if seed.is_multiple_of(2) { Self::LargestLast } else { Self::LargestFirst }
    }
}

/// Lays every outline on a strip that is long enough for all; none when one has no place at all.
pub fn greedy(ground: &mut Ground<'_>, (begin, longest_mm): (Begin, f64), chance: &mut Chance) -> Option<Vec<Pose>> {
    let items = ground.counts()[0];
    let mut order: Vec<(f64, usize)> = (0..items).map(|item| (bulk_mm2(ground, item), item)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0));
    if begin == Begin::LargestLast {
        order.rotate_left(1.min(items));
    }
    order.sort_by_key(|(_, item)| !ground.homes(*item).iter().all(Home::is_pinned));
    let mut poses: Vec<Option<Pose>> = vec![None; items];
    let mut used_mm: f64 = 0.0;
    for (_, item) in order {
        let by_chance = match begin {
            Begin::Touching => None,
            _ => place(ground, item, [used_mm, longest_mm], chance),
        };
        let (end_mm, pose) = by_chance.or_else(|| touching(ground, item, longest_mm))?;
        ground.lay(item, &pose);
        used_mm = used_mm.max(end_mm);
        poses[item] = Some(pose);
    }
    poses.into_iter().collect()
}

/// Box and area together: bulky outlines and long ones come first.
fn bulk_mm2(ground: &Ground<'_>, item: usize) -> f64 {
    let size = ground.shape(item, 0).high - ground.shape(item, 0).low;
    size.x * size.y + f64::from(ground.shape(item, 0).polygon.area())
}

/// The free place whose far end is nearest to the head of the strip, and that end.
fn place(
    ground: &mut Ground<'_>,
    item: usize,
    [used_mm, longest_mm]: [f64; 2],
    chance: &mut Chance,
) -> Option<(f64, Pose)> {
    let homes = ground.homes(item).len();
    let mut best: Option<(f64, Pose)> = None;
    for attempt in 0..2 * TRIES {
        if attempt >= TRIES && best.is_some() {
            break;
        }
        let home = chance.below(homes);
        let (low, high) = (ground.shape(item, home).low, ground.shape(item, home).high);
        let reach_mm = match attempt < TRIES {
            true => (used_mm + BEYOND_SHARE * (high.x - low.x)).min(longest_mm),
            false => longest_mm,
        };
        // Nothing farther than the best yet is worth a try.
        let reach_mm = best.map_or(reach_mm, |(end_mm, _)| reach_mm.min(end_mm));
        let Some(pose) = anywhere(ground, item, home, reach_mm, chance) else { continue };
        if !ground.is_free(item, &pose) {
            continue;
        }
        let pose = pushed(ground, item, pose, longest_mm);
        let end_mm = pose.at.x + high.x;
        if best.is_none_or(|(best_mm, _)| end_mm < best_mm) {
            best = Some((end_mm, pose));
        }
    }
    best
}

/// The free place whose far end is nearest to the head, of those at the edges of the strip and of what lies on it, and that
/// end. The last of them is behind everything: there is room on a strip that is long enough for all.
fn touching(ground: &mut Ground<'_>, item: usize, longest_mm: f64) -> Option<(f64, Pose)> {
    let boxes: Vec<[Point<Cloth>; 2]> = ground.boxes().collect();
    let mut best: Option<(f64, Pose)> = None;
    for home in 0..ground.homes(item).len() {
        let Some(pose) = touching_in(ground, (item, home), &boxes, longest_mm) else { continue };
        let pose = pushed(ground, item, pose, longest_mm);
        let end_mm = pose.at.x + ground.shape(item, home).high.x;
        if best.is_none_or(|(best_mm, _)| end_mm < best_mm) {
            best = Some((end_mm, pose));
        }
    }
    best
}

/// The first such place in one home, from the head on.
fn touching_in(
    ground: &mut Ground<'_>,
    (item, home): (usize, usize),
    boxes: &[[Point<Cloth>; 2]],
    longest_mm: f64,
) -> Option<Pose> {
    let [low, high] = ground.shape(item, home).kept_off();
    let own = &ground.homes(item)[home];
    let head_mm = ground.along_mm(item, home, longest_mm)[0];
    // The step that is nearest to half a step farther on is no nearer to the head.
    let half_step_mm = own.steps.and_then(|steps| steps.along_mm).unwrap_or(0.0) / 2.0;
    let behind = boxes.iter().map(|[_, far]| far.x + CLEAR_MM - low.x);
    let mut along_mm: Vec<f64> = behind.chain([head_mm]).map(|mm| mm + half_step_mm).collect();
    along_mm.sort_by(f64::total_cmp);
    for x in along_mm {
        let beside = boxes.iter().filter(|[near, far]| near.x < x + high.x && far.x > x + low.x);
        let sides = beside.flat_map(|[near, far]| [far.y + CLEAR_MM - low.y, near.y - CLEAR_MM - high.y]);
        let mut across_mm: Vec<f64> =
            sides.filter(|y| (own.across_mm[0]..=own.across_mm[1]).contains(y)).chain(own.across_mm).collect();
        across_mm.sort_by(f64::total_cmp);
        for y in across_mm {
            let Some(pose) = ground.allowed(item, &Pose { home, at: Point::new(x, y) }, longest_mm) else { continue };
            if ground.is_free(item, &pose) {
                return Some(pose);
            }
        }
    }
    None
}

/// A place of a home by chance, on a strip of that length; none when it does not fit.
pub fn anywhere(ground: &Ground<'_>, item: usize, home: usize, length_mm: f64, chance: &mut Chance) -> Option<Pose> {
    let along = ground.along_mm(item, home, length_mm);
    let across = ground.homes(item)[home].across_mm;
    let at = Point::<Cloth>::new(chance.within(along), chance.within(across));
    ground.allowed(item, &Pose { home, at }, length_mm)
}

/// A free place pushed to the head as far as halving the way finds it free.
fn pushed(ground: &mut Ground<'_>, item: usize, mut pose: Pose, length_mm: f64) -> Pose {
    let mut way_mm = pose.at.x - ground.along_mm(item, pose.home, length_mm)[0];
    for _ in 0..HALVINGS {
        let nearer = Pose { at: Point::new(pose.at.x - way_mm, pose.at.y), ..pose };
        match ground.allowed(item, &nearer, length_mm) {
            Some(nearer) if nearer.at.x < pose.at.x && ground.is_free(item, &nearer) => pose = nearer,
            _ => way_mm /= 2.0,
        }
    }
    pose
}
