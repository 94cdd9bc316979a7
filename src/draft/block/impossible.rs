//! What can't be drawn: numbers that leave no shoulder, no armhole, no waist or no hem.

use super::rules::{ARMHOLE_HOLLOW, BACK_ARMHOLE_HOLLOW, NECK_ALLOWANCE, NECK_REFERENCE, neck_is_sewn, turning};
use super::{Points, Sheet, fitting};
use crate::draft::fault;
use crate::remark::Remark;

/// The shoulder seam may not be shorter than a strap.
const LEAST_SHOULDER_MM: f64 = 20.0;

/// The armhole's guide must leave room for a curve.
const LEAST_GUIDE_MM: f64 = 60.0;

/// What can't be drawn with these numbers.
pub fn faults(points: &Points, sheet: &Sheet<'_>) -> Vec<Remark> {
    let show = |mm: f64| sheet.show(mm);
    let Points { neck, tip, levels, .. } = points;
    let guide_mm = levels.underarm.y - tip.y;
    let innermost_x = tip.x - sheet.rule(&ARMHOLE_HOLLOW).max(sheet.rule(&BACK_ARMHOLE_HOLLOW));
    let tip_over_slope = tip.x - neck.x.max(sheet.rule(&NECK_REFERENCE));
    let faults = [
        (tip_over_slope < LEAST_SHOULDER_MM).then(|| {
            fault(
                "rules.neck_half_width",
                format!("the neck, {} from the centre, leaves no shoulder to a tip at {}", show(neck.x), show(tip.x)),
                "make neck_half_width or neck_reference smaller, or measure the shoulder again",
            )
        }),
        (guide_mm < LEAST_GUIDE_MM).then(|| {
            fault(
                "rules.chest_extra",
                format!("the chest line, at {}, is too near the shoulder tip for an armhole", show(levels.underarm.y)),
                "make chest_extra larger, or measure the bust again",
            )
        }),
        (levels.underarm.x <= innermost_x).then(|| {
            let (quarter, middle) = (show(levels.underarm.x), show(innermost_x));
            fault(
                "body.shoulder",
                format!("a quarter of the bust, {quarter}, does not reach the armhole's middle at {middle}"),
                "measure bust and shoulder again; the shoulder goes from tip to tip across the back",
            )
        }),
    ];
    let too_round = too_round(points, sheet);
    let of_the_levels = of_the_levels(points, sheet, too_round.is_some());
    let faults: Vec<Remark> = faults.into_iter().chain(of_the_levels).chain([too_round]).flatten().collect();
    if faults.is_empty() { points.bust.fault(&points.bust.back(levels), sheet).into_iter().collect() } else { faults }
}

/// A round back that the back neck has no room for.
fn too_round(points: &Points, sheet: &Sheet<'_>) -> Option<Remark> {
    let Points { neck, tip, back_neck_depth_mm, .. } = points;
    let turning_mm = turning(sheet, &NECK_ALLOWANCE, neck_is_sewn(sheet.style()));
    fitting::too_round(sheet, (*neck, (*tip - *neck).normalize()), [*back_neck_depth_mm, turning_mm])
}

/// Levels that are not below one another; of a back neck that is told already nothing more is said.
fn of_the_levels(points: &Points, sheet: &Sheet<'_>, back_told: bool) -> [Option<Remark>; 3] {
    let show = |mm: f64| sheet.show(mm);
    let Points { neck, levels, .. } = points;
    let deepest = points.front_neck_depth_mm.max(points.back_neck_depth_mm);
    let shallowest = points.front_neck_depth_mm.min(if back_told { f64::INFINITY } else { points.back_neck_depth_mm });
    let lowest = levels.waist.y.max(levels.underarm.y);
    [
        (levels.waist.y <= levels.underarm.y).then(|| {
            let (waist, chest) = (show(levels.waist.y), show(levels.underarm.y));
            fault(
                "body.waist_depth",
                format!("the waist, at {waist}, is above the chest line at {chest}"),
                "measure the waist depth again, from the shoulder at the neck to the waist",
            )
        }),
        (shallowest <= neck.y || deepest >= levels.waist.y).then(|| {
            let depth = if shallowest <= neck.y { shallowest } else { deepest };
            fault(
                "rules.front_neck_depth",
                format!("a neck {} deep can't be drawn from a shoulder at {}", show(depth), show(neck.y)),
                "set front_neck_depth and back_neck_depth between the shoulder and the waist",
            )
        }),
        (levels.hem.y <= lowest || levels.hem.x <= 0.0).then(|| {
            fault(
                "garment.length",
                format!(
                    "a {} {} long ends above its waist at {}",
                    sheet.order.garment.kind.worn(),
                    show(points.length_mm),
                    show(levels.waist.y)
                ),
                "measure the length from the shoulder at the neck to the hem",
            )
        }),
    ]
}
