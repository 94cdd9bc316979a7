//! The lay: how the cloth is cut across and folded, and where each piece lies on it.
//!
//! Two ways. Any pieces are laid on one length, folded in the way that spends least ([`plan`]). And the trade's own way:
//! a dress is usually longer than the cloth is wide, so two lengths are cut, each is folded along its centre, and one
//! is laid over the other: four layers, every piece's centre on a fold. Nothing is turned or mirrored against the
//! print, so the plan serves one-way cloth too when both lengths are laid the same way. [`usual`] weighs both.

mod begin;
mod bias;
mod buy;
mod by_hand;
mod domain;
mod end_to_end;
mod flaw;
mod fold;
mod folds;
pub mod kept;
mod landing;
mod left;
mod lengths;
mod matching;
mod need;
mod phases;
mod pin;
mod planner;
pub mod proof;
mod ready;
mod says;
mod shift;
mod spare;
mod wanted;
mod weighed;

use crate::finish::Piece;
use crate::geometry::{Cloth as ClothFrame, Draft as DraftFrame, Map, Outline, Vector};
use crate::nest::Forms;
use crate::order::{Cloth, FoldKind, Matching, Print};
use crate::remark::{Refusal, Remark, Told};
use crate::units::System;

use need::NOISE_MM;

pub use bias::{Strip, in_rectangle, laid_in_rectangle};
pub use buy::{Bought, Offer, offers, offers_instead, whole_repeats_mm};
pub use fold::{Fold, FoldAt, Zone};
pub use landing::Landing;
pub use left::LeftOver;
pub use lengths::{is_all_on_fold, on_their_centre};
pub use matching::{End, Meeting};
pub use need::Need;
pub use pin::Broken;
pub use planner::{Effort, plan};
pub use shift::Range;
pub use wanted::Wanted;
pub use weighed::{RuledOut, Weighed};

/// A piece where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The piece; whole where the cloth lies single, though it may be drawn by half.
    pub piece: Piece,
    /// Which of the pieces that were asked for it is.
    pub of: usize,
    /// Whose it is, where several orders lie together.
    pub whose: Option<String>,
    /// Layers that it is cut through.
    pub layers: u32,
    /// How many pieces that gives.
    pub gives: u32,
    /// From the draft to the folded cloth.
    pub cloth_from_draft: Map<DraftFrame, ClothFrame>,
    /// How far it was moved from where it lies by itself, along towards the hem end and across.
    pub shift_mm: Vector<ClothFrame>,
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
    /// Cloth at the head of every length before the highest piece begins, so that motifs land where they must.
    pub head_mm: f64,
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
    /// The folds that were weighed; none where lengths folded on their centre are asked for.
    pub weighed: Vec<Weighed>,
    /// The kinds of fold that are not to be had.
    pub ruled_out: Vec<RuledOut>,
    /// What meets on the print.
    pub meets: Meets,
    /// The cloth that the pieces would spend if none were kept at a place; none where none is, or that was not looked for.
    pub unpinned_mm: Option<f64>,
}

/// What of a lay meets on the print.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Meets {
    /// Which way.
    pub way: Matching,
    /// The points that meet.
    pub meetings: Vec<Meeting>,
    /// The places that lie on motifs.
    pub landings: Vec<Landing>,
    /// The shortest lay that was found when the cloth may be cut off before its first motif; none where that is all the
    /// same, or was not looked for.
    pub best_start: Option<Start>,
    /// The cloth that the pieces would spend if nothing met or landed; none where that was not looked for.
    pub plain_mm: Option<f64>,
}

/// Where the print begins on the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// From the cut end to the middle of the first motif of the row, or of the column, that pieces are laid to.
    pub motif_mm: f64,
    /// The cloth that is spent then.
    pub used_mm: f64,
}

impl Meets {
    /// Whether anything meets or lands.
    pub fn is_any(&self) -> bool {
        self.way != Matching::None || !self.landings.is_empty()
    }

    /// Whether the print is said to meet at these points, that way.
    pub fn claims(&self, meeting: &Meeting) -> bool {
        match self.way {
            Matching::None => false,
            Matching::Along => meeting.along,
            Matching::Across | Matching::Both => meeting.across,
        }
    }

    /// Whether the lay is the same wherever the print begins: nothing lies level with a row of motifs.
    pub fn is_begun_anywhere(&self) -> bool {
        !self.landings.iter().any(|landing| landing.along)
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
        if self.lengths == 1 {
            return self.system.show_at_least(self.used_mm);
        }
        format!("{} lengths of {}", self.lengths, self.system.show_at_least(self.length_mm))
    }

