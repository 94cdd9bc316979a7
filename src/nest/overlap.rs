//! How much two outlines overlap, near enough to climb down by.
//!
//! After Gardeyn, Vanden Berghe and Wauters, *An open-source heuristic to reboot 2D nesting research*
//! (arXiv:2509.13329): every outline carries a few circles inside of it, and every pair of circles counts by how deep
//! they lie in one another. Below a hundredth of the outline's size the depth fades and never becomes nought, so that
//! there is always a way out.

use jagua_rs::geometry::primitives::SPolygon;

/// Depths below this share of the larger outline fade.
const FADES_SHARE: f32 = 0.01;

/// The overlap of two outlines that collide; more than nought.
pub fn overlap(a: &SPolygon, b: &SPolygon) -> f64 {
    let fades = FADES_SHARE * a.diameter().max(b.diameter());
    let (circles, hulls) = (a.surrogate(), b.surrogate());
    let mut sum = 0.0_f32;
    for p in &circles.poles {
        for q in &hulls.poles {
            let (dx, dy) = (p.center.0 - q.center.0, p.center.1 - q.center.1);
            let depth = p.radius + q.radius - (dx * dx + dy * dy).sqrt();
            let faded = if depth >= fades { depth } else { fades * fades / (2.0 * fades - depth) };
            sum += faded * p.radius.min(q.radius);
        }
    }
    let size = (circles.convex_hull_area * hulls.convex_hull_area).sqrt().sqrt();
    f64::from((sum + fades * fades).sqrt() * size)
}
