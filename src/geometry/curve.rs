//! Smooth lines: straight and cubic parts, measured and flattened to a stated accuracy.
//!
//! The arithmetic is kurbo's; what is added is the frame in the type, and the few constructions that a draft needs:
//! a curve between two directions, a spline through a guide point, and a monotone line through levels. A curve is
//! measured by its true arc length, not by its chords.

use std::marker::PhantomData;

use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, ParamCurveCurvature, ParamCurveDeriv, PathEl, PathSeg};

use super::{Map, Point, Vector};

/// Handle length with which [`Curve::between`] follows a quarter ellipse: 4/3 (sqrt 2 - 1).
pub const QUARTER_ELLIPSE: f64 = 0.552_284_749_8;

/// Handle length with which [`Curve::between`] is a parabola.
pub const PARABOLA: f64 = 2.0 / 3.0;

/// Accuracy of measured lengths. A tape reads half a millimetre; 1e-4 mm leaves room for sums of many curves.
pub const LENGTH_ACCURACY_MM: f64 = 1e-4;

/// Greatest distance between a curve and its flattened corners. A finer value only adds corners that no blade
/// can follow; a coarser one would be seen when front and back are held together.
pub const FLATTEN_MM: f64 = 0.01;

/// A smooth line in frame `F`.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve<F> {
    parts: Vec<PathSeg>,
    frame: PhantomData<F>,
}

fn kurbo<F>(p: Point<F>) -> kurbo::Point {
    kurbo::Point::new(p.x, p.y)
}

fn ours<F>(p: kurbo::Point) -> Point<F> {
    Point::new(p.x, p.y)
}

impl<F> Curve<F> {
    /// A straight line.
    pub fn line(from: Point<F>, to: Point<F>) -> Self {
        Self::of(vec![PathSeg::Line(kurbo::Line::new(kurbo(from), kurbo(to)))])
    }

    fn of(parts: Vec<PathSeg>) -> Self {
        Self { parts, frame: PhantomData }
    }

    /// The cubic of two ends and two handles: it leaves the first end towards the first handle and comes to the second
    /// end from the second handle.
    pub fn handled([from, first, second, to]: [Point<F>; 4]) -> Self {
        Self::of(vec![PathSeg::Cubic(CubicBez::new(kurbo(from), kurbo(first), kurbo(second), kurbo(to)))])
    }

    /// Straight lines from corner to corner; at least two.
    pub fn straight_through(corners: &[Point<F>]) -> Self {
        Self::of(
            corners.windows(2).map(|side| PathSeg::Line(kurbo::Line::new(kurbo(side[0]), kurbo(side[1])))).collect(),
        )
    }

    /// A part of a circle; angles in radians from +x towards +y, followed from the first to the second.
    ///
    /// Each cubic covers an eighth of a right angle's multiple at most and is within 4e-8 of the radius (Goldapp 1991: the
    /// error falls with the sixth power of the angle), so that no tape sees it.
    pub fn arc(centre: Point<F>, radius_mm: f64, [from_rad, to_rad]: [f64; 2]) -> Self {
        const MOST_RAD: f64 = std::f64::consts::FRAC_PI_8;
        let count = ((to_rad - from_rad).abs() / MOST_RAD).ceil().max(1.0);
        let step_rad = (to_rad - from_rad) / count;
        let handle = 4.0 / 3.0 * (step_rad / 4.0).tan();
        let part = |i: u32| {
            let [a, b] = [from_rad + step_rad * f64::from(i), from_rad + step_rad * f64::from(i + 1)];
            let [out, into] = [a, b].map(|rad| Vector::new(rad.cos(), rad.sin()));
            let along = |v: Vector<F>| Vector::new(-v.y, v.x) * handle;
            let corners = [out, out + along(out), into - along(into), into].map(|v| kurbo(centre + v * radius_mm));
            PathSeg::Cubic(CubicBez::new(corners[0], corners[1], corners[2], corners[3]))
        };
        Self::of((0..count as u32).map(part).collect())
    }

