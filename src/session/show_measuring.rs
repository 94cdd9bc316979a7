//! What is thrown while the table is measured: the marks, what is typed, and what it proves.

use super::{Doing, Found, Measuring, Session};
use crate::calibrate::proof::{Gap, nothing_to_prove_by};
use crate::geometry::{Point, Table};
use crate::remark::sentence_case;
use crate::scene::{Scene, View, between, page};
use crate::table::MarkName;
use crate::units::System;

impl Session {
    pub(super) fn measuring_scene(&self, measuring: &Measuring, view: &View) -> Scene {
        let Some(pair) = measuring.asked() else { return page(&self.told_of(measuring), view) };
        let marks = pair.map(|mark| self.mark_at(mark));
        let mut says = question(measuring, pair, view.system);
        says.extend(self.turned_back(measuring));
        match marks {
            [Some(a), Some(b)] => between(&[a, b], &says, view),
            _ => page(&says, view),
        }
    }

    /// What to do with the cloth where it lies on the table: a distance measured on it would be too short.
    fn turned_back(&self, measuring: &Measuring) -> Option<String> {
        let after = match &*measuring.then {
            Doing::Aligning(_) => "You lay it to its marks again afterwards.",
            _ if self.state.farthest > 0 => "Afterwards lay it back, and set its place anew (A).",
            _ => return None,
        };
        Some(format!("Where cloth lies, turn it back from the crosses. {after}"))
    }

    fn mark_at(&self, mark: MarkName) -> Option<(Point<Table>, String)> {
        let px = self.table.record.as_ref()?.marks.get(&mark)?;
        Some((self.table.table.mm_from_px(*px)?, mark.to_string()))
    }

    /// What the distances prove.
    fn told_of(&self, measuring: &Measuring) -> Vec<String> {
        let system = self.view.system;
        let mut says: Vec<String> = self.gaps(measuring).iter().map(|gap| gap_in_words(gap, system)).collect();
        match measuring.found {
            Some(Found::Holds) if self.state.knocked => {
                says.insert(0, "What you measured agrees with the table, but it was found knocked before.".into());
                says.push("K: measure all three, so that it can be trusted again.    Escape: out.".into());
            }
            Some(Found::Holds) => {
                says.insert(0, "The table holds: its lines are as true as when it was calibrated.".into());
                says.push("Space or enter: go on.".into());
            }
            Some(Found::Moved { growth_share }) => says.extend(moved(growth_share)),
            Some(Found::Broken) => {
                says.insert(0, "The table no longer holds, so no cutting line is thrown by it.".into());
                says.push("It did not only grow or shrink: something was tilted, or a distance was misread.".into());
                says.push("K: measure again.    Y: yes, cut by it all the same.".into());
                says.push("Escape, twice: leave, and calibrate anew.".into());
            }
            Some(Found::Nothing) | None => {
                let remark = nothing_to_prove_by();
                says.push(format!("{}.", sentence_case(&remark.sentence)));
                says.extend(remark.remedy.map(|remedy| format!("{}.", sentence_case(&remedy))));
                says.push("Space or enter: go on.".into());
            }
        }
        says
    }
}

/// Asks for a distance.
fn question(measuring: &Measuring, [from, to]: [MarkName; 2], system: System) -> Vec<String> {
    let number = measuring.read_mm.len() + 1;
    let typed = &measuring.typed;
    let otherwise = measuring.typed_mm(system).map_or_else(String::new, |mm| format!("  ({})", shown(mm, system)));
    let (unit, sign, hint) = match system {
        System::Metric => ("millimetres", "mm", ""),
        System::Inch => ("inches", "in", " (47 3/8: space or + before the fraction)"),
    };
    let mut says = vec![
        format!("Has the projector been knocked? Distance {number} of {}.", measuring.pairs.len()),
        format!(
            "Lay the tape on the bare table from cross {from} to cross {to}, type the {unit}{hint}, and press enter."
        ),
        format!("{from} to {to}:  {typed}_ {sign}{otherwise}"),
    ];
    if measuring.doubted {
        let others = match system {
            System::Metric => "Centimetres or inches",
            System::Inch => "Millimetres or centimetres",
        };
        says.push(format!("That is far from what it was. {others}? Type {unit}; or enter once more, if it is so."));
    }
    let on = if typed.is_empty() { "Space: pass this one over." } else { "Enter: take it.    Backspace: rub out." };
    says.push(format!("{on}    Page up: the one before.    Escape: pass the proof over."));
    says
}

/// What was typed, as it may stand on the tape too.
fn shown(mm: f64, system: System) -> String {
    match system {
        System::Metric => format!("{:.2} cm", mm / 10.0),
        System::Inch => format!("{mm:.1} mm"),
    }
}

fn gap_in_words(gap: &Gap, system: System) -> String {
    let (off_mm, allowed_mm) = (gap.off_mm(), gap.allowed_mm());
    let way = if off_mm >= 0.0 { "longer" } else { "shorter" };
    let verdict = if off_mm.abs() <= allowed_mm { "no more than the tape's chance" } else { "more than chance" };
    format!(
        "{}: {} {way} than the table says; {verdict} (up to {}).",
        gap.name,
        system.show_fine(off_mm.abs()),
        system.show_fine(allowed_mm)
    )
}

/// Offers the correction.
fn moved(growth_share: f64) -> Vec<String> {
    let (size, how) = if growth_share > 0.0 {
        ("larger", "the projector was raised, or the table lowered")
    } else {
        ("smaller", "the projector was lowered, or the table raised")
    };
    vec![
        format!("Everything is {:.2} % {size} than the table says: {how}.", 100.0 * growth_share.abs()),
        "Y: yes, cut by the table corrected by that. It is written beside the old one, which stays as it is.".into(),
        "K: measure again.    Escape: out; nothing is thrown before you decide.".into(),
    ]
}
