//! The ways of others, for comparison: strokes outlined and mapped for a general rasteriser, and a page that is drawn
//! first and warped afterwards. Used by tests and benches only.

use chalklight::geometry::{Cloth, Point};
use chalklight::scene::{Scene, Stroke};
use chalklight::table::Table;
use std::fmt::Write;

/// Longest part of an outline that is mapped as straight: the lens bends what is longer.
const LONGEST_MM: f32 = 20.0;

/// A stroke's outline in pixels.
pub fn mapped_outline(table: &Table, stroke: &Stroke<Cloth>) -> Option<tiny_skia::Path> {
    let pen = tiny_skia::Stroke {
        width: stroke.width_mm as f32,
        line_cap: tiny_skia::LineCap::Round,
        line_join: tiny_skia::LineJoin::Round,
        ..Default::default()
    };
    let outline = path_mm(stroke)?.stroke(&pen, 20.0)?;
    let mut mapped = tiny_skia::PathBuilder::new();
    let place = |p: tiny_skia::Point| {
        let px = table.px_from_mm(Point::new(f64::from(p.x), f64::from(p.y)))?;
        Some((px.x as f32, px.y as f32))
    };
    let mut last = tiny_skia::Point::zero();
    for piece in outline.segments() {
        use tiny_skia::PathSegment as Piece;
        match piece {
            Piece::MoveTo(p) => {
                let (x, y) = place(p)?;
                mapped.move_to(x, y);
                last = p;
            }
            Piece::LineTo(p) => {
                let parts = ((p - last).length() / LONGEST_MM).ceil().max(1.0);
                for i in 1..=parts as u32 {
                    let t = i as f32 / parts;
                    let on = tiny_skia::Point::from_xy(last.x + (p.x - last.x) * t, last.y + (p.y - last.y) * t);
                    let (x, y) = place(on)?;
                    mapped.line_to(x, y);
                }
                last = p;
            }
            Piece::QuadTo(a, p) => {
                let (a, to) = (place(a)?, place(p)?);
                mapped.quad_to(a.0, a.1, to.0, to.1);
                last = p;
            }
            Piece::CubicTo(a, b, p) => {
                let (a, b, to) = (place(a)?, place(b)?, place(p)?);
                mapped.cubic_to(a.0, a.1, b.0, b.1, to.0, to.1);
                last = p;
            }
            Piece::Close => mapped.close(),
        }
    }
    mapped.finish()
}

fn path_mm(stroke: &Stroke<Cloth>) -> Option<tiny_skia::Path> {
    let mut path = tiny_skia::PathBuilder::new();
    for (i, p) in stroke.points.iter().enumerate() {
        if i == 0 { path.move_to(p.x as f32, p.y as f32) } else { path.line_to(p.x as f32, p.y as f32) }
    }
    if stroke.closed {
        path.close();
    }
    path.finish()
}

/// The strokes of a scene as a page in mm.
pub fn svg(scene: &Scene, [width_mm, height_mm]: [f64; 2]) -> String {
    let mut text = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{width_mm}' height='{height_mm}'>\
         <g fill='none' stroke='white' stroke-linecap='round' stroke-linejoin='round'>"
    );
    for stroke in &scene.on_cloth.strokes {
        let _ = write!(text, "<path stroke-width='{}' d='", stroke.width_mm);
        for (i, p) in stroke.points.iter().enumerate() {
            let _ = write!(text, "{}{:.4} {:.4}", if i == 0 { 'M' } else { 'L' }, p.x, p.y);
        }
        text.push_str(if stroke.closed { "Z'/>" } else { "'/>" });
    }
    text.push_str("</g></svg>");
    text
}

/// For every pixel of the picture, the place of the page (in the page's pixels, from its first pixel's centre).
pub fn page_map(table: &Table, page_px_per_mm: f64) -> Vec<[f32; 2]> {
    let [width, height] = table.picture_px;
    let place = |x: u32, y: u32| {
        let at = table.mm_from_px(Point::new(f64::from(x) + 0.5, f64::from(y) + 0.5));
        let at = at.unwrap_or_else(|| Point::new(-1e6, -1e6));
        [(at.x * page_px_per_mm) as f32 - 0.5, (at.y * page_px_per_mm) as f32 - 0.5]
    };
    (0..height).flat_map(|y| (0..width).map(move |x| place(x, y))).collect()
}
