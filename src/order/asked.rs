//! What an order asks of the lay beyond the least cloth: room on every length, and pieces moved along it so that the
//! print's motifs fall where they should.

use std::collections::BTreeMap;

use crate::entries::{Amount, Entries, Placed, shown};
use crate::units::without_unit;

/// The key of the room; every other key of `[lay]` is the name of a piece.
pub const ROOM: &str = "room";

/// Most that is taken for room or for a shift: longer than any garment.
const MOST_MM: f64 = 5000.0;

/// What an order asks of the lay.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asked {
    /// Added to every length, so that a piece can still be moved at the table.
    pub room_mm: f64,
    /// How far a piece lies from where it lies by itself, towards the hem end, by the piece's name.
    pub shifts_mm: BTreeMap<String, Placed<f64>>,
}

/// Reads `[lay]`. Whether there are such pieces is for the lay to say.
pub fn asked(mut section: Entries<'_, '_>) -> Asked {
    let mut asked = Asked::default();
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
