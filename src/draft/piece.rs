//! A piece by its sewn lines: edges in order, levels and marks, and where it is notched.

use crate::geometry::{Curve, Draft as Frame, Outline, Point};

/// One piece by its sewn lines.
#[derive(Clone, Debug, PartialEq)]
pub struct SewnPiece {
    /// Its name: front, back.
    pub name: &'static str,
    /// How many are cut.
    pub count: u32,
    /// Whether its first edge lies on a fold, so that half of it is drawn.
    pub on_fold: bool,
    /// Whether it is cut in pairs, each the mirror of the other: left and right.
    pub paired: bool,
    /// Its edges in order around it, the outside to the right (anticlockwise as seen, y down).
    pub edges: Vec<SewnEdge>,
    /// Levels to be marked across it: name and y.
    pub levels_mm: Vec<(&'static str, f64)>,
    /// Straight lines to be marked on it: name and ends.
    pub marks: Vec<(&'static str, [Point<Frame>; 2])>,
    /// Places to be notched.
    pub notches: Vec<NotchPlace>,
    /// Darts, whose mouths are no part of the sewn length of their edge.
    pub darts: Vec<DartPlace>,
    /// The strip that it is cut up into; none where it stays a piece.
    pub strip: Option<BiasStrip>,
    /// What to write under `[garment]` for pieces of half its width; none where it can't be had narrower so.
    pub narrower: Option<&'static str>,
}

/// One strip on the bias, out of a square that is cut along its diagonal, sewn to a tube and cut round and round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BiasStrip {
    /// Its width.
    pub width_mm: f64,
    /// How much of it is needed.
    pub length_mm: f64,
    /// How many rows of its width lie beside one another on the tube.
    pub rows: u32,
    /// The turning of the two seams of the tube.
    pub seam_mm: f64,
}

/// Where a dart is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DartPlace {
    /// The edge that it opens into.
    pub edge: &'static str,
    /// From where to where along the edge its mouth reaches, from leg to leg.
    pub mouth_mm: [f64; 2],
    /// Where it runs out.
    pub point: Point<Frame>,
}

/// One edge of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct SewnEdge {
    /// Its name: fold, hem, side, armhole, shoulder, neck.
    pub name: &'static str,
    /// Its sewn line.
    pub curve: Curve<Frame>,
    /// The turning outside of it.
    pub allowance_mm: f64,
}

/// Where a notch goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotchPlace {
    /// The edge.
    pub edge: &'static str,
    /// How far along the edge.
    pub along_mm: f64,
    /// How many nicks side by side: one, or two for the back of an armhole.
    pub nicks: u32,
    /// What is to meet there.
    pub meets: &'static str,
}

impl SewnEdge {
    /// An edge with its turning.
    pub fn new(name: &'static str, curve: Curve<Frame>, allowance_mm: f64) -> Self {
        Self { name, curve, allowance_mm }
    }
}

impl SewnPiece {
    /// A piece whose first edge lies on the fold.
    pub fn on_fold(name: &'static str, edges: Vec<SewnEdge>) -> Self {
        Self { on_fold: true, ..Self::single(name, edges) }
    }

    /// A left and a right piece.
    pub fn pair(name: &'static str, edges: Vec<SewnEdge>) -> Self {
        Self { count: 2, paired: true, ..Self::single(name, edges) }
    }

    /// One piece, drawn whole.
    pub fn single(name: &'static str, edges: Vec<SewnEdge>) -> Self {
        Self {
            name,
            count: 1,
            on_fold: false,
            paired: false,
            edges,
            levels_mm: Vec::new(),
            marks: Vec::new(),
            notches: Vec::new(),
            darts: Vec::new(),
            strip: None,
            narrower: None,
        }
    }

    /// The edge of that name.
    pub fn edge(&self, name: &str) -> Option<&SewnEdge> {
        self.edges.iter().find(|edge| edge.name == name)
    }

    /// Length of the sewn line of an edge with its darts closed, or of a marked line that is stitched along; nought where
    /// it has neither of that name.
    pub fn length_mm(&self, line: &str) -> f64 {
        let marked = || self.marks.iter().find(|(name, _)| *name == line);
        let marked_mm = || marked().map_or(0.0, |(_, [from, to])| (*to - *from).length());
        self.edge(line).map_or_else(marked_mm, |edge| edge.curve.length_mm() - self.in_darts_mm(line))
    }

    /// How much of an edge is taken up by darts.
    pub fn in_darts_mm(&self, edge: &str) -> f64 {
        let of_edge = self.darts.iter().filter(|dart| dart.edge == edge);
        of_edge.map(|dart| dart.mouth_mm[1] - dart.mouth_mm[0]).sum()
    }

    /// The depth of a level that is marked across it.
    pub fn level_mm(&self, level: &str) -> Option<f64> {
        self.levels_mm.iter().find(|(name, _)| *name == level).map(|(_, y_mm)| *y_mm)
    }

    /// From the fold to the side seam at a level; none where the side does not pass it.
    pub fn width_mm(&self, y_mm: f64) -> Option<f64> {
        Some(self.edge("side")?.curve.at_level(y_mm)?.x)
    }

    /// The sewn outline, flattened.
    pub fn outline(&self) -> Outline<Frame> {
        Outline::joining(self.edges.iter().map(|edge| edge.curve.corners()))
    }
}
