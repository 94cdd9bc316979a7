//! `chalklight batch`: several people's dresses from one cloth, drafted and laid one after the other.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::{print, task};
use crate::order::{Batch, read_batch};
use crate::remark::{Refusal, Remark};
use crate::units::System;

/// Drafts the orders of a job, and says how much cloth they need together.
#[derive(clap::Args, Debug)]
pub struct BatchArgs {
    /// The job's file, which names the orders.
    pub job: PathBuf,
}

/// One order of the job.
struct Part {
    file: PathBuf,
    name: Option<String>,
    system: System,
    wearable: bool,
    used_mm: f64,
}

/// Drafts and sums up. Exits 1 when a dress can't be worn or laid, or the cloth does not suffice for all.
///
/// # Errors
/// When the job or one of its orders can't be read.
pub fn run(args: &BatchArgs, json: bool) -> Result<ExitCode, Refusal> {
    let name = args.job.display().to_string();
    let batch = read_batch(&task::text_of(&args.job)?).map_err(|refusal| refusal.in_file(&name))?;
    let batch = task::spoken(batch, &name);
    let parts = match parts(&batch, &args.job) {
        Ok(parts) => parts,
        Err(stop) => return stop.exit(json),
    };
    let used_mm = parts.iter().map(|part| part.used_mm).sum();
    if json {
        print::answer(as_json(&parts, &batch, used_mm));
    } else {
        print::answer(in_words(&parts, &batch, used_mm));
    }
    let short = short(&parts, &batch, used_mm);
    if let Some(remark) = &short {
        task::say(remark.clone(), &name);
    }
    let good = short.is_none() && parts.iter().all(|part| part.wearable);
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Every order, drafted and laid on the job's cloth; what is wrong with any of them is told at once.
fn parts(batch: &Batch, job: &Path) -> Result<Vec<Part>, task::Stop> {
    let (mut parts, mut unreadable, mut no) = (Vec::new(), Vec::new(), Vec::new());
    for file in &batch.files {
        match part(&job.with_file_name(&file.value), batch) {
            Ok(part) => parts.push(part),
            Err(task::Stop::Unreadable(refusal)) => unreadable.extend(refusal.remarks),
            Err(task::Stop::No(refusal)) => no.extend(refusal.remarks),
        }
    }
    match (unreadable.is_empty(), no.is_empty()) {
        (true, true) => Ok(parts),
        (true, false) => Err(task::Stop::No(Refusal { remarks: no })),
        (false, _) => {
            unreadable.extend(no);
            Err(task::Stop::Unreadable(Refusal { remarks: unreadable }))
        }
    }
}

fn part(file: &Path, batch: &Batch) -> Result<Part, task::Stop> {
    let text = task::text_of(file).map_err(task::Stop::Unreadable)?;
    let drafted = task::drafted_on(&text, &file.display().to_string(), Some(&batch.cloth))?;
    drafted.say_doubts();
    let laid = task::laid(&drafted)?;
    Ok(Part {
        file: file.to_owned(),
        name: drafted.order.client.name.clone(),
        system: drafted.order.system,
        wearable: drafted.draft.wearable(),
        used_mm: laid.lay.used_mm,
    })
}

/// The system of most of the orders.
fn system(parts: &[Part]) -> System {
    System::of_most(parts.iter().map(|part| part.system))
}

/// How much cloth lacks for all together.
fn short(parts: &[Part], batch: &Batch, used_mm: f64) -> Option<Remark> {
    let there_mm = batch.cloth.length_mm?;
    let system = system(parts);
    (used_mm > there_mm).then(|| {
        let (needed, there) = (system.show(used_mm), system.show(there_mm));
        Remark::refusal(format!("the cloth is too short for all: they need {needed} together, and there are {there}"))
            .field("cloth.length")
            .remedy(format!("buy {}", system.show_cut_from_bolt(batch.cloth.to_buy_mm(used_mm))))
    })
}

fn as_json(parts: &[Part], batch: &Batch, used_mm: f64) -> Value {
    let part = |part: &Part| json!({"order": part.file, "name": part.name, "wearable": part.wearable, "cloth_used_mm": part.used_mm});
    json!({
        "orders": parts.iter().map(part).collect::<Vec<_>>(),
        "cloth_used_mm": used_mm,
        "cloth_to_buy_mm": batch.cloth.to_buy_mm(used_mm),
    })
}

fn in_words(parts: &[Part], batch: &Batch, used_mm: f64) -> String {
    let mut text = String::new();
    for part in parts {
        let name = part.name.clone().unwrap_or_else(|| part.file.display().to_string());
        let verdict = if part.wearable { "" } else { ", can't be worn as drafted" };
        text += &format!("{name:<28} {}{verdict}\n", part.system.show_at_least(part.used_mm));
    }
    let to_buy = system(parts).show_cut_from_bolt(batch.cloth.to_buy_mm(used_mm));
    text + &format!(
        "{:<28} {to_buy}, laid one after the other\nLaid side by side they may need less: 'chalklight lay' with all the order files",
        "Cloth needed for all"
    )
}
