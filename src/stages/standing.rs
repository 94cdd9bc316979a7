//! What of the cloth is still in one piece after this and that was cut out of it, and where crosses can stand there.
//!
//! The cloth is looked at in small squares. A square is gone when what was cut covers it or passes close by: between two
//! cuts as near as that the cloth hangs by threads at best. What hangs together, square to square, moves together; two
//! crosses tell where the rest lies only when all that is still to be cut hangs together with them.

use super::reach::{CROSS_GRID_MM, farthest, grid};
use super::window::Window;
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::lay::{Lay, Placed};

/// Side of a square.
const SQUARE_MM: f64 = 10.0;

/// A cut this near to a square's middle may have taken it: half its diagonal.
const NEAR_MM: f64 = 7.1;

/// The nearest square that a cut left lies no farther from it than this: [`NEAR_MM`] and a square's diagonal.
const EDGE_MM: f64 = 21.3;

/// Crosses stand this far off every cutting line, of pieces cut, cut now and cut later, and off the edge of every layer.
const OFF_LINES_MM: f64 = 12.0;

/// How far a piece is cut out.
#[derive(Clone, Debug, PartialEq)]
pub enum Cut {
    /// Not at all.
    Not,
    /// In these parts of the cloth.
    In(Vec<Window>),
    /// All round: it is taken away.
    Out,
}

/// The cloth in squares, with the pieces that lie on each.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    columns: usize,
    rows: usize,
    /// The piece that covers a square's middle.
    covered_by: Vec<Option<usize>>,
    /// The pieces whose cutting line passes near it.
    passed_by: Vec<Vec<usize>>,
    cuts: Vec<Outline<Cloth>>,
    /// Where layers end, across.
    edges_mm: Vec<f64>,
}

impl Standing {
    /// The cloth of a lay before anything is cut.
    pub fn of(lay: &Lay) -> Self {
        let [columns, rows] = [lay.length_mm, lay.folded_width_mm].map(|mm| (mm / SQUARE_MM).ceil().max(1.0) as usize);
        let cuts: Vec<Outline<Cloth>> = lay.placed.iter().map(Placed::cut).collect();
        let zones = lay.fold.zones(lay.cloth.width_mm);
        let mut standing = Self {
            columns,
            rows,
            covered_by: vec![None; columns * rows],
            passed_by: vec![Vec::new(); columns * rows],
            edges_mm: zones.iter().flat_map(|zone| zone.across_mm).collect(),
            cuts: Vec::new(),
        };
        for (piece, cut) in cuts.iter().enumerate() {
            standing.mark(piece, cut);
        }
        Self { cuts, ..standing }
    }

    fn mark(&mut self, piece: usize, cut: &Outline<Cloth>) {
        let (low, high) = cut.bounds();
        let span = |low_mm: f64, high_mm: f64, count: usize| {
            let first = ((low_mm - NEAR_MM) / SQUARE_MM).floor().max(0.0) as usize;
            first..(((high_mm + NEAR_MM) / SQUARE_MM).ceil().max(0.0) as usize).min(count)
        };
        for column in span(low.x, high.x, self.columns) {
            for row in span(low.y, high.y, self.rows) {
                let (at, middle) = (self.at(column, row), middle(column, row));
                if cut.passes(middle, NEAR_MM) {
                    self.passed_by[at].push(piece);
                }
                if cut.contains(middle) {
                    self.covered_by[at] = Some(piece);
                }
            }
        }
    }

    fn at(&self, column: usize, row: usize) -> usize {
        column * self.rows + row
    }

    /// Two places as far apart as can be in a part of the cloth, for crosses that are still there when the pieces are
    /// cut so far, in cloth that hangs together with everything that is not cut yet; none when there are none.
    pub fn crosses(&self, within: &Window, cut: &[Cut]) -> Option<[Point<Cloth>; 2]> {
        if within.size_mm().x < 0.0 || within.size_mm().y < 0.0 {
            return None;
        }
        let rest = self.rest(cut)?;
        let stands = |p: &Point<Cloth>| {
            rest[self.under(*p)]
                && self.edges_mm.iter().all(|edge_mm| (p.y - edge_mm).abs() >= OFF_LINES_MM)
                && !self.cuts.iter().any(|cut| cut.passes(*p, OFF_LINES_MM))
        };
        // Between pieces that lie close the places are narrow: they are looked for more finely where none is found.
        [CROSS_GRID_MM, SQUARE_MM / 2.0].into_iter().find_map(|apart_mm| {
            let places: Vec<Point<Cloth>> = grid(within, apart_mm).into_iter().filter(&stands).collect();
            farthest(&ends_of_columns(&places))
        })
    }

