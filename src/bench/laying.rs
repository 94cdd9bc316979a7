//! Laying that takes longer than a keystroke: what is to be laid, what came of it, and the thread that does it.
//!
//! Pieces that are laid side by side are searched for, and that takes some tenths of a second. The bench leaves it as a
//! wish and goes on; the lay before is shown faintly until the new one comes. One search goes on at a time. When she
//! types on, the search that is out of date is told to stop by nothing but the end of the channel that it looks at, and
//! the latest wish is begun when it has stopped. What is found is what `cut` finds for the same order: the same moves
//! from the same seeds.

use std::sync::mpsc::{Receiver, SyncSender, TrySendError, sync_channel};

use super::model::{Bench, Wish};
use super::work::Laid;
use crate::finish::Piece;
use crate::lay::{Effort, Wanted, usual};
use crate::nest::{Forms, Pace};
use crate::order::{Asked, Cloth};
use crate::remark::{Remark, Told, told};
use crate::stages::stages;
use crate::units::System;

/// What is to be laid.
#[derive(Clone, Debug, PartialEq)]
pub struct ToLay {
    /// The pieces.
    pub pieces: Vec<Piece>,
    /// The cloth.
    pub cloth: Cloth,
    /// The unit system of the lay's sentences.
    pub system: System,
    /// Where pieces are to lie.
    pub asked: Asked,
}

/// What came of it.
#[derive(Clone, Debug, Default)]
pub struct Lying {
    /// The lay, when the cloth suffices.
    pub laid: Option<Laid>,
    /// Everything said of it.
    pub remarks: Vec<Remark>,
}

/// Moves, unless nobody listens any more.
struct WhileHeard {
    ticks: SyncSender<()>,
}

impl Pace for WhileHeard {
    fn gone_share(&self, moves: u64) -> f64 {
        match self.ticks.try_send(()) {
            Err(TrySendError::Disconnected(())) => 1.0,
            Ok(()) | Err(TrySendError::Full(())) => Effort::FIRST.pace.gone_share(moves),
        }
    }
}

impl ToLay {
    /// Whether laying it takes a search.
    pub fn is_searched(&self) -> bool {
        self.wanted().is_searched()
    }

    fn wanted(&self) -> Wanted<'_> {
        Wanted::of(&self.pieces, &self.cloth, self.system).asking(&self.asked)
    }

    /// Lays it, as `cut` lays it.
    pub fn lying(&self) -> Lying {
        self.lying_at(&Effort::FIRST)
    }

    fn lying_at(&self, effort: &Effort<'_>) -> Lying {
        match self.laid(effort) {
            Ok(told) => Lying { laid: Some(told.value), remarks: told.remarks },
            Err(refusal) => Lying { laid: None, remarks: refusal.remarks },
        }
    }

    fn laid(&self, effort: &Effort<'_>) -> Told<Laid> {
        let least = usual(&self.wanted(), effort, &mut Forms::default())?;
        let mut asked = least.value.as_asked(&self.asked)?;
        let mut remarks = least.remarks;
        remarks.append(&mut asked.remarks);
        let stages = stages(&asked.value);
        told(Laid { lay: asked.value, stages }, remarks)
    }
}

/// Lays one thing at a time, each on a thread of its own.
#[derive(Default)]
pub struct Layer {
    /// The search under way; dropping its ear tells it to stop.
    running: Option<Running>,
    /// What is to be laid when it has ended.
    next: Option<ToLay>,
}

/// A search under way.
struct Running {
    ear: Option<Receiver<()>>,
}

impl Layer {
    /// Lays something, after the search under way has stopped. `done` is told what came of it, on the other thread; then
    /// [`Layer::ended`] must be called.
    pub fn lay(&mut self, to_lay: ToLay, done: impl FnOnce(ToLay, Lying) + Send + 'static) {
        if let Some(running) = &mut self.running {
            running.ear = None;
            self.next = Some(to_lay);
            return;
        }
        let (ticks, ear) = sync_channel(1);
        self.running = Some(Running { ear: Some(ear) });
        std::thread::spawn(move || {
            let lying = to_lay.lying_at(&Effort { pace: &WhileHeard { ticks }, ..Effort::FIRST });
            done(to_lay, lying);
        });
    }

