//! What is to be laid: the pieces of one garment or several, on which cloth, and what is asked of the lay.

use super::landing::{Landing, landings, on_columns};
use super::matching::{Meeting, Ties};
use super::{Fold, RuledOut, flaw, is_all_on_fold};
use crate::finish::Piece;
use crate::order::{Asked, Cloth, FOLD, FoldKind, Matching};
use crate::remark::{Refusal, Remark};
use crate::units::System;

/// What is to be laid.
#[derive(Clone, Debug)]
pub struct Wanted<'w> {
    /// The pieces of each garment.
    pub garments: Vec<&'w [Piece]>,
    /// Whose each garment is; none where there is but one.
    pub names: Vec<String>,
    /// The cloth.
    pub cloth: &'w Cloth,
    /// The unit system of what is said.
    pub system: System,
    /// What is asked beyond the least cloth.
    pub asked: Asked,
}

impl<'w> Wanted<'w> {
    /// One garment, of whose lay nothing is asked.
    pub fn of(pieces: &'w [Piece], cloth: &'w Cloth, system: System) -> Self {
        Self { garments: vec![pieces], names: Vec::new(), cloth, system, asked: Asked::default() }
    }

    /// The same with what an order asks.
    #[must_use]
    pub fn asking(self, asked: &Asked) -> Self {
        Self { asked: asked.clone(), ..self }
    }

    /// Every piece, one garment after the other.
    pub fn pieces(&self) -> impl Iterator<Item = &'w Piece> + '_ {
        self.garments.iter().flat_map(|pieces| pieces.iter())
    }

    /// Whose a piece is, by its place among all of them; none where that is not told.
    pub(super) fn whose(&self, of: usize) -> Option<&str> {
        let garments = self.garments.iter().zip(&self.names);
        let mut each = garments.flat_map(|(pieces, name)| pieces.iter().map(move |_| name.as_str()));
        each.nth(of)
    }

    /// The share of so much cloth along the selvedge that the pieces are.
    pub fn used_share(&self, used_mm: f64) -> f64 {
        let all_mm2 = |piece: &Piece| piece.unfolded().cut.area_mm2() * f64::from(piece.count);
        self.pieces().map(all_mm2).sum::<f64>() / (used_mm * self.cloth.width_mm)
    }

    /// Which way the print is to meet: none in which no repeat is known, or in which it runs through.
    pub fn matching(&self) -> Matching {
        let [along, across] = self.cloth.repeat_mm.map(|mm| mm.is_some());
        Matching::of(self.asked.matching.is_along() && along, self.asked.matching.is_across() && across)
    }

    /// The same as far as any piece is tied.
    pub(super) fn way(&self, ties: &Ties) -> Matching {
        if ties.is_empty() { Matching::None } else { self.matching() }
    }

    /// Where motifs must land.
    ///
    /// # Errors
    /// When too little is known of the print for what is asked.
    pub(super) fn landings(&self) -> Result<Vec<Landing>, Refusal> {
        landings(self)
    }

    /// Whether its lay is searched for, which takes a while: always but where lengths folded on their centre are asked for,
    /// or pieces are moved along them.
    pub fn is_searched(&self) -> bool {
        !self.asks_for_lengths() || self.why_not_lengths().is_some()
    }

    /// Whether lengths folded on their centre are asked for, or pieces are moved along them.
    pub(super) fn asks_for_lengths(&self) -> bool {
        self.fold().map_or(!self.asked.shifts_mm.is_empty(), |kind| kind == FoldKind::Lengths)
    }

