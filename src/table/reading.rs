//! What is measured on the table: the place of a thrown mark on a ruled mat, or a tape distance between two marks.

use std::fmt;
use std::str::FromStr;

use crate::geometry::{Point, Table};

/// Rows are named by one letter.
pub const MOST_ROWS: u8 = 26;
/// Columns are named by at most two digits.
pub const MOST_COLUMNS: u8 = 99;

/// A mark's name: row letter from the top of the picture, column number from its left, as `B3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MarkName {
    row: u8,
    column: u8,
}

/// One reading, as she wrote it down.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was measured.
    pub kind: Kind,
    /// The height above the table at which it was taken: 0 on the table, more on a board.
    pub height_mm: f64,
}

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// The place of a mark on a ruled mat.
    Place {
        /// The mark.
        mark: MarkName,
        /// Its place.
        at_mm: Point<Table>,
    },
    /// The tape distance between two marks.
    Distance {
        /// One mark.
        from: MarkName,
        /// The other.
        to: MarkName,
        /// The distance.
        distance_mm: f64,
    },
}

impl MarkName {
    /// The mark of row `row` and column `column`, both counted from 0; none beyond row Z or column 99.
    pub fn new(row: usize, column: usize) -> Option<Self> {
        (row < MOST_ROWS.into() && column < MOST_COLUMNS.into())
            .then_some(Self { row: row as u8, column: column as u8 + 1 })
    }

    /// The row, from 0 at the top of the picture.
    pub fn row(self) -> usize {
        self.row.into()
    }

    /// The column, from 0 at the left of the picture.
    pub fn column(self) -> usize {
        usize::from(self.column) - 1
    }
}

impl fmt::Display for MarkName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", char::from(b'A' + self.row), self.column)
    }
}

/// The text is no mark's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoMark;

impl FromStr for MarkName {
    type Err = NoMark;

    fn from_str(text: &str) -> Result<Self, NoMark> {
        let text = text.trim();
        let letter = text.chars().next().filter(char::is_ascii_alphabetic).ok_or(NoMark)?;
        let digits = &text[1..];
        let plain = !digits.is_empty() && digits.len() <= 2 && digits.bytes().all(|b| b.is_ascii_digit());
        let column: usize = plain.then(|| digits.parse().ok()).flatten().ok_or(NoMark)?;
        let row = usize::from(letter.to_ascii_uppercase() as u8 - b'A');
        column.checked_sub(1).and_then(|column| Self::new(row, column)).ok_or(NoMark)
    }
}

impl Reading {
    /// The marks it speaks of.
    pub fn marks(&self) -> impl Iterator<Item = MarkName> {
        let (first, second) = match self.kind {
            Kind::Place { mark, .. } => (mark, None),
            Kind::Distance { from, to, .. } => (from, Some(to)),
        };
        std::iter::once(first).chain(second)
    }

    /// What was measured, without the value: `B2` or `A1 to C5`, with the height where there is one.
    pub fn name(&self) -> String {
        let marks = match self.kind {
            Kind::Place { mark, .. } => mark.to_string(),
            Kind::Distance { from, to, .. } => format!("{from} to {to}"),
        };
        if self.height_mm == 0.0 { marks } else { format!("{marks} on the {} mm board", self.height_mm) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mark_names_are_read_and_printed() {
        for text in ["A1", "C5", "Z99", "B10"] {
            assert_eq!(text.parse::<MarkName>().map(|m| m.to_string()).as_deref(), Ok(text));
        }
        for text in ["", "A", "A0", "1A", "A100", "AA1", "A-1", "Ä1", "A1x", "A+1"] {
            assert_eq!(text.parse::<MarkName>(), Err(NoMark), "{text}");
        }
        assert_eq!("c5".parse::<MarkName>().map(|m| (m.row(), m.column())), Ok((2, 4)));
    }
}
