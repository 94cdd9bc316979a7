//! Lines of cloth and draft on paper: reduced to a stated scale, in the forms that they have in the light.
//!
//! Widths, dashes and arrows are a quarter of those on the cloth whatever the drawing's scale is, so that a kind of
//! line looks the same on every page, and as in the light.

use super::leaf::{At, CAPITAL, Ink, Leaf, MARGIN_MM, Mark, SMALL_MM, Words, width_mm};
use crate::geometry::{Cloth, Map, Outline, Point, Vector};
use crate::scene::{drawn, form};
use crate::stages::{Line, LineKind};

/// Share of the forms on the cloth that is taken on paper.
const FORM_SHARE: f64 = 0.25;

/// Distance of a nick's name from the nick.
const NICK_LABEL_OFF_MM: f64 = 1.0;

/// A name so much wider than the arrow of its piece would hide the piece's lines: it stands behind the piece, so far along.
const WIDE: f64 = 1.5;
const BEHIND: f64 = 1.5;

/// A label on top of another is lifted by a line, at most so often.
const MOST_LIFTS: usize = 8;

/// Scales with which a ruler can be used, from large to small.
const SCALES: [u32; 14] = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40];

/// The largest scale, as the `n` of `1 : n`, at which `size_mm` fits `room_mm`; the smallest there is where none does.
pub fn scale(size_mm: [f64; 2], room_mm: [f64; 2]) -> u32 {
    let fits = |n: &u32| (0..2).all(|i| size_mm[i] / f64::from(*n) <= room_mm[i]);
    SCALES.into_iter().find(fits).unwrap_or(SCALES[SCALES.len() - 1])
}

/// The map that draws the folded cloth with its origin at `corner`: fold at the person's side, so below on paper.
pub fn paper_from_cloth(corner: At, scale: u32) -> Map<Cloth, super::leaf::Paper> {
    let share = 1.0 / f64::from(scale);
    Map::new(share, 0.0, 0.0, -share, corner.x, corner.y)
}

/// Draws a line, already on paper, in the form of its kind.
pub fn line(leaf: &mut Leaf, kind: LineKind, points: &[At]) {
    if points.len() < 2 {
        return;
    }
    let form = form(kind);
    let enlarged: Vec<At> = points.iter().map(|p| *p / FORM_SHARE).collect();
    for part in drawn(&enlarged, &form) {
        let part = part.into_iter().map(|p| p * FORM_SHARE).collect();
        leaf.line(part, form.width_mm * FORM_SHARE, Ink::Black);
    }
}

/// Draws what must stay whole, then lines with their labels.
pub fn on_cloth(
    leaf: &mut Leaf,
    whole: &[Outline<Cloth>],
    lines: &[Line],
    paper_from_cloth: &Map<Cloth, super::leaf::Paper>,
) {
    let on_paper =
        |points: &[Point<Cloth>]| -> Vec<At> { points.iter().map(|p| paper_from_cloth.transform_point(*p)).collect() };
    for outline in whole {
        leaf.area(on_paper(&outline.corners), Ink::Pale);
    }
    for each in lines {
        line(leaf, each.kind, &on_paper(&each.points));
    }
    let across = || lines.iter().flat_map(|each| on_paper(&each.points)).map(|p| p.x);
    let [left_mm, right_mm] = [across().fold(f64::INFINITY, f64::min), across().fold(0.0, f64::max)];
    let mut taken: Vec<Words> = Vec::new();
    let (details, first): (Vec<&Line>, Vec<&Line>) = lines.iter().partition(|each| is_detail(each.kind));
    for each in first.into_iter().chain(details) {
        let Some(text) = each.label.as_deref().map(|label| shortened(each.kind, label)) else { continue };
        // At the near selvedge it stands outside of the cloth too, where no border is hatched and no piece lies.
        let is_near = each.kind == LineKind::Selvedge && each.points.iter().all(|p| p.y == 0.0);
        let kind = if is_near { LineKind::Fold } else { each.kind };
        let mut at = label_at(kind, &on_paper(&each.points), text);
        at.x = at.x.min(right_mm - width_mm(text, SMALL_MM) - 1.0).max(left_mm.min(MARGIN_MM));
        let mut words = Words { text: text.to_owned(), at, size_mm: SMALL_MM, ink: Ink::Black };
        let is_taken = |words: &Words| taken.iter().any(|other| other.touches(words));
        if is_detail(each.kind) && is_taken(&words) {
            continue;
        }
        for _ in 0..MOST_LIFTS {
            if is_taken(&words) {
                words.at.y -= SMALL_MM * 1.3;
            }
        }
        if !matches!(each.kind, LineKind::Notch | LineKind::Chalk) {
            clear(leaf, words.at, text);
        }
        taken.push(words);
    }
    leaf.marks.extend(taken.into_iter().map(Mark::Words));
}

/// What is written at a line: of a piece its name, since how it is cut is told beside the drawing.
fn shortened(kind: LineKind, label: &str) -> &str {
    if kind == LineKind::Grain { label.split(", ").next().unwrap_or(label) } else { label }
}

/// Whether what is written at a line stands beside the piece's own drawing too, so that it gives way where pieces lie close.
fn is_detail(kind: LineKind) -> bool {
    matches!(kind, LineKind::Level | LineKind::Notch | LineKind::Chalk)
}

