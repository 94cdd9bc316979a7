//! The same dress again: a past order with the newest measurements of its client.

use std::path::Path;
use std::process::ExitCode;

use serde_json::{Value, json};

use super::folder::Kept;
use super::{ordered, say};
use crate::bench::paper::{Entry, Form, Paper};
use crate::clients::{MeasureSet, body_as_written, is_same_name};
use crate::command::task;
use crate::order::{self, Facts, MEASURES};
use crate::remark::{Refusal, Remark};
use crate::table::save::save_whole;

/// The day of measuring in an order.
const MEASURED: Entry = Entry { section: "client", key: "measured", form: Form::Date };

/// What the new order has otherwise than the old one.
struct Changed {
    facts: &'static Facts,
    before: Option<String>,
    after: String,
}

/// Writes the past order anew with the measurements of the last day; everything else stays as it was written.
///
/// # Errors
/// When she was never measured, the past order can't be read, or the new file is there already or can't be written.
pub fn again(one: &Kept, past: &Path, out: &Path, json: bool) -> Result<ExitCode, Refusal> {
    let Some(newest) = one.client.sets.last() else {
        let remark = Remark::refusal(format!("{} was never measured", one.client.name));
        let remark = remark.file(one.path.display().to_string());
        return Err(Refusal::because(remark.remedy("add measurements: chalklight client measure")));
    };
    if out.exists() {
        let remark = Remark::refusal("is there already, and no order is written over").file(out.display().to_string());
        return Err(Refusal::because(remark.remedy("give the new order another name")));
    }
    let (text, order) = ordered(past)?;
    let past_name = past.display().to_string();
    if let Some(name) = order.client.name.filter(|name| !is_same_name(name, &one.client.name)) {
        task::say(
            Remark::doubt(format!("that order is {name}'s, and the measurements are {}'s", one.client.name)),
            &past_name,
        );
    }
    let (paper, changed) = renewed(&text, newest).map_err(|refusal| refusal.in_file(&past_name))?;
    for facts in left(&text, newest) {
        let says = format!("{} stays as it was: it was not taken on {}", facts.name, newest.on);
        task::say(Remark::doubt(says).remedy(format!("measure it, {}", facts.how)), &past_name);
    }
    let name = out.display().to_string();
    let told = order::read(paper.text()).map_err(|refusal| refusal.in_file(&name))?;
    save_whole(out, paper.text().as_bytes())?;
    task::spoken(told, &name);
    let value = json!({"out": out, "measured": newest.on.to_string(), "changed": rows(&changed)});
    say(json, value, || words(&changed, &name));
    Ok(ExitCode::SUCCESS)
}

/// The order with a day's measurements in it, and what became otherwise.
fn renewed(text: &str, newest: &MeasureSet) -> Result<(Paper, Vec<Changed>), Refusal> {
    let old = body_as_written(text);
    let mut paper = Paper::of(text)?.with(&MEASURED, &newest.on.to_string());
    let mut changed = Vec::new();
    for facts in &MEASURES {
        let Some(taken) = newest.taken.get(&facts.measure) else { continue };
        let before = old.get(&facts.measure).cloned();
        paper = paper.with(&Entry::text("body", facts.key), &taken.written);
        if before.as_ref() != Some(&taken.written) {
            changed.push(Changed { facts, before, after: taken.written.clone() });
        }
    }
    Ok((paper, changed))
}

/// Measurements of the past order that were not taken anew.
fn left(text: &str, newest: &MeasureSet) -> impl Iterator<Item = &'static Facts> {
    let old = body_as_written(text);
    let is_left = |facts: &&Facts| old.contains_key(&facts.measure) && !newest.taken.contains_key(&facts.measure);
    MEASURES.iter().filter(is_left).collect::<Vec<_>>().into_iter()
}

fn rows(changed: &[Changed]) -> Vec<Value> {
    let row = |one: &Changed| json!({"key": one.facts.key, "before": one.before, "after": one.after});
    changed.iter().map(row).collect()
}

fn words(changed: &[Changed], name: &str) -> String {
    let mut text = format!("The order is written to {name}\n");
    for Changed { facts, before, after } in changed {
        text += &format!("  {:<14} {} instead of {}\n", facts.name, after, before.as_deref().unwrap_or("nothing"));
    }
    if changed.is_empty() {
        text += "  no measurement has changed\n";
    }
    text
}
