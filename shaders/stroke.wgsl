// One segment of a stroke: a quad just large enough for every pixel that the segment touches.
//
// The vertex stage throws the segment's two edges (the mitre at a smooth joint, square at an end or a corner) and
// hands their lines in pixels to every fragment; an edge that is straight on the table is straight in the picture,
// so nothing is left to interpolate. A fragment away from the ends takes the exact area between the two lines. One
// near a round end or a corner is divided into small squares, each measured against the round shape, so that the
// union with the neighbouring segment is taken inside the pixel.

struct Segment {
    // xy: where it begins, zw: where it ends; mark mm.
    @location(0) ends: vec4<f32>,
    // xy: the corner before the beginning, zw: the corner after the end; mark mm. Equal to the own end at a free end.
    @location(1) beyond: vec4<f32>,
    // Half the stroke's width, mm.
    @location(2) half_mm: f32,
    // The light without the mark, linear, 0 to 1 a channel; w unused.
    @location(3) ground: vec4<f32>,
    // The mark's own light, linear, 0 to 1 a channel; w unused.
    @location(4) light: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // The left and the right edge: xy the inward unit normal, z how far the beginning lies inside, px.
    @location(0) @interpolate(flat) left: vec3<f32>,
    @location(1) @interpolate(flat) right: vec3<f32>,
    // xy: the beginning, px; zw: unit vector towards the end in the picture.
    @location(2) @interpolate(flat) axis: vec4<f32>,
    // x: length in px; y, z: how far from the beginning and from the end the round shape counts, px; w: half width, mm.
    @location(3) @interpolate(flat) spans: vec4<f32>,
    // mm moved per px moved, at the beginning and at the end: columns for x and for y.
    @location(4) @interpolate(flat) mm_per_px_start: vec4<f32>,
    @location(5) @interpolate(flat) mm_per_px_end: vec4<f32>,
    // xy: from the beginning to the end; mm, drawn out where the stroke goes on smoothly.
    // zw: from the end to the beginning, likewise.
    @location(6) @interpolate(flat) own: vec4<f32>,
    // xy: from the beginning to the corner before it, zw: from the end to the corner after it; mm, 0 at a free end.
    @location(7) @interpolate(flat) other: vec4<f32>,
    // As in Segment.
    @location(8) @interpolate(flat) ground: vec3<f32>,
    @location(9) @interpolate(flat) light: vec3<f32>,
}

// How far past an edge a pixel's centre may lie and the pixel still be touched: half a diagonal and a little, px.
const PAD: f32 = 0.75;
// Two segments whose directions differ by less (cosine of 0.08 rad) meet smoothly: taking either edge for the
// pixel of the joint errs by an eighth of the angle at most, 0.01 of a pixel.
const SMOOTH: f32 = 0.9968;
// So do segments of a tight curve, shorter than a pixel, up to this turn (cosine of 0.35 rad): a pixel there meets
// more segments than the two whose union a fragment can take, and each of them is its tangent.
const SMOOTH_IF_SHORT: f32 = 0.9394;
const SHORT_PX: f32 = 1.0;
// How far a quad laps over a smooth joint, px: no pixel may fall between two neighbours.
const LAP: f32 = 0.25;
// A hairpin's inner corner is followed back this many times as far as it reaches sideways, no further.
const HAIRPIN: f32 = 16.0;

fn perpendicular(v: vec2<f32>) -> vec2<f32> {
    return vec2<f32>(-v.y, v.x);
}

// What meets a segment at one of its ends.
struct Meeting {
    // From the end to where its left edge ends, in half widths.
    mitre: vec2<f32>,
    // From the end to the neighbour's far corner, mm; 0 at a free end.
    other: vec2<f32>,
    // 1 where the stroke goes on smoothly, otherwise 0.
    smooth_on: f32,
    // Inner corner: how far back from the end the neighbour reaches, as a multiple of how far it reaches sideways.
    back: f32,
}

// `towards` is the segment's unit direction at this end, pointing out of the segment; `left` its left normal;
// `short_mm` the length below which a segment is shorter than a pixel.
fn meeting(at: vec2<f32>, beyond: vec2<f32>, towards: vec2<f32>, left: vec2<f32>, short_mm: f32) -> Meeting {
    var out: Meeting;
    out.mitre = left;
    out.other = beyond - at;
    let reach = length(out.other);
    if reach == 0.0 {
        return out;
    }
    let on = out.other / reach;
    let turn = dot(on, towards);
    if turn > select(SMOOTH, SMOOTH_IF_SHORT, reach < short_mm) {
        let mean = perpendicular(normalize(on + towards));
        out.mitre = mean / dot(mean, left);
        out.smooth_on = 1.0;
    } else {
        // tan of half the turn, from sine and cosine.
        let cross = abs(on.x * towards.y - on.y * towards.x);
        out.back = min(cross / max(1.0 + turn, 1e-6), HAIRPIN);
    }
    return out;
}

