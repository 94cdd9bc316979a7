//! Parallels: the cutting line beside the sewing line, each edge at its own distance.
//!
//! An edge's flattened line is moved outward by its allowance; where two edges meet, their moved lines are carried
//! straight on until they cross (a mitre), so that the turning covers the garment when it is pressed back. Where that
//! point would run far out, the corner is squared off instead. Where an edge bends more sharply than its allowance is
//! wide, the loop that its parallel would make is cut off. No library offsets each edge by a distance of its
//! own; what a library does well, joining outlines exactly, is in [`super::outline`].

use super::{Curve, Outline, Point, Vector};

/// How far a mitred corner may stand from the sewn one, in multiples of the larger allowance, before it is squared.
/// Corners of a garment are near square (1.4 times); 3 leaves a sharp collar point whole.
const MITRE_LIMIT: f64 = 3.0;

/// Directions closer to parallel than this (sine of the angle) have no crossing worth carrying on to.
const PARALLEL_SINE: f64 = 1e-6;

/// The runs of corners of the cutting line, one for each edge, in the edges' order.
///
/// `edges` are the consecutive edges around the piece with the outside to the right of the way (seen with y down:
/// anticlockwise), each with its allowance in mm, at least 0. Each run ends where the next one starts.
pub fn cutting_runs<F>(edges: &[(&Curve<F>, f64)]) -> Vec<Vec<Point<F>>> {
    let mut moved: Vec<Moved<F>> = edges.iter().map(|(curve, by_mm)| Moved::out(curve, *by_mm)).collect();
    let n = moved.len();
    for i in 0..n {
        let next = &moved[(i + 1) % n];
        let (start, out) = (next.corners[0], next.ends[0]);
        let farthest_mm = MITRE_LIMIT * edges[i].1.max(edges[(i + 1) % n].1);
        moved[i].end_at((start - out * farthest_mm, start));
    }
    let joint = |i: usize| {
        let next = (i + 1) % n;
        let reach_mm = MITRE_LIMIT * edges[i].1.max(edges[next].1);
        meeting(&moved[i], &moved[next], edges[next].0.start(), reach_mm)
    };
    let joints: Vec<Vec<Point<F>>> = (0..n).map(joint).collect();
    let run = |i: usize| {
        let before = &joints[(i + n - 1) % n];
        moved[i].between(before[before.len() - 1], &joints[i])
    };
    (0..n).map(run).collect()
}

/// An edge moved out by its allowance.
struct Moved<F> {
    corners: Vec<Point<F>>,
    /// Direction of the true curve at both ends: that of a flattened one is off by more than a mitre forgives.
    ends: [Vector<F>; 2],
}

impl<F> Moved<F> {
    fn out(curve: &Curve<F>, by_mm: f64) -> Self {
        let ends = [curve.start_direction(), curve.end_direction()];
        Self { corners: moved_out(&curve.corners(), ends, by_mm), ends }
    }

    /// Ends it where it first crosses the next edge, carried back, when that is before its own end: a curve that comes
    /// to a point there would run over it.
    fn end_at(&mut self, next: (Point<F>, Point<F>)) {
        let sides = self.corners.windows(2).enumerate();
        let met = sides.filter_map(|(i, side)| Some((i, crossing((side[0], side[1]), next)?))).next();
        if let Some((i, at)) = met.filter(|(i, _)| i + 2 < self.corners.len()) {
            self.corners.truncate(i + 1);
            self.corners.push(at);
        }
    }

    /// The run from the joint before to the joint behind: carried straight on at the ends where the joints lie beyond.
    fn between(&self, start: Point<F>, joint: &[Point<F>]) -> Vec<Point<F>> {
        let (first, last) = (self.corners[0], self.corners[self.corners.len() - 1]);
        let mut run = vec![start];
        if self.corners.len() > 2 {
            let begins_later = (first - start).dot(self.ends[0]) > 0.0;
            let ends_earlier = (joint[0] - last).dot(self.ends[1]) > 0.0;
            run.extend(begins_later.then_some(first));
            run.extend_from_slice(&self.corners[1..self.corners.len() - 1]);
            run.extend(ends_earlier.then_some(last));
        }
        run.extend_from_slice(joint);
        run
    }
}

/// Sine of the angle of a corner within an edge, which is no flattened curve's: there each side is moved by itself, and the
/// loop that they make is cut off. Along the bisector such a corner would be as far out as its nearest short sides ask for,
/// and not as the curves beside it do.
const SHARP_SINE: f64 = 0.4;

/// An open line moved outward by `by_mm`: at its ends square to their directions, between them corner by corner along
/// the bisector.
fn moved_out<F>(corners: &[Point<F>], ends: [Vector<F>; 2], by_mm: f64) -> Vec<Point<F>> {
    if by_mm == 0.0 {
        return corners.to_vec();
    }
    let right_of = |d: Vector<F>| Vector::new(-d.y, d.x);
    let last = corners.len() - 1;
    let side = |i: usize| right_of((corners[i + 1] - corners[i]).normalize());
    let out = |i: usize| match i {
        0 => vec![right_of(ends[0]) * by_mm],
        i if i == last => vec![right_of(ends[1]) * by_mm],
        i if side(i - 1).cross(side(i)) > SHARP_SINE => vec![side(i - 1) * by_mm, side(i) * by_mm],
        i => {
            // |bisector|^2 = 2 (1 + cos): dividing by half of it keeps both sides at the full distance.
            let bisector = side(i - 1) + side(i);
            vec![bisector * (2.0 * by_mm / bisector.square_length())]
        }
    };
    let moved: Vec<_> =
        (0..=last).flat_map(|i| out(i).into_iter().map(move |by| (corners[i], corners[i] + by))).collect();
    let turned_back = |two: &[(Point<F>, Point<F>)]| {
        let along = two[1].0 - two[0].0;
        along.square_length() == 0.0 || (two[1].1 - two[0].1).dot(along) < 0.0
    };
    let loops = moved.windows(2).any(turned_back);
    let line = moved.into_iter().map(|(_, out)| out).collect();
    if loops { without_loops(line) } else { line }
}

