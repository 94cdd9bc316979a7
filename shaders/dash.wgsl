// A short and narrow stroke between two free ends: the exact area of the segment and of the cap that is nearer to the pixel.
//
// The ends lie so far apart that no pixel sees both caps; a longer or wider stroke is drawn as a body with two caps.

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the first end, px; zw: unit vector towards the other end.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // Where the left (xy) and the right edge (zw) lie at the first end, and at the other; px from the first end.
    @location(1) @interpolate(flat) first: vec4<f32>,
    @location(2) @interpolate(flat) second: vec4<f32>,
    // How far the round ends reach out, the first's (xy) and the other's (zw), px.
    @location(3) @interpolate(flat) out_px: vec4<f32>,
    // As in End; w of light: half the stroke's length, px.
    @location(4) @interpolate(flat) ground: vec3<f32>,
    @location(5) @interpolate(flat) light: vec4<f32>,
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> Fragment {
    let end = end_px(e);
    let other = throw_mm(e.ends.zw);
    let across = end.left * e.shape.x;
    var out: Fragment;
    out.at = vec4<f32>(end.at, end.axis);
    out.first = edges_px(e.ends.xy, across, end.at);
    out.second = edges_px(e.ends.zw, across, end.at);
    let along = end.dir * e.shape.x;
    out.out_px = vec4<f32>(end.px_per_mm * -along, other.px_per_mm * along);
    out.ground = e.ground.rgb;
    out.light = vec4<f32>(e.light.rgb, 0.5 * end.length);

    // Corners 0, 1 at the first end (left, right), 2, 3 at the other.
    let corner = vertex_index % 4u;
    let round = round_px(end, e.shape.x) + touched(end.axis);
    let wide = max(end.half, 0.5 * distance(out.second.xy, out.second.zw)) + touched(perpendicular(end.axis));
    let along_px = select(-round, end.length + round, corner >= 2u);
    let px = end.at + end.axis * along_px + perpendicular(end.axis) * select(-wide, wide, (corner & 1u) == 0u);
    let seen = in_picture(end.at + end.axis * (0.5 * end.length), 0.5 * end.length + round + wide);
    out.clip = select(nowhere(), clip_from_px(px), end.lit && seen);
    return out;
}

// A narrow stroke's cap: six edges, their inner corners as far out as round_form tells of so many. Written out, because a
// loop costs a software driver as much again.
fn narrow_cap(start: vec2<f32>, finish: vec2<f32>, out: vec2<f32>) -> f32 {
    let middle = 0.5 * (start + finish);
    let across = (start - middle) * 1.0281;
    let up = out * 1.0281;
    let a = middle + across * 0.86602540 + up * 0.5;
    let b = middle + across * 0.5 + up * 0.86602540;
    let c = middle + up;
    let d = middle - across * 0.5 + up * 0.86602540;
    let e = middle - across * 0.86602540 + up * 0.5;
    return swept(start, a) + swept(a, b) + swept(b, c) + swept(c, d) + swept(d, e) + swept(e, finish);
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    // Everything from the pixel's corner; seen from the other end left is right.
    let pixel = (p - 0.5).xyxy;
    let at_other = dot(p, f.at.zw) > f.light.w;
    let near = select(f.first, f.second.zwxy, at_other) - pixel;
    let far = select(f.second, f.first.zwxy, at_other) - pixel;
    let round = narrow_cap(near.xy, near.zw, select(f.out_px.xy, f.out_px.zw, at_other));
    let share = abs(swept(far.xy, near.xy) + round + swept(near.zw, far.zw) + swept(far.zw, far.xy));
    return vec4<f32>(mix(f.ground, f.light.rgb, min(share, 1.0)), 1.0);
}
