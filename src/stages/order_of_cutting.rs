//! The order of cutting, found from the outlines by containment.

use super::lines::{SLIT, cut_inside};
use crate::geometry::{Cloth, Outline, Point, outline::distance_to_side_mm};
use crate::lay::{Lay, Placed};

/// Lines closer than this are the same line: half the finest tolerance of a thrown line (1 mm at neck and armhole,
/// Vilumsone-Nemes, *Industrial Cutting of Textile Materials*, table 13.1) is far more than this; flattening makes
/// less than a tenth of it.
const SAME_LINE_MM: f64 = 0.2;

/// An edge of the top piece that lies this far off the pieces below is its own.
const APART_MM: f64 = 1.0;

/// A piece leaves no more than this of the shared outline uncovered when it fills it.
const FILLED_MM2: f64 = 20.0;

/// One step at the stack.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Cut the outline that these pieces share, through all of them.
    CutTogether {
        /// The pieces, from the top down.
        pieces: Vec<usize>,
        /// New lines, not cut before.
        lines: Vec<Vec<Point<Cloth>>>,
        /// The edges of the top piece that these lines are and the pieces below have not.
        edges: Vec<&'static str>,
        /// Layers cut through.
        layers: u32,
        /// What must not be cut: the outlines of the pieces that the shared outline does not yet set free.
        whole: Vec<Outline<Cloth>>,
        /// The shared outline itself.
        shape: Outline<Cloth>,
    },
    /// Lift a piece that is free.
    Lift {
        /// The piece.
        piece: usize,
        /// What stays.
        below: Vec<usize>,
        /// Layers that stay.
        layers: u32,
    },
    /// Cut a lifted piece's own lines by itself.
    CutApart {
        /// The piece.
        piece: usize,
        /// Its own edges.
        edges: Vec<&'static str>,
    },
}

/// Layers of cloth in one piece of a stack of folded lengths.
const LAYERS_A_PIECE: u32 = 2;

impl Step {
    /// Layers that lie on the table.
    pub fn layers(&self) -> u32 {
        match self {
            Self::CutTogether { layers, .. } | Self::Lift { layers, .. } => *layers,
            Self::CutApart { .. } => LAYERS_A_PIECE,
        }
    }

    /// What must stay whole.
    pub fn whole(&self) -> Vec<Outline<Cloth>> {
        match self {
            Self::CutTogether { whole, .. } => whole.clone(),
            Self::Lift { .. } | Self::CutApart { .. } => Vec::new(),
        }
    }
}

/// Works down the stack.
pub fn steps(lay: &Lay) -> Vec<Step> {
    let outlines: Vec<Outline<Cloth>> = lay.placed.iter().map(Placed::cut).collect();
    let mut left: Vec<usize> = (0..lay.placed.len()).collect();
    let mut done: Vec<Outline<Cloth>> = Vec::new();
    let mut steps = Vec::new();
    while !left.is_empty() {
        let refs: Vec<&Outline<Cloth>> = left.iter().map(|i| &outlines[*i]).collect();
        let Some(shared) = Outline::union(&refs).into_iter().max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()))
        else {
            break;
        };
        let lines = new_lines(&shared, &done);
        let has_slit = !cut_inside(lay, &lay.placed[left[0]]).is_empty();
        if !lines.is_empty() {
            let slit = (has_slit && left.len() == 1).then_some(SLIT);
            steps.push(Step::CutTogether {
                edges: edges_apart(lay, &left, &lines).into_iter().chain(slit).collect(),
                lines,
                layers: LAYERS_A_PIECE * left.len() as u32,
                whole: left[1..].iter().map(|i| outlines[*i].clone()).collect(),
                shape: shared.clone(),
                pieces: left.clone(),
            });
        }
        done.push(shared.clone());
        let top = left.remove(0);
        if !left.is_empty() {
            let layers = LAYERS_A_PIECE * left.len() as u32;
            steps.push(Step::Lift { piece: top, below: left.clone(), layers });
        }
        let slit = (has_slit && !left.is_empty()).then_some(SLIT);
        if slit.is_some() || shared.area_outside_mm2(&outlines[top]) > FILLED_MM2 {
            let own = new_lines(&outlines[top], &done);
            let edges = edge_names(&lay.placed[top], &own).into_iter().chain(slit).collect();
            steps.push(Step::CutApart { piece: top, edges });
        }
    }
    steps
}

