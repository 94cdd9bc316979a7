//! Strokes as instances: a body for each segment, and an end for each place where a segment does not go on smoothly.
//!
//! How two segments meet is decided here, in f64 and in millimetres: it does not depend on the table, so a nudge never
//! comes back to it. Each kind of end has its own pipeline, so that no pixel pays for a question that is not asked
//! there (the software driver would compute every answer and throw the others away).

use super::blend::packed;
use crate::geometry::{Point, Vector};
use crate::scene::Light;
use crate::scene::light::linear;

/// One segment without its ends; the fields mirror `Body` in shaders/body.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Body {
    /// Beginning and end, mm from the marks' origin.
    pub ends_mm: [f32; 4],
    /// To where the left edge ends, from the beginning and from the end, in half widths.
    pub mitres: [f32; 4],
    /// Tangent of half the turn at the beginning and at the end, 0 at a free end, [`SMOOTH_ON`] where nothing is cut.
    pub backs: [f32; 2],
    /// Half the width, mm.
    pub half_mm: f32,
    /// The light without the mark, linear.
    pub ground: [u16; 4],
    /// The mark's light, linear.
    pub light: [u16; 4],
}

/// One end of a segment, as seen from there; the fields mirror `End` in shaders/shared/stroke.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct End {
    /// The end and the segment's other end, mm from the marks' origin.
    pub ends_mm: [f32; 4],
    /// The corner beyond the end, mm from the marks' origin; the end itself at a free end.
    pub beyond_mm: [f32; 2],
    /// To where the left edge ends, from the end, in half widths.
    pub mitre: [f32; 2],
    /// Tangent of half the turn, 0 at a free end.
    pub back: f32,
    /// Half the width, mm.
    pub half_mm: f32,
    /// 1 where both ends of the segment are free, otherwise 0.
    pub lone: f32,
    /// The light without the mark, linear.
    pub ground: [u16; 4],
    /// The mark's light, linear.
    pub light: [u16; 4],
}

const _: () = assert!(size_of::<Body>() == 60, "shaders/body.wgsl reads 60 bytes");
const _: () = assert!(size_of::<End>() == 60, "shaders/shared/stroke.wgsl reads 60 bytes");

impl Body {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32x3, 3 => Unorm16x4, 4 => Unorm16x4
    ];
}

impl End {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32x3, 3 => Unorm16x4, 4 => Unorm16x4
    ];
}

/// A stroke's instances, by pipeline.
#[derive(Clone, Debug, Default)]
pub struct Pieces {
    /// All segments.
    pub bodies: Vec<Body>,
    /// Free ends.
    pub caps: Vec<End>,
    /// Mild turns, one for the two ends that meet there.
    pub bends: Vec<End>,
    /// Ends at a sharp turn.
    pub corners: Vec<End>,
}

/// What the segments of one stroke share.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    /// Full width, mm.
    pub width_mm: f64,
    /// The light under the stroke.
    pub ground: Light,
    /// The stroke's light.
    pub light: Light,
}

/// A dot is drawn as a segment of this length: a direction is needed, a length is not.
const DOT_MM: f64 = 1e-3;
/// Two segments that turn by less meet smoothly: taking either edge for the pixel of the joint errs by an eighth of the
/// angle at most, 0.006 of a pixel.
const SMOOTH_RAD: f64 = 0.05;
/// Up to here a turn is a bend and is mitred; beyond it is a corner, with its round join.
const BEND_RAD: f64 = 0.4;
/// A hairpin's inner corner is followed back this many times as far as it reaches sideways, no further.
const HAIRPIN: f64 = 16.0;
/// What stands for the tangent where a stroke goes on smoothly.
const SMOOTH_ON: f64 = -1.0;

/// How a segment meets its neighbour at one of its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Free,
    Smooth,
    Bend,
    Corner,
}

/// A segment's end, in mm and in the sense in which the stroke runs.
#[derive(Clone, Copy, Debug)]
struct Meeting<F> {
    kind: Kind,
    beyond: Point<F>,
    mitre: Vector<F>,
    back: f64,
}

