// A free end of a stroke: the exact area of the segment and of a cap.
//
// Of an EndFragment, first and second hold where the left (xy) and the right edge (zw) lie at the end and at the segment's
// other end, px from the end; third.xy how far the round end reaches out, px, and third.z is 1 where the whole
// segment is a dot, otherwise 0.

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
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> EndFragment {
    let end = end_px(e);
    let half_mm = e.shape.w;
    let across = end.left * half_mm;
    let low = -round_px(end, half_mm) - touched(end.axis);
    let span = vec2<f32>(low, extent(end.length, e.shape.x, e.shape.y, end.half));
    var out = end_fragment(vertex_index, e, end, end.axis, span, end.half + touched(perpendicular(end.axis)));
    out.first = edges_px(e.ends.xy, across, end.at);
    out.second = edges_px(e.ends.zw, across, end.at);
    if e.shape.y != 0.0 {
        // The stroke goes on at the other end; its edges are drawn out, so that they leave the pixel.
        out.second += (end.axis * DRAWN_OUT).xyxy;
    }
    let is_dot = e.shape.y == 0.0 && end.length < DRAWN_OUT;
    out.third = vec4<f32>(end.px_per_mm * end.dir * -half_mm, select(0.0, 1.0, is_dot), 0.0);
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    if !within(p, f) {
        return lit_by(f, 0.0);
    }
    // Everything from the pixel's corner.
    let pixel = p - 0.5;
    let near = f.first - pixel.xyxy;
    let far = f.second - pixel.xyxy;
    var sum = swept(far.xy, near.xy) + cap(near.xy, near.zw, -pixel, f.third.xy) + swept(near.zw, far.zw);
    if f.third.z > 0.0 {
        sum += cap(far.zw, far.xy, 0.5 * (far.xy + far.zw), -f.third.xy);
    } else {
        sum += swept(far.zw, far.xy);
    }
    return lit_by(f, min(abs(sum), 1.0));
}
