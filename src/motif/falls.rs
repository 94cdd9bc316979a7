//! What the named places of each piece meet of the print, in figures: how far from a motif, or how far into a repeat, and how
//! far the print of one piece is out of step with that of another where they are sewn together.

use super::open::Spread;
use crate::geometry::{Draft, Point};
use crate::order::Cloth;

/// A named place of a piece on the print: a level along the selvedge, the centre across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fall {
    /// The place.
    pub place: &'static str,
    /// Where it lies.
    pub lies: Lies,
}

/// Where in the print a place lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lies {
    /// So far above the middle of the nearest motif; below it, when negative.
    Above(f64),
    /// So far beside the middle of the nearest motif.
    Beside(f64),
    /// So far into a repeat along, counted from where the print begins.
    Into(f64),
    /// So far into a repeat across.
    IntoAcross(f64),
}

/// What the places of a piece meet of the print of its cloth, which begins at `begins_mm` along and across: the bust, so far
/// down the front, its levels, and its centre. Ways in which the print does not repeat are left out.
pub fn falls(spread: &Spread, bust_mm: Option<f64>, cloth: &Cloth, begins_mm: [f64; 2]) -> Vec<Fall> {
    let [along_mm, across_mm] = cloth.repeat_mm;
    let every = |repeat_mm: f64| if cloth.half_drop { repeat_mm / 2.0 } else { repeat_mm };
    let down = spread.open_from_draft.transform_vector(crate::geometry::Vector::new(0.0, 1.0)).x.signum();
    let level = |(place, x_mm): (&'static str, f64)| {
        let lies = match (along_mm?, cloth.motif_mm) {
            (repeat_mm, Some([motif_mm, _])) => Lies::Above(down * to_nearest_mm(motif_mm - x_mm, every(repeat_mm))),
            (repeat_mm, None) => Lies::Into((x_mm - begins_mm[0]).rem_euclid(repeat_mm)),
        };
        Some(Fall { place, lies })
    };
    let bust = bust_mm.map(|y_mm| ("bust", spread.open_from_draft.transform_point(Point::<Draft>::new(0.0, y_mm)).x));
    let levels = spread.levels.iter().map(|(name, ends)| (*name, ends[0].x));
    let centre = || {
        let (y_mm, repeat_mm) = (spread.centre_mm?, across_mm?);
        let lies = match cloth.motif_mm {
            Some([_, motif_mm]) => Lies::Beside(to_nearest_mm(motif_mm - y_mm, every(repeat_mm)).abs()),
            None => Lies::IntoAcross((y_mm - begins_mm[1]).rem_euclid(repeat_mm)),
        };
        Some(Fall { place: "centre", lies })
    };
    bust.into_iter().chain(levels).filter_map(level).chain(centre()).collect()
}

/// From a place to the nearest of those that are so far from it, or whole steps on.
fn to_nearest_mm(apart_mm: f64, step_mm: f64) -> f64 {
    apart_mm - step_mm * (apart_mm / step_mm).round()
}

/// How far the print of `other` lies on from that of `one` at the same level: what `other` must be moved back by, or on
/// when negative, to bring them in step; by the shorter way. None where they share no level.
pub fn out_of_step_mm(one: &Spread, other: &Spread, repeat_mm: f64) -> Option<f64> {
    let level = |of: &Spread, name: &str| of.levels.iter().find(|(level, _)| *level == name).map(|(_, ends)| ends[0].x);
    let (name, _) = one.levels.first()?;
    Some(to_nearest_mm(level(other, name)? - level(one, name)?, repeat_mm))
}
