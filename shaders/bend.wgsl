// A bend of a stroke: the exact area of the two segments that meet there.
//
// A mitre stands in for the round join: what is rounded off is below 0.003 of the half width's square, in px.
//
// Of an EndFragment, first, second and third hold where the left (xy) and the right edge (zw) lie: at the bend, at one
// segment's far end, at the other's; px from the bend.

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> EndFragment {
    let end = end_px(e);
    let half_mm = e.shape.w;
    let on = normalize(e.beyond.xy - e.ends.xy);
    // Edges are drawn out past the far ends, so that they leave the pixel.
    let px_per_mm = length(end.px_per_mm * on);
    let one = e.ends.zw + end.dir * (DRAWN_OUT / px_per_mm);
    let other = e.beyond.xy + on * (DRAWN_OUT / px_per_mm);
    // The other segment runs the other way: its left lies on the right of the direction towards it.
    let other_left = -perpendicular(on) * half_mm;
    let mitre = e.beyond.zw * half_mm;
    let axis = normalize(end.axis - normalize(end.px_per_mm * on));
    let other_px = distance(throw_mm(e.beyond.xy).px, end.at);
    let span = vec2<f32>(
        -extent(other_px, e.shape.x, e.shape.z, end.half),
        extent(end.length, e.shape.x, e.shape.y, end.half),
    );
    // The two segments leave the axis by half the turn to either side.
    let wide = end.half + touched(perpendicular(axis)) + e.shape.x * max(-span.x, span.y);
    var out = end_fragment(vertex_index, e, end, axis, span, wide);
    out.first = edges_px(e.ends.xy, mitre, end.at);
    out.second = edges_px(one, end.left * half_mm, end.at);
    out.third = edges_px(other, other_left, end.at);
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    if !within(p, f) {
        return lit_by(f, 0.0);
    }
    // Everything from the pixel's corner.
    let pixel = (p - 0.5).xyxy;
    let near = f.first - pixel;
    let one = f.second - pixel;
    let other = f.third - pixel;
    let there = swept(other.xy, near.xy) + swept(near.xy, one.xy) + swept(one.xy, one.zw);
    let back = swept(one.zw, near.zw) + swept(near.zw, other.zw) + swept(other.zw, other.xy);
    return lit_by(f, min(abs(there + back), 1.0));
}
