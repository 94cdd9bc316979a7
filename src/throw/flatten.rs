//! Straight enough, and not straighter: cuts long edges where the lens bows them and merges corners that are closer
//! to a straight line than any pixel can show.
//!
//! Both tolerances are in thrown pixels, turned into millimetres at the picture's finest place, so the result
//! holds wherever the cloth is nudged to.

use super::Bed;
use crate::geometry::{Pixel, Point, Vector};
use crate::table::Table;

/// A chord may lie this far from the bowed line: smaller than the 0.0045 of light that an 8-bit step shows.
const BOW_PX: f64 = 0.003;
/// A merged corner may lie this far from the line that replaces it: 0.006 mm at 1.6 px a mm.
const MERGE_PX: f64 = 0.01;
/// Longest edge in any case: one that reaches behind the projector is dropped whole, so edges must be short.
const LONGEST_MM: f64 = 200.0;
/// Corners looked at in one merge; bounds the work on a long straight row of points.
const MERGE_CORNERS: usize = 64;
/// Samples along each side of the picture when its finest place and strongest bow are looked for.
const SAMPLES: u32 = 12;

/// How fine marks must be on a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Longest edge.
    pub longest_mm: f64,
    /// How far a corner may move.
    pub merge_mm: f64,
    /// The picture's finest pixel; 0 where no pixel lights the table.
    pub pixel_mm: f64,
}

impl Fineness {
    /// Looks over the whole picture of a table.
    pub fn of(bed: Bed<'_>) -> Self {
        let table = bed.table;
        let [w, h] = table.picture_px.map(f64::from);
        let (mut mm_per_px, mut bow_per_px2) = (f64::INFINITY, 0.0_f64);
        for i in 0..=SAMPLES {
            for j in 0..=SAMPLES {
                let at = Point::new(w * f64::from(i) / f64::from(SAMPLES), h * f64::from(j) / f64::from(SAMPLES));
                if let Some(fine) = finest_mm_per_px(table, at) {
                    mm_per_px = mm_per_px.min(fine);
                }
                bow_per_px2 = bow_per_px2.max(bow(table, at));
            }
        }
        if !mm_per_px.is_finite() {
            return Self { longest_mm: LONGEST_MM, merge_mm: 0.0, pixel_mm: 0.0 };
        }
        if let Some(stand) = table.stand {
            mm_per_px *= (stand.height_mm - bed.stack_mm) / stand.height_mm;
        }
        let longest_px = if bow_per_px2 > 0.0 { (8.0 * BOW_PX / bow_per_px2).sqrt() } else { f64::INFINITY };
        let longest_mm = (longest_px * mm_per_px).min(LONGEST_MM);
        Self { longest_mm, merge_mm: MERGE_PX * mm_per_px, pixel_mm: mm_per_px }
    }
}

/// The smaller singular value of the map from pixels to mm: how little the table point moves for a pixel.
fn finest_mm_per_px(table: &Table, at: Point<Pixel>) -> Option<f64> {
    let [x, y] = table.mm_per_px(at)?;
    let (sum, det) = (x.square_length() + y.square_length(), x.cross(y));
    let root = (sum * sum - 4.0 * det * det).max(0.0).sqrt();
    Some(((sum - root) / 2.0).max(0.0).sqrt())
}

/// How strongly the lens bows a straight line at an ideal pixel: sideways second derivative, per pixel, the largest
/// over four directions.
fn bow(table: &Table, at: Point<Pixel>) -> f64 {
    const STEP_PX: f64 = 8.0;
    if table.lens.is_none() {
        return 0.0;
    }
    let s = table.half_diagonal_px();
    let mut worst = 0.0_f64;
    for k in 0..4 {
        let (sin, cos) = (std::f64::consts::FRAC_PI_4 * f64::from(k)).sin_cos();
        let d = Vector::new(cos, sin) * STEP_PX;
        let ends = (table.lens.thrown(at - d, s), table.lens.thrown(at, s), table.lens.thrown(at + d, s));
        if let (Some(a), Some(m), Some(b)) = ends {
            let chord = b - a;
            worst = worst.max(((m - a).cross(chord) / chord.length()).abs() * 2.0 / (STEP_PX * STEP_PX));
        }
    }
    worst
}

/// The same line with as few corners as the picture needs and no edge longer than it bears.
///
/// A closed line does not repeat its first point, neither in nor out.
pub fn flatten<F>(points: &[Point<F>], closed: bool, fineness: Fineness) -> Vec<Point<F>> {
    let mut ring: Vec<Point<F>> = points.iter().copied().filter(|p| p.x.is_finite() && p.y.is_finite()).collect();
    if closed && let Some(&first) = ring.first() {
        ring.push(first);
    }
    let kept = merge(&ring, fineness.merge_mm);
    let mut out = Vec::with_capacity(kept.len());
    for pair in kept.windows(2) {
        let parts = ((pair[1] - pair[0]).length() / fineness.longest_mm).ceil().max(1.0);
        out.extend((0..parts as usize).map(|i| pair[0].lerp(pair[1], i as f64 / parts)));
    }
    if !closed {
        out.extend(kept.last());
    }
    out
}

/// Leaves out every corner that lies within `tolerance_mm` of the edge that replaces it.
fn merge<F>(points: &[Point<F>], tolerance_mm: f64) -> Vec<Point<F>> {
    let Some(&first) = points.first() else { return Vec::new() };
    let mut kept = vec![first];
    let mut from = 0;
    while from + 1 < points.len() {
        let mut to = from + 1;
        let last = (from + MERGE_CORNERS).min(points.len() - 1);
        while to < last && replaces(&points[from..=to + 1], tolerance_mm) {
            to += 1;
        }
        kept.push(points[to]);
        from = to;
    }
    kept
}

/// Whether the edge from the first to the last of these corners can stand for all of them.
fn replaces<F>(corners: &[Point<F>], tolerance_mm: f64) -> bool {
    let (a, b) = (corners[0], corners[corners.len() - 1]);
    let edge = b - a;
    let length2 = edge.square_length();
    corners[1..corners.len() - 1].iter().all(|&p| {
        let t = if length2 > 0.0 { ((p - a).dot(edge) / length2).clamp(0.0, 1.0) } else { 0.0 };
        (p - a - edge * t).length() <= tolerance_mm
    })
}
