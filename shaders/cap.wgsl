// A free end of a stroke: the exact area of the segment and of a cap.

// A cap's edges turn by 22.5 degrees each. Its corners lie this far out that it has the area of the half disc:
// the square root of (pi/8) / sin(pi/8).
const CAP_PARTS: i32 = 8;
const CAP_OUT: f32 = 1.0130;
const CAP_TURN: vec2<f32> = vec2<f32>(0.92387953, 0.38268343);

// The edges of a cap from `start` round to `finish`, which lie opposite one another about `middle`; `out` is how far it
// reaches out.
fn cap(start: vec2<f32>, finish: vec2<f32>, middle: vec2<f32>, out: vec2<f32>) -> f32 {
    let across = start - middle;
    var sum = 0.0;
    var at = start;
    var turn = vec2<f32>(1.0, 0.0);
    for (var i = 1; i < CAP_PARTS; i++) {
        turn = vec2<f32>(turn.x * CAP_TURN.x - turn.y * CAP_TURN.y, turn.x * CAP_TURN.y + turn.y * CAP_TURN.x);
        let next = middle + (across * turn.x + out * turn.y) * CAP_OUT;
        sum += swept(at, next);
        at = next;
    }
    return sum + swept(at, finish);
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the end, px; zw: unit vector towards the segment's other end.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // Where the left (xy) and the right edge (zw) lie at the end and at the segment's other end, px from the end.
    @location(1) @interpolate(flat) near: vec4<f32>,
    @location(2) @interpolate(flat) far: vec4<f32>,
    // xy: how far the round end reaches out, px; z: 1 where the whole segment is a dot, otherwise 0; w unused.
    @location(3) @interpolate(flat) out: vec4<f32>,
    // From where to where along the segment the end counts, px.
    @location(4) @interpolate(flat) span: vec2<f32>,
    // As in End.
    @location(5) @interpolate(flat) ground: vec3<f32>,
    @location(6) @interpolate(flat) light: vec3<f32>,
}

@vertex
fn vertex(@builtin(vertex_index) corner: u32, e: End) -> Fragment {
    let end = end_px(e);
    let half_mm = e.shape.w;
    let across = end.left * half_mm;
    var out: Fragment;
    out.at = vec4<f32>(end.at, end.axis);
    out.near = vec4<f32>(throw_mm(e.ends.xy + across).px - end.at, throw_mm(e.ends.xy - across).px - end.at);
    out.far = vec4<f32>(throw_mm(e.ends.zw + across).px - end.at, throw_mm(e.ends.zw - across).px - end.at);
    let is_dot = e.shape.y == 0.0 && end.length < DRAWN_OUT;
    out.out = vec4<f32>(end.px_per_mm * end.dir * -half_mm, select(0.0, 1.0, is_dot), 0.0);
    if e.shape.y != 0.0 {
        // The stroke goes on at the other end; its edges are drawn out, so that they leave the pixel.
        out.far += (end.axis * DRAWN_OUT).xyxy;
    }
    out.span = vec2<f32>(-round_px(end, half_mm) - PAD, extent(end.length, e.shape.x, e.shape.y, end.half));
    out.ground = e.ground.rgb;
    out.light = e.light.rgb;
    out.clip = around(corner, end.at, end.axis, out.span, end.half + PAD);
    if !end.lit {
        out.clip = nowhere();
    }
    return out;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    // Everything from the pixel's corner.
    let pixel = p - 0.5;
    let near = f.near - pixel.xyxy;
    let far = f.far - pixel.xyxy;
    var sum = swept(far.xy, near.xy) + cap(near.xy, near.zw, -pixel, f.out.xy) + swept(near.zw, far.zw);
    if f.out.z > 0.0 {
        sum += cap(far.zw, far.xy, 0.5 * (far.xy + far.zw), -f.out.xy);
    } else {
        sum += swept(far.zw, far.xy);
    }
    let share = select(0.0, min(abs(sum), 1.0), within(p, f.at.zw, f.span));
    return vec4<f32>(mix(f.ground, f.light, share), 1.0);
}