    /// The cubic that leaves `from` along `out` and arrives at `to` along `into`, each handle `share` of the way to
    /// the point where the two directions cross.
    ///
    /// A share of [`QUARTER_ELLIPSE`] follows one to 0.03 % of its radius (Goldapp, "Approximation of circular arcs by
    /// cubic polynomials", *Computer Aided Geometric Design* 8, 1991); [`PARABOLA`] is one. Where the directions don't
    /// cross ahead of both ends, handles of a third of the chord are used, and the curve is an S.
    pub fn between(from: (Point<F>, Vector<F>), to: (Point<F>, Vector<F>), share: f64) -> Self {
        let ((p0, out), (p3, into)) = (from, to);
        let chord = p3 - p0;
        let cross = out.cross(into);
        let (ahead, behind) = (chord.cross(into) / cross, out.cross(chord) / cross);
        let third = chord.length() / 3.0;
        let (a, b) = if cross != 0.0 && ahead > 0.0 && behind > 0.0 {
            (out * (ahead * share), into * (behind * share))
        } else {
            (out.normalize() * third, into.normalize() * third)
        };
        Self::of(vec![PathSeg::Cubic(CubicBez::new(kurbo(p0), kurbo(p0 + a), kurbo(p3 - b), kurbo(p3)))])
    }

    /// The cubic spline with continuous curvature through three points, leaving along `out` and arriving along `into`
    /// (unit vectors), with the knots `spans` apart: the clamped spline of de Boor, *A Practical Guide to Splines*
    /// (1978), chapter IV, each coordinate on its own.
    pub fn through(points: [Point<F>; 3], ends: [Vector<F>; 2], spans: [f64; 2]) -> Self {
        let ([p0, p1, p2], [m0, m2], [h0, h1]) = (points, ends, spans);
        let m1 = (((p1 - p0) * (h1 / h0) + (p2 - p1) * (h0 / h1)) * 3.0 - m0 * h1 - m2 * h0) / (2.0 * (h0 + h1));
        let part = |a: Point<F>, ma: Vector<F>, b: Point<F>, mb: Vector<F>, h: f64| {
            PathSeg::Cubic(CubicBez::new(kurbo(a), kurbo(a + ma * (h / 3.0)), kurbo(b - mb * (h / 3.0)), kurbo(b)))
        };
        Self::of(vec![part(p0, m0, p1, m1, h0), part(p1, m1, p2, m2, h1)])
    }

    /// The smooth line down through points of growing y that never swings beyond them: between two neighbours x only
    /// grows or only falls. The last part is straight where that is possible.
    ///
    /// Cubic Hermite parts with the slopes of Fritsch and Butland, "A method for constructing local monotone piecewise
    /// cubic interpolants", *SIAM J. Sci. Stat. Comput.* 5 (1984), but for the slope at the last inner point, which is
    /// that of the last part as far as the monotone range (three times the slope above it) allows.
    pub fn down_through(points: &[Point<F>]) -> Self {
        let secants: Vec<f64> = points.windows(2).map(|p| (p[1].x - p[0].x) / (p[1].y - p[0].y)).collect();
        let last = secants.len() - 1;
        let slope = |i: usize| {
            if i == 0 {
                return secants[0];
            }
            if i > last {
                return secants[last];
            }
            let (above, below) = (secants[i - 1], secants[i]);
            if above * below <= 0.0 {
                return 0.0;
            }
            if i == last {
                return below.signum() * below.abs().min(3.0 * above.abs());
            }
            let (h0, h1) = (points[i].y - points[i - 1].y, points[i + 1].y - points[i].y);
            let share = (h0 + 2.0 * h1) / (3.0 * (h0 + h1));
            above * below / (share * below + (1.0 - share) * above)
        };
        let part = |i: usize| {
            let (a, b) = (points[i], points[i + 1]);
            let third = (b.y - a.y) / 3.0;
            PathSeg::Cubic(CubicBez::new(
                kurbo(a),
                kurbo(a + Vector::new(slope(i), 1.0) * third),
                kurbo(b - Vector::new(slope(i + 1), 1.0) * third),
                kurbo(b),
            ))
        };
        Self::of((0..secants.len()).map(part).collect())
    }

