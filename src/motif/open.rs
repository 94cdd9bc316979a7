//! The open cloth with every piece unfolded on it.

use crate::finish::Edge;
use crate::geometry::{Cloth, Draft, Map, Outline, Point};
use crate::lay::{Lay, Placed};

/// The open cloth, right side up: origin at the corner of its cut end and the near selvedge, x along the selvedge, y
/// across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Open {}

/// A piece unfolded on the open cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Which of the lay's pieces.
    pub piece: usize,
    /// Its name.
    pub name: &'static str,
    /// The cut outline, both halves.
    pub cut: Outline<Open>,
    /// The sewn outline, both halves.
    pub sewn: Outline<Open>,
    /// The levels across it with their names, from side to side, the hem last.
    pub levels: Vec<(&'static str, [Point<Open>; 2])>,
    /// From the draft to its far half on the open cloth.
    pub open_from_draft: Map<Draft, Open>,
}

/// Every piece of a lay on the open cloth, in the order in which their lengths are cut off.
pub fn spread(lay: &Lay) -> Vec<Spread> {
    lay.placed.iter().enumerate().map(|(i, placed)| piece(lay, i, placed)).collect()
}

/// From the folded cloth of a length to the open cloth: the lower layer lies where it lay before it was folded.
pub fn open_from_cloth(lay: &Lay, length: usize) -> Map<Cloth, Open> {
    let first_mm = lay.fold.lines_mm(lay.cloth.width_mm).first().copied().unwrap_or(0.0);
    Map::translation(lay.length_mm * length as f64, first_mm)
}

fn piece(lay: &Lay, i: usize, placed: &Placed) -> Spread {
    let length = if lay.lengths > 1 { i } else { 0 };
    let open_from_draft = placed.cloth_from_draft.then(&open_from_cloth(lay, length));
    let centre = placed.piece.edges.first().map_or(Point::origin(), |edge| edge.sewn.start());
    let fold_mm = open_from_draft.transform_point(centre).y;
    let whole = |half: &Outline<Draft>| match placed.piece.on_fold {
        true => unfolded(&half.mapped(&open_from_draft), fold_mm),
        false => half.mapped(&open_from_draft),
    };
    let mirrored = |p: Point<Open>| Point::new(p.x, 2.0 * fold_mm - p.y);
    let mut levels: Vec<_> = placed.piece.levels.iter().map(|(name, ends)| (*name, ends[1])).collect();
    levels.extend(placed.piece.edge("hem").map(|edge| ("hem", centre_level(edge))));
    let side_to_side = |(name, side): (&'static str, Point<Draft>)| {
        let far = open_from_draft.transform_point(side);
        (name, [mirrored(far), far])
    };
    Spread {
        piece: i,
        name: placed.piece.name,
        cut: whole(&placed.piece.cut),
        sewn: whole(&placed.piece.sewn),
        levels: levels.into_iter().map(side_to_side).collect(),
        open_from_draft,
    }
}

/// The level of an edge at the centre, as far out as the edge reaches.
fn centre_level(edge: &Edge) -> Point<Draft> {
    let (a, b) = (edge.sewn.start(), edge.sewn.end());
    Point::new(a.x.max(b.x), if a.x < b.x { a.y } else { b.y })
}

/// A half on the fold with its mirror image: the corners off the fold, there and back.
fn unfolded(half: &Outline<Open>, fold_mm: f64) -> Outline<Open> {
    const ON_FOLD_MM: f64 = 1e-6;
    let corners = &half.corners;
    let on_fold = |p: &Point<Open>| (p.y - fold_mm).abs() < ON_FOLD_MM;
    // The outline goes along the fold in one run; it begins behind that run.
    let count = corners.len();
    let start = (0..count).find(|i| on_fold(&corners[*i]) && !on_fold(&corners[(i + 1) % count])).unwrap_or(0);
    let run: Vec<Point<Open>> = (0..count).map(|k| corners[(start + k) % count]).collect();
    let back = run.iter().rev().filter(|p| !on_fold(p)).map(|p| Point::new(p.x, 2.0 * fold_mm - p.y));
    let there = run.iter().copied();
    Outline { corners: there.clone().chain(back).collect() }
}

/// The parts of an outline, as thin upright strips: of each strip its middle, and from where to where across it lies in
/// the outline (even-odd). What is drawn in strips needs no triangles.
pub fn strips(outline: &Outline<Open>, wide_mm: f64) -> Vec<(f64, [f64; 2])> {
    let (low, high) = outline.bounds();
    let count = ((high.x - low.x) / wide_mm).ceil().max(0.0) as usize;
    let mut strips = Vec::new();
    for i in 0..count {
        let x_mm = low.x + (i as f64 + 0.5) * wide_mm;
        let crosses = |(a, b): (Point<Open>, Point<Open>)| {
            ((a.x <= x_mm) != (b.x <= x_mm)).then(|| a.y + (b.y - a.y) * (x_mm - a.x) / (b.x - a.x))
        };
        let mut met: Vec<f64> = outline.sides().filter_map(crosses).collect();
        met.sort_by(f64::total_cmp);
        strips.extend(met.chunks_exact(2).map(|pair| (x_mm, [pair[0], pair[1]])));
    }
    strips
}
