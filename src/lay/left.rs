//! What is left of the cloth, in rectangles: the rest of its length, the strips beside pieces on lengths of their own, and
//! what lies free between pieces.
//!
//! Between pieces the cloth is looked at in small squares; a square that a piece touches is none that is left. So no
//! rectangle reaches into a piece, and each may be larger by a square's side than is told. The largest is taken first, then
//! the largest of what it leaves.

use super::need::NOISE_MM;
use super::{Fold, Lay, Placed, Zone};
use crate::geometry::{Cloth, Outline, Point};

/// A strip narrower than this is not worth keeping (common practice, no source).
const KEPT_MM: f64 = 20.0;

/// A rectangle between pieces is worth keeping when it is a hand's breadth wide and two by two of them large (common
/// practice, no source); so many are told at most.
const LEAST_MM: f64 = 100.0;
const LEAST_MM2: f64 = 4.0 * LEAST_MM * LEAST_MM;
const MOST: usize = 6;

/// The side of a square.
const SQUARE_MM: f64 = 5.0;

/// A rectangle of cloth that is left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeftOver {
    /// Along the selvedge.
    pub along_mm: f64,
    /// Across.
    pub across_mm: f64,
    /// How many there are: one in each layer.
    pub count: u32,
    /// Its corner nearest the origin on the cloth as it lies; none of the rest of the length, which is beyond the lay.
    pub at: Option<Point<Cloth>>,
}

/// What is left of a lay's cloth: strips beside the pieces and the rest of the length first.
pub(super) fn over(lay: &Lay) -> Vec<LeftOver> {
    let beside_mm = if lay.fold == Fold::LengthsOnTheirCentre { lay.widest_mm() } else { lay.folded_width_mm };
    // A border is not told as cloth that is left; on lengths it lies along the selvedges, over whatever is beside the pieces.
    let border_mm = lay.cloth.border_mm;
    let strip = LeftOver {
        along_mm: lay.length_mm,
        across_mm: lay.folded_width_mm - border_mm - beside_mm,
        count: lay.layers,
        at: Some(Point::new(0.0, beside_mm)),
    };
    let rest = LeftOver {
        along_mm: lay.cloth.length_mm.map_or(0.0, |length_mm| length_mm - lay.used_mm),
        across_mm: lay.cloth.width_mm - border_mm,
        count: 1,
        at: None,
    };
    let is_kept = |left: &LeftOver| left.along_mm >= KEPT_MM && left.across_mm >= KEPT_MM;
    let mut all: Vec<LeftOver> = [strip, rest].into_iter().filter(is_kept).collect();
    all.extend(between(lay, beside_mm));
    all
}

/// The rectangles between the pieces, not farther across than `until_mm`, the largest first.
fn between(lay: &Lay, until_mm: f64) -> Vec<LeftOver> {
    let covered: Vec<Outline<Cloth>> =
        lay.placed.iter().map(Placed::cut).chain(lay.flaws()).chain(lay.border()).collect();
    let mut all = Vec::new();
    for zone in lay.fold.zones(lay.cloth.width_mm) {
        let mut squares = Squares::of(&zone, [lay.length_mm, until_mm]);
        covered.iter().for_each(|outline| squares.cover(outline));
        while let Some(free) = squares.largest().filter(|_| all.len() < 2 * MOST) {
            squares.take(free);
            all.push(LeftOver {
                along_mm: SQUARE_MM * (free.columns[1] - free.columns[0]) as f64,
                across_mm: SQUARE_MM * (free.rows[1] - free.rows[0]) as f64,
                count: zone.layers * lay.lengths,
                at: Some(squares.corner(free.columns[0], free.rows[0])),
            });
        }
    }
    let area_mm2 = |left: &LeftOver| left.along_mm * left.across_mm * f64::from(left.count);
    all.sort_by(|a, b| area_mm2(b).total_cmp(&area_mm2(a)));
    all.truncate(MOST);
    all
}

/// A strip of the cloth in squares.
struct Squares {
    near_mm: f64,
    columns: usize,
    rows: usize,
    /// Whether something lies on a square, row by row within column by column.
    covered: Vec<bool>,
}

/// Squares from a first to one before a last.
#[derive(Clone, Copy)]
struct Block {
    columns: [usize; 2],
    rows: [usize; 2],
}

