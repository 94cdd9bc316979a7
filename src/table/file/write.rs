//! Writing `table.toml`.

use std::fmt::Write;

use crate::geometry::{Pixel, Point};
use crate::table::sight::MAP_UNKNOWNS;
use crate::table::{Fit, KeptTable, Kind, Lens, MarkName, Reading, Record, Stand, Suspect, Table, TapeClass};

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
        write_record(&mut out, record, kept.fit.as_ref().and_then(|fit| fit.spread.tape_class));
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
    line(out, format_args!("model = {}\nnoise = {:?}\ntrusted = {}", quoted(&fit.model), fit.noise, fit.trusted));
    line(out, format_args!("bound95_largest_mm = {:?}", fit.bound95.largest_mm));
    line(out, format_args!("bound95_mean_mm = {:?}", fit.bound95.mean_mm));
    let cells = (0..MAP_UNKNOWNS).flat_map(|i| (0..=i).map(move |j| (i, j)));
    let cells: Vec<String> = cells.map(|at| format!("{:?}", fit.spread.covariance[at])).collect();
    line(out, format_args!("# of g0..g7, k1, k2 and the centre: the lower triangle, row by row"));
    line(out, format_args!("covariance = [{}]", cells.join(", ")));
    if let Some(date) = &fit.date {
        line(out, format_args!("date = {}", quoted(date)));
    }
    for Suspect { reading, residual_mm, says } in &fit.suspects {
        line(out, format_args!("[[fit.suspects]]\nreading = {}", quoted(reading)));
        line(out, format_args!("residual_mm = {residual_mm:?}\nsays = {}", quoted(says)));
    }
}

fn write_record(out: &mut String, record: &Record, class: Option<TapeClass>) {
    let mark = |(name, at): (&MarkName, &Point<Pixel>)| format!("{name} = [{:?}, {:?}]", at.x, at.y);
    let marks: Vec<String> = record.marks.iter().map(mark).collect();
    line(out, format_args!("\n[grid]\nmarks = {{ {} }}", marks.join(", ")));
    line(out, format_args!("\n[tape]\nsigma = {}", mm(record.sigma_mm)));
    match class {
        Some(TapeClass::One) => line(out, format_args!("class = \"I\"")),
        Some(TapeClass::Two) => line(out, format_args!("class = \"II\"")),
        None => {}
    }
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
