//! Where there is room: the upright rectangle that the projector lights, and where the cloth lies in it at first.

use super::{Pose, Side};
use crate::geometry::{Point, Table, Vector, outline::Outline};

/// Halvings when the rectangle is sought: to a 2^20th of the lit area.
const HALVINGS: usize = 20;

/// An upright rectangle on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Its corner nearest to the person, on the left.
    pub low_mm: Point<Table>,
    /// Its corner farthest from the person, on the right.
    pub high_mm: Point<Table>,
}

impl Room {
    /// The largest upright rectangle of the lit area's own proportions about its middle.
    pub fn in_lit_area(corners_mm: [Point<Table>; 4]) -> Self {
        let lit = Outline { corners: corners_mm.to_vec() };
        let (low, high) = lit.bounds();
        let middle = corners_mm.iter().fold(Point::origin(), |sum, p| sum + p.to_vector() / 4.0);
        let rectangle = |share: f64| Self { low_mm: middle.lerp(low, share), high_mm: middle.lerp(high, share) };
        let (mut inside, mut outside) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let share = f64::midpoint(inside, outside);
            if rectangle(share).is_within(&lit) { inside = share } else { outside = share }
        }
        rectangle(inside)
    }

    /// Width along the front edge.
    pub fn width_mm(&self) -> f64 {
        self.high_mm.x - self.low_mm.x
    }

    /// Depth away from the person.
    pub fn depth_mm(&self) -> f64 {
        self.high_mm.y - self.low_mm.y
    }

    /// How wide and how deep it is as seen from a side.
    pub fn seen_mm(&self, from: Side) -> [f64; 2] {
        match from {
            Side::Front | Side::Back => [self.width_mm(), self.depth_mm()],
            Side::Right | Side::Left => [self.depth_mm(), self.width_mm()],
        }
    }

    /// The rectangle less a margin all round and a band at one side.
    pub fn less(&self, margin_mm: f64, side: Side, band_mm: f64) -> Self {
        let margin = Vector::new(margin_mm, margin_mm);
        let (mut low_mm, mut high_mm) = (self.low_mm + margin, self.high_mm - margin);
        let band: Vector<Table> = side.away::<Table>() * band_mm;
        if band.x + band.y > 0.0 {
            low_mm += band
        } else {
            high_mm += band
        }
        Self { low_mm, high_mm }
    }

    /// Whether a point lies in it.
    pub fn contains(&self, p: Point<Table>) -> bool {
        p.x >= self.low_mm.x && p.x <= self.high_mm.x && p.y >= self.low_mm.y && p.y <= self.high_mm.y
    }

    /// The pose that puts the cloth's origin, where the fold meets the cut end, at the near left corner.
    pub fn pose(&self) -> Pose {
        Pose { at_mm: self.low_mm, turn_rad: 0.0 }
    }

    fn is_within(&self, lit: &Outline<Table>) -> bool {
        let (low, high) = (self.low_mm, self.high_mm);
        let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
        let way = lit.signed_area_mm2().signum();
        lit.sides().all(|(a, b)| corners.iter().all(|p| (b - a).cross(*p - a) * way >= 0.0))
    }
}
