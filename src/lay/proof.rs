//! A lay checked by other means than it was made with: exact areas, and plain comparison of coordinates.

use super::{Lay, Placed};
use crate::geometry::{Cloth, Outline};

/// Areas are joined on a grid of a tenth of a micron; what rounding leaves of two outlines that only touch is below this.
const TOUCHING_MM2: f64 = 1e-3;

/// Coordinates of metres have their rounding noise far below this.
const NOISE_MM: f64 = 1e-6;

/// A fault of a lay.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Two pieces, by their places in the lay, and the area that both cover.
    Overlap(usize, usize, f64),
    /// A piece that is not all on the cloth.
    Outside(usize),
    /// A piece across the edge of a fold's strip, or with its centre off the fold.
    OffFold(usize),
    /// A piece whose grain does not lie along the selvedge, or that stands on its head on one-way cloth.
    OffGrain(usize),
    /// A piece on a flaw.
    OnFlaw(usize),
}

/// Everything that is wrong with a lay of one length.
pub fn faults(lay: &Lay) -> Vec<Fault> {
    let cuts: Vec<Outline<Cloth>> = lay.placed.iter().map(Placed::cut).collect();
    let flaws = lay.flaws();
    let mut faults = Vec::new();
    for (i, placed) in lay.placed.iter().enumerate() {
        for (j, other) in cuts.iter().enumerate().skip(i + 1) {
            let shared_mm2 = cuts[i].shared_mm2(other);
            if shared_mm2 > TOUCHING_MM2 {
                faults.push(Fault::Overlap(i, j, shared_mm2));
            }
        }
        let (low, high) = cuts[i].bounds();
        if low.x < -NOISE_MM || high.x > lay.length_mm + NOISE_MM {
            faults.push(Fault::Outside(i));
        }
        if !in_a_zone(lay, placed, [low.y, high.y]) {
            faults.push(Fault::OffFold(i));
        }
        let grain = placed.cloth_from_draft.transform_vector(placed.piece.grain[1] - placed.piece.grain[0]);
        let headlong = grain.x < 0.0;
        if grain.y.abs() > NOISE_MM * grain.length() || headlong != placed.turned || (headlong && lay.is_one_way()) {
            faults.push(Fault::OffGrain(i));
        }
        if flaws.iter().any(|flaw| flaw.shared_mm2(&cuts[i]) > TOUCHING_MM2) {
            faults.push(Fault::OnFlaw(i));
        }
    }
    faults
}

/// Whether a piece lies within one strip of as many layers as it is cut through, its centre on the strip's fold where it
/// is drawn by half.
fn in_a_zone(lay: &Lay, placed: &Placed, [low_mm, high_mm]: [f64; 2]) -> bool {
    let on = |place_mm: f64, y_mm: f64| (place_mm - y_mm).abs() <= NOISE_MM;
    lay.fold.zones(lay.cloth.width_mm).iter().any(|zone| {
        let within = low_mm >= zone.across_mm[0] - NOISE_MM && high_mm <= zone.across_mm[1] + NOISE_MM;
        let centre = || {
            let fold = placed.piece.edges.first().zip(zone.fold_mm());
            fold.is_some_and(|(edge, fold_mm)| {
                let ends = [edge.sewn.start(), edge.sewn.end()];
                ends.iter().all(|end| on(placed.cloth_from_draft.transform_point(*end).y, fold_mm))
            })
        };
        within && zone.layers == placed.layers && (!placed.piece.on_fold || centre())
    })
}
