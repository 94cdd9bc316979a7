//! Outlines as the collision engine knows them: in single precision, a hair larger than they are, and with far fewer
//! corners.

use std::sync::Arc;

use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_traits::{Transformable, TransformableFrom};
use jagua_rs::geometry::primitives::{Point as EnginePoint, SPolygon};
use jagua_rs::geometry::shape_modification::{ShapeModifyMode, simplify_shape};
use jagua_rs::geometry::{DTransformation, Transformation};

use super::overlap::Circles;
use super::task::Home;
use crate::geometry::outline::distance_to_side_mm;
use crate::geometry::{Cloth, Draft, Map, Outline, Point, Vector};

/// An outline is made larger all round by this share of the strip's size, several times what single precision rounds
/// off: what the engine finds apart is apart in double precision too.
const HAIR_SHARE: f64 = 4e-7;

/// Corners are left out while the outline grows by no more than this share of its area.
const SIMPLER_SHARE: f32 = 0.001;

/// Circles inside of an outline that stand for it: at most so many, fewer once they cover so much of it.
const POLES: [(usize, f32); 3] = [(64, 0.0), (16, 0.8), (8, 0.9)];

/// The same for an outline that is kept coarse: a third of the time to find them, and a lay as short.
const FEW_POLES: [(usize, f32); 3] = [(10, 0.0), (6, 0.8), (4, 0.9)];

/// The share of the outline that the circles which are asked first cover.
const FIRST_POLES_SHARE: f32 = 0.5;

/// An outline in one of its homes, its origin at nought.
#[derive(Clone, Debug)]
pub struct Shape {
    /// As the engine knows it.
    pub polygon: Arc<SPolygon>,
    /// Its circles.
    pub circles: Arc<Circles>,
    /// The box around the outline itself, from its origin.
    pub low: Vector<Cloth>,
    /// The far corner of that box.
    pub high: Vector<Cloth>,
}

/// An outline made ready for the engine: the slow part, done once for all lays that it is part of.
#[derive(Clone, Debug)]
pub struct Form {
    /// The outline in its own frame.
    pub outline: Outline<Draft>,
    base: Arc<SPolygon>,
}

impl Form {
    /// Makes an outline ready for strips up to that size, keeping others off it by no more than twice `coarse_mm`, and
    /// where that is above nought with fewer circles; none
    /// when its sides cross or it has no area.
    pub fn of(outline: &Outline<Draft>, size_mm: f64, coarse_mm: f64) -> Option<Self> {
        let few = thinned(outline, coarse_mm);
        let off_mm = if few.corners.len() < outline.corners.len() { coarse_mm } else { 0.0 };
        let poles = if coarse_mm > 0.0 { FEW_POLES } else { POLES };
        let base = Arc::new(with_circles(&few, off_mm + size_mm * HAIR_SHARE, poles)?);
        Some(Self { outline: outline.clone(), base })
    }

    /// The shape in each of its homes.
    pub fn shapes(&self, homes: &[Home]) -> Vec<Shape> {
        let shape = |home: &Home| {
            let (low, high) = self.outline.mapped(&home.turn).bounds();
            let polygon = Arc::new(self.base.transform_clone(&engine_map(&home.turn).compose()));
            let circles = Arc::new(Circles::of(&polygon));
            Shape { polygon, circles, low: low.to_vector(), high: high.to_vector() }
        };
        homes.iter().map(shape).collect()
    }
}

impl Shape {
    /// The box that others are kept out of: a hair larger than the outline's.
    pub fn kept_off(&self) -> [Vector<Cloth>; 2] {
        kept_off(&self.polygon).map(Point::to_vector)
    }
}

/// The box around an outline as the engine knows it, low and high corner.
pub fn kept_off(polygon: &SPolygon) -> [Point<Cloth>; 2] {
    let around = polygon.bbox();
    [(around.x_min, around.y_min), (around.x_max, around.y_max)].map(|(x, y)| Point::new(f64::from(x), f64::from(y)))
}

/// An outline for the engine, with its circles.
pub fn polygon<F: Copy>(outline: &Outline<F>, hair_mm: f64) -> Option<SPolygon> {
    with_circles(outline, hair_mm, POLES)
}

fn with_circles<F: Copy>(outline: &Outline<F>, hair_mm: f64, poles: [(usize, f32); 3]) -> Option<SPolygon> {
    let points: Vec<EnginePoint> =
        grown(outline, hair_mm).iter().map(|p| EnginePoint(p.x as f32, p.y as f32)).collect();
    let exact = SPolygon::new(points).ok()?;
    let mut polygon = simplify_shape(&exact, ShapeModifyMode::Inflate, SIMPLER_SHARE);
    let circles = SPSurrogateConfig { n_pole_limits: poles, ff_pole_area_ratio: FIRST_POLES_SHARE, n_ff_piers: 0 };
    polygon.generate_surrogate(circles).ok()?;
    Some(polygon)
}

/// The outline with as few corners as keep it within a distance (Douglas and Peucker, *The Canadian Cartographer* 10,
/// 1973).
fn thinned<F: Copy>(outline: &Outline<F>, within_mm: f64) -> Outline<F> {
    let corners = &outline.corners;
    let far = |i: usize| (corners[i] - corners[0]).square_length();
    let Some(middle) = (1..corners.len()).max_by(|a, b| far(*a).total_cmp(&far(*b))) else { return outline.clone() };
    let mut keep = vec![false; corners.len() + 1];
    [keep[0], keep[middle]] = [true; 2];
    let mut runs = vec![[0, middle], [middle, corners.len()]];
    while let Some([first, last]) = runs.pop() {
        let side = (corners[first], corners[last % corners.len()]);
        let off = |i: usize| distance_to_side_mm(corners[i], side);
        let Some(worst) = (first + 1..last).max_by(|a, b| off(*a).total_cmp(&off(*b))) else { continue };
        if off(worst) > within_mm {
            keep[worst] = true;
            runs.extend([[first, worst], [worst, last]]);
        }
    }
    Outline { corners: corners.iter().zip(keep).filter(|(_, keep)| *keep).map(|(corner, _)| *corner).collect() }
}

/// `shape` takes the place of a polygon moved so far.
pub fn moved(shape: &mut SPolygon, from: &SPolygon, at: Point<Cloth>) {
    shape.transform_from(from, &Transformation::from_translation((at.x as f32, at.y as f32)));
}

/// Turns and mirrors as the engine writes them: mirrored across its x axis, then turned.
fn engine_map(turn: &Map<Draft, Cloth>) -> DTransformation {
    DTransformation::new(turn.m12.atan2(turn.m11) as f32, (0.0, 0.0)).with_reflection(turn.determinant() < 0.0)
}

/// The corners moved outwards so that every side lies farther out; without corners that lie on one another.
fn grown<F: Copy>(outline: &Outline<F>, by_mm: f64) -> Vec<Point<F>> {
    let mut corners = outline.corners.clone();
    corners.dedup_by(|a, b| (*a - *b).length() < by_mm);
    if outline.signed_area_mm2() < 0.0 {
        corners.reverse();
    }
    let n = corners.len();
    let out = |i: usize| {
        let along = (corners[(i + 1) % n] - corners[i]).normalize();
        Vector::<F>::new(along.y, -along.x)
    };
    let corner = |i: usize| {
        let (before, after) = (out((i + n - 1) % n), out(i));
        // The mitre of a sharp corner is cut short at four times the hair.
        corners[i] + (before + after) * (by_mm / (1.0 + before.dot(after)).max(0.5))
    };
    (0..n).map(corner).collect()
}
