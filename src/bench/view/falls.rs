//! What of the print falls on the bust, the centre, the waist and the hem of a piece, in words.

use super::field::sentence_case;
use crate::bench::model::Bench;
use crate::lay::Lay;
use crate::motif::Spread;
use crate::motif::falls::{Lies, falls};
use crate::order::Measure;

/// What falls on a piece where it is spread; none where nothing is known of the print's repeat.
pub fn in_words(bench: &Bench, lay: &Lay, spread: &Spread) -> Option<String> {
    let order = bench.work().order.as_ref()?;
    let begins_mm = order.photo.map_or([0.0; 2], |photo| photo.at_mm);
    let bust_mm = order.body.get(Measure::BustDepth).filter(|_| spread.name == "front");
    let show = |mm: f64| lay.system.show(mm);
    let is_on = |mm: f64| mm.abs() < lay.system.hand_step_mm() / 2.0;
    let says: Vec<String> = falls(spread, bust_mm, &lay.cloth, begins_mm)
        .into_iter()
        .map(|fall| {
            let lies = match fall.lies {
                Lies::Above(mm) | Lies::Beside(mm) if is_on(mm) => "on a motif".to_owned(),
                Lies::Above(mm) if mm > 0.0 => format!("{} above a motif", show(mm)),
                Lies::Above(mm) => format!("{} below a motif", show(-mm)),
                Lies::Beside(mm) => format!("{} beside a motif", show(mm)),
                Lies::Into(mm) => format!("{} into a repeat", show(mm)),
                Lies::IntoAcross(mm) => format!("{} into a repeat across", show(mm)),
            };
            format!("{} {lies}", fall.place)
        })
        .collect();
    (!says.is_empty()).then(|| format!("{}: {}", sentence_case(spread.name), says.join(", ")))
}
