//! Finishing: from sewn outlines to the pieces that are cut, with turnings, notches, grain and what is written on them.
//!
//! Each edge gets its own allowance; corners are mitred so that a turning covers the garment when it is pressed back
//! (the hem is square to the side, so that a mitre is also the mirror of the side above it). Nothing is laid on
//! cloth here.

mod dart;
mod grain;
mod turned_up;
mod unfold;

use crate::draft::{BiasStrip, DartPlace, Draft, NotchPlace, SewnPiece};
use crate::geometry::{Curve, Draft as Frame, Map, Outline, Point, Vector, parallel};
use crate::remark::{Refusal, Remark, Told, told};

/// Length of a nick where the allowance does not limit it. A third of the allowance is the most that is safe:
/// too deep makes a hole, too short frays away (Vilumsone-Nemes, *Industrial Cutting of Textile Materials*).
const NICK_MM: f64 = 6.0;

/// The gap between two nicks side by side.
const NICK_GAP_MM: f64 = 8.0;

/// Length of the mark where an edge has no allowance to be nicked: it is chalked inside instead.
const CHALKED_MM: f64 = 6.0;

/// Rounding noise of a cutting line at the fold.
const OVER_FOLD_MM: f64 = 1e-6;

/// A nick this near the fold is made along it: beside the fold there is no cloth to look for the cutting line on.
const AT_FOLD_MM: f64 = 1e-3;

/// How far inside of the sewing line a nick begins to look for the cutting line, which may lie on it.
const BEFORE_MM: f64 = 0.5;

/// A piece ready to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name: front, back.
    pub name: &'static str,
    /// How many are cut.
    pub count: u32,
    /// Whether its first edge lies on a fold, so that half of it is drawn.
    pub on_fold: bool,
    /// Whether it is cut in pairs, each the mirror of the other: left and right.
    pub paired: bool,
    /// Its edges, in order around it; the outside is to the right of the way (y down).
    pub edges: Vec<Edge>,
    /// Sewn outline.
    pub sewn: Outline<Frame>,
    /// Cut outline.
    pub cut: Outline<Frame>,
    /// The nicks, each from the cutting line inwards.
    pub notches: Vec<Notch>,
    /// Ends of the grain arrow, along the selvedge.
    pub grain: [Point<Frame>; 2],
    /// Lines marked across the piece, from the fold to the sewn side, with their names.
    pub levels: Vec<(&'static str, [Point<Frame>; 2])>,
    /// What else is marked on it, in straight lines with their names: the legs of a dart, the place of a pocket.
    pub marks: Vec<(&'static str, [Point<Frame>; 2])>,
    /// Its darts, as they were drafted.
    pub darts: Vec<DartPlace>,
    /// The strip that it is cut up into; none where it stays a piece.
    pub strip: Option<BiasStrip>,
    /// What to write under `[garment]` for pieces of half its width; none where it can't be had narrower so.
    pub narrower: Option<&'static str>,
}

/// An edge of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Its name.
    pub name: &'static str,
    /// Its sewn line.
    pub sewn: Curve<Frame>,
    /// Length of the sewn line, its darts closed.
    pub length_mm: f64,
    /// The turning outside of it.
    pub allowance_mm: f64,
    /// Corners of its part of the cutting line; the next edge's part starts at the last.
    pub cut: Vec<Point<Frame>>,
}

/// One nick.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The edge it is on.
    pub edge: &'static str,
    /// What is to meet there.
    pub meets: &'static str,
    /// Where the sewing line is met.
    pub sewn_at: Point<Frame>,
    /// From the cutting line inwards; where there is no turning, from the edge inwards, to be chalked.
    pub nick: [Point<Frame>; 2],
    /// Whether it is chalked and not cut, because the edge has no turning.
    pub chalked: bool,
}

impl Piece {
    /// The edge of that name.
    pub fn edge(&self, name: &str) -> Option<&Edge> {
        self.edges.iter().find(|edge| edge.name == name)
    }

