// A bend of a stroke, on one side of the mitre: the exact area of the segment and its neighbour.
//
// The mitre stands in for the round join: what is rounded off is below 0.003 of the half width's square, in px.

@vertex
fn vertex(@builtin(vertex_index) corner: u32, e: End) -> EndFragment {
    var out = end_quad(corner, e, true);
    let towards = e.beyond - e.ends.xy;
    let on = normalize(towards);
    let side = perpendicular(on);
    // The neighbour's left as the segment sees it: the side on which its own left lies.
    let left = side * select(-1.0, 1.0, dot(side, e.mitres.xy) >= 0.0) * e.shape.y;
    let far = e.beyond + on * (DRAWN_OUT / length(throw_mm(e.ends.xy).px_per_mm * on));
    out.more = vec4<f32>(throw_mm(far + left).px - out.at, throw_mm(far - left).px - out.at);
    // The segment is drawn out likewise, along its own edges' direction.
    let back = 0.5 * (out.far.xy + out.far.zw);
    out.far += (back * (DRAWN_OUT / max(length(back), 1e-4))).xyxy;
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    // Everything from the pixel's corner.
    let pixel = (f.clip.xy - f.at - 0.5).xyxy;
    let near = f.near - pixel;
    let own = f.far - pixel;
    let next = f.more - pixel;
    let there = swept(next.xy, near.xy) + swept(near.xy, own.xy) + swept(own.xy, own.zw);
    let back = swept(own.zw, near.zw) + swept(near.zw, next.zw) + swept(next.zw, next.xy);
    return vec4<f32>(mix(f.ground, f.light, min(abs(there + back), 1.0)), 1.0);
}
