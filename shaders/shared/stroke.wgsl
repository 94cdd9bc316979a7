// Common to the pipelines of a stroke: its body, and what becomes of its ends.
//
// A stroke is drawn in pieces, so that the many pixels along a line pay for two straight edges only: a body for each
// segment, and for each end that is not smooth a small quad, by kind:
// - a free end takes the exact area of the segment with a cap of eight straight edges, as large as the round one;
// - a bend the exact area of the segment and its neighbour, mitred;
// - at a corner the pixel is divided into small squares, each measured against both round lines. This is dear, and rare.
// Pieces lap over one another where they meet and hold the same shares there, and the larger one counts.

// How far pieces lap over one another, px: no pixel may fall between two of them.
const LAP: f32 = 0.25;
// How far edges are drawn out past their far ends, px, so that they leave the pixel.
const DRAWN_OUT: f32 = 2.0;

fn perpendicular(v: vec2<f32>) -> vec2<f32> {
    return vec2<f32>(-v.y, v.x);
}

// How far from an end its kind of meeting counts, px: `back` is how far back the neighbour reaches, as a multiple of how
// far it reaches sideways (the tangent of half the turn), `half_px` the half width.
fn reach(back: f32, half_px: f32) -> f32 {
    return PAD + back * (half_px + PAD);
}

// One end of a segment, as seen from that end.
struct End {
    // xy: the end, zw: the segment's other end; mark mm.
    @location(0) ends: vec4<f32>,
    // From the end (xy) and from the other end (zw) to where the left edge ends there, in half widths; left as seen from
    // this end towards the other.
    @location(1) mitres: vec4<f32>,
    // The corner beyond the end, mark mm; the end itself at a free end.
    @location(2) beyond: vec2<f32>,
    // x: the tangent of half the turn; y: half the width, mm; z: 1 where both ends of the segment are free, otherwise 0.
    @location(3) shape: vec3<f32>,
    // The light without the mark, linear, 0 to 1 a channel; w unused.
    @location(4) ground: vec4<f32>,
    // The mark's own light, linear, 0 to 1 a channel; w unused.
    @location(5) light: vec4<f32>,
}

struct EndFragment {
    @builtin(position) clip: vec4<f32>,
    // The end, px; x to the right, y down.
    @location(0) @interpolate(flat) at: vec2<f32>,
    // Where the left (xy) and the right edge (zw) lie at the end and at the segment's other end, px from the end.
    @location(1) @interpolate(flat) near: vec4<f32>,
    @location(2) @interpolate(flat) far: vec4<f32>,
    // At a bend: the same of the neighbour's far corner, px from the end.
    // At a free end: xy how far the round end reaches out, px; z: 1 where the whole segment is a dot.
    // At a corner: xy to the segment's other end, zw to the neighbour's far corner, mm.
    @location(3) @interpolate(flat) more: vec4<f32>,
    // mm moved per px moved at the end: columns for x and for y.
    @location(4) @interpolate(flat) mm_per_px: vec4<f32>,
    // Half the width, mm.
    @location(5) @interpolate(flat) half_mm: f32,
    // As in End.
    @location(6) @interpolate(flat) ground: vec3<f32>,
    @location(7) @interpolate(flat) light: vec3<f32>,
}

fn inverse2(m: mat2x2<f32>) -> vec4<f32> {
    let det = determinant(m);
    return vec4<f32>(m[1].y, -m[0].y, -m[1].x, m[0].x) / det;
}

// A quad over the pixels near an end: corners 0, 1 beyond the end (left, right), 2, 3 back on the segment. `mitred`
// tells whether it stops at the mitre (a bend) or goes round the end (a free end, a corner).
fn end_quad(corner: u32, e: End, mitred: bool) -> EndFragment {
    let along_mm = e.ends.zw - e.ends.xy;
    let dir = normalize(along_mm);
    let left = perpendicular(dir);
    let half_mm = e.shape.y;
    let a = throw_mm(e.ends.xy);
    let b = throw_mm(e.ends.zw);
    var out: EndFragment;
    out.at = a.px;
    out.near = vec4<f32>(
        throw_mm(e.ends.xy + e.mitres.xy * half_mm).px - a.px,
        throw_mm(e.ends.xy - e.mitres.xy * half_mm).px - a.px,
    );
    out.far = vec4<f32>(
        throw_mm(e.ends.zw + e.mitres.zw * half_mm).px - a.px,
        throw_mm(e.ends.zw - e.mitres.zw * half_mm).px - a.px,
    );
    out.mm_per_px = inverse2(a.px_per_mm);
    out.half_mm = half_mm;
    out.ground = e.ground.rgb;
    out.light = e.light.rgb;

    let axis_px = b.px - a.px;
    let length_px = length(axis_px);
    let axis = select(normalize(a.px_per_mm * dir), axis_px / max(length_px, 1e-9), length_px > 1e-4);
    let side = perpendicular(axis);
    let to_left = side * select(-1.0, 1.0, dot(side, a.px_per_mm * left) >= 0.0);
    let half_px = abs(dot(a.px_per_mm * left, side)) * half_mm;
    // A round end reaches as far along the axis as the thrown circle does.
    let round = length(vec2<f32>(dot(a.px_per_mm * dir, axis), dot(a.px_per_mm * left, axis))) * half_mm + PAD;
    let on_left = (corner & 1u) == 0u;
    let wide = half_px + PAD + LAP;
    let back_px = min(reach(e.shape.x, half_px), length_px) + LAP;
    // At the mitre the near side of a bend lies further out on one side than on the other.
    let edge_px = select(out.near.zw, out.near.xy, on_left);
    let near_px = select(round, LAP - dot(edge_px, axis) + e.shape.x * (PAD + LAP), mitred);
    let along = select(-near_px, back_px, corner >= 2u);
    out.clip = clip_from_px(a.px + axis * along + to_left * select(-wide, wide, on_left));
    if !a.lit || !b.lit {
        out.clip = nowhere();
    }
    return out;
}
