//! The lay: how the cloth is cut across and folded, and where each piece lies on it.
//!
//! Two ways. Any pieces are laid on one length, folded in the way that spends least ([`plan`]). And the trade's own way:
//! a dress is usually longer than the cloth is wide, so two lengths are cut, each is folded along its centre, and one
//! is laid over the other: four layers, every piece's centre on a fold. Nothing is turned or mirrored against the
//! print, so the plan serves one-way cloth too when both lengths are laid the same way.

mod bias;
mod buy;
mod domain;
mod flaw;
mod fold;
pub mod kept;
mod matching;
mod need;
mod pin;
mod planner;
pub mod proof;
mod ready;
mod shift;
mod spare;
mod wanted;

use crate::finish::Piece;
use crate::geometry::{Cloth as ClothFrame, Draft as DraftFrame, Map, Outline};
use crate::nest::Forms;
use crate::order::{Cloth, Matching, Print};
use crate::remark::{Refusal, Remark, Told, told};
use crate::units::System;

pub use bias::{Strip, in_rectangle, laid_in_rectangle};
pub use buy::{Bought, Offer, offers, whole_repeats_mm};
pub use fold::{Fold, FoldAt, Zone};
pub use matching::{End, Meeting};
pub use need::{LeftOver, Need};
pub use pin::Broken;
pub use planner::{Effort, Weighed, plan};
pub use shift::Range;
pub use wanted::Wanted;

/// A piece where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The piece; whole where the cloth lies single, though it may be drawn by half.
    pub piece: Piece,
    /// Which of the pieces that were asked for it is.
    pub of: usize,
    /// Layers that it is cut through.
    pub layers: u32,
    /// How many pieces that gives.
    pub gives: u32,
    /// From the draft to the folded cloth.
    pub cloth_from_draft: Map<DraftFrame, ClothFrame>,
    /// How far it lies from where it lies by itself, towards the hem end.
    pub shift_mm: f64,
    /// Whether it is turned end for end.
    pub turned: bool,
    /// Whether it is mirrored.
    pub mirrored: bool,
}

/// A lay.
#[derive(Clone, Debug, PartialEq)]
pub struct Lay {
    /// The unit system of its sentences.
    pub system: System,
    /// The cloth it is for.
    pub cloth: Cloth,
    /// How it is folded.
    pub fold: Fold,
    /// Layers in the stack.
    pub layers: u32,
    /// How many lengths are cut across.
    pub lengths: u32,
    /// What every length is longer for pieces to be moved at the table.
    pub room_mm: f64,
    /// What one length measures along the selvedge.
    pub length_mm: f64,
    /// Fold to selvedge: half the cloth's width.
    pub folded_width_mm: f64,
    /// Cloth used along the selvedge.
    pub used_mm: f64,
    /// The pieces, from the top of the stack down.
    pub placed: Vec<Placed>,
    /// What is left of the cloth.
    pub left_over: Vec<LeftOver>,
    /// The kinds of fold that were weighed; none where only one was thought of.
    pub weighed: Vec<Weighed>,
    /// What meets on the print.
    pub meets: Meets,
}

/// What of a lay meets on the print.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meets {
    /// Which way.
    pub way: Matching,
    /// The points that meet.
    pub meetings: Vec<Meeting>,
    /// The cloth that the pieces would spend if nothing met; none where that was not looked for.
    pub plain_mm: Option<f64>,
}

impl Meets {
    /// Whether the print is said to meet at these points, that way.
    pub fn claims(&self, meeting: &Meeting) -> bool {
        match self.way {
            Matching::None => false,
            Matching::Along => meeting.along,
            Matching::Across | Matching::Both => meeting.across,
        }
    }

    /// What meets, by its names, each once.
    pub fn names(&self) -> Vec<&'static str> {
        let mut names: Vec<&str> =
            self.meetings.iter().filter(|meeting| self.claims(meeting)).map(|meeting| meeting.what).collect();
        names.sort_unstable();
        names.dedup();
        names
    }
}

