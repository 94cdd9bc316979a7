//! Laying that takes longer than a keystroke: what is to be laid, what came of it, and the thread that does it.
//!
//! Pieces that are laid side by side are searched for, and that takes some tenths of a second. The bench leaves it as a
//! wish and goes on; each piece is shown where it lay before, faintly, until the new lay comes. One thread lays at a time. When she types
//! on, what it does is given up, and the latest wish is begun when it has ended. What is found is what `cut` finds for the
//! same order: what is kept, or the same moves from the same seeds.

use std::sync::Arc;

use super::model::{Bench, Wish};
use super::search::{Search, Until};
use super::work::Laid;
use crate::finish::Piece;
use crate::lay::kept::{self, Kept};
use crate::lay::{Effort, Lay, Placed, Wanted, usual};
use crate::nest::{Forms, Pace};
use crate::order::{Asked, Cloth};
use crate::remark::{Refusal, Remark, Told, told};
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
    /// The lay of them that is kept.
    pub kept: Option<Kept>,
}

/// What came of it.
#[derive(Clone, Debug, Default)]
pub struct Lying {
    /// The lay, when the cloth suffices.
    pub laid: Option<Laid>,
    /// Everything said of it.
    pub remarks: Vec<Remark>,
}

impl ToLay {
    /// Whether laying it takes longer than a keystroke.
    pub fn takes_long(&self) -> bool {
        self.kept.is_some() || self.wanted().is_searched()
    }

    /// All that is wanted of the lay.
    pub fn wanted(&self) -> Wanted<'_> {
        Wanted::of(&self.pieces, &self.cloth, self.system).asking(&self.asked)
    }

    /// The lay that a text keeps, when it is one of these pieces.
    ///
    /// # Errors
    /// Why it is none.
    pub fn kept_in(&self, text: &str) -> Result<Kept, Refusal> {
        let kept = kept::read(text)?;
        match kept.differs(&self.wanted()) {
            Some(remark) => Err(Refusal::because(remark)),
            None => Ok(kept),
        }
    }

    /// Lays it, as `cut` lays it.
    pub fn lying(&self) -> Lying {
        self.lying_at(Effort::FIRST.pace)
    }

    fn lying_at(&self, pace: &dyn Pace) -> Lying {
        match self.laid(&Effort { pace, ..Effort::FIRST }) {
            Ok(told) => Lying { laid: Some(told.value), remarks: told.remarks },
            Err(refusal) => Lying { laid: None, remarks: refusal.remarks },
        }
    }

    fn laid(&self, effort: &Effort<'_>) -> Told<Laid> {
        let wanted = self.wanted();
        let least = match &self.kept {
            Some(kept) => kept.lay(&wanted)?,
            None => usual(&wanted, effort, &mut Forms::default())?,
        };
        let mut asked = least.value.as_asked(&self.asked)?;
        let mut remarks = least.remarks;
        remarks.append(&mut asked.remarks);
        let stages = stages(&asked.value);
        told(Laid { lay: asked.value, stages }, remarks)
    }

    /// Searches on for the shortest lay on any fold, from the one that is kept.
    fn searched(&self, pace: &dyn Pace) -> Result<Lay, Refusal> {
        let wanted = self.wanted();
        let kept = self.kept.as_ref().and_then(|kept| kept.lay(&wanted).ok());
        let effort = Effort { from: kept.as_ref().map(|told| &told.value), ..Effort::until(pace) };
        usual(&wanted, &effort, &mut Forms::default()).map(|told| told.value)
    }
}

/// What the thread is sent for.
#[derive(Clone, Debug, PartialEq)]
pub enum Errand {
    /// A first answer, or what is kept.
    Lay(ToLay),
    /// A shorter lay, until it is stopped.
    Search(ToLay),
}

/// What it brings back.
#[derive(Debug)]
pub enum Brought {
    /// What came of laying pieces.
    Lying(ToLay, Lying),
    /// The shortest lay that was found.
    Found(ToLay, Result<Lay, Refusal>),
}

