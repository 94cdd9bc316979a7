//! Closed outlines: area, containment, and what two of them have in common.
//!
//! Unions and differences are i_overlay's, on a grid of [`GRID_PER_MM`] steps a millimetre, so that they are exact
//! and the same on every machine.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::Overlay;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

use super::{Map, Point};

/// Steps of the grid on which outlines are joined: a tenth of a micron.
const GRID_PER_MM: f64 = 1e4;

/// A closed outline; its last corner is joined to its first.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline<F> {
    /// The corners, without the first repeated at the end.
    pub corners: Vec<Point<F>>,
}

impl<F> Outline<F> {
    /// An outline from runs of corners, each run beginning where the one before it ends.
    pub fn joining(runs: impl IntoIterator<Item = Vec<Point<F>>>) -> Self {
        let mut corners: Vec<Point<F>> = Vec::new();
        for corner in runs.into_iter().flatten() {
            if corners.last().is_none_or(|last| (*last - corner).length() > 1e-9) {
                corners.push(corner);
            }
        }
        while corners.len() > 1 && (corners[0] - corners[corners.len() - 1]).length() <= 1e-9 {
            corners.pop();
        }
        Self { corners }
    }

    /// The sides, in order.
    pub fn sides(&self) -> impl Iterator<Item = (Point<F>, Point<F>)> + '_ {
        let n = self.corners.len();
        (0..n).map(move |i| (self.corners[i], self.corners[(i + 1) % n]))
    }

    /// The area, positive when the corners run clockwise as seen with y down (anticlockwise with y up).
    pub fn signed_area_mm2(&self) -> f64 {
        self.sides().map(|(a, b)| a.to_vector().cross(b.to_vector())).sum::<f64>() / 2.0
    }

    /// The area.
    pub fn area_mm2(&self) -> f64 {
        self.signed_area_mm2().abs()
    }

    /// Smallest and largest corner of the upright box around it.
    pub fn bounds(&self) -> (Point<F>, Point<F>) {
        let start = (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
        self.corners.iter().fold(start, |(low, high), p| (low.min(*p), high.max(*p)))
    }

    /// Whether no two sides cross or touch but where they follow one another.
    pub fn is_simple(&self) -> bool {
        let sides: Vec<_> = self.sides().collect();
        let n = sides.len();
        let mut order: Vec<usize> = (0..n).collect();
        let low = |i: usize| sides[i].0.y.min(sides[i].1.y);
        let high = |i: usize| sides[i].0.y.max(sides[i].1.y);
        order.sort_by(|a, b| low(*a).total_cmp(&low(*b)));
        for (place, &i) in order.iter().enumerate() {
            for &j in order[place + 1..].iter().take_while(|&&j| low(j) <= high(i)) {
                let neighbours = (i + 1) % n == j || (j + 1) % n == i;
                if !neighbours && sides_cross(sides[i], sides[j]) {
                    return false;
                }
            }
        }
        n >= 3
    }

    /// The same outline in another frame.
    pub fn mapped<G>(&self, g_from_f: &Map<F, G>) -> Outline<G> {
        Outline { corners: self.corners.iter().map(|p| g_from_f.transform_point(*p)).collect() }
    }

    /// The outer outlines of everything that at least one of `outlines` covers.
    pub fn union(outlines: &[&Self]) -> Vec<Self> {
        let rings: Vec<_> = outlines.iter().map(|outline| outline.on_grid()).collect();
        let joined = Overlay::from_subj(&rings).overlay(OverlayRule::Subject, FillRule::NonZero);
        joined.iter().filter_map(|shape| shape.first()).map(|ring| Self::off_grid(ring)).collect()
    }

    /// The area of this outline that `other` leaves uncovered.
    pub fn area_outside_mm2(&self, other: &Self) -> f64 {
        let left = Overlay::from_subj_and_clip(&self.on_grid(), &other.on_grid())
            .overlay(OverlayRule::Difference, FillRule::NonZero);
        left.iter().flatten().map(|ring| Self::off_grid(ring).signed_area_mm2()).sum::<f64>().abs()
    }

    /// The area that this outline and `other` both cover.
    pub fn shared_mm2(&self, other: &Self) -> f64 {
        let ((low, high), (other_low, other_high)) = (self.bounds(), other.bounds());
        if low.x > other_high.x || other_low.x > high.x || low.y > other_high.y || other_low.y > high.y {
            return 0.0;
        }
        let both = Overlay::from_subj_and_clip(&self.on_grid(), &other.on_grid())
            .overlay(OverlayRule::Intersect, FillRule::NonZero);
        both.iter().flatten().map(|ring| Self::off_grid(ring).signed_area_mm2()).sum::<f64>().abs()
    }

    /// Whether a point lies inside, by the even-odd rule.
    pub fn contains(&self, p: Point<F>) -> bool {
        let crossed = self
            .sides()
            .filter(|(a, b)| (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y));
        crossed.count() % 2 == 1
    }

    /// Distance from a point to the nearest side.
    pub fn distance_mm(&self, from: Point<F>) -> f64 {
        self.sides().map(|side| distance_to_side_mm(from, side)).fold(f64::INFINITY, f64::min)
    }

    /// Whether a side passes a point nearer than this. Sides that are far off in x or y are not measured, and the first
    /// near one is enough: outlines have thousands of sides, and a plan asks thousands of times.
    pub fn passes(&self, p: Point<F>, nearer_than_mm: f64) -> bool {
        let far = |a: f64, b: f64, at: f64| at - a.max(b) >= nearer_than_mm || a.min(b) - at >= nearer_than_mm;
        self.sides()
            .any(|(a, b)| !far(a.x, b.x, p.x) && !far(a.y, b.y, p.y) && distance_to_side_mm(p, (a, b)) < nearer_than_mm)
    }

    /// The corners on the grid, all outlines the same way round so that the non-zero rule joins them.
    fn on_grid(&self) -> Vec<IntPoint<i64>> {
        let step = |mm: f64| (mm * GRID_PER_MM).round() as i64;
        let mut ring: Vec<_> = self.corners.iter().map(|p| IntPoint::new(step(p.x), step(p.y))).collect();
        if self.signed_area_mm2() < 0.0 {
            ring.reverse();
        }
        ring
    }

    fn off_grid(ring: &[IntPoint<i64>]) -> Self {
        let mm = |step: i64| step as f64 / GRID_PER_MM;
        Self { corners: ring.iter().map(|p| Point::new(mm(p.x), mm(p.y))).collect() }
    }
}

