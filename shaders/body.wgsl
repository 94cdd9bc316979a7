// The body of one segment of a stroke, without its ends: the exact area between two straight edges.
//
// The vertex stage throws the segment's two edges and hands their lines in pixels to every fragment; an edge that is
// straight on the table is straight in the picture, so nothing is left to interpolate.

struct Body {
    // xy: where the segment begins, zw: where it ends; mark mm.
    @location(0) ends: vec4<f32>,
    // From the beginning (xy) and from the end (zw) to where the left edge ends there, in half widths.
    @location(1) mitres: vec4<f32>,
    // x, y: how the beginning and the end are cut off: the tangent of half the turn there, 0 at a free end, negative where
    // the stroke goes on smoothly and nothing is cut off; z: half the width, mm.
    @location(2) shape: vec3<f32>,
    // The light without the mark, linear, 0 to 1 a channel; w unused.
    @location(3) ground: vec4<f32>,
    // The mark's own light, linear, 0 to 1 a channel; w unused.
    @location(4) light: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // The left and the right edge: xy the inward unit normal, z how far the beginning lies inside, px; w the beginning's
    // x and y, px.
    @location(0) @interpolate(flat) left: vec4<f32>,
    @location(1) @interpolate(flat) right: vec4<f32>,
    // How a pixel lies to the edges.
    @location(2) @interpolate(flat) slant: vec4<f32>,
    // As in Body.
    @location(3) @interpolate(flat) ground: vec3<f32>,
    @location(4) @interpolate(flat) light: vec3<f32>,
}

// The edge through two picture points as inward normal and the distance at which `inside` lies inside.
fn edge(a: vec2<f32>, b: vec2<f32>, inside: vec2<f32>, fallback: vec2<f32>) -> vec3<f32> {
    let d = b - a;
    let l = length(d);
    var n = select(fallback, perpendicular(d / max(l, 1e-9)), l > 1e-4);
    n = n * select(-1.0, 1.0, dot(n, fallback) >= 0.0);
    return vec3<f32>(n, dot(n, inside - a));
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, s: Body) -> Fragment {
    let corner = vertex_index % 4u;
    let half_mm = s.shape.z;
    let dir = normalize(s.ends.zw - s.ends.xy);
    let left = perpendicular(dir);
    let a = throw_mm(s.ends.xy);
    let b = throw_mm(s.ends.zw);
    let a_left = throw_mm(s.ends.xy + s.mitres.xy * half_mm).px;
    let a_right = throw_mm(s.ends.xy - s.mitres.xy * half_mm).px;
    let b_left = throw_mm(s.ends.zw + s.mitres.zw * half_mm).px;
    let b_right = throw_mm(s.ends.zw - s.mitres.zw * half_mm).px;

    var out: Fragment;
    let axis_px = b.px - a.px;
    let length_px = length(axis_px);
    let axis = select(normalize(a.px_per_mm * dir), axis_px / max(length_px, 1e-9), length_px > 1e-4);
    // Picture y points down, so the table's left may be either side: ask the thrown point.
    let side = perpendicular(axis);
    let to_left = side * select(-1.0, 1.0, dot(side, a.px_per_mm * left) >= 0.0);
    out.left = vec4<f32>(edge(a_left, b_left, a.px, -to_left), a.px.x);
    out.right = vec4<f32>(edge(a_right, b_right, a.px, to_left), a.px.y);
    // The edges converge by a thousandth at most, so one slant stands for both.
    out.slant = slant_of(side);
    out.ground = s.ground.rgb;
    out.light = s.light.rgb;

    let half_a = abs(dot(a.px_per_mm * left, side)) * half_mm;
    let half_b = abs(dot(b.px_per_mm * left, side)) * half_mm;
    let cut_start = select(reach(s.shape.x, half_a), 0.0, s.shape.x < 0.0);
    let cut_end = select(reach(s.shape.y, half_b), 0.0, s.shape.y < 0.0);
    let covered = cut_start + cut_end > length_px;
    // Corners 0, 1 at the beginning (left, right), 2, 3 at the end.
    let at_end = corner >= 2u;
    let on_left = (corner & 1u) == 0u;
    let here = select(a.px, b.px, at_end);
    let edge_point = select(select(a_right, b_right, at_end), select(a_left, b_left, at_end), on_left);
    let outward = -select(out.right.xy, out.left.xy, on_left);
    let out_along = select(-axis, axis, at_end);
    let smooth_here = select(s.shape.x, s.shape.y, at_end) < 0.0;
    let cut = select(cut_start, cut_end, at_end);
    let lap = select(LAP - cut - dot(edge_point - here, out_along), SMOOTH_LAP, smooth_here);
    out.clip = clip_from_px(edge_point + outward * (out.slant.w + GRAZE) + out_along * lap);
    if !a.lit || !b.lit || covered || !in_picture(0.5 * (a.px + b.px), 0.5 * length_px + max(half_a, half_b) + PAD) {
        out.clip = nowhere();
    }
    return out;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - vec2<f32>(f.left.w, f.right.w);
    let left = square_within(dot(f.left.xy, p) + f.left.z, f.slant);
    let right = square_within(dot(f.right.xy, p) + f.right.z, f.slant);
    return vec4<f32>(mix(f.ground, f.light, max(left + right - 1.0, 0.0)), 1.0);
}
