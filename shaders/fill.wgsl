// One triangle of an area, grown until it reaches every pixel it touches; each fragment adds the exact area that the
// triangle covers of its pixel.
//
// The triangles of an area share their inner edges, so the shares of neighbours add up to one there without a seam,
// and its outer edge comes out exact, corners included.

struct Triangle {
    // xy: first corner, zw: second corner; mark mm.
    @location(0) ab: vec4<f32>,
    // Third corner; mark mm.
    @location(1) c: vec2<f32>,
    // How far the area's light differs from the ground's, linear, 0 to 1 a channel; w unused.
    @location(2) difference: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: first corner, zw: second corner; px.
    @location(0) @interpolate(flat) ab: vec4<f32>,
    // Third corner; px. The corners run so that the inside lies on the left of each edge, x to the right and y down.
    @location(1) @interpolate(flat) c: vec2<f32>,
    // As in Triangle.
    @location(2) @interpolate(flat) difference: vec3<f32>,
}

// The twelve coordinates of the grown triangle: each corner is drawn out to the mitre, or cut square where it is
// sharp, because a mitre would run far. `before`, `at`, `after` are corners in px in turning order, `second` tells
// which of the corner's two points is wanted.
fn grown(before: vec2<f32>, at: vec2<f32>, after: vec2<f32>, second: bool) -> vec2<f32> {
    let into = normalize(at - before);
    let on = normalize(after - at);
    // Outside lies opposite the inside, which is (-y, x) of the direction.
    let out_into = vec2<f32>(into.y, -into.x);
    let out_on = vec2<f32>(on.y, -on.x);
    let turn = dot(into, on);
    if turn > -0.5 {
        return at + (out_into + out_on) * (PAD / (1.0 + turn));
    }
    return at + PAD * select(out_into + into, out_on - on, second);
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, t: Triangle) -> Fragment {
    let corner = vertex_index % 6u;
    let a = throw_mm(t.ab.xy);
    var b = throw_mm(t.ab.zw);
    var c = throw_mm(t.c);
    let ab = b.px - a.px;
    let ac = c.px - a.px;
    if ab.x * ac.y - ab.y * ac.x < 0.0 {
        let swap = b;
        b = c;
        c = swap;
    }
    var out: Fragment;
    out.ab = vec4<f32>(a.px, b.px);
    out.c = c.px;
    out.difference = t.difference.rgb;
    // The six points run round the triangle; a strip takes them from both sides in turn.
    var round = array<u32, 6>(0u, 1u, 5u, 2u, 4u, 3u);
    let point = round[corner];
    let second = (point & 1u) == 1u;
    var px = grown(c.px, a.px, b.px, second);
    if point / 2u == 1u {
        px = grown(a.px, b.px, c.px, second);
    } else if point / 2u == 2u {
        px = grown(b.px, c.px, a.px, second);
    }
    out.clip = clip_from_px(px);
    let area = (b.px.x - a.px.x) * (c.px.y - a.px.y) - (b.px.y - a.px.y) * (c.px.x - a.px.x);
    let shortest = min(distance(a.px, b.px), min(distance(b.px, c.px), distance(c.px, a.px)));
    if !(a.lit || b.lit || c.lit) || shortest < 1e-5 || area < 1e-7 {
        out.clip = nowhere();
    }
    return out;
}

// Whether a whole pixel about `p` lies inside the edge from `a` to `b`.
fn well_inside(p: vec2<f32>, a: vec2<f32>, b: vec2<f32>) -> bool {
    let e = b - a;
    let q = p - a;
    let cross = e.x * q.y - e.y * q.x;
    return cross > 0.0 && cross * cross > 0.5 * dot(e, e);
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy;
    if well_inside(p, f.ab.xy, f.ab.zw) && well_inside(p, f.ab.zw, f.c) && well_inside(p, f.c, f.ab.xy) {
        return vec4<f32>(f.difference, 1.0);
    }
    let corner = p - 0.5;
    let a = f.ab.xy - corner;
    let b = f.ab.zw - corner;
    let c = f.c - corner;
    let share = clamp(swept(a, b) + swept(b, c) + swept(c, a), 0.0, 1.0);
    return vec4<f32>(f.difference * share, 1.0);
}
