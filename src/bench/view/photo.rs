//! The photo of the cloth with what has a known size in it: the four corners of a rectangle, or the two ends of a length,
//! each dragged to its place.

use std::sync::Arc;

use egui::{Align2, Color32, ColorImage, Id, Rect, TextEdit, TextureHandle, TextureOptions, Ui, pos2, vec2};

use super::canvas::{Canvas, Pen, canvas, canvas_with_grips};
use super::field::{WIDTH, aside, ends, holds_keys, left, line, say};
use crate::bench::model::Bench;
use crate::bench::motifs::{CORNERS, ENDS};
use crate::bench::paper::Entry;
use crate::motif::Photograph;
use crate::remark::Remark;

/// Longest side at which a photo is shown.
const SHOWN_PX: u32 = 1600;

/// Shows the photo.
pub fn show(ui: &mut Ui, bench: &mut Bench) {
    let Some(Ok(photograph)) = bench.photo().cloned() else {
        return canvas(ui, "The photo: none is here yet", [[0.0, 0.0], [400.0, 300.0]], |canvas| {
            canvas.nothing("The photo of the cloth is shown here when its file is named.");
        });
    };
    let size = photograph.size_px.map(f64::from);
    let texture = texture(ui, &photograph);
    let (entry, marks) = [CORNERS, ENDS]
        .into_iter()
        .find_map(|entry| points(&bench.paper().written(&entry)).map(|marks| (entry, marks)))
        .unwrap_or((CORNERS, Vec::new()));
    let name = format!("The photo of the cloth, with {} places marked in it; drag them, or write them", marks.len());
    let near = |[x, y]: [f64; 2], hand: f64| {
        let off = |mark: &[f64; 2]| (mark[0] - x).hypot(mark[1] - y);
        let nearest = (0..marks.len()).min_by(|a, b| off(&marks[*a]).total_cmp(&off(&marks[*b])))?;
        (off(&marks[nearest]) < 2.0 * hand).then_some(nearest)
    };
    let hold =
        canvas_with_grips(ui, &name, [[0.0, 0.0], size], near, |canvas, _| paint(canvas, &texture, size, &marks));
    let Some(hold) = hold else { return };
    let id = egui::Id::unique("where the mark was taken hold of");
    if hold.taken {
        ui.data_mut(|data| data.insert_temp(id, marks[hold.grip]));
    }
    let from: [f64; 2] = ui.data(|data| data.get_temp(id)).unwrap_or_default();
    let mut moved = marks.clone();
    moved[hold.grip] = [0, 1].map(|i| (from[i] + hold.by_mm[i]).clamp(0.0, size[i]).round());
    bench.write(&entry, &written(&moved));
    if hold.let_go {
        bench.settle();
    }
}

fn paint(canvas: &Canvas, texture: &TextureHandle, size: [f64; 2], marks: &[[f64; 2]]) {
    let rect = Rect::from_two_pos(canvas.at(0.0, 0.0), canvas.at(size[0], size[1]));
    canvas.painter.image(texture.id(), rect, Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0)), Color32::WHITE);
    let closed: Vec<[f64; 2]> = marks.iter().chain(marks.first().filter(|_| marks.len() > 2)).copied().collect();
    canvas.line(closed.iter().copied(), Pen::full(canvas.ink.sheet, 3.6));
    canvas.line(closed, Pen::full(canvas.ink.chalk, 1.6));
    for (i, [x, y]) in marks.iter().enumerate() {
        let at = canvas.at(*x, *y);
        canvas.painter.circle_stroke(at, 8.0, egui::Stroke::new(4.0, canvas.ink.sheet));
        canvas.painter.circle_stroke(at, 8.0, egui::Stroke::new(2.0, canvas.ink.chalk));
        canvas.words([*x, *y], Align2::LEFT_CENTER, vec2(12.0, -10.0), &(i + 1).to_string());
    }
}

/// What the fields of marks ask for.
const MARKS_HOW: &str =
    "In pixels from the upper left of the photo, to the right and down, such as 120, 80; or drag them in the photo.";

/// The places that are marked in the photo, each in a field of its own; as the file has them where they are not that many.
pub fn marks(ui: &mut Ui, bench: &mut Bench, entry: &Entry, (all, names): (&str, &[&str])) {
    let marks = points(&bench.paper().written(entry)).filter(|marks| marks.len() == names.len());
    let Some(marks) = marks else { return super::motifs::list(ui, bench, entry, all, MARKS_HOW) };
    for (i, name) in names.iter().enumerate() {
        mark(ui, bench, entry, (marks.as_slice(), i, *name));
    }
    aside(ui, MARKS_HOW);
    let said: Vec<_> = bench.work().about(&entry.field()).cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
    ui.add_space(6.0);
}

