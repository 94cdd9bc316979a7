//! A search for a shorter lay: how long it goes on, how far it is, and how it is ended.
//!
//! One is handed to the thread that searches and to whoever looks on. Stopped, it presses what it has together for a
//! moment and keeps it; given up, it ends at its next move.

use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use crate::lay::Effort;
use crate::nest::{EXPLORE_UNTIL_SHARE, Pace};

/// How long a lay is pressed together when its search was stopped.
const PRESSED_FOR: Duration = Duration::from_millis(500);

/// When a search ends by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Until {
    /// After as many moves as a first answer takes: the same lay each time.
    FirstAnswer,
    /// After so many seconds.
    Seconds(f64),
    /// Not before somebody ends it.
    Stopped,
}

/// A search under way.
#[derive(Debug)]
pub struct Search {
    began: Instant,
    until: Until,
    state: Mutex<State>,
}

#[derive(Clone, Copy, Debug, Default)]
struct State {
    best_mm: Option<f64>,
    stopped: Option<Instant>,
    given_up: bool,
}

impl Search {
    /// Begins one; its time runs from now.
    pub fn begin(until: Until) -> Self {
        Self { began: Instant::now(), until, state: Mutex::default() }
    }

    /// Ends it and keeps the best.
    pub fn stop(&self) {
        self.state().stopped.get_or_insert_with(Instant::now);
    }

    /// Ends it at once: nobody wants what it finds.
    pub fn give_up(&self) {
        self.state().given_up = true;
    }

    /// Whether it was stopped.
    pub fn is_stopped(&self) -> bool {
        self.state().stopped.is_some()
    }

    /// Whether it was given up.
    pub fn is_given_up(&self) -> bool {
        self.state().given_up
    }

    /// Whole seconds since it began.
    pub fn seconds(&self) -> u64 {
        self.began.elapsed().as_secs()
    }

    /// The shortest strip that it has found so far.
    pub fn best_mm(&self) -> Option<f64> {
        self.state().best_mm
    }

    /// A thread that ended in the middle left a state that is as good as any.
    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Pace for Search {
    fn gone_share(&self, moves: u64) -> f64 {
        let state = *self.state();
        let gone = match self.until {
            _ if state.given_up => 1.0,
            Until::FirstAnswer => Effort::FIRST.pace.gone_share(moves),
            Until::Seconds(seconds) => self.began.elapsed().as_secs_f64() / seconds.max(f64::MIN_POSITIVE),
            Until::Stopped => 0.0,
        };
        let pressed = state.stopped.map_or(0.0, |at| {
            let share = at.elapsed().as_secs_f64() / PRESSED_FOR.as_secs_f64();
            EXPLORE_UNTIL_SHARE + (1.0 - EXPLORE_UNTIL_SHARE) * share
        });
        gone.max(pressed)
    }

    fn found(&self, length_mm: f64) {
        let mut state = self.state();
        state.best_mm = Some(state.best_mm.map_or(length_mm, |best_mm| best_mm.min(length_mm)));
    }
}
