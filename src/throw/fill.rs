//! Areas as instances: lyon turns rings into triangles, one instance each.

use super::blend::packed;
use crate::geometry::Point;
use lyon::tessellation::{BuffersBuilder, FillOptions, FillRule, FillTessellator, FillVertex, VertexBuffers};

/// One triangle as the vertex buffer holds it; the fields mirror `Triangle` in shaders/fill.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Triangle {
    /// Corners, mm from the marks' origin.
    pub corners_mm: [f32; 6],
    /// How far the area's light differs from the light under it, linear.
    pub difference: [u16; 4],
}

const _: () = assert!(size_of::<Triangle>() == 32, "shaders/fill.wgsl reads 32 bytes a triangle");

impl Triangle {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 3] =
        wgpu::vertex_attr_array![0 => Float32x4, 1 => Float32x2, 2 => Unorm16x4];
}

/// Appends the triangles of an area to `out`. Rings are flattened and do not repeat their first point.
///
/// An area that cannot be divided (only possible where numbers are not finite) is left out.
pub fn triangles<F>(
    rings: &[Vec<Point<F>>],
    rule: FillRule,
    difference: [f64; 3],
    origin: Point<F>,
    out: &mut Vec<Triangle>,
) {
    let mut divided: VertexBuffers<[f32; 2], u32> = VertexBuffers::new();
    let options = FillOptions::default().with_fill_rule(rule);
    let mut tessellator = FillTessellator::new();
    let mut keep = BuffersBuilder::new(&mut divided, |v: FillVertex<'_>| v.position().to_array());
    let mut builder = tessellator.builder(&options, &mut keep);
    let rounded = |p: &Point<F>| lyon::math::point((p.x - origin.x) as f32, (p.y - origin.y) as f32);
    for ring in rings.iter().filter(|r| r.len() > 2) {
        builder.begin(rounded(&ring[0]));
        for p in &ring[1..] {
            builder.line_to(rounded(p));
        }
        builder.end(true);
    }
    if builder.build().is_err() {
        return;
    }
    let difference = packed(difference);
    out.extend(divided.indices.chunks_exact(3).map(|t| {
        let [a, b, c] = [t[0], t[1], t[2]].map(|i| divided.vertices[i as usize]);
        Triangle { corners_mm: [a[0], a[1], b[0], b[1], c[0], c[1]], difference }
    }));
}