    /// A marked line that is stitched along, by its name: its ends, and how far inside of the finished edge beside it it lies.
    pub fn stitched(&self, line: &str) -> Option<([Point<Frame>; 2], f64)> {
        let (_, [from, to]) = self.marks.iter().find(|(name, _)| *name == line)?;
        Some(([*from, *to], self.sewn.bounds().1.x - from.x.max(to.x)))
    }

    /// The piece with another turning at one edge. Nicks stay: none is made where a turning is changed by this.
    ///
    /// # Errors
    /// When the curve can't take the turning.
    pub fn with_turning(&self, name: &str, allowance_mm: f64) -> Result<Self, Remark> {
        let mut piece = self.clone();
        for edge in piece.edges.iter_mut().filter(|edge| edge.name == name) {
            edge.allowance_mm = allowance_mm;
        }
        let lines: Vec<Line<'_>> = piece.edges.iter().map(|edge| (edge.name, &edge.sewn, edge.allowance_mm)).collect();
        let (runs, cut) = cutting_line((piece.name, &piece.sewn), &lines, &piece.darts)?;
        for (edge, run) in piece.edges.iter_mut().zip(runs) {
            edge.cut = run;
        }
        Ok(Self { cut, ..piece })
    }

    /// The same piece drawn elsewhere.
    #[must_use]
    pub fn moved(&self, by: Vector<Frame>) -> Self {
        let map = Map::translation(by.x, by.y);
        let mut piece = self.clone();
        for edge in &mut piece.edges {
            edge.sewn = edge.sewn.mapped(&map);
            edge.cut.iter_mut().for_each(|p| *p += by);
        }
        for notch in &mut piece.notches {
            notch.sewn_at += by;
            notch.nick = notch.nick.map(|p| p + by);
        }
        for (_, ends) in piece.levels.iter_mut().chain(&mut piece.marks) {
            *ends = ends.map(|p| p + by);
        }
        piece.grain = piece.grain.map(|p| p + by);
        piece.darts.iter_mut().for_each(|dart| dart.point += by);
        Self { sewn: self.sewn.mapped(&map), cut: self.cut.mapped(&map), ..piece }
    }

    /// What is written on it: "front, cut 1 on the fold"; "sleeve, cut 2, left and right".
    pub fn caption(&self) -> String {
        let how = match (self.on_fold, self.paired) {
            (true, _) => " on the fold",
            (false, true) => ", left and right",
            (false, false) => "",
        };
        format!("{}, cut {}{how}", self.name, self.count)
    }
}

/// Finishes every piece of a draft.
///
/// # Errors
/// When an allowance is larger than its edge's curve can take.
pub fn finish(draft: &Draft) -> Told<Vec<Piece>> {
    let pieces: Result<Vec<Piece>, Remark> = draft.pieces.iter().map(piece).collect();
    told(pieces.map_err(Refusal::because)?, Vec::new())
}

fn piece(sewn: &SewnPiece) -> Result<Piece, Remark> {
    let lines: Vec<Line<'_>> = sewn.edges.iter().map(|edge| (edge.name, &edge.curve, edge.allowance_mm)).collect();
    let outline = sewn.outline();
    let (runs, cut) = cutting_line((sewn.name, &outline), &lines, &sewn.darts)?;
    if sewn.on_fold && cut.bounds().0.x < -OVER_FOLD_MM {
        let says = format!("the {} comes to a point at the fold that is too sharp for its turning", sewn.name);
        return Err(
            Remark::refusal(says).remedy("make the neck wider or less deep, or its turning (neck_allowance) smaller")
        );
    }
    let notches = sewn.notches.iter().flat_map(|place| nicks(sewn, place, &cut)).collect();
    let edges = sewn.edges.iter().zip(runs).map(|(edge, cut)| Edge {
        name: edge.name,
        sewn: edge.curve.clone(),
        length_mm: edge.curve.length_mm() - sewn.in_darts_mm(edge.name),
        allowance_mm: edge.allowance_mm,
        cut,
    });
    Ok(Piece {
        name: sewn.name,
        count: sewn.count,
        on_fold: sewn.on_fold,
        paired: sewn.paired,
        edges: edges.collect(),
        notches,
        grain: grain::arrow(sewn, &outline),
        levels: levels(sewn),
        marks: sewn.marks.clone(),
        darts: sewn.darts.clone(),
        strip: sewn.strip,
        narrower: sewn.narrower,
        sewn: outline,
        cut,
    })
}

