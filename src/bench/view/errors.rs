//! The error map: the lit area with how far off a line can be in it, where each mark is lit, and how far from there she
//! read it, drawn a hundred times larger.

use egui::{Align2, vec2};

use super::canvas::{Canvas, Pen, canvas};
use crate::bench::model::Bench;
use crate::bench::residual::lit_mm;
use crate::geometry::{Point, Table};
use crate::table::{KeptTable, Kind};

/// How much larger an error is drawn than it is.
const ENLARGED: f64 = 100.0;

/// The bound is drawn at so many columns and rows.
const LATTICE: [usize; 2] = [9, 5];

/// Shows the table that the readings give, or else the one that lies here.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let solved = bench.solved().and_then(|told| told.as_ref().ok()).map(|told| &told.value);
    let Some((kept, whence)) = solved
        .map(|kept| (kept, "as the readings give it"))
        .or(bench.table.as_ref().map(|table| (&table.kept, "as it lies here")))
    else {
        canvas(ui, "The table: none is measured yet", [[0.0, -800.0], [1400.0, 0.0]], |canvas| {
            canvas.nothing("How far off the table is is drawn here when four marks or six distances are measured.");
        });
        return;
    };
    let Some(corners) = kept.table.lit_corners_mm() else { return };
    let (mut low, mut high) = (corners[0], corners[0]);
    corners.iter().for_each(|corner| (low, high) = (low.min(*corner), high.max(*corner)));
    let name = format!("The lit area of the table, {whence}: errors {ENLARGED:.0} times enlarged");
    canvas(ui, &name, [[low.x, -high.y], [high.x, -low.y]], |canvas| paint(canvas, kept, &corners, bench));
}

/// How far off a line can be, as circles over the lit area and in words at its corners, sides and middle.
fn bounds(canvas: &Canvas, kept: &KeptTable) {
    let Some(fit) = &kept.fit else { return };
    let [width, height] = kept.table.picture_px.map(f64::from);
    let [columns, rows] = LATTICE;
    for (i, j) in (0..columns).flat_map(|i| (0..rows).map(move |j| (i, j))) {
        let share = |i: usize, of: usize| 0.03 + 0.94 * i as f64 / (of - 1) as f64;
        let px = Point::new(width * share(i, columns), height * share(j, rows));
        let (Some(at), Some(off_mm)) = (kept.table.mm_from_px(px), fit.spread.bound95_mm(&kept.table, px)) else {
            continue;
        };
        let on = canvas.at(at.x, -at.y);
        let radius = canvas.at(at.x + off_mm * ENLARGED / 4.0, -at.y).x - on.x;
        canvas.painter.circle_filled(on, radius, canvas.ink.chalk.gamma_multiply(0.10));
        if i % (columns / 2) == 0 && j % (rows / 2) == 0 {
            canvas.words([at.x, -at.y], Align2::CENTER_CENTER, vec2(0.0, 15.0), &format!("{off_mm:.1} mm"));
        }
    }
}

fn paint(canvas: &Canvas, kept: &KeptTable, corners: &[Point<Table>; 4], bench: &Bench) {
    let ink = canvas.ink;
    let up = |p: Point<Table>| [p.x, -p.y];
    let outline = corners.iter().chain(corners.first()).map(|corner| up(*corner));
    canvas.line(outline, Pen::full(ink.words, 1.6));
    let far = up(corners[0].lerp(corners[1], 0.5));
    canvas.words(far, Align2::CENTER_CENTER, vec2(0.0, -12.0), "top of the picture");
    bounds(canvas, kept);
    let Some(record) = &kept.record else { return };
    let measuring = bench.measuring.map(|slot| slot.marks()).unwrap_or_default();
    for mark in record.marks.keys() {
        let Some(at) = lit_mm(kept, *mark) else { continue };
        let next = measuring.contains(mark);
        let colour = if next { ink.chalk } else { ink.words };
        let on = canvas.at(at.x, -at.y);
        canvas.painter.circle_filled(on, if next { 6.0 } else { 3.0 }, colour);
        canvas.words(up(at), Align2::LEFT_CENTER, vec2(7.0, -9.0), &mark.to_string());
    }
    for reading in &record.readings {
        let line = match reading.kind {
            Kind::Place { mark, at_mm } => lit_mm(kept, mark).map(|lit| [lit, lit + (at_mm - lit) * ENLARGED]),
            Kind::Distance { from, to, distance_mm } => lit_mm(kept, from).zip(lit_mm(kept, to)).map(|(a, b)| {
                let middle = a.lerp(b, 0.5);
                let along = (b - a).normalize();
                [middle, middle + along * ((distance_mm - (b - a).length()) * ENLARGED)]
            }),
        };
        if let Some(ends) = line {
            canvas.line(ends.map(up), Pen::full(ink.doubt, 2.5));
        }
    }
}
