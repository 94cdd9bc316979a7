//! The draft: from an order to sewn outlines, with the working that a dressmaker can check by hand.
//!
//! [`draft`] picks the garment's own file; each garment states its house rules, draws its lines, writes its
//! working and is tried on by the checks of [`trial`]. Drafted lines are the *sewn* ones; turnings come in `finish`.
//! An order that can't be drawn ends in a sentence, never in a crossed outline.

pub mod a_line_dress;
mod armhole;
mod neck;
pub mod rules;
mod side;
mod trial;
mod unmeasured;
mod unwashed;
pub mod working;

use crate::geometry::{Curve, Draft as Frame, Outline, Point};
use crate::order::{Kind, Order};
use crate::remark::{Remark, Told, Weight};
use crate::units::System;
use working::Step;

/// A finished draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The kind of garment.
    pub kind: Kind,
    /// The unit system of its sentences.
    pub system: System,
    /// The sewn pieces.
    pub pieces: Vec<SewnPiece>,
    /// The written arithmetic, in the order in which it is done.
    pub working: Vec<Step>,
    /// What was tried on it, passed or not.
    pub checks: Vec<Check>,
    /// The width to fold the cloth at, from the house rule.
    pub fold_width_mm: f64,
    /// Start line to finished hem.
    pub length_mm: f64,
}

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
    /// Places to be notched.
    pub notches: Vec<NotchPlace>,
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

/// Something tried on the draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// Whether it passed.
    pub ok: bool,
    /// How heavily a failure weighs; a note when it passed. A refusal can't be worn or cut.
    pub severity: Weight,
    /// What was found, with its numbers.
    pub says: String,
    /// What to change, when it failed.
    pub remedy: Option<String>,
}

impl SewnPiece {
    /// The edge of that name.
    pub fn edge(&self, name: &str) -> Option<&SewnEdge> {
        self.edges.iter().find(|edge| edge.name == name)
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

impl Draft {
    /// The piece of that name.
    pub fn piece(&self, name: &str) -> Option<&SewnPiece> {
        self.pieces.iter().find(|piece| piece.name == name)
    }

    /// Whether nothing stands against wearing and cutting it.
    pub fn wearable(&self) -> bool {
        self.checks.iter().all(|check| check.ok || check.severity < Weight::Refusal)
    }

    /// The failed checks as remarks.
    pub fn doubts(&self) -> Vec<Remark> {
        let remark = |check: &Check| {
            let remark = Remark::doubt(check.says.clone());
            match &check.remedy {
                Some(remedy) => remark.remedy(remedy.clone()),
                None => remark,
            }
        };
        self.checks.iter().filter(|check| !check.ok).map(remark).collect()
    }
}

/// Drafts the garment of an order.
///
/// # Errors
/// When the numbers can't be drawn, with the sentence why and what to change.
pub fn draft(order: &Order) -> Told<Draft> {
    let mut told = match order.garment.kind {
        Kind::ALineDress => a_line_dress::draft(order),
    }?;
    unmeasured::say(&mut told.value, order);
    unwashed::enlarge(&mut told.value, order);
    Ok(told)
}

/// Refuses an outline that crosses itself.
fn simple(piece: &SewnPiece) -> Result<(), Remark> {
    if piece.outline().is_simple() {
        return Ok(());
    }
    Err(Remark::refusal(format!("the lines of the {} cross one another with these measurements and rules", piece.name))
        .remedy("measure again; if the measurements are right, set the house rules of this order back one by one"))
}

/// A point of the draft.
fn at(x_mm: f64, y_mm: f64) -> Point<Frame> {
    Point::new(x_mm, y_mm)
}
