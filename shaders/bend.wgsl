// A bend of a stroke: the exact area of the two segments that meet there.
//
// A mitre stands in for the round join: what is rounded off is below 0.003 of the half width's square, in px.

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the bend, px; zw: the unit vector along the stroke there.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // Where the left (xy) and the right edge (zw) lie: at the bend, at one segment's far end, at the other's; px from the
    // bend.
    @location(1) @interpolate(flat) near: vec4<f32>,
    @location(2) @interpolate(flat) one: vec4<f32>,
    @location(3) @interpolate(flat) other: vec4<f32>,
    // From where to where along the stroke the bend counts, px.
    @location(4) @interpolate(flat) span: vec2<f32>,
    // As in End.
    @location(5) @interpolate(flat) ground: vec3<f32>,
    @location(6) @interpolate(flat) light: vec3<f32>,
}

@vertex
fn vertex(@builtin(vertex_index) corner: u32, e: End) -> Fragment {
    let end = end_px(e);
    let half_mm = e.shape.w;
    let to_other = e.beyond.xy - e.ends.xy;
    let on = normalize(to_other);
    // Edges are drawn out past the far ends, so that they leave the pixel.
    let px_per_mm = length(end.px_per_mm * on);
    let one = e.ends.zw + end.dir * (DRAWN_OUT / px_per_mm);
    let other = e.beyond.xy + on * (DRAWN_OUT / px_per_mm);
    // The other segment runs the other way: its left lies on the right of the direction towards it.
    let other_left = -perpendicular(on) * half_mm;
    let mitre = e.beyond.zw * half_mm;
    var out: Fragment;
    out.near = vec4<f32>(throw_mm(e.ends.xy + mitre).px - end.at, throw_mm(e.ends.xy - mitre).px - end.at);
    out.one = vec4<f32>(throw_mm(one + end.left * half_mm).px - end.at, throw_mm(one - end.left * half_mm).px - end.at);
    out.other = vec4<f32>(throw_mm(other + other_left).px - end.at, throw_mm(other - other_left).px - end.at);
    let away = normalize(end.px_per_mm * on);
    let axis = normalize(end.axis - away);
    out.at = vec4<f32>(end.at, axis);
    let other_px = distance(throw_mm(e.beyond.xy).px, end.at);
    out.span = vec2<f32>(
        -extent(other_px, e.shape.x, e.shape.z, end.half),
        extent(end.length, e.shape.x, e.shape.y, end.half),
    );
    out.ground = e.ground.rgb;
    out.light = e.light.rgb;
    // The two segments leave the axis by half the turn to either side.
    out.clip = around(corner, end.at, axis, out.span, end.half + PAD + e.shape.x * max(-out.span.x, out.span.y));
    if !end.lit {
        out.clip = nowhere();
    }
    return out;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    // Everything from the pixel's corner.
    let pixel = (p - 0.5).xyxy;
    let near = f.near - pixel;
    let one = f.one - pixel;
    let other = f.other - pixel;
    let there = swept(other.xy, near.xy) + swept(near.xy, one.xy) + swept(one.xy, one.zw);
    let back = swept(one.zw, near.zw) + swept(near.zw, other.zw) + swept(other.zw, other.xy);
    let share = select(0.0, min(abs(there + back), 1.0), within(p, f.at.zw, f.span));
    return vec4<f32>(mix(f.ground, f.light, share), 1.0);
}
