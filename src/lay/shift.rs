//! Pieces moved along their lengths, so that the print's motifs fall where they should.
//!
//! A piece that lies on the fold can be moved along it and no other way: across, its centre would leave the fold. It can
//! go back until it meets the cut end at its head, and on until it meets the other; beyond that every length must be
//! longer, and the cloth must have that much for each of them, since the lengths are cut alike.

use super::buy::in_step_mm;
use super::need::{NOISE_MM, Need};
use super::proof::{Fault, faults};
use super::{Fold, Lay, left};
use crate::entries::nearest;
use crate::geometry::{Cloth, Draft, Map, Vector};
use crate::order::{Asked, ROOM};
use crate::remark::{Remark, Told, told};

/// How far a piece can lie from where it lies by itself: least and most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Towards the head; never above nought.
    pub least_mm: f64,
    /// Towards the hem.
    pub most_mm: f64,
}

impl Range {
    /// The nearest place within it.
    pub fn nearest_mm(&self, shift_mm: f64) -> f64 {
        shift_mm.min(self.most_mm).max(self.least_mm)
    }
}

/// A piece that lies close among others stays where it lies.
const STAYS: Range = Range { least_mm: 0.0, most_mm: 0.0 };

impl Lay {
    /// The lay that an order asks for.
    ///
    /// # Errors
    /// When it names a piece that there is not, or asks for more than the cloth has: which piece, and what would fit.
    pub fn as_asked(&self, asked: &Asked) -> Told<Self> {
        if self.fold != Fold::LengthsOnTheirCentre {
            return self.with_room(asked);
        }
        let names: Vec<&str> = self.placed.iter().map(|placed| placed.piece.name).collect();
        let unknown = asked.shifts_mm.iter().filter(|(name, _)| !names.contains(&name.as_str()));
        let mut remarks: Vec<Remark> = unknown
            .map(|(name, placed)| {
                let known: Vec<&str> = names.iter().copied().chain([ROOM]).collect();
                let remedy = match nearest(name, &known) {
                    Some(near) => format!("did you mean {near}?"),
                    None => format!("its pieces are {}", names.join(", ")),
                };
                let name = crate::entries::shown(name);
                let remark = Remark::refusal(format!("{name} is no piece of this garment")).line(placed.line);
                remark.field(format!("lay.{name}")).remedy(remedy)
            })
            .collect();
        let shift_of = |name: &str| asked.shifts_mm.get(name).map_or(0.0, |placed| placed.value);
        let shifts_mm: Vec<f64> = names.iter().map(|name| shift_of(name)).collect();
        for (i, name) in names.iter().enumerate() {
            let Some(no) = self.past_the_head(i, shifts_mm[i]) else { continue };
            let no = no.field(format!("lay.{name}"));
            remarks.push(match asked.shifts_mm.get(*name) {
                Some(placed) => no.line(placed.line),
                None => no,
            });
        }
        let in_step = self.meets.way.is_along() || self.meets.landings.iter().any(|landing| landing.along);
        let repeat_mm = self.cloth.repeat_mm[0].filter(|_| in_step);
        let length_mm = in_step_mm(self.length_for_mm(&shifts_mm) + asked.room_mm, repeat_mm);
        remarks.extend(self.cloth_missing(length_mm));
        let moved = Self { room_mm: asked.room_mm, ..self.with(&shifts_mm, length_mm) };
        remarks.extend(moved.out_of_step(asked));
        told(moved, remarks)
    }

    /// What is said when pieces are moved so that the print meets no longer.
    fn out_of_step(&self, asked: &Asked) -> Option<Remark> {
        let (name, placed) = asked.shifts_mm.iter().next()?;
        let show = |mm: f64| self.system.show_fine(mm);
        let (says, remedy) = faults(self).into_iter().find_map(|fault| match fault {
            Fault::OutOfStep(i, off_mm) => {
                let what = self.meets.meetings[i].what;
                Some((
                    format!("the print must meet, and it is {} out of step at the {what}", show(off_mm)),
                    "move every piece by as much or by whole repeats, or write match = \"none\" under [lay]",
                ))
            }
            Fault::OffMotif(_, off_mm) => Some((
                format!("a motif must lie at its place, and it is {} off it", show(off_mm)),
                "move by whole repeats, or take motif out of [lay]",
            )),
            _ => None,
        })?;
        Some(Remark::refusal(says).line(placed.line).field(format!("lay.{name}")).remedy(remedy))
    }