impl Errand {
    fn until(&self) -> Until {
        match self {
            Self::Lay(_) => Until::FirstAnswer,
            Self::Search(_) => Until::Stopped,
        }
    }

    /// Does it; a fault of the program in the middle of it ends in a sentence.
    fn run(self, search: &Search) -> Brought {
        match self {
            Self::Lay(to_lay) => {
                let lying = apart(|| to_lay.lying_at(search));
                let lying = lying.unwrap_or_else(|no| Lying { laid: None, remarks: no.remarks });
                Brought::Lying(to_lay, lying)
            }
            Self::Search(to_lay) => {
                let found = apart(|| to_lay.searched(search)).and_then(|found| found);
                Brought::Found(to_lay, found)
            }
        }
    }
}

/// Does work on a thread of its own, so that a fault of the program ends that thread alone.
fn apart<T: Send>(work: impl FnOnce() -> T + Send) -> Result<T, Refusal> {
    std::thread::scope(|scope| scope.spawn(work).join()).map_err(|_| {
        let remark = Remark::refusal("laying the pieces failed by a fault of the program; nothing else is lost");
        Refusal::because(
            remark
                .field("cloth")
                .remedy("save the order, change something and try again; keep the order, it shows the fault"),
        )
    })
}

/// Runs one errand at a time, each on a thread of its own.
#[derive(Default)]
pub struct Layer {
    /// The errand under way.
    running: Option<Arc<Search>>,
    /// What is done when it has ended.
    next: Option<Errand>,
}

impl Layer {
    /// Runs an errand, after the one under way has been given up. `done` is told what it brought, on the other thread; then
    /// [`Layer::ended`] must be called.
    pub fn send(&mut self, errand: Errand, done: impl FnOnce(Brought) + Send + 'static) {
        if let Some(running) = &self.running {
            running.give_up();
            self.next = Some(errand);
            return;
        }
        let search = Arc::new(Search::begin(errand.until()));
        self.running = Some(Arc::clone(&search));
        std::thread::spawn(move || done(errand.run(&search)));
    }

    /// How far the errand under way is, and how it is ended.
    pub fn running(&self) -> Option<&Search> {
        self.running.as_deref()
    }

    /// Ends the errand under way: to hear what it found, or to give it up.
    pub fn end(&self, keep: bool) {
        match &self.running {
            Some(running) if keep => running.stop(),
            Some(running) => running.give_up(),
            None => {}
        }
    }

    /// The errand has ended: whether what it brought is still asked for, and what is to be done next.
    pub fn ended(&mut self) -> (bool, Option<Errand>) {
        let heard = self.running.take().is_some_and(|running| !running.is_given_up());
        (heard, self.next.take())
    }
}

