//! Has the projector been knocked? A few distances, measured before cutting, against what the table says.
//!
//! Each [gap] is compared with what the table's own uncertainty and the noise of the tape allow it. What doesn't pass is
//! tried once more under the simplest [change] that could explain it: the whole table larger or smaller (the projector or
//! the table was raised), and, where places on the mat were read, slid and turned (either was pushed). Only a change that
//! explains everything is offered; anything else, a tilt above all, asks for a new calibration. A picture that only slid
//! keeps all its distances, and the cloth is laid to the light anyway.

mod change;
mod gap;

pub use change::Change;
pub use gap::Gap;

use crate::remark::Remark;
use crate::table::{KeptTable, Kind, MarkName, Reading};

/// No knock makes a table larger or smaller by more than this share: who lifted the projector that far calibrates anew.
pub const BELIEVED_SHARE: f64 = 0.2;

/// What the proof found.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// Everything is where the table says.
    Holds,
    /// One change explains everything.
    Moved(Change, Remark),
    /// The table no longer holds.
    Broken(Remark),
}

/// Each reading against the table; none when a mark isn't known to it.
pub fn compare(kept: &KeptTable, readings: &[Reading]) -> Option<Vec<Gap>> {
    readings.iter().map(|reading| Gap::of(kept, reading, readings.len())).collect()
}

/// The proof of a table by readings of its own marks; none when a mark isn't known to it.
///
/// It holds when every gap is within what is allowed it, which a sound table fails once in a hundred proofs.
pub fn prove(kept: &KeptTable, readings: &[Reading]) -> Option<Proof> {
    let gaps = compare(kept, readings)?;
    let pass = |change: &Change| gaps.iter().all(|gap| gap.passes(change));
    if pass(&Change::none()) {
        return Some(Proof::Holds);
    }
    for (free, says) in change::explaining(&gaps) {
        let Some(change) = Change::fitted(&gaps, free).filter(pass) else { continue };
        if change.growth_share.abs() <= BELIEVED_SHARE && change.made(kept).is_some() {
            let remark = Remark::doubt(format!("the table was moved: {says} ({})", change.in_words()))
                .field("proof")
                .remedy("take the corrected table, or solve a new one if anything was tilted");
            return Some(Proof::Moved(change, remark));
        }
    }
    let off = |gap: &Gap| gap.score(&Change::none());
    let worst = gaps.iter().max_by(|a, b| off(a).total_cmp(&off(b))).map_or_else(String::new, Gap::in_words);
    let remark = Remark::doubt(format!("the table no longer holds: {worst}")).field("proof");
    Some(Proof::Broken(remark.remedy("measure these again; if they stay, calibrate anew")))
}

/// Distances that prove a table well: two sides and the diagonal between them. A change of size shows in all three, a tilt
/// about either axis in one side alone. None where the table keeps no marks or no fit to prove it by.
pub fn distances(kept: &KeptTable) -> Vec<[MarkName; 2]> {
    let (Some(record), Some(_)) = (&kept.record, &kept.fit) else { return Vec::new() };
    let corners = super::Grid { marks: record.marks.clone() }.corners();
    let pairs = match corners[..] {
        [a, b, c, _] => vec![[a, b], [b, c], [a, c]],
        _ => Vec::new(),
    };
    if pairs.iter().all(|pair| expected(kept, *pair, pairs.len()).is_some()) { pairs } else { Vec::new() }
}

/// What a tape should read between two marks, and by how much it may be off where so many distances are taken.
pub fn expected(kept: &KeptTable, [from, to]: [MarkName; 2], count: usize) -> Option<[f64; 2]> {
    let reading = Reading { kind: Kind::Distance { from, to, distance_mm: 0.0 }, height_mm: 0.0 };
    let gap = Gap::of(kept, &reading, count)?;
    Some([-gap.off_mm(), gap.allowed_mm()])
}

/// Why a table can't be proved.
pub fn nothing_to_prove_by() -> Remark {
    Remark::note("there is nothing to prove this table by: it was written by hand and keeps no marks and readings")
        .field("fit")
        .remedy("measure it with the grid and 'chalklight calibrate'; a table made so can be proved")
}
