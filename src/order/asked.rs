//! What an order asks of the lay beyond the least cloth: room on every length, pieces moved along it so that the print's
//! motifs fall where they should, pieces kept at a place, and which way the print must meet at the seams.

use std::collections::BTreeMap;

use crate::entries::{Amount, Entries, Placed, shown};
use crate::units::without_unit;

/// The key of the room; but for it and [`MATCH`] every key of `[lay]` is the name of a piece.
pub const ROOM: &str = "room";

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
    let mut asked = Asked { matching: matching(&mut section), ..Asked::default() };
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
