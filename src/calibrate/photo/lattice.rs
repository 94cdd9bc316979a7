//! Spots that stand in rows and columns, found by stepping from neighbour to neighbour.
//!
//! Seen slantwise and through a lens, the step from one spot to the next changes slowly; each step is therefore expected
//! to be like the last one in the same direction.

use std::collections::{BTreeMap, VecDeque};

use super::spots::Spot;
use crate::geometry::{Pixel, Point, Vector};

/// Spots with their column and row, from 0; columns to rows turn anticlockwise as the photo is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Lattice {
    /// The spots.
    pub spots: BTreeMap<[i32; 2], Spot>,
}

/// A neighbour is met within this share of the step expected.
const NEAR_STEP: f64 = 0.28;

/// Neighbours are alike in size to this factor.
const ALIKE: f64 = 1.8;

/// And in contrast to this one: light on a card comes back more than on the table beside it.
const ALIKE_IN_CONTRAST: f64 = 4.0;

/// Two steps are those of a lattice when the sine between them is at least this.
const LEAST_SINE: f64 = 0.5;

/// Neighbours looked at for the first two steps.
const CANDIDATES: usize = 8;

/// Fewer are no lattice.
const FEWEST: usize = 6;

/// One of the ways in which a lattice can lie: a place and the lattice's size to the place turned or mirrored.
type Turn = fn([i32; 2], [i32; 2]) -> [i32; 2];

/// A place in a lattice, and a pixel of the photo.
pub type Laid = Vec<([usize; 2], Point<Pixel>)>;

/// The lattices among some spots, the largest first.
pub fn lattices(spots: &[Spot]) -> Vec<Lattice> {
    let mut free: Vec<bool> = vec![true; spots.len()];
    let mut found = Vec::new();
    for seed in 0..spots.len() {
        if !free[seed] {
            continue;
        }
        // Diagonals make a lattice of as many spots; the shorter steps come first.
        let grown = first_steps(spots, &free, seed).into_iter().map(|steps| grow(spots, &free, seed, steps));
        let Some((_, best)) = grown.enumerate().max_by_key(|(i, spots)| (spots.len(), std::cmp::Reverse(*i))) else {
            continue;
        };
        if best.len() >= FEWEST {
            best.values().for_each(|i| free[*i] = false);
            found.push(Lattice::from_zero(best.into_iter().map(|(at, i)| (at, spots[i])).collect()));
        }
    }
    found.sort_by_key(|lattice| std::cmp::Reverse(lattice.spots.len()));
    found
}

fn alike(a: &Spot, b: &Spot) -> bool {
    let like = |a: f64, b: f64, factor: f64| a < factor * b && b < factor * a;
    like(a.radius_px, b.radius_px, ALIKE) && like(a.contrast, b.contrast, ALIKE_IN_CONTRAST)
}

/// Pairs of steps that a lattice through the seed may have: to its nearest neighbour, and to one aside of it.
fn first_steps(spots: &[Spot], free: &[bool], seed: usize) -> Vec<[Vector<Pixel>; 2]> {
    let from = &spots[seed];
    let mut near: Vec<Vector<Pixel>> = (0..spots.len())
        .filter(|i| *i != seed && free[*i] && alike(from, &spots[*i]))
        .map(|i| spots[i].at_px - from.at_px)
        .collect();
    near.sort_by(|a, b| a.square_length().total_cmp(&b.square_length()));
    near.truncate(CANDIDATES);
    let Some(first) = near.first().copied() else { return Vec::new() };
    let aside = |step: &Vector<Pixel>| {
        let sine = first.cross(*step) / (first.length() * step.length());
        // The photo's y runs down, so that anticlockwise as seen is a negative cross product.
        if sine < -LEAST_SINE {
            Some([first, *step])
        } else if sine > LEAST_SINE {
            Some([*step, first])
        } else {
            None
        }
    };
    near.iter().filter_map(aside).collect()
}

/// Every spot that is reached from the seed by steps.
fn grow(spots: &[Spot], free: &[bool], seed: usize, steps: [Vector<Pixel>; 2]) -> BTreeMap<[i32; 2], usize> {
    let mut placed = BTreeMap::from([([0, 0], seed)]);
    let mut taken = vec![false; spots.len()];
    taken[seed] = true;
    let mut queue = VecDeque::from([([0, 0], seed, steps)]);
    while let Some((at, i, steps)) = queue.pop_front() {
        for (axis, sign) in [(0, 1), (0, -1), (1, 1), (1, -1)] {
            let mut to = at;
            to[axis] += sign;
            if placed.contains_key(&to) {
                continue;
            }
            let step = steps[axis] * f64::from(sign);
            let expected = spots[i].at_px + step;
            let off = |j: &usize| (spots[*j].at_px - expected).length();
            let likely = (0..spots.len()).filter(|j| free[*j] && !taken[*j] && alike(&spots[i], &spots[*j]));
            let Some(next) = likely.min_by(|a, b| off(a).total_cmp(&off(b))) else { continue };
            if off(&next) > NEAR_STEP * step.length() {
                continue;
            }
            placed.insert(to, next);
            taken[next] = true;
            let mut onward = steps;
            onward[axis] = (spots[next].at_px - spots[i].at_px) * f64::from(sign);
            queue.push_back((to, next, onward));
        }
    }
    placed
}

impl Lattice {
    /// The same counted from 0 in both directions.
    fn from_zero(spots: BTreeMap<[i32; 2], Spot>) -> Self {
        let low = |axis: usize| spots.keys().map(|at| at[axis]).min().unwrap_or(0);
        let (x, y) = (low(0), low(1));
        Self { spots: spots.into_iter().map(|([i, j], spot)| ([i - x, j - y], spot)).collect() }
    }

    /// Columns and rows.
    fn counts(&self) -> [i32; 2] {
        [0, 1].map(|axis| 1 + self.spots.keys().map(|at| at[axis]).max().unwrap_or(0))
    }

    /// The spots as places of a pattern of so many columns and rows whose rings stand where they are told; none when it
    /// can't be laid so. A pattern that may be seen mirrored is also tried so.
    pub fn laid_as(&self, pattern: [usize; 2], mirrored_too: bool, rings: &[[usize; 2]]) -> Option<Laid> {
        let [w, h] = self.counts();
        let turns: [Turn; 8] = [
            |[i, j], _| [i, j],
            |[i, j], [_, h]| [h - 1 - j, i],
            |[i, j], [w, h]| [w - 1 - i, h - 1 - j],
            |[i, j], [w, _]| [j, w - 1 - i],
            |[i, j], [_, h]| [i, h - 1 - j],
            |[i, j], _| [j, i],
            |[i, j], [w, _]| [w - 1 - i, j],
            |[i, j], [w, h]| [h - 1 - j, w - 1 - i],
        ];
        let tried = if mirrored_too { 8 } else { 4 };
        turns[..tried].iter().find_map(|turn| {
            let laid: Vec<([i32; 2], &Spot)> = self.spots.iter().map(|(at, spot)| (turn(*at, [w, h]), spot)).collect();
            let fits = laid.iter().all(|([i, j], _)| (*i as usize) < pattern[0] && (*j as usize) < pattern[1]);
            let seen: Vec<[usize; 2]> =
                laid.iter().filter(|(_, spot)| spot.ring).map(|([i, j], _)| [*i as usize, *j as usize]).collect();
            let told = seen.len() == rings.len() && rings.iter().all(|ring| seen.contains(ring));
            (fits && told).then(|| laid.iter().map(|([i, j], spot)| ([*i as usize, *j as usize], spot.at_px)).collect())
        })
    }
}
