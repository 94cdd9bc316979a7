//! How a photo of the cloth is to be read: `[photo]` says what in it has a known size, and where that lies on the cloth.

use super::read::length_within;
use crate::entries::{Entries, Placed, Source, shown};
use crate::remark::{Told, told};

/// Sizes that something in a photo of cloth can have.
const SIZE_MM: [f64; 2] = [10.0, 20_000.0];

/// Places on a cloth that a photo can be of.
const AT_MM: [f64; 2] = [-200_000.0, 200_000.0];

/// Degrees that a cloth can lie askew in a photo.
const MOST_SLANT_DEG: f64 = 15.0;

/// How a photo of the cloth is to be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Photo {
    /// What in it has a known size.
    pub known: Known,
    /// Where the first corner of the rectangle, or else the photo's lower left corner, lies on the open cloth: along from
    /// the cut end, and across from the selvedge that is lower in the photo.
    pub at_mm: [f64; 2],
    /// How far the cloth is turned in the photo from where its selvedge should lie, from along towards across.
    pub slant_deg: f64,
}

/// What in a photo has a known size; places in its pixels from the outer corner of the top left one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known {
    /// A rectangle, seen from anywhere: lower left, lower right, upper right, upper left, lower edge along the selvedge.
    Corners {
        /// Its corners in the photo.
        at_px: [[f64; 2]; 4],
        /// Its size along the selvedge and across.
        size_mm: [f64; 2],
    },
    /// A length, in a photo taken from straight above with the selvedge along its lower edge.
    Length {
        /// Its ends in the photo.
        at_px: [[f64; 2]; 2],
        /// What it measures.
        mm: f64,
    },
}

/// Reads `[photo]`.
pub fn photo(mut section: Entries<'_, '_>) -> Option<Photo> {
    let corners = section.points("corners");
    let size = pair(&mut section, "size", SIZE_MM);
    let ends = section.points("ends");
    let length = length_within(&mut section, "length", SIZE_MM, "a length in a photo of cloth");
    let at_mm = pair(&mut section, "at", AT_MM);
    let slant_deg = slant(&mut section);
    let known = match (corners, ends) {
        (Some(corners), None) => rectangle(&section, &corners, size),
        (None, Some(ends)) => {
            let mm = length.map(|length| length.value.mm);
            if mm.is_none() {
                section.missing("length", "measure between the two ends, and write length = \"30 cm\"");
            }
            known_length(&section, &ends, mm)
        }
        (Some(corners), Some(_)) => {
            let sentence = "corners and ends can't both say how large the photo is".to_owned();
            section.fault("corners", corners.line, sentence, "leave one of the two out");
            None
        }
        (None, None) => None,
    };
    section.close();
    Some(Photo { known: known?, at_mm: at_mm.unwrap_or_default(), slant_deg: slant_deg.unwrap_or_default() })
}

/// Reads `[photo]` of an order's text and nothing else of it; none when there is no such section.
///
/// # Errors
/// Every fault of it, and whatever is no TOML.
pub fn read_photo(text: &str) -> Told<Option<Photo>> {
    let source = Source::new(text);
    let read = source.entries().section("photo").and_then(photo);
    told(read, source.faults())
}

/// How far the cloth lies askew: a number and `deg`.
fn slant(section: &mut Entries<'_, '_>) -> Option<f64> {
    let text = section.text("slant")?;
    let degrees = text.value.trim().strip_suffix("deg").and_then(|number| number.trim().parse::<f64>().ok());
    let believed = degrees.filter(|degrees| degrees.abs() <= MOST_SLANT_DEG);
    if believed.is_none() {
        let sentence = format!("slant = \"{}\" is no turn of a cloth in its photo", shown(&text.value));
        let remedy = format!("write degrees from -{MOST_SLANT_DEG} to {MOST_SLANT_DEG}: slant = \"1.4 deg\"");
        section.fault("slant", text.line, sentence, remedy);
    }
    believed
}

fn rectangle(section: &Entries<'_, '_>, corners: &Placed<Vec<[f64; 2]>>, size_mm: Option<[f64; 2]>) -> Option<Known> {
    let at_px = <[[f64; 2]; 4]>::try_from(corners.value.clone()).ok().filter(goes_round);
    if at_px.is_none() {
        let sentence = "corners are not the four corners of a rectangle, one after the other".to_owned();
        let remedy = "write them in pixels from the top left: lower left, lower right, upper right, upper left";
        section.fault("corners", corners.line, sentence, remedy);
    }
    if size_mm.is_none() {
        section.missing("size", "measure the rectangle, and write size = [\"30 cm\", \"20 cm\"], along and across");
    }
    Some(Known::Corners { at_px: at_px?, size_mm: size_mm? })
}

fn known_length(section: &Entries<'_, '_>, ends: &Placed<Vec<[f64; 2]>>, mm: Option<f64>) -> Option<Known> {
    let at_px = <[[f64; 2]; 2]>::try_from(ends.value.clone()).ok();
    let at_px = at_px.filter(|[a, b]| (b[0] - a[0]).hypot(b[1] - a[1]) >= 1.0);
    if at_px.is_none() {
        let sentence = "ends are not two places in the photo".to_owned();
        section.fault("ends", ends.line, sentence, "write both in pixels from the top left: [[120, 80], [1800, 95]]");
    }
    Some(Known::Length { at_px: at_px?, mm: mm? })
}

/// Whether four corners go once round a convex shape, the lower edge first (y down, so against the clock as it is seen).
fn goes_round(at_px: &[[f64; 2]; 4]) -> bool {
    (0..4).all(|i| {
        let [a, b, c] = [0, 1, 2].map(|k| at_px[(i + k) % 4]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) < 0.0
    })
}

/// Two lengths, along and across, each within a range.
fn pair(section: &mut Entries<'_, '_>, key: &'static str, [low, high]: [f64; 2]) -> Option<[f64; 2]> {
    let read = section.lengths(key)?;
    match read.value.as_slice() {
        [along, across] if [along, across].iter().all(|length| (low..=high).contains(&length.mm)) => {
            Some([along.mm, across.mm])
        }
        _ => {
            let sentence = format!("{key} needs two lengths of cloth, along and across");
            section.fault(key, read.line, sentence, format!("write {key} = [\"30 cm\", \"20 cm\"]"));
            None
        }
    }
}
