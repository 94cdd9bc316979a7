//! The open cloth with every piece unfolded on it.

use crate::finish::Piece;
use crate::geometry::{Cloth, Draft, Map, Outline, Point, Vector};
use crate::lay::{Lay, Placed};

/// The end of a line lies this near to the edge that it goes to.
const ON_EDGE_MM: f64 = 0.5;

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
    /// How far from the near selvedge its centre line lies, for a piece with levels.
    pub centre_mm: Option<f64>,
    /// From the draft to its far half on the open cloth.
    pub open_from_draft: Map<Draft, Open>,
}

/// Every piece of a lay on the open cloth, in the order in which their lengths are cut off. One that is cut in two layers
/// lies there twice, the second its mirror image.
pub fn spread(lay: &Lay) -> Vec<Spread> {
    let twice = lay.placed.iter().enumerate().flat_map(|(i, placed)| {
        let length = if lay.lengths > 1 { i } else { 0 };
        let upper = placed.cloth_from_draft.then(&open_from_cloth(lay, length));
        let lower = layer_below(lay, placed, &upper).map(|below| upper.then(&below));
        [Some(upper), lower].into_iter().flatten().map(move |open_from_draft| piece(i, placed, open_from_draft))
    });
    twice.collect()
}

/// From the layer of a piece to the other that is cut with it, mirrored about their fold; none for one on the fold itself, or
/// where one is cut.
fn layer_below(lay: &Lay, placed: &Placed, open_from_draft: &Map<Draft, Open>) -> Option<Map<Open, Open>> {
    if placed.piece.on_fold || placed.gives < 2 {
        return None;
    }
    let width_mm = lay.cloth.width_mm;
    let (low, high) = placed.piece.cut.mapped(open_from_draft).bounds();
    let middle_mm = (low.y + high.y) / 2.0;
    let folded = |open_mm: f64| lay.fold.folded_mm(width_mm, open_mm);
    let lies_there = |fold_mm: &f64| {
        let other_mm = 2.0 * fold_mm - middle_mm;
        (0.0..=width_mm).contains(&other_mm) && (folded(other_mm) - folded(middle_mm)).abs() < ON_EDGE_MM
    };
    let fold_mm = lay.fold.lines_mm(width_mm).into_iter().find(lies_there)?;
    Some(Map::new(1.0, 0.0, 0.0, -1.0, 0.0, 2.0 * fold_mm))
}

/// From the folded cloth of a length to the open cloth: the lower layer lies where it lay before it was folded.
pub fn open_from_cloth(lay: &Lay, length: usize) -> Map<Cloth, Open> {
    let first_mm = lay.fold.lines_mm(lay.cloth.width_mm).first().copied().unwrap_or(0.0);
    Map::translation(lay.length_mm * length as f64, first_mm)
}

fn piece(i: usize, placed: &Placed, open_from_draft: Map<Draft, Open>) -> Spread {
    let centre = placed.piece.edges.first().map_or(Point::origin(), |edge| edge.sewn.start());
    let fold_mm = open_from_draft.transform_point(centre).y;
    let has_levels = !placed.piece.levels.is_empty();
    let centre_mm = match placed.piece.on_fold {
        true => fold_mm,
        // Drawn whole, it counts outwards from its centre.
        false => open_from_draft.transform_point(Point::origin()).y,
    };
    let whole = |half: &Outline<Draft>| match placed.piece.on_fold {
        true => unfolded(&half.mapped(&open_from_draft), fold_mm),
        false => half.mapped(&open_from_draft),
    };
    let mirrored = |p: Point<Open>| Point::new(p.x, 2.0 * fold_mm - p.y);
    let side_to_side = |(name, ends): (&'static str, [Point<Draft>; 2])| {
        let [near, far] = ends.map(|end| open_from_draft.transform_point(end));
        (name, [if placed.piece.on_fold { mirrored(far) } else { near }, far])
    };
    let levels = placed.piece.levels.iter().copied();
    let hem = hem_level(&placed.piece).map(|ends| ("hem", ends));
    Spread {
        piece: i,
        name: placed.piece.name,
        cut: whole(&placed.piece.cut),
        sewn: whole(&placed.piece.sewn),
        levels: levels.chain(hem).map(side_to_side).collect(),
        centre_mm: has_levels.then_some(centre_mm),
        open_from_draft,
    }
}

impl Spread {
    /// The piece moved on the cloth.
    #[must_use]
    pub fn moved(&self, by_mm: Vector<Open>) -> Self {
        let by = Map::<Open, Open>::translation(by_mm.x, by_mm.y);
        Self {
            cut: self.cut.mapped(&by),
            sewn: self.sewn.mapped(&by),
            levels: self.levels.iter().map(|(name, ends)| (*name, ends.map(|end| end + by_mm))).collect(),
            centre_mm: self.centre_mm.map(|centre_mm| centre_mm + by_mm.y),
            open_from_draft: self.open_from_draft.then(&by),
            ..self.clone()
        }
    }
}

/// The level of a hem: where it hangs lowest, from as far in as it reaches to as far out.
fn hem_level(piece: &Piece) -> Option<[Point<Draft>; 2]> {
    let hems = piece.edges.iter().filter(|edge| edge.name == "hem");
    let ends: Vec<Point<Draft>> = hems.flat_map(|edge| [edge.sewn.start(), edge.sewn.end()]).collect();
    let (first, last) = (ends.iter().copied().reduce(Point::min)?, ends.iter().copied().reduce(Point::max)?);
    Some([Point::new(first.x, last.y), last])
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