// The edge through two picture points as inward normal and the distance at which `inside` lies inside.
fn edge(a: vec2<f32>, b: vec2<f32>, inside: vec2<f32>, fallback: vec2<f32>) -> vec3<f32> {
    let d = b - a;
    let l = length(d);
    var n = select(fallback, perpendicular(d / max(l, 1e-9)), l > 1e-4);
    n = n * select(-1.0, 1.0, dot(n, fallback) >= 0.0);
    return vec3<f32>(n, dot(n, inside - a));
}

fn inverse2(m: mat2x2<f32>) -> vec4<f32> {
    let det = determinant(m);
    return vec4<f32>(m[1].y, -m[0].y, -m[1].x, m[0].x) / det;
}

@vertex
fn vertex(@builtin(vertex_index) corner: u32, s: Segment) -> Fragment {
    let along_mm = s.ends.zw - s.ends.xy;
    let length_mm = length(along_mm);
    let dir = along_mm / length_mm;
    let left = perpendicular(dir);
    let a = throw_mm(s.ends.xy);
    let b = throw_mm(s.ends.zw);
    // Both neighbours must judge their joint alike, so each counts its own length and the other's.
    let short_a = select(0.0, SHORT_PX / length(a.px_per_mm * dir), length_mm * length(a.px_per_mm * dir) < SHORT_PX);
    let short_b = select(0.0, SHORT_PX / length(b.px_per_mm * dir), length_mm * length(b.px_per_mm * dir) < SHORT_PX);
    let start = meeting(s.ends.xy, s.beyond.xy, -dir, left, short_a);
    let finish = meeting(s.ends.zw, s.beyond.zw, dir, left, short_b);
    // At the beginning the outward direction is reversed, and with it the side on which `meeting` draws the mitre;
    // dividing by dot(mean, left) has already put it back on the left.

    let a_left = throw_mm(s.ends.xy + start.mitre * s.half_mm).px;
    let a_right = throw_mm(s.ends.xy - start.mitre * s.half_mm).px;
    let b_left = throw_mm(s.ends.zw + finish.mitre * s.half_mm).px;
    let b_right = throw_mm(s.ends.zw - finish.mitre * s.half_mm).px;

    var out: Fragment;
    let axis_px = b.px - a.px;
    let length_px = length(axis_px);
    let axis = select(normalize(a.px_per_mm * dir), axis_px / max(length_px, 1e-9), length_px > 1e-4);
    // Picture y points down, so the table's left may be either side: ask the thrown point.
    let side = perpendicular(axis);
    let to_left = side * select(-1.0, 1.0, dot(side, a.px_per_mm * left) >= 0.0);
    out.left = edge(a_left, b_left, a.px, -to_left);
    out.right = edge(a_right, b_right, a.px, to_left);
    out.axis = vec4<f32>(a.px, axis);
    let half_start_px = length(a.px_per_mm * left) * s.half_mm;
    let half_end_px = length(b.px_per_mm * left) * s.half_mm;
    let never = -1e9;
    out.spans = vec4<f32>(
        length_px,
        select(PAD + start.back * (half_start_px + PAD), never, start.smooth_on > 0.0),
        select(PAD + finish.back * (half_end_px + PAD), never, finish.smooth_on > 0.0),
        s.half_mm,
    );
    out.mm_per_px_start = inverse2(a.px_per_mm);
    out.mm_per_px_end = inverse2(b.px_per_mm);
    out.own = vec4<f32>(
        along_mm + dir * (4.0 * s.half_mm * finish.smooth_on),
        -along_mm - dir * (4.0 * s.half_mm * start.smooth_on),
    );
    out.other = vec4<f32>(start.other, finish.other);
    out.ground = s.ground.rgb;
    out.light = s.light.rgb;

    // Corners 0, 1 at the beginning (left, right), 2, 3 at the end.
    let at_end = corner >= 2u;
    let on_left = (corner & 1u) == 0u;
    let here = select(a.px, b.px, at_end);
    let edge_point = select(select(a_right, b_right, at_end), select(a_left, b_left, at_end), on_left);
    let outward = -select(out.right.xy, out.left.xy, on_left);
    let out_along = select(-axis, axis, at_end);
    let smooth_here = select(start.smooth_on, finish.smooth_on, at_end) > 0.0;
    // A round end reaches as far along the axis as the thrown circle does.
    var to_px = a.px_per_mm;
    if at_end {
        to_px = b.px_per_mm;
    }
    let round = length(vec2<f32>(dot(to_px * dir, axis), dot(to_px * left, axis))) * s.half_mm + PAD;
    let lap = select(round - dot(edge_point - here, out_along), LAP, smooth_here);
    out.clip = clip_from_px(edge_point + outward * PAD + out_along * lap);
    if !a.lit || !b.lit {
        out.clip = nowhere();
    }
    return out;
}