impl Squares {
    fn of(zone: &Zone, [length_mm, until_mm]: [f64; 2]) -> Self {
        let count = |mm: f64| ((mm + NOISE_MM) / SQUARE_MM).max(0.0) as usize;
        let [near_mm, far_mm] = zone.across_mm;
        let [columns, rows] = [count(length_mm), count(far_mm.min(until_mm) - near_mm)];
        Self { near_mm, columns, rows, covered: vec![false; columns * rows] }
    }

    fn corner(&self, column: usize, row: usize) -> Point<Cloth> {
        Point::new(SQUARE_MM * column as f64, self.near_mm + SQUARE_MM * row as f64)
    }

    /// Covers every square that an outline touches: those that its sides pass, and those whose middle is inside of it.
    fn cover(&mut self, outline: &Outline<Cloth>) {
        for (a, b) in outline.sides() {
            let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
            let slope = if right.x > left.x { (right.y - left.y) / (right.x - left.x) } else { 0.0 };
            for column in touched([left.x, right.x], self.columns) {
                let edge_mm = SQUARE_MM * column as f64;
                let [from, to] = [edge_mm.max(left.x), (edge_mm + SQUARE_MM).min(right.x)];
                let ends = match slope == 0.0 {
                    true => [left.y, right.y],
                    false => [from, to].map(|x| left.y + slope * (x - left.x)),
                };
                self.cover_rows(column, ends);
            }
        }
        let (low, high) = outline.bounds();
        for column in touched([low.x, high.x], self.columns) {
            let x = SQUARE_MM * (column as f64 + 0.5);
            let crosses = |(a, b): (Point<Cloth>, Point<Cloth>)| {
                ((a.x <= x) != (b.x <= x)).then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
            };
            let mut met: Vec<f64> = outline.sides().filter_map(crosses).collect();
            met.sort_by(f64::total_cmp);
            met.chunks_exact(2).for_each(|pair| self.cover_rows(column, [pair[0], pair[1]]));
        }
    }

    fn cover_rows(&mut self, column: usize, [a_mm, b_mm]: [f64; 2]) {
        let across_mm = [a_mm.min(b_mm) - self.near_mm, a_mm.max(b_mm) - self.near_mm];
        for row in touched(across_mm, self.rows) {
            self.covered[column * self.rows + row] = true;
        }
    }

    fn take(&mut self, block: Block) {
        for column in block.columns[0]..block.columns[1] {
            self.covered[column * self.rows + block.rows[0]..column * self.rows + block.rows[1]].fill(true);
        }
    }

    /// The largest free block that is worth keeping: over each column stands the histogram of how far the free squares
    /// reach back, and every block that can't be widened is met once, as it is closed.
    fn largest(&self) -> Option<Block> {
        let least = (LEAST_MM / SQUARE_MM) as usize;
        let least_size = (LEAST_MM2 / (SQUARE_MM * SQUARE_MM)) as usize;
        let mut reach = vec![0; self.rows];
        let (mut most, mut best) = (least_size - 1, None);
        for column in 0..self.columns {
            for (row, reach) in reach.iter_mut().enumerate() {
                *reach = if self.covered[column * self.rows + row] { 0 } else { *reach + 1 };
            }
            let mut open: Vec<(usize, usize)> = Vec::new();
            for row in 0..=self.rows {
                let deep = reach.get(row).copied().unwrap_or(0);
                let mut first = row;
                while let Some((start, deeper)) = open.pop_if(|(_, deeper)| *deeper >= deep) {
                    first = start;
                    let size = deeper * (row - start);
                    if deeper >= least && row - start >= least && size > most {
                        let columns = [column + 1 - deeper, column + 1];
                        (most, best) = (size, Some(Block { columns, rows: [start, row] }));
                    }
                }
                if deep > 0 {
                    open.push((first, deep));
                }
            }
        }
        best
    }
}

/// The squares that a span touches with more than its ends.
fn touched([from_mm, to_mm]: [f64; 2], count: usize) -> std::ops::Range<usize> {
    let first = ((from_mm + NOISE_MM) / SQUARE_MM).floor().max(0.0) as usize;
    let end = ((to_mm - NOISE_MM) / SQUARE_MM).floor() + 1.0;
    first..(end.max(0.0) as usize).min(count)
}
