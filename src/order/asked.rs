//! What an order asks of the lay beyond the least cloth: room on every length, pieces moved along it so that the print's
//! motifs fall where they should, pieces kept at a place, and which way the print must meet at the seams.

use std::collections::BTreeMap;

use crate::entries::{Amount, Entries, Placed, nearest, shown};
use crate::units::without_unit;

/// The key of the room; but for it, [`MATCH`] and [`FOLD`] every key of `[lay]` is the name of a piece.
pub const ROOM: &str = "room";

/// The key of the kind of fold.
pub const FOLD: &str = "fold";

/// The key of how the print must meet.
pub const MATCH: &str = "match";

/// Most that is taken for room or for a shift: longer than any garment.
const MOST_MM: f64 = 5000.0;

/// Farthest that a piece is kept from the cut end.
const FARTHEST_MM: f64 = 50_000.0;

/// What an order asks of the lay.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// Added to every length, so that a piece can still be moved at the table.
    pub room_mm: f64,
    /// How far a piece lies from where it lies by itself, towards the hem end, by the piece's name.
    pub shifts_mm: BTreeMap<String, Placed<f64>>,
    /// Where pieces must lie, by their name: from the cut end and from the near edge of the cloth as folded to the box
    /// around the piece, for each one of it that is kept.
    pub pins_mm: BTreeMap<String, Placed<Vec<[f64; 2]>>>,
    /// Which way the print must meet where pieces are sewn together.
    pub matching: Matching,
    /// The kind of fold that the cloth must have; without one all are weighed.
    pub fold: Option<Placed<FoldKind>>,
}

/// The kinds of fold that cloth can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FoldKind {
    /// As many lengths as pieces, each folded along its centre, one over the other.
    Lengths,
    /// Not folded.
    Open,
    /// Along its centre.
    Half,
    /// One selvedge folded in.
    OneSide,
    /// Both selvedges folded in.
    BothSides,
    /// Across its middle.
    Across,
    /// Along its centre and then across its middle.
    Four,
}

impl FoldKind {
    /// Every kind, with the word that asks for it.
    pub const WORDS: [(&'static str, Self); 7] = [
        ("lengths", Self::Lengths),
        ("open", Self::Open),
        ("half", Self::Half),
        ("one-side", Self::OneSide),
        ("both-sides", Self::BothSides),
        ("across", Self::Across),
        ("four", Self::Four),
    ];

    /// What it is called.
    pub fn says(self) -> &'static str {
        match self {
            Self::Lengths => "lengths folded along their centre, one over the other",
            Self::Open => "open, in one layer",
            Self::Half => "folded along its centre",
            Self::OneSide => "one selvedge folded in, the rest single",
            Self::BothSides => "both selvedges folded in",
            Self::Across => "folded across its middle",
            Self::Four => "folded in four, along its centre and then across",
        }
    }
}

/// Which way a print must meet at the seams.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Matching {
    /// Neither.
    #[default]
    None,
    /// Along the selvedge: stripes that run across meet.
    Along,
    /// Across: stripes that run along meet.
    Across,
    /// Both, as checks must.
    Both,
}

impl Matching {
    /// Whether what meets lies level along the selvedge.
    pub fn is_along(self) -> bool {
        matches!(self, Self::Along | Self::Both)
    }

    /// Whether it meets across.
    pub fn is_across(self) -> bool {
        matches!(self, Self::Across | Self::Both)
    }
}

/// Reads `[lay]`. Whether there are such pieces is for the lay to say.
pub fn asked(mut section: Entries<'_, '_>) -> Asked {
    let (matching, fold) = (matching(&mut section), fold(&mut section));
    let mut asked = Asked { matching, fold, ..Asked::default() };
    for (key, places) in section.lists() {
        let pairs: Vec<[f64; 2]> = places.value.chunks_exact(2).map(|pair| [pair[0].mm, pair[1].mm]).collect();
        let on_cloth = pairs.as_flattened().iter().all(|mm| (0.0..=FARTHEST_MM).contains(mm));
        if places.value.len() % 2 != 0 || pairs.is_empty() || !on_cloth || key == ROOM {
            let sentence = format!("{} needs two lengths for each place, from nought on", shown(&key));
            let write = format!("write {} = [\"40 cm\", \"12 cm\"]: from the cut end, from the near edge", shown(&key));
            section.fault(&key, places.line, sentence, write);
        } else {
            asked.pins_mm.insert(key, Placed { value: pairs, line: places.line });
        }
    }
    for (key, Placed { value, line }) in section.amounts() {
        let length = match value {
            Amount::Length(length) => length,
            Amount::Number(number) => {
                let no = without_unit(number);
                section.fault(&key, line, format!("{} = {number} {}", shown(&key), no.says), no.write);
                continue;
            }
        };
        let least_mm = if key == ROOM { 0.0 } else { -MOST_MM };
        if !(least_mm..=MOST_MM).contains(&length.mm) {
            let show = |mm: f64| length.system.show(mm);
            let sentence = format!("{} = {} is no place on a cloth", shown(&key), show(length.mm));
            section.fault(&key, line, sentence, format!("write a length from {} to {}", show(least_mm), show(MOST_MM)));
        } else if key == ROOM {
            asked.room_mm = length.mm;
        } else {
            asked.shifts_mm.insert(key, Placed { value: length.mm, line });
        }
    }
    asked
}

fn fold(section: &mut Entries<'_, '_>) -> Option<Placed<FoldKind>> {
    let text = section.text(FOLD)?;
    let found = FoldKind::WORDS.iter().find(|(word, _)| *word == text.value);
    if found.is_none() {
        let words = FoldKind::WORDS.map(|(word, _)| word);
        let write = match nearest(&text.value, &words) {
            Some(near) => format!("write {FOLD} = \"{near}\""),
            None => format!("write one of {}, or leave it out: then all are weighed", words.join(", ")),
        };
        section.fault(FOLD, text.line, format!("{FOLD} = \"{}\" is not known here", shown(&text.value)), write);
    }
    found.map(|(_, kind)| Placed { value: *kind, line: text.line })
}

fn matching(section: &mut Entries<'_, '_>) -> Matching {
    let Some(text) = section.text(MATCH) else { return Matching::None };
    match text.value.as_str() {
        "none" => Matching::None,
        "along" => Matching::Along,
        "across" => Matching::Across,
        "both" => Matching::Both,
        other => {
            section.fault(
                MATCH,
                text.line,
                format!("match = \"{}\" is no way that a print can meet", shown(other)),
                "write match = \"along\" (the selvedge), \"across\", \"both\" or \"none\"",
            );
            Matching::None
        }
    }
}
