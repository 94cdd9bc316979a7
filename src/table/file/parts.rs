//! What `table.toml` and `readings.toml` have in common: the picture's size, marks, noise, stand and readings, each checked.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::geometry::{self, Pixel, Point};
use crate::remark::Remark;
use crate::table::located::{LengthMm, field_at, line_at};
use crate::table::{Kind, MarkName, Reading, Stand, TapeClass};

/// No projector has more pixels a side.
pub const MOST_PIXELS: u32 = 16_384;
/// No room is higher, no table longer.
pub const FARTHEST_MM: f64 = 50_000.0;

/// A `[[reading]]`, as `readings.toml` and `table.toml` both write it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingText {
    mark: Option<Spanned<String>>,
    at: Option<[LengthMm; 2]>,
    from: Option<Spanned<String>>,
    to: Option<Spanned<String>>,
    distance: Option<Spanned<LengthMm>>,
    height: Option<Spanned<LengthMm>>,
}

/// The text being read and what was found wrong so far.
pub struct Found<'a> {
    /// The text.
    pub text: &'a str,
    /// Everything found so far.
    pub remarks: Vec<Remark>,
}

impl Found<'_> {
    /// Adds a remark at a place of the text.
    pub fn at(&mut self, offset: usize, remark: Remark) {
        let remark = remark.line(line_at(self.text, offset));
        self.remarks.push(match (&remark.place.field, field_at(self.text, offset)) {
            (None, Some(field)) => remark.field(field),
            _ => remark,
        });
    }
}

/// Width and height of the picture, checked.
pub fn picture(found: &mut Found<'_>, width: &Spanned<u32>, height: &Spanned<u32>) -> [u32; 2] {
    for side in [width, height] {
        if !(16..=MOST_PIXELS).contains(side.get_ref()) {
            let remark = Remark::refusal(format!("{} pixels is no side of a projector's picture", side.get_ref()))
                .remedy("write the projector's own size, such as 1920 by 1080");
            found.at(side.span().start, remark);
        }
    }
    [*width.get_ref(), *height.get_ref()]
}

/// Where the lens stands: both foot and height, or neither.
pub fn stand(
    found: &mut Found<'_>,
    start: usize,
    foot: Option<[LengthMm; 2]>,
    height: Option<LengthMm>,
) -> Option<Stand> {
    match (foot, height) {
        (Some([LengthMm(x), LengthMm(y)]), Some(LengthMm(height_mm))) => {
            if !(100.0..=FARTHEST_MM).contains(&height_mm) {
                let says = format!("a lens {height_mm} mm above the table is not believable");
                found.at(start, Remark::refusal(says).field("lens.height").remedy("write it as \"1980 mm\""));
            }
            Some(Stand { foot_mm: Point::new(x, y), height_mm })
        }
        (None, None) => None,
        (foot, _) => {
            let (missing, how) = if foot.is_none() {
                ("foot", "hang a plumb line from the lens and write where it meets the table")
            } else {
                ("height", "write the lens's height above the table")
            };
            let says = format!("'{missing}' is missing; foot and height are needed together");
            found.at(start, Remark::refusal(says).field(format!("lens.{missing}")).remedy(how));
            None
        }
    }
}

/// The noise of one reading, checked.
pub fn sigma(found: &mut Found<'_>, raw: &Spanned<LengthMm>) -> f64 {
    let LengthMm(sigma_mm) = *raw.get_ref();
    if !(0.01..=20.0).contains(&sigma_mm) {
        let says = format!("no tape reads to {sigma_mm} mm");
        found.at(raw.span().start, Remark::refusal(says).remedy("write the noise of one reading, such as \"0.5 mm\""));
    }
    sigma_mm
}

/// Marks given by name and pixel.
pub fn named_marks(
    found: &mut Found<'_>,
    raw: &Spanned<BTreeMap<String, [f64; 2]>>,
) -> BTreeMap<MarkName, Point<Pixel>> {
    let mut marks = BTreeMap::new();
    for (name, [x, y]) in raw.get_ref() {
        match name.parse() {
            Ok(mark) if x.is_finite() && y.is_finite() => {
                marks.insert(mark, Point::new(*x, *y));
            }
            Ok(_) => {
                let says = format!("mark {name} has no place in the picture");
                found.at(raw.span().start, Remark::refusal(says).remedy("write its pixel as two numbers"));
            }
            Err(_) => found.at(raw.span().start, no_mark(name)),
        }
    }
    marks
}

