//! Several lays on one length, one behind the other: no longer than they are one by one, to search on from.

use super::{Lay, Placed};
use crate::geometry::{Cloth as ClothFrame, Map};

impl Lay {
    /// Lays on one length, end to end: a lay of all their pieces, to search on from. None where they are not folded alike, or
    /// their print must lie as it does.
    pub fn end_to_end(lays: &[Self]) -> Option<Self> {
        let first = lays.first()?;
        if !lays.iter().all(|lay| lay.fold == first.fold && lay.lengths == 1 && !lay.meets.is_any()) {
            return None;
        }
        let (mut placed, mut length_mm, mut pieces) = (Vec::new(), 0.0, 0);
        for lay in lays {
            let behind = Map::<ClothFrame, ClothFrame>::translation(length_mm, 0.0);
            placed.extend(lay.placed.iter().map(|one| Placed {
                of: pieces + one.of,
                cloth_from_draft: one.cloth_from_draft.then(&behind),
                ..one.clone()
            }));
            length_mm += lay.length_mm;
            pieces += 1 + lay.placed.iter().map(|one| one.of).max().unwrap_or(0);
        }
        Some(Self { placed, length_mm, used_mm: lays.iter().map(|lay| lay.used_mm).sum(), ..first.clone() })
    }
}
