//! Where the cloth lies, and where the pieces lie on it: nudged and turned, and never so far that the middle of what is cut
//! is dark; when a part of it is, that is said.
//!
//! The cloth is nudged as a whole. A piece is moved on the cloth within what the lay allows: along its length, as far as that
//! has room; or among the others where pieces lie side by side, as far as it covers none of them and no flaw, and stays on
//! cloth and fold. What falls on it of the print changes, and every later stage follows. Once anything was cut or chalked
//! to, pieces stay where they are.

use super::{Doing, Session};
use crate::geometry::{Cloth, Vector};
use crate::remark::Remark;
use crate::scene::Pose;
use crate::stages::LineKind;
use crate::stages::reach::Window;

/// One step of a nudge; a long one; one of a cross that is being met.
const NUDGE_MM: f64 = 1.0;
const LONG_NUDGE_MM: f64 = 10.0;
const CROSS_STEP_MM: f64 = 0.5;

/// One step of a turn.
const TURN_DEG: f64 = 0.1;

impl Session {
    /// Whether the middle of what is cut in a step would be lit.
    pub(super) fn lights(&self, step: usize, pose: Pose) -> bool {
        let middle = self.work.lit(step).middle();
        self.view.room.contains(pose.table_from_cloth().transform_point(middle))
    }

    /// Whether a part of what is worked on now lies outside the light.
    pub(super) fn is_partly_dark(&self) -> bool {
        let step = self.work.steps[self.state.step];
        let on_table = self.state.pose.table_from_cloth();
        let own = step.own.shared(&self.work.lit(self.state.step));
        let parts = self.stage().lines.iter().flat_map(|line| own.parts_of(&line.points));
        !step.passing && parts.flatten().any(|p| !self.view.room.contains(on_table.transform_point(p)))
    }

    /// Lays the cloth where it is planned, when what is cut would be dark where it lies.
    pub(super) fn come_into_light(&mut self) {
        let step = self.state.step;
        if !self.lights(step, self.state.pose) {
            self.state.pose = self.work.home(step, &self.view);
        }
    }

    pub(super) fn nudge(&mut self, [right, away]: [i32; 2], long: bool) {
        let fine_mm = if matches!(self.state.doing, Doing::Aligning(_)) { CROSS_STEP_MM } else { NUDGE_MM };
        let step_mm = if long { LONG_NUDGE_MM } else { fine_mm };
        let by = self.state.look.reads.step(f64::from(right), f64::from(away)) * step_mm;
        let room = self.view.room;
        match &mut self.state.doing {
            Doing::Aligning(alignment) => alignment.step(by, &room),
            Doing::Placing { piece, .. } => {
                let piece = *piece;
                self.slide(piece, by);
            }
            _ => self.place(Pose { at_mm: self.state.pose.at_mm + by, ..self.state.pose }),
        }
    }

    /// Turns the lines about the near left corner of the lit cloth, or the second cross about the first.
    pub(super) fn turn(&mut self, steps: i32) {
        let by_rad = (TURN_DEG * f64::from(steps)).to_radians();
        if let Doing::Aligning(alignment) = &mut self.state.doing {
            alignment.turn(by_rad);
            return;
        }
        if matches!(self.state.doing, Doing::Placing { .. }) {
            return;
        }
        let pose = self.state.pose;
        let pivot = self.work.lit(self.state.step).low_mm;
        let turn_rad = (pose.turn_rad + by_rad).sin().atan2((pose.turn_rad + by_rad).cos());
        let turned = Pose { turn_rad, ..pose };
        let drift: Vector<_> =
            turned.table_from_cloth().transform_point(pivot) - pose.table_from_cloth().transform_point(pivot);
        self.place(Pose { at_mm: turned.at_mm - drift, ..turned });
    }

    fn place(&mut self, pose: Pose) {
        if self.lights(self.state.step, pose) {
            self.state.pose = pose;
        }
    }

    /// Begins to move the topmost piece, or after it the next; after the last one no more.
    pub(super) fn move_next_piece(&mut self) {
        let first = match self.state.doing {
            Doing::Cutting => 0,
            Doing::Placing { piece, .. } => piece + 1,
            _ => return,
        };
        let next = (first..self.work.lay.placed.len()).find(|piece| self.is_seen(*piece));
        let fixed = (!self.pieces_are_free()).then(|| {
            let remark = Remark::doubt("pieces stay where they are once their lines are cut or crosses are chalked");
            remark.remedy("go back to the first stages while nothing is cut")
        });
        self.state.doing = next.map_or(Doing::Cutting, |piece| Doing::Placing { piece, hindered: fixed });
    }

    /// Whether any of a piece lies in the light.
    fn is_seen(&self, piece: usize) -> bool {
        let (low_mm, high_mm) = self.work.lay.placed[piece].cut().bounds();
        let seen = self.work.lit(self.state.step).shared(&Window { low_mm, high_mm }).size_mm();
        seen.x > 0.0 && seen.y > 0.0
    }

    /// Whether pieces can still be moved: nothing is cut before the first stage that cuts is left.
    fn pieces_are_free(&self) -> bool {
        let cuts = |step: &crate::stages::reach::Step| {
            self.work.stages[step.stage].lines.iter().any(|line| line.kind == LineKind::Cut)
        };
        let first = self.work.steps.iter().position(cuts).unwrap_or(0);
        self.state.step <= first && !self.state.chalked.contains(&true)
    }

    /// Moves a piece on the cloth by a step that she sees on the table, along the cloth or across it.
    fn slide(&mut self, piece: usize, by: Vector<crate::geometry::Table>) {
        if !self.pieces_are_free() {
            return;
        }
        let along = self.state.pose.table_from_cloth().transform_vector(Vector::<Cloth>::new(1.0, 0.0));
        let (on_mm, across_mm) = (by.dot(along), along.cross(by));
        let step_mm = by.length();
        let step = if across_mm.abs() > on_mm.abs() {
            Vector::new(0.0, step_mm.copysign(across_mm))
        } else {
            Vector::new(step_mm.copysign(on_mm), 0.0)
        };
        let (to_mm, hindered) = self.work.lay.slid(piece, self.state.shifts_mm[piece] + step);
        if to_mm != self.state.shifts_mm[piece] {
            self.state.shifts_mm[piece] = to_mm;
            // What she looked on to is not cut: pieces are moved only while nothing is.
            self.state.farthest = self.state.step;
            self.follow_pieces();
        }
        let unlit = (self.state.shifts_mm[piece] != to_mm)
            .then(|| Remark::doubt("with the piece there the cloth can't be cut in this light"));
        let hindered = hindered.or(unlit).or_else(|| self.work.lay.print_missed(piece));
        self.state.doing = Doing::Placing { piece, hindered };
    }

    /// Plans the work anew when the pieces lie elsewhere than it has them.
    pub(super) fn follow_pieces(&mut self) {
        if self.state.shifts_mm == self.work.lay.shifts_mm() {
            return;
        }
        match self.work.moved(&self.state.shifts_mm) {
            Some(work) => self.work = work,
            None => self.state.shifts_mm = self.work.lay.shifts_mm(),
        }
        if self.state.chalked.len() != self.work.plan.moves.len() {
            self.state.chalked = vec![false; self.work.plan.moves.len()];
        }
    }
}
