// A run of a stroke: up to three mild turns that follow one another, and the segments between them.
//
// Each edge is a height over the run's axis, made of straight pieces. A pixel sees the mean of that height over its own
// width, and takes its share as of a straight edge at that height and of the mean slope: exact in the turn's first order,
// within 0.013 of a pixel at 0.35 rad. The mitre stands in for the round join: what is rounded off is below 0.003 of the
// half width's square, in px.

struct Run {
    // xy: the corner before the first turn, zw: the first turn; mark mm.
    @location(0) ab: vec4<f32>,
    // xy: the second turn, zw: the third; mark mm. Where there are fewer, places on the way to the last corner.
    @location(1) cd: vec4<f32>,
    // xy: the corner after the last turn, mark mm; z: half the width, mm; w: how many turns there are.
    @location(2) e: vec4<f32>,
    // How much of the first (x) and of the last segment (y) is covered from here, 0 where a body takes it over.
    @location(3) covered: vec2<f32>,
    // The light without the mark, linear, 0 to 1 a channel; w unused.
    @location(4) ground: vec4<f32>,
    // The mark's own light, linear, 0 to 1 a channel; w unused.
    @location(5) light: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the first turn, px; zw: unit vector along the run.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // Where the run begins and ends: xyz of a line a x + b y + c, px from the first turn, positive within the run.
    @location(1) @interpolate(flat) start: vec3<f32>,
    @location(2) @interpolate(flat) end: vec3<f32>,
    // Of the upper (xy) and the lower edge (zw): its height above the first turn if the first slope went on, and that slope.
    @location(3) @interpolate(flat) base: vec4<f32>,
    // At each turn, of the upper (xy) and the lower edge (zw): how far along the axis, px, and what is added to the slope.
    @location(4) @interpolate(flat) first: vec4<f32>,
    @location(5) @interpolate(flat) second: vec4<f32>,
    @location(6) @interpolate(flat) third: vec4<f32>,
    // As in Run.
    @location(7) @interpolate(flat) ground: vec3<f32>,
    @location(8) @interpolate(flat) light: vec3<f32>,
}

// Over how much of an edge a pixel takes the mean, px: between a pixel's side and its diagonal, where the worst error of
// any direction is least.
const WINDOW: f32 = 1.1;

// An edge over the axis: five places, each its distance along (x) and its height (y), px, and the slopes between them.
struct Edge {
    a: vec2<f32>,
    b: vec2<f32>,
    c: vec2<f32>,
    d: vec2<f32>,
    e: vec2<f32>,
    slopes: vec4<f32>,
}

fn slope(from_px: vec2<f32>, to_px: vec2<f32>) -> f32 {
    return (to_px.y - from_px.y) / max(to_px.x - from_px.x, 1e-3);
}

fn edge(mm: array<vec2<f32>, 5>, across: array<vec2<f32>, 5>, origin: vec2<f32>, axes: mat2x2<f32>) -> Edge {
    var out: Edge;
    out.a = (throw_mm(mm[0] + across[0]).px - origin) * axes;
    out.b = (throw_mm(mm[1] + across[1]).px - origin) * axes;
    out.c = (throw_mm(mm[2] + across[2]).px - origin) * axes;
    out.d = (throw_mm(mm[3] + across[3]).px - origin) * axes;
    out.e = (throw_mm(mm[4] + across[4]).px - origin) * axes;
    out.slopes = vec4<f32>(slope(out.a, out.b), slope(out.b, out.c), slope(out.c, out.d), slope(out.d, out.e));
    return out;
}

// The edge's heights from `from_px` to `to_px` along the axis lie between these.
fn heights(edge: Edge, from_px: f32, to_px: f32) -> vec2<f32> {
    let start = edge.b.y + edge.slopes.x * (from_px - edge.b.x);
    let end = edge.d.y + edge.slopes.w * (to_px - edge.d.x);
    let inner = vec2<f32>(min(edge.b.y, start), max(edge.b.y, start));
    let c = edge.c.y + edge.slopes.y * (min(edge.c.x, to_px) - edge.c.x);
    let d = edge.d.y + edge.slopes.z * (min(edge.d.x, to_px) - edge.d.x);
    return vec2<f32>(min(min(inner.x, end), min(c, d)), max(max(inner.y, end), max(c, d)));
}

// Half the sum of two unit normals, as long as a mitre.
fn mitre(a: vec2<f32>, b: vec2<f32>) -> vec2<f32> {
    return (a + b) / (1.0 + dot(a, b));
}

