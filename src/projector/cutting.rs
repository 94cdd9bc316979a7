//! The cutting session as a show: keys become events, and every event is traced and its place kept on the disc.

use std::path::PathBuf;
use std::time::Duration;

use super::{Key, KeyName, Reaction, Show};
use crate::geometry::{Point, Table as OnTable};
use crate::scene::{Pose, Scene};
use crate::session::file::{self, Belongs};
use crate::session::keep::{Keeper, Recorder, keep_corrected};
use crate::session::{Change, Event, Group, Session};
use crate::table::{Table, file as table_file};
use crate::units::System;

/// A session behind a window.
#[derive(Debug)]
pub struct Cutting {
    /// The session.
    pub session: Session,
    /// What its saved place belongs to.
    pub belongs: Belongs,
    /// Where its place is kept; none when it is not.
    pub keeper: Option<Keeper>,
    /// Where its events are traced; none when they are not.
    pub recorder: Option<Recorder>,
    /// The height of a stage's stack for which the table can correct.
    pub corrects_stack: bool,
    /// What is printed when its screen was found.
    pub greeting: String,
    /// The table's file, beside which a corrected table is written.
    pub table_file: PathBuf,
}

impl Cutting {
    /// Answers an event, traces it, and keeps the place that it led to.
    pub fn answer(&mut self, event: Event) -> Change {
        if let Some(recorder) = &mut self.recorder {
            recorder.record(event);
        }
        let taken = self.session.state().taken.clone();
        let change = self.session.answer(event);
        if change != Change::Nothing {
            self.keep();
        }
        if self.session.state().taken != taken {
            self.keep_corrected();
        }
        change
    }

    fn react(&mut self, event: Event) -> Reaction {
        match self.answer(event) {
            Change::Nothing => Reaction::None,
            Change::Scene => Reaction::Scene,
            Change::Left => Reaction::Leave,
        }
    }

    /// Writes the corrected table beside the old one, for the sessions to come; this one keeps what it needs by itself.
    fn keep_corrected(&self) {
        let (name, text) = (self.table_file.display(), table_file::write(self.session.table()));
        match keep_corrected(&self.table_file, &text) {
            Ok(path) => eprintln!(
                "The corrected table is written to {}. The light of this session is corrected by it already; give it as --table from the next order on, and {name} to take this session up again.",
                path.display()
            ),
            Err(refusal) => eprintln!("{refusal}\nThis session goes on by the corrected table all the same."),
        }
    }

    /// Keeps the place, and says once when that fails.
    pub fn keep(&mut self) {
        let Some(keeper) = &self.keeper else { return };
        keeper.keep(file::write(&self.session, &self.belongs));
        if let Some(fault) = keeper.fault() {
            eprintln!("{fault}\nThe session goes on, but can't be taken up again after a power cut.");
            self.keeper = None;
        }
    }
}

impl Show for Cutting {
    fn found(&mut self) {
        eprintln!("{}", self.greeting);
    }

    /// A place that was never thrown is no place to be taken up.
    fn begun(&mut self) {
        self.keep();
    }

    fn scene(&mut self) -> Scene {
        self.session.scene()
    }

    fn stack_mm(&self) -> f64 {
        if self.corrects_stack { self.session.stack_mm() } else { 0.0 }
    }

    fn pose(&mut self) -> Pose {
        self.session.pose()
    }

    fn table(&self) -> Option<&Table> {
        Some(&self.session.table().table)
    }

    fn key(&mut self, key: Key) -> Reaction {
        let event = match self.session.typed() {
            Some(typed) => typing(key, typed, self.session.system()),
            None => event(key),
        };
        event.map_or(Reaction::None, |event| self.react(event))
    }

    fn shown(&mut self, since_key: Duration) {
        self.session.shown(since_key);
    }

    fn asks_for_a_place(&self) -> bool {
        self.session.asks_for_a_place()
    }

    fn pointed(&mut self, at: Point<OnTable>) -> Reaction {
        self.react(Event::Point(at))
    }
}