/// The parts of an outline that were not cut before and do not lie on the fold.
pub fn new_lines(outline: &Outline<Cloth>, done: &[Outline<Cloth>]) -> Vec<Vec<Point<Cloth>>> {
    let on_fold = |a: Point<Cloth>, b: Point<Cloth>| a.y.abs() < SAME_LINE_MM && b.y.abs() < SAME_LINE_MM;
    lines_without(outline, |a, b| on_fold(a, b) || on_any(done, a, b))
}

/// Whether a side lies on the edge of one of these.
pub fn on_any(outlines: &[Outline<Cloth>], a: Point<Cloth>, b: Point<Cloth>) -> bool {
    outlines.iter().any(|outline| outline.passes(a.lerp(b, 0.5), SAME_LINE_MM))
}

/// The lines of an outline without those of its sides.
pub fn lines_without(
    outline: &Outline<Cloth>,
    old: impl Fn(Point<Cloth>, Point<Cloth>) -> bool,
) -> Vec<Vec<Point<Cloth>>> {
    let sides: Vec<_> = outline.sides().collect();
    let flags: Vec<bool> = sides.iter().map(|(a, b)| old(*a, *b)).collect();
    let start = flags.iter().position(|old| *old).unwrap_or(0);
    let mut lines: Vec<Vec<Point<Cloth>>> = Vec::new();
    let mut open = false;
    for step in 0..sides.len() {
        let i = (start + step) % sides.len();
        if flags[i] {
            open = false;
            continue;
        }
        match lines.last_mut().filter(|_| open) {
            Some(line) => line.push(sides[i].1),
            None => lines.push(vec![sides[i].0, sides[i].1]),
        }
        open = true;
    }
    lines
}

/// The edges of the top piece, among these lines, that the pieces below don't share.
fn edges_apart(lay: &Lay, left: &[usize], lines: &[Vec<Point<Cloth>>]) -> Vec<&'static str> {
    let names = edge_names(&lay.placed[left[0]], lines);
    if left.len() == 1 {
        return names;
    }
    let below: Vec<Outline<Cloth>> = left[1..].iter().map(|i| lay.placed[*i].cut()).collect();
    let apart = |name: &&'static str| {
        let placed = &lay.placed[left[0]];
        placed.piece.edge(name).is_some_and(|edge| {
            let off =
                |p: &Point<_>| below.iter().any(|o| !o.passes(placed.cloth_from_draft.transform_point(*p), APART_MM));
            edge.cut.iter().any(off)
        })
    };
    names.into_iter().filter(apart).collect()
}

/// Names of the piece's edges on which these lines lie, the neck first.
fn edge_names(placed: &Placed, lines: &[Vec<Point<Cloth>>]) -> Vec<&'static str> {
    let on = |edge: &crate::finish::Edge| {
        let run: Vec<Point<Cloth>> = edge.cut.iter().map(|p| placed.cloth_from_draft.transform_point(*p)).collect();
        let middle = run[run.len() / 2].lerp(run[(run.len() - 1) / 2], 0.5);
        let near = |line: &Vec<Point<Cloth>>| {
            line.windows(2).any(|side| distance_to_side_mm(middle, (side[0], side[1])) < SAME_LINE_MM)
        };
        lines.iter().any(near)
    };
    placed.piece.edges.iter().rev().filter(|edge| edge.name != "fold" && on(edge)).map(|edge| edge.name).collect()
}