/// Where a label stands: below the fold, and above the selvedge at its far end, outside of the cloth; over the middle of other
/// lines along the cloth; behind lines across it, at the fold, but a cut end's above the selvedge, where nothing is drawn, and a
/// nick's beyond its first point.
fn label_at(kind: LineKind, points: &[At], text: &str) -> At {
    let (first, last) = (points[0], points[points.len() - 1]);
    let (run, half_mm) = (last - first, width_mm(text, SMALL_MM) / 2.0);
    if matches!(kind, LineKind::Notch | LineKind::Chalk) {
        let drop_mm = if run.y > 0.0 { -NICK_LABEL_OFF_MM } else { NICK_LABEL_OFF_MM + SMALL_MM * CAPITAL };
        first + Vector::new(-half_mm, drop_mm)
    } else if run.x.abs() >= run.y.abs() {
        let left = if run.x > 0.0 { first } else { last };
        left + match kind {
            LineKind::Fold => Vector::new(run.x.abs() * 0.08, 3.6),
            LineKind::Selvedge => Vector::new(run.x.abs() * 0.92 - 2.0 * half_mm, -1.8),
            LineKind::Grain if 2.0 * half_mm > WIDE * run.x.abs() => {
                Vector::new(BEHIND * run.x.abs(), SMALL_MM * CAPITAL / 2.0)
            }
            _ => Vector::new(run.x.abs() / 2.0 - half_mm, -1.6),
        }
    } else if kind == LineKind::ClothEnd {
        last + Vector::new(0.0, -1.8)
    } else {
        first + Vector::new(1.3, run.y * 0.08 - 0.6)
    }
}

/// Left, top, right and bottom of a place on the page.
pub type Extents = [f64; 4];

/// Whether a place is free of lines and words.
pub fn is_free(leaf: &Leaf, place: Extents) -> bool {
    let runs_through = |side: &[At]| passes(place, [side[0], side[1]]);
    let [left, top, right, bottom] = place;
    leaf.marks.iter().all(|mark| match mark {
        Mark::Stroke(stroke) => !stroke.points.windows(2).any(runs_through),
        Mark::Words(words) => {
            let [l, t, r, b] = words.extents_mm();
            r < left || right < l || b < top || bottom < t
        }
        Mark::Area(..) | Mark::Picture(..) => true,
    })
}

/// Whether a line passes through a place (Liang and Barsky, *ACM Transactions on Graphics* 3, 1984).
fn passes([left, top, right, bottom]: Extents, [from, to]: [At; 2]) -> bool {
    let run = to - from;
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let borders = [(-run.x, from.x - left), (run.x, right - from.x), (-run.y, from.y - top), (run.y, bottom - from.y)];
    for (towards, off) in borders {
        if towards < 0.0 {
            enters = enters.max(off / towards);
        } else if towards > 0.0 {
            leaves = leaves.min(off / towards);
        } else if off < 0.0 {
            return false;
        }
    }
    enters <= leaves
}

/// Writes the name of a line beside it, where it runs into nothing; where there is no such place, on cleared paper.
pub fn name_beside(leaf: &mut Leaf, text: &str, [from, to]: [At; 2]) {
    /// How far along the line a name may stand, best first.
    const SHARES: [f64; 7] = [0.2, 0.5, 0.35, 0.65, 0.8, 0.08, 0.92];
    const OFF_MM: f64 = 1.2;
    /// A line that falls by more of its run is named at its side.
    const LEVEL: f64 = 0.3;
    let (width, height, run) = (width_mm(text, SMALL_MM), SMALL_MM * CAPITAL, to - from);
    let beside = |share: f64| {
        let at = from.lerp(to, share);
        if run.y.abs() < LEVEL * run.x.abs() {
            let off_mm = OFF_MM + width / 2.0 * (run.y / run.x).abs();
            [-off_mm, off_mm + height].map(|down| at + Vector::new(-width / 2.0, down))
        } else {
            let off_mm = OFF_MM + height / 2.0 * (run.x / run.y).abs();
            [off_mm, -off_mm - width].map(|right| at + Vector::new(right, height / 2.0))
        }
    };
    let places: Vec<At> = SHARES.into_iter().flat_map(beside).collect();
    let words = |at: &At| Words { text: text.to_owned(), at: *at, size_mm: SMALL_MM, ink: Ink::Black };
    let found = places.iter().find(|at| is_free(leaf, words(at).extents_mm()));
    if found.is_none() {
        clear(leaf, places[0], text);
    }
    leaf.marks.push(Mark::Words(words(found.unwrap_or(&places[0]))));
}

/// Clears the paper behind a line of small text.
pub fn clear(leaf: &mut Leaf, at: At, text: &str) {
    let (width, over, under) = (width_mm(text, SMALL_MM), SMALL_MM * 0.78, SMALL_MM * 0.24);
    let corner = |x: f64, y: f64| at + Vector::new(x, y);
    leaf.area(
        vec![corner(-0.4, -over), corner(width + 0.4, -over), corner(width + 0.4, under), corner(-0.4, under)],
        Ink::White,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        assert_eq!(scale([500.0, 1060.0], [110.0, 215.0]), 5);
        assert_eq!(scale([80.0, 100.0], [110.0, 215.0]), 1);
        assert_eq!(scale([1e6, 1.0], [110.0, 215.0]), 40);
    }
}
