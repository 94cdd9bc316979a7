// Common to every pipeline: from a mark's own millimetres to the projector's pixels, and how much of a pixel a
// straight edge leaves lit. Put in front of each pipeline's file.

// One frame of marks (the cloth's or the table's) on one table. 112 bytes, rewritten when the cloth is nudged.
struct Throw {
    // The three rows of the map from mark mm (relative to the marks' origin) to ideal pixels relative to the lens
    // centre, homogeneous: (u, v, w) = rows * (x, y, 1). xyz used; u and v in px times w, w without unit.
    row_u: vec4<f32>,
    row_v: vec4<f32>,
    row_w: vec4<f32>,
    // x: k1, y: k2, both in units of half the picture's diagonal; z: that half diagonal, in px;
    // w: the largest squared radius (in half diagonals) at which the lens still opens outwards.
    lens: vec4<f32>,
    // xy: the lens centre, in px from the picture's top left corner; zw: the picture's width and height, in px.
    picture: vec4<f32>,
    // What bright marks lie on, and dark ones; linear light, 0 to 1 a channel, w unused.
    under_bright: vec4<f32>,
    under_dark: vec4<f32>,
}

@group(0) @binding(0) var<uniform> table: Throw;

// Whether a pipeline's marks are darker than what they lie on.
override DARK: bool;

// The light of a pixel of which a mark of this light covers this share.
fn lit(light: vec3<f32>, share: f32) -> vec4<f32> {
    return vec4<f32>(mix(select(table.under_bright.rgb, table.under_dark.rgb, DARK), light, share), 1.0);
}

// Where a point lands.
struct Thrown {
    // In px from the picture's top left corner.
    px: vec2<f32>,
    // Thrown px moved per mm moved along x (first column) and y (second column).
    px_per_mm: mat2x2<f32>,
    // Whether the point lies in front of the projector and where its lens opens outwards.
    lit: bool,
}

// A point this near the projector's horizon (w is 1 at the table's origin) is not thrown.
const HORIZON: f32 = 1e-4;

// Throws a point given in mark mm: homography, then lens.
fn throw_mm(mm: vec2<f32>) -> Thrown {
    let h = vec3<f32>(mm, 1.0);
    let w = dot(table.row_w.xyz, h);
    let safe_w = max(w, HORIZON);
    let d = vec2<f32>(dot(table.row_u.xyz, h), dot(table.row_v.xyz, h)) / safe_w;
    let along_x = (vec2<f32>(table.row_u.x, table.row_v.x) - d * table.row_w.x) / safe_w;
    let along_y = (vec2<f32>(table.row_u.y, table.row_v.y) - d * table.row_w.y) / safe_w;

    let half_diagonal = table.lens.z;
    let r2 = dot(d, d) / (half_diagonal * half_diagonal);
    // Beyond the turning radius the polynomial folds back into the picture; the point is held outside instead.
    let held = min(r2, table.lens.w);
    let stretch = 1.0 + held * (table.lens.x + held * table.lens.y);
    let bend = 2.0 * (table.lens.x + 2.0 * held * table.lens.y) / (half_diagonal * half_diagonal);
    var out: Thrown;
    out.px = table.picture.xy + d * stretch;
    out.px_per_mm = mat2x2<f32>(
        along_x * stretch + d * (bend * dot(d, along_x)),
        along_y * stretch + d * (bend * dot(d, along_y)),
    );
    out.lit = w > HORIZON && r2 <= table.lens.w;
    return out;
}

// How far past an edge a pixel's centre may lie and the pixel still be touched: half a diagonal and a little, px.
const PAD: f32 = 0.75;
// How much wider than touched a body is drawn, px, so that rounding drops no pixel.
const GRAZE: f32 = 0.01;

// Clip position of a picture point in px.
fn clip_from_px(px: vec2<f32>) -> vec4<f32> {
    let ndc = px / table.picture.zw * 2.0 - 1.0;
    return vec4<f32>(ndc.x, -ndc.y, 0.0, 1.0);
}

// What is never drawn has all its corners here: a triangle without area. (A place outside the picture would do too, but
// costs a software driver its quick way through everything that is drawn beside it.)
fn nowhere() -> vec4<f32> {
    return vec4<f32>(0.0, 0.0, 0.0, 1.0);
}

// Whether anything within `reach` of a place can be seen, px.
fn in_picture(px: vec2<f32>, reach: f32) -> bool {
    return all(px > vec2<f32>(-reach)) && all(px < table.picture.zw + reach);
}

// How a unit square lies to an edge of this normal: x: 1 / steep; y: 1 / (2 steep flat); z: half the way over which
// the edge meets two opposite sides; w: half the square's extent along the normal. steep and flat are the larger
// and the smaller of the normal's parts. All lengths are multiples of the normal's, which need not be 1.
fn slant_of(normal: vec2<f32>) -> vec4<f32> {
    let n = abs(normal);
    let steep = max(n.x, n.y);
    let flat = max(min(n.x, n.y), 1e-6);
    let corner = 0.5 / (steep * flat);
    return vec4<f32>(2.0 * flat * corner, corner, 0.5 * (steep - flat), 0.5 * (steep + flat));
}

// The share of a unit square that lies inside a half-plane: `inside` is how far the square's centre lies inside the
// edge, in lengths of the normal that `slant` was made of. Exact: a trapezium while the edge meets two opposite sides,
// otherwise the square with a triangle cut off, or that triangle.
fn square_within(inside: f32, slant: vec4<f32>) -> f32 {
    let off = abs(inside);
    let corner = max(slant.w - off, 0.0);
    let lit = select(0.5 - corner * corner * slant.y, off * slant.x, off <= slant.z);
    return 0.5 + select(-lit, lit, inside > 0.0);
}

// The same for an edge's normal.
fn square_inside(inside: f32, normal: vec2<f32>) -> f32 {
    return square_within(inside, slant_of(normal));
}

// Integral of clamp(x, 0, 1) from 0 to x.
fn clamped(x: f32) -> f32 {
    let c = clamp(x, 0.0, 1.0);
    return 0.5 * c * c + max(x - 1.0, 0.0);
}

// One edge's part of the area inside the unit square: the integral of clamp(x, 0, 1) dy along the edge where y lies
// between 0 and 1 (Green's theorem for the field clamp(x)). Corners in px from the square's corner.
fn swept(a: vec2<f32>, b: vec2<f32>) -> f32 {
    let y0 = clamp(a.y, 0.0, 1.0);
    let y1 = clamp(b.y, 0.0, 1.0);
    if y0 == y1 {
        return 0.0;
    }
    let slope = (b.x - a.x) / (b.y - a.y);
    let x0 = a.x + (y0 - a.y) * slope;
    let x1 = a.x + (y1 - a.y) * slope;
    let dx = x1 - x0;
    if abs(dx) < 1e-3 {
        return (y1 - y0) * clamp(0.5 * (x0 + x1), 0.0, 1.0);
    }
    return (y1 - y0) * (clamped(x1) - clamped(x0)) / dx;
}
