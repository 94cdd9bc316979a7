//! Cloth as the trade reckons it: so many lengths of the dress and its hem. The turning of the shoulder stands a little
//! above the start line; where the cloth was bought by that reckoning, the turning of the hem gives up as much.

use crate::finish::Piece;
use crate::order::Cloth;
use crate::remark::Remark;
use crate::units::System;

use super::need::{NOISE_MM, Need};

/// The hem keeps at least this share of its turning (ours, no source).
const KEPT_SHARE: f64 = 0.5;

/// The pieces with as much less hem as the cloth is short, and what is to be said of it; none when the cloth is long
/// enough, or too short for this.
pub fn spared(pieces: &[Piece], cloth: &Cloth, system: System) -> Option<(Vec<Piece>, Remark)> {
    let need = Need::of(pieces);
    let short_mm = (need.total_mm() - cloth.length_mm?) / f64::from(need.lengths.max(1));
    if short_mm <= NOISE_MM || short_mm > -need.top_mm + NOISE_MM {
        return None;
    }
    let hem_mm = pieces.iter().filter_map(|piece| piece.edge("hem")).map(|hem| hem.allowance_mm).reduce(f64::min)?;
    let left_mm = hem_mm - short_mm;
    if left_mm < KEPT_SHARE * hem_mm {
        return None;
    }
    let pieces: Vec<Piece> =
        pieces.iter().map(|piece| piece.with_turning("hem", left_mm)).collect::<Result<_, _>>().ok()?;
    let remark = Remark::doubt(format!(
        "the shoulder turnings stand {} above the start line: the cloth suffices with a hem turning of {} instead of {}",
        system.show_fine(-need.top_mm),
        system.show_fine(left_mm),
        system.show_fine(hem_mm)
    ))
    .field("cloth.length")
    .remedy(format!("turn the hem up so, or buy {}", system.show_cut_from_bolt(need.total_mm())));
    Some((pieces, remark))
}
