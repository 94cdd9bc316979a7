//! The cutting session as a pure state machine: events in, state and scene out. No window, clock or file is known here,
//! but for [`file`] and [`keep`], which put its place on the disc.
//!
//! Promised: no stage is thrown by a table that is not trusted before her explicit yes; the cloth's place changes only
//! by an event that says so, never so far that the middle of the part being cut lies in the dark, and when any of it does
//! that is said; undo gives back the exact earlier state; darkness comes at once from everywhere and leaves everything as it was. Undo does not take darkness
//! or help back, since both are no work; nor what the tape said of the table: one that was knocked stays so.

mod align;
mod event;
pub mod file;
pub mod keep;
mod latency;
mod measuring;
mod meeting;
mod place;
mod show;
mod show_measuring;
mod state;
pub mod trace;
mod work;

pub use align::{Alignment, Anchor, Doubt, Why};
pub use event::{Event, Group};
pub use measuring::{Found, Measuring};
pub use show::KEYS;
pub use state::{COLOURS, Doing, Look, Moved, State};
pub use work::{Ground, Work};

use crate::scene::{Pose, View};
use crate::stages::Stage;
use crate::table::KeptTable;
use latency::Latency;
use std::time::Duration;

/// Steps that can be taken back.
const MOST_UNDONE: usize = 10_000;

/// What an event changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// Nothing.
    Nothing,
    /// What is seen, or where.
    Scene,
    /// The session is over.
    Left,
}

/// A session at one table.
#[derive(Clone, Debug)]
pub struct Session {
    ground: Ground,
    /// The table that is thrown by: the ground's, or that corrected by what she measured.
    table: KeptTable,
    work: Work,
    view: View,
    state: State,
    past: Vec<State>,
    dark: bool,
    help: bool,
    latency: Latency,
}

impl Session {
    /// Begins at the first step, the cloth's corner at the near left of the room.
    pub fn begin(ground: Ground, work: Work, view: View) -> Self {
        let state = State {
            said_yes: false,
            step: 0,
            farthest: 0,
            pose: work.home(0, &view),
            look: Look { way: view.way, colour: Look::colour_of(view.light), reads: view.reads, ..Look::default() },
            chalked: vec![false; work.plan.moves.len()],
            doing: Doing::Cutting,
            moved: None,
            shifts_mm: work.lay.shifts_mm(),
            taken: Vec::new(),
            knocked: false,
        };
        let table = ground.kept().clone();
        Self {
            ground,
            table,
            work,
            view,
            state,
            past: Vec::new(),
            dark: false,
            help: false,
            latency: Latency::default(),
        }
    }

    /// A frame that answers a key was finished and handed to the screen this long after it.
    pub fn shown(&mut self, since_key: Duration) {
        self.latency.took(since_key);
    }

    /// Goes on from a state of the same work as if it had never ended.
    pub fn begin_at(ground: Ground, work: Work, view: View, state: State) -> Self {
        let mut session = Self { state, ..Self::begin(ground, work, view) };
        session.follow_pieces();
        session.take_table();
        session
    }

    /// Takes up a session that ended in `state`, and begins by laying the cloth to the marks again. A yes to a table
    /// that is not trusted is not taken over: it is asked again.
    pub fn resume(ground: Ground, work: Work, view: View, state: State) -> Self {
        let mut session = Self::begin(ground, work, view);
        let moving = match &state.doing {
            Doing::Aligning(Alignment { why: Why::Moved { to }, .. }) => Some(*to),
            _ => None,
        };
        session.state = State { said_yes: false, doing: Doing::Cutting, ..state };
        session.follow_pieces();
        session.take_table();
        session.come_into_light();
        match moving {
            Some(to) => session.depart(to),
            None => session.align(Why::Resumed),
        }
        session
    }

    /// Whether stages may be thrown: on a table that is trusted, or that she said yes to, and that was not knocked since.
    pub fn permitted(&self) -> bool {
        self.trusted() && !self.state.knocked
    }

    fn trusted(&self) -> bool {
        matches!(self.ground, Ground::Trusted(_)) || self.state.said_yes
    }

    /// Answers an event.
    pub fn answer(&mut self, event: Event) -> Change {
        match event {
            Event::Pause => {
                self.dark = !self.dark;
                return Change::Scene;
            }
            Event::Leave if self.dark => return Change::Left,
            _ if self.dark => return Change::Nothing,
            _ if self.help || event == Event::Help => {
                self.help = !self.help;
                return Change::Scene;
            }
            Event::Leave if self.leaves() => return Change::Left,
            _ => {}
        }
        let before = self.state.clone();
        if event == Event::Undo {
            return self.undo(&before);
        }
        self.act(event);
        let change = self.change_since(&before);
        if self.state.with_the_work_of(before.clone()) != self.state {
            if self.past.len() == MOST_UNDONE {
                self.past.remove(0);
            }
            self.past.push(before);
        }
        change
    }

    /// Goes back to the last state that differs from this one.
    fn undo(&mut self, before: &State) -> Change {
        while let Some(past) = self.past.pop() {
            self.state = before.with_the_work_of(past);
            self.follow_pieces();
            // The table may have been corrected since, and light less.
            self.come_into_light();
            if self.state != *before {
                return self.change_since(before);
            }
        }
        Change::Nothing
    }