// Tangent of half the turn between two unit normals.
fn half_turn(a: vec2<f32>, b: vec2<f32>) -> f32 {
    return abs(a.x * b.y - a.y * b.x) / (1.0 + dot(a, b));
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, r: Run) -> Fragment {
    let half_mm = r.e.z;
    let mm = array<vec2<f32>, 5>(r.ab.xy, r.ab.zw, r.cd.xy, r.cd.zw, r.e.xy);
    let n0 = perpendicular(normalize(mm[1] - mm[0]));
    let n1 = perpendicular(normalize(mm[2] - mm[1]));
    let n2 = perpendicular(normalize(mm[3] - mm[2]));
    let n3 = perpendicular(normalize(mm[4] - mm[3]));
    let last_mm = select(select(mm[3], mm[2], r.e.w < 2.5), mm[1], r.e.w < 1.5);

    let a = throw_mm(mm[0]);
    let b = throw_mm(mm[1]);
    let last = throw_mm(last_mm).px;
    let e = throw_mm(mm[4]);
    let first_px = b.px - a.px;
    let last_px = e.px - last;
    let from_start = first_px / max(length(first_px), 1e-6);
    let to_end = last_px / max(length(last_px), 1e-6);
    let axis = normalize(from_start + to_end);
    // Picture y points down, so the table's left may be either side: ask the thrown point. Up is where the left edge lies.
    let side = perpendicular(axis);
    let left = b.px_per_mm * n0 * half_mm;
    let up = side * select(-1.0, 1.0, dot(left, side) >= 0.0);
    let axes = mat2x2<f32>(axis, up);
    let across = array<vec2<f32>, 5>(
        n0 * half_mm,
        mitre(n0, n1) * half_mm,
        mitre(n1, n2) * half_mm,
        mitre(n2, n3) * half_mm,
        n3 * half_mm,
    );
    let opposite = array<vec2<f32>, 5>(-across[0], -across[1], -across[2], -across[3], -across[4]);
    let upper = edge(mm, across, b.px, axes);
    let lower = edge(mm, opposite, b.px, axes);

    let before_last = select(select(n2, n1, r.e.w < 2.5), n0, r.e.w < 1.5);
    let half_px = length(left);
    let wide = half_px + PAD;
    let start_px = extent(length(first_px), half_turn(n0, n1), r.covered.x, half_px);
    let end_px = extent(length(last_px), half_turn(before_last, n3), r.covered.y, half_px);
    let to_last = last - b.px;
    // The run's ends lie square to its first and last segment, and lean over the axis.
    let span = vec2<f32>(
        -start_px * dot(from_start, axis) - wide * abs(dot(from_start, side)),
        dot(to_last, axis) + end_px * dot(to_end, axis) + wide * abs(dot(to_end, side)),
    );
    let high = heights(upper, span.x, span.y);
    let low = heights(lower, span.x, span.y);
    let bounds = vec2<f32>(min(high.x, low.x), max(high.y, low.y)) + vec2<f32>(-PAD, PAD) * 1.1;

    var out: Fragment;
    let centre = b.px + up * (0.5 * (bounds.x + bounds.y));
    out.clip = triangle_over(vertex_index, centre, axis, span, 0.5 * (bounds.y - bounds.x));
    out.at = vec4<f32>(b.px, axis);
    out.start = vec3<f32>(from_start, start_px);
    out.end = vec3<f32>(-to_end, dot(to_last, to_end) + end_px);
    let flip = dot(up, side);
    let high_turns = (upper.slopes.yzw - upper.slopes.xyz) * flip;
    let low_turns = (lower.slopes.yzw - lower.slopes.xyz) * flip;
    let levels = vec2<f32>(upper.b.y - upper.slopes.x * upper.b.x, lower.b.y - lower.slopes.x * lower.b.x);
    out.base = vec4<f32>(levels.x, upper.slopes.x, levels.y, lower.slopes.x) * flip;
    out.first = vec4<f32>(upper.b.x, high_turns.x, lower.b.x, low_turns.x);
    out.second = vec4<f32>(upper.c.x, high_turns.y, lower.c.x, low_turns.y);
    out.third = vec4<f32>(upper.d.x, high_turns.z, lower.d.x, low_turns.z);
    out.ground = r.ground.rgb;
    out.light = r.light.rgb;
    if !a.lit || !b.lit || !e.lit {
        out.clip = nowhere();
    }
    return out;
}

// Adds a turn to both edges' mean heights (xy) and mean slopes (zw) about `x` on the axis, px.
fn turned(mean: vec4<f32>, x: f32, turn: vec4<f32>) -> vec4<f32> {
    let past = x - turn.xz;
    let seen = clamp(past + 0.5 * WINDOW, vec2<f32>(0.0), vec2<f32>(WINDOW));
    let climbed = seen * seen * (0.5 / WINDOW) + max(past - 0.5 * WINDOW, vec2<f32>(0.0));
    return mean + vec4<f32>(climbed, seen * (1.0 / WINDOW)) * turn.ywyw;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    let axis = f.at.zw;
    let side = perpendicular(axis);
    let x = dot(p, axis);
    var mean = vec4<f32>(f.base.xz + f.base.yw * x, f.base.yw);
    mean = turned(turned(turned(mean, x, f.first), x, f.second), x, f.third);
    let level = inverseSqrt(1.0 + mean.zw * mean.zw);
    // The mirrored picture has its left edge below: the sign of the difference tells.
    let inside = (mean.xy - dot(p, side)) * level;
    let upper = square_inside(inside.x, (side - axis * mean.z) * level.x);
    let lower = square_inside(inside.y, (side - axis * mean.w) * level.y);
    let within = dot(p, f.start.xy) + f.start.z >= 0.0 && dot(p, f.end.xy) + f.end.z >= 0.0;
    return vec4<f32>(mix(f.ground, f.light, select(0.0, abs(upper - lower), within)), 1.0);
}