impl Placed {
    /// The cut outline on the cloth.
    pub fn cut(&self) -> Outline<ClothFrame> {
        self.piece.cut.mapped(&self.cloth_from_draft)
    }
}

impl Lay {
    /// The piece of that name, as it is laid.
    pub fn piece(&self, name: &str) -> Option<&Piece> {
        self.placed.iter().map(|placed| &placed.piece).find(|piece| piece.name == name)
    }

    /// What it takes: "2 lengths of 1.08 m", "210.4 cm".
    pub fn in_lengths(&self) -> String {
        let each = self.system.show_at_least(self.length_mm);
        if self.lengths == 1 { each } else { format!("{} lengths of {each}", self.lengths) }
    }

    /// How wide it lies, and how thick: "57 cm from fold to selvedge, 4 layers"; "140 cm wide, single".
    pub fn as_it_lies(&self) -> String {
        let wide = self.system.show(self.folded_width_mm);
        match self.fold {
            Fold::Open => format!("{wide} wide, single"),
            Fold::AtHalf | Fold::LengthsOnTheirCentre => {
                format!("{wide} from fold to selvedge, {} layers", self.layers)
            }
            Fold::Partly { .. } | Fold::BothIn { .. } => format!("{wide} wide as folded, up to {} layers", self.layers),
        }
    }

    /// The flaws of the cloth where they lie when it is folded.
    pub fn flaws(&self) -> Vec<Outline<ClothFrame>> {
        flaw::folded(&self.cloth.flaws, self.fold, self.cloth.width_mm)
    }

    /// Whether nothing may lie upside down.
    pub fn is_one_way(&self) -> bool {
        self.cloth.print == Print::OneWay
    }

    /// How far the widest piece reaches from the fold, turnings included.
    pub fn widest_mm(&self) -> f64 {
        self.placed.iter().map(|placed| placed.piece.cut.bounds().1.x).fold(0.0, f64::max)
    }

    /// Area of all pieces, unfolded, as a share of the cloth used.
    pub fn used_share(&self) -> f64 {
        let piece_mm2 = |placed: &Placed| {
            let halves = if placed.piece.on_fold { 2.0 } else { 1.0 };
            placed.piece.cut.area_mm2() * halves * f64::from(placed.gives)
        };
        self.placed.iter().map(piece_mm2).sum::<f64>() / (self.used_mm * self.cloth.width_mm)
    }
}

/// Lays the pieces of a draft on the cloth, of whose lay nothing is asked.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn lay(pieces: &[Piece], cloth: &Cloth, system: System) -> Told<Lay> {
    usual(&Wanted::of(pieces, cloth, system), &Effort::FIRST, &mut Forms::default())
}

/// The usual lay: lengths folded on their centre where that is possible, else the shortest lay that is found with that
/// effort.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn usual(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Told<Lay> {
    if wanted.is_searched() { plan(wanted, effort, forms) } else { on_their_centre(wanted) }
}

/// The lay that spends least, searched for with that effort: any pieces on one length, or each on a length of
/// its own where that is possible and spends less.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn cheapest(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Told<Lay> {
    if wanted.is_searched() {
        return plan(wanted, effort, forms);
    }
    if !wanted.asked.shifts_mm.is_empty() {
        // Only pieces on lengths of their own can be moved along them.
        return on_their_centre(wanted);
    }
    let planned = plan(wanted, effort, forms);
    let stacked = on_their_centre(wanted);
    let (mut planned, stacked) = match (planned, stacked) {
        (Ok(planned), Ok(stacked)) => (planned, stacked),
        (planned, stacked) => return planned.or(stacked),
    };
    let used_mm = stacked.value.used_mm;
    let mut weighed = std::mem::take(&mut planned.value.weighed);
    weighed.push(Weighed { fold: stacked.value.fold, bound_mm: used_mm, used_mm: Some(used_mm) });
    let mut cheaper = if used_mm <= planned.value.used_mm { stacked } else { planned };
    cheaper.value.weighed = weighed;
    Ok(cheaper)
}

