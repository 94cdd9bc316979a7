//! What was weighed before a fold was chosen, in figures and in words.

use super::{Fold, Lay};
use crate::order::FoldKind;
use crate::units::System;

/// A fold that was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The fold.
    pub fold: Fold,
    /// No lay on it spends less cloth.
    pub bound_mm: f64,
    /// Whether a lay was searched for on it.
    pub is_tried: bool,
    /// The cloth that it spends; none when it was not tried, because its bound is longer than a lay on another fold or
    /// others promise more, or when no lay was found on it.
    pub used_mm: Option<f64>,
}

/// A kind of fold that is not to be had.
#[derive(Clone, Debug, PartialEq)]
pub struct RuledOut {
    /// The kind.
    pub kind: FoldKind,
    /// Why not.
    pub why: String,
}

impl Fold {
    /// What it is called, and how far in: "both selvedges folded in, by 34 cm and 41 cm".
    pub fn in_words(self, system: System) -> String {
        let show = |mm: f64| system.show(mm);
        match self {
            Self::Partly { folded_mm } => format!("{}, by {}", self.says(), show(folded_mm)),
            Self::BothIn { near_mm, far_mm } => {
                format!("{}, by {} and {}", self.says(), show(near_mm), show(far_mm))
            }
            _ => self.says().to_owned(),
        }
    }
}

impl Lay {
    /// What every fold that was weighed spends, the least first: "folded along its centre: 2.05 m".
    pub fn weighed_in_words(&self) -> Vec<String> {
        let mut order: Vec<&Weighed> = self.weighed.iter().collect();
        let spends_mm = |weighed: &Weighed| weighed.used_mm.unwrap_or(f64::INFINITY);
        order.sort_by(|a, b| spends_mm(a).total_cmp(&spends_mm(b)).then(a.bound_mm.total_cmp(&b.bound_mm)));
        let says = |weighed: &Weighed| {
            let length = match weighed.used_mm {
                Some(used_mm) => self.system.show_at_least(used_mm),
                None if weighed.bound_mm < self.used_mm => {
                    let says = if weighed.is_tried { "no lay was found" } else { "not tried, others promised more" };
                    format!("{says}; none is shorter than {}", self.system.show(weighed.bound_mm))
                }
                None => format!("more than {}", self.system.show(weighed.bound_mm)),
            };
            format!("{}: {length}", weighed.fold.in_words(self.system))
        };
        order.into_iter().map(says).collect()
    }

    /// Every kind of fold that is not to be had, and why.
    pub fn ruled_out_in_words(&self) -> Vec<String> {
        self.ruled_out.iter().map(|out| format!("{}: {}", out.kind.says(), out.why)).collect()
    }
}