    /// This curve followed by another that begins where it ends.
    #[must_use]
    pub fn then(mut self, next: Self) -> Self {
        self.parts.extend(next.parts);
        self
    }

    /// The same curve from its end to its start.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self::of(self.parts.iter().rev().map(PathSeg::reverse).collect())
    }

    /// The part from one length along it to another; at least a hair of it.
    #[must_use]
    pub fn part(&self, [from_mm, to_mm]: [f64; 2]) -> Self {
        let mut parts = Vec::new();
        let mut before_mm = 0.0;
        for part in &self.parts {
            let length_mm = part.arclen(LENGTH_ACCURACY_MM);
            let at = |along_mm: f64| match along_mm - before_mm {
                left if left <= 0.0 => 0.0,
                left if left >= length_mm => 1.0,
                left => part.inv_arclen(left, LENGTH_ACCURACY_MM),
            };
            let (from, to) = (at(from_mm), at(to_mm));
            if from < to {
                parts.push(part.subsegment(from..to));
            }
            before_mm += length_mm;
        }
        if parts.is_empty() {
            let (at, along) = self.at_length(from_mm);
            return Self::line(at, at + along * LENGTH_ACCURACY_MM);
        }
        Self::of(parts)
    }

    /// The same curve in another frame.
    pub fn mapped<G>(&self, g_from_f: &Map<F, G>) -> Curve<G> {
        let to = |p: kurbo::Point| kurbo(g_from_f.transform_point(ours(p)));
        let part = |part: &PathSeg| match part.to_cubic() {
            _ if matches!(part, PathSeg::Line(_)) => PathSeg::Line(kurbo::Line::new(to(part.start()), to(part.end()))),
            c => PathSeg::Cubic(CubicBez::new(to(c.p0), to(c.p1), to(c.p2), to(c.p3))),
        };
        Curve::of(self.parts.iter().map(part).collect())
    }

    /// First point.
    pub fn start(&self) -> Point<F> {
        ours(self.parts[0].start())
    }

    /// Last point.
    pub fn end(&self) -> Point<F> {
        ours(self.parts[self.parts.len() - 1].end())
    }

    /// Direction at the first point, of length 1.
    pub fn start_direction(&self) -> Vector<F> {
        direction(&self.parts[0], 0.0)
    }

    /// The radius of the circle that it begins along; endless for a straight line.
    pub fn start_radius_mm(&self) -> f64 {
        self.parts[0].to_cubic().curvature(0.0).abs().recip()
    }

    /// How often it changes the side that it bends to, along parts that run smoothly into one another.
    pub fn swings(&self) -> usize {
        /// What bends less is straight but for rounding.
        const STRAIGHT: f64 = 1e-12;
        let bends = |part: &PathSeg| {
            let cubic = part.to_cubic();
            let mut at: Vec<f64> = [0.0, 1.0].into_iter().chain(cubic.inflections()).collect();
            at.sort_by(f64::total_cmp);
            at.windows(2).map(|at| cubic.curvature(f64::midpoint(at[0], at[1]))).collect::<Vec<_>>()
        };
        let bends: Vec<f64> = self.parts.iter().flat_map(bends).filter(|bend| bend.abs() > STRAIGHT).collect();
        bends.windows(2).filter(|two| two[0] * two[1] < 0.0).count()
    }

    /// Direction at the last point, of length 1.
    pub fn end_direction(&self) -> Vector<F> {
        direction(&self.parts[self.parts.len() - 1], 1.0)
    }

    /// Arc length, to [`LENGTH_ACCURACY_MM`].
    pub fn length_mm(&self) -> f64 {
        self.parts.iter().map(|p| p.arclen(LENGTH_ACCURACY_MM)).sum()
    }

    /// The point `along_mm` from the start and the direction there; the ends hold beyond them.
    pub fn at_length(&self, along_mm: f64) -> (Point<F>, Vector<F>) {
        let mut left = along_mm.max(0.0);
        for part in &self.parts {
            let length = part.arclen(LENGTH_ACCURACY_MM);
            if left <= length {
                let t = part.inv_arclen(left, LENGTH_ACCURACY_MM);
                return (ours(part.eval(t)), direction(part, t));
            }
            left -= length;
        }
        (self.end(), self.end_direction())
    }

    /// The curve from its start as far as `along_mm`; the whole where that is beyond its end.
    #[must_use]
    pub fn until(&self, along_mm: f64) -> Self {
        let mut left = along_mm.max(0.0);
        let mut parts = Vec::new();
        for part in &self.parts {
            let length = part.arclen(LENGTH_ACCURACY_MM);
            if left <= length {
                parts.push(part.subsegment(0.0..part.inv_arclen(left, LENGTH_ACCURACY_MM)));
                break;
            }
            parts.push(*part);
            left -= length;
        }
        Self::of(parts)
    }

    /// How far along the curve, in mm, it first reaches the level `y_mm`; none where it never does.
    pub fn length_to_level(&self, y_mm: f64) -> Option<f64> {
        let (i, t) = self.meets_level(y_mm)?;
        let before: f64 = self.parts[..i].iter().map(|part| part.arclen(LENGTH_ACCURACY_MM)).sum();
        Some(before + self.parts[i].subsegment(0.0..t).arclen(LENGTH_ACCURACY_MM))
    }

    /// The point where the curve first reaches the level `y_mm`; none where it never does.
    pub fn at_level(&self, y_mm: f64) -> Option<Point<F>> {
        let (i, t) = self.meets_level(y_mm)?;
        Some(ours(self.parts[i].eval(t)))
    }

    /// The first part that reaches a level, and where on it, from 0 to 1.
    fn meets_level(&self, y_mm: f64) -> Option<(usize, f64)> {
        /// Far outside any draft, so that the level line crosses the whole of it.
        const FAR_MM: f64 = 1e5;
        /// An end this near the level is on it.
        const ON_LEVEL_MM: f64 = 1e-6;
        /// A hit this far along a part may be its end.
        const NEARLY_ALL: f64 = 1.0 - 1e-6;
        let level = kurbo::Line::new((-FAR_MM, y_mm), (FAR_MM, y_mm));
        let on = |p: kurbo::Point| (p.y - y_mm).abs() < ON_LEVEL_MM;
        let meets = |(i, part): (usize, &PathSeg)| {
            if on(part.start()) {
                return Some((i, 0.0));
            }
            let hits = part.intersect_line(level).into_iter().map(|hit| hit.segment_t);
            let first = hits.min_by(f64::total_cmp);
            // A hit at a part's very end is that end: the solver of the cubic is less exact than the point itself.
            let at_end = on(part.end()).then_some(1.0);
            first.filter(|t| at_end.is_none() || *t < NEARLY_ALL).or(at_end).map(|t| (i, t))
        };
        self.parts.iter().enumerate().find_map(meets)
    }

    /// Corners of the flattened curve, first and last point included, within [`FLATTEN_MM`] of it.
    pub fn corners(&self) -> Vec<Point<F>> {
        let path =
            std::iter::once(PathEl::MoveTo(self.parts[0].start())).chain(self.parts.iter().map(PathSeg::as_path_el));
        let mut corners = Vec::new();
        kurbo::flatten(path, FLATTEN_MM, |el| match el {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => corners.push(ours(p)),
            _ => {}
        });
        without_splinters(corners)
    }

    /// The parts as SVG or PDF path elements in this frame's own axes.
    pub fn elements(&self) -> impl Iterator<Item = PathEl> + '_ {
        self.parts.iter().map(PathSeg::as_path_el)
    }
}

