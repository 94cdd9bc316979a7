//! What the levels of each piece meet of the print, in figures: how far into a repeat each lies, and how far the print of
//! one piece is out of step with that of another where they are sewn together.

use super::open::Spread;

/// A level of a piece and where in the print it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// The level.
    pub level: &'static str,
    /// How far into a repeat along the selvedge it lies, counted from where the print begins.
    pub into_mm: f64,
}

/// What the levels of a piece meet of a print that repeats along the selvedge, begun at `begins_mm` from the cut end.
pub fn met(spread: &Spread, repeat_mm: f64, begins_mm: f64) -> Vec<Met> {
    let met = |(level, ends): &(&'static str, [crate::geometry::Point<super::Open>; 2])| Met {
        level,
        into_mm: (ends[0].x - begins_mm).rem_euclid(repeat_mm),
    };
    spread.levels.iter().map(met).collect()
}

/// How far the print of `other` lies on from that of `one` at the same level: what `other` must be moved back by, or on
/// when negative, to bring them in step; by the shorter way. None where they share no level.
pub fn out_of_step_mm(one: &Spread, other: &Spread, repeat_mm: f64) -> Option<f64> {
    let level = |of: &Spread, name: &str| of.levels.iter().find(|(level, _)| *level == name).map(|(_, ends)| ends[0].x);
    let (name, _) = one.levels.first()?;
    let apart_mm = level(other, name)? - level(one, name)?;
    Some(apart_mm - repeat_mm * (apart_mm / repeat_mm).round())
}
