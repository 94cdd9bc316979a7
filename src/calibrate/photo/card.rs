//! The check card: a page of black dots whose places are known.
//!
//! Seven columns of five dots, the one at the near left a ring, so that the card tells which way it lies and that the
//! photo is not mirrored. The same dots stand on A4 and on Letter.

use super::lattice::{Laid, Lattice};
use crate::geometry::{Point, Table};

/// Dots along the card's long side.
pub const COLUMNS: usize = 7;
/// Dots along its short side.
pub const ROWS: usize = 5;
/// From one dot to the next, as designed: 1 1/2 in, so that a row of seven is 9 in.
pub const STEP_MM: f64 = 38.1;
/// Radius of a dot.
pub const RADIUS_MM: f64 = 8.0;
/// Radius of the ring's hole.
pub const HOLE_MM: f64 = 3.6;

/// At most so many dots may be hidden.
const MOST_HIDDEN: usize = 3;

/// The page that a card is printed on, lying on its long side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// ISO 216.
    A4,
    /// ANSI/ASME Y14.1, size A.
    Letter,
}

impl Format {
    /// Width and height.
    pub fn page_mm(self) -> [f64; 2] {
        match self {
            Self::A4 => [297.0, 210.0],
            Self::Letter => [279.4, 215.9],
        }
    }
}

/// A card as it came from her printer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// From the ring's middle to the middle of the last dot in its row, by her tape.
    pub row_mm: f64,
}

impl Default for Paper {
    /// As designed.
    fn default() -> Self {
        Self { row_mm: STEP_MM * (COLUMNS - 1) as f64 }
    }
}

/// A card in a photo: each dot's column and row, counted from the ring, with its pixel.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The dots.
    pub dots: Laid,
}

impl Card {
    /// The card that a lattice is; none when it is another.
    pub fn of(lattice: &Lattice) -> Option<Self> {
        if lattice.spots.len() + MOST_HIDDEN < COLUMNS * ROWS {
            return None;
        }
        let dots = lattice.laid_as([COLUMNS, ROWS], false, &[[0, 0]])?;
        Some(Self { dots })
    }
}

impl Paper {
    /// Where a dot stands on the card: from the ring, right along its row and away from it.
    pub fn at_mm(&self, [column, row]: [usize; 2]) -> Point<Table> {
        let step_mm = self.row_mm / (COLUMNS - 1) as f64;
        Point::new(step_mm * column as f64, step_mm * row as f64)
    }
}