    /// The cloth that it spends without the room that was asked for.
    pub fn without_room_mm(&self) -> f64 {
        f64::from(self.lengths) * self.fold.spent_mm(self.length_mm - self.room_mm)
    }

    /// A planned lay with the room that an order asks for: at the end, since its pieces lie close.
    fn with_room(&self, asked: &Asked) -> Told<Self> {
        let no = |(name, placed): (&String, &crate::entries::Placed<f64>)| {
            let name = crate::entries::shown(name);
            let remark = Remark::refusal(format!("{name} can't be moved: its pieces lie close on one length"));
            let remedy =
                format!("write where it must lie: {name} = [\"40 cm\", \"12 cm\"], from the cut end and the near edge");
            remark.line(placed.line).field(format!("lay.{name}")).remedy(remedy)
        };
        let mut remarks: Vec<Remark> = asked.shifts_mm.iter().map(no).collect();
        let length_mm = self.length_mm + asked.room_mm;
        remarks.extend(self.cloth_missing(length_mm));
        let lay = Self { room_mm: asked.room_mm, length_mm, used_mm: self.fold.spent_mm(length_mm), ..self.clone() };
        told(Self { left_over: left::over(&lay), ..lay }, remarks)
    }

    /// The lay with its pieces moved so far, on cloth that stays as it is cut; none when one can't lie so.
    pub fn moved(&self, shifts_mm: &[Vector<Cloth>]) -> Option<Self> {
        if shifts_mm.len() != self.placed.len() {
            return None;
        }
        if self.fold != Fold::LengthsOnTheirCentre {
            return self.moved_side_by_side(shifts_mm);
        }
        let fits = |(i, shift_mm): (usize, &Vector<Cloth>)| {
            let range = self.range_as_cut(i);
            shift_mm.y == 0.0 && (range.least_mm - NOISE_MM..=range.most_mm + NOISE_MM).contains(&shift_mm.x)
        };
        let all = shifts_mm.iter().enumerate().all(fits);
        let along_mm: Vec<f64> = shifts_mm.iter().map(|shift_mm| shift_mm.x).collect();
        all.then(|| self.with(&along_mm, self.length_mm))
    }

    /// How far its pieces lie from where they lie by themselves.
    pub fn shifts_mm(&self) -> Vec<Vector<Cloth>> {
        self.placed.iter().map(|placed| placed.shift_mm).collect()
    }

    /// Where a piece comes to lie on cloth as it is cut when it is moved so far from where it lies by itself, and why it
    /// goes no farther.
    pub fn slid(&self, piece: usize, to_mm: Vector<Cloth>) -> (Vector<Cloth>, Option<Remark>) {
        if self.fold != Fold::LengthsOnTheirCentre {
            return self.slid_side_by_side(piece, to_mm);
        }
        let range = self.range_as_cut(piece);
        (Vector::new(range.nearest_mm(to_mm.x), 0.0), self.hinders(piece, to_mm, range))
    }

    /// Where a piece can lie on the lengths as they are cut.
    pub fn range_as_cut(&self, piece: usize) -> Range {
        if self.fold != Fold::LengthsOnTheirCentre {
            return STAYS;
        }
        let [head_mm, foot_mm] = self.reach_mm(piece);
        Range { least_mm: 0.0 - head_mm, most_mm: self.length_mm - foot_mm }
    }

    /// Where a piece can lie while the cloth is still whole: within what is left over, and without end when it is not
    /// known how much there is.
    pub fn range_uncut(&self, piece: usize) -> Range {
        if self.fold != Fold::LengthsOnTheirCentre {
            return STAYS;
        }
        let [head_mm, foot_mm] = self.reach_mm(piece);
        let longest_mm = self.cloth.length_mm.map(|length_mm| length_mm / f64::from(self.lengths.max(1)));
        let most_mm = longest_mm.map_or(f64::INFINITY, |longest_mm| longest_mm - self.room_mm - foot_mm);
        Range { least_mm: 0.0 - head_mm, most_mm: most_mm.max(0.0) }
    }

