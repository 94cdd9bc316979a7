//! Laying the cloth to places of it: to which ones, and what is made of where they were met.
//!
//! Only what is still there can be laid to: crosses that were chalked, the fold from its corner, corners of what is left,
//! and where there are none of these its edges.

use super::{Alignment, Anchor, Doing, Doubt, Moved, Session, State, Why, Work};
use crate::geometry::{Cloth, Point, Table};
use crate::scene::Pose;

/// What the cloth can be laid to in the reach of a step, chalked crosses first, each with its two places.
fn anchors(work: &Work, state: &State, step: usize) -> Vec<(Anchor, [Point<Cloth>; 2])> {
    let reach = work.steps[step].reach;
    let (rest, lit) = (work.rest(state.farthest), work.lit(step));
    let near = [reach.checked_sub(1), Some(reach)].into_iter().flatten();
    let chalked = near.filter(|of_move| state.chalked.get(*of_move) == Some(&true));
    let crosses = chalked.map(|of_move| (Anchor::Crosses { of_move }, work.plan.moves[of_move].crosses));
    let mut found: Vec<_> = crosses.filter(|(_, at)| at.iter().all(|cross| rest.holds(*cross))).collect();
    let fold = work.fold(step).filter(|_| rest.is_whole());
    let far_edge = work.far_edge(step).filter(|_| rest.is_whole() && fold.is_none());
    found.extend(fold.map(|(ends, whole)| (Anchor::Fold { whole }, ends)));
    found.extend(far_edge.map(|ends| (Anchor::FarEdge, ends)));
    // She may be in the middle of the stage: its cut can be done, too.
    for done in [state.farthest, state.farthest + 1] {
        let corners = work.rest(done).corners(&lit).filter(|corners| found.iter().all(|(_, known)| known != corners));
        found.extend(corners.map(|corners| (Anchor::Corners { done }, corners)));
    }
    if found.is_empty() {
        let [near, far, ..] = lit.corners();
        found.push((Anchor::Edges, [near, far]));
    }
    found
}

/// Laying the cloth in the reach of a step to what the one before this was not; to the first of all, or to the fold, after
/// none.
fn laying(work: &Work, state: &State, (why, step): (Why, usize), before: Option<Anchor>) -> Alignment {
    let anchors = anchors(work, state, step);
    let is = |wanted: &dyn Fn(Anchor) -> bool| anchors.iter().position(|(anchor, _)| wanted(*anchor));
    let at = match before {
        Some(before) => is(&|anchor| anchor == before).map_or(0, |at| (at + 1) % anchors.len()),
        None if why == Why::Asked => is(&|anchor| matches!(anchor, Anchor::Fold { .. })).unwrap_or(0),
        None => 0,
    };
    let (anchor, marks) = anchors[at];
    let pose = if step == state.step { state.pose } else { work.after_move(state.pose, state.step, step) };
    Alignment::begin(why, anchor, marks, pose)
}

impl Doing {
    /// Meeting the crosses of the move from the reach of one step to that of another, or what else is still there.
    pub(super) fn moving(to: usize, state: &State, work: &Work) -> Self {
        let Some(of_move) = work.way(state.step, to) else { return Self::Cutting };
        let why = Why::Moved { to };
        let crosses = work.plan.moves[of_move].crosses;
        if crosses.iter().all(|cross| work.rest(state.farthest).holds(*cross)) {
            let expected = work.after_move(state.pose, state.step, to);
            return Self::Aligning(Alignment::begin(why, Anchor::Crosses { of_move }, crosses, expected));
        }
        Self::Aligning(laying(work, state, (why, to), None))
    }
}

impl Session {
    /// Lays the cloth to two places of it in the reach that it is in.
    pub(super) fn align(&mut self, why: Why) {
        let to = (why, self.state.step);
        self.state.doing = Doing::Aligning(laying(&self.work, &self.state, to, None));
    }

    /// By two points; asked again, by the next two that there are.
    pub(super) fn set_place(&mut self) {
        match self.state.doing.clone() {
            Doing::Cutting => self.align(Why::Asked),
            Doing::Aligning(Alignment { why: why @ (Why::Asked | Why::Resumed), anchor, .. }) => {
                let to = (why, self.state.step);
                self.state.doing = Doing::Aligning(laying(&self.work, &self.state, to, Some(anchor)));
            }
            _ => {}
        }
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
        self.state.pose = pose;
        self.arrive(to);
    }

    /// Is at a step, the cloth laid for it.
    pub(super) fn arrive(&mut self, step: usize) {
        self.state.step = step;
        self.state.farthest = self.state.farthest.max(step);
        self.state.doing = Doing::Cutting;
    }

    fn moved_by(&self, of_move: usize, pose: Pose) -> Moved {
        let [a, b] = self.work.plan.moves[of_move].crosses;
        let middle = a.lerp(b, 0.5);
        let at = |pose: Pose| pose.table_from_cloth().transform_point(middle);
        Moved { by_mm: at(pose) - at(self.state.pose), turned_rad: pose.turn_rad - self.state.pose.turn_rad }
    }
}
