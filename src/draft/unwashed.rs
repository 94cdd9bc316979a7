//! Cloth that is cut unwashed: the pieces are drawn larger, so that the garment is right after its first wash.
//!
//! The whole draft is stretched along and across by what washing takes, cut length = finished / (1 - shrinkage), so
//! that washing brings back exactly what was drafted and checked. Turnings stay as they are set: what they lose is less
//! than the needle's own play. Bias strip is reckoned anew for the edges as they are cut, to be as long as they are when it
//! is sewn on, and its square stays a square, whose diagonal alone is true bias.

use super::{Draft, Step, bias};
use crate::geometry::{Draft as Frame, Map};
use crate::order::{Order, Shrinkage, Wash};

/// Stretches the draft of an order whose cloth is cut unwashed.
pub fn enlarge(draft: &mut Draft, order: &Order) {
    let shrinkage = order.cloth.as_ref().and_then(|cloth| cloth.shrinkage);
    let Some(shrinkage) = shrinkage.filter(|shrinkage| shrinkage.wash == Wash::AfterSewing) else { return };
    let [along, across] = shrinkage.left();
    let unwashed: Map<Frame, Frame> = Map::scale(1.0 / across, 1.0 / along);
    let style = &order.garment.style;
    let bound_mm = bias::bound_mm(&draft.pieces, style);
    for piece in draft.pieces.iter_mut().filter(|piece| piece.strip.is_none()) {
        for notch in &mut piece.notches {
            if let Some(edge) = piece.edges.iter().find(|edge| edge.name == notch.edge) {
                notch.along_mm = edge.curve.until(notch.along_mm).mapped(&unwashed).length_mm();
            }
        }
        for dart in &mut piece.darts {
            if let Some(edge) = piece.edges.iter().find(|edge| edge.name == dart.edge) {
                dart.mouth_mm = dart.mouth_mm.map(|mm| edge.curve.until(mm).mapped(&unwashed).length_mm());
            }
            dart.point = unwashed.transform_point(dart.point);
        }
        for edge in &mut piece.edges {
            edge.curve = edge.curve.mapped(&unwashed);
        }
        for (_, ends) in &mut piece.marks {
            *ends = ends.map(|p| unwashed.transform_point(p));
        }
        for (_, y_mm) in &mut piece.levels_mm {
            *y_mm /= along;
        }
    }
    for seam in &mut draft.seams {
        seam.open_mm /= along;
        seam.pocket_mm /= along;
        seam.lap_mm /= along;
    }
    let more_mm = bias::bound_mm(&draft.pieces, style) - bound_mm;
    let mut steps = Vec::new();
    for piece in &mut draft.pieces {
        if let Some((square, reckoned)) = bias::longer(piece, more_mm, order.system) {
            *piece = square;
            steps.extend(reckoned);
        }
    }
    let length_mm = draft.length_mm / along;
    draft.working.push(step(order, draft.length_mm, length_mm, &shrinkage));
    draft.working.extend(steps);
    draft.length_mm = length_mm;
    draft.fold_width_mm /= across;
}

fn step(order: &Order, from_mm: f64, value_mm: f64, shrinkage: &Shrinkage) -> Step {
    let show = |mm: f64| order.system.show(mm);
    let percent = |share: f64| format!("{:.1} %", -100.0 * share);
    let rule = format!(
        "every piece larger, to wash in by {} along and {} across: length {} / (1 - {}) = {}",
        percent(shrinkage.along_share),
        percent(shrinkage.across_share),
        show(from_mm),
        percent(shrinkage.along_share),
        show(value_mm)
    );
    Step { name: "cut unwashed", rule, value_mm }
}
