//! The necklines: from the shoulder to the centre line, square to the shoulder so that front and back make one line.

use super::at;
use super::block::rules::{BACK_NECK_DEPTH, FRONT_NECK_DEPTH, NECK_HALF_WIDTH};
use super::rules::Rule;
use super::sheet::Sheet;
use crate::geometry::{Curve, Draft, PARABOLA, Point, QUARTER_ELLIPSE, Vector};
use crate::order::{Collar, Neckline};

/// Handle length of a scoop, between an ellipse and a square.
const FULL: f64 = 0.75;

/// The part of its depth in which a straight-sided neckline bends away from the shoulder.
const BEND_SHARE: f64 = 0.15;

/// Where the lobes of a sweetheart neck begin: share of the half width, share of the depth.
const LOBE: [f64; 2] = [0.82, 0.55];

/// The way of a lobe: a little up from its corner, and steeply down into the dip.
const LOBE_WAYS: [(f64, f64); 2] = [(-1.0, -0.3), (-0.5, 1.0)];

/// The neckline from `neck_point` on the shoulder to the centre line at `depth_mm` below the start line.
///
/// It leaves the shoulder seam square to it, so that front and back make one smooth curve when the shoulders are
/// sewn (Conover, *A Complete Course in Dressmaking*, vol. 9, 1922: lay the shoulder ends together, no jog or
/// point), and meets the centre line square, so that the halves do too.
pub fn neckline(neck_point: Point<Draft>, shoulder: Vector<Draft>, depth_mm: f64) -> Curve<Draft> {
    rounded(neck_point, shoulder, depth_mm, QUARTER_ELLIPSE)
}

/// The front's neckline in the shape that was chosen.
pub fn front(shape: Neckline, neck_point: Point<Draft>, shoulder: Vector<Draft>, depth_mm: f64) -> Curve<Draft> {
    let centre = at(0.0, depth_mm);
    let bend = |towards: &dyn Fn(Point<Draft>) -> Point<Draft>| bent(neck_point, shoulder, depth_mm, towards);
    match shape {
        Neckline::Round | Neckline::Slit | Neckline::Boat => neckline(neck_point, shoulder, depth_mm),
        Neckline::Scoop => rounded(neck_point, shoulder, depth_mm, FULL),
        Neckline::V => bend(&|_| centre),
        Neckline::Square => {
            let down = bend(&|corner| at(corner.x, depth_mm));
            let foot = down.end();
            down.then(Curve::line(foot, centre))
        }
        Neckline::Sweetheart => {
            let [across, deep] = LOBE;
            let strap = bend(&|_| at(neck_point.x * across, neck_point.y + (depth_mm - neck_point.y) * deep));
            let [out, into] = LOBE_WAYS.map(|(x, y)| Vector::new(x, y).normalize());
            let corner = strap.end();
            strap.then(Curve::between((corner, out), (centre, into), QUARTER_ELLIPSE))
        }
    }
}

fn rounded(neck_point: Point<Draft>, shoulder: Vector<Draft>, depth_mm: f64, share: f64) -> Curve<Draft> {
    Curve::between((neck_point, square(shoulder)), (at(0.0, depth_mm), Vector::new(-1.0, 0.0)), share)
}

/// Square to the shoulder, downward.
fn square(shoulder: Vector<Draft>) -> Vector<Draft> {
    Vector::new(-shoulder.y, shoulder.x)
}

/// A straight line to where `towards` says, after a short bend that leaves the shoulder square.
fn bent(
    neck_point: Point<Draft>,
    shoulder: Vector<Draft>,
    depth_mm: f64,
    towards: &dyn Fn(Point<Draft>) -> Point<Draft>,
) -> Curve<Draft> {
    let bend_mm = (depth_mm - neck_point.y) * BEND_SHARE;
    let corner = neck_point + square(shoulder) * bend_mm;
    let end = towards(corner);
    let way = (end - corner).normalize();
    let straight_from = corner + way * bend_mm;
    Curve::between((neck_point, square(shoulder)), (straight_from, way), PARABOLA).then(Curve::line(straight_from, end))
}

/// Half width, front depth and back depth of the neck: as the order sets them, and by the shape's own default
/// otherwise (common practice, no source).
pub fn sizes(sheet: &Sheet<'_>) -> [f64; 3] {
    let rules = [&NECK_HALF_WIDTH, &FRONT_NECK_DEPTH, &BACK_NECK_DEPTH];
    let own = match sheet.style().neckline {
        // Close to the base of the neck.
        Neckline::Round if sheet.style().collar != Collar::None => Some([2.75, 3.0, 0.75]),
        Neckline::Round | Neckline::Slit => None,
        Neckline::V => Some([3.75, 7.0, 2.0]),
        Neckline::Square => Some([4.0, 5.5, 2.0]),
        Neckline::Boat => Some([5.5, 2.75, 2.0]),
        Neckline::Scoop => Some([4.25, 6.5, 2.5]),
        Neckline::Sweetheart => Some([4.25, 6.5, 2.0]),
    };
    let size = |i: usize| sheet.rule_or(rules[i], own.map(|own| Rule::at(*rules[i], own[i])));
    [size(0), size(1), size(2)]
}
