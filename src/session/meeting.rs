//! Laying the cloth to crosses: to which ones, and what is made of where they were met.

use super::{Alignment, Anchor, Doing, Doubt, Moved, Session, Why};
use crate::geometry::{Cloth, Point, Table};
use crate::scene::Pose;

impl Session {
    /// Lays the cloth to two crosses in the reach that it is in.
    pub(super) fn align(&mut self, why: Why, anchor: Anchor) {
        let (step, pose) = (self.state.step, self.state.pose);
        let marks = match anchor {
            Anchor::Crosses { of_move } => self.work.plan.moves[of_move].crosses,
            Anchor::Fold { .. } => self.work.fold(step).map_or_else(|| self.low_edge(), |(marks, _)| marks),
        };
        self.state.doing = Doing::Aligning(Alignment::begin(why, anchor, marks, pose));
    }

    /// Both ends of the lit cloth's near edge.
    fn low_edge(&self) -> [Point<Cloth>; 2] {
        let [near, far, ..] = self.work.lit(self.state.step).corners();
        [near, far]
    }

    /// What the cloth is laid to here: chalked crosses before the fold, or the other way round.
    pub(super) fn anchor(&self, fold_first: bool) -> Anchor {
        let reach = self.work.steps[self.state.step].reach;
        let near = [reach.checked_sub(1), Some(reach)].into_iter().flatten();
        let crosses = near.into_iter().find(|of_move| self.state.chalked.get(*of_move) == Some(&true));
        let crosses = crosses.map(|of_move| Anchor::Crosses { of_move });
        let fold = self.work.fold(self.state.step).map(|(_, whole)| Anchor::Fold { whole });
        let found = if fold_first { fold.or(crosses) } else { crosses.or(fold) };
        found.unwrap_or(Anchor::Fold { whole: false })
    }

    pub(super) fn set_place(&mut self) {
        let (why, fold_first) = match &self.state.doing {
            Doing::Cutting => (Why::Asked, true),
            Doing::Aligning(Alignment { why: Why::Moved { .. }, .. })
            | Doing::Proving
            | Doing::Chalking { .. }
            | Doing::Placing { .. }
            | Doing::Measuring(_) => return,
            Doing::Aligning(now) => (now.why, matches!(now.anchor, Anchor::Crosses { .. })),
        };
        self.align(why, self.anchor(fold_first));
    }

    /// Whether a cross is being met, which may be put where she points.
    pub fn asks_for_a_place(&self) -> bool {
        matches!(self.state.doing, Doing::Aligning(_)) && self.permitted() && !self.dark && !self.help
    }

    /// A place on the table was pointed at: the cross that is being met goes there.
    pub(super) fn point(&mut self, at: Point<Table>) {
        let room = self.view.room;
        if let Doing::Aligning(alignment) = &mut self.state.doing {
            alignment.put(at, &room);
        }
    }

    /// A cross was said to be where it belongs.
    pub(super) fn met(&mut self, mut alignment: Alignment) {
        if !alignment.second {
            alignment.second = true;
            self.state.doing = Doing::Aligning(alignment);
            return;
        }
        let to = match alignment.why {
            Why::Moved { to } => to,
            Why::Asked | Why::Resumed => self.state.step,
        };
        let pose = alignment.pose();
        let apart = alignment.apart().filter(|_| !matches!(alignment.doubt, Some(Doubt::Apart { .. })));
        let unlit = (!self.lights(to, pose)).then_some(Doubt::Unlit);
        if let Some(doubt) = unlit.or(apart) {
            alignment.doubt = Some(doubt);
            self.state.doing = Doing::Aligning(alignment);
            return;
        }
        if let (Why::Moved { .. }, Anchor::Crosses { of_move }) = (alignment.why, alignment.anchor) {
            self.state.moved = Some(self.moved_by(of_move, pose));
        }
        (self.state.step, self.state.pose, self.state.doing) = (to, pose, Doing::Cutting);
    }

    fn moved_by(&self, of_move: usize, pose: Pose) -> Moved {
        let [a, b] = self.work.plan.moves[of_move].crosses;
        let middle = a.lerp(b, 0.5);
        let at = |pose: Pose| pose.table_from_cloth().transform_point(middle);
        Moved { by_mm: at(pose) - at(self.state.pose), turned_rad: pose.turn_rad - self.state.pose.turn_rad }
    }
}
