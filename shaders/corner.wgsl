// A corner of a stroke, on one of its two segments: the union of both round lines, taken in small squares.
//
// Of an EndFragment, first.xy holds the way from the corner to the segment's other end, first.zw to the neighbour's far
// corner, mm; second the mm moved per px moved at the corner, columns for x and for y; third.x half the width, mm.

// Small squares along a pixel's side where it is divided.
const PARTS: i32 = 4;

// How a small square lies to a line with round ends.
struct Touch {
    // The share of the square that the line covers.
    share: f32,
    // Unit normal of the line's nearer edge, pointing out of the line, in the picture.
    normal: vec2<f32>,
}

// `v` is the square's centre and `line` the line's far end, both from its near end, in mm; `mm_per_px` the local scale.
fn touch(v: vec2<f32>, line: vec2<f32>, half_mm: f32, mm_per_px: vec4<f32>) -> Touch {
    let t = clamp(dot(v, line) / max(dot(line, line), 1e-12), 0.0, 1.0);
    let off = v - line * t;
    let off_mm = length(off);
    let away = select(perpendicular(normalize(line)), off / max(off_mm, 1e-9), off_mm > 1e-7);
    // mm moved away from the line per px moved along x and along y.
    let slope = vec2<f32>(dot(mm_per_px.xy, away), dot(mm_per_px.zw, away));
    let steep = length(slope);
    let squares_per_mm = f32(PARTS) / steep;
    // A round edge lies inside its tangent: over a chord of one square by 1/(24 r) of a square on average.
    let round = select(0.0, 1.0 / (24.0 * half_mm * squares_per_mm), t == 0.0 || t == 1.0);
    var out: Touch;
    out.normal = slope / steep;
    let near = square_inside((half_mm - off_mm) * squares_per_mm - round, out.normal);
    let far = square_inside((half_mm + off_mm) * squares_per_mm, out.normal);
    out.share = max(near + far - 1.0, 0.0);
    return out;
}

// The share of a small square that at least one of two lines covers. What both leave dark is the smaller of the two
// dark shares where their edges run alike, their product where they cross at a right angle (exact for edges along the
// square's sides), and the rest of their sum where they face one another.
fn either(a: Touch, b: Touch) -> f32 {
    let dark = vec2<f32>(1.0 - a.share, 1.0 - b.share);
    let product = dark.x * dark.y;
    let alike = dot(a.normal, b.normal);
    let parallel = select(max(dark.x + dark.y - 1.0, 0.0), min(dark.x, dark.y), alike > 0.0);
    return 1.0 - mix(product, parallel, abs(alike));
}

// The share of a pixel covered near a corner: the union of the own and the neighbouring line. `p` is the pixel's
// centre from the corner, px.
fn covered_at_corner(p: vec2<f32>, own: vec2<f32>, other: vec2<f32>, half_mm: f32, mm_per_px: vec4<f32>) -> f32 {
    var sum = 0.0;
    for (var i = 0; i < PARTS; i++) {
        for (var j = 0; j < PARTS; j++) {
            let q = p + (vec2<f32>(f32(i), f32(j)) + 0.5) / f32(PARTS) - 0.5;
            let v = mm_per_px.xy * q.x + mm_per_px.zw * q.y;
            sum += either(touch(v, own, half_mm, mm_per_px), touch(v, other, half_mm, mm_per_px));
        }
    }
    return sum / f32(PARTS * PARTS);
}

@vertex
fn vertex(@builtin(vertex_index) vertex_index: u32, e: End) -> EndFragment {
    let end = end_px(e);
    var out = end_fragment(vertex_index, e, end, extent(end.length, e.beyond.z, e.beyond.w, end.half));
    out.first = vec4<f32>(e.ends.zw - e.ends.xy, e.beyond.xy - e.ends.xy);
    let m = end.px_per_mm;
    out.second = vec4<f32>(m[1].y, -m[0].y, -m[1].x, m[0].x) / determinant(m);
    out.third = vec4<f32>(e.shape.x, 0.0, 0.0, 0.0);
    return out;
}

@fragment
fn fragment(f: EndFragment) -> @location(0) vec4<f32> {
    let p = f.clip.xy - f.at.xy;
    if !within(p, f) {
        return lit(f.light, 0.0);
    }
    return lit(f.light, covered_at_corner(p, f.first.xy, f.first.zw, f.third.x, f.second));
}
