//! Which distance to take next: the one that lowers the expected error most.
//!
//! A distance with derivatives j and noise s turns the covariance C into C - C j j' C / (s^2 + j' C j) before it is even
//! taken, because the value itself doesn't enter. So all distances among the marks are compared, the best is added, and so on
//! (sequential design for least variance: Fedorov, *Theory of Optimal Experiments* 1972, chapter 3; in surveying the
//! second-order design of a network).

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
    greedy(&kept.table, &readings.grid, &fit.spread, sigma_mm, count).unwrap_or_default()
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
    plan.extend(greedy(&table, grid, &spread, readings.sigma_mm, more)?);
    Some(plan)
}

fn greedy(table: &Table, grid: &Grid, spread: &Spread, sigma_mm: f64, count: usize) -> Option<Vec<Advice>> {
    let frame = Frame::of(table.picture_px);
    let unknowns = frame.unknowns(table)?;
    let candidates = candidates(grid, &frame, &unknowns)?;
    let seen = seen(table, &frame, &unknowns)?;
    let mut spread = spread.clone();
    let mut advice = Vec::new();
    for _ in 0..count {
        let c = &spread.covariance;
        let gain = |by: &Column| {
            let carried = c * by;
            carried.dot(&(seen * carried)) / (sigma_mm * sigma_mm + by.dot(&carried))
        };
        let (best, by) = candidates
            .iter()
            .map(|candidate| (gain(&candidate.1), candidate))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, candidate)| *candidate)?;
        let carried = c * by;
        spread.covariance -= carried * carried.transpose() / (sigma_mm * sigma_mm + by.dot(&carried));
        let bound_mm = spread.over_lit_area(table)?.largest_mm;
        advice.push(Advice { from: best[0], to: best[1], bound_mm });
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