/// Corners without those that follow another too closely: a side of a few rounding errors has no direction of its own,
/// and a parallel beside it would run anywhere. First and last stay.
fn without_splinters<F>(corners: Vec<Point<F>>) -> Vec<Point<F>> {
    /// A tenth of what a flattened curve is off anyway.
    const SPLINTER_MM: f64 = FLATTEN_MM / 10.0;
    let end = corners[corners.len() - 1];
    let mut kept: Vec<Point<F>> = Vec::with_capacity(corners.len());
    for corner in corners {
        if kept.last().is_none_or(|last| (corner - *last).length() > SPLINTER_MM) {
            kept.push(corner);
        }
    }
    while kept.len() > 1 && (end - kept[kept.len() - 1]).length() <= SPLINTER_MM {
        kept.pop();
    }
    kept.push(end);
    kept
}

/// Direction of a part at parameter `t`, of length 1.
fn direction<F>(part: &PathSeg, t: f64) -> Vector<F> {
    let d = match part {
        PathSeg::Line(line) => line.deriv().eval(t),
        PathSeg::Quad(quad) => quad.deriv().eval(t),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t),
    };
    Vector::new(d.x, d.y).try_normalize().unwrap_or_else(|| Vector::new(1.0, 0.0))
}

#[cfg(test)]
mod tests {
    use super::super::{Draft, frame::point};
    use super::*;

