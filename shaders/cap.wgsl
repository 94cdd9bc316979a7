// A free end of a stroke: the exact area of the segment and of a cap.
//
// Of an EndFragment, first and second hold where the left (xy) and the right edge (zw) lie at the end and past the
// segment's other end, px from the end; third the round's form.

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> EndFragment {
    let end = end_px(e);
    let across = end.left * e.shape.x;
    var out = end_fragment(vertex_index, e, end, extent(end.length, 0.0, e.beyond.w, end.half));
    out.first = edges_px(e.ends.xy, across, end.at);
    // The stroke goes on at the other end; its edges are drawn out, so that they leave the pixel.
    out.second = edges_px(e.ends.zw, across, end.at) + (end.axis * DRAWN_OUT).xyxy;
    out.third = round_form(HALF_TURN, end.half);
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    // Everything from the pixel's corner.
    let pixel = p - 0.5;
    let near = f.first - pixel.xyxy;
    let far = f.second - pixel.xyxy;
    let round = cap(near.xy, near.zw, f.span.zw, f.third);
    let share = abs(swept(far.xy, near.xy) + round + swept(near.zw, far.zw) + swept(far.zw, far.xy));
    return lit(f.light, select(0.0, min(share, 1.0), within(p, f)));
}
