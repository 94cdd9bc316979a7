//! How far a reading is from the table that was solved: where the table lights a mark, against where she read it.

use super::notebook::Slot;
use crate::geometry::{Point, Table};
use crate::table::{KeptTable, Kind, MarkName};

/// Where the table lights a mark.
pub fn lit_mm(kept: &KeptTable, mark: MarkName) -> Option<Point<Table>> {
    let px = *kept.record.as_ref()?.marks.get(&mark)?;
    kept.table.mm_from_px(px)
}

/// How far off the reading of a slot is: along its own axis for a place, as a difference of lengths for a distance,
/// whichever end of it was written first.
pub fn residual_mm(kept: &KeptTable, slot: Slot) -> Option<f64> {
    let readings = &kept.record.as_ref()?.readings;
    readings.iter().filter(|reading| reading.height_mm == 0.0).find_map(|reading| match (&reading.kind, slot) {
        (Kind::Place { mark, at_mm }, Slot::Right(of)) if *mark == of => Some((lit_mm(kept, of)?.x - at_mm.x).abs()),
        (Kind::Place { mark, at_mm }, Slot::Away(of)) if *mark == of => Some((lit_mm(kept, of)?.y - at_mm.y).abs()),
        (Kind::Distance { from, to, distance_mm }, Slot::Between(a, b)) if [[a, b], [b, a]].contains(&[*from, *to]) => {
            let lit = lit_mm(kept, a)?.distance_to(lit_mm(kept, b)?);
            Some((lit - distance_mm).abs())
        }
        _ => None,
    })
}
