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
// What a body must have left between its ends to be drawn, px.
const SHORT: f32 = 2.0;

fn perpendicular(v: vec2<f32>) -> vec2<f32> {
    return vec2<f32>(-v.y, v.x);
}

// How far from an end its kind of meeting counts, px: `back` is how far back the neighbour reaches, as a multiple of how
// far it reaches sideways (the tangent of half the turn), `half_px` the half width.
fn reach(back: f32, half_px: f32) -> f32 {
    return PAD + back * (half_px + PAD);
}

// Whether a segment is so short that its body is not worth a quad, and its ends share it. `back` and `far_back` are the
// tangents of half the turns at its ends.
fn is_short(length_px: f32, back: f32, far_back: f32, half_px: f32) -> bool {
    let ends = reach(back, half_px) + reach(far_back, half_px);
    return back >= 0.0 && far_back >= 0.0 && length_px < ends + SHORT;
}

// How far an end reaches back along a segment, px.
fn extent(length_px: f32, back: f32, far_back: f32, half_px: f32) -> f32 {
    let own = min(reach(back, half_px), length_px);
    return LAP + select(own, 0.5 * length_px, is_short(length_px, back, far_back, half_px));
}

// One end of a segment, as seen from that end.
struct End {
    // xy: the end, zw: the segment's other end; mark mm.
    @location(0) ends: vec4<f32>,
    // xy: the corner beyond the end, mark mm; the end itself at a free end.
    // zw: at a bend, from the end to where its left edge ends, in half widths; left as seen towards the other end.
    @location(1) beyond: vec4<f32>,
    // x, y, z: the tangent of half the turn here, at the segment's other end, at the neighbour's other end; 0 at a free
    // end, negative where the stroke goes on smoothly; w: half the width, mm.
    @location(2) shape: vec4<f32>,
    // The light without the mark, linear, 0 to 1 a channel; w unused.
    @location(3) ground: vec4<f32>,
    // The mark's own light, linear, 0 to 1 a channel; w unused.
    @location(4) light: vec4<f32>,
}

// A segment's end in the picture.
struct EndPx {
    // The end, px.
    at: vec2<f32>,
    // How the table moves under it.
    px_per_mm: mat2x2<f32>,
    // Unit vector towards the segment's other end.
    axis: vec2<f32>,
    // The segment's length, px.
    length: f32,
    // Half the width across the axis, px.
    half: f32,
    // Unit vectors in mm: towards the other end, and to its left.
    dir: vec2<f32>,
    left: vec2<f32>,
    lit: bool,
}

fn end_px(e: End) -> EndPx {
    let a = throw_mm(e.ends.xy);
    let b = throw_mm(e.ends.zw);
    var out: EndPx;
    out.at = a.px;
    out.px_per_mm = a.px_per_mm;
    out.dir = normalize(e.ends.zw - e.ends.xy);
    out.left = perpendicular(out.dir);
    let axis_px = b.px - a.px;
    out.length = length(axis_px);
    out.axis = select(normalize(a.px_per_mm * out.dir), axis_px / max(out.length, 1e-9), out.length > 1e-4);
    out.half = abs(dot(a.px_per_mm * out.left, perpendicular(out.axis))) * e.shape.w;
    out.lit = a.lit && b.lit;
    return out;
}

// Where the left (xy) and the right edge (zw) of a stroke lie whose middle is at `mm` and whose left edge lies `across`
// from there, mm; px from `from_px`.
fn edges_px(mm: vec2<f32>, across: vec2<f32>, from_px: vec2<f32>) -> vec4<f32> {
    return vec4<f32>(throw_mm(mm + across).px - from_px, throw_mm(mm - across).px - from_px);
}

// A round end reaches as far along the axis as the thrown circle does, px.
fn round_px(e: EndPx, half_mm: f32) -> f32 {
    return length(vec2<f32>(dot(e.px_per_mm * e.dir, e.axis), dot(e.px_per_mm * e.left, e.axis))) * half_mm;
}

// Half of a pixel's extent along a direction and a little, px: a pixel's centre this far beyond an edge is not touched.
fn touched(along: vec2<f32>) -> f32 {
    return 0.5 * (abs(along.x) + abs(along.y)) + GRAZE;
}

// What the fragments of an end are told, whatever its kind.
struct EndFragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the end, px; zw: unit vector along the stroke, towards the segment's other end.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // From where to where along that vector the end counts, px.
    @location(1) @interpolate(flat) span: vec2<f32>,
    // As in End.
    @location(2) @interpolate(flat) ground: vec3<f32>,
    @location(3) @interpolate(flat) light: vec3<f32>,
    // What only the kind knows; each file says what.
    @location(4) @interpolate(flat) first: vec4<f32>,
    @location(5) @interpolate(flat) second: vec4<f32>,
    @location(6) @interpolate(flat) third: vec4<f32>,
}

// The part that all kinds share: one of three corners of a triangle over a rectangle about the end, which runs over `span`
// along `axis` and `wide` to both sides, px. One triangle is half the work of two, and these are small.
fn end_fragment(vertex_index: u32, e: End, end: EndPx, axis: vec2<f32>, span: vec2<f32>, wide: f32) -> EndFragment {
    let corner = vertex_index % 3u;
    let side = perpendicular(axis) * select(-2.0 * wide, 2.0 * wide, corner == 0u);
    let px = select(end.at + axis * span.y + side, end.at + axis * (2.0 * span.x - span.y), corner == 2u);
    var out: EndFragment;
    out.clip = select(nowhere(), clip_from_px(px), end.lit);
    out.at = vec4<f32>(end.at, axis);
    out.span = span;
    out.ground = e.ground.rgb;
    out.light = e.light.rgb;
    return out;
}

// Whether a place, px from the end, lies within the rectangle and not only within its triangle.
fn within(p: vec2<f32>, f: EndFragment) -> bool {
    let along = dot(p, f.at.zw);
    return along >= f.span.x && along <= f.span.y;
}

// The light of a pixel of which the mark covers this share.
fn lit_by(f: EndFragment, share: f32) -> vec4<f32> {
    return vec4<f32>(mix(f.ground, f.light, share), 1.0);
}
