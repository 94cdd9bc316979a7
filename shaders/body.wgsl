// The body of one segment of a stroke, without its ends: the exact area between two edges.
//
// The edges are heights over the segment's axis: straight along the segment, and bent at its ends where the stroke goes on
// smoothly, so that two bodies hold the same shares where they meet. A pixel at a bend sees the mean of the height over its
// own width, and takes its share as of a straight edge at that height and of the mean slope.

struct Body {
    // xy: where the segment begins, zw: where it ends; mark mm.
    @location(0) ends: vec4<f32>,
    // From the beginning (xy) and from the end (zw) to where the left edge ends or bends there, in half widths.
    @location(1) mitres: vec4<f32>,
    // x, y: how the beginning and the end are cut off: the tangent of half the turn there, 0 at a free end, negative where
    // the stroke goes on smoothly and the body bends; z: half the width, mm.
    @location(2) shape: vec3<f32>,
    // The mark's light, linear, 0 to 1 a channel; w unused.
    @location(3) light: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: where the segment begins, px; zw: unit vector towards its end.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // x: the left edge's height above the beginning if it were straight; y: its slope; zw: how far along it bends; px.
    @location(1) @interpolate(flat) left: vec4<f32>,
    // The same of the right edge.
    @location(2) @interpolate(flat) right: vec4<f32>,
    // The slopes before the beginning and past the end.
    @location(3) @interpolate(flat) bends: vec2<f32>,
    // As in Body.
    @location(4) @interpolate(flat) light: vec3<f32>,
}

// An edge as Fragment has it, from two places of it in mm.
fn edge(from_mm: vec2<f32>, to_mm: vec2<f32>, origin: vec2<f32>, axes: mat2x2<f32>) -> vec4<f32> {
    let start = (throw_mm(from_mm).px - origin) * axes;
    let finish = (throw_mm(to_mm).px - origin) * axes;
    let slope = (finish.y - start.y) / max(finish.x - start.x, 1e-3);
    return vec4<f32>(start.y - slope * start.x, slope, start.x, finish.x);
}

// The slope of the neighbour whose mitre leans by `lean` along the segment: the tangent of half the turn.
fn neighbour(lean: f32, dir: vec2<f32>, px_per_mm: mat2x2<f32>, axes: mat2x2<f32>) -> f32 {
    let d = (px_per_mm * (dir * (1.0 - lean * lean) - perpendicular(dir) * (2.0 * lean))) * axes;
    return d.y / max(d.x, 1e-6);
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, s: Body) -> Fragment {
    let half_mm = s.shape.z;
    let dir = normalize(s.ends.zw - s.ends.xy);
    let a = throw_mm(s.ends.xy);
    let b = throw_mm(s.ends.zw);
    let length_px = distance(a.px, b.px);
    let axis = select(normalize(a.px_per_mm * dir), (b.px - a.px) / max(length_px, 1e-9), length_px > 1e-4);
    let side = perpendicular(axis);
    let axes = mat2x2<f32>(axis, side);
    let leans = vec2<f32>(dot(s.mitres.xy, dir), dot(s.mitres.zw, dir));

    var out: Fragment;
    out.at = vec4<f32>(a.px, axis);
    out.left = edge(s.ends.xy + s.mitres.xy * half_mm, s.ends.zw + s.mitres.zw * half_mm, a.px, axes);
    out.right = edge(s.ends.xy - s.mitres.xy * half_mm, s.ends.zw - s.mitres.zw * half_mm, a.px, axes);
    out.bends = vec2<f32>(neighbour(leans.x, dir, a.px_per_mm, axes), neighbour(leans.y, dir, b.px_per_mm, axes));
    out.light = s.light.rgb;

    // Where an end of another kind takes over the body is cut off; where it bends it goes on to the mitre and over it.
    let edges = vec2<f32>(out.left.x, out.right.x);
    let far_edges = edges + vec2<f32>(out.left.y, out.right.y) * length_px;
    let half_px = 0.5 * max(distance(edges.x, edges.y), distance(far_edges.x, far_edges.y));
    let cut = vec2<f32>(reach(s.shape.x, half_px), length_px - reach(s.shape.y, half_px));
    let bent = vec2<f32>(min(out.left.z, out.right.z), max(out.left.w, out.right.w)) + vec2<f32>(-PAD, PAD) * abs(leans);
    let span = select(cut, bent, s.shape.xy < vec2<f32>(0.0)) + vec2<f32>(-LAP, LAP);
    // How far the bent ends climb.
    let past = vec2<f32>(max(out.left.z, out.right.z) - span.x, span.y - min(out.left.w, out.right.w));
    let climb = max(past, vec2<f32>(0.0)) * abs(out.bends);
    let grown = touched(side) + max(climb.x, climb.y);
    let low = min(min(edges.x, edges.y), min(far_edges.x, far_edges.y)) - grown;
    let high = max(max(edges.x, edges.y), max(far_edges.x, far_edges.y)) + grown;
    // Corners 0, 1 at the beginning, 2, 3 at the end.
    let corner = vertex_index % 4u;
    let along = select(span.x, span.y, corner >= 2u);
    out.clip = clip_from_px(a.px + axis * along + side * select(low, high, (corner & 1u) == 0u));
    let seen = in_picture(0.5 * (a.px + b.px), 0.5 * length_px + half_px + PAD);
    if !a.lit || !b.lit || span.x > span.y || !seen {
        out.clip = nowhere();
    }
    return out;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    let axis = f.at.zw;
    let x = dot(p, axis);
    let slopes = vec2<f32>(f.left.y, f.right.y);
    var mean = vec4<f32>(vec2<f32>(f.left.x, f.right.x) + slopes * x, slopes);
    mean = bent(mean, vec2<f32>(f.left.z, f.right.z) - x, vec2<f32>(-f.bends.x, f.bends.x));
    mean = bent(mean, x - vec2<f32>(f.left.w, f.right.w), f.bends.yy);
    return lit(f.light, between(mean, p, axis));
}
