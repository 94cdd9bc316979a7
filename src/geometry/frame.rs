//! The four frames, told apart by type so that a point of one cannot be used in another.
//!
//! ```text
//! draft  o--> x out from the centre    cloth  ^ y across        table  ^ y away from the person
//!        |                                    |                        |
//!        v y down the body                    o--> x along selvedge    o--> x along the front edge
//!
//! pixel  o--> x right      origin: outer corner of the top-left pixel, whose centre is (0.5, 0.5)
//!        |
//!        v y down
//! ```
//! Lengths are millimetres in the first three and pixels in the last. A map from frame `A` to frame `B`
//! is named `b_from_a`, so that chains read right.

/// The draft: origin where the centre line meets the start line (level of the shoulder at the neck).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Draft {}

/// The cloth as it lies folded: origin at the corner where the fold meets the cut end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cloth {}

/// The table: origin at mark A1, or at the ruled mat's zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {}

/// The projector's picture, in its own pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pixel {}

/// A point of frame `F`.
pub type Point<F> = euclid::Point2D<f64, F>;
/// A displacement in frame `F`.
pub type Vector<F> = euclid::Vector2D<f64, F>;
/// An affine map from frame `A` to frame `B`.
pub type Map<A, B> = euclid::Transform2D<f64, A, B>;

/// A point of frame `F`.
pub const fn point<F>(x: f64, y: f64) -> Point<F> {
    Point::new(x, y)
}

/// The mirror image about a line through a point, whatever its length.
pub fn mirror<F>(through: Point<F>, along: Vector<F>) -> Map<F, F> {
    let along = along.normalize();
    let (cos, sin) = (along.x * along.x - along.y * along.y, 2.0 * along.x * along.y);
    let about: Map<F, F> = Map::new(cos, sin, sin, -cos, 0.0, 0.0);
    let moved = about.transform_point(through);
    about.then_translate(through - moved)
}