/// A moved line without the loops that it makes where the sewn line bends more sharply than the allowance is wide: from
/// the first side that crosses a later one straight over to that one. What is left keeps the full distance everywhere.
fn without_loops<F>(mut moved: Vec<Point<F>>) -> Vec<Point<F>> {
    let last = moved.len() - 1;
    let mut kept = vec![moved[0]];
    let mut i = 0;
    while i < last {
        let over =
            (i + 2..last).rev().find_map(|j| Some((j, crossing((moved[i], moved[i + 1]), (moved[j], moved[j + 1]))?)));
        if let Some((j, at)) = over {
            kept.push(at);
            moved[j] = at;
            i = j;
        } else {
            kept.push(moved[i + 1]);
            i += 1;
        }
    }
    kept
}

/// How far from `from` along `direction` (of length 1) a line is first met, when it is within `farthest_mm`.
pub fn reach_mm<F>(line: &Outline<F>, from: Point<F>, direction: Vector<F>, farthest_mm: f64) -> Option<f64> {
    let ray = (from, from + direction * farthest_mm);
    let met = line.sides().filter_map(|side| crossing(ray, side)).map(|at| (at - from).length());
    met.min_by(f64::total_cmp)
}

/// Where two sides cross, when they do.
fn crossing<F>((a, b): (Point<F>, Point<F>), (c, d): (Point<F>, Point<F>)) -> Option<Point<F>> {
    let (along, across) = (b - a, d - c);
    let sine = along.cross(across);
    let (s, t) = ((c - a).cross(across) / sine, (c - a).cross(along) / sine);
    let within = |share: f64| (0.0..=1.0).contains(&share);
    (within(s) && within(t)).then(|| a + along * s)
}

/// The corner points between two moved edges: one where they are mitred, two where the corner is squared off.
fn meeting<F>(one: &Moved<F>, other: &Moved<F>, sewn: Point<F>, reach_mm: f64) -> Vec<Point<F>> {
    let (a, b) = (one.corners[one.corners.len() - 1], other.corners[0]);
    let (into, out) = (one.ends[1], other.ends[0]);
    let sine = into.cross(out);
    if (a - b).length() < 1e-9 {
        return vec![a];
    }
    if sine.abs() > PARALLEL_SINE {
        let crossing = a + into * ((b - a).cross(out) / sine);
        if (crossing - sewn).length() <= reach_mm {
            return vec![crossing];
        }
    }
    vec![a, b]
}

#[cfg(test)]
mod tests {
    use super::super::{Draft, frame::point};
    use super::*;

    #[test]
    fn a_bend_sharper_than_the_allowance_makes_no_loop() {
        // A valley of 90 degrees, rounded with a radius of 5 mm, seen from within by 20 mm.
        let mut valley = vec![point::<Draft>(0.0, 0.0), point(95.0, 0.0)];
        let arc = |i: u32| f64::from(i) * std::f64::consts::FRAC_PI_2 / 8.0;
        valley.extend((1..8).map(|i| point(95.0 + 5.0 * arc(i).sin(), -5.0 + 5.0 * arc(i).cos())));
        valley.extend([point(100.0, -5.0), point(100.0, -100.0)]);
        let ends = [Vector::new(0.0, 1.0), Vector::new(-1.0, 0.0)];
        let outward = moved_out(&valley.iter().rev().copied().collect::<Vec<_>>(), ends, 20.0);
        let expected = [point::<Draft>(80.0, -100.0), point(80.0, -20.0), point(0.0, -20.0)];
        assert_eq!(outward.len(), 3, "{outward:?}");
        assert!(outward.iter().zip(expected).all(|(p, q)| (*p - q).length() < 1e-9), "{outward:?}");
    }

    #[test]
    fn each_edge_keeps_its_own_distance_and_corners_are_mitred() {
        // Anticlockwise with y down: left side down, bottom rightwards, right side up, top leftwards.
        let p = |x, y| point::<Draft>(x, y);
        let sides = [
            (Curve::line(p(0.0, 0.0), p(0.0, 100.0)), 0.0),
            (Curve::line(p(0.0, 100.0), p(50.0, 100.0)), 25.0),
            (Curve::line(p(50.0, 100.0), p(50.0, 0.0)), 40.0),
            (Curve::line(p(50.0, 0.0), p(0.0, 0.0)), 12.0),
        ];
        let edges: Vec<_> = sides.iter().map(|(side, by_mm)| (side, *by_mm)).collect();
        let runs = cutting_runs(&edges);
        assert_eq!(runs[0], vec![p(0.0, -12.0), p(0.0, 125.0)]);
        assert_eq!(runs[1], vec![p(0.0, 125.0), p(90.0, 125.0)]);
        assert_eq!(runs[2], vec![p(90.0, 125.0), p(90.0, -12.0)]);
    }
}