/// What a key asks for while a number is typed: a numeric pad types with its lock and without it. A second point, or one
/// that begins a number, can be none of a number: it is a clicker's dark key. Inches have fractions, whose gap is typed by
/// the space bar or `+`.
fn typing(key: Key, typed: &str, system: System) -> Option<Event> {
    let sign = match key.name {
        KeyName::Space if !typed.is_empty() => Some('+'),
        KeyName::Sign(sign) => Some(sign),
        name if key.pad => unlocked(name),
        _ => None,
    };
    match sign {
        Some(sign @ ('+' | '/')) if system == System::Inch => (!key.held).then_some(Event::Type(sign)),
        Some(digit) if digit.is_ascii_digit() => (!key.held).then_some(Event::Type(digit)),
        Some('.' | ',') if typed.is_empty() || typed.contains('.') => (!key.held).then_some(Event::Pause),
        Some('.' | ',') => (!key.held).then_some(Event::Type('.')),
        _ if key.name == KeyName::Backspace => Some(Event::Rub),
        _ => event(key),
    }
}

/// What a key of the numeric pad types when its lock is on.
fn unlocked(name: KeyName) -> Option<char> {
    Some(match name {
        KeyName::Insert => '0',
        KeyName::End => '1',
        KeyName::Down => '2',
        KeyName::PageDown => '3',
        KeyName::Left => '4',
        KeyName::Middle => '5',
        KeyName::Right => '6',
        KeyName::Home => '7',
        KeyName::Up => '8',
        KeyName::PageUp => '9',
        KeyName::Delete => '.',
        _ => return None,
    })
}

/// What a key asks for. A numeric pad means the same with its lock (digits) and without (names). A key that is held
/// down only goes on nudging and turning.
pub fn event(key: Key) -> Option<Event> {
    let nudge = |right, away| Some(Event::Nudge { right, away, long: key.shift });
    let moves = match key.name {
        KeyName::Left | KeyName::Sign('4') => nudge(-1, 0),
        KeyName::Right | KeyName::Sign('6') => nudge(1, 0),
        KeyName::Up | KeyName::Sign('8') => nudge(0, 1),
        KeyName::Down | KeyName::Sign('2') => nudge(0, -1),
        KeyName::Wheel(notches) => nudge(notches, 0),
        KeyName::Home | KeyName::Sign('7') => Some(Event::Turn(1)),
        KeyName::End | KeyName::Sign('1') => Some(Event::Turn(-1)),
        _ => None,
    };
    if moves.is_some() || key.held {
        return moves;
    }
    Some(match key.name {
        KeyName::Space | KeyName::PageDown | KeyName::Sign('3') => Event::Next,
        KeyName::PageUp | KeyName::Sign('9') => Event::Back,
        KeyName::Enter | KeyName::Middle | KeyName::Sign('5') => Event::Confirm,
        KeyName::Insert | KeyName::Delete | KeyName::Sign('0' | '.') => Event::Pause,
        KeyName::Backspace => Event::Undo,
        KeyName::Escape => Event::Leave,
        KeyName::F1 | KeyName::Sign('/' | '?') => Event::Help,
        KeyName::Sign('*') => Event::SwapLight,
        KeyName::Sign('+' | '=') => Event::Larger,
        KeyName::Sign('-') => Event::Smaller,
        KeyName::Sign(letter) => lettered(letter.to_ascii_lowercase())?,
        _ => return None,
    })
}

fn lettered(letter: char) -> Option<Event> {
    Some(match letter {
        'a' => Event::SetPlace,
        'b' => Event::Pause,
        'c' => Event::Colour,
        'g' => Event::Hide(Group::Grain),
        'h' => Event::Help,
        'k' => Event::Measure,
        'l' => Event::SwapLight,
        'm' => Event::MovePiece,
        'n' => Event::Hide(Group::Labels),
        'p' => Event::Prove,
        's' => Event::Hide(Group::Sewing),
        't' => Event::Side,
        'u' => Event::Undo,
        'v' => Event::Hide(Group::Levels),
        'y' => Event::Yes,
        _ => return None,
    })
}
