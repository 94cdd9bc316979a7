//! An upright rectangle on the folded cloth: a part of it that is lit, or cut.

use crate::geometry::{Cloth, Point, Vector};
use crate::lay::Lay;

/// An upright rectangle on the folded cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its corner nearest the cloth's origin.
    pub low_mm: Point<Cloth>,
    /// The corner opposite.
    pub high_mm: Point<Cloth>,
}

impl Window {
    /// Between two corners.
    pub(super) fn of(low_mm: Point<Cloth>, high_mm: Point<Cloth>) -> Self {
        Self { low_mm, high_mm }
    }

    /// All of the cloth as it lies.
    pub(super) fn of_cloth(lay: &Lay) -> Self {
        Self::of(Point::origin(), Point::new(lay.length_mm, lay.folded_width_mm))
    }

    /// Its middle.
    pub fn middle(&self) -> Point<Cloth> {
        self.low_mm.lerp(self.high_mm, 0.5)
    }

    /// Its size along and across.
    pub fn size_mm(&self) -> Vector<Cloth> {
        self.high_mm - self.low_mm
    }

    /// Whether a point lies in it, its edge included.
    pub fn contains(&self, p: Point<Cloth>) -> bool {
        p.x >= self.low_mm.x && p.x <= self.high_mm.x && p.y >= self.low_mm.y && p.y <= self.high_mm.y
    }

    /// Its corners, around it.
    pub fn corners(&self) -> [Point<Cloth>; 4] {
        let (low, high) = (self.low_mm, self.high_mm);
        [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]
    }

    /// What it has in common with another.
    pub fn shared(&self, other: &Self) -> Self {
        Self { low_mm: self.low_mm.max(other.low_mm), high_mm: self.high_mm.min(other.high_mm) }
    }

    /// Whether a straight line between two points has a part in it.
    pub(super) fn meets(&self, side: (Point<Cloth>, Point<Cloth>)) -> bool {
        self.part_of(side).is_some()
    }

    /// The parts of a line that lie in it.
    pub fn parts_of(&self, points: &[Point<Cloth>]) -> Vec<Vec<Point<Cloth>>> {
        let mut parts: Vec<Vec<Point<Cloth>>> = Vec::new();
        for side in points.windows(2) {
            let Some([from, to]) = self.part_of((side[0], side[1])) else { continue };
            match parts.last_mut().filter(|part| part.last() == Some(&from)) {
                Some(part) => part.push(to),
                None => parts.push(vec![from, to]),
            }
        }
        parts
    }

    /// The part of a straight line in it: what is left after it is cut off at each of the four edges in turn.
    fn part_of(&self, (a, b): (Point<Cloth>, Point<Cloth>)) -> Option<[Point<Cloth>; 2]> {
        let run = b - a;
        let edges =
            [(run.x, self.low_mm.x - a.x, self.high_mm.x - a.x), (run.y, self.low_mm.y - a.y, self.high_mm.y - a.y)];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (run, low, high) in edges {
            if run == 0.0 {
                if low > 0.0 || high < 0.0 {
                    return None;
                }
                continue;
            }
            from = from.max((low / run).min(high / run));
            to = to.min((low / run).max(high / run));
        }
        let at = |share: f64| {
            if share == 0.0 {
                a
            } else if share == 1.0 {
                b
            } else {
                a + run * share
            }
        };
        (from <= to).then(|| [at(from), at(to)])
    }

    /// Smaller by so much at every side, or larger.
    pub fn less(&self, by_mm: f64) -> Self {
        let by = Vector::new(by_mm, by_mm);
        Self { low_mm: self.low_mm + by, high_mm: self.high_mm - by }
    }

    /// The smallest that holds both.
    pub(super) fn with(&self, other: &Self) -> Self {
        Self { low_mm: self.low_mm.min(other.low_mm), high_mm: self.high_mm.max(other.high_mm) }
    }

    /// Whether it holds all of another.
    pub fn holds(&self, other: &Self) -> bool {
        self.contains(other.low_mm) && self.contains(other.high_mm)
    }
}
