//! The photo of the cloth with what has a known size in it: the four corners of a rectangle, or the two ends of a length,
//! each dragged to its place.

use std::sync::Arc;

use egui::{Align2, Color32, ColorImage, Rect, TextureHandle, TextureOptions, Ui, pos2, vec2};

use super::canvas::{Canvas, Pen, canvas, canvas_with_grips};
use crate::bench::model::Bench;
use crate::bench::motifs::{CORNERS, ENDS};
use crate::motif::Photograph;

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
    moved[hold.grip] = [0, 1].map(|i| (from[i] + hold.by_mm[i]).clamp(0.0, size[i]));
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

/// Points as such a list, to the whole pixel.
pub fn written(points: &[[f64; 2]]) -> String {
    let pairs: Vec<String> = points.iter().map(|[x, y]| format!("[{x:.0}, {y:.0}]")).collect();
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
        assert_eq!(points(&written(&marks)), Some(marks));
        assert_eq!(points("[[1, 2],[3.5,4] ]"), Some(vec![[1.0, 2.0], [3.5, 4.0]]));
        assert_eq!(points("[[1, two]]"), None);
        assert_eq!(points(""), None);
    }
}
