//! What washing does to the cloth, by a wash test: two places marked before, and measured again after.
//!
//! The change is reckoned as in ISO 5077: (after - before) / before, along and across. Either the cloth is washed before
//! it is cut, and more of it is bought; or it is cut unwashed, and the pieces are drafted larger, so that what is sewn
//! is right after its first wash.

use crate::entries::{Entries, shown};
use crate::remark::Remark;
use crate::units::Length;

/// Changes by washing that are believed; beyond them a mark was misread.
const BELIEVED: [f64; 2] = [-0.25, 0.10];

/// What washing does to a cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shrinkage {
    /// Change along the selvedge as a share of what it was: below nought when it shrinks.
    pub along_share: f64,
    /// The same across.
    pub across_share: f64,
    /// When it is washed.
    pub wash: Wash,
}

/// When a cloth is washed first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wash {
    /// Before it is cut.
    BeforeCutting,
    /// Only as a garment.
    AfterSewing,
}

impl Shrinkage {
    /// What is left of 1 mm after washing, along and across.
    pub fn left(&self) -> [f64; 2] {
        [1.0 + self.along_share, 1.0 + self.across_share]
    }

    /// What the cloth becomes when it is washed before cutting.
    pub(super) fn washed(&self, width: Length, length_mm: Option<f64>) -> Remark {
        let show = |mm: f64| width.system.show(mm);
        let [along, across] = self.left();
        let length = length_mm.map(|mm| format!(", and {} of length {}", show(mm), show(mm * along)));
        let becomes = format!("{} of width become {}", show(width.mm), show(width.mm * across));
        Remark::note(format!("wash the cloth before cutting: {becomes}{}", length.unwrap_or_default()))
    }
}

/// A change by washing in percent, with its sign.
fn in_percent(share: f64) -> String {
    let tenths = (share * 1000.0).round() / 10.0 + 0.0;
    format!("{tenths:+} %")
}

/// Reads what the wash test gave; none where there was none.
pub(super) fn shrinkage(section: &mut Entries<'_, '_>) -> Option<Shrinkage> {
    let along = change(section, "shrinkage_along");
    let across = change(section, "shrinkage_across");
    let wash = wash(section);
    if along.is_none() && across.is_none() {
        return None;
    }
    Some(Shrinkage { along_share: along.unwrap_or(0.0), across_share: across.unwrap_or(0.0), wash })
}

/// The change between two marks.
fn change(section: &mut Entries<'_, '_>, key: &'static str) -> Option<f64> {
    let read = section.lengths(key)?;
    let share = match read.value.as_slice() {
        [before, after] if before.mm > 0.0 => (after.mm - before.mm) / before.mm,
        _ => {
            let sentence = format!("{key} needs two lengths above nought, before and after washing");
            section.fault(key, read.line, sentence, format!("write {key} = [\"50 cm\", \"48.5 cm\"]"));
            return None;
        }
    };
    let [least, most] = BELIEVED;
    if (least..=most).contains(&share) {
        return Some(share);
    }
    let sentence = format!("{key} is a change by {}, and no cloth does that", in_percent(share));
    section.fault(key, read.line, sentence, "measure the marks again; before washing comes first, after it second");
    None
}

fn wash(section: &mut Entries<'_, '_>) -> Wash {
    let Some(text) = section.text("wash") else { return Wash::BeforeCutting };
    match text.value.as_str() {
        "before-cutting" => Wash::BeforeCutting,
        "after-sewing" => Wash::AfterSewing,
        other => {
            let sentence = format!("wash = \"{}\" is no time of washing that is known", shown(other));
            let remedy = "write wash = \"before-cutting\", or \"after-sewing\" when it is cut unwashed";
            section.fault("wash", text.line, sentence, remedy);
            Wash::BeforeCutting
        }
    }
}
