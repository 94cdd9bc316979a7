//! The neckline: from the shoulder to the centre line, square to both.

use super::at;
use crate::geometry::{Curve, Draft, Point, Vector};

/// Handle length that follows a quarter ellipse (4/3 (sqrt 2 - 1)); see [`Curve::between`].
const QUARTER_ELLIPSE: f64 = 0.552_284_749_8;

/// The neckline from `neck_point` on the shoulder to the centre line at `depth_mm` below the start line.
///
/// It leaves the shoulder seam square to it, so that front and back make one smooth curve when the shoulders are
/// sewn (Conover, *A Complete Course in Dressmaking*, vol. 9, 1922: lay the shoulder ends together, no jog or
/// point), and meets the centre line square, so that the halves do too.
pub fn neckline(neck_point: Point<Draft>, shoulder: Vector<Draft>, depth_mm: f64) -> Curve<Draft> {
    let square = Vector::new(-shoulder.y, shoulder.x);
    let centre = at(0.0, depth_mm);
    Curve::between((neck_point, square), (centre, Vector::new(-1.0, 0.0)), QUARTER_ELLIPSE)
}
