//! The armhole: from the underarm up to the shoulder tip, through a point beside the middle of the guide.

use super::at;
use crate::geometry::{Curve, Draft, Point, Vector};

/// Where an armhole hangs.
pub struct Ends {
    /// The shoulder tip.
    pub tip: Point<Draft>,
    /// Direction of the shoulder seam, outward, of length 1.
    pub shoulder: Vector<Draft>,
    /// The underarm.
    pub underarm: Point<Draft>,
    /// Direction of the side seam at the underarm, downward, of length 1.
    pub side: Vector<Draft>,
}

/// The armhole that passes `hollow_mm` inside the middle of the guide, which runs straight down from the tip to the
/// chest line.
///
/// It is square to the shoulder and to the side seam, so that front and back make one smooth curve at both. The
/// knots depend on the guide alone: two armholes of different hollow differ by a multiple of one hump, so that the
/// more hollow one lies inside the other all the way.
pub fn armhole(ends: &Ends, hollow_mm: f64) -> Curve<Draft> {
    let middle = at(ends.tip.x, f64::midpoint(ends.tip.y, ends.underarm.y));
    let guide = at(middle.x - hollow_mm, middle.y);
    let outward = Vector::new(ends.side.y, -ends.side.x);
    let downward = Vector::new(-ends.shoulder.y, ends.shoulder.x);
    let spans = [(ends.underarm - middle).length(), (middle - ends.tip).length()];
    Curve::through([ends.underarm, guide, ends.tip], [-outward, -downward], spans)
}
