// A dot, or a stroke so short that its two free ends meet: the exact area of the segment and of both caps.
//
// Of an EndFragment, first and second hold where the left (xy) and the right edge (zw) lie at the one end and at the other,
// px from the first; third the rounds' form.

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> EndFragment {
    let end = end_px(e);
    let across = end.left * e.shape.x;
    let back = end.length + round_px(end, e.shape.x) + touched(end.axis);
    var out = end_fragment(vertex_index, e, end, back);
    out.first = edges_px(e.ends.xy, across, end.at);
    out.second = edges_px(e.ends.zw, across, end.at);
    out.third = round_form(HALF_TURN, end.half);
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    // Everything from the pixel's corner.
    let pixel = (f.clip.xy - f.at.xy - 0.5).xyxy;
    let near = f.first - pixel;
    let far = f.second - pixel;
    let sides = swept(far.xy, near.xy) + swept(near.zw, far.zw);
    let share = abs(sides + cap(near.xy, near.zw, f.span.zw, f.third) + cap(far.zw, far.xy, -f.span.zw, f.third));
    return lit(f.light, min(share, 1.0));
}
