//! Which distance to take next: the one that lowers the expected error most.
//!
//! A distance with derivatives j and noise s turns the covariance C into C - C j j' C / (s^2 + j' C j) before it is even
//! taken, because the value itself doesn't enter. So all distances among the marks are compared, the best is added, and so on
//! (sequential design for least variance: Fedorov, *Theory of Optimal Experiments* 1972, chapter 3; in surveying the
//! second-order design of a network).

use std::collections::BTreeSet;

use nalgebra::SMatrix;

use super::adjust::adjust;
use super::hypotheses::LensModel;
use super::network::Network;
use super::readings::{Hang, LensBelief, USUAL_STAND_SD_MM};
use super::start::first_map;
use super::{Grid, Readings};
use crate::table::bound::{Covariance, lattice};
use crate::table::sight::{Frame, MAP_UNKNOWNS, Sighted, Unknowns, sight};
use crate::table::{KeptTable, Kind, MarkName, Reading, Spread, Table};

/// A sixteenth of an inch is good cutting (common practice, no source); below it no further reading is asked for.
pub const GOOD_CUTTING_MM: f64 = 1.6;

/// A distance worth taking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// One mark.
    pub from: MarkName,
    /// The other.
    pub to: MarkName,
    /// The largest 95 % bound to expect once it and all those before it in the list are taken.
    pub bound_mm: f64,
}

type Column = SMatrix<f64, MAP_UNKNOWNS, 1>;

/// The next distances worth taking on a table that is solved already, best first.
pub fn next(readings: &Readings, kept: &KeptTable, count: usize) -> Vec<Advice> {
    let Some(fit) = &kept.fit else { return Vec::new() };
    let sigma_mm = readings.noise_mm() * fit.noise;
    let taken = readings.readings.iter().filter_map(|r| match r.kind {
        Kind::Distance { from, to, .. } => Some([from.min(to), from.max(to)]),
        Kind::Place { .. } => None,
    });
    let asked = Asked { grid: &readings.grid, taken: taken.collect(), sigma_mm, count };
    greedy(&kept.table, &fit.spread, asked).unwrap_or_default()
}

/// The distances worth taking before anything is measured: six among the corner marks, then the best `more` to add to them.
///
/// Worked out for a level table of usual size; where a table is tilted the order hardly changes.
pub fn plan(picture_px: [u32; 2], grid: &Grid, sigma_mm: f64, more: usize) -> Vec<Advice> {
    plan_of(picture_px, grid, sigma_mm, more).unwrap_or_default()
}

fn plan_of(picture_px: [u32; 2], grid: &Grid, sigma_mm: f64, more: usize) -> Option<Vec<Advice>> {
    const USUAL_WIDTH_MM: f64 = 1500.0;
    let scale_mm = USUAL_WIDTH_MM / f64::from(picture_px[0]);
    let corners = grid.corners();
    let pairs = (0..corners.len()).flat_map(|i| (i + 1..corners.len()).map(move |j| (i, j)));
    let six: Vec<Reading> = pairs
        .filter_map(|(i, j)| {
            let (from, to) = (corners[i], corners[j]);
            let distance_mm = (grid.px(from)? - grid.px(to)?).length() * scale_mm;
            Some(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
        })
        .collect();
    let readings = Readings {
        picture_px,
        hang: Hang::default(),
        grid: grid.clone(),
        sigma_mm,
        tape_class: None,
        lens: LensBelief::default(),
        stand: None,
        stand_sd_mm: USUAL_STAND_SD_MM,
        readings: six,
    };
    let network = Network::of(&readings);
    let start = first_map(&readings, &network)?;
    let weights = vec![1.0; network.observations.len()];
    let fit = adjust(&network, &weights, start, &LensModel::Full.free(&network))?;
    let frame = Frame::of(picture_px);
    let table = Table {
        picture_px,
        homography: frame.homography(&fit.unknowns)?,
        lens: frame.lens(&fit.unknowns),
        stand: None,
    };
    let covariance = fit.covariance.fixed_view::<MAP_UNKNOWNS, MAP_UNKNOWNS>(0, 0).into();
    let spread = Spread { covariance, tape_class: None };
    let bound_mm = spread.over_lit_area(&table)?.largest_mm;
    let mut plan: Vec<Advice> = readings
        .readings
        .iter()
        .filter_map(|r| match r.kind {
            Kind::Distance { from, to, .. } => Some(Advice { from, to, bound_mm }),
            Kind::Place { .. } => None,
        })
        .collect();
    let taken = plan.iter().map(|a| [a.from.min(a.to), a.from.max(a.to)]).collect();
    plan.extend(greedy(&table, &spread, Asked { grid, taken, sigma_mm, count: more })?);
    Some(plan)
}

/// Which distances may be advised, how well they are read, and how many to list.
struct Asked<'a> {
    grid: &'a Grid,
    /// Distances that were taken already, the smaller mark first. Taking one again gains as much on paper, but another
    /// one also checks the readings.
    taken: BTreeSet<[MarkName; 2]>,
    sigma_mm: f64,
    count: usize,
}

