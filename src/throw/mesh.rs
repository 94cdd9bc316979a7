//! All marks of one frame as instances, sorted by how they are blended.

use super::blend::{Sense, Under};
use super::fill::{Triangle, triangles};
use super::flatten::{Fineness, flatten};
use super::letters;
use super::stroke::{Pen, Pieces, pieces};
use crate::geometry::Point;
use crate::scene::light::linear;
use crate::scene::{Light, Marks};
use lyon::tessellation::FillRule;

/// The marks of one frame, ready for the buffers.
#[derive(Clone, Debug)]
pub struct Mesh<F> {
    /// What the instances' coordinates are counted from.
    pub origin_mm: Point<F>,
    /// Areas and letters.
    pub triangles: Sorted<Vec<Triangle>>,
    /// Strokes.
    pub strokes: Sorted<Pieces>,
}

/// Instances by how they stand out.
#[derive(Clone, Debug, Default)]
pub struct Sorted<T> {
    /// Brighter than what they lie on.
    pub bright: T,
    /// Darker than what they lie on.
    pub dark: T,
}

impl<T> Sorted<T> {
    fn of(&mut self, sense: Sense) -> &mut T {
        match sense {
            Sense::Bright => &mut self.bright,
            Sense::Dark => &mut self.dark,
        }
    }
}

impl<F> Mesh<F> {
    /// Turns marks into instances.
    pub fn of(marks: &Marks<F>, under: Under, fineness: Fineness) -> Self {
        let origin = middle(marks);
        let mut mesh = Self { origin_mm: origin, triangles: Sorted::default(), strokes: Sorted::default() };
        for fill in &marks.fills {
            let rings: Vec<_> = fill.rings.iter().map(|r| flatten(r, true, fineness)).collect();
            mesh.area(&rings, FillRule::EvenOdd, fill.light, under);
        }
        for text in &marks.letters {
            let rings = letters::rings(text, fineness.merge_mm.max(1e-4));
            let rings: Vec<_> = rings.iter().map(|r| flatten(r, true, fineness)).collect();
            mesh.area(&rings, FillRule::NonZero, text.light, under);
        }
        for stroke in &marks.strokes {
            let pen = Pen { width_mm: stroke.width_mm, pixel_mm: fineness.pixel_mm, light: stroke.light };
            let points = flatten(&stroke.points, stroke.closed, fineness);
            pieces(&points, stroke.closed, pen, origin, mesh.strokes.of(under.sense(stroke.light)));
        }
        mesh
    }

    fn area(&mut self, rings: &[Vec<Point<F>>], rule: FillRule, light: Light, under: Under) {
        let sense = under.sense(light);
        let ground = under.light(sense);
        let difference = [0, 1, 2].map(|c| (linear(light[c]) - linear(ground[c])).abs());
        triangles(rings, rule, difference, self.origin_mm, self.triangles.of(sense));
    }
}

/// The middle of all points, so that f32 coordinates counted from it are small.
fn middle<F>(marks: &Marks<F>) -> Point<F> {
    let fills = marks.fills.iter().flat_map(|f| f.rings.iter().flatten());
    let strokes = marks.strokes.iter().flat_map(|s| s.points.iter());
    let points = fills.chain(strokes).chain(marks.letters.iter().map(|l| &l.at));
    let finite = points.filter(|p| p.x.is_finite() && p.y.is_finite());
    let box2 = finite.fold(None, |seen: Option<[f64; 4]>, p| {
        let [x0, y0, x1, y1] = seen.unwrap_or([p.x, p.y, p.x, p.y]);
        Some([x0.min(p.x), y0.min(p.y), x1.max(p.x), y1.max(p.y)])
    });
    box2.map_or(Point::origin(), |[x0, y0, x1, y1]| Point::new((x0 + x1) / 2.0, (y0 + y1) / 2.0))
}
