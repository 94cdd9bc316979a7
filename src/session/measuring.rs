//! Has the projector been knocked? Distances of the table are measured one after the other, and what they prove is told.
//!
//! Two marks are thrown, she types what the tape says between them, in millimetres or, for an order in inches, in inches
//! and their fractions, or passes it over. After the last one the table holds, or it is corrected on her yes, or nothing is thrown by it any more until she says yes to that.

use super::{Doing, Event, Session, Why};
use crate::calibrate::proof::{BELIEVED_SHARE, Gap, Proof, compare, distances, expected, prove};
use crate::scene::Room;
use crate::table::{KeptTable, Kind, MarkName, Reading};
use crate::units::{System, read_length};

/// No distance on a table has more signs.
const MOST_SIGNS: usize = 10;

/// Distances being measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measuring {
    /// What she was in the middle of.
    pub then: Box<Doing>,
    /// The marks between which is measured.
    pub pairs: Vec<[MarkName; 2]>,
    /// What was read so far, in mm; none for what was passed over.
    pub read_mm: Vec<Option<f64>>,
    /// The number as far as it is typed, in the unit of the order: millimetres or inches.
    pub typed: String,
    /// Whether the number is farther off than any knock moves a mark, and is taken only when it is confirmed once more.
    pub doubted: bool,
    /// What came of it.
    pub found: Option<Found>,
}

/// What a proof came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// The table keeps nothing that it could be proved by.
    Nothing,
    /// It holds.
    Holds,
    /// It grew by this share, which explains everything.
    Moved {
        /// 0.01 is one in a hundred.
        growth_share: f64,
    },
    /// Nothing explains it.
    Broken,
}

impl Measuring {
    fn begin(then: Box<Doing>, pairs: Vec<[MarkName; 2]>) -> Self {
        let found = pairs.is_empty().then_some(Found::Nothing);
        Self { then, pairs, read_mm: Vec::new(), typed: String::new(), doubted: false, found }
    }

    /// The marks between which is measured now; none when everything is answered.
    pub fn asked(&self) -> Option<[MarkName; 2]> {
        if self.found.is_none() { self.pairs.get(self.read_mm.len()).copied() } else { None }
    }

    /// What was read.
    pub fn readings(&self) -> Vec<Reading> {
        let read = |(pair, mm): (&[MarkName; 2], &Option<f64>)| {
            let ([from, to], distance_mm) = (*pair, (*mm)?);
            Some(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
        };
        self.pairs.iter().zip(&self.read_mm).filter_map(read).collect()
    }

    fn is_complete(&self) -> bool {
        self.read_mm.iter().all(Option::is_some)
    }

    /// What is typed, in mm; none while it is no number yet.
    pub fn typed_mm(&self, system: System) -> Option<f64> {
        match system {
            System::Metric => self.typed.parse().ok(),
            System::Inch => read_length(&format!("{} in", self.typed)).ok().map(|length| length.mm),
        }
    }

    /// Writes a sign. Inches are written with fractions: a `+` is the gap before one, since a numeric pad has no other.
    fn write(&mut self, sign: char, system: System) {
        let once = |sign| !self.typed.contains(sign);
        let inches = system == System::Inch;
        let fits = match sign {
            '0'..='9' => true,
            '.' => once('.') && once('/') && once(' '),
            '+' => inches && once(' ') && once('/') && once('.') && !self.typed.is_empty(),
            '/' => inches && once('/') && once('.') && self.typed.ends_with(|sign: char| sign.is_ascii_digit()),
            _ => false,
        };
        if self.doubted && sign.is_ascii_digit() {
            // A doubted number is written anew, not longer.
            self.typed.clear();
        }
        if fits && self.asked().is_some() && self.typed.len() < MOST_SIGNS {
            self.typed.push(if sign == '+' { ' ' } else { sign });
            self.doubted = false;
        }
    }
}

impl Session {
    /// What is typed of the number that is asked for; none when none is, or when darkness or help covers it.
    pub fn typed(&self) -> Option<&str> {
        match &self.state.doing {
            Doing::Measuring(measuring) if !self.dark && !self.help && measuring.asked().is_some() => {
                Some(&measuring.typed)
            }
            _ => None,
        }
    }

    /// The unit system in which she types.
    pub fn system(&self) -> System {
        self.view.system
    }

    /// Begins to measure.
    pub(super) fn measure(&mut self) {
        let then = match &self.state.doing {
            Doing::Measuring(measuring) => measuring.then.clone(),
            doing => Box::new(doing.clone()),
        };
        self.state.doing = Doing::Measuring(Measuring::begin(then, distances(&self.table)));
    }

