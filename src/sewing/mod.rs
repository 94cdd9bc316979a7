//! The sewing plan: in which order the seams of a garment are sewn, how long each is, and how far from the edge.
//!
//! It is read off the pieces as they are cut: edges of one name on two pieces of one family (front and back; front facing
//! and back facing) are sewn together; neck, armhole and waist are openings, faced where another family has the same
//! edge, bound where they have no turning; hems are turned up. So a garment that names its edges as the others do
//! gets its plan without a word written for it here.
//!
//! The order is the trade's (common practice, no source): shoulders, neck, sleeves, sides, hem, with a fitting before
//! anything is trimmed. That what is cut off the grain drops, and is hung before its hem is levelled, is from *The New
//! Dressmaker* (1921), chapter 9.

mod edges;
mod says;

use crate::finish::Piece;
use crate::units::System;
use edges::{Role, Run, leans, runs};

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
    /// How far from the edge it is sewn, or turned up.
    pub turning_mm: f64,
    /// What to do, with its numbers.
    pub says: String,
}

/// What is done in a step; in the order in which it is done where the name does not say otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Two edges are sewn together.
    Join,
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
pub fn plan(pieces: &[&Piece], system: System) -> Vec<Step> {
    let mut groups: Vec<Vec<Run<'_>>> = Vec::new();
    for run in pieces.iter().flat_map(|piece| runs(piece)) {
        match groups.iter_mut().find(|group| group[0].is_with(&run)) {
            Some(group) => group.push(run),
            None => groups.push(vec![run]),
        }
    }
    let mut steps: Vec<Step> = groups.iter().filter_map(|group| step(group, &groups)).collect();
    if let Some(side) = steps.iter().find(|step| is_fitted(step)) {
        steps.push(pause("fitting", How::Fit, side.pieces.clone(), side.turning_mm));
    }
    let leaning: Vec<&'static str> = pieces.iter().filter(|piece| leans(piece)).map(|piece| piece.name).collect();
    if !leaning.is_empty() {
        steps.push(pause("hanging", How::Hang, leaning, 0.0));
    }
    steps.sort_by_key(rank);
    for step in &mut steps {
        step.says = says::says(step, pieces, system);
    }
    steps
}

/// A step in which nothing is sewn.
fn pause(name: &'static str, how: How, pieces: Vec<&'static str>, turning_mm: f64) -> Step {
    Step { name, how, pieces, times: 1, length_mm: 0.0, held_in_mm: 0.0, turning_mm, says: String::new() }
}

/// What is done to the edges of one role; nothing where one edge is alone, or already taken by the opening that it is
/// sewn into.
fn step(group: &[Run<'_>], groups: &[Vec<Run<'_>>]) -> Option<Step> {
    let first = group[0];
    let total_mm = |group: &[Run<'_>]| group.iter().map(|run| run.length_mm).sum::<f64>();
    let mut sewn_on = groups.iter().filter(|other| first.takes(&other[0]));
    let (how, length_mm, held_in_mm) = match first.role {
        Role::Hem => (How::Hem, total_mm(group), group.iter().map(|run| run.spread_mm).sum()),
        Role::SetIn | Role::Free => return None,
        Role::Seam if group.len() < 2 => return None,
        Role::Seam => {
            let (short, long) = group.iter().fold((f64::INFINITY, 0.0_f64), |(short, long), run| {
                (short.min(run.length_mm), long.max(run.length_mm))
            });
            (How::Join, short, long - short)
        }
        Role::Opening if first.is_facing() => return None,
        Role::Opening => {
            let on = sewn_on.next();
            let how = match on {
                Some(other) if other[0].role == Role::SetIn => How::Join,
                Some(_) => How::Face,
                None if first.turning_mm <= 0.0 => How::Bind,
                None => How::TurnIn,
            };
            (how, total_mm(group), on.map_or(0.0, |other| total_mm(other) - total_mm(group)))
        }
    };
    let others = groups.iter().filter(|other| first.role == Role::Opening && first.takes(&other[0])).flatten();
    let mut pieces: Vec<&'static str> = group.iter().chain(others).map(|run| run.piece.name).collect();
    pieces.dedup();
    let turning_mm = first.turning_mm;
    Some(Step {
        name: first.name,
        how,
        pieces,
        times: first.times,
        length_mm,
        held_in_mm,
        turning_mm,
        says: String::new(),
    })
}

/// Seams that are tacked and tried on before they are sewn.
fn is_fitted(step: &Step) -> bool {
    step.how == How::Join && step.name == "side" && step.pieces.iter().all(|piece| !piece.contains("facing"))
}

/// The place of a step in the order.
fn rank(step: &Step) -> u32 {
    match (step.how, step.name) {
        (How::Join, "centre back" | "centre front") => 0,
        (How::Join, "shoulder") => 1,
        (_, "neck" | "slit") => 2,
        (How::Join, "armhole") => 3,
        (How::Fit, _) => 4,
        (How::Join, "waist") => 7,
        (How::Join, _) => 5,
        (How::Face | How::Bind | How::TurnIn, _) => 6,
        (How::Hang, _) => 8,
        (How::Hem, _) => 9,
    }
}