    /// The search has ended: whether what it found is still asked for, and what is to be laid next.
    pub fn ended(&mut self) -> (bool, Option<ToLay>) {
        let heard = self.running.take().is_some_and(|running| running.ear.is_some());
        (heard, self.next.take())
    }
}

impl Bench {
    /// The lay to be shown, and whether it is of the pieces as they are now.
    pub fn laid(&self) -> Option<(&Laid, bool)> {
        let before = || self.lying.as_ref().filter(|_| self.is_laying()).and_then(|(_, lying)| lying.laid.as_ref());
        let now = self.work.laid.as_ref().map(|laid| (laid, true));
        now.or_else(|| before().map(|laid| (laid, false)))
    }

    /// Whether the pieces are being laid.
    pub fn is_laying(&self) -> bool {
        self.laying.is_some()
    }

    /// Takes what came of laying pieces; what is out of date by now is left.
    pub fn take_lying(&mut self, of: ToLay, lying: Lying) {
        if self.laying.as_ref() == Some(&of) {
            self.laying = None;
            self.work.take_lying(lying.clone());
            self.lying = Some((of, lying));
        }
    }

    /// Wishes for a lay that has to be searched for, unless it is known or under way.
    pub(super) fn ask_for_lay(&mut self) {
        let Some(to_lay) = self.work.to_lay.take() else {
            self.laying = None;
            return;
        };
        if let Some((_, lying)) = self.lying.as_ref().filter(|(of, _)| *of == to_lay) {
            self.work.take_lying(lying.clone());
            self.laying = None;
        } else if self.laying.as_ref() != Some(&to_lay) {
            self.laying = Some(to_lay.clone());
            self.wish(Wish::Lay(to_lay));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::work::Work;
    use std::sync::mpsc::channel;

    fn with_sleeves(bust: &str) -> ToLay {
        let text = include_str!("../command/demo/order.toml").replace("[garment]", "[garment]\nsleeve = \"short\"");
        let text = text.replace("fold = \"lengths\"", "");
        let work = Work::of(&text.replace("94 cm", bust));
        work.to_lay.unwrap_or_else(|| panic!("{:?}", work.remarks))
    }

    #[test]
    fn what_the_thread_finds_is_what_cut_finds() {
        let to_lay = with_sleeves("94 cm");
        let (sender, found) = channel();
        let mut layer = Layer::default();
        layer.lay(to_lay.clone(), move |of, lying| drop(sender.send((of, lying))));
        let (of, lying) = found.recv().expect("a lay");
        assert_eq!((layer.ended().0, of == to_lay), (true, true));
        let own = to_lay.lying().laid.expect("a lay").lay;
        assert_eq!(lying.laid.expect("a lay").lay, own);
    }

    #[test]
    fn the_latest_wish_wins_and_what_was_stopped_is_not_taken() {
        let (sender, found) = channel();
        let mut layer = Layer::default();
        let busts = ["94 cm", "95 cm", "96 cm"];
        for bust in busts {
            let sender = sender.clone();
            layer.lay(with_sleeves(bust), move |of, _| drop(sender.send(of)));
        }
        assert_eq!(found.recv().expect("an end"), with_sleeves(busts[0]));
        let (heard, next) = layer.ended();
        assert!(!heard && next.as_ref() == Some(&with_sleeves(busts[2])), "the second was never begun");
        layer.lay(next.expect("the third"), move |of, _| drop(sender.send(of)));
        assert_eq!(found.recv().expect("an end"), with_sleeves(busts[2]));
        let (heard, next) = layer.ended();
        assert!(heard && next.is_none());
    }
}
