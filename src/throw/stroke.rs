//! Strokes as instances: one a segment, each with the corners before and after it.

use super::blend::packed;
use crate::geometry::Point;
use crate::scene::Light;
use crate::scene::light::linear;

/// One segment as the vertex buffer holds it; the fields mirror `Segment` in shaders/stroke.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Segment {
    /// Beginning and end, mm from the marks' origin.
    pub ends_mm: [f32; 4],
    /// The corners before the beginning and after the end, mm from the marks' origin.
    pub beyond_mm: [f32; 4],
    /// Half the width, mm.
    pub half_mm: f32,
    /// The light without the mark, linear.
    pub ground: [u16; 4],
    /// The mark's light, linear.
    pub light: [u16; 4],
}

const _: () = assert!(size_of::<Segment>() == 52, "shaders/stroke.wgsl reads 52 bytes a segment");

impl Segment {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32, 3 => Unorm16x4, 4 => Unorm16x4
    ];
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

/// Appends the segments of a flattened stroke to `out`.
pub fn segments<F>(points: &[Point<F>], closed: bool, pen: Pen, origin: Point<F>, out: &mut Vec<Segment>) {
    let mut corners = points.to_vec();
    corners.dedup_by(|b, a| (*b - *a).length() < DOT_MM);
    if let [only] = corners[..] {
        corners.push(Point::new(only.x + DOT_MM, only.y));
    }
    let closed = closed && corners.len() > 2;
    let n = corners.len();
    let count = if closed { n } else { n.saturating_sub(1) };
    for i in 0..count {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        let before = if i > 0 || closed { corners[(i + n - 1) % n] } else { a };
        let after = if i + 2 < n || closed { corners[(i + 2) % n] } else { b };
        out.push(Segment {
            ends_mm: rounded([a, b], origin),
            beyond_mm: rounded([before, after], origin),
            half_mm: (pen.width_mm / 2.0) as f32,
            ground: packed(pen.ground.map(linear)),
            light: packed(pen.light.map(linear)),
        });
    }
}

/// The one place where a stroke's points become f32: after the origin, which keeps them small, was taken off.
fn rounded<F>(points: [Point<F>; 2], origin: Point<F>) -> [f32; 4] {
    let [a, b] = points.map(|p| p - origin);
    [a.x as f32, a.y as f32, b.x as f32, b.y as f32]
}
