//! The error map: the lit area with lines of equal error, where each mark is lit, and how far from there she
//! read it, drawn a hundred times larger.

use std::sync::Arc;

use egui::{Align2, Vec2, vec2};

use super::canvas::{Canvas, Pen, canvas};
use crate::bench::model::Bench;
use crate::bench::residual::lit_mm;
use crate::geometry::{Point, Table};
use crate::table::contours::{Contour, contours};
use crate::table::{KeptTable, Kind, Reading};

/// How much larger an error is drawn than it is.
const ENLARGED: f64 = 100.0;

/// Half the room of a figure with a mark's name beside it, in points.
const CLEAR: Vec2 = vec2(40.0, 18.0);

/// Share of the lit area's depth that is kept below it for the legend.
const LEGEND_SHARE: f64 = 0.2;

/// Shows the table that the readings give, or else the one that lies here.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let solved = bench.mapped();
    let of_before = solved.is_some_and(|(_, of_now)| !of_now);
    let whence = match solved {
        Some(_) if of_before => "as the numbers before gave it, since those of now are not worked out yet",
        Some(_) => "as the readings give it",
        None => "as it lies here",
    };
    let Some(kept) = solved.map(|(kept, _)| kept).or(bench.table().map(|table| &table.kept)) else {
        canvas(ui, "The table: none is measured yet", [[0.0, -800.0], [1400.0, 0.0]], |canvas| {
            canvas.nothing("How far off the table is is drawn here when four marks or six distances are measured.");
        });
        return;
    };
    let Some(corners) = kept.table.lit_corners_mm() else { return };
    let (mut low, mut high) = (corners[0], corners[0]);
    corners.iter().for_each(|corner| (low, high) = (low.min(*corner), high.max(*corner)));
    let name = format!("The lit area of the table, {whence}: errors {ENLARGED:.0} times enlarged");
    let legend_mm = LEGEND_SHARE * (high.y - low.y);
    let contours = mapped(ui, kept);
    canvas(ui, &name, [[low.x, -high.y], [high.x, legend_mm - low.y]], |canvas| {
        paint(canvas, (kept, &contours.1), &corners, bench);
        legend(canvas, (kept, of_before), [f64::midpoint(low.x, high.x), -low.y]);
    });
}

/// The map, worked out anew only when the table is another.
fn mapped(ui: &egui::Ui, kept: &KeptTable) -> Arc<(KeptTable, Vec<Contour>)> {
    let id = egui::Id::unique("error map");
    let known: Option<Arc<(KeptTable, Vec<Contour>)>> = ui.data(|data| data.get_temp(id));
    known.filter(|map| map.0 == *kept).unwrap_or_else(|| {
        let map = Arc::new((kept.clone(), contours(kept)));
        ui.data_mut(|data| data.insert_temp(id, Arc::clone(&map)));
        map
    })
}

/// Lines of equal error, each with its figure where there is most room of what is seen of it, clear of marks and of other
/// figures where that can be. Where it can't, the figure stands farther off, or in the key below.
fn bounds(canvas: &Canvas, (kept, contours): (&KeptTable, &[Contour]), lit: &[Point<Table>; 4]) {
    let up = |p: Point<Table>| [p.x, -p.y];
    let marks = kept.record.iter().flat_map(|record| record.marks.keys());
    let mut taken: Vec<Point<Table>> = marks.filter_map(|mark| lit_mm(kept, *mark)).collect();
    for contour in contours {
        for piece in &contour.pieces {
            canvas.line(piece.map(up), Pen::full(canvas.ink.chalk, 1.2));
        }
        let on = |p: &Point<Table>| canvas.at(p.x, -p.y);
        let clear = |at: &Point<Table>| {
            let offs = taken.iter().map(|other| on(other) - on(at));
            offs.into_iter().all(|off| off.x.abs() > CLEAR.x || off.y.abs() > CLEAR.y)
        };
        let is_seen = |at: &Point<Table>| canvas.painter.clip_rect().contains(on(at));
        let seen: Vec<Point<Table>> = contour.places(&taken, lit).into_iter().filter(is_seen).collect();
        if let Some(at) = seen.iter().copied().find(clear).or_else(|| seen.first().copied()) {
            let beside = (Align2::CENTER_CENTER, vec2(0.0, -12.0));
            canvas.words_in(canvas.ink.chalk, up(at), beside, &format!("{} mm", contour.bound_mm));
            taken.push(at);
        }
    }
}

/// What the map shows, below it.
fn legend(canvas: &Canvas, (kept, of_before): (&KeptTable, bool), below: [f64; 2]) {
    let mut says = Vec::new();
    if kept.fit.is_some() {
        says.push("Blue lines: as far off as written there a line can be (95 in 100).".to_owned());
    }
    if kept.record.is_some() {
        says.push(format!("Bars: how far a reading lies from the table, {ENLARGED:.0} times enlarged."));
    }
    if of_before {
        says.push("All of it is of the numbers before: those of now are not worked out yet.".to_owned());
    } else if kept.fit.as_ref().is_some_and(|fit| !fit.suspects.is_empty()) {
        says.push("?: a reading that does not fit the others.".to_owned());
    }
    for (i, text) in says.iter().enumerate() {
        canvas.words(below, Align2::CENTER_TOP, vec2(0.0, 8.0 + 24.0 * i as f32), text);
    }
}

fn paint(canvas: &Canvas, (kept, contours): (&KeptTable, &[Contour]), corners: &[Point<Table>; 4], bench: &Bench) {
    let ink = canvas.ink;
    let up = |p: Point<Table>| [p.x, -p.y];
    let outline = corners.iter().chain(corners.first()).map(|corner| up(*corner));
    canvas.line(outline, Pen::full(ink.words, 1.6));
    let far = up(corners[0].lerp(corners[1], 0.5));
    canvas.words(far, Align2::CENTER_CENTER, vec2(0.0, -12.0), "top of the picture");
    bounds(canvas, (kept, contours), corners);
    let Some(record) = &kept.record else { return };
    let measuring = bench.measuring.map(|slot| slot.marks()).unwrap_or_default();
    for mark in record.marks.keys() {
        let Some(at) = lit_mm(kept, *mark) else { continue };
        let next = measuring.contains(mark);
        let colour = if next { ink.chalk } else { ink.words };
        canvas.dot(up(at), if next { 6.0 } else { 3.0 }, colour);
        canvas.words(up(at), Align2::LEFT_CENTER, vec2(7.0, -9.0), &mark.to_string());
    }
    let doubted = |reading: &Reading| {
        kept.fit.iter().flat_map(|fit| &fit.suspects).any(|suspect| suspect.reading == reading.name())
    };
    for reading in &record.readings {
        if doubted(reading) {
            doubt(canvas, kept, reading);
            continue;
        }
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

/// A reading that does not fit: where it was taken, and no bar, which would run off the map.
fn doubt(canvas: &Canvas, kept: &KeptTable, reading: &Reading) {
    let lit: Vec<[f64; 2]> = reading.marks().filter_map(|mark| lit_mm(kept, mark)).map(|p| [p.x, -p.y]).collect();
    let Some((first, last)) = lit.first().zip(lit.last()) else { return };
    let middle = [f64::midpoint(first[0], last[0]), f64::midpoint(first[1], last[1])];
    canvas.line(lit.iter().copied(), Pen::dashed(canvas.ink.doubt, 1.6, [8.0, 5.0]));
    canvas.words(middle, Align2::CENTER_CENTER, vec2(0.0, -10.0), "?");
}