// Small squares along a pixel's side where it is divided.
const PARTS: i32 = 4;

// How a small square lies to a line with round ends.
struct Touch {
    // The share of the square that the line covers.
    share: f32,
    // Unit normal of the line's nearer edge, pointing out of the line, in the picture.
    normal: vec2<f32>,
}

// `v` is the square's centre and `line` the line's far end, both from its near end, in mm; `mm_per_px` the local scale.
fn touch(v: vec2<f32>, line: vec2<f32>, half_mm: f32, mm_per_px: vec4<f32>) -> Touch {
    let t = clamp(dot(v, line) / max(dot(line, line), 1e-12), 0.0, 1.0);
    let off = v - line * t;
    let off_mm = length(off);
    let away = select(perpendicular(normalize(line)), off / max(off_mm, 1e-9), off_mm > 1e-7);
    // mm moved away from the line per px moved along x and along y.
    let slope = vec2<f32>(dot(mm_per_px.xy, away), dot(mm_per_px.zw, away));
    let steep = length(slope);
    let squares_per_mm = f32(PARTS) / steep;
    // A round edge lies inside its tangent: over a chord of one square by 1/(24 r) of a square on average.
    let round = select(0.0, 1.0 / (24.0 * half_mm * squares_per_mm), t == 0.0 || t == 1.0);
    var out: Touch;
    out.normal = slope / steep;
    let near = square_inside((half_mm - off_mm) * squares_per_mm - round, out.normal);
    let far = square_inside((half_mm + off_mm) * squares_per_mm, out.normal);
    out.share = max(near + far - 1.0, 0.0);
    return out;
}

// The share of a small square that at least one of two lines covers. What both leave dark is the smaller of the two
// dark shares where their edges run alike, their product where they cross at a right angle (exact for edges along the
// square's sides), and the rest of their sum where they face one another.
fn either(a: Touch, b: Touch) -> f32 {
    let dark = vec2<f32>(1.0 - a.share, 1.0 - b.share);
    let product = dark.x * dark.y;
    let alike = dot(a.normal, b.normal);
    let parallel = select(max(dark.x + dark.y - 1.0, 0.0), min(dark.x, dark.y), alike > 0.0);
    return 1.0 - mix(product, parallel, abs(alike));
}

// The share of a pixel covered near an end: the union of the own and the neighbouring line. `p` is the pixel's
// centre from the end, px.
fn covered_at_end(p: vec2<f32>, own: vec2<f32>, other: vec2<f32>, half_mm: f32, mm_per_px: vec4<f32>) -> f32 {
    let free = all(other == vec2<f32>(0.0, 0.0));
    var sum = 0.0;
    for (var i = 0; i < PARTS; i++) {
        for (var j = 0; j < PARTS; j++) {
            let q = p + (vec2<f32>(f32(i), f32(j)) + 0.5) / f32(PARTS) - 0.5;
            let v = mm_per_px.xy * q.x + mm_per_px.zw * q.y;
            let here = touch(v, own, half_mm, mm_per_px);
            if free {
                sum += here.share;
            } else {
                sum += either(here, touch(v, other, half_mm, mm_per_px));
            }
        }
    }
    return sum / f32(PARTS * PARTS);
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.axis.xy;
    let from_start = dot(p, f.axis.zw);
    let from_end = f.spans.x - from_start;
    let near_start = from_start < f.spans.y;
    let near_end = from_end < f.spans.z;
    var share = 0.0;
    if near_start {
        share = covered_at_end(p, f.own.xy, f.other.xy, f.spans.w, f.mm_per_px_start);
    }
    if near_end {
        let q = p - f.axis.zw * f.spans.x;
        share = max(share, covered_at_end(q, f.own.zw, f.other.zw, f.spans.w, f.mm_per_px_end));
    }
    if !near_start && !near_end {
        let inside_left = dot(f.left.xy, p) + f.left.z;
        let inside_right = dot(f.right.xy, p) + f.right.z;
        share = max(square_inside(inside_left, f.left.xy) + square_inside(inside_right, f.right.xy) - 1.0, 0.0);
    }
    return vec4<f32>(mix(f.ground, f.light, share), 1.0);
}
