//! The grain arrow: along the length of the cloth, where it lies inside the piece.

use crate::draft::SewnPiece;
use crate::geometry::{Draft as Frame, Outline, Point};

/// Where the grain arrow begins and ends between the lowest level and the hem, and how far out it lies.
const GRAIN_SHARES: [f64; 2] = [0.12, 0.82];
const GRAIN_OUT: f64 = 0.3;

/// A shorter arrow is overlooked: the levels are crossed then.
const LEAST_MM: f64 = 60.0;

/// An arrow of this share of the longest there is is as good.
const LONG_SHARE: f64 = 0.85;

/// How many places across a piece are tried for the longest arrow.
const PLACES: u32 = 24;

/// The arrow, parallel to the fold, between the lowest level and the hem, where no other line crosses it; in a piece that
/// is not whole there, or where that is too short, where it is about longest.
pub fn arrow(sewn: &SewnPiece, outline: &Outline<Frame>) -> [Point<Frame>; 2] {
    let (low, high) = outline.bounds();
    let lowest_y = sewn.levels_mm.iter().map(|(_, y)| *y).fold(low.y, f64::max);
    let usual_x = low.x + (high.x - low.x) * GRAIN_OUT;
    let between =
        |x: f64, [from_y, to_y]: [f64; 2]| GRAIN_SHARES.map(|share| Point::new(x, from_y + (to_y - from_y) * share));
    let usual = between(usual_x, [lowest_y, high.y]);
    let seen = usual[1].y - usual[0].y >= LEAST_MM;
    if seen && whole_runs(outline, usual_x).iter().any(|[top, foot]| *top <= usual[0].y && usual[1].y <= *foot) {
        return usual;
    }
    let place = |i: u32| low.x + (high.x - low.x) * (f64::from(i) + 0.5) / f64::from(PLACES);
    let runs = (0..PLACES).map(place).flat_map(|x| whole_runs(outline, x).into_iter().map(move |run| (x, run)));
    let runs: Vec<_> = runs.collect();
    let longest_mm = runs.iter().map(|(_, run)| run[1] - run[0]).fold(0.0, f64::max);
    // Of those about as long the one in their middle, off the edges beside them.
    let long: Vec<_> = runs.into_iter().filter(|(_, run)| run[1] - run[0] >= LONG_SHARE * longest_mm).collect();
    long.get(long.len() / 2).map_or(usual, |(x, run)| between(*x, *run))
}

/// From where to where, down the piece, a line at `x` lies inside.
fn whole_runs(outline: &Outline<Frame>, x: f64) -> Vec<[f64; 2]> {
    let crossed = |(a, b): (Point<Frame>, Point<Frame>)| {
        ((a.x > x) != (b.x > x)).then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
    };
    let mut levels: Vec<f64> = outline.sides().filter_map(crossed).collect();
    levels.sort_by(f64::total_cmp);
    levels.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}