    /// The square that a place lies in, or the nearest to it.
    fn under(&self, p: Point<Cloth>) -> usize {
        let [column, row] = [p.x, p.y].map(|mm| (mm / SQUARE_MM).floor().max(0.0) as usize);
        self.at(column.min(self.columns - 1), row.min(self.rows - 1))
    }

    /// The cutting lines of the pieces.
    pub fn cuts(&self) -> &[Outline<Cloth>] {
        &self.cuts
    }

    /// What hangs together with a piece when the pieces are cut so far; none when nothing of it is left.
    pub fn with_piece(&self, piece: usize, cut: &[Cut]) -> Option<Hanging<'_>> {
        let open = self.open(cut);
        let start = (0..open.len()).find(|square| open[*square] && self.covered_by[*square] == Some(piece))?;
        Some(Hanging { standing: self, squares: self.hanging_with(start, &open) })
    }

    /// The squares that hang together with all that is not cut yet; none when that itself hangs apart.
    fn rest(&self, cut: &[Cut]) -> Option<Vec<bool>> {
        let open = self.open(cut);
        let of_rest = |square: &usize| open[*square] && self.covered_by[*square].is_some();
        let start = (0..open.len()).find(of_rest)?;
        let hanging = self.hanging_with(start, &open);
        // A piece too small for any open square asks for nothing.
        let lost = |piece: usize| {
            let mut own = (0..open.len()).filter(|square| open[*square] && self.covered_by[*square] == Some(piece));
            own.clone().next().is_some() && !own.any(|square| hanging[square])
        };
        let whole = (0..cut.len()).all(|piece| cut[piece] == Cut::Out || !lost(piece));
        whole.then_some(hanging)
    }

    /// Which squares are not gone when the pieces are cut so far.
    fn open(&self, cut: &[Cut]) -> Vec<bool> {
        (0..self.covered_by.len()).map(|square| self.is_open(square, cut)).collect()
    }

    fn is_open(&self, square: usize, cut: &[Cut]) -> bool {
        let middle = middle(square / self.rows, square % self.rows);
        let passes = |piece: &usize| match &cut[*piece] {
            Cut::Not => false,
            Cut::In(parts) => parts.iter().any(|part| part.contains(middle)),
            Cut::Out => true,
        };
        let covered = self.covered_by[square].is_some_and(|piece| cut[piece] == Cut::Out);
        !covered && !self.passed_by[square].iter().any(passes)
    }

    /// All open squares that can be reached from one, edge to edge.
    fn hanging_with(&self, start: usize, open: &[bool]) -> Vec<bool> {
        let mut found = vec![false; open.len()];
        found[start] = true;
        let mut next = vec![start];
        while let Some(square) = next.pop() {
            let (column, row) = (square / self.rows, square % self.rows);
            let beside = [
                (column > 0).then(|| square - self.rows),
                (column + 1 < self.columns).then(|| square + self.rows),
                (row > 0).then(|| square - 1),
                (row + 1 < self.rows).then(|| square + 1),
            ];
            for other in beside.into_iter().flatten() {
                if open[other] && !found[other] {
                    found[other] = true;
                    next.push(other);
                }
            }
        }
        found
    }
}

/// Cloth that is still in one piece.
pub struct Hanging<'s> {
    standing: &'s Standing,
    squares: Vec<bool>,
}

impl Hanging<'_> {
    /// Whether a place lies in it.
    pub fn holds(&self, p: Point<Cloth>) -> bool {
        self.squares[self.standing.under(p)]
    }

    /// Whether a place on an edge of the cloth, or on a line that was cut, lies at it.
    pub fn borders(&self, p: Point<Cloth>) -> bool {
        let near = (EDGE_MM / SQUARE_MM).ceil() as i32;
        let beside = (-near..=near).flat_map(|i| (-near..=near).map(move |j| Vector::new(f64::from(i), f64::from(j))));
        let squares = beside.map(|by| self.standing.under(p + by * SQUARE_MM));
        squares
            .filter(|square| self.squares[*square])
            .any(|square| (middle(square / self.standing.rows, square % self.standing.rows) - p).length() < EDGE_MM)
    }
}

/// The middle of a square.
fn middle(column: usize, row: usize) -> Point<Cloth> {
    Point::new((column as f64 + 0.5) * SQUARE_MM, (row as f64 + 0.5) * SQUARE_MM)
}

/// The first and the last place of every column: the two farthest apart are among them.
fn ends_of_columns(places: &[Point<Cloth>]) -> Vec<Point<Cloth>> {
    let columns = places.chunk_by(|a, b| a.x == b.x);
    columns.flat_map(|column| [column.first(), column.last()]).flatten().copied().collect()
}
