//! A piece that is drawn by half, unfolded: both halves in one outline, for cloth that lies single.

use super::{AT_FOLD_MM, Edge, Notch, Piece};
use crate::geometry::{Draft as Frame, Map, Outline, Point};

/// Rounding noise of an edge along the fold.
const ALONG_MM: f64 = 1e-6;

impl Piece {
    /// Both halves of a piece on the fold; any other piece as it is. Its edges are those of the drawn half, back along
    /// the mirrored one in the other direction, without the fold. An edge that lies along the fold, a slit, is a marked line
    /// inside of it then.
    pub fn unfolded(&self) -> Self {
        let (true, Some(fold)) = (self.on_fold, self.edges.first()) else { return self.clone() };
        let mirror: Map<Frame, Frame> = Map::new(-1.0, 0.0, 0.0, 1.0, 2.0 * fold.sewn.start().x, 0.0);
        let over = |p: &Point<Frame>| mirror.transform_point(*p);
        let along_fold = |edge: &Edge| edge.cut.iter().all(|p| (p.x - fold.sewn.start().x).abs() < ALONG_MM);
        let (slits, drawn): (Vec<&Edge>, Vec<&Edge>) = self.edges[1..].iter().partition(|edge| along_fold(edge));
        let slits = slits.into_iter().map(|slit| (slit.name, [slit.sewn.start(), slit.sewn.end()]));
        let mirrored = drawn.iter().rev().map(|edge| Edge {
            name: edge.name,
            sewn: edge.sewn.reversed().mapped(&mirror),
            cut: edge.cut.iter().rev().map(over).collect(),
            ..(*edge).clone()
        });
        let edges: Vec<Edge> = drawn.iter().copied().cloned().chain(mirrored).collect();
        let notch = |notch: &Notch| Notch {
            sewn_at: over(&notch.sewn_at),
            nick: notch.nick.map(|p| over(&p)),
            ..notch.clone()
        };
        // A nick along the fold is its own mirror.
        let off_fold = |p: &Point<Frame>| (p.x - fold.sewn.start().x).abs() > 2.0 * AT_FOLD_MM;
        let aside = self.notches.iter().filter(|notch| notch.nick.iter().any(off_fold));
        let notches: Vec<Notch> = self.notches.iter().cloned().chain(aside.map(notch)).collect();
        let across = |(name, [_, to]): &(&'static str, [Point<Frame>; 2])| (*name, [over(to), *to]);
        let twice = |(name, ends): &(&'static str, [Point<Frame>; 2])| {
            [(*name, *ends), (*name, [over(&ends[0]), over(&ends[1])])]
        };
        Self {
            on_fold: false,
            sewn: Outline::joining(edges.iter().map(|edge| edge.sewn.corners())),
            cut: Outline::joining(edges.iter().map(|edge| edge.cut.clone())),
            edges,
            notches,
            levels: self.levels.iter().map(across).collect(),
            marks: self.marks.iter().flat_map(twice).chain(slits).collect(),
            ..self.clone()
        }
    }
}
