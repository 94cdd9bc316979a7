//! `readings.toml`: mirrors the file, checks it, and gives [`Readings`]; computes nothing.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use super::grid::USUAL_MARGIN;
use super::readings::{Hang, LensBelief, USUAL_STAND_SD_MM};
use super::twice::twice;
use super::{Grid, Readings};
use crate::entries::other::{READINGS, another};
use crate::geometry::Point;
use crate::remark::{Refusal, Remark, Told, told};
use crate::table::file::parts::{Found, ReadingText, named_marks, picture, reading, sigma, stand, tape_class};
use crate::table::located::{LengthMm, toml_remark};
use crate::table::reading::{MOST_COLUMNS, MOST_ROWS};
use crate::table::{Kind, MarkName, Reading};

/// Noise of one reading where the file says nothing: half a millimetre, what a careful eye reads from a tape.
const USUAL_SIGMA_MM: f64 = 0.5;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    projector: ProjectorText,
    grid: Spanned<GridText>,
    tape: Option<TapeText>,
    lens: Option<Spanned<LensText>>,
    #[serde(default)]
    reading: Vec<Spanned<ReadingText>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProjectorText {
    width: Spanned<u32>,
    height: Spanned<u32>,
    #[serde(default)]
    mirrored: bool,
    turned: Option<Spanned<i64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GridText {
    columns: Option<Spanned<u32>>,
    rows: Option<Spanned<u32>>,
    margin: Option<Spanned<f64>>,
    marks: Option<Spanned<BTreeMap<String, [f64; 2]>>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TapeText {
    sigma: Option<Spanned<LengthMm>>,
    class: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LensText {
    centre: Option<[f64; 2]>,
    k1: Option<f64>,
    k2: Option<f64>,
    k1_sigma: Option<f64>,
    k2_sigma: Option<f64>,
    centre_sigma: Option<f64>,
    stand_sigma: Option<LengthMm>,
    foot: Option<[LengthMm; 2]>,
    height: Option<LengthMm>,
}

/// Reads `readings.toml`.
///
/// # Errors
/// Everything that is wrong with it, each with line, field and remedy.
pub fn read(text: &str) -> Told<Readings> {
    if let Some(remark) = another(text, READINGS) {
        return Err(Refusal::because(remark));
    }
    let raw: FileText = toml::from_str(text).map_err(|e| Refusal::because(toml_remark(text, &e)))?;
    let mut found = Found { text, remarks: Vec::new() };
    let picture_px = picture(&mut found, &raw.projector.width, &raw.projector.height);
    let hang = Hang { mirrored: raw.projector.mirrored, quarter_turns: turned(&mut found, &raw.projector) };
    let grid = grid(&mut found, &raw.grid, picture_px);
    let sigma_mm = match raw.tape.as_ref().and_then(|tape| tape.sigma.as_ref()) {
        Some(raw) => sigma(&mut found, raw),
        None => USUAL_SIGMA_MM,
    };
    let tape_class = raw.tape.as_ref().and_then(|tape| tape_class(&mut found, tape.class.as_ref()?));
    let stand = raw.lens.as_ref().and_then(|lens| {
        let LensText { foot, height, .. } = lens.get_ref();
        stand(&mut found, lens.span().start, *foot, *height)
    });
    let stand_sd_mm = raw.lens.as_ref().and_then(|l| l.get_ref().stand_sigma).map_or(USUAL_STAND_SD_MM, |l| l.0);
    let lens = raw.lens.as_ref().map_or_else(LensBelief::default, |raw| lens(&mut found, raw));
    let readings = readings(&mut found, &raw.reading, &grid);
    told(Readings { picture_px, hang, grid, sigma_mm, tape_class, lens, stand, stand_sd_mm, readings }, found.remarks)
}

/// Writes readings of places and distances as a file that [`read`] takes; every mark's pixel is given.
pub fn write(readings: &Readings) -> String {
    use std::fmt::Write;
    let [width, height] = readings.picture_px;
    let marks: Vec<String> =
        readings.grid.marks.iter().map(|(mark, at)| format!("{mark} = [{}, {}]", at.x, at.y)).collect();
    let mut text = format!(
        "[projector]\nwidth = {width}\nheight = {height}\n\n[grid]\nmarks = {{ {} }}\n\n[tape]\nsigma = \"{:.3} mm\"\n",
        marks.join(", "),
        readings.sigma_mm
    );
    for reading in &readings.readings {
        let measured = match reading.kind {
            Kind::Place { mark, at_mm } => {
                format!("mark = \"{mark}\"\nat = [\"{:.2} mm\", \"{:.2} mm\"]", at_mm.x, at_mm.y)
            }
            Kind::Distance { from, to, distance_mm } => {
                format!("from = \"{from}\"\nto = \"{to}\"\ndistance = \"{distance_mm:.2} mm\"")
            }
        };
        // Writing to a text can't fail.
        let _ = write!(text, "\n[[reading]]\n{measured}\n");
    }
    text
}

fn lens(found: &mut Found<'_>, raw: &Spanned<LensText>) -> LensBelief {
    let usual = LensBelief::default();
    let text = raw.get_ref();
    let widths = [text.k1_sigma, text.k2_sigma, text.centre_sigma, text.stand_sigma.map(|l| l.0)];
    if widths.iter().flatten().any(|sd| !(*sd > 0.0 && *sd <= 1000.0)) {
        let remark = Remark::refusal("a sigma of the lens is a number above 0").field("lens");
        found.at(raw.span().start, remark.remedy("take it out to use the usual one"));
    }
    let terms = [text.k1, text.k2].map(Option::unwrap_or_default);
    let centre = text.centre.unwrap_or_default();
    if terms.iter().any(|k| k.is_nan() || k.abs() > 0.3) || centre.iter().any(|v| !v.is_finite()) {
        let remark = Remark::refusal("no projector's lens has such terms").field("lens");
        found.at(
            raw.span().start,
            remark.remedy("write k1 and k2 in units of half the picture's diagonal, the centre in pixels"),
        );
    }
    LensBelief {
        known: (text.k1.is_some() || text.k2.is_some()).then_some(terms),
        centre_px: text.centre.map(|[x, y]| Point::new(x, y)),
        k1_sd: text.k1_sigma.unwrap_or(usual.k1_sd),
        k2_sd: text.k2_sigma.unwrap_or(usual.k2_sd),
        centre_sd: text.centre_sigma.unwrap_or(usual.centre_sd),
    }
}

fn turned(found: &mut Found<'_>, projector: &ProjectorText) -> u8 {
    let Some(raw) = &projector.turned else { return 0 };
    match raw.get_ref() {
        0 => 0,
        90 => 1,
        180 => 2,
        270 => 3,
        other => {
            let says = format!("a picture turned by {other} degrees is not known");
            found.at(raw.span().start, Remark::refusal(says).remedy("write 0, 90, 180 or 270"));
            0
        }
    }
}

fn grid(found: &mut Found<'_>, raw: &Spanned<GridText>, picture_px: [u32; 2]) -> Grid {
    let start = raw.span().start;
    match raw.get_ref() {
        GridText { columns: Some(columns), rows: Some(rows), margin, marks: None } => {
            even_grid(found, [columns, rows], margin.as_ref(), picture_px)
        }
        GridText { columns: None, rows: None, margin: None, marks: Some(marks) } => {
            let grid = Grid { marks: named_marks(found, marks) };
            check_marks(found, marks.span().start, &grid, picture_px);
            grid
        }
        _ => {
            let says = "the grid is given by columns, rows and margin, or by marks";
            let how = "write what 'chalklight grid' was told: columns = 5, rows = 3, margin = 0.06";
            found.at(start, Remark::refusal(says).field("grid").remedy(how));
            Grid { marks: BTreeMap::new() }
        }
    }
}

fn even_grid(
    found: &mut Found<'_>,
    counts: [&Spanned<u32>; 2],
    margin: Option<&Spanned<f64>>,
    picture_px: [u32; 2],
) -> Grid {
    let before = found.remarks.len();
    for (count, most) in counts.iter().zip([MOST_COLUMNS, MOST_ROWS]) {
        if !(2..=u32::from(most)).contains(count.get_ref()) {
            let says = format!("a grid can't have {} rows or columns", count.get_ref());
            found.at(count.span().start, Remark::refusal(says).remedy(format!("write 2 to {most}")));
        }
    }
    let value = margin.map_or(USUAL_MARGIN, |m| *m.get_ref());
    if let Some(raw) = margin.filter(|_| !(0.0..0.5).contains(&value)) {
        let says = format!("a margin of {value} leaves no picture");
        let how = "write the margin as a fraction of the picture's side, such as 0.06";
        found.at(raw.span().start, Remark::refusal(says).remedy(how));
    }
    if found.remarks.len() > before {
        return Grid { marks: BTreeMap::new() };
    }
    Grid::even(picture_px, *counts[0].get_ref() as usize, *counts[1].get_ref() as usize, value)
}

fn check_marks(found: &mut Found<'_>, start: usize, grid: &Grid, picture_px: [u32; 2]) {
    let [width, height] = picture_px.map(f64::from);
    for (mark, at) in &grid.marks {
        if !(0.0..=width).contains(&at.x) || !(0.0..=height).contains(&at.y) {
            let says = format!("mark {mark} at {}, {} lies outside the picture of {width} by {height}", at.x, at.y);
            found.at(start, Remark::refusal(says).field("grid.marks").remedy("write its pixel, or take the mark out"));
        }
    }
}

fn readings(found: &mut Found<'_>, raw: &[Spanned<ReadingText>], grid: &Grid) -> Vec<Reading> {
    /// More readings than anyone takes with a tape; it bounds the work.
    const MOST_READINGS: usize = 2000;
    if raw.len() > MOST_READINGS {
        let says = format!("{} readings are more than can be worked on", raw.len());
        found.at(raw[MOST_READINGS].span().start, Remark::refusal(says).remedy(format!("keep {MOST_READINGS}")));
        return Vec::new();
    }
    let (mut kept, mut starts) = (Vec::new(), Vec::new());
    for text in raw {
        let Some(reading) = reading(found, text) else { continue };
        starts.push(text.span().start);
        let unknown: Vec<MarkName> = reading.marks().filter(|m| grid.px(*m).is_none()).collect();
        if let Some(mark) = unknown.first().filter(|_| !grid.marks.is_empty()) {
            let remark = Remark::refusal(format!("there is no mark {mark} in this grid")).remedy(marks_in_words(grid));
            found.at(text.span().start, remark.field("reading"));
        }
        kept.push(reading);
    }
    for (i, remark) in twice(&kept, grid) {
        found.at(starts[i], remark.field("reading"));
    }
    kept
}

fn marks_in_words(grid: &Grid) -> String {
    match (grid.marks.keys().next(), grid.marks.keys().last()) {
        (Some(first), Some(last)) => format!("its marks run from {first} to {last}; look at the picture again"),
        _ => "give the grid some marks".to_owned(),
    }
}