    /// Answers an event while it is measured.
    pub(super) fn measured(&mut self, event: Event) {
        let Doing::Measuring(mut measuring) = self.state.doing.clone() else { return };
        match (event, measuring.found) {
            (Event::Leave, _) | (Event::Next | Event::Confirm, Some(Found::Nothing | Found::Holds)) => {
                self.state.doing = *measuring.then;
                return;
            }
            (Event::Yes, Some(Found::Moved { .. })) => return self.correct(&measuring),
            (Event::Yes, Some(Found::Broken)) => {
                self.state.knocked = false;
                self.state.doing = *measuring.then;
                return;
            }
            (Event::Type(sign), None) => measuring.write(sign, self.view.system),
            (Event::Rub, None) => {
                measuring.typed.pop();
                measuring.doubted = false;
            }
            (Event::Next, None) if measuring.typed.is_empty() => return self.take(measuring, None),
            (Event::Next | Event::Confirm, None) => {
                let Some(mm) = measuring.typed_mm(self.view.system) else { return };
                if measuring.doubted || self.believable(&measuring, mm) {
                    return self.take(measuring, Some(mm));
                }
                measuring.doubted = true;
            }
            (Event::Back, None) => {
                measuring.read_mm.pop();
                measuring.typed.clear();
                measuring.doubted = false;
            }
            _ => {}
        }
        self.state.doing = Doing::Measuring(measuring);
    }

    fn believable(&self, measuring: &Measuring, mm: f64) -> bool {
        let pair = measuring.asked().and_then(|pair| expected(&self.table, pair, measuring.pairs.len()));
        pair.is_some_and(|[should_mm, _]| (mm - should_mm).abs() <= BELIEVED_SHARE * should_mm)
    }

    /// Takes an answer; the last one gives the verdict.
    fn take(&mut self, mut measuring: Measuring, read_mm: Option<f64>) {
        measuring.typed.clear();
        measuring.doubted = false;
        measuring.read_mm.push(read_mm);
        if measuring.read_mm.len() == measuring.pairs.len() {
            let readings = measuring.readings();
            if readings.is_empty() {
                self.state.doing = *measuring.then;
                return;
            }
            let found = self.found(&readings);
            // One good distance among three says nothing against the three that were bad.
            self.state.knocked = found != Found::Holds || self.state.knocked && !measuring.is_complete();
            measuring.found = Some(found);
        }
        self.state.doing = Doing::Measuring(measuring);
    }

    fn found(&self, readings: &[Reading]) -> Found {
        match prove(&self.table, readings) {
            Some(Proof::Holds) => Found::Holds,
            Some(Proof::Moved(change, _)) if corrected(self.ground.kept(), readings).is_some() => {
                Found::Moved { growth_share: change.growth_share }
            }
            _ => Found::Broken,
        }
    }

    /// The gaps between what was read and what the table says.
    pub(super) fn gaps(&self, measuring: &Measuring) -> Vec<Gap> {
        compare(&self.table, &measuring.readings()).unwrap_or_default()
    }

    /// Goes on by the table as these distances correct it. Where work was begun, the cloth is laid to the light again.
    fn correct(&mut self, measuring: &Measuring) {
        let step = self.state.step;
        let begun = step > 0 || self.state.pose != self.work.home(step, &self.view);
        self.state.taken = measuring.readings();
        self.state.knocked = false;
        self.state.doing = *measuring.then.clone();
        self.take_table();
        self.come_into_light();
        if begun && self.state.doing == Doing::Cutting {
            self.align(Why::Asked);
        }
    }

    /// Makes the table that is thrown by from what was measured on the ground's own.
    pub(super) fn take_table(&mut self) {
        if self.state.taken.is_empty() {
            return;
        }
        if let Some(kept) = corrected(self.ground.kept(), &self.state.taken) {
            if let Some(corners) = kept.table.lit_corners_mm() {
                self.view.room = Room::in_lit_area(corners);
            }
            self.table = kept;
        }
    }
}

/// The table as these distances correct it: itself where they agree with it; none where no change explains them.
fn corrected(kept: &KeptTable, readings: &[Reading]) -> Option<KeptTable> {
    match prove(kept, readings)? {
        Proof::Holds => Some(kept.clone()),
        Proof::Moved(change, _) => change.made(kept),
        Proof::Broken(_) => None,
    }
}
