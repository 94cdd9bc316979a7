//! The sewing plan: in which order the seams of a garment are sewn, how long each is, and how far from the edge.
//!
//! It is read off the pieces as they are cut and the seams that the draft names. What is in no seam is an opening, which
//! is bound where it has no turning, or a hem, which is turned up. So a garment that names its seams, its openings and its
//! hems as the others do gets its plan without a word written for it here.
//!
//! The order is the trade's (common practice, no source): shoulders, neck, sleeves, sides, hem, with a fitting before
//! anything is trimmed. A seam on a line inside of the piece is stitched through both layers, wrong sides facing, when the
//! edges outside of it are finished (common practice, no source). That what is cut off the grain drops, and is hung before
//! its hem is levelled, is from *The New Dressmaker* (1921), chapter 9.

mod apart;
mod edges;
mod says;

use crate::draft::{CENTRE_BACK, CENTRE_FRONT, Seam};
use crate::finish::Piece;
use crate::units::System;
use edges::{Role, Run, family, leans, role, run_of, runs};

/// One step of sewing.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it is called: shoulder, side, neck, hem, fitting.
    pub name: &'static str,
    /// What is done.
    pub how: How,
    /// The pieces that it is done to.
    pub pieces: Vec<&'static str>,
    /// How often: twice for left and right.
    pub times: u32,
    /// Sewn length of one; nought where nothing is sewn.
    pub length_mm: f64,
    /// By how much what is sewn on, or a hem's raw edge, is longer and must be held in.
    pub held_in_mm: f64,
    /// Whether it is held in by gathers, and not eased in.
    pub gathered: bool,
    /// How far the first piece stands over: the lap of a band.
    pub lap_mm: f64,
    /// How much of it is left open at the top; of a left and a right seam, of the left one.
    pub open_mm: f64,
    /// How far from the edge it is sewn, or turned up.
    pub turning_mm: f64,
    /// Whether it is sewn on a chalked line inside of the pieces, what lies outside of it hanging free.
    pub inside: bool,
    /// What to do, with its numbers.
    pub says: String,
}

/// What is done in a step; in the order in which it is done where the name does not say otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Two edges are sewn together.
    Join,
    /// What was left open gets its zip.
    Open,
    /// A piece is made up by itself, and sewn on where it goes.
    Make,
    /// An opening is faced.
    Face,
    /// An opening is bound.
    Bind,
    /// An opening is turned in.
    TurnIn,
    /// It is tried on.
    Fit,
    /// It is hung up, to drop.
    Hang,
    /// A hem is turned up.
    Hem,
}

impl How {
    /// Its name in JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Join => "join",
            Self::Open => "open",
            Self::Make => "make up",
            Self::Face => "face",
            Self::Bind => "bind",
            Self::TurnIn => "turn in",
            Self::Fit => "fit",
            Self::Hang => "hang",
            Self::Hem => "hem",
        }
    }
}

/// The plan for pieces as they are cut, in sentences of `system`.
pub fn plan(pieces: &[&Piece], seams: &[Seam], system: System) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let with_zip = |seam: Step| {
        let zip = opened(&seam);
        [Some(seam), zip].into_iter().flatten().filter(|step| step.length_mm > 0.0)
    };
    let sewn = seams.iter().filter_map(|seam| joined(seam, pieces)).flat_map(with_zip);
    let open = pieces.iter().flat_map(|piece| runs(piece)).filter(|run| !run.is_in(seams));
    let open = open.filter_map(|run| finished(&run, run.is_of_ring(seams)));
    for step in sewn.chain(apart::made_up(pieces)).chain(open) {
        match steps.iter_mut().find(|other| other.goes_with(&step)) {
            Some(other) => other.take(step),
            None => steps.push(step),
        }
    }
    if let Some(side) = steps.iter().find(|step| step.is_fitted()) {
        let inside = side.inside;
        // What hangs free outside of a line is no turning to let out.
        let turning_mm = if inside { 0.0 } else { side.turning_mm };
        let fitting = pause("fitting", How::Fit, side.pieces.clone(), turning_mm);
        // Ties go where the sides are.
        steps.iter_mut().filter(|step| step.name == "tie").for_each(|tie| tie.inside = inside);
        steps.push(Step { inside, ..fitting });
    }
    let leaning: Vec<&'static str> = pieces.iter().filter(|piece| leans(piece)).map(|piece| piece.name).collect();
    if !leaning.is_empty() {
        steps.push(pause("hanging", How::Hang, leaning, 0.0));
    }
    let in_one = pieces.iter().any(|piece| is_of_all_edges(piece));
    steps.sort_by_key(|step| if in_one { rank_in_one(step) } else { rank(step) });
    for step in &mut steps {
        step.says = says::says(step, pieces, system);
    }
    steps
}

/// A step in which nothing is sewn.
fn pause(name: &'static str, how: How, pieces: Vec<&'static str>, turning_mm: f64) -> Step {
    Step {
        name,
        how,
        pieces,
        times: 1,
        length_mm: 0.0,
        held_in_mm: 0.0,
        gathered: false,
        lap_mm: 0.0,
        open_mm: 0.0,
        turning_mm,
        inside: false,
        says: String::new(),
    }
}

/// The zip of a seam that is left open; none where it is sewn from end to end.
fn opened(seam: &Step) -> Option<Step> {
    let name = if seam.name == CENTRE_BACK { "back opening" } else { "side opening" };
    let zip = pause(name, How::Open, seam.pieces.clone(), seam.turning_mm);
    (seam.open_mm > 0.0).then_some(Step { length_mm: seam.open_mm, ..zip })
}

