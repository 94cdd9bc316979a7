//! The map of a table's error: lines that join the places where a thrown line can be equally far off.
//!
//! The bound is worked out on a lattice of pixels; between its points it is taken as straight, triangle by triangle, which
//! at this lattice puts a line where the bound is within a hundredth of what is written on it. A level goes round several
//! places as often as not: each of its lines stands by itself, so that each has its figure.

use std::collections::BTreeMap;

use super::KeptTable;
use crate::geometry::{self, Pixel, Point};

/// One line through places that are equally far off; others may be as far off as they.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// How far off, 95 times in 100.
    pub bound_mm: f64,
    /// Its pieces, in no order.
    pub pieces: Vec<[Point<geometry::Table>; 2]>,
}

impl Contour {
    /// Where its figure may be written, best first: that is farthest from everything to be kept clear of, and from the edge of
    /// the light.
    pub fn places(
        &self,
        clear_of: &[Point<geometry::Table>],
        lit: &[Point<geometry::Table>; 4],
    ) -> Vec<Point<geometry::Table>> {
        let edges = || (0..4).map(|i| (lit[i], lit[(i + 1) % 4]));
        let from_edge = |at: Point<geometry::Table>, (a, b): (Point<_>, Point<_>)| {
            let along = ((at - a).dot(b - a) / (b - a).square_length()).clamp(0.0, 1.0);
            (at - a.lerp(b, along)).length()
        };
        let room_mm = |at: &Point<geometry::Table>| {
            let edge_mm = edges().map(|edge| from_edge(*at, edge)).fold(f64::INFINITY, f64::min);
            clear_of.iter().map(|other| (*at - *other).length()).fold(edge_mm, f64::min)
        };
        let middles = self.pieces.iter().map(|[a, b]| a.lerp(*b, 0.5));
        let mut places: Vec<_> = middles.map(|at| (room_mm(&at), at)).collect();
        places.sort_by(|a, b| b.0.total_cmp(&a.0));
        places.into_iter().map(|(_, at)| at).collect()
    }
}

/// Columns and rows of the lattice, edges included.
const LATTICE: [usize; 2] = [97, 55];

/// The bounds that may be drawn. 1.6 and 3.2 mm are good cutting and the usual limit (1/16 and 1/8 in, common practice).
const LEVELS_MM: [f64; 19] =
    [0.2, 0.3, 0.5, 0.7, 1.0, 1.3, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0, 100.0];

/// More lines than this crowd a small map.
const MOST_LEVELS: usize = 6;

/// A line of fewer pieces cuts off a corner and has no room for its figure.
const FEWEST_PIECES: usize = 16;

/// A straight piece of a line.
type Piece = [Point<Pixel>; 2];

/// The map, the largest errors first; empty for a table whose error isn't known.
pub fn contours(kept: &KeptTable) -> Vec<Contour> {
    let Some(fit) = &kept.fit else { return Vec::new() };
    let bound = |at: Point<Pixel>| Some((at, fit.spread.bound95_mm(&kept.table, at)?));
    let lattice: Vec<Option<(Point<Pixel>, f64)>> = lattice(kept.table.picture_px).map(bound).collect();
    let known = || lattice.iter().flatten().map(|(_, mm)| *mm);
    let (low, high) = (known().fold(f64::INFINITY, f64::min), known().fold(0.0, f64::max));
    let levels: Vec<f64> = LEVELS_MM.into_iter().filter(|level| (low..high).contains(level)).collect();
    let stride = levels.len().div_ceil(MOST_LEVELS).max(1);
    let triangles = triangles(&lattice);
    let on_table = |[a, b]: Piece| Some([kept.table.mm_from_px(a)?, kept.table.mm_from_px(b)?]);
    let of_level = |bound_mm: f64| {
        let pieces: Vec<Piece> = triangles.iter().filter_map(|triangle| crossing(triangle, bound_mm)).collect();
        let lines = lines(&pieces).into_iter().filter(|line| line.len() >= FEWEST_PIECES);
        let contour = |line: Vec<Piece>| Contour { bound_mm, pieces: line.into_iter().filter_map(on_table).collect() };
        lines.map(contour).collect::<Vec<_>>()
    };
    levels.into_iter().rev().step_by(stride).flat_map(of_level).collect()
}

/// Pieces that meet, line by line.
fn lines(pieces: &[Piece]) -> Vec<Vec<Piece>> {
    let key = |end: &Point<Pixel>| [end.x.to_bits(), end.y.to_bits()];
    let mut meeting: BTreeMap<[u64; 2], Vec<usize>> = BTreeMap::new();
    for (i, piece) in pieces.iter().enumerate() {
        piece.iter().for_each(|end| meeting.entry(key(end)).or_default().push(i));
    }
    let mut is_left = vec![true; pieces.len()];
    let mut lines = Vec::new();
    for first in 0..pieces.len() {
        let (mut line, mut next) = (Vec::new(), vec![first]);
        while let Some(i) = next.pop() {
            if std::mem::take(&mut is_left[i]) {
                line.push(pieces[i]);
                next.extend(pieces[i].iter().flat_map(|end| &meeting[&key(end)]));
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
    }
    lines
}

fn lattice(picture_px: [u32; 2]) -> impl Iterator<Item = Point<Pixel>> {
    let [columns, rows] = LATTICE;
    let [width, height] = picture_px.map(f64::from);
    let share = |i: usize, of: usize| i as f64 / (of - 1) as f64;
    let cells = (0..rows).flat_map(move |i| (0..columns).map(move |j| (i, j)));
    cells.map(move |(i, j)| Point::new(width * share(j, columns), height * share(i, rows)))
}

type Corner = (Point<Pixel>, f64);

/// Each cell of the lattice as two triangles, where all corners are lit.
fn triangles(lattice: &[Option<Corner>]) -> Vec<[Corner; 3]> {
    let [columns, rows] = LATTICE;
    let mut triangles = Vec::new();
    for (i, j) in (0..rows - 1).flat_map(|i| (0..columns - 1).map(move |j| (i, j))) {
        let at = |down: usize, right: usize| lattice[(i + down) * columns + j + right];
        for [a, b, c] in [[at(0, 0), at(0, 1), at(1, 1)], [at(0, 0), at(1, 1), at(1, 0)]] {
            triangles.extend(a.zip(b).zip(c).map(|((a, b), c)| [a, b, c]));
        }
    }
    triangles
}

/// Where a level goes through a triangle: between the sides that it crosses, of which there are two or none. Each side is
/// gone along from its lower end, so that the triangle beyond it gives the very same point.
fn crossing(triangle: &[Corner; 3], level: f64) -> Option<Piece> {
    let sides = [(0, 1), (1, 2), (2, 0)].map(|(i, j)| (triangle[i], triangle[j]));
    let upwards = sides.map(|(a, b)| if a.1 < b.1 { (a, b) } else { (b, a) });
    let crossed = upwards.into_iter().filter(|((_, a), (_, b))| (*a < level) != (*b < level));
    let mut points = crossed.map(|((from, a), (to, b))| from.lerp(to, (level - a) / (b - a)));
    Some([points.next()?, points.next()?])
}
