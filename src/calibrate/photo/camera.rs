//! The photo's own map to the table, solved as a projector's table is.

use std::collections::BTreeMap;

use super::card::{COLUMNS, Card, Paper, ROWS};
use crate::calibrate::readings::{Hang, LensBelief, USUAL_STAND_SD_MM};
use crate::calibrate::{Grid, Readings, calibrate_plane};
use crate::geometry::{Pixel, Point, Table, Vector};
use crate::remark::{Refusal, Remark};
use crate::table::{KeptTable, Kind, MarkName, Reading};

/// How true a printed dot and its centre in the photo are, one standard deviation (ours, no source: a printer's feed is
/// true to a tenth of a millimetre over a page).
const DOT_SD_MM: f64 = 0.12;

/// What a telephone's camera leaves of its lens after it has corrected it itself (ours, no source).
const CAMERA: LensBelief = LensBelief { known: None, centre_px: None, k1_sd: 0.03, k2_sd: 0.02, centre_sd: 0.05 };

/// Marks are named by letters of the alphabet: so many cards find room.
pub const MOST_CARDS: usize = 5;

/// A camera whose place is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Camera {
    solved: KeptTable,
    /// The ring of the card that lies nearest to the near left of all.
    pub zero_mm: Vector<Table>,
    /// What is to be said.
    pub remarks: Vec<Remark>,
}

impl Camera {
    /// Solves a photo of this size from its cards: places of the first card's dots, distances within every other.
    ///
    /// # Errors
    /// When the cards don't fix it.
    pub fn solve(photo_px: [u32; 2], cards: &[Card], paper: &Paper) -> Result<Self, Refusal> {
        let cards = &cards[..cards.len().min(MOST_CARDS)];
        let (mut marks, mut readings) = (BTreeMap::new(), Vec::new());
        for (i, card) in cards.iter().enumerate() {
            for (dot, at_px) in &card.dots {
                if let Some(mark) = name(i, *dot) {
                    marks.insert(mark, *at_px);
                }
            }
            readings.extend(if i == 0 { places(card, paper) } else { distances(i, card, paper) });
        }
        let solved = calibrate_plane(&Readings {
            picture_px: photo_px,
            hang: Hang::default(),
            grid: Grid { marks },
            sigma_mm: DOT_SD_MM,
            tape_class: None,
            lens: CAMERA,
            stand: None,
            stand_sd_mm: USUAL_STAND_SD_MM,
            readings,
        })?;
        let rings = cards.iter().filter_map(|card| {
            let (_, ring) = card.dots.iter().find(|(dot, _)| *dot == [0, 0])?;
            solved.value.table.mm_from_px(*ring)
        });
        let nearest = rings.min_by(|a, b| (a.x + a.y).total_cmp(&(b.x + b.y)));
        let noisy = |remark: &Remark| remark.place.field.as_deref() == Some("tape.sigma");
        let remarks = solved.remarks.iter().filter(|remark| noisy(remark)).map(|_| uneven()).collect();
        Ok(Self { zero_mm: nearest.unwrap_or_default().to_vector(), solved: solved.value, remarks })
    }

    /// The place on the table that a pixel of the photo shows, and its 95 % bound in mm.
    pub fn place(&self, at_px: Point<Pixel>) -> Option<(Point<Table>, f64)> {
        let at_mm = self.solved.table.mm_from_px(at_px)?;
        let bound_mm = self.solved.fit.as_ref()?.spread.bound95_mm(&self.solved.table, at_px)?;
        Some((at_mm, bound_mm))
    }
}

fn uneven() -> Remark {
    Remark::doubt("the cards' dots fit one another worse than print and photo should; the bound is widened by as much")
        .remedy("lay the cards flat, hold the camera still, and look whether the printer changed the size")
}

/// The mark that stands for a dot of a card.
fn name(card: usize, [column, row]: [usize; 2]) -> Option<MarkName> {
    MarkName::new(card * ROWS + row, column)
}

fn places(card: &Card, paper: &Paper) -> Vec<Reading> {
    let place = |(dot, _): &([usize; 2], Point<Pixel>)| {
        Some(Reading { kind: Kind::Place { mark: name(0, *dot)?, at_mm: paper.at_mm(*dot) }, height_mm: 0.0 })
    };
    card.dots.iter().filter_map(place).collect()
}

/// Distances from every dot to the card's corners: enough to hold its shape, few enough to be quick.
fn distances(i: usize, card: &Card, paper: &Paper) -> Vec<Reading> {
    let corners = [[0, 0], [COLUMNS - 1, 0], [COLUMNS - 1, ROWS - 1], [0, ROWS - 1]];
    let seen = |dot: &[usize; 2]| card.dots.iter().any(|(other, _)| other == dot);
    let corners: Vec<[usize; 2]> = corners.into_iter().filter(seen).collect();
    let mut readings = Vec::new();
    for (n, corner) in corners.iter().enumerate() {
        for (dot, _) in &card.dots {
            if corners[..=n].contains(dot) {
                continue;
            }
            let (Some(from), Some(to)) = (name(i, *corner), name(i, *dot)) else { continue };
            let distance_mm = (paper.at_mm(*dot) - paper.at_mm(*corner)).length();
            readings.push(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 });
        }
    }
    readings
}