    #[test]
    fn quarter_ellipse_has_its_published_length() {
        // Perimeter of an ellipse with half axes 4 and 2: 4 a E(e) = 19.37689644 (complete elliptic integral of the
        // second kind, DLMF 19.9.9; value by scipy.special.ellipe).
        let (right, up) = (Vector::<Draft>::new(1.0, 0.0), Vector::new(0.0, -1.0));
        let curve = Curve::between((point(0.0, 200.0), right), (point(400.0, 0.0), up), 0.552_284_75);
        assert!((curve.length_mm() * 4.0 / 1_937.689_644 - 1.0).abs() < 3e-4, "{}", curve.length_mm() * 4.0);
    }

    #[test]
    fn monotone_line_never_swings_beyond_its_points() {
        let points = [point::<Draft>(240.0, 200.0), point(216.0, 406.0), point(280.0, 610.0), point(410.0, 1250.0)];
        let curve = Curve::down_through(&points);
        let corners = curve.corners();
        assert!(corners.iter().all(|p| p.x >= 216.0 - 1e-9 && p.x <= 410.0 + 1e-9));
        for p in points {
            let at = curve.length_to_level(p.y).map(|l| curve.at_length(l).0);
            assert!(at.is_some_and(|q| (q - p).length() < 1e-3), "{p:?} {at:?}");
        }
    }

    #[test]
    fn spline_passes_its_guide_and_keeps_its_curvature() {
        let points = [point::<Draft>(0.0, 0.0), point(-10.0, 90.0), point(60.0, 180.0)];
        let curve = Curve::through(points, [Vector::new(0.0, 1.0), Vector::new(1.0, 0.0)], [90.0, 114.0]);
        let (first, second) = (curve.parts[0].to_cubic(), curve.parts[1].to_cubic());
        let bend = |c: CubicBez, t: f64, h: f64| c.deriv().deriv().eval(t).to_vec2() / (h * h);
        assert!((bend(first, 1.0, 90.0) - bend(second, 0.0, 114.0)).hypot() < 1e-9);
        assert_eq!(curve.parts[0].end(), kurbo::Point::new(-10.0, 90.0));
    }
}
