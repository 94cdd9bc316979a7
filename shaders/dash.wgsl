// A short and narrow stroke between two free ends: the exact area of the segment and of the cap that is nearer to the pixel.
//
// The ends lie so far apart that no pixel sees both caps; a longer or wider stroke is drawn as a body with two caps. Turned
// by half a turn about its middle the stroke lies on itself, so a pixel that is nearer to the second end is turned over to
// the first: the edges of one cap serve for both, and how they lean is known before any pixel is asked.

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the stroke's middle; zw: the way from there to its first end; px.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // xy: from the middle line to the left edge; zw: how far the round end reaches out; px.
    @location(1) @interpolate(flat) half: vec4<f32>,
    // How the cap's first four edges lean, as leaning tells.
    @location(2) @interpolate(flat) leans: vec4<f32>,
    @location(3) @interpolate(flat) rises: vec4<f32>,
    // The same of the cap's last two edges.
    @location(4) @interpolate(flat) last: vec4<f32>,
    // xy: the same of the two sides; z: how much wider the stroke is at its first end than at its middle, as a share.
    @location(5) @interpolate(flat) sides: vec3<f32>,
    // As in End.
    @location(6) @interpolate(flat) light: vec3<f32>,
}

// How far out a cap's inner corners lie so that six edges keep its area, as round_form tells of so many.
const OUT: f32 = 1.0281;
// A cap's corners in half widths and in reaches, the first two of six: a twelfth and a sixth of a turn from its beginning.
const FIRST: vec2<f32> = vec2<f32>(0.8660254, 0.5) * OUT;
const SECOND: vec2<f32> = vec2<f32>(0.5, 0.8660254) * OUT;

// How an edge along `d` leans: x moved for each y (x), and y moved for each x (y). One that stands upright or lies level is
// tilted by a ten-thousandth, so that both are numbers.
fn leaning(d: vec2<f32>) -> vec2<f32> {
    let lean = clamp(abs(d.x) / max(abs(d.y), 1e-9), 1e-4, 1e4) * select(-1.0, 1.0, d.x * d.y >= 0.0);
    return vec2<f32>(lean, 1.0 / lean);
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> Fragment {
    let end = end_px(e);
    let other = throw_mm(e.ends.zw);
    let side = perpendicular(end.axis);
    let mean = 0.5 * (end.px_per_mm + other.px_per_mm);
    let half = mean * (end.left * e.shape.x);
    let out_px = mean * (end.dir * -e.shape.x);
    let widths = vec2<f32>(length(end.px_per_mm * end.left), length(other.px_per_mm * end.left));
    let wider = (widths.x - widths.y) / (widths.x + widths.y);

    var out: Fragment;
    let middle = 0.5 * (end.at + other.px);
    out.at = vec4<f32>(middle, end.at - middle);
    out.half = vec4<f32>(half, out_px);
    let first = leaning(half * (FIRST.x - 1.0) + out_px * FIRST.y);
    let second = leaning(half * (SECOND.x - FIRST.x) + out_px * (SECOND.y - FIRST.y));
    let third = leaning(half * -SECOND.x + out_px * (OUT - SECOND.y));
    let fourth = leaning(half * -SECOND.x + out_px * (SECOND.y - OUT));
    let fifth = leaning(half * (SECOND.x - FIRST.x) + out_px * (FIRST.y - SECOND.y));
    let sixth = leaning(half * (FIRST.x - 1.0) - out_px * FIRST.y);
    out.leans = vec4<f32>(first.x, second.x, third.x, fourth.x);
    out.rises = vec4<f32>(first.y, second.y, third.y, fourth.y);
    out.last = vec4<f32>(fifth, sixth);
    out.sides = vec3<f32>(leaning(end.axis), wider);
    out.light = e.light.rgb;

    // Corners 0, 1 at the first end (left, right), 2, 3 at the other.
    let corner = vertex_index % 4u;
    let grown = 1.0 + abs(wider);
    let long = 0.5 * end.length + grown * length(vec2<f32>(dot(half, end.axis), dot(out_px, end.axis))) + touched(end.axis);
    let wide = grown * length(vec2<f32>(dot(half, side), dot(out_px, side))) + touched(side);
    let px = middle + end.axis * select(-long, long, corner >= 2u) + side * select(-wide, wide, (corner & 1u) == 0u);
    out.clip = select(nowhere(), clip_from_px(px), end.lit && in_picture(middle, long + wide));
    return out;
}

// What an edge through `at` sweeps from height `from_y` to `to_y`, both within the pixel; `lean` as leaning tells.
fn along(at: vec2<f32>, from_y: f32, to_y: f32, lean: vec2<f32>) -> f32 {
    let from_x = at.x + (from_y - at.y) * lean.x;
    let to_x = from_x + (to_y - from_y) * lean.x;
    return (clamped(to_x) - clamped(from_x)) * lean.y;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    let turned = select(1.0, -1.0, dot(p, f.at.zw) < 0.0);
    // Everything from the pixel's corner, left and right as seen from the end.
    let end = f.at.zw - p * turned + 0.5;
    let half = f.half.xy * (1.0 + turned * f.sides.z);
    let far_y = end.y - 2.0 * f.at.w + vec2<f32>(1.0, -1.0) * f.half.y * (1.0 - turned * f.sides.z);
    let start = end + half;
    let finish = end - half;
    let low = end + f.half.zw * FIRST.y;
    let high = end + f.half.zw * SECOND.y;
    let a = low + half * FIRST.x;
    let b = high + half * SECOND.x;
    let c = end + f.half.zw * OUT;
    let d = high - half * SECOND.x;
    let e = low - half * FIRST.x;
    let far = saturate(far_y);
    let near = saturate(vec2<f32>(start.y, finish.y));
    let y = saturate(vec4<f32>(a.y, b.y, d.y, e.y));
    let top = saturate(c.y);
    let sides = along(start, far.x, near.x, f.sides.xy) + along(finish, near.y, far.y, f.sides.xy);
    let rising = along(start, near.x, y.x, vec2<f32>(f.leans.x, f.rises.x))
        + along(a, y.x, y.y, vec2<f32>(f.leans.y, f.rises.y))
        + along(b, y.y, top, vec2<f32>(f.leans.z, f.rises.z));
    let falling = along(c, top, y.z, vec2<f32>(f.leans.w, f.rises.w))
        + along(d, y.z, y.w, f.last.xy)
        + along(e, y.w, near.y, f.last.zw);
    // The far end is out of the pixel, on one of its sides.
    let closing = select(0.0, far.x - far.y, f.at.z < 0.0);
    return lit(f.light, min(abs(sides + rising + falling + closing), 1.0));
}
