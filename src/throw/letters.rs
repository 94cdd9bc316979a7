//! Text as outlines at true size.
//!
//! The font is Hack (Bitstream Vera licence and MIT), shipped in the crate `epaint_default_fonts`: even and heavy enough
//! to be read on cloth, with the eighths of an inch and accents. A sign that the font lacks is drawn as its empty box.

use crate::geometry::{Point, Vector};
use crate::scene::Letters;
use kurbo::{BezPath, PathEl};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, MetadataProvider};

/// The closed rings of a line of text, flattened to `tolerance_mm`; to be filled by the nonzero rule.
pub fn rings<F>(letters: &Letters<F>, tolerance_mm: f64) -> Vec<Vec<Point<F>>> {
    let Ok(font) = FontRef::new(epaint_default_fonts::HACK_REGULAR) else { return Vec::new() };
    let metrics = font.metrics(Size::unscaled(), LocationRef::default());
    let cap_units = f64::from(metrics.cap_height.unwrap_or(metrics.ascent));
    let mm_per_unit = letters.cap_mm / cap_units;
    let advances = font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let outlines = font.outline_glyphs();
    let up = Vector::new(-letters.along.y, letters.along.x);
    let mut rings = Vec::new();
    let mut pen_units = 0.0;
    for sign in letters.text.chars() {
        let glyph = font.charmap().map(sign).unwrap_or_default();
        let mut path = Outline(BezPath::new());
        if let Some(outline) = outlines.get(glyph) {
            let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
            // A glyph with a broken outline is a fault of the shipped font; the rest of the text is still wanted.
            let _ = outline.draw(settings, &mut path);
        }
        let on_cloth =
            |p: kurbo::Point| letters.at + letters.along * ((p.x + pen_units) * mm_per_unit) + up * (p.y * mm_per_unit);
        kurbo::flatten(path.0, tolerance_mm / mm_per_unit, |el| match el {
            PathEl::MoveTo(p) => rings.push(vec![on_cloth(p)]),
            PathEl::LineTo(p) => {
                if let Some(ring) = rings.last_mut() {
                    ring.push(on_cloth(p));
                }
            }
            _ => {}
        });
        pen_units += f64::from(advances.advance_width(glyph).unwrap_or(0.0));
    }
    for ring in &mut rings {
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
    }
    rings
}

/// A glyph's outline in font units.
struct Outline(BezPath);

impl OutlinePen for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(cx), f64::from(cy)), (f64::from(x), f64::from(y)));
    }

    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        self.0.curve_to((f64::from(ax), f64::from(ay)), (f64::from(bx), f64::from(by)), (f64::from(x), f64::from(y)));
    }

    fn close(&mut self) {
        self.0.close_path();
    }
}
