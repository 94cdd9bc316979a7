// Common to the pipelines of a stroke: its body, its runs of mild turns, and what becomes of its ends.
//
// A stroke is drawn in pieces, so that the many pixels along a line pay for two edges only: a body for each segment that is
// long enough, bent where it goes on smoothly, and a small triangle for whatever else there is, by kind:
// - a run takes up to three mild turns among short segments, its two edges as heights over one axis, as a body's are;
// - a free end takes the exact area of the segment with a cap of straight edges, as large as the round one;
// - a segment so short that its two free ends meet is a dot, and has a cap at either end;
// - an elbow takes the exact area of two segments that meet at an angle, mitred inside and round outside;
// - at a corner that is sharper, or has no room, the pixel is divided into small squares, each measured against both round lines. This is dear, and rare.
// Pieces lap over one another where they meet and hold the same shares there, and the larger one counts.

// How far pieces of one segment lap over one another, px: no pixel may fall between two of them.
const LAP: f32 = 0.02;
const HALF_TURN: f32 = 3.14159265;
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

// How far an end reaches back along its segment, px; `part` is how much of the segment it covers where there is no body, or 0.
fn extent(length_px: f32, back: f32, part: f32, half_px: f32) -> f32 {
    return LAP + select(min(reach(back, half_px), length_px), part * length_px, part > 0.0);
}

// Over how much of an edge a pixel takes the mean, px: between a pixel's side and its diagonal, where the worst error of
// any direction is least.
const WINDOW: f32 = 1.1;

// Both edges of a stroke over its axis, their mean heights (xy) and mean slopes (zw) as a pixel sees them, with a bend added:
// `past` is how far past it the pixel lies, px, and `bend` what it adds to height and slope for each px.
fn bent(mean: vec4<f32>, past: vec2<f32>, bend: vec2<f32>) -> vec4<f32> {
    let seen = clamp(past + 0.5 * WINDOW, vec2<f32>(0.0), vec2<f32>(WINDOW));
    let climbed = seen * seen * (0.5 / WINDOW) + max(past - 0.5 * WINDOW, vec2<f32>(0.0));
    return mean + vec4<f32>(climbed * bend.x, seen * (bend.y / WINDOW));
}

// The share of the pixel at `p` that lies between two such edges over `axis`, both from the same place, px. In a mirrored
// picture the left edge lies below: the sign of the difference tells.
fn between(mean: vec4<f32>, p: vec2<f32>, axis: vec2<f32>) -> f32 {
    let side = perpendicular(axis);
    let inside = mean.xy - dot(p, side);
    return abs(square_inside(inside.x, side - axis * mean.z) - square_inside(inside.y, side - axis * mean.w));
}

// One end of a segment, as seen from that end.
struct End {
    // xy: the end, zw: the segment's other end; mark mm.
    @location(0) ends: vec4<f32>,
    // xy: the corner beyond the end, mark mm; the end itself at a free end. z: the tangent of half the turn here, 0 at a
    // free end; w: how much of the segment is covered from here, 0 where it has a body.
    @location(1) beyond: vec4<f32>,
    // x: half the width, mm; y: as w of beyond, for the segment before this one.
    @location(2) shape: vec2<f32>,
    // The mark's light, linear, 0 to 1 a channel; w unused.
    @location(3) light: vec4<f32>,
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
    out.half = abs(dot(a.px_per_mm * out.left, perpendicular(out.axis))) * e.shape.x;
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

// One of the three corners of a triangle over a rectangle about `centre`, which runs over `span` along `axis` and `wide` to
// both sides, px. One triangle is half the work of two, and these are small.
fn triangle_over(vertex_index: u32, centre: vec2<f32>, axis: vec2<f32>, span: vec2<f32>, wide: f32) -> vec4<f32> {
    let corner = vertex_index % 3u;
    let side = perpendicular(axis) * select(-2.0 * wide, 2.0 * wide, corner == 0u);
    let px = select(centre + axis * span.y + side, centre + axis * (2.0 * span.x - span.y), corner == 2u);
    let reaches = length(vec2<f32>(0.5 * (span.y - span.x), wide));
    return select(nowhere(), clip_from_px(px), in_picture(centre + axis * (0.5 * (span.x + span.y)), reaches));
}

// What the fragments of an end are told, whatever its kind.
struct EndFragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the end, px; zw: unit vector along the stroke, towards the segment's other end.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // xy: from where to where along that vector the end counts; zw: how far the round end reaches out; px.
    @location(1) @interpolate(flat) span: vec4<f32>,
    // As in End.
    @location(2) @interpolate(flat) light: vec3<f32>,
    // What only the kind knows; each file says what.
    @location(3) @interpolate(flat) first: vec4<f32>,
    @location(4) @interpolate(flat) second: vec4<f32>,
    @location(5) @interpolate(flat) third: vec4<f32>,
}

// The part that all kinds share: a triangle over the pixels that the end touches, from its furthest outside to `back` along
// the segment, px.
fn end_fragment(vertex_index: u32, e: End, end: EndPx, back: f32) -> EndFragment {
    let span = vec2<f32>(-round_px(end, e.shape.x) - touched(end.axis), back);
    let wide = end.half + touched(perpendicular(end.axis));
    var out: EndFragment;
    out.clip = select(nowhere(), triangle_over(vertex_index, end.at, end.axis, span, wide), end.lit);
    out.at = vec4<f32>(end.at, end.axis);
    out.span = vec4<f32>(span, end.px_per_mm * end.dir * -e.shape.x);
    out.light = e.light.rgb;
    return out;
}

// Whether a place, px from the end, lies within the rectangle and not only within its triangle.
fn within(p: vec2<f32>, f: EndFragment) -> bool {
    let along = dot(p, f.at.zw);
    return along >= f.span.x && along <= f.span.y;
}

// What an arc is made of: x: how many straight edges, the more the larger it is; y: how far its inner corners lie out so
// that it keeps its area; zw: cosine and sine of the angle by which its edges turn.
fn round_form(turn_rad: f32, half_px: f32) -> vec4<f32> {
    let step_rad = clamp(0.6 * inverseSqrt(half_px), 0.2, 0.8);
    let edges = max(ceil(turn_rad / step_rad), 2.0);
    let angle = turn_rad / edges;
    return vec4<f32>(edges, pow(angle / sin(angle), 0.5 * edges / (edges - 1.0)), cos(angle), sin(angle));
}

// What the edges of an arc about `middle` sweep, which begins `across` from there, reaches `out` after a quarter of a turn,
// and ends at `finish`; `form` as round_form tells.
fn arc(middle: vec2<f32>, across: vec2<f32>, out: vec2<f32>, finish: vec2<f32>, form: vec4<f32>) -> f32 {
    var sum = 0.0;
    var at = middle + across;
    var turn = vec2<f32>(1.0, 0.0);
    for (var i = 1.0; i < form.x; i += 1.0) {
        turn = vec2<f32>(turn.x * form.z - turn.y * form.w, turn.x * form.w + turn.y * form.z);
        let next = middle + (across * turn.x + out * turn.y) * form.y;
        sum += swept(at, next);
        at = next;
    }
    return sum + swept(at, finish);
}

// The same for a cap from `start` round to `finish`, which lie opposite one another; `out` is how far it reaches out.
fn cap(start: vec2<f32>, finish: vec2<f32>, out: vec2<f32>, form: vec4<f32>) -> f32 {
    let middle = 0.5 * (start + finish);
    return arc(middle, start - middle, out, finish, form);
}