/// A seam of the draft as a step; none where one of its pieces is not cut.
fn joined(seam: &Seam, pieces: &[&Piece]) -> Option<Step> {
    let side = |side: usize| seam.sides[side].iter().map(|part| run_of(part, pieces)).collect::<Option<Vec<_>>>();
    let (one, other) = (side(0)?, side(1)?);
    let length_mm =
        |runs: &[(Run<'_>, u32)]| runs.iter().map(|(run, times)| run.part_mm * f64::from(*times)).sum::<f64>();
    let (first, in_one) = *one.first()?;
    let (one_mm, other_mm) = (length_mm(&one), length_mm(&other));
    // A seam that joins left and right takes the same edge on both sides.
    let again: u32 = other.iter().filter(|(run, _)| run.is_same(&first)).map(|(_, times)| times).sum();
    // An edge at the fold is named by half: both halves are one run.
    let repeated = (first.parts / (in_one + again).max(1)).max(1);
    let halves = if first.whole && repeated > 1 { 2 } else { 1 };
    let faces = !first.is_facing() && other.iter().all(|(run, _)| run.is_facing());
    let mut names: Vec<&'static str> = one.iter().chain(&other).map(|(run, _)| run.piece.name).collect();
    names.dedup();
    let (one_mm, times) = (one_mm - seam.lap_mm, repeated / halves);
    // Of a left and a right seam, one is sewn over its whole length.
    let closed_mm = if times == 1 { seam.open_mm } else { 0.0 };
    Some(Step {
        times,
        length_mm: (one_mm.min(other_mm) - closed_mm - seam.pocket_mm) * f64::from(halves),
        held_in_mm: (other_mm - one_mm).abs() * f64::from(halves),
        gathered: seam.gathered,
        lap_mm: seam.lap_mm,
        open_mm: seam.open_mm,
        inside: first.inside,
        ..pause(family(seam.name), if faces { How::Face } else { How::Join }, names, first.turning_mm)
    })
}

/// An edge in no seam as a step, once all round where its pieces are a ring; none where nothing is sewn there.
fn finished(run: &Run<'_>, ring: bool) -> Option<Step> {
    let (how, held_in_mm) = match role(run.name) {
        Role::Hem => (How::Hem, run.spread_mm.max(0.0)),
        Role::Opening if run.turning_mm > 0.0 => (How::TurnIn, 0.0),
        Role::Opening => (How::Bind, 0.0),
        Role::Other => return None,
    };
    let in_one = match (ring, run.whole) {
        (true, _) => run.parts,
        (false, true) => 2,
        (false, false) => 1,
    };
    Some(Step {
        times: run.parts / in_one,
        length_mm: run.part_mm * f64::from(in_one),
        held_in_mm,
        ..pause(run.name, how, vec![run.piece.name], run.turning_mm)
    })
}

impl Step {
    /// Whether both are one step on the garment: front and back of an opening or a hem, or a sleeve's halves.
    fn goes_with(&self, other: &Self) -> bool {
        let halves = self.how != How::Join || self.pieces.iter().any(|piece| other.pieces.contains(piece));
        let like = (self.name, self.how, self.times) == (other.name, other.how, other.times);
        like && halves && family(self.pieces[0]) == family(other.pieces[0])
    }

    /// Takes the other half in.
    fn take(&mut self, other: Self) {
        self.length_mm += other.length_mm;
        self.held_in_mm += other.held_in_mm;
        let more = other.pieces.into_iter().filter(|piece| !self.pieces.contains(piece)).collect::<Vec<_>>();
        self.pieces.extend(more);
    }

    /// Whether it is tacked and tried on before it is sewn.
    fn is_fitted(&self) -> bool {
        self.how == How::Join && self.name == "side" && !self.is_of_facings()
    }

    fn is_of_facings(&self) -> bool {
        self.pieces.iter().all(|piece| piece.contains("facing"))
    }
}

/// Whether a piece faces neck and armhole in one.
fn is_of_all_edges(piece: &Piece) -> bool {
    piece.name.contains("facing") && ["neck", "armhole"].iter().all(|edge| piece.edge(edge).is_some())
}

/// The place of a step where neck and armholes are faced in one: the armholes while the sides are still open, and the sides
/// of dress and facing after them, in one line.
fn rank_in_one(step: &Step) -> u32 {
    match (step.how, step.name) {
        (How::Face, "armhole") => 3,
        (How::Join, "side") => 5,
        _ => rank(step),
    }
}

/// The place of a step in the order.
fn rank(step: &Step) -> u32 {
    match (step.how, step.name) {
        (How::Join, CENTRE_FRONT | CENTRE_BACK) => 0,
        (How::Open, "back opening") => 0,
        (How::Make, "dart" | "pocket" | "tie" | "collar" | "bias square") => 0,
        (How::Join, "shoulder") => 1,
        // Its ends are enclosed at the neck; a slit that is faced is stitched on from there.
        (How::Bind | How::TurnIn, "slit") => 1,
        (How::Join, _) if step.is_of_facings() => 1,
        (_, "neck" | "slit") => 2,
        (How::Join, "armhole") => 3,
        (How::Fit, _) => 4,
        (How::Open, _) => 6,
        (How::Join, "waist") => 7,
        (How::Make, _) => 7,
        (How::Join, _) => 5,
        (How::Face | How::Bind | How::TurnIn, _) => 6,
        (How::Hang, _) => 8,
        (How::Hem, _) => 9,
    }
}
