//! What a session works through: the stages of a lay, the reaches they are cut in, and the table they are thrown on.

use crate::geometry::{Cloth, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::remark::{Refusal, Remark};
use crate::scene::{Pose, View};
use crate::stages::reach::{Plan, Reach, Step, Window};
use crate::stages::rest::{Rest, cut_so_far, rest};
use crate::stages::{Cut, Stage, Standing, in_reaches};
use crate::table::{KeptTable, TrustedTable};

/// The table of a session.
#[derive(Clone, Debug, PartialEq)]
pub enum Ground {
    /// One that may be cut by.
    Trusted(TrustedTable),
    /// One that is not trusted, and why; nothing is thrown on it before she says yes.
    Doubted(KeptTable, Remark),
}

/// What a session works through. It does not change, but for a piece that is moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// The lay.
    pub lay: Lay,
    /// The lay as it was before any piece was moved.
    unmoved: Lay,
    /// The size of the light along and across the cloth.
    light_mm: [f64; 2],
    /// The stages.
    pub stages: Vec<Stage>,
    /// The reaches.
    pub plan: Plan,
    /// The stages in their reaches, one after the other.
    pub steps: Vec<Step>,
    /// The folded cloth.
    pub cloth: Window,
    /// The same where pieces lie side by side in it.
    standing: Option<Standing>,
}

impl Ground {
    /// A table, trusted or not by its fit.
    pub fn of(kept: KeptTable) -> Self {
        match TrustedTable::by_fit(kept.clone()) {
            Ok(table) => Self::Trusted(table),
            Err(why) => Self::Doubted(kept, why),
        }
    }

    /// The table itself.
    pub fn kept(&self) -> &KeptTable {
        match self {
            Self::Trusted(table) => table.kept(),
            Self::Doubted(kept, _) => kept,
        }
    }
}

impl Work {
    /// Plans the work of a lay in the room of a view.
    ///
    /// # Errors
    /// When the light is too small to cut the cloth even in reaches.
    pub fn of(lay: &Lay, view: &View) -> Result<Self, Refusal> {
        let room = view.cloth_room();
        Self::in_light([lay, lay], [room.width_mm(), room.depth_mm()])
    }

    /// The same with every piece moved so far from where it lies by itself; none when they can't lie so.
    pub fn moved(&self, shifts_mm: &[Vector<Cloth>]) -> Option<Self> {
        if self.lay.shifts_mm() == shifts_mm {
            return Some(self.clone());
        }
        Self::in_light([&self.unmoved.moved(shifts_mm)?, &self.unmoved], self.light_mm).ok()
    }

    fn in_light([lay, unmoved]: [&Lay; 2], light_mm: [f64; 2]) -> Result<Self, Refusal> {
        let plan = Plan::of(lay, light_mm)?;
        let (stages, steps) = in_reaches(lay, &plan);
        let cloth = Window { low_mm: Point::origin(), high_mm: Point::new(lay.length_mm, lay.folded_width_mm) };
        let standing = (lay.fold != Fold::LengthsOnTheirCentre).then(|| Standing::of(lay));
        Ok(Self { lay: lay.clone(), unmoved: unmoved.clone(), light_mm, stages, plan, steps, cloth, standing })
    }

    /// The stage of a step.
    pub fn stage(&self, step: usize) -> &Stage {
        &self.stages[self.steps[step].stage]
    }

    /// The reach of a step.
    pub fn reach(&self, step: usize) -> &Reach {
        &self.plan.reaches[self.steps[step].reach]
    }

    /// Where the light falls on the cloth in a step.
    pub fn lit(&self, step: usize) -> Window {
        self.reach(step).lit.shared(&self.cloth)
    }

    /// What still lies on the table when the first so many steps are done.
    pub fn rest(&self, done: usize) -> Rest<'_> {
        rest(&self.lay, &self.stages, (&self.steps, done), self.standing.as_ref())
    }

    /// How far each piece is cut out when the first so many steps are done.
    pub fn cut_so_far(&self, done: usize) -> Vec<Cut> {
        cut_so_far(&self.lay, &self.stages, (&self.steps, done))
    }

    /// Which move leads from a step to a neighbouring one; none when both are in one reach.
    pub fn way(&self, from: usize, to: usize) -> Option<usize> {
        let (from, to) = (self.steps[from].reach, self.steps[to].reach);
        (from != to).then_some(from.min(to))
    }

    /// Where the cloth lies in a step as planned: its reach in the room for cloth.
    pub fn home(&self, step: usize, view: &View) -> Pose {
        let first = view.cloth_room().pose();
        let low = self.reach(step).lit.low_mm;
        Pose { at_mm: first.at_mm - first.table_from_cloth().transform_vector(low.to_vector()), ..first }
    }

    /// Where the cloth will lie when it is moved, unturned, from the reach of one step to that of another.
    pub fn after_move(&self, pose: Pose, from: usize, to: usize) -> Pose {
        let by = self.reach(from).lit.low_mm - self.reach(to).lit.low_mm;
        Pose { at_mm: pose.at_mm + pose.table_from_cloth().transform_vector(by), ..pose }
    }

    /// The corner of the fold and the far end of it that the light reaches in a step, and whether it ends there; none where
    /// the corner is dark.
    pub fn fold(&self, step: usize) -> Option<([Point<Cloth>; 2], bool)> {
        let lit = self.lit(step);
        let ends = self.lay.fold == Fold::LengthsOnTheirCentre && lit.high_mm.x >= self.cloth.high_mm.x;
        (lit.low_mm == Point::origin()).then(|| ([Point::origin(), Point::new(lit.high_mm.x, 0.0)], ends))
    }
    /// The corner at the far edge of the cloth, and that edge as far along as it is lit in a step; none where it is dark.
    pub fn far_edge(&self, step: usize) -> Option<[Point<Cloth>; 2]> {
        let (lit, far_mm) = (self.lit(step), self.cloth.high_mm.y);
        let is_lit = lit.low_mm.x == 0.0 && lit.high_mm.y == far_mm;
        is_lit.then(|| [Point::new(0.0, far_mm), Point::new(lit.high_mm.x, far_mm)])
    }
}
