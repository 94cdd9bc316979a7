//! Prints that run through one way: stripes along the cloth or across it.
//!
//! Moved along its stripes such a print stays like itself all the way, so there is a ridge in the likeness; across the
//! ridge the repeat is sought as on a line.

use super::lattice::{AS_GOOD, Clear, DIP, LEAST_LIKENESS, LEAST_PX, Move};
use super::likeness::Likeness;
use super::square::{MOST_SLANT_DEG, Square};

/// On a ridge the likeness stays at this share of the highest, but for a tenth of the way.
const RIDGE: f64 = 0.85;

/// A ridge is followed over this share of what is known.
const FOLLOWED: f64 = 0.8;

/// Steps in which the ridge's direction is sought.
const STEP_DEG: f64 = 0.25;

/// The mean along a ridge is taken over so many places to each side, so far apart.
const PLACES: i32 = 10;
const APART_PX: f64 = 4.0;

/// The stripes of a likeness, as a repeat that is a few pixels long the way that runs through, and how clear they are.
/// None when it has no ridge; some nothing when nothing repeats across the ridge.
pub fn stripes(likeness: &Likeness, pixel_mm: [f64; 2]) -> Option<Option<(Square, Clear)>> {
    let (axis, slant_deg) = (0..2).find_map(|axis| ridge(likeness, axis).map(|deg| (axis, deg)))?;
    let (sin, cos) = slant_deg.to_radians().sin_cos();
    let directions = [[cos, sin], [-sin, cos]];
    let profile = profile(likeness, directions[axis], directions[1 - axis]);
    let found = on_a_line(&profile).map(|(repeat_px, clear)| {
        let (mut moves_px, mut mm) = (directions.map(|by| by.map(|by| 2.0 * LEAST_PX * by)), [None; 2]);
        let across = directions[1 - axis];
        moves_px[1 - axis] = across.map(|by| repeat_px * by);
        mm[1 - axis] = Some(repeat_px * (across[0] * pixel_mm[0]).hypot(across[1] * pixel_mm[1]));
        (Square { moves_px, columns: 1, slant_deg, mm }, clear)
    });
    Some(found)
}

/// How far a ridge is turned from an axis of the cloth; none when there is no ridge.
fn ridge(likeness: &Likeness, axis: usize) -> Option<f64> {
    let length_px = FOLLOWED * f64::from(likeness.farthest_px[axis]);
    let lowest_tenth = |turned_deg: f64| {
        let (sin, cos) = (turned_deg + 90.0 * axis as f64).to_radians().sin_cos();
        let steps = LEAST_PX as usize..=length_px as usize;
        let mut way: Vec<f64> = steps.filter_map(|px| likeness.near([cos, sin].map(|by| by * px as f64))).collect();
        way.sort_by(f64::total_cmp);
        way.get(way.len() / 10).copied().unwrap_or(0.0)
    };
    let steps = (MOST_SLANT_DEG / STEP_DEG) as i32;
    let turns = (-steps..=steps).map(|step| f64::from(step) * STEP_DEG);
    let (low, turned_deg) = turns.map(|deg| (lowest_tenth(deg), deg)).max_by(|a, b| a.0.total_cmp(&b.0))?;
    (low >= (RIDGE * likeness.highest(LEAST_PX)).max(LEAST_LIKENESS)).then_some(turned_deg)
}

/// The mean likeness at each whole pixel across a ridge.
fn profile(likeness: &Likeness, along: Move, across: Move) -> Vec<f64> {
    let mean = |px: f64| {
        let places = (-PLACES..=PLACES).map(|place| f64::from(place) * APART_PX);
        let values = places.filter_map(|far| likeness.near([0, 1].map(|k| px * across[k] + far * along[k])));
        let (sum, count) = values.fold((0.0, 0), |(sum, count), value| (sum + value, count + 1));
        (count > PLACES).then(|| sum / f64::from(count))
    };
    (0..).map_while(|px| mean(f64::from(px))).collect()
}

/// The repeat of a likeness on a line in pixels.
fn on_a_line(profile: &[f64]) -> Option<(f64, Clear)> {
    let summits: Vec<usize> = (1..profile.len().saturating_sub(1))
        .filter(|i| {
            let low = profile[..*i].iter().copied().fold(f64::INFINITY, f64::min);
            let summit = profile[i - 1] <= profile[*i] && profile[i + 1] < profile[*i];
            summit && *i as f64 >= LEAST_PX && profile[*i] >= LEAST_LIKENESS && low < DIP * profile[*i]
        })
        .collect();
    let found: Vec<(f64, Clear)> = summits.iter().filter_map(|px| multiples(profile, *px)).collect();
    let best = found.iter().map(|(_, clear)| clear.quarter_share).fold(LEAST_LIKENESS, f64::max);
    let good = found.iter().filter(|(_, clear)| clear.quarter_share >= AS_GOOD * best);
    good.min_by(|a, b| a.0.total_cmp(&b.0)).copied()
}

/// A repeat followed to its farthest multiple, and how clear it is.
fn multiples(profile: &[f64], first_px: usize) -> Option<(f64, Clear)> {
    let (mut sum, mut weight) = (first_px as f64 * 0.01, 0.01);
    let mut highs = Vec::new();
    for times in 1.. {
        let due = f64::from(times) * sum / weight;
        let near = (due.round() as usize).saturating_sub(2)..=due.round() as usize + 2;
        let known = near.filter(|px| *px > 0 && px + 1 < profile.len());
        let Some(px) = known.max_by(|a, b| profile[*a].total_cmp(&profile[*b])) else { break };
        highs.push(profile[px]);
        let [before, here, after] = [profile[px - 1], profile[px], profile[px + 1]];
        if before <= here && after <= here {
            let bend = before - 2.0 * here + after;
            let off = if bend < 0.0 { 0.5 * (before - after) / bend } else { 0.0 };
            let at = px as f64 + off;
            sum += f64::from(times) * at;
            weight += f64::from(times) * f64::from(times);
        }
    }
    Some((sum / weight, Clear::of(highs)?))
}
