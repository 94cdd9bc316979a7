//! A stage as it will be seen on the cloth: what is cut now is strong, what comes later is faint.

use super::canvas::{Pen, canvas};
use crate::bench::model::Bench;
use crate::stages::LineKind;

/// Shows the stage that is looked at.
pub fn show(ui: &mut egui::Ui, bench: &Bench) {
    let Some((laid, stage)) = bench.work().laid.as_ref().zip(bench.stages().get(bench.stage)) else {
        return super::laid::show(ui, bench);
    };
    let size_mm = [laid.lay.length_mm, laid.lay.folded_width_mm];
    let name = format!("Stage {}, {}: {}", bench.stage + 1, stage.title, stage.sentence);
    canvas(ui, &name, [[0.0, -size_mm[1]], [size_mm[0], 0.0]], |canvas| {
        let ink = canvas.ink;
        for line in &stage.lines {
            let pen = match line.kind {
                LineKind::Cut => Pen::full(ink.chalk, 2.8),
                LineKind::CutLater => Pen::dashed(ink.words, 1.2, [6.0, 5.0]),
                LineKind::Fold => Pen::dashed(ink.words, 1.6, [12.0, 4.0]),
                LineKind::Selvedge | LineKind::ClothEnd => Pen::full(ink.edge, 1.2),
                LineKind::LayEnd => Pen::dashed(ink.edge, 1.2, [2.0, 10.0]),
                LineKind::Notch => Pen::full(ink.refused, 2.4),
                LineKind::Sew | LineKind::Grain | LineKind::Level | LineKind::Chalk => Pen::full(ink.edge, 1.0),
            };
            canvas.line(line.points.iter().map(|point| [point.x, -point.y]), pen);
        }
        let small = [LineKind::Level, LineKind::Notch, LineKind::Chalk];
        for line in stage.lines.iter().filter(|line| !small.contains(&line.kind)) {
            let Some(name) = &line.label else { continue };
            let middle = line.points[0].lerp(line.points[line.points.len() - 1], 0.5);
            canvas.words([middle.x, -middle.y], egui::Align2::CENTER_BOTTOM, egui::vec2(0.0, -3.0), name);
        }
        if let Some(whole) = stage.whole.first() {
            let (low, high) = whole.bounds();
            let middle = [(low.x + high.x) / 2.0, -(low.y + high.y) / 2.0];
            canvas.words(middle, egui::Align2::CENTER_CENTER, egui::Vec2::ZERO, "stays whole");
        }
    });
}
