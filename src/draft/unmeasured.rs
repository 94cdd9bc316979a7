//! What was not measured on the body but taken from a size: written into the working, and questioned before cutting.

use super::{Check, Draft, Step};
use crate::order::{Measure, Order};
use crate::remark::Weight;

/// Says in the working and in the checks which of the measurements that go into the garment come from a size; nothing where all
/// were taken.
pub fn say(draft: &mut Draft, order: &Order) {
    let show = |mm: f64| order.system.show(mm);
    let taken = |(measure, whence)| Some((measure, whence, order.body.get(measure)?));
    let (facts, of_style) = (order.garment.kind.facts(), order.garment.style.needs());
    let used = |measure: &Measure| [facts.needs, facts.wants, of_style].iter().any(|all| all.contains(measure));
    let steps: Vec<Step> = order
        .body
        .unmeasured()
        .filter(|(measure, _)| used(measure))
        .filter_map(taken)
        .map(|(measure, whence, mm): (Measure, &str, f64)| Step {
            name: measure.facts().name,
            rule: format!("not measured: {whence} = {}", show(mm)),
            value_mm: mm,
        })
        .collect();
    if steps.is_empty() {
        return;
    }
    let values: Vec<String> = steps.iter().map(|step| format!("{} {}", step.name, show(step.value_mm))).collect();
    draft.checks.insert(
        0,
        Check {
            name: "measured on the body",
            ok: false,
            severity: Weight::Doubt,
            says: format!("not measured, but from a size: {}", values.join(", ")),
            remedy: Some("measure them and write them under [body] before anything is cut".to_owned()),
        },
    );
    draft.working.splice(0..0, steps);
}
