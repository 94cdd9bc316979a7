//! Nesting: outlines laid on a strip of a given width so that it is as short as may be.
//!
//! Knows outlines and where each may lie, and nothing of garments. A first lay is made greedily: there always is one where
//! every outline fits the strip and what is pinned lies free. Then the strip is made shorter, outlines that now overlap are
//! taken apart, and so on ([`shrink`]). The same task, seed and count of moves give the same lay on every run; time only
//! decides when to stop, and comes in as an argument ([`Pace`]).

mod chance;
mod forms;
mod ground;
mod overlap;
mod part;
mod seek;
mod shape;
mod shrink;
mod start;
mod task;

pub use forms::Forms;
pub use shape::Form;
pub use shrink::EXPLORE_UNTIL_SHARE;
pub use task::{Home, Kind, Pose, Steps, Task};

/// Outlines where they lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Nesting {
    /// The length of strip that they need.
    pub length_mm: f64,
    /// Where each outline lies.
    pub poses: Vec<Pose>,
}

/// How long a search may go on.
pub trait Pace: Sync {
    /// The share of the time that is gone after so many moves; from 1 on the search ends.
    fn gone_share(&self, moves: u64) -> f64;

    /// Told of every shorter lay that one of the threads finds: how long a strip it needs.
    fn found(&self, _length_mm: f64) {}
}

/// A count of moves: the same lay each time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moves(pub u64);

impl Pace for Moves {
    fn gone_share(&self, moves: u64) -> f64 {
        moves as f64 / self.0.max(1) as f64
    }
}

/// The pace with the moves made so far.
struct Watch<'p> {
    pace: &'p dyn Pace,
    moves: u64,
    /// The share at which the present part of the search ends.
    until_share: f64,
}

impl Watch<'_> {
    /// Counts a move; whether time is up before it.
    fn is_over(&mut self) -> bool {
        self.moves += 1;
        self.pace.gone_share(self.moves) >= self.until_share
    }

    fn gone_share(&self) -> f64 {
        self.pace.gone_share(self.moves)
    }
}

/// The shortest lay that each seed finds on a thread of its own; none when an outline has no place at all, or when the
/// collision engine can't take it.
pub fn nest(task: &Task, seeds: &[u64], pace: &dyn Pace) -> Option<Nesting> {
    searched(task, &seeds.iter().map(|seed| (*seed, None)).collect::<Vec<_>>(), pace)
}

/// The same when there is a lay already: the first seed goes on from it, the others begin anew.
pub fn nest_on(task: &Task, from: &Nesting, seeds: &[u64], pace: &dyn Pace) -> Option<Nesting> {
    let start = |(i, seed): (usize, &u64)| (*seed, (i == 0).then_some(from));
    searched(task, &seeds.iter().enumerate().map(start).collect::<Vec<_>>(), pace)
}

fn searched(task: &Task, starts: &[(u64, Option<&Nesting>)], pace: &dyn Pace) -> Option<Nesting> {
    let shapes = shrink::shapes(task);
    let found: Vec<Option<Nesting>> = std::thread::scope(|scope| {
        let shapes = &shapes;
        let threads: Vec<_> =
            starts.iter().map(|start| scope.spawn(move || shrink::search(task, shapes, *start, pace))).collect();
        threads.into_iter().map(|thread| thread.join().ok().flatten()).collect()
    });
    found.into_iter().flatten().min_by(|a, b| a.length_mm.total_cmp(&b.length_mm))
}
