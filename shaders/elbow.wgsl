// A plain corner of a stroke: the exact area of the two segments that meet there, mitred inside and round outside.

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the corner, px; zw: where the round ends on the segment, px from the corner.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // xyz: where the elbow ends on the segment and on the neighbour, a line a x + b y + c, px from the corner, positive
    // within the elbow; w: x and y of how far the round reaches out a quarter of a turn from its beginning, px.
    @location(1) @interpolate(flat) own_end: vec4<f32>,
    @location(2) @interpolate(flat) other_end: vec4<f32>,
    // xy: the inner corner, zw: where the round begins on the neighbour; px from the corner.
    @location(3) @interpolate(flat) near: vec4<f32>,
    // Where the segment's inner (xy) and outer edge (zw) lie past its other end, and the neighbour's; px from the corner.
    @location(4) @interpolate(flat) own: vec4<f32>,
    @location(5) @interpolate(flat) other: vec4<f32>,
    // The round's form, as round_form tells.
    @location(6) @interpolate(flat) form: vec4<f32>,
    // As in End.
    @location(7) @interpolate(flat) light: vec3<f32>,
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> Fragment {
    let end = end_px(e);
    let half_mm = e.shape.x;
    let on = normalize(e.beyond.xy - e.ends.xy);
    // The neighbour runs towards the corner: its left lies on the right of the direction towards its far end.
    let other_left = -perpendicular(on);
    let inward = select(-half_mm, half_mm, dot(end.left, on) > 0.0);
    let neighbour = throw_mm(e.beyond.xy);
    let on_px = neighbour.px - end.at;
    let other_length = length(on_px);
    let other_axis = on_px / max(other_length, 1e-6);

    let back = e.beyond.z;
    let turn = vec2<f32>(1.0 - back * back, 2.0 * back) / (1.0 + back * back);
    let start = throw_mm(e.ends.xy - other_left * inward).px - end.at;
    let finish = throw_mm(e.ends.xy - end.left * inward).px - end.at;
    let out_px = (finish - start * turn.x) / turn.y;
    let tip = (start + finish) * (0.5 * sqrt(1.0 + back * back));
    let wide = max(max(length(start), length(finish)), length(tip)) + PAD;
    let own_arm = extent(end.length, back, e.beyond.w, end.half);
    let other_arm = extent(other_length, back, e.shape.y, end.half);

    var out: Fragment;
    out.at = vec4<f32>(end.at, finish);
    out.own_end = vec4<f32>(-end.axis, own_arm, out_px.x);
    out.other_end = vec4<f32>(-other_axis, other_arm, out_px.y);
    let mitre = (end.left + other_left) / (1.0 + dot(end.left, other_left));
    out.near = vec4<f32>(throw_mm(e.ends.xy + mitre * inward).px - end.at, start);
    // Edges are drawn out past the far ends, so that they leave the pixel.
    out.own = edges_px(e.ends.zw, end.left * inward, end.at) + (end.axis * DRAWN_OUT).xyxy;
    out.other = edges_px(e.beyond.xy, other_left * inward, end.at) + (other_axis * DRAWN_OUT).xyxy;
    out.form = round_form(2.0 * atan(back), end.half);
    out.light = e.light.rgb;

    let axis = normalize(end.axis - other_axis);
    let axes = mat2x2<f32>(axis, perpendicular(axis));
    let own_at = (end.axis * own_arm) * axes;
    let own_side = abs((perpendicular(end.axis) * wide) * axes);
    let other_at = (other_axis * other_arm) * axes;
    let other_side = abs((perpendicular(other_axis) * wide) * axes);
    let outside = (tip * (wide / max(length(tip), 1e-6))) * axes;
    let low = min(min(own_at - own_side, other_at - other_side), outside);
    let high = max(max(own_at + own_side, other_at + other_side), outside);
    let centre = end.at + perpendicular(axis) * (0.5 * (low.y + high.y));
    out.clip = triangle_over(vertex_index, centre, axis, vec2<f32>(low.x, high.x), 0.5 * (high.y - low.y));
    if !end.lit || !neighbour.lit {
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
    let finish = f.at.zw - pixel;
    let own = f.own - pixel.xyxy;
    let other = f.other - pixel.xyxy;
    let inside = swept(own.xy, near.xy) + swept(near.xy, other.xy) + swept(other.xy, other.zw);
    let round = arc(-pixel, f.near.zw, vec2<f32>(f.own_end.w, f.other_end.w), finish, f.form);
    let outside = swept(other.zw, near.zw) + round + swept(finish, own.zw) + swept(own.zw, own.xy);
    let within = dot(p, f.own_end.xy) + f.own_end.z >= 0.0 && dot(p, f.other_end.xy) + f.other_end.z >= 0.0;
    return lit(f.light, select(0.0, min(abs(inside + outside), 1.0), within));
}