/// The field of one of these places. What is half typed is no place yet, and stands in the field alone.
fn mark(ui: &mut Ui, bench: &mut Bench, entry: &Entry, (marks, i, name): (&[[f64; 2]], usize, &str)) {
    let id = Id::unique((entry.field(), i));
    let half = id.with("half typed");
    let [x, y] = marks[i];
    let typed: Option<String> = ui.data(|data| data.get_temp(half));
    let mut typed =
        typed.filter(|typed| point(typed).is_none_or(|at| at == marks[i])).unwrap_or_else(|| format!("{x}, {y}"));
    let response = line(ui, name, |ui| ui.add(TextEdit::singleline(&mut typed).id(id).desired_width(WIDTH)));
    let at = point(&typed);
    if let Some(at) = at.filter(|_| response.changed()) {
        let mut moved = marks.to_vec();
        moved[i] = at;
        bench.write(entry, &written(&moved));
    }
    if at.is_none() {
        let remark = Remark::refusal(format!("{typed} is no place in a photo"));
        say(ui, &remark.remedy("write two numbers of pixels with a comma between them, such as 120, 80"));
    }
    let holds = holds_keys(ui, &response);
    ui.data_mut(|data| {
        if holds {
            data.insert_temp(half, typed);
        } else {
            data.remove::<String>(half);
        }
    });
    left(ui, bench, &response);
    ends(ui, &response);
}

/// A place such as `120, 80` or `120, 80 px`.
fn point(text: &str) -> Option<[f64; 2]> {
    let (x, y) = text.trim().trim_end_matches("px").split_once(',')?;
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    Some([number(x)?, number(y)?])
}

/// The points of a list such as `[[120, 80], [1800, 95]]`; none when it is none.
pub fn points(list: &str) -> Option<Vec<[f64; 2]>> {
    let inner = list.trim().strip_prefix('[')?.strip_suffix(']')?;
    let pair = |text: &str| {
        let mut numbers =
            text.trim().trim_start_matches('[').split(',').map(|number| number.trim().parse::<f64>().ok());
        Some([numbers.next()??, numbers.next()??])
    };
    inner
        .split(']')
        .map(|text| text.trim().trim_start_matches(','))
        .filter(|text| !text.trim().is_empty())
        .map(pair)
        .collect()
}

/// Points as such a list.
pub fn written(points: &[[f64; 2]]) -> String {
    let pairs: Vec<String> = points.iter().map(|[x, y]| format!("[{x}, {y}]")).collect();
    format!("[{}]", pairs.join(", "))
}

fn texture(ui: &Ui, photograph: &Arc<Photograph>) -> TextureHandle {
    let id = egui::Id::unique("the cloth's photo");
    let kept: Option<(Arc<Photograph>, TextureHandle)> = ui.data(|data| data.get_temp(id));
    if let Some((_, texture)) = kept.filter(|(of, _)| Arc::ptr_eq(of, photograph)) {
        return texture;
    }
    let [width, height] = photograph.size_px;
    let step = width.max(height).div_ceil(SHOWN_PX).max(1) as usize;
    let rows = (0..height as usize).step_by(step);
    let pixels = rows.clone().flat_map(|row| (0..width as usize).step_by(step).map(move |column| (row, column)));
    let bytes: Vec<u8> = pixels.flat_map(|(row, column)| photograph.rgb[row * width as usize + column]).collect();
    let image = ColorImage::from_rgb([(width as usize).div_ceil(step), rows.count()], &bytes);
    let texture = ui.ctx().load_texture("photo", image, TextureOptions::LINEAR);
    ui.data_mut(|data| data.insert_temp(id, (Arc::clone(photograph), texture.clone())));
    texture
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_are_read_as_they_are_written() {
        let marks = vec![[120.0, 80.0], [1800.0, 95.0], [1790.0, 1200.0], [130.0, 1210.0]];
        assert_eq!(written(&marks), "[[120, 80], [1800, 95], [1790, 1200], [130, 1210]]");
        assert_eq!(points(&written(&marks)), Some(marks));
        assert_eq!(points("[[1, 2],[3.5,4] ]"), Some(vec![[1.0, 2.0], [3.5, 4.0]]));
        assert_eq!(points("[[1, two]]"), None);
        assert_eq!(points(""), None);
        assert_eq!((point("12 , 30 px"), point("12.5,30")), (Some([12.0, 30.0]), Some([12.5, 30.0])));
        assert!(["12", "12,", "a, 3", "nan, 3"].iter().all(|text| point(text).is_none()));
    }
}