/// Appends the instances of a flattened stroke to `out`.
pub fn pieces<F>(points: &[Point<F>], closed: bool, pen: Pen, origin: Point<F>, out: &mut Pieces) {
    let mut corners = points.to_vec();
    corners.dedup_by(|b, a| (*b - *a).length() < DOT_MM);
    if let [only] = corners[..] {
        corners.push(Point::new(only.x + DOT_MM, only.y));
    }
    let n = corners.len();
    let closed = closed && n > 2;
    for i in 0..if closed { n } else { n.saturating_sub(1) } {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        let before = (i > 0 || closed).then(|| corners[(i + n - 1) % n]);
        let after = (i + 2 < n || closed).then(|| corners[(i + 2) % n]);
        let along = (b - a).normalize();
        let (start, finish) = (meeting(a, before, -along, along), meeting(b, after, along, along));
        segment((a, start), (b, finish), pen, origin, out);
    }
}

/// How the end `at` meets the corner beyond it. `towards` points out of the segment there, `along` from its beginning
/// to its end.
fn meeting<F>(at: Point<F>, beyond: Option<Point<F>>, towards: Vector<F>, along: Vector<F>) -> Meeting<F> {
    let left = Vector::new(-along.y, along.x);
    let Some(beyond) = beyond.filter(|b| (*b - at).length() > 0.0) else {
        return Meeting { kind: Kind::Free, beyond: at, mitre: left, back: 0.0 };
    };
    let on = (beyond - at).normalize();
    let turn = towards.angle_to(on).radians.abs();
    let back = (turn / 2.0).tan().min(HAIRPIN);
    if turn > BEND_RAD {
        return Meeting { kind: Kind::Corner, beyond, mitre: left, back };
    }
    let mean = on + towards;
    let across = Vector::new(-mean.y, mean.x);
    let mitre = across / across.dot(left);
    if turn > SMOOTH_RAD {
        Meeting { kind: Kind::Bend, beyond, mitre, back }
    } else {
        Meeting { kind: Kind::Smooth, beyond, mitre, back: SMOOTH_ON }
    }
}

/// Appends one segment's body and its ends.
fn segment<F>(
    (a, start): (Point<F>, Meeting<F>),
    (b, finish): (Point<F>, Meeting<F>),
    pen: Pen,
    origin: Point<F>,
    out: &mut Pieces,
) {
    let (ground, light) = (packed(pen.ground.map(linear)), packed(pen.light.map(linear)));
    let half_mm = (pen.width_mm / 2.0) as f32;
    out.bodies.push(Body {
        ends_mm: pair(a - origin, b - origin),
        mitres: pair(start.mitre, finish.mitre),
        backs: [start.back as f32, finish.back as f32],
        half_mm,
        ground,
        light,
    });
    let lone = if start.kind == Kind::Free && finish.kind == Kind::Free { 1.0 } else { 0.0 };
    // Seen from its end the segment runs the other way, and its left is its right.
    for (at, here, far, mitre) in [(a, &start, b, start.mitre), (b, &finish, a, -finish.mitre)] {
        let list = match here.kind {
            Kind::Smooth => continue,
            Kind::Free => &mut out.caps,
            // A bend belongs to both segments; the later one's beginning stands for it.
            Kind::Bend if at == b => continue,
            Kind::Bend => &mut out.bends,
            Kind::Corner => &mut out.corners,
        };
        let beyond = here.beyond - origin;
        list.push(End {
            ends_mm: pair(at - origin, far - origin),
            beyond_mm: [beyond.x as f32, beyond.y as f32],
            mitre: [mitre.x as f32, mitre.y as f32],
            back: here.back as f32,
            half_mm,
            lone,
            ground,
            light,
        });
    }
}

/// The one place where a stroke's places become f32: after the origin, which keeps them small, was taken off.
fn pair<F>(a: Vector<F>, b: Vector<F>) -> [f32; 4] {
    [a.x as f32, a.y as f32, b.x as f32, b.y as f32]
}