impl Bench {
    /// The lay to be shown, and whether it is one: while the pieces are being laid, each is shown as it is now where it lay
    /// before; while there is nothing to lay, since a number is half typed or can't be, as it lay last.
    pub fn laid(&self) -> Option<(&Laid, bool)> {
        let before = match (self.is_laying(), &self.work.to_lay) {
            (true, _) => self.meanwhile.as_ref(),
            (false, None) => self.last.laid.as_ref(),
            (false, Some(_)) => None,
        };
        let now = self.work.laid.as_ref().map(|laid| (laid, true));
        now.or(before.map(|laid| (laid, false)))
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

    /// Wishes for a lay that takes long, unless it is known or under way.
    pub(super) fn ask_for_lay(&mut self) {
        let Some(to_lay) = self.work.to_lay.as_ref().filter(|to_lay| to_lay.takes_long()) else {
            self.laying = None;
            return;
        };
        if let Some((_, lying)) = self.lying.as_ref().filter(|(of, _)| of == to_lay) {
            let lying = lying.clone();
            self.work.take_lying(lying);
            self.laying = None;
        } else if self.laying.as_ref() != Some(to_lay) {
            let to_lay = to_lay.clone();
            let before = self.lying.as_ref().and_then(|(_, lying)| lying.laid.as_ref());
            self.meanwhile = before.map(|laid| Laid { lay: meanwhile(&laid.lay, &to_lay), stages: Vec::new() });
            self.laying = Some(to_lay.clone());
            self.wish(Wish::Lay(to_lay));
        }
    }
}

/// What is shown until pieces are laid: each as it is now, where it lay before. It is held against no rule.
fn meanwhile(before: &Lay, to_lay: &ToLay) -> Lay {
    let as_now = |placed: &Placed| {
        let piece = to_lay.pieces.iter().find(|piece| piece.name == placed.piece.name)?;
        // Where the cloth lies single it was laid whole.
        let piece = if placed.piece.on_fold { piece.clone() } else { piece.unfolded() };
        Some(Placed { piece, ..placed.clone() })
    };
    let placed = before.placed.iter().filter_map(as_now).collect();
    Lay { placed, cloth: to_lay.cloth.clone(), left_over: Vec::new(), ..before.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::work::Work;
    use std::sync::mpsc::channel;

    fn with_sleeves(bust: &str) -> ToLay {
        let text = include_str!("../command/demo/order.toml").replace("[garment]", "[garment]\nsleeve = \"short\"");
        let text = text.replace("fold = \"lengths\"", "");
        let work = Work::of(&text.replace("94 cm", bust), None);
        work.to_lay.unwrap_or_else(|| panic!("{:?}", work.remarks))
    }

    #[test]
    fn what_the_thread_finds_is_what_cut_finds() {
        let to_lay = with_sleeves("94 cm");
        let (sender, found) = channel();
        let mut layer = Layer::default();
        layer.send(Errand::Lay(to_lay.clone()), move |brought| drop(sender.send(brought)));
        let Brought::Lying(of, lying) = found.recv().expect("a lay") else { panic!("no lay") };
        assert_eq!((layer.ended().0, of == to_lay), (true, true));
        let own = to_lay.lying().laid.expect("a lay").lay;
        assert_eq!(lying.laid.expect("a lay").lay, own);
    }

    #[test]
    fn the_latest_wish_wins_and_what_was_stopped_is_not_taken() {
        let (sender, found) = channel();
        let mut layer = Layer::default();
        let busts = ["94 cm", "95 cm", "96 cm"];
        let send = |layer: &mut Layer, errand| {
            let sender = sender.clone();
            layer.send(errand, move |brought| drop(sender.send(brought)));
        };
        let of = || match found.recv().expect("an end") {
            Brought::Lying(of, _) | Brought::Found(of, _) => of,
        };
        for bust in busts {
            send(&mut layer, Errand::Lay(with_sleeves(bust)));
        }
        assert_eq!(of(), with_sleeves(busts[0]));
        let (heard, next) = layer.ended();
        assert!(!heard && next == Some(Errand::Lay(with_sleeves(busts[2]))), "the second was never begun");
        send(&mut layer, next.expect("the third"));
        assert_eq!(of(), with_sleeves(busts[2]));
        let (heard, next) = layer.ended();
        assert!(heard && next.is_none());
        // A search goes on until somebody ends it.
        send(&mut layer, Errand::Search(with_sleeves(busts[0])));
        send(&mut layer, Errand::Lay(with_sleeves(busts[1])));
        assert_eq!(of(), with_sleeves(busts[0]));
        assert!(!layer.ended().0);
    }

    #[test]
    fn a_fault_of_the_program_ends_in_a_sentence() {
        let no = apart(|| -> u32 { panic!("a fault, made on purpose") }).expect_err("a sentence");
        assert!(no.to_string().contains("a fault of the program") && no.remarks[0].remedy.is_some());
        // On the cloth's page, where she waits for the lay.
        let mut work = Work::default();
        work.take_lying(Lying { laid: None, remarks: no.remarks });
        assert!(work.about("cloth").next().is_some_and(|remark| remark.remedy.is_some()));
    }
}
