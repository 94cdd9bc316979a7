//! The marks that are thrown to be measured, and their pixels.

use std::collections::BTreeMap;

use crate::geometry::{Pixel, Point};
use crate::table::MarkName;

/// Bare edge round the marks of a grid that says nothing about it, as a share of width and height.
pub const USUAL_MARGIN: f64 = 0.06;

/// Marks by name.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// Every mark's pixel.
    pub marks: BTreeMap<MarkName, Point<Pixel>>,
}

impl Grid {
    /// An evenly spaced grid: mark (row i, column j), counted from 0, sits at x = W (margin + (1 - 2 margin) j/(columns-1)),
    /// y = H (margin + (1 - 2 margin) i/(rows-1)). Rows and columns are at least 2.
    pub fn even(picture_px: [u32; 2], columns: usize, rows: usize, margin: f64) -> Self {
        let along = |side: u32, i: usize, count: usize| {
            f64::from(side) * (margin + (1.0 - 2.0 * margin) * i as f64 / (count - 1) as f64)
        };
        let cells = (0..rows).flat_map(|i| (0..columns).map(move |j| (i, j)));
        let marks = cells.filter_map(|(i, j)| {
            let at = Point::new(along(picture_px[0], j, columns), along(picture_px[1], i, rows));
            Some((MarkName::new(i, j)?, at))
        });
        Self { marks: marks.collect() }
    }

    /// The last mark of row A: with [`Grid::first`] it carries the table's x axis when only distances are known.
    pub fn last_of_first_row(&self) -> Option<MarkName> {
        self.marks.keys().copied().filter(|m| m.row() == 0).max()
    }

    /// The first mark of row A.
    pub fn first(&self) -> Option<MarkName> {
        self.marks.keys().next().copied()
    }

    /// The outermost marks in the picture's four corners, clockwise from the top left.
    pub fn corners(&self) -> Vec<MarkName> {
        let toward = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        let outermost = |[x, y]: [f64; 2]| {
            let reach = |p: &Point<Pixel>| p.x * x + p.y * y;
            self.marks.iter().max_by(|a, b| reach(a.1).total_cmp(&reach(b.1))).map(|(mark, _)| *mark)
        };
        let mut corners: Vec<MarkName> = toward.into_iter().filter_map(outermost).collect();
        corners.dedup();
        corners
    }

    /// The pixel of a mark.
    pub fn px(&self, mark: MarkName) -> Option<Point<Pixel>> {
        self.marks.get(&mark).copied()
    }
}
