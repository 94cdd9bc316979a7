//! The draft: from an order to sewn outlines, with the working that a dressmaker can check by hand.
//!
//! [`draft`] picks the garment's own file out of [`GARMENTS`]; each garment states its house rules, draws its lines,
//! writes its working and is tried on by the checks of [`trial`]. Drafted lines are the *sewn* ones; turnings come in `finish`.
//! An order that can't be drawn ends in a sentence, never in a crossed outline.

pub mod a_line_dress;
mod a_line_skirt;
mod armhole;
mod bias;
mod block;
mod circle_skirt;
mod collar;
mod facing;
mod fitting;
mod garments;
mod halving;
mod kaftan;
mod neck;
mod piece;
mod pocket;
pub mod rules;
mod seam;
mod sheet;
mod shift_top;
mod side;
mod skirt;
mod sleeve;
mod tie;
mod tiered_skirt;
mod trial;
mod tunic;
mod unmeasured;
mod unwashed;
pub mod working;

pub use block::rules::CENTRE_BACK;
pub use garments::{GARMENTS, Garment, Group};
pub use piece::{BiasStrip, DartPlace, NotchPlace, SewnEdge, SewnPiece};
pub use seam::{Part, Seam};
use sheet::{Sheet, ease_by_weight};
pub use skirt::CENTRE_FRONT;

use crate::entries::{Amount, Placed};
use crate::geometry::{Draft as Frame, Point};
use crate::order::{Kind, Order};
use crate::remark::{Refusal, Remark, Told, Weight, told};
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
    /// What is sewn to what.
    pub seams: Vec<Seam>,
    /// The written arithmetic, in the order in which it is done.
    pub working: Vec<Step>,
    /// What was tried on it, passed or not.
    pub checks: Vec<Check>,
    /// The width to fold the cloth at, from the house rule.
    pub fold_width_mm: f64,
    /// Start line to finished hem.
    pub length_mm: f64,
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
    let garment = Garment::of(order.garment.kind);
    let mut sheet = Sheet::new(order, garment.rules(), garment.fitting.to_vec())?;
    sheet.write_cloth_ease();
    let drafted = (garment.draft)(&mut sheet)?;
    for piece in &drafted.pieces {
        simple(piece).map_err(Refusal::because)?;
    }
    let mut draft = Draft {
        kind: garment.kind,
        system: order.system,
        pieces: drafted.pieces,
        seams: drafted.seams,
        working: sheet.steps(),
        checks: drafted.checks,
        fold_width_mm: drafted.fold_width_mm,
        length_mm: order.garment.length_mm,
    };
    unmeasured::say(&mut draft, order);
    unwashed::enlarge(&mut draft, order);
    told(draft, idle(order, garment).into_iter().chain(outweighed(order)).collect())
}

/// The house rules and the cloth's weight that an order sets though nothing goes by them as its garment is chosen: she may count
/// on them.
fn idle(order: &Order, garment: &Garment) -> Vec<Remark> {
    let in_force = garment.rules_for(&order.garment.style);
    let is_idle = |key: &str| in_force.iter().all(|rule| rule.key != key);
    let note = |(key, set): (&String, &Placed<Amount>)| {
        let remark = Remark::note(format!("{key} is set, and nothing goes by it as the garment is chosen"));
        remark.line(set.line).field(format!("rules.{key}")).remedy("choose what it is for, or take it out")
    };
    let weight = (ease_by_weight(order).is_some() && is_idle(rules::CLOTH_EASE.key)).then(|| {
        let remark = Remark::note("the cloth's weight is set, and nothing goes by it as the garment is chosen");
        remark.field("cloth.weight").remedy("take it out; for more ease set the garment's own house rules")
    });
    order.rules.iter().filter(|(key, _)| is_idle(key)).map(note).chain(weight).collect()
}

/// What is said where the order's own ease for the cloth goes before that of the cloth's weight: what each gives.
fn outweighed(order: &Order) -> Option<Remark> {
    let set = order.rules.get(rules::CLOTH_EASE.key)?;
    let Amount::Length(own) = set.value else { return None };
    let [own, by_weight] = [own.mm, ease_by_weight(order)?.standard()].map(|mm| order.system.show(mm));
    let says =
        format!("cloth_ease {own} is set, so that the cloth's weight, which would give {by_weight}, adds nothing");
    let remark = Remark::note(says).line(set.line).field("rules.cloth_ease");
    (own != by_weight).then(|| remark.remedy("take cloth_ease out to go by the cloth's weight"))
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

/// A refusal with its field and remedy.
fn fault(field: &str, sentence: String, remedy: &str) -> Remark {
    Remark::refusal(sentence).field(field).remedy(remedy)
}

/// Something tried that passed.
fn passed(name: &'static str, says: String) -> Check {
    Check { name, ok: true, severity: Weight::Note, says, remedy: None }
}