/// The way out along the leg of a dart, where a nick is at its mouth: beside the corner there no edge is square.
fn out_of_dart(sewn: &SewnPiece, place: &NotchPlace, sewn_at: Point<Frame>) -> Option<Vector<Frame>> {
    let at_mouth = |dart: &&DartPlace| dart.edge == place.edge && dart.mouth_mm.contains(&place.along_mm);
    sewn.darts.iter().find(at_mouth).map(|dart| (sewn_at - dart.point).normalize())
}

/// The part of a cutting line at each edge.
type Runs = Vec<Vec<Point<Frame>>>;

/// An edge by its name, its sewn line and its turning.
type Line<'e> = (&'static str, &'e Curve<Frame>, f64);

/// The cutting line around sewn edges with their turnings: its part at each edge, and the whole.
fn cutting_line(
    (name, sewn): (&str, &Outline<Frame>),
    lines: &[Line<'_>],
    darts: &[DartPlace],
) -> Result<(Runs, Outline<Frame>), Remark> {
    let turned: Vec<_> = lines.iter().map(|(_, curve, allowance_mm)| (*curve, *allowance_mm)).collect();
    let mut runs = parallel::cutting_runs(&turned);
    turned_up::mirror(&mut runs, lines);
    dart::unfold(&mut runs, lines, darts);
    let cut = Outline::joining(runs.iter().cloned());
    if !cut.is_simple() || sewn.area_outside_mm2(&cut) > 1.0 {
        return Err(Remark::refusal(format!("the turnings of the {name} are wider than its curves can take"))
            .remedy("make the turnings of its curved edges smaller, such as neck_allowance or armhole_allowance"));
    }
    Ok((runs, cut))
}

fn levels(sewn: &SewnPiece) -> Vec<(&'static str, [Point<Frame>; 2])> {
    let across =
        |(name, y): &(&'static str, f64)| Some((*name, [Point::new(0.0, *y), sewn.edge("side")?.curve.at_level(*y)?]));
    sewn.levels_mm.iter().filter_map(across).collect()
}

fn nicks(sewn: &SewnPiece, place: &NotchPlace, cut: &Outline<Frame>) -> Vec<Notch> {
    let Some(edge) = sewn.edge(place.edge) else { return Vec::new() };
    let first = place.along_mm - NICK_GAP_MM * f64::from(place.nicks - 1) / 2.0;
    let nick = |i: u32| {
        let (sewn_at, along) = edge.curve.at_length(first + NICK_GAP_MM * f64::from(i));
        let outward = out_of_dart(sewn, place, sewn_at).unwrap_or(Vector::new(-along.y, along.x));
        let along_fold = sewn.on_fold && sewn_at.x < AT_FOLD_MM && outward.y.abs() > outward.x.abs();
        let (sewn_at, outward) = match along_fold {
            true => (Point::new(AT_FOLD_MM, sewn_at.y), Vector::new(0.0, 1.0_f64.copysign(outward.y))),
            false => (sewn_at, outward),
        };
        // Over a sharp bend the cutting line is farther out than the allowance is wide.
        let farthest_mm = 3.0 * edge.allowance_mm + 2.0 * BEFORE_MM;
        let reached = parallel::reach_mm(cut, sewn_at - outward * BEFORE_MM, outward, farthest_mm);
        // Where a bend is so sharp that none lies outside of it, a nick would cut the piece.
        let from = sewn_at + outward * (reached? - BEFORE_MM);
        let depth_mm = if edge.allowance_mm > 0.0 { NICK_MM.min(edge.allowance_mm / 3.0) } else { CHALKED_MM };
        let (nick, chalked) = ([from, from - outward * depth_mm], edge.allowance_mm <= 0.0);
        Some(Notch { edge: place.edge, meets: place.meets, sewn_at, nick, chalked })
    };
    (0..place.nicks).filter_map(nick).collect()
}
