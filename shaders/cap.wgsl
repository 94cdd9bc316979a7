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

@vertex
fn vertex(@builtin(vertex_index) corner: u32, e: End) -> EndFragment {
    var out = end_quad(corner, e, false);
    let dir = normalize(e.ends.zw - e.ends.xy);
    let reach_out = throw_mm(e.ends.xy).px_per_mm * dir * -e.shape.y;
    let back = 0.5 * (out.far.xy + out.far.zw);
    let is_dot = e.shape.z > 0.0 && length(back) < DRAWN_OUT;
    out.more = vec4<f32>(reach_out, select(0.0, 1.0, is_dot), 0.0);
    if e.shape.z == 0.0 {
        // The stroke goes on at the other end.
        out.far += (back * (DRAWN_OUT / max(length(back), 1e-4))).xyxy;
    }
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    // Everything from the pixel's corner.
    let pixel = f.clip.xy - f.at - 0.5;
    let near = f.near - pixel.xyxy;
    let own = f.far - pixel.xyxy;
    var sum = swept(own.xy, near.xy) + cap(near.xy, near.zw, -pixel, f.more.xy) + swept(near.zw, own.zw);
    if f.more.z > 0.0 {
        sum += cap(own.zw, own.xy, 0.5 * (own.xy + own.zw), -f.more.xy);
    } else {
        sum += swept(own.zw, own.xy);
    }
    return vec4<f32>(mix(f.ground, f.light, min(abs(sum), 1.0)), 1.0);
}