    /// A length of it in words: the whole one as it is cut from the cloth, which is no less than the pieces take.
    pub fn along_in_words(&self, along_mm: f64) -> String {
        if along_mm == self.length_mm { self.system.show_at_least(along_mm) } else { self.system.show(along_mm) }
    }

    /// How wide it lies, and how thick: "57 cm from fold to selvedge, 4 layers"; "140 cm wide, single".
    pub fn as_it_lies(&self) -> String {
        let wide = self.system.show(self.folded_width_mm);
        match self.fold {
            Fold::Open => format!("{wide} wide, single"),
            Fold::Across => {
                format!("{wide} wide, {} from the cut ends to the fold, 2 layers", self.along_in_words(self.length_mm))
            }
            Fold::AtHalf | Fold::LengthsOnTheirCentre | Fold::InFour => {
                format!("{wide} from fold to selvedge, {} layers", self.layers)
            }
            Fold::Partly { .. } | Fold::BothIn { .. } => format!("{wide} wide as folded, up to {} layers", self.layers),
        }
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

/// The usual lay, as a first answer.
///
/// # Errors
/// As [`usual`].
pub fn lay(wanted: &Wanted<'_>) -> Told<Lay> {
    usual(wanted, &Effort::FIRST, &mut Forms::default())
}

/// The usual lay: the one that spends least cloth of every kind of fold, searched for with that effort, or of the kind that
/// the order asks for. Where a shop would cut the same for both, a front and a back alone are laid on lengths folded on
/// their centre: they are cut out together, in the fewest stages.
///
/// # Errors
/// When the cloth is too narrow or too short: by how much, and what would fit.
pub fn usual(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Told<Lay> {
    let no = wanted.why_not_lengths().map(|why| RuledOut { kind: FoldKind::Lengths, why: why.into() });
    if let Some(refused) = no.as_ref().and_then(|no| wanted.refused_fold(std::slice::from_ref(no))) {
        return Err(refused);
    }
    if no.is_none() && wanted.asks_for_lengths() {
        return on_their_centre(wanted);
    }
    let planned = plan(wanted, effort, forms);
    match no {
        _ if wanted.fold().is_some() => planned,
        None => cheaper(wanted, planned),
        Some(no) => planned.map(|mut planned| {
            planned.value.ruled_out.push(no);
            planned
        }),
    }
}

/// The cheaper of a planned lay and lengths folded on their centre.
fn cheaper(wanted: &Wanted<'_>, planned: Told<Lay>) -> Told<Lay> {
    let (mut planned, mut lengths) = match (planned, on_their_centre(wanted)) {
        (Ok(planned), Ok(lengths)) => (planned, lengths),
        (Ok(mut planned), Err(no)) => {
            let why = no.remarks.into_iter().next().map_or_else(String::new, |remark| remark.sentence);
            planned.value.ruled_out.push(RuledOut { kind: FoldKind::Lengths, why });
            return Ok(planned);
        }
        (Err(_), Ok(lengths)) => return Ok(lengths),
        (Err(planned), Err(lengths)) => {
            // What is found too short is the least that was found; what is too narrow is told by the fold that is usual.
            let is_short = planned.remarks.iter().any(|remark| remark.place.field.as_deref() == Some("cloth.length"));
            return Err(if is_short { planned } else { lengths });
        }
    };
    let cut_mm = |lay: &Lay| lay.system.cut_from_bolt_mm(lay.to_buy_mm());
    let used_mm = lengths.value.used_mm;
    // A hem that gives up a part of its turning is the last resort.
    let is_whole = used_mm >= Need::of(wanted.pieces()).total_mm() - NOISE_MM;
    let lengths_win = is_whole && cut_mm(&lengths.value) <= cut_mm(&planned.value);
    planned.value.weighed.push(Weighed {
        fold: lengths.value.fold,
        bound_mm: used_mm,
        is_tried: true,
        used_mm: Some(used_mm),
    });
    if !lengths_win {
        return Ok(planned);
    }
    // What meeting costs is told against the shortest lay without, on whatever fold that lies.
    if lengths.value.meets.is_any() {
        let plain_mm = lengths.value.plain_mm().min(planned.value.plain_mm());
        lengths.value.meets.plain_mm = Some(plain_mm);
    }
    lengths.value.weighed = planned.value.weighed;
    lengths.value.ruled_out = planned.value.ruled_out;
    Ok(lengths)
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
