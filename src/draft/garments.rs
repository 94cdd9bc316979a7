//! Every garment: its house rules, and the function that drafts it. Each stands in a file of its own.

use super::rules::Rule;
use super::sheet::Sheet;
use super::{Check, Seam, SewnPiece, a_line_dress, a_line_skirt, circle_skirt, kaftan, shift_top, tiered_skirt, tunic};
use crate::order::{Kind, Style};
use crate::remark::Refusal;

/// A garment that can be drafted.
pub struct Garment {
    /// Its kind; what it asks of the body stands there.
    pub kind: Kind,
    /// Its house rules, in groups; of two rules with one key the first holds, so that a garment states first what it
    /// has of its own.
    pub rules: &'static [Group],
    /// What the fitting may adjust.
    pub fitting: &'static [&'static Rule],
    /// Drafts it.
    pub draft: fn(&mut Sheet<'_>) -> Result<Drafted, Refusal>,
}

/// House rules that are in force together.
pub struct Group {
    /// The rules.
    pub rules: &'static [&'static Rule],
    /// Whether they are, with what was chosen.
    pub applies: fn(&Style) -> bool,
}

/// What a garment's own file draws.
pub struct Drafted {
    /// The sewn pieces.
    pub pieces: Vec<SewnPiece>,
    /// What is sewn to what.
    pub seams: Vec<Seam>,
    /// What was tried on it.
    pub checks: Vec<Check>,
    /// The width to fold the cloth at.
    pub fold_width_mm: f64,
}

/// Every garment.
pub const GARMENTS: [Garment; 7] = [
    a_line_dress::GARMENT,
    shift_top::GARMENT,
    tunic::GARMENT,
    kaftan::GARMENT,
    a_line_skirt::GARMENT,
    circle_skirt::GARMENT,
    tiered_skirt::GARMENT,
];

impl Garment {
    /// The garment of a kind.
    pub fn of(kind: Kind) -> &'static Self {
        &GARMENTS[GARMENTS.iter().position(|garment| garment.kind == kind).unwrap_or(0)]
    }

    /// All its house rules.
    pub fn rules(&self) -> Vec<&'static Rule> {
        self.rules_where(|_| true)
    }

    /// The house rules that are in force with what was chosen.
    pub fn rules_for(&self, style: &Style) -> Vec<&'static Rule> {
        self.rules_where(|group| (group.applies)(style))
    }

    fn rules_where(&self, taken: impl Fn(&Group) -> bool) -> Vec<&'static Rule> {
        let mut rules: Vec<&'static Rule> = Vec::new();
        for rule in self.rules.iter().filter(|group| taken(group)).flat_map(|group| group.rules) {
            if rules.iter().all(|other| other.key != rule.key) {
                rules.push(rule);
            }
        }
        rules
    }
}

impl Group {
    /// Rules that are always in force.
    pub const fn always(rules: &'static [&'static Rule]) -> Self {
        Self { rules, applies: |_| true }
    }
}

impl Drafted {
    /// Nothing drawn yet, on cloth folded so wide.
    pub fn on_fold_of(fold_width_mm: f64) -> Self {
        Self { pieces: Vec::new(), seams: Vec::new(), checks: Vec::new(), fold_width_mm }
    }

    /// Adds a piece with the seams that it is sewn in by; they are tried at once.
    pub fn add(&mut self, pieces: impl IntoIterator<Item = SewnPiece>, seams: Vec<Seam>, sheet: &Sheet<'_>) {
        self.pieces.extend(pieces);
        self.checks.extend(seams.iter().map(|seam| seam.check(&self.pieces, sheet.order.system)));
        self.seams.extend(seams);
    }
}
