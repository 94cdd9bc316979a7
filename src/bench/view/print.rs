//! The print of the cloth as it is painted: a picture on the card, laid over whatever part of the open cloth is shown.

use std::sync::Arc;

use egui::epaint::{Mesh, Vertex};
use egui::{Color32, ColorImage, Pos2, Shape, TextureHandle, TextureOptions, TextureWrapMode, Ui, pos2};

use super::canvas::Canvas;
use crate::bench::model::Bench;
use crate::geometry::{Outline, Point};
use crate::motif::{Open, Print, open::strips};

/// Strips in which a piece is painted are so wide.
const STRIP_MM: f64 = 3.0;

/// Most repeats of a print that one rectangle of it is painted with: beyond, they are finer than the eye.
const MOST_REPEATS: f64 = 400.0;

/// The print, ready to be painted.
pub struct Woven {
    texture: TextureHandle,
    print: Arc<Print>,
}

impl Woven {
    /// The print that lies on the bench; none while there is none.
    pub fn of(ui: &Ui, bench: &Bench) -> Option<Self> {
        let print = Arc::clone(&bench.print()?.as_ref().ok()?.value);
        let id = egui::Id::unique("the cloth's print");
        let kept: Option<(Arc<Print>, TextureHandle)> = ui.data(|data| data.get_temp(id));
        if let Some((of, texture)) = kept.filter(|(of, _)| Arc::ptr_eq(of, &print)) {
            return Some(Self { texture, print: of });
        }
        let image = ColorImage::from_rgba_unmultiplied(print.size_px, &print.rgba);
        let wrap_mode = if print.repeats { TextureWrapMode::Repeat } else { TextureWrapMode::ClampToEdge };
        let texture = ui.ctx().load_texture("print", image, TextureOptions { wrap_mode, ..TextureOptions::LINEAR });
        ui.data_mut(|data| data.insert_temp(id, (Arc::clone(&print), texture.clone())));
        Some(Self { texture, print })
    }

    /// Paints the print of a rectangle of the cloth, where `at` says that its places are, as strongly as the tint says.
    pub fn rectangle(
        &self,
        canvas: &Canvas,
        [low, high]: [Point<Open>; 2],
        tint: Color32,
        at: impl Fn(Point<Open>) -> Pos2,
    ) {
        let mut mesh = Mesh::with_texture(self.texture.id());
        self.quad(&mut mesh, [low, high], tint, &at);
        canvas.painter.add(Shape::mesh(mesh));
    }

    /// Paints the print of what lies in an outline.
    pub fn inside(&self, canvas: &Canvas, outline: &Outline<Open>, at: impl Fn(Point<Open>) -> Pos2) {
        let mut mesh = Mesh::with_texture(self.texture.id());
        for (x_mm, [from, to]) in strips(outline, STRIP_MM) {
            let (low, high) = (Point::new(x_mm - STRIP_MM / 2.0, from), Point::new(x_mm + STRIP_MM / 2.0, to));
            self.quad(&mut mesh, [low, high], Color32::WHITE, &at);
        }
        canvas.painter.add(Shape::mesh(mesh));
    }

    fn quad(&self, mesh: &mut Mesh, [low, high]: [Point<Open>; 2], tint: Color32, at: &impl Fn(Point<Open>) -> Pos2) {
        let Print { low_mm, size_mm, repeats, .. } = *self.print;
        // A print that is not carried on ends where its photo ends.
        let (low, high) = if repeats { (low, high) } else { (low.max(low_mm), high.min(low_mm + size_mm)) };
        let many = (high.x - low.x) / size_mm.x > MOST_REPEATS || (high.y - low.y) / size_mm.y > MOST_REPEATS;
        if low.x >= high.x || low.y >= high.y || many {
            return;
        }
        let first = mesh.vertices.len() as u32;
        for p in [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)] {
            let share = [(p.x - low_mm.x) / size_mm.x, 1.0 - (p.y - low_mm.y) / size_mm.y];
            let uv = pos2(share[0] as f32, share[1] as f32);
            mesh.vertices.push(Vertex { pos: at(p), uv, color: tint });
        }
        mesh.add_triangle(first, first + 1, first + 2);
        mesh.add_triangle(first, first + 2, first + 3);
    }
}
