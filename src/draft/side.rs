//! The side seam and the hem: from the underarm over waist and hip to the hem, and square across to the centre.

use super::at;
use crate::geometry::{Curve, Draft, PARABOLA, Point, Vector};

/// The points that the side passes, downwards.
#[derive(Clone, Copy, Debug)]
pub struct Levels {
    /// Quarter bust on the chest line.
    pub underarm: Point<Draft>,
    /// Quarter waist at the waist.
    pub waist: Point<Draft>,
    /// Quarter hip at the hip depth: the side runs outside of it.
    pub hip: Point<Draft>,
    /// Where the side meets the hem.
    pub hem: Point<Draft>,
}

/// The side seam, downwards: smooth over the waist, then outside the hip point and straight to the hem, so that a
/// narrow hem never cuts into the hip.
pub fn side(levels: &Levels) -> Curve<Draft> {
    let Levels { underarm, waist, hip, hem } = *levels;
    if hip.y >= hem.y {
        return Curve::down_through(&[underarm, waist, hem]);
    }
    let straight_x = waist.x + (hem.x - waist.x) * (hip.y - waist.y) / (hem.y - waist.y);
    Curve::down_through(&[underarm, waist, at(hip.x.max(straight_x), hip.y), hem])
}

/// The hem, from the centre line outward: square to the centre line and to the side seam that comes down along
/// `side_direction`.
pub fn hem(centre: Point<Draft>, corner: Point<Draft>, side_direction: Vector<Draft>) -> Curve<Draft> {
    let into = Vector::new(side_direction.y, -side_direction.x);
    Curve::between((centre, Vector::new(1.0, 0.0)), (corner, into), PARABOLA)
}
