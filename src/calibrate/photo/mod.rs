//! A photo instead of a tape: where the thrown marks lie on the table, read off one picture of it.
//!
//! | stage | takes | gives |
//! |---|---|---|
//! | [`spots`] | grey values | round spots, dark and light, with their centres to a fraction of a pixel |
//! | [`lattice`] | spots | those that stand in rows and columns |
//! | [`card`] | dark lattices | check cards, each dot with its place on the card |
//! | [`camera`] | cards | the photo's own map to the table, solved as a table is: by the same network and lens models |
//!
//! A photo is to the camera what a thrown picture is to the projector: points of the table and their pixels, through a
//! homography and a lens. So the photo is solved by the same solver. One card gives places; every further card, laid
//! anywhere, gives the distances between its own dots, so that cards near the corners of the light hold the camera's
//! lens where one card alone would be carried far beyond its edge.
//!
//! The marks' places are then readings like those from a mat. All of them share the errors of the one photo, which no
//! residual can show; so the photo's own 95 % bound is stated as their noise, which widens the table's bound to it.

pub mod camera;
pub mod card;
pub mod lattice;
pub mod spots;

use image::GrayImage;

use super::readings::{Hang, LensBelief, USUAL_STAND_SD_MM};
use super::{Grid, Readings};
use crate::geometry::{Pixel, Point, Table};
use crate::remark::{Refusal, Remark, Told, told};
use crate::table::{Kind, MarkName, Reading};
use camera::Camera;
use card::{Card, Paper};
use lattice::Lattice;

/// The grid as it was thrown to be photographed.
#[derive(Clone, Debug, PartialEq)]
pub struct Thrown {
    /// Width and height of the projector's picture.
    pub picture_px: [u32; 2],
    /// Marks from left to right and from top to bottom.
    pub counts: [usize; 2],
    /// The marks.
    pub grid: Grid,
}

/// Fewest marks from which a table is worth solving.
const FEWEST_MARKS: usize = 8;

/// The places are written to this; finer than any photo tells.
const WRITTEN_MM: f64 = 0.01;

/// Readings off a photo of the thrown grid with at least one check card beside it.
///
/// # Errors
/// When no card or too few marks are found, with what to do.
pub fn readings(photo: &GrayImage, thrown: &Thrown, paper: &Paper) -> Told<Readings> {
    let cards: Vec<Card> = lattice::lattices(&spots::dark(photo)).iter().filter_map(Card::of).collect();
    if cards.is_empty() {
        return Err(no_card());
    }
    let marks = marks(&lattice::lattices(&spots::light(photo)), thrown)?;
    let camera = Camera::solve([photo.width(), photo.height()], &cards, paper)?;
    let mut remarks = camera.remarks.clone();
    let mut readings = Vec::new();
    let mut bound_mm = 0.0_f64;
    let zero = camera.zero_mm;
    for (mark, px) in &marks {
        let Some((at_mm, off_mm)) = camera.place(*px) else { continue };
        bound_mm = bound_mm.max(off_mm);
        readings.push(Reading { kind: Kind::Place { mark: *mark, at_mm: written(at_mm - zero) }, height_mm: 0.0 });
    }
    if cards.len() == 1 {
        remarks.push(
            Remark::doubt("one check card tells little of the corners that are far from it")
                .remedy("lay a card near each corner of the light, and take the photo again"),
        );
    }
    let readings = Readings {
        picture_px: thrown.picture_px,
        hang: Hang::default(),
        grid: thrown.grid.clone(),
        sigma_mm: bound_mm.max(WRITTEN_MM),
        tape_class: None,
        lens: LensBelief::default(),
        stand: None,
        stand_sd_mm: USUAL_STAND_SD_MM,
        readings,
    };
    told(readings, remarks)
}

fn written(at: Point<Table>) -> Point<Table> {
    let round = |mm: f64| (mm / WRITTEN_MM).round() * WRITTEN_MM;
    Point::new(round(at.x), round(at.y))
}

/// The thrown marks among the light lattices, each with its pixel in the photo.
fn marks(lattices: &[Lattice], thrown: &Thrown) -> Result<Vec<(MarkName, Point<Pixel>)>, Refusal> {
    let named = lattices.iter().filter_map(|lattice| named(lattice, thrown)).max_by_key(Vec::len);
    let most = lattices.iter().map(|lattice| lattice.spots.len()).max().unwrap_or(0);
    named.filter(|marks| marks.len() >= FEWEST_MARKS).ok_or_else(|| {
        let [columns, rows] = thrown.counts;
        Refusal::because(
            Remark::refusal(format!(
                "of the {} thrown dots, {columns} in a row and {rows} rows, only {most} were found in order",
                columns * rows
            ))
            .remedy(
                "throw the grid for photos ('chalklight grid --photo'), with the columns and rows named here; dim the \
                 room until dots and cards are both seen; lay the cards so that no dot falls on one; take the whole light into the \
                 photo, sharp and from above",
            ),
        )
    })
}

/// The marks of a lattice that is the thrown one: the two rings in its first row tell which way it lies.
fn named(lattice: &Lattice, thrown: &Thrown) -> Option<Vec<(MarkName, Point<Pixel>)>> {
    let lies = lattice.laid_as(thrown.counts, true, &[[0, 0], [1, 0]])?;
    lies.into_iter().map(|([column, row], at_px)| Some((MarkName::new(row, column)?, at_px))).collect()
}

fn no_card() -> Refusal {
    Refusal::because(Remark::refusal("no check card was found in the photo").remedy(
        "print the card ('chalklight card'), lay it flat within or beside the light with all its dots in the photo, \
             and light the room enough to see them; the photo must not be mirrored",
    ))
}