    /// Why the pieces can't each have a length of their own, folded along its centre; none when they can.
    pub(super) fn why_not_lengths(&self) -> Option<&'static str> {
        let level = || self.ties().meetings.iter().filter(|meeting| meeting.along).all(Meeting::is_level);
        match () {
            () if !is_all_on_fold(self.pieces()) => Some("only a front and a back alone, each on a fold, are laid so"),
            () if !self.cloth.flaws.is_empty() => Some("flaws are not gone round so"),
            () if !self.asked.pins_mm.is_empty() => Some("pieces are kept in place on one length"),
            () if !level() => Some("the print would not meet: what must meet does not lie level"),
            () if !self.lands_on_lengths() => Some("the motifs would not lie where they must"),
            () if !self.is_off_border() => Some("a piece would lie on the border"),
            () => None,
        }
    }

    /// Whether all motifs land where lengths that begin alike are folded along their centre.
    fn lands_on_lengths(&self) -> bool {
        let landings = self.landings().unwrap_or_default();
        let lines_mm = Fold::LengthsOnTheirCentre.lines_mm(self.cloth.width_mm);
        let on_column = || on_columns(&lines_mm, self.cloth) || !landings.iter().any(|landing| landing.across);
        let mut levels = landings.iter().filter(|landing| landing.along).map(|landing| landing.at.y);
        let first = levels.next();
        let level = levels.all(|y_mm| first.is_some_and(|first| (first - y_mm).abs() < super::proof::IN_STEP_MM / 2.0));
        level && on_column()
    }

    /// Whether no piece reaches the border where lengths are folded along their centre.
    fn is_off_border(&self) -> bool {
        let free_mm = self.cloth.width_mm / 2.0 - self.cloth.border_mm;
        self.cloth.border_mm == 0.0 || self.pieces().all(|piece| piece.cut.bounds().1.x <= free_mm)
    }

    /// The kind of fold that the order asks for.
    pub(super) fn fold(&self) -> Option<FoldKind> {
        self.asked.fold.as_ref().map(|asked| asked.value)
    }

    /// The refusal when the kind of fold that the order asks for is ruled out; none when it asks for none.
    pub(super) fn refused_fold(&self, ruled_out: &[RuledOut]) -> Option<Refusal> {
        let asked = self.asked.fold.as_ref()?;
        let out = ruled_out.iter().find(|out| out.kind == asked.value)?;
        let remark =
            Remark::refusal(format!("the fold that is asked for can't be had, {}: {}", out.kind.says(), out.why));
        let remark = remark.line(asked.line).field(format!("lay.{FOLD}"));
        Some(Refusal::because(remark.remedy(format!("take {FOLD} out of [lay]: then every kind of fold is weighed"))))
    }

    /// What is asked of the print, and told of the cloth, that is nowhere on them: refused, since she counts on it.
    pub(super) fn stray(&self) -> Vec<Remark> {
        self.unmatched().into_iter().chain(flaw::off_the_cloth(self.cloth, self.system)).collect()
    }

    /// What is said when the print is to meet and nothing can be done about it.
    fn unmatched(&self) -> Option<Remark> {
        if self.asked.matching == Matching::None {
            return None;
        }
        if self.cloth.repeat_mm == [None; 2] {
            let remark = Remark::refusal("the print is to meet, but its repeat is not known");
            let remedy = "write repeat = [\"32 cm\", \"64 cm\"] under [cloth], along the selvedge and across, or take \
                          match out of [lay]";
            return Some(remark.field("lay.match").remedy(remedy));
        }
        if self.matching() != self.asked.matching {
            let through = if self.cloth.repeat_mm[0].is_none() { "along" } else { "across" };
            let says = format!("the print runs through {through}: there is nothing of it to meet that way");
            let remedy = match self.matching() {
                Matching::Along => "it meets along, which is all that such a print can",
                Matching::Across => "it meets across, which is all that such a print can",
                _ if through == "along" => "write match = \"across\": stripes along the selvedge meet so",
                _ => "write match = \"along\": stripes across meet so",
            };
            let remark = if self.matching() == Matching::None { Remark::refusal(says) } else { Remark::note(says) };
            return Some(remark.field("lay.match").remedy(remedy));
        }
        self.ties().is_empty().then(|| {
            let remark = Remark::refusal("none of these pieces has a seam at which a print is matched");
            remark.field("lay.match").remedy("take match out of [lay]")
        })
    }

    /// The repeat along the selvedge, where lengths must begin alike on it.
    pub(super) fn level_mm(&self) -> Option<f64> {
        let lands = || self.landings().is_ok_and(|landings| landings.iter().any(|landing| landing.along));
        self.cloth.repeat_mm[0].filter(|_| self.matching().is_along() || lands())
    }

    /// What must meet what.
    pub(super) fn ties(&self) -> Ties {
        if self.matching() == Matching::None { Ties::default() } else { Ties::of(&self.garments) }
    }
}