fn sides_cross<F>((a, b): (Point<F>, Point<F>), (c, d): (Point<F>, Point<F>)) -> bool {
    let side = |p: Point<F>, q: Point<F>, r: Point<F>| (q - p).cross(r - p);
    let (abc, abd, cda, cdb) = (side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b));
    if abc == 0.0 && abd == 0.0 && cda == 0.0 && cdb == 0.0 {
        let along = b - a;
        let at = |p: Point<F>| (p - a).dot(along);
        return at(c).max(at(d)) >= 0.0 && at(c).min(at(d)) <= at(b);
    }
    abc * abd <= 0.0 && cda * cdb <= 0.0
}

/// Distance from a point to a straight side.
pub fn distance_to_side_mm<F>(from: Point<F>, (a, b): (Point<F>, Point<F>)) -> f64 {
    (from - nearest_on_side(from, (a, b))).length()
}

/// The place of a straight side that is nearest to a point.
pub fn nearest_on_side<F>(to: Point<F>, (a, b): (Point<F>, Point<F>)) -> Point<F> {
    let along = b - a;
    let t = if along.square_length() == 0.0 { 0.0 } else { (to - a).dot(along) / along.square_length() };
    a + along * t.clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::super::{Draft, frame::point};
    use super::*;

    fn square(at: f64, side: f64) -> Outline<Draft> {
        Outline {
            corners: vec![point(at, at), point(at + side, at), point(at + side, at + side), point(at, at + side)],
        }
    }

    #[test]
    fn union_and_difference_of_squares() {
        let (a, b) = (square(0.0, 100.0), square(50.0, 100.0));
        let joined = Outline::union(&[&a, &b]);
        assert_eq!(joined.len(), 1);
        assert!((joined[0].area_mm2() - 17_500.0).abs() < 1e-6);
        assert!((a.area_outside_mm2(&b) - 7_500.0).abs() < 1e-6);
        assert_eq!(square(10.0, 20.0).area_outside_mm2(&a), 0.0);
        assert!((a.shared_mm2(&b) - 2_500.0).abs() < 1e-6);
        assert_eq!(a.shared_mm2(&square(100.0, 5.0)), 0.0);
    }

    #[test]
    fn a_bow_tie_is_not_simple() {
        assert!(square(0.0, 10.0).is_simple());
        let tie =
            Outline::<Draft> { corners: vec![point(0.0, 0.0), point(10.0, 10.0), point(10.0, 0.0), point(0.0, 10.0)] };
        assert!(!tie.is_simple());
    }
}
