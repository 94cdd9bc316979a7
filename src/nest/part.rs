//! Taking overlapping outlines apart: guided local search.
//!
//! Every pair of outlines has a weight. While a pair overlaps, its weight grows, that of the worst pair most; else it
//! fades back. Outlines that overlap are moved one after the other to where the weighed overlap is least. What holds
//! on stubbornly so becomes dear, and something else gives way. (After arXiv:2509.13329, from the paper's idea.)

use super::Watch;
use super::chance::Chance;
use super::ground::Ground;
use super::seek::Seeker;
use super::task::Pose;

/// A weight grows by this factor at least and at most while its pair overlaps, and fades by the last when not.
const GROWS: [f64; 2] = [1.2, 2.0];
const FADES: f64 = 0.95;

/// Less overlap than this share of the least yet counts as a gain.
const GAIN_SHARE: f64 = 0.98;

/// How long it goes on without a gain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patience {
    /// Passes without a gain until the best is taken up again.
    pub passes: usize,
    /// How often that is done without a gain.
    pub strikes: usize,
}

/// How a search for a lay without overlap ended.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// No two overlap.
    Apart(Vec<Pose>),
    /// The places with the least overlap that were found, and how much it was.
    Stuck(Vec<Pose>, f64),
    /// Time is up.
    Ended,
}

/// Outlines that lie on a strip of a given length and may overlap.
pub struct Parting<'g, 'a> {
    ground: &'g mut Ground<'a>,
    length_mm: f64,
    poses: Vec<Pose>,
    /// Overlap and weight of each outline (row) with each thing (column).
    overlap: Vec<f64>,
    weight: Vec<f64>,
    columns: usize,
}

impl<'g, 'a> Parting<'g, 'a> {
    /// Outlines laid at these places.
    pub fn new(ground: &'g mut Ground<'a>, poses: Vec<Pose>, length_mm: f64) -> Self {
        let [rows, columns] = ground.counts();
        let mut parting = Self {
            ground,
            length_mm,
            poses: Vec::new(),
            overlap: vec![0.0; rows * columns],
            weight: vec![1.0; rows * columns],
            columns,
        };
        parting.lay_all(poses);
        parting
    }

    /// Moves outlines until none overlap, patience is out, or time is up.
    pub fn run(mut self, patience: Patience, chance: &mut Chance, watch: &mut Watch<'_>) -> Outcome {
        let (mut least, mut best) = (self.total(), self.poses.clone());
        let mut strikes = 0;
        while strikes < patience.strikes {
            let (before, mut idle) = (least, 0);
            while idle < patience.passes {
                if least <= 0.0 {
                    return Outcome::Apart(best);
                }
                if !self.pass(chance, watch) {
                    return Outcome::Ended;
                }
                let total = self.total();
                idle = if total < GAIN_SHARE * least { 0 } else { idle + 1 };
                if total < least {
                    (least, best) = (total, self.poses.clone());
                }
                self.weigh();
            }
            strikes = if least < GAIN_SHARE * before { 0 } else { strikes + 1 };
            self.lay_all(best.clone());
        }
        Outcome::Stuck(best, least)
    }

    fn lay_all(&mut self, poses: Vec<Pose>) {
        for (item, pose) in poses.iter().enumerate() {
            if self.poses.get(item) != Some(pose) {
                self.ground.lay(item, pose);
            }
        }
        self.poses = poses;
        self.overlap.fill(0.0);
        for item in 0..self.poses.len() {
            self.measure(item);
        }
    }

    /// Moves each outline that overlaps once; false when time is up.
    fn pass(&mut self, chance: &mut Chance, watch: &mut Watch<'_>) -> bool {
        let mut list: Vec<usize> = (0..self.poses.len()).filter(|item| self.cost(*item) > 0.0).collect();
        chance.shuffle(&mut list);
        for item in list {
            let cost = self.cost(item);
            if cost <= 0.0 {
                continue;
            }
            if watch.is_over() {
                return false;
            }
            let row = item * self.columns;
            let weights = &self.weight[row..row + self.columns];
            let weight = |other: usize| weights[other];
            let mut seeker = Seeker::new(&mut *self.ground, item, weight, self.length_mm);
            if let Some(pose) = seeker.better(&self.poses[item], cost, chance) {
                self.ground.lay(item, &pose);
                self.poses[item] = pose;
                self.measure(item);
            }
        }
        true
    }

    /// The weighed overlap of an outline.
    fn cost(&self, item: usize) -> f64 {
        let row = item * self.columns..(item + 1) * self.columns;
        self.overlap[row.clone()].iter().zip(&self.weight[row]).map(|(overlap, weight)| overlap * weight).sum()
    }

    /// The whole overlap, each pair once.
    fn total(&self) -> f64 {
        let rows = self.poses.len();
        let with_later = |row: usize| self.overlap[row * self.columns..][row + 1..self.columns].iter().sum::<f64>();
        (0..rows).map(with_later).sum()
    }

    /// Measures an outline's overlaps anew.
    fn measure(&mut self, item: usize) {
        for other in 0..self.columns {
            self.set(item, other, 0.0);
        }
        for (other, overlap) in self.ground.overlaps(item, &self.poses[item]) {
            self.set(item, other, overlap);
        }
    }

    fn set(&mut self, item: usize, other: usize, overlap: f64) {
        self.overlap[item * self.columns + other] = overlap;
        if other < self.poses.len() {
            self.overlap[other * self.columns + item] = overlap;
        }
    }

    fn weigh(&mut self) {
        let most = self.overlap.iter().fold(0.0, |a: f64, b| a.max(*b));
        for (weight, overlap) in self.weight.iter_mut().zip(&self.overlap) {
            let factor = if *overlap > 0.0 { GROWS[0] + (GROWS[1] - GROWS[0]) * overlap / most } else { FADES };
            *weight = (*weight * factor).max(1.0);
        }
    }
}
