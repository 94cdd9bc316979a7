//! `table.toml`: a kept table as text, written and read.
//!
//! Promised: what is written reads back as the same value, to the last digit. Numbers are checked on the way in: a
//! homography that is no map, a lens that folds the picture over, a length without a unit are refused with line, field
//! and remedy. Not done here: the disc ([`super::save`]) and trust ([`super::trusted`]).

use std::collections::BTreeMap;
use std::fmt::Write;

use serde::Deserialize;
use toml::Spanned;

use super::located::{LengthMm, field_at, line_at, toml_remark};
use super::{Fit, KeptTable, Kind, Lens, MarkName, Reading, Record, Stand, Suspect, Table};
use crate::geometry::{Pixel, Point};
use crate::remark::{Refusal, Remark, Told, told};

/// No projector has more pixels a side.
pub const MOST_PIXELS: u32 = 16_384;
/// No room is higher, no table longer.
pub const FARTHEST_MM: f64 = 50_000.0;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TableText {
    projector: ProjectorText,
    table: MapText,
    lens: Option<Spanned<LensText>>,
    fit: Option<FitText>,
    grid: Option<GridText>,
    tape: Option<TapeText>,
    #[serde(default)]
    reading: Vec<Spanned<ReadingText>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProjectorText {
    width: Spanned<u32>,
    height: Spanned<u32>,
    screen: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MapText {
    homography: Spanned<[f64; 9]>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LensText {
    centre: Option<[f64; 2]>,
    k1: Option<f64>,
    k2: Option<f64>,
    foot: Option<[LengthMm; 2]>,
    height: Option<LengthMm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FitText {
    rms_mm: f64,
    largest_mm: f64,
    worst: String,
    redundancy: usize,
    model: String,
    #[serde(default)]
    suspects: Vec<SuspectText>,
    date: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SuspectText {
    reading: String,
    residual_mm: f64,
    says: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GridText {
    marks: Spanned<BTreeMap<String, [f64; 2]>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TapeText {
    sigma: Spanned<LengthMm>,
}

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

/// Reads `table.toml`.
///
/// # Errors
/// Everything that is wrong with it, each with line, field and remedy.
pub fn read(text: &str) -> Told<KeptTable> {
    let raw: TableText = toml::from_str(text).map_err(|e| Refusal::because(toml_remark(text, &e)))?;
    let mut found = Found { text, remarks: Vec::new() };
    let picture_px = picture(&mut found, &raw.projector.width, &raw.projector.height);
    let homography = homography(&mut found, &raw.table.homography);
    let (lens, stand) = lens(&mut found, raw.lens.as_ref(), picture_px);
    let record = record(&mut found, raw.grid, raw.tape, &raw.reading);
    let fit = raw.fit.map(Fit::from);
    let table = Table { picture_px, homography, lens, stand };
    if found.remarks.is_empty() && !table.is_sound() {
        let remark = Remark::refusal("this map does not reach every corner of the picture")
            .remedy("solve the table again with 'chalklight calibrate'");
        found.at(raw.table.homography.span().start, remark);
    }
    told(KeptTable { table, screen: raw.projector.screen, fit, record }, found.remarks)
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

fn homography(found: &mut Found<'_>, raw: &Spanned<[f64; 9]>) -> [[f64; 3]; 3] {
    let h = raw.get_ref();
    let again = "solve the table again with 'chalklight calibrate'";
    if h.iter().any(|v| !v.is_finite()) || h[8] != 1.0 {
        let says = "a homography is 9 finite numbers, rows first, the last of them 1";
        found.at(raw.span().start, Remark::refusal(says).remedy(again));
    } else if nalgebra::Matrix3::from_row_slice(h).try_inverse().is_none() {
        let says = "this homography squeezes the table to a line";
        found.at(raw.span().start, Remark::refusal(says).remedy(again));
    }
    [[h[0], h[1], h[2]], [h[3], h[4], h[5]], [h[6], h[7], h[8]]]
}

fn lens(found: &mut Found<'_>, raw: Option<&Spanned<LensText>>, picture_px: [u32; 2]) -> (Lens, Option<Stand>) {
    let none = Lens::none(picture_px);
    let Some(raw) = raw else { return (none, None) };
    let (start, text) = (raw.span().start, raw.get_ref());
    let lens = Lens {
        centre_px: text.centre.map_or(none.centre_px, |[x, y]| Point::new(x, y)),
        k1: text.k1.unwrap_or(0.0),
        k2: text.k2.unwrap_or(0.0),
    };
    if ![lens.centre_px.x, lens.centre_px.y, lens.k1, lens.k2].iter().all(|v| v.is_finite()) {
        let says = "the lens terms must be finite numbers";
        found.at(start, Remark::refusal(says).field("lens.k1").remedy("take [lens] out, or solve the table again"));
    }
    (lens, stand(found, start, text.foot, text.height))
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

fn record(
    found: &mut Found<'_>,
    grid: Option<GridText>,
    tape: Option<TapeText>,
    readings: &[Spanned<ReadingText>],
) -> Option<Record> {
    let (grid, tape) = (grid?, tape?);
    let marks = named_marks(found, &grid.marks);
    let sigma_mm = sigma(found, &tape.sigma);
    let readings = readings.iter().filter_map(|raw| reading(found, raw)).collect();
    Some(Record { marks, sigma_mm, readings })
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

fn place(found: &mut Found<'_>, start: usize, at: [LengthMm; 2]) -> Option<Point<crate::geometry::Table>> {
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

impl From<FitText> for Fit {
    fn from(raw: FitText) -> Self {
        let suspect = |s: SuspectText| Suspect { reading: s.reading, residual_mm: s.residual_mm, says: s.says };
        Self {
            rms_mm: raw.rms_mm,
            largest_mm: raw.largest_mm,
            worst: raw.worst,
            redundancy: raw.redundancy,
            model: raw.model,
            suspects: raw.suspects.into_iter().map(suspect).collect(),
            date: raw.date,
        }
    }
}

/// Writes `table.toml`.
pub fn write(kept: &KeptTable) -> String {
    let mut out = String::new();
    let table = &kept.table;
    let [width, height] = table.picture_px;
    line(&mut out, format_args!("[projector]\nwidth = {width}\nheight = {height}"));
    if let Some(screen) = &kept.screen {
        line(&mut out, format_args!("screen = {}", quoted(screen)));
    }
    let h: Vec<String> = table.homography.iter().flatten().map(|v| format!("{v:?}")).collect();
    line(&mut out, format_args!("\n[table]\n# table mm to ideal pixel, rows first\nhomography = [{}]", h.join(", ")));
    write_lens(&mut out, table);
    if let Some(fit) = &kept.fit {
        write_fit(&mut out, fit);
    }
    if let Some(record) = &kept.record {
        write_record(&mut out, record);
    }
    out
}

/// A line of the file; writing to a string cannot fail.
fn line(out: &mut String, text: std::fmt::Arguments<'_>) {
    let _ = writeln!(out, "{text}");
}

fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

fn mm(value: f64) -> String {
    format!("\"{value} mm\"")
}

fn write_lens(out: &mut String, table: &Table) {
    let lens = &table.lens;
    if lens.is_none() && table.stand.is_none() {
        return;
    }
    line(out, format_args!("\n[lens]"));
    if !lens.is_none() {
        let Lens { centre_px, k1, k2 } = lens;
        line(out, format_args!("centre = [{:?}, {:?}]\nk1 = {k1:?}\nk2 = {k2:?}", centre_px.x, centre_px.y));
    }
    if let Some(Stand { foot_mm, height_mm }) = &table.stand {
        line(out, format_args!("foot = [{}, {}]\nheight = {}", mm(foot_mm.x), mm(foot_mm.y), mm(*height_mm)));
    }
}

fn write_fit(out: &mut String, fit: &Fit) {
    line(out, format_args!("\n[fit]\nrms_mm = {:?}\nlargest_mm = {:?}", fit.rms_mm, fit.largest_mm));
    line(out, format_args!("worst = {}\nredundancy = {}", quoted(&fit.worst), fit.redundancy));
    line(out, format_args!("model = {}", quoted(&fit.model)));
    if let Some(date) = &fit.date {
        line(out, format_args!("date = {}", quoted(date)));
    }
    for Suspect { reading, residual_mm, says } in &fit.suspects {
        line(out, format_args!("[[fit.suspects]]\nreading = {}", quoted(reading)));
        line(out, format_args!("residual_mm = {residual_mm:?}\nsays = {}", quoted(says)));
    }
}

fn write_record(out: &mut String, record: &Record) {
    let mark = |(name, at): (&MarkName, &Point<Pixel>)| format!("{name} = [{:?}, {:?}]", at.x, at.y);
    let marks: Vec<String> = record.marks.iter().map(mark).collect();
    line(out, format_args!("\n[grid]\nmarks = {{ {} }}", marks.join(", ")));
    line(out, format_args!("\n[tape]\nsigma = {}", mm(record.sigma_mm)));
    for reading in &record.readings {
        write_reading(out, reading);
    }
}

fn write_reading(out: &mut String, reading: &Reading) {
    line(out, format_args!("\n[[reading]]"));
    match &reading.kind {
        Kind::Place { mark, at_mm } => {
            line(out, format_args!("mark = \"{mark}\"\nat = [{}, {}]", mm(at_mm.x), mm(at_mm.y)));
        }
        Kind::Distance { from, to, distance_mm } => {
            line(out, format_args!("from = \"{from}\"\nto = \"{to}\"\ndistance = {}", mm(*distance_mm)));
        }
    }
    if reading.height_mm != 0.0 {
        line(out, format_args!("height = {}", mm(reading.height_mm)));
    }
}
