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
    /// Tangent of half the turn here, at the segment's other end, and at the neighbour's other end: 0 at a free end,
    /// [`SMOOTH_ON`] where the stroke goes on smoothly.
    pub backs: [f32; 3],
    /// Half the width, mm.
    pub half_mm: f32,
    /// The light without the mark, linear.
    pub ground: [u16; 4],
    /// The mark's light, linear.
    pub light: [u16; 4],
}

const _: () = assert!(size_of::<Body>() == 60, "shaders/body.wgsl reads 60 bytes");
const _: () = assert!(size_of::<End>() == 64, "shaders/shared/stroke.wgsl reads 64 bytes");

impl Body {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32x3, 3 => Unorm16x4, 4 => Unorm16x4
    ];
}

impl End {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32x4, 3 => Unorm16x4, 4 => Unorm16x4
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

/// How two segments meet, or that a stroke ends.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Free,
    Smooth,
    Bend,
    Corner,
}

/// A corner of the stroke's line.
#[derive(Clone, Copy, Debug)]
struct Joint {
    kind: Kind,
    /// Tangent of half the turn, 0 at a free end, [`SMOOTH_ON`] where nothing is cut.
    back: f64,
}

/// Appends the instances of a flattened stroke to `out`.
pub fn pieces<F>(points: &[Point<F>], closed: bool, pen: Pen, origin: Point<F>, out: &mut Pieces) {
    let mut corners: Vec<Vector<F>> = points.iter().map(|p| *p - origin).collect();
    corners.dedup_by(|b, a| (*b - *a).length() < DOT_MM);
    if closed && corners.len() > 1 && (corners[0] - corners[corners.len() - 1]).length() < DOT_MM {
        corners.pop();
    }
    if let [only] = corners[..] {
        corners.push(only + Vector::new(DOT_MM, 0.0));
    }
    let n = corners.len();
    let line = Line { closed: closed && n > 2, corners };
    let joints: Vec<Joint> = (0..n).map(|i| line.joint(i)).collect();
    for i in 0..if line.closed { n } else { n.saturating_sub(1) } {
        segment(&line, &joints, i, pen, out);
    }
}

/// A stroke's line, from the marks' origin.
struct Line<F> {
    corners: Vec<Vector<F>>,
    closed: bool,
}

impl<F> Line<F> {
    /// The corner `step` after (or before) corner `i`, if the line goes on there.
    fn index(&self, i: usize, step: isize) -> Option<usize> {
        let n = self.corners.len() as isize;
        let at = i as isize + step;
        if self.closed { Some(at.rem_euclid(n) as usize) } else { (0..n).contains(&at).then_some(at as usize) }
    }

    /// Unit vector from corner `i` to the one after it.
    fn direction(&self, i: usize) -> Option<Vector<F>> {
        Some((self.corners[self.index(i, 1)?] - self.corners[i]).normalize())
    }

    fn joint(&self, i: usize) -> Joint {
        let before = self.index(i, -1).and_then(|b| self.direction(b));
        let (Some(before), Some(after)) = (before, self.direction(i)) else {
            return Joint { kind: Kind::Free, back: 0.0 };
        };
        let turn = before.angle_to(after).radians.abs();
        if turn <= SMOOTH_RAD {
            return Joint { kind: Kind::Smooth, back: SMOOTH_ON };
        }
        let kind = if turn <= BEND_RAD { Kind::Bend } else { Kind::Corner };
        Joint { kind, back: (turn / 2.0).tan().min(HAIRPIN) }
    }

    /// To where the left edge of the segment from corner `i` ends at corner `at`, in half widths.
    fn mitre(&self, i: usize, at: usize, joint: Joint) -> Vector<F> {
        let own = self.direction(i).unwrap_or_default();
        let left = |d: Vector<F>| Vector::new(-d.y, d.x);
        let other = if at == i { self.index(i, -1).and_then(|b| self.direction(b)) } else { self.direction(at) };
        match (joint.kind, other) {
            (Kind::Smooth | Kind::Bend, Some(other)) => {
                let mean = left(own + other);
                mean / mean.dot(left(own))
            }
            _ => left(own),
        }
    }
}

/// Appends the body of the segment from corner `i` and what belongs to its ends.
fn segment<F>(line: &Line<F>, joints: &[Joint], i: usize, pen: Pen, out: &mut Pieces) {
    let Some(j) = line.index(i, 1) else { return };
    let (a, b) = (line.corners[i], line.corners[j]);
    let mitres = [line.mitre(i, i, joints[i]), line.mitre(i, j, joints[j])];
    let (ground, light) = (packed(pen.ground.map(linear)), packed(pen.light.map(linear)));
    let half_mm = (pen.width_mm / 2.0) as f32;
    out.bodies.push(Body {
        ends_mm: pair(a, b),
        mitres: pair(mitres[0], mitres[1]),
        backs: [joints[i].back as f32, joints[j].back as f32],
        half_mm,
        ground,
        light,
    });
    // Seen from its end the segment runs the other way, and its left is its right.
    for (at, far, beyond, mitre) in [(i, j, line.index(i, -1), mitres[0]), (j, i, line.index(j, 1), -mitres[1])] {
        let list = match joints[at].kind {
            Kind::Smooth => continue,
            Kind::Free => &mut out.caps,
            // A bend belongs to both segments; the later one's beginning stands for it.
            Kind::Bend if at == j => continue,
            Kind::Bend => &mut out.bends,
            Kind::Corner => &mut out.corners,
        };
        let beyond = beyond.unwrap_or(at);
        let corner = line.corners[beyond];
        list.push(End {
            ends_mm: pair(line.corners[at], line.corners[far]),
            beyond_mm: [corner.x as f32, corner.y as f32],
            mitre: [mitre.x as f32, mitre.y as f32],
            backs: [at, far, beyond].map(|k| joints[k].back as f32),
            half_mm,
            ground,
            light,
        });
    }
}

/// The one place where a stroke's places become f32: after the origin, which keeps them small, was taken off.
fn pair<F>(a: Vector<F>, b: Vector<F>) -> [f32; 4] {
    [a.x as f32, a.y as f32, b.x as f32, b.y as f32]
}