    /// Whether escape leads out of the session.
    fn leaves(&self) -> bool {
        match self.state.doing {
            Doing::Cutting => true,
            Doing::Measuring(_) => !self.trusted(),
            _ => !self.permitted(),
        }
    }

    fn change_since(&self, before: &State) -> Change {
        if *before == self.state { Change::Nothing } else { Change::Scene }
    }

    fn act(&mut self, event: Event) {
        match event {
            Event::SwapLight => self.state.look.way = self.state.look.way.next(),
            Event::Colour => self.state.look.colour = (self.state.look.colour + 1) % COLOURS.len(),
            Event::Larger => self.state.look.resize(1),
            Event::Smaller => self.state.look.resize(-1),
            Event::Side => self.state.look.reads = self.state.look.reads.turned(1),
            Event::Hide(group) => self.hide(group),
            Event::Yes if !self.trusted() => self.state.said_yes = true,
            _ if !self.trusted() => {}
            Event::Measure => self.measure(),
            _ if matches!(self.state.doing, Doing::Measuring(_)) => self.measured(event),
            Event::Yes => self.state.knocked = false,
            _ if !self.permitted() => {}
            Event::Next | Event::Confirm => self.on(event),
            Event::Back => self.back(),
            Event::Nudge { right, away, long } => self.nudge([right, away], long),
            Event::Point(at) => self.point(at),
            Event::Turn(steps) => self.turn(steps),
            Event::SetPlace => self.set_place(),
            Event::MovePiece => self.move_next_piece(),
            Event::Prove => self.prove(),
            Event::Leave => self.state.doing = Doing::Cutting,
            Event::Pause | Event::Help | Event::Undo | Event::Type(_) | Event::Rub => {}
        }
    }

    fn hide(&mut self, group: Group) {
        let hidden = &mut self.state.look.hidden;
        let flag = match group {
            Group::Sewing => &mut hidden.sewing,
            Group::Levels => &mut hidden.levels,
            Group::Labels => &mut hidden.labels,
            Group::Grain => &mut hidden.grain,
        };
        *flag = !*flag;
    }

    fn prove(&mut self) {
        self.state.doing = match self.state.doing {
            Doing::Cutting => Doing::Proving,
            Doing::Proving => Doing::Cutting,
            _ => return,
        };
    }

    fn on(&mut self, event: Event) {
        match self.state.doing.clone() {
            Doing::Cutting | Doing::Proving if event == Event::Confirm => {}
            Doing::Proving | Doing::Placing { .. } => self.state.doing = Doing::Cutting,
            Doing::Cutting => self.depart(self.state.step + 1),
            Doing::Chalking { to } => {
                if let Some(of_move) = self.work.way(self.state.step, to) {
                    self.state.chalked[of_move] = true;
                }
                self.depart(to);
            }
            Doing::Aligning(alignment) => self.met(alignment),
            Doing::Measuring(_) => {}
        }
    }

    fn back(&mut self) {
        match &mut self.state.doing {
            Doing::Cutting => {
                if let Some(before) = self.state.step.checked_sub(1) {
                    self.depart(before);
                }
            }
            Doing::Aligning(alignment) if alignment.second => {
                alignment.second = false;
                alignment.doubt = None;
            }
            doing => *doing = Doing::Cutting,
        }
    }

    /// Goes to a step: at once within a reach; by way of the crosses, chalked and met, into another.
    fn depart(&mut self, to: usize) {
        if to >= self.work.steps.len() {
            return;
        }
        let Some(of_move) = self.work.way(self.state.step, to) else {
            if self.work.steps[to].stage != self.work.steps[self.state.step].stage {
                self.state.moved = None;
            }
            self.arrive(to);
            return;
        };
        self.state.doing = if self.state.chalked[of_move] {
            Doing::moving(to, &self.state, &self.work)
        } else {
            Doing::Chalking { to }
        };
    }

    /// The stage that she is at.
    pub fn stage(&self) -> &Stage {
        self.work.stage(self.state.step)
    }

    /// Its number, from 1.
    pub fn number(&self) -> usize {
        self.work.steps[self.state.step].stage + 1
    }

    /// The number of the reach that the cloth lies in, from 1.
    pub fn reach_number(&self) -> usize {
        self.work.steps[self.state.step].reach + 1
    }

    /// Where the picture of the cloth is thrown: where it lies, or where the cross that is being met asks for it.
    pub fn pose(&self) -> Pose {
        shown(&self.state)
    }

    /// Everything that changes.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Everything that does not.
    pub fn work(&self) -> &Work {
        &self.work
    }

    /// The table that is thrown by.
    pub fn table(&self) -> &KeptTable {
        &self.table
    }

    /// Height of what is lit above the table: the stack of the stage, or nothing while the bare table is measured.
    pub fn stack_mm(&self) -> f64 {
        if matches!(self.state.doing, Doing::Measuring(_)) { 0.0 } else { self.stage().stack_mm }
    }

    /// Whether all light is off.
    pub fn is_dark(&self) -> bool {
        self.dark
    }
}

fn shown(state: &State) -> Pose {
    match &state.doing {
        Doing::Aligning(alignment) => alignment.shown(),
        _ => state.pose,
    }
}