    /// Why a piece can't lie so far from where it lies by itself, along and across; none when it can.
    pub fn hinders(&self, piece: usize, by_mm: Vector<Cloth>, range: Range) -> Option<Remark> {
        let placed = self.placed.get(piece)?;
        let name = placed.piece.name;
        if self.fold != Fold::LengthsOnTheirCentre {
            let remark = Remark::doubt(format!("the {name} lies close between other pieces: it can't be moved"));
            return Some(remark.remedy("write where it must lie under [lay]: the others are laid around it"));
        }
        if by_mm.y.abs() > NOISE_MM && placed.piece.on_fold {
            let remark = Remark::doubt(format!("the centre of the {name} lies on the fold: it can't be moved across"));
            return Some(remark.remedy("move it along the fold"));
        }
        if let Some(no) = self.past_the_head(piece, by_mm.x) {
            return Some(no);
        }
        let over_mm = by_mm.x - range.most_mm;
        (over_mm > NOISE_MM).then(|| self.too_far(name, over_mm))
    }

    /// What is said when a piece would go on beyond its length by so much.
    fn too_far(&self, name: &str, over_mm: f64) -> Remark {
        let show = |mm: f64| self.system.show_at_least(mm);
        let lengths = f64::from(self.lengths);
        Remark::doubt(format!(
            "the {name} ends where its length ends: {} more needs {} more cloth, {} for each of {} lengths",
            show(over_mm),
            show(over_mm * lengths),
            show(over_mm),
            self.lengths
        ))
        .remedy(format!(
            "before the lengths are cut, ask for {} of room at their ends ({ROOM}, on the cloth's page)",
            show(over_mm)
        ))
    }

    fn past_the_head(&self, piece: usize, shift_mm: f64) -> Option<Remark> {
        let least_mm = self.range_as_cut(piece).least_mm;
        (shift_mm < least_mm - NOISE_MM).then(|| {
            let name = self.placed[piece].piece.name;
            let over = self.system.show_at_least(least_mm - shift_mm);
            let remark = Remark::refusal(format!("the {name} would lie {over} past the cut end at its head"));
            remark.remedy(format!("move it back by {} at most, or on, towards the hem", self.system.show(-least_mm)))
        })
    }

    fn cloth_missing(&self, length_mm: f64) -> Option<Remark> {
        let used_mm = self.fold.spent_mm(length_mm) * f64::from(self.lengths);
        let short_mm = used_mm - self.cloth.length_mm?;
        if short_mm <= NOISE_MM {
            return None;
        }
        let least_mm = short_mm / f64::from(self.lengths);
        let remark = Remark::refusal(format!(
            "the pieces as they are moved need {} lengths of {}: {} more cloth than there is",
            self.lengths,
            self.system.show_at_least(length_mm),
            self.system.show_at_least(short_mm)
        ));
        Some(remark.field("lay").remedy(format!(
            "move them {} less, ask for less room, or buy {}",
            self.system.show_at_least(least_mm),
            self.system.show_cut_from_bolt(used_mm)
        )))
    }

    /// How far below the head of its length a piece begins by itself, and where it ends.
    fn reach_mm(&self, piece: usize) -> [f64; 2] {
        let (low, high) = self.placed[piece].piece.cut.bounds();
        [low.y - self.top_mm(), high.y - self.top_mm()]
    }

    fn top_mm(&self) -> f64 {
        self.need().top_mm
    }

    fn need(&self) -> Need {
        Need::of(self.placed.iter().map(|placed| &placed.piece)).headed(self.head_mm)
    }

    fn length_for_mm(&self, shifts_mm: &[f64]) -> f64 {
        let ends = shifts_mm.iter().enumerate().map(|(i, shift_mm)| self.reach_mm(i)[1] + shift_mm);
        ends.fold(0.0, f64::max)
    }

    fn with(&self, shifts_mm: &[f64], length_mm: f64) -> Self {
        let mut lay = self.clone();
        if self.fold != Fold::LengthsOnTheirCentre {
            return lay;
        }
        let need = Need { length_mm, ..self.need() };
        for (placed, shift_mm) in lay.placed.iter_mut().zip(shifts_mm) {
            placed.shift_mm = Vector::new(*shift_mm, 0.0);
            placed.cloth_from_draft = on_cloth(need.top_mm, *shift_mm);
        }
        lay.length_mm = length_mm;
        lay.used_mm = length_mm * f64::from(lay.lengths);
        lay.left_over = left::over(&lay);
        lay
    }
}

/// The draft laid with its centre on the fold and its head to the cut end, moved along by a shift.
pub(super) fn on_cloth(top_mm: f64, shift_mm: f64) -> Map<Draft, Cloth> {
    Map::new(0.0, 1.0, 1.0, 0.0, shift_mm - top_mm, 0.0)
}
