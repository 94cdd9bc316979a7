//! What an order asks of the lay beyond the least cloth: room on every length, pieces moved along it so that the print's
//! motifs fall where they should, pieces kept at a place, which way the print must meet at the seams, and where its motif
//! must lie.

use std::collections::BTreeMap;

use super::{Body, Measure};
use crate::entries::{Amount, Entries, Placed, nearest, shown};

/// The key of the room; but for it, [`MATCH`], [`MOTIF`] and [`FOLD`] every key of `[lay]` is the name of a piece.
pub const ROOM: &str = "room";

/// The key of the kind of fold.
pub const FOLD: &str = "fold";

/// The key of how the print must meet.
pub const MATCH: &str = "match";

/// The key of where a motif must lie.
pub const MOTIF: &str = "motif";

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
    /// Where a motif must lie on each garment, in their order; an order by itself has one.
    pub motifs: Vec<Motif>,
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

    /// The word that asks for it.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }

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

/// Where the motif of a print must lie on front and back.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Motif {
    /// Whether on the centre line.
    pub on_centre: bool,
    /// At which level.
    pub level: Option<Level>,
}

/// A level at which a motif lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Level {
    /// One that is marked on the pieces, by its name.
    Marked(&'static str),
    /// The bust points', on the front: so far below the start line.
    Bust {
        /// Down from the start line.
        down_mm: f64,
        /// Whether no motif lies there: the bust points lie midway between two rows of them.
        kept_off: bool,
    },
}

/// The words of [`MOTIF`].
const WORDS: [&str; 6] = ["centre", "chest", "waist", "hip", "bust", "off-bust"];

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
    /// Every way, with the word that asks for it.
    pub const WORDS: [(&'static str, Self); 4] =
        [("none", Self::None), ("along", Self::Along), ("across", Self::Across), ("both", Self::Both)];

    /// The word that asks for it.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, way)| *way == self).map_or("", |(word, _)| word)
    }

    /// The one that meets so.
    pub fn of(along: bool, across: bool) -> Self {
        match (along, across) {
            (true, true) => Self::Both,
            (true, false) => Self::Along,
            (false, true) => Self::Across,
            (false, false) => Self::None,
        }
    }

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
pub fn asked(mut section: Entries<'_, '_>, body: &Body) -> Asked {
    let (matching, motif, fold) = (matching(&mut section), motif(&mut section, body), fold(&mut section));
    let mut asked = Asked { matching, motifs: motif.into_iter().collect(), fold, ..Asked::default() };
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
                let says = format!("{} = {number} has no unit", shown(&key));
                section.fault(&key, line, says, section.unit_for(number, None));
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
    let found = Matching::WORDS.iter().find(|(word, _)| *word == text.value);
    if found.is_none() {
        section.fault(
            MATCH,
            text.line,
            format!("match = \"{}\" is no way that a print can meet", shown(&text.value)),
            "write match = \"along\" (the selvedge), \"across\", \"both\" or \"none\"",
        );
    }
    found.map_or(Matching::None, |(_, way)| *way)
}

/// Where the motif must lie: on the centre line, at a level, or both.
fn motif(section: &mut Entries<'_, '_>, body: &Body) -> Option<Motif> {
    let words = section.texts(MOTIF);
    let line = words.first()?.line;
    let mut motif = Motif::default();
    for word in &words {
        let level = match word.value.as_str() {
            "centre" => {
                motif.on_centre = true;
                continue;
            }
            bust @ ("bust" | "off-bust") => {
                let Some(down_mm) = body.get(Measure::BustDepth) else {
                    let says = "where the bust points lie is not known".to_owned();
                    let how = Measure::BustDepth.facts().how;
                    section.fault(
                        MOTIF,
                        line,
                        says,
                        format!("measure {how}, and write bust_depth = \"26 cm\" under [body]"),
                    );
                    return None;
                };
                Level::Bust { down_mm, kept_off: bust == "off-bust" }
            }
            other => match WORDS.iter().find(|known| **known == other) {
                Some(name) => Level::Marked(name),
                None => {
                    let near = nearest(other, &WORDS).unwrap_or(WORDS[0]);
                    let says = format!("motif = \"{}\" is no place for a motif", shown(other));
                    section.fault(
                        MOTIF,
                        line,
                        says,
                        format!("write motif = \"{near}\"; known are {}", WORDS.join(", ")),
                    );
                    return None;
                }
            },
        };
        if motif.level.replace(level).is_some() {
            let says = "a motif can't lie at two levels".to_owned();
            section.fault(MOTIF, line, says, "name one level, and \"centre\" beside it where you want that");
            return None;
        }
    }
    Some(motif)
}