fn no_mark(name: &str) -> Remark {
    Remark::refusal(format!("'{name}' is no mark's name"))
        .remedy("write the row's letter and the column's number, such as B3")
}

/// One reading; none when something was found wrong with it.
pub fn reading(found: &mut Found<'_>, raw: &Spanned<ReadingText>) -> Option<Reading> {
    let (start, text) = (raw.span().start, raw.get_ref());
    let height_mm = height(found, text.height.as_ref())?;
    let kind = match (&text.mark, text.at, &text.from, &text.to, &text.distance) {
        (Some(mark), Some(at), None, None, None) => {
            Kind::Place { mark: mark_name(found, mark)?, at_mm: place(found, mark.span().start, at)? }
        }
        (None, None, Some(from), Some(to), Some(distance)) => {
            let (from, to_name) = (mark_name(found, from)?, mark_name(found, to)?);
            if from == to_name {
                let says = format!("{from} to {to_name} is a distance from a mark to itself");
                found.at(to.span().start, Remark::refusal(says).remedy("write the other mark's name"));
                return None;
            }
            Kind::Distance { from, to: to_name, distance_mm: distance_mm(found, distance)? }
        }
        _ => {
            let says = "a reading is a mark and its place, or two marks and their distance";
            let how = "write mark and at, or from, to and distance, and nothing else but height";
            found.at(start, Remark::refusal(says).remedy(how));
            return None;
        }
    };
    Some(Reading { kind, height_mm })
}

fn mark_name(found: &mut Found<'_>, raw: &Spanned<String>) -> Option<MarkName> {
    let name = raw.get_ref().parse().ok();
    if name.is_none() {
        found.at(raw.span().start, no_mark(raw.get_ref()));
    }
    name
}

fn place(found: &mut Found<'_>, start: usize, at: [LengthMm; 2]) -> Option<Point<geometry::Table>> {
    let [LengthMm(x), LengthMm(y)] = at;
    let near = x.abs() <= FARTHEST_MM && y.abs() <= FARTHEST_MM;
    if !near {
        let says = format!("{x} mm, {y} mm is on no table");
        found.at(start, Remark::refusal(says).remedy("look at the unit and the decimal mark"));
    }
    near.then(|| Point::new(x, y))
}

fn distance_mm(found: &mut Found<'_>, raw: &Spanned<LengthMm>) -> Option<f64> {
    let LengthMm(mm) = *raw.get_ref();
    let believable = mm > 0.0 && mm <= FARTHEST_MM;
    if !believable {
        let says = format!("{mm} mm is no distance between two marks");
        found.at(raw.span().start, Remark::refusal(says).remedy("look at the unit and the decimal mark"));
    }
    believable.then_some(mm)
}

fn height(found: &mut Found<'_>, raw: Option<&Spanned<LengthMm>>) -> Option<f64> {
    const HIGHEST_BOARD_MM: f64 = 500.0;
    let Some(raw) = raw else { return Some(0.0) };
    let LengthMm(mm) = *raw.get_ref();
    let believable = (0.0..=HIGHEST_BOARD_MM).contains(&mm);
    if !believable {
        let says = format!("a board {mm} mm above the table is not believable");
        found.at(raw.span().start, Remark::refusal(says).remedy("write the board's thickness, such as \"18 mm\""));
    }
    believable.then_some(mm)
}

/// The tape's accuracy class, checked.
pub fn tape_class(found: &mut Found<'_>, raw: &Spanned<String>) -> Option<TapeClass> {
    match raw.get_ref().trim() {
        "I" | "1" => Some(TapeClass::One),
        "II" | "2" => Some(TapeClass::Two),
        other => {
            let says = format!("'{other}' is no accuracy class of a tape");
            found.at(
                raw.span().start,
                Remark::refusal(says).remedy("write \"I\" or \"II\" as it stands in the oval on the tape"),
            );
            None
        }
    }
}
