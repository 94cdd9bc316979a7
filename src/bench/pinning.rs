//! Pieces that lie side by side, moved by hand: the place where one is held, the rule that it would break there, and the
//! entry that keeps it there when it is let go. The rest is laid around it then; in a lay that is kept the rest stays where
//! it lies, and the place is one of that lay.

use super::model::Bench;
use super::motifs::ACROSS_MM;
use super::paper::{Entry, Form};
use crate::geometry::{Cloth, Vector};
use crate::lay::{Broken, Lay, is_all_on_fold, kept};
use crate::order::Asked;
use crate::remark::Remark;
use crate::units::System;

/// A piece is the kept one when it lies this near to where that is kept.
const SAME_MM: f64 = 1.0;

/// A piece that is held.
#[derive(Clone, Debug)]
pub struct Held {
    /// Which of the lay's.
    pub piece: usize,
    /// How far from where it lies.
    pub by_mm: Vector<Cloth>,
    /// Why it may not lie there.
    pub broken: Option<Remark>,
}

/// Where a piece is kept, as it is written under `[lay]`.
pub const fn place_of(name: &'static str) -> Entry {
    Entry { section: "lay", key: name, form: Form::List }
}

impl Bench {
    /// Whether the pieces are laid by a search, side by side.
    pub fn lays_side_by_side(&self) -> bool {
        let Some((drawn, _)) = self.drawn() else { return false };
        match &self.work().to_lay {
            Some(to_lay) => to_lay.wanted().is_searched(),
            None => !is_all_on_fold(&drawn.pieces),
        }
    }

    /// Holds a piece so far from where it lies, in whole millimetres or sixteenths, and in step where its print must meet.
    pub fn hold_piece(&mut self, piece: usize, by_mm: Vector<Cloth>) {
        let (Some(laid), Some(order)) = (&self.work().laid, &self.work().order) else { return };
        let lay = &laid.lay;
        let Some(placed) = lay.placed.get(piece) else { return };
        let is_fixed = |i: &usize| self.laid_as_kept().is_some() || kept_at(lay, *i, &order.lay).is_some();
        let fixed: Vec<usize> = (0..lay.placed.len()).filter(is_fixed).collect();
        let across_mm = if placed.piece.on_fold && by_mm.y.abs() < ACROSS_MM { 0.0 } else { by_mm.y };
        let low = placed.cut().bounds().0;
        let by_mm = Vector::new(stepped(low.x, by_mm.x, lay.system), stepped(low.y, across_mm, lay.system));
        let broken = |by_mm: Vector<Cloth>| lay.broken_by(piece, by_mm, &fixed);
        let (by_mm, broken) = match broken(by_mm) {
            Some(Broken::OutOfStep(off_mm)) => {
                let beside = [off_mm, -off_mm].map(|x_mm| by_mm + Vector::new(x_mm, 0.0));
                let in_step = beside.into_iter().find(|by_mm| broken(*by_mm).is_none());
                in_step.map_or((by_mm, Some(Broken::OutOfStep(off_mm))), |by_mm| (by_mm, None))
            }
            broken => (by_mm, broken),
        };
        let name = placed.piece.name;
        let pinned = self.laid_as_kept().and_then(|_| kept_at(lay, piece, &order.lay)).map(|_| {
            let remark = Remark::refusal(format!("the order keeps the {name} there"));
            remark.remedy(format!("empty the field of its place first: {name} kept at"))
        });
        let broken = pinned.or(broken.map(|broken| broken.remark(name, |mm| lay.system.show_fine(mm))));
        self.motifs.hindered.clone_from(&broken);
        self.motifs.moving = Some(piece);
        self.motifs.held = Some(Held { piece, by_mm, broken });
    }

    /// Lets the piece that is held go: where no rule is broken it is kept there from now on.
    pub fn drop_piece(&mut self) {
        let Some(held) = self.motifs.held.take() else { return };
        (self.motifs.hindered, self.motifs.moving) = (None, None);
        if held.broken.is_some() || held.by_mm == Vector::zero() {
            return;
        }
        let (Some(laid), Some(order)) = (&self.work().laid, &self.work().order) else { return };
        let lay = &laid.lay;
        if let Some(to_lay) = self.laid_as_kept() {
            let moved = lay.with_piece_at(held.piece, held.by_mm);
            let text = moved.and_then(|moved| kept::write(&moved, &to_lay.wanted()));
            self.keep_lay(text);
            return;
        }
        let name = lay.placed[held.piece].piece.name;
        let at = lay.placed[held.piece].cut().bounds().0 + held.by_mm;
        let mut places = order.lay.pins_mm.get(name).map_or_else(Vec::new, |places| places.value.clone());
        match kept_at(lay, held.piece, &order.lay) {
            Some(i) => places[i] = at.to_array(),
            None => places.push(at.to_array()),
        }
        let written = written(&places, lay.system);
        self.settle();
        self.write(&place_of(name), &written);
        self.settle();
    }
}

/// Which of the places that the order keeps for its name a piece lies at.
fn kept_at(lay: &Lay, piece: usize, asked: &Asked) -> Option<usize> {
    let placed = &lay.placed[piece];
    let low = placed.cut().bounds().0;
    let places = asked.pins_mm.get(placed.piece.name)?;
    places.value.iter().position(|[x, y]| (low.x - x).abs() < SAME_MM && (low.y - y).abs() < SAME_MM)
}

/// How far something is moved so that it comes to lie at whole steps; not at all when it is not moved.
fn stepped(from_mm: f64, by_mm: f64, system: System) -> f64 {
    if by_mm == 0.0 {
        return 0.0;
    }
    let step_mm = system.hand_step_mm();
    ((from_mm + by_mm) / step_mm).round() * step_mm - from_mm
}

/// A length as a drag writes it into its field: in the unit that she measures in, to the tenth of a millimetre or the
/// sixteenth of an inch.
pub fn in_field(mm: f64, system: System) -> String {
    match system {
        System::Metric => format!("{} cm", (mm * 10.0).round() / 100.0 + 0.0),
        System::Inch => system.show_fine(mm),
    }
}

/// Places as the order's file has them. The outermost one lies at nought, not a rounding before it.
fn written(places: &[[f64; 2]], system: System) -> String {
    let lengths = places.as_flattened().iter().map(|mm| format!("\"{}\"", in_field(mm.max(0.0), system)));
    format!("[{}]", lengths.collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::read_length;

    #[test]
    fn what_a_drag_writes_is_in_her_unit_and_loses_nothing() {
        for (mm, system, says) in [
            (34.0, System::Metric, "3.4 cm"),
            (-123.4, System::Metric, "-12.34 cm"),
            (900.0, System::Metric, "90 cm"),
            (0.0, System::Metric, "0 cm"),
            (-0.01, System::Metric, "0 cm"),
            (4.7625, System::Inch, "3/16 in"),
        ] {
            let written = in_field(mm, system);
            assert_eq!(written, says);
            let read = read_length(&written).expect("a length").mm;
            assert!((read - mm).abs() < 0.05, "{written} is {read}");
        }
    }
}
