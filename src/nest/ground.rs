//! The strip with what lies on it: the only place that speaks to the collision engine.

use jagua_rs::collision_detection::hazards::collector::BasicHazardCollector;
use jagua_rs::collision_detection::hazards::filter::NoFilter;
use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::primitives::{Point as EnginePoint, Rect, SPolygon};
use std::sync::Arc;

use super::overlap::Circles;
use super::shape::{self, Shape};
use super::task::{Home, Pose, Task};
use crate::geometry::{Cloth, Point};

/// Halvings of the strip's square in which the engine looks things up.
const DEPTH: u8 = 3;

/// Sides in a square that are looked at one by one.
const FEW_SIDES: u8 = 16;

/// The engine's square reaches this share farther than the strip, since contact with its edge counts as overlap; pieces
/// are kept within the strip by arithmetic of our own.
const MARGIN_SHARE: f64 = 0.05;

/// What can be in the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Thing {
    /// The end of the engine's world.
    Outside,
    /// An outline, by its number; obstacles are numbered on after the last.
    Outline(usize),
}

impl HazardEntity for Thing {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Outside => GeoPosition::Exterior,
            Self::Outline(_) => GeoPosition::Interior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Outline(_))
    }
}

/// Something that lies on the strip.
#[derive(Clone)]
struct Laid {
    circles: Arc<Circles>,
    /// Where its origin is.
    at: [f32; 2],
    /// The box that others are kept out of.
    kept_off: [Point<Cloth>; 2],
    key: HazKey,
}

/// What is laid and where, with the engine that knows what is in the way of what.
#[derive(Clone)]
pub struct Ground<'a> {
    task: &'a Task,
    shapes: &'a [Vec<Shape>],
    engine: CDEngine<Thing>,
    /// Each outline where it lies, and the obstacles; none while it is not laid.
    laid: Vec<Option<Laid>>,
    scratch: Vec<Vec<SPolygon>>,
    hits: BasicHazardCollector<Thing>,
}

impl<'a> Ground<'a> {
    /// An empty strip of that length with its obstacles.
    pub fn new(task: &'a Task, shapes: &'a [Vec<Shape>], length_mm: f64) -> Option<Self> {
        let side_mm = length_mm.max(task.width_mm);
        let (near, far) = ((-MARGIN_SHARE * side_mm) as f32, ((1.0 + MARGIN_SHARE) * side_mm) as f32);
        let edge = far * 1e-3;
        let corners = [(near, near), (far, near), (far, far), (near, far)].map(|(x, y)| EnginePoint(x, y));
        let outside = Hazard::new(Thing::Outside, Arc::new(SPolygon::new(corners.to_vec()).ok()?));
        let world = Rect::try_new(near - edge, near - edge, far + edge, far + edge).ok()?;
        let config = CDEConfig {
            quadtree_depth: DEPTH,
            cd_threshold: FEW_SIDES,
            item_surrogate_config: SPSurrogateConfig::none(),
        };
        let mut ground = Self {
            task,
            shapes,
            engine: CDEngine::new(world, vec![outside], config),
            laid: vec![None; task.items.len()],
            scratch: shapes.iter().map(|homes| homes.iter().map(|s| (*s.polygon).clone()).collect()).collect(),
            hits: BasicHazardCollector::with_capacity(task.items.len() + 2),
        };
        for obstacle in &task.obstacles {
            let polygon = shape::polygon(obstacle, 0.0)?;
            ground.laid.push(None);
            let circles = Arc::new(Circles::of(&polygon));
            ground.register(ground.laid.len() - 1, polygon, (circles, Point::origin()));
        }
        Some(ground)
    }

    /// How many outlines there are to be laid, and how many things may be in their way.
    pub fn counts(&self) -> [usize; 2] {
        [self.task.items.len(), self.laid.len()]
    }