/// Whether every piece is cut once, on the fold, and covers or is covered by the others: a front and a back, each with a
/// length of its own.
pub fn is_all_on_fold<'p>(pieces: impl IntoIterator<Item = &'p Piece>) -> bool {
    pieces.into_iter().all(|piece| piece.on_fold && piece.count == 1 && ["front", "back"].contains(&piece.name))
}

/// Lays pieces that are all cut once on the fold each on a length of its own. Where the print must meet along, every
/// length is as many whole repeats, so that all begin alike.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn on_their_centre(wanted: &Wanted<'_>) -> Told<Lay> {
    let Wanted { cloth, system, .. } = *wanted;
    let pieces: Vec<Piece> = wanted.pieces().cloned().collect();
    let spared = if wanted.level_mm().is_none() { spare::spared(&pieces, cloth, system) } else { None };
    let (pieces, sparing) = match spared {
        Some((spared, remark)) => (spared, Some(remark)),
        None => (pieces, None),
    };
    let need = Need::of(&pieces);
    let plain_mm = wanted.level_mm().map(|_| need.total_mm());
    let need = Need { length_mm: buy::in_step_mm(need.length_mm, wanted.level_mm()), ..need };
    let mut remarks = need.shortfalls(cloth, system);
    remarks.extend(sparing);
    let placed = stacked(&pieces, &need);
    let lengths = pieces.len() as u32;
    let used_mm = f64::from(lengths) * need.length_mm;
    remarks.extend(print_remarks(cloth));
    remarks.extend(wanted.unmatched());
    let lay = Lay {
        system,
        cloth: cloth.clone(),
        fold: Fold::LengthsOnTheirCentre,
        layers: fold::LAYERS_A_LENGTH * lengths,
        lengths,
        room_mm: 0.0,
        length_mm: need.length_mm,
        folded_width_mm: cloth.width_mm / 2.0,
        used_mm,
        left_over: need.left_over(cloth),
        weighed: Vec::new(),
        meets: Meets { way: wanted.matching(), meetings: wanted.ties().meetings, plain_mm },
        placed,
    };
    told(lay, remarks)
}

/// Every piece on its own length, start lines level, the piece that covers the others on top: it can be cut out first
/// and lifted off without a cut into what lies below.
fn stacked(pieces: &[Piece], need: &Need) -> Vec<Placed> {
    let uncovered_mm2 = |piece: &Piece| pieces.iter().map(|other| other.cut.area_outside_mm2(&piece.cut)).sum::<f64>();
    let mut order: Vec<(f64, usize)> = pieces.iter().map(uncovered_mm2).zip(0..).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let cloth_from_draft = shift::on_cloth(need.top_mm, 0.0);
    order
        .into_iter()
        .map(|(_, of)| Placed {
            piece: pieces[of].clone(),
            of,
            layers: fold::LAYERS_A_LENGTH,
            gives: pieces[of].count,
            cloth_from_draft,
            shift_mm: 0.0,
            turned: false,
            mirrored: false,
        })
        .collect()
}

/// What the print asks of her.
fn print_remarks(cloth: &Cloth) -> Vec<Remark> {
    let one_way = (cloth.print == Print::OneWay).then(|| {
        Remark::note("one-way print: cut the lengths apart, and lay each with its print's head at the neck end")
            .remedy("never fold this cloth across: one layer would stand on its head")
    });
    one_way.into_iter().collect()
}

/// The cloth of an order, or a sentence that it is missing.
///
/// # Errors
/// When the order has no `[cloth]`.
pub fn cloth_of(cloth: Option<&Cloth>) -> Result<&Cloth, Refusal> {
    cloth.ok_or_else(|| {
        Refusal::because(
            Remark::refusal("[cloth] is missing")
                .field("cloth")
                .remedy("write [cloth] and width = \"114 cm\", measured between the selvedges"),
        )
    })
}
