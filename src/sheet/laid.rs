//! The lay as lines: the cloth, every piece where it lies, and what is left, for paper and for SVG alike.

use crate::geometry::{Cloth, Curve, Outline, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::stages::{Line, LineKind, stages};

/// Distance from the folded lengths to the rest of the cloth, which is drawn beside them.
const REST_OFF_MM: f64 = 60.0;

/// Everything there is to draw of a lay.
pub struct Laid {
    /// Fold, selvedges and cut ends of one folded length, with their measures.
    pub cloth: Vec<Line>,
    /// The pieces, from the bottom of the stack up.
    pub pieces: Vec<LaidPiece>,
    /// What is left.
    pub left_over: Vec<LaidLeftOver>,
    /// Where nothing may lie.
    pub kept_off: Vec<KeptOff>,
    /// Farthest corner of everything from the cloth's origin.
    pub far: Point<Cloth>,
}

/// A piece where it lies.
pub struct LaidPiece {
    /// Its name.
    pub name: &'static str,
    /// The same, with whose it is where several orders lie together.
    pub called: String,
    /// What is written on it.
    pub caption: String,
    /// How many pieces lie over it, where pieces lie on one another.
    pub depth: Option<usize>,
    /// How its cutting line is drawn: full for the piece on top, dashed for those under it.
    pub cut_as: LineKind,
    /// The cutting line, open where it lies on the fold.
    pub cut: Vec<Point<Cloth>>,
    /// The sewing lines of the edges that have a turning.
    pub sewn: Vec<Curve<Cloth>>,
    /// The nicks.
    pub notches: Vec<(LineKind, [Point<Cloth>; 2])>,
    /// What is marked on it: a dart's legs, a pocket's place.
    pub marks: Vec<[Point<Cloth>; 2]>,
    /// The grain arrow.
    pub grain: [Point<Cloth>; 2],
}

/// A rectangle of cloth that is left.
pub struct LaidLeftOver {
    /// Whether it is the rest of the length, drawn behind the cut end as it lies.
    pub rest: bool,
    /// Where it is drawn.
    pub outline: Outline<Cloth>,
    /// How many there are of it, and how large: "2 of 30 cm x 12 cm".
    pub caption: String,
}

/// A rectangle of cloth on which nothing may lie.
pub struct KeptOff {
    /// Why: "flaw", "border".
    pub name: &'static str,
    /// Where it is.
    pub outline: Outline<Cloth>,
}

impl KeptOff {
    /// Lines aslant all over it, so far apart along the cloth.
    pub fn hatch(&self, apart_mm: f64) -> Vec<[Point<Cloth>; 2]> {
        let (low, high) = self.outline.bounds();
        let [along_mm, across_mm] = (high - low).to_array();
        let lines = ((along_mm + across_mm) / apart_mm) as u32;
        let line = |i: u32| {
            // It enters at the head or the near edge, and leaves at the far edge or the foot.
            let off_mm = f64::from(i) * apart_mm - across_mm;
            let at = |y: f64| low + Vector::new(off_mm + y, y);
            [at((-off_mm).max(0.0)), at(across_mm.min(along_mm - off_mm))]
        };
        (1..=lines).map(line).collect()
    }
}

fn kept_off(lay: &Lay) -> Vec<KeptOff> {
    let on_the_lay = |outline: &Outline<Cloth>| outline.bounds().0.x < lay.length_mm;
    let border = lay.border().into_iter().map(|outline| KeptOff { name: "border", outline });
    border.chain(lay.flaws().into_iter().filter(on_the_lay).map(|outline| KeptOff { name: "flaw", outline })).collect()
}

impl Laid {
    /// Draws up a lay.
    pub fn of(lay: &Lay) -> Self {
        Self::with_rest(lay, lay.folded_width_mm)
    }

    /// The same with a rest drawn so wide: as the cloth is folded, or open as strips are laid into it.
    pub fn with_rest(lay: &Lay, rest_mm: f64) -> Self {
        let left_over = left_over(lay, rest_mm);
        let corner = Point::new(lay.length_mm, lay.folded_width_mm);
        let far = left_over.iter().fold(corner, |far, left| far.max(left.outline.bounds().1));
        Self {
            // The first stage is the cloth itself, folded, with nothing cut.
            cloth: stages(lay).swap_remove(0).lines,
            pieces: (0..lay.placed.len()).rev().map(|i| piece(lay, i)).collect(),
            left_over,
            kept_off: kept_off(lay),
            far,
        }
    }
}

fn piece(lay: &Lay, i: usize) -> LaidPiece {
    let placed = &lay.placed[i];
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let cut_edges = placed.piece.edges.iter().filter(|edge| edge.name != "fold");
    let runs = cut_edges.clone().map(|edge| edge.cut.iter().map(on_cloth).collect());
    let turned = cut_edges.filter(|edge| edge.allowance_mm > 0.0);
    let depth = (lay.fold == Fold::LengthsOnTheirCentre).then_some(i);
    let mut cut = Outline::joining(runs).corners;
    if !placed.piece.on_fold {
        cut.extend(cut.first().copied());
    }
    LaidPiece {
        name: placed.piece.name,
        called: placed.name(),
        caption: placed.caption(),
        depth,
        cut_as: if depth.unwrap_or(0) == 0 { LineKind::Cut } else { LineKind::CutLater },
        cut,
        sewn: turned.map(|edge| edge.sewn.mapped(&placed.cloth_from_draft)).collect(),
        notches: placed.piece.notches.iter().map(|n| (LineKind::of_notch(n), n.nick.map(|p| on_cloth(&p)))).collect(),
        marks: placed.piece.marks.iter().map(|(_, ends)| ends.map(|p| on_cloth(&p))).collect(),
        grain: placed.piece.grain.map(|p| on_cloth(&p)),
    }
}

/// What is left where it lies; the rest of the length is drawn behind the cut end, so wide.
fn left_over(lay: &Lay, rest_mm: f64) -> Vec<LaidLeftOver> {
    let show = |mm: f64| lay.system.show(mm);
    let place = |left: &crate::lay::LeftOver| {
        let across_mm = left.across_mm.min(rest_mm);
        let behind = || Point::new(lay.length_mm + REST_OFF_MM, lay.folded_width_mm.max(across_mm) - across_mm);
        let low = left.at.unwrap_or_else(behind);
        let (x, y) = (low.x + left.along_mm, low.y + across_mm);
        let count = if left.count > 1 { format!("{} of ", left.count) } else { String::new() };
        let drawn = if left.across_mm > rest_mm { ", drawn folded" } else { "" };
        LaidLeftOver {
            rest: left.at.is_none(),
            outline: Outline { corners: vec![low, Point::new(x, low.y), Point::new(x, y), Point::new(low.x, y)] },
            caption: format!("{count}{} x {}{drawn}", lay.along_in_words(left.along_mm), show(left.across_mm)),
        }
    };
    lay.left_over.iter().map(place).collect()
}