fn greedy(table: &Table, spread: &Spread, asked: Asked<'_>) -> Option<Vec<Advice>> {
    let frame = Frame::of(table.picture_px);
    let unknowns = frame.unknowns(table)?;
    let mut candidates = candidates(asked.grid, &frame, &unknowns)?;
    candidates.retain(|(marks, _)| !asked.taken.contains(marks));
    let variance = asked.sigma_mm * asked.sigma_mm;
    let seen = seen(table, &frame, &unknowns)?;
    let mut spread = spread.clone();
    let mut advice = Vec::new();
    for _ in 0..asked.count.min(candidates.len()) {
        let c = &spread.covariance;
        let gain = |by: &Column| {
            let carried = c * by;
            carried.dot(&(seen * carried)) / (variance + by.dot(&carried))
        };
        let gains: Vec<f64> = candidates.iter().map(|(_, by)| gain(by)).collect();
        let best = (0..gains.len()).max_by(|a, b| gains[*a].total_cmp(&gains[*b]))?;
        let (marks, by) = candidates.swap_remove(best);
        let carried = c * by;
        spread.covariance -= carried * carried.transpose() / (variance + by.dot(&carried));
        let bound_mm = spread.over_lit_area(table)?.largest_mm;
        advice.push(Advice { from: marks[0], to: marks[1], bound_mm });
    }
    Some(advice)
}

/// Every distance among the marks with its derivatives.
fn candidates(grid: &Grid, frame: &Frame, unknowns: &Unknowns) -> Option<Vec<([MarkName; 2], Column)>> {
    let sights: Vec<(MarkName, Sighted)> =
        grid.marks.iter().map(|(m, px)| Some((*m, sight(unknowns, frame.q(*px))?))).collect::<Option<_>>()?;
    let mut candidates = Vec::new();
    for (i, (from, a)) in sights.iter().enumerate() {
        for (to, b) in &sights[i + 1..] {
            let across = [b.mm[0] - a.mm[0], b.mm[1] - a.mm[1]];
            let length = across[0].hypot(across[1]);
            let by = ((b.by[0] - a.by[0]) * across[0] + (b.by[1] - a.by[1]) * across[1]) / length;
            candidates.push(([*from, *to], by.fixed_rows::<MAP_UNKNOWNS>(0).into()));
        }
    }
    Some(candidates)
}

/// Sum over the lit area of the derivatives' squares: its product with a covariance is the sum of variances.
fn seen(table: &Table, frame: &Frame, unknowns: &Unknowns) -> Option<Covariance> {
    let mut seen = Covariance::zeros();
    for at in lattice(table.picture_px) {
        for by in sight(unknowns, frame.q(at))?.by {
            let by: Column = by.fixed_rows::<MAP_UNKNOWNS>(0).into();
            seen += by * by.transpose();
        }
    }
    Some(seen)
}

/// The largest 95 % bound after each reading, in the order in which they were taken: pairs of a count of readings and a
/// bound, from the first count that makes a table.
pub fn so_far(readings: &Readings) -> Vec<(usize, f64)> {
    let bound = |count: usize| {
        let taken = Readings { readings: readings.readings[..count].to_vec(), ..readings.clone() };
        let fit = super::calibrate(&taken).ok()?.value.fit?;
        Some((count, fit.bound95.largest_mm))
    };
    (1..=readings.readings.len()).filter_map(bound).collect()
}
