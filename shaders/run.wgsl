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
    // The mark's light, linear, 0 to 1 a channel; w unused.
    @location(4) light: vec4<f32>,
}

struct Fragment {
    @builtin(position) clip: vec4<f32>,
    // xy: the first turn, px; zw: unit vector along the run.
    @location(0) @interpolate(flat) at: vec4<f32>,
    // xy: from where to where along that vector the run counts, px; zw: the slopes of the upper and the lower edge there.
    @location(1) @interpolate(flat) span: vec4<f32>,
    // x: the edge's height above the first turn if the first slope went on; yzw: how far along its turns lie; px.
    @location(2) @interpolate(flat) upper: vec4<f32>,
    @location(3) @interpolate(flat) lower: vec4<f32>,
    // What each turn adds to the slopes.
    @location(4) @interpolate(flat) turns: vec3<f32>,
    // As in Run.
    @location(5) @interpolate(flat) light: vec3<f32>,
}

// Five places of a line over the axis, each its distance along (x) and its height (y), px.
struct Climb {
    a: vec2<f32>,
    b: vec2<f32>,
    c: vec2<f32>,
    d: vec2<f32>,
    e: vec2<f32>,
}

// Where places lie that are `across` from those of the run, times `side`.
fn climb(mm: array<vec2<f32>, 5>, across: array<vec2<f32>, 5>, side: f32, origin: vec2<f32>, axes: mat2x2<f32>) -> Climb {
    return Climb(
        (throw_mm(mm[0] + across[0] * side).px - origin) * axes,
        (throw_mm(mm[1] + across[1] * side).px - origin) * axes,
        (throw_mm(mm[2] + across[2] * side).px - origin) * axes,
        (throw_mm(mm[3] + across[3] * side).px - origin) * axes,
        (throw_mm(mm[4] + across[4] * side).px - origin) * axes,
    );
}

fn slope(from_px: vec2<f32>, to_px: vec2<f32>) -> f32 {
    return (to_px.y - from_px.y) / max(to_px.x - from_px.x, 1e-3);
}

// The heights of an edge with these slopes from `span.x` to `span.y` along the axis lie between these.
fn heights(edge: Climb, slopes: vec4<f32>, span: vec2<f32>) -> vec2<f32> {
    let start = edge.b.y + slopes.x * (span.x - edge.b.x);
    let end = edge.d.y + slopes.w * (span.y - edge.d.x);
    let c = edge.c.y + slopes.y * (min(edge.c.x, span.y) - edge.c.x);
    let d = edge.d.y + slopes.z * (min(edge.d.x, span.y) - edge.d.x);
    let turns = vec3<f32>(edge.b.y, c, d);
    let low = min(min(start, end), min(turns.x, min(turns.y, turns.z)));
    return vec2<f32>(low, max(max(start, end), max(turns.x, max(turns.y, turns.z))));
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
    let side = perpendicular(axis);
    let axes = mat2x2<f32>(axis, side);
    let across = array<vec2<f32>, 5>(
        n0 * half_mm,
        mitre(n0, n1) * half_mm,
        mitre(n1, n2) * half_mm,
        mitre(n2, n3) * half_mm,
        n3 * half_mm,
    );
    let line = climb(mm, across, 0.0, b.px, axes);
    let upper = climb(mm, across, 1.0, b.px, axes);
    let lower = climb(mm, across, -1.0, b.px, axes);
    // An edge is as steep as the line, but for the run's getting wider or narrower.
    let slopes = vec4<f32>(slope(line.a, line.b), slope(line.b, line.c), slope(line.c, line.d), slope(line.d, line.e));
    let widening = 0.5 * ((upper.e.y - lower.e.y) - (upper.a.y - lower.a.y)) / max(line.e.x - line.a.x, 1e-3);

    let before_last = select(select(n2, n1, r.e.w < 2.5), n0, r.e.w < 1.5);
    let half_px = length(b.px_per_mm * n0) * half_mm;
    let wide = half_px + PAD;
    let start_px = extent(length(first_px), half_turn(n0, n1), r.covered.x, half_px);
    let end_px = extent(length(last_px), half_turn(before_last, n3), r.covered.y, half_px);
    // The neighbours end square to the first and the last segment, which lean over the axis.
    let span = vec2<f32>(
        -start_px * dot(from_start, axis) - wide * abs(dot(from_start, side)),
        dot(last - b.px, axis) + end_px * dot(to_end, axis) + wide * abs(dot(to_end, side)),
    );
    let high = heights(upper, slopes, span);
    let low = heights(lower, slopes, span);
    let bounds = vec2<f32>(min(high.x, low.x), max(high.y, low.y)) + vec2<f32>(-PAD, PAD) * 1.1;

    var out: Fragment;
    let centre = b.px + side * (0.5 * (bounds.x + bounds.y));
    out.clip = triangle_over(vertex_index, centre, axis, span, 0.5 * (bounds.y - bounds.x));
    out.at = vec4<f32>(b.px, axis);
    let start = slopes.x + vec2<f32>(widening, -widening);
    out.span = vec4<f32>(span, start);
    out.upper = vec4<f32>(upper.b.y - start.x * upper.b.x, upper.b.x, upper.c.x, upper.d.x);
    out.lower = vec4<f32>(lower.b.y - start.y * lower.b.x, lower.b.x, lower.c.x, lower.d.x);
    out.turns = slopes.yzw - slopes.xyz;
    out.light = r.light.rgb;
    if !a.lit || !b.lit || !e.lit {
        out.clip = nowhere();
    }
    return out;
}

@fragment
fn fragment(f: Fragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    let axis = f.at.zw;
    let x = dot(p, axis);
    var mean = vec4<f32>(vec2<f32>(f.upper.x, f.lower.x) + f.span.zw * x, f.span.zw);
    mean = bent(mean, x - vec2<f32>(f.upper.y, f.lower.y), f.turns.xx);
    mean = bent(mean, x - vec2<f32>(f.upper.z, f.lower.z), f.turns.yy);
    mean = bent(mean, x - vec2<f32>(f.upper.w, f.lower.w), f.turns.zz);
    let within = x >= f.span.x && x <= f.span.y;
    return lit(f.light, select(0.0, between(mean, p, axis), within));
}