    /// The boxes around all that lies there, each a hair larger than what is in it: low and high corner.
    pub fn boxes(&self) -> impl Iterator<Item = [Point<Cloth>; 2]> + '_ {
        self.laid.iter().flatten().map(|laid| laid.kept_off)
    }

    /// The shape of an outline in one of its homes.
    pub fn shape(&self, item: usize, home: usize) -> &'a Shape {
        &self.shapes[self.task.items[item]][home]
    }

    /// Lays an outline, or moves it.
    pub fn lay(&mut self, item: usize, pose: &Pose) {
        self.take(item);
        let shape = self.shape(item, pose.home);
        let mut polygon = (*shape.polygon).clone();
        shape::moved(&mut polygon, &shape.polygon, pose.at);
        self.register(item, polygon, (shape.circles.clone(), pose.at));
    }

    fn register(&mut self, number: usize, polygon: SPolygon, (circles, at): (Arc<Circles>, Point<Cloth>)) {
        let thing = Thing::Outline(number);
        let (at, kept_off) = (single(at), shape::kept_off(&polygon));
        self.engine.register_hazard(Hazard::new(thing, Arc::new(polygon)));
        self.laid[number] = self.engine.haz_key(&thing).map(|key| Laid { circles, at, kept_off, key });
    }

    fn take(&mut self, item: usize) {
        if let Some(laid) = self.laid[item].take() {
            self.engine.deregister_hazard_by_key(laid.key);
        }
    }

    /// Whether an outline would lie on something.
    pub fn is_free(&mut self, item: usize, pose: &Pose) -> bool {
        self.cost(item, pose, f64::MIN_POSITIVE, |_, _| 1.0).is_some()
    }

    /// What lies in an outline's way at a place, weighed: the sum of `weigh(other, overlap)`; none as soon as it is
    /// not below `below`.
    pub fn cost(
        &mut self,
        item: usize,
        pose: &Pose,
        below: f64,
        mut weigh: impl FnMut(usize, f64) -> f64,
    ) -> Option<f64> {
        let kind = self.task.items[item];
        let (polygon, shape) = (&mut self.scratch[kind][pose.home], &self.shapes[kind][pose.home]);
        shape::moved(polygon, &shape.polygon, pose.at);
        self.hits.clear();
        let (mut sum, laid, at) = (0.0, &self.laid, single(pose.at));
        let mut passes = |thing: Thing| {
            sum += match thing {
                Thing::Outside => f64::INFINITY,
                Thing::Outline(other) => laid[other].as_ref().map_or(0.0, |that| {
                    let apart = [at[0] - that.at[0], at[1] - that.at[1]];
                    weigh(other, shape.circles.overlap(&that.circles, apart))
                }),
            };
            sum >= below
        };
        let (polygon, hits, engine) = (&*polygon, &mut self.hits, &self.engine);
        let past = match &laid[item] {
            Some(own) => {
                engine.collect_surrogate_collisions_until(polygon, &own.key, hits, &mut passes)
                    || engine.collect_poly_collisions_until(polygon, &own.key, hits, &mut passes)
            }
            None => {
                engine.collect_surrogate_collisions_until(polygon, &NoFilter, hits, &mut passes)
                    || engine.collect_poly_collisions_until(polygon, &NoFilter, hits, &mut passes)
            }
        };
        (!past && sum < below).then_some(sum)
    }

    /// The overlap of an outline where it lies with everything that it lies on.
    pub fn overlaps(&mut self, item: usize, pose: &Pose) -> Vec<(usize, f64)> {
        let mut all = Vec::new();
        self.cost(item, pose, f64::INFINITY, |other, overlap| {
            all.push((other, overlap));
            overlap
        });
        all
    }

    /// Where an outline's origin may lie along a strip of that length; the range is empty when it does not fit.
    pub fn along_mm(&self, item: usize, home: usize, length_mm: f64) -> [f64; 2] {
        let shape = self.shape(item, home);
        [-shape.low.x, length_mm - shape.high.x]
    }

    /// The nearest place at which the domain lets an outline lie on a strip of that length; none when there is none.
    pub fn allowed(&self, item: usize, pose: &Pose, length_mm: f64) -> Option<Pose> {
        let along_mm = self.along_mm(item, pose.home, length_mm);
        let at = self.homes(item)[pose.home].nearest(pose.at, along_mm)?;
        Some(Pose { home: pose.home, at })
    }

    /// The ways in which an outline may lie.
    pub fn homes(&self, item: usize) -> &'a [Home] {
        &self.task.kinds[self.task.items[item]].homes
    }
}

/// A place in single precision.
fn single(at: Point<Cloth>) -> [f32; 2] {
    [at.x as f32, at.y as f32]
}
