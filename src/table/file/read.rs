//! Reading `table.toml`: mirrors the file, checks it, computes nothing.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use super::parts::{Found, ReadingText, named_marks, picture, reading, sigma, stand, tape_class};
use crate::entries::other::{TABLE, another};
use crate::geometry::Point;
use crate::remark::{Refusal, Remark, Told, told};
use crate::table::bound::Covariance;
use crate::table::located::{LengthMm, toml_remark};
use crate::table::sight::MAP_UNKNOWNS;
use crate::table::{Bound, Fit, KeptTable, Lens, Record, Spread, Stand, Suspect, Table, TapeClass};

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
    noise: f64,
    trusted: bool,
    bound95_largest_mm: f64,
    bound95_mean_mm: f64,
    covariance: Spanned<Vec<f64>>,
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
    class: Option<Spanned<String>>,
}

/// Reads `table.toml`.
///
/// # Errors
/// Everything that is wrong with it, each with line, field and remedy.
pub fn read(text: &str) -> Told<KeptTable> {
    if let Some(remark) = another(text, TABLE).filter(|_| !is_of_readings(text)) {
        return Err(Refusal::because(remark));
    }
    let raw: TableText = toml::from_str(text)
        .map_err(|e| Refusal::because(if is_of_readings(text) { no_table() } else { toml_remark(text, &e) }))?;
    let mut found = Found { text, remarks: Vec::new() };
    let picture_px = picture(&mut found, &raw.projector.width, &raw.projector.height);
    let homography = homography(&mut found, &raw.table.homography);
    let (lens, stand) = lens(&mut found, raw.lens.as_ref(), picture_px);
    let class = raw.tape.as_ref().and_then(|tape| tape_class(&mut found, tape.class.as_ref()?));
    let fit = raw.fit.map(|fit| read_fit(&mut found, fit, class));
    let record = record(&mut found, raw.grid, raw.tape, &raw.reading);
    let table = Table { picture_px, homography, lens, stand };
    if found.remarks.is_empty() && !table.is_sound() {
        let remark = Remark::refusal("this map does not reach every corner of the picture")
            .remedy("solve the table again with 'chalklight calibrate'");
        found.at(raw.table.homography.span().start, remark);
    }
    told(KeptTable { table, screen: raw.projector.screen, fit, record }, found.remarks)
}

/// Whether a file that is no table holds the readings that one is made of.
fn is_of_readings(text: &str) -> bool {
    text.parse::<toml::Table>().is_ok_and(|file| file.contains_key("reading") && !file.contains_key("table"))
}

fn no_table() -> Remark {
    Remark::refusal("these are readings, and no table yet")
        .field("the file")
        .remedy("make one of them with 'chalklight calibrate READINGS --out TABLE.toml'")
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

fn read_fit(found: &mut Found<'_>, raw: FitText, tape_class: Option<TapeClass>) -> Fit {
    let suspect = |s: SuspectText| Suspect { reading: s.reading, residual_mm: s.residual_mm, says: s.says };
    let covariance = covariance(&raw.covariance).unwrap_or_else(|| {
        let says = format!("a covariance is the lower triangle of {MAP_UNKNOWNS} rows, and never negative");
        let how = "solve the table again with 'chalklight calibrate'";
        found.at(raw.covariance.span().start, Remark::refusal(says).field("fit.covariance").remedy(how));
        Covariance::zeros()
    });
    Fit {
        rms_mm: raw.rms_mm,
        largest_mm: raw.largest_mm,
        worst: raw.worst,
        redundancy: raw.redundancy,
        model: raw.model,
        noise: raw.noise,
        suspects: raw.suspects.into_iter().map(suspect).collect(),
        bound95: Bound { largest_mm: raw.bound95_largest_mm, mean_mm: raw.bound95_mean_mm },
        spread: Spread { covariance, tape_class },
        trusted: raw.trusted,
        date: raw.date,
    }
}

/// The whole matrix of its lower triangle, written row by row.
fn covariance(raw: &Spanned<Vec<f64>>) -> Option<Covariance> {
    let triangle = raw.get_ref();
    if triangle.len() != MAP_UNKNOWNS * (MAP_UNKNOWNS + 1) / 2 || triangle.iter().any(|v| !v.is_finite()) {
        return None;
    }
    let at = |i: usize, j: usize| triangle[i.max(j) * (i.max(j) + 1) / 2 + i.min(j)];
    let whole = Covariance::from_fn(at);
    whole.diagonal().iter().all(|v| *v >= 0.0).then_some(whole)
}
