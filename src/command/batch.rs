//! `chalklight batch`: several people's dresses from one cloth, laid together where that spends less than one after the
//! other.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::kept::{self, KeptFile};
use super::search::{self, SearchArgs};
use super::{print, task};
use crate::lay::{Effort, Lay, Wanted, cheapest};
use crate::nest::Forms;
use crate::order::{Batch, Cloth, Print, read_batch};
use crate::remark::{Refusal, Remark, Weight};
use crate::units::System;

/// Drafts the orders of a job, and says how much cloth they need together.
#[derive(clap::Args, Debug)]
pub struct BatchArgs {
    /// The job's file, which names the orders.
    pub job: PathBuf,
    #[command(flatten)]
    pub search: SearchArgs,
}

/// One order of the job.
struct Part {
    file: PathBuf,
    drafted: task::Drafted,
    lay: Lay,
}

/// All orders: what they need one after the other, and laid together where that is less.
struct Whole {
    one_by_one_mm: [f64; 2],
    together: Option<Lay>,
}

impl Whole {
    /// What is spent, and what is bought for it.
    fn spent_mm(&self) -> [f64; 2] {
        self.together.as_ref().map_or(self.one_by_one_mm, |lay| [lay.used_mm, lay.to_buy_mm()])
    }
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
    let sum_mm = |of: fn(&Lay) -> f64| parts.iter().map(|part| of(&part.lay)).sum::<f64>();
    let one_by_one_mm = [sum_mm(|lay| lay.used_mm), sum_mm(Lay::to_buy_mm)];
    let drafted: Vec<task::Drafted> = parts.iter().map(|part| part.drafted.clone()).collect();
    let together = match together(&drafted, &batch, args) {
        Ok(together) => together.filter(|lay| lay.to_buy_mm() < one_by_one_mm[1]),
        Err(stop) => return stop.exit(json),
    };
    let whole = Whole { one_by_one_mm, together };
    print::answer(if json { as_json(&parts, &whole).to_string() } else { in_words(&parts, &whole) });
    let short = short(&parts, &batch, &whole);
    if let Some(remark) = &short {
        task::say(remark.clone(), &name);
    }
    let good = short.is_none() && parts.iter().all(|part| part.drafted.draft.wearable());
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// All orders on one cloth, without end, as they are kept beside the job or by a search; none where they can't be laid so.
fn together(all: &[task::Drafted], batch: &Batch, args: &BatchArgs) -> Result<Option<Lay>, task::Stop> {
    let is_one_way = |drafted: &task::Drafted| drafted.order.cloth.as_ref().is_some_and(|c| c.print == Print::OneWay);
    let print = if all.iter().any(is_one_way) { Print::OneWay } else { batch.cloth.print };
    let cloth = Cloth { length_mm: None, print, ..batch.cloth.clone() };
    let wanted = task::together(all, &cloth);
    let SearchArgs { seconds, keep } = args.search;
    let kept = if seconds.is_none() { KeptFile::beside(&[&args.job])? } else { None };
    let laid = |effort: &Effort<'_>| cheapest(&wanted, effort, &mut Forms::default()).ok().map(|told| told.value);
    let lay = match (kept, seconds) {
        (Some(kept), _) => Some(kept.lay(&wanted)?),
        (None, _) if all.len() < 2 => None,
        (None, None) => laid(&Effort::FIRST),
        (None, Some(seconds)) => search::watched(seconds, all, |pace| laid(&Effort::until(pace))),
    };
    if let Some(lay) = lay.as_ref().filter(|_| keep) {
        kept::keep(&kept::beside(&[&args.job]), lay, &wanted).map_err(task::Stop::Unreadable)?;
    }
    Ok(lay)
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
    let laid = task::laid(&drafted, kept_for(&drafted, file, batch)?.as_ref())?;
    Ok(Part { file: file.to_owned(), drafted, lay: laid.lay })
}

/// The lay that is kept of an order, where it is one on the job's cloth; where not, that is said: a job cuts nothing.
fn kept_for(drafted: &task::Drafted, file: &Path, batch: &Batch) -> Result<Option<KeptFile>, task::Stop> {
    let Some(kept) = KeptFile::beside(&[file])? else { return Ok(None) };
    let cloth = drafted.order.cloth.as_ref().unwrap_or(&batch.cloth);
    let wanted = Wanted::of(&drafted.pieces, cloth, drafted.order.system).asking(&drafted.order.lay);
    let Some(remark) = kept.differs(&wanted) else { return Ok(Some(kept)) };
    let note = Remark { weight: Weight::Note, ..remark.remedy("for this job the pieces are laid anew") };
    task::say(note, &file.display().to_string());
    Ok(None)
}

/// The system of most of the orders.
fn system(parts: &[Part]) -> System {
    System::of_most(parts.iter().map(|part| part.drafted.order.system))
}

/// How much cloth lacks for all together.
fn short(parts: &[Part], batch: &Batch, whole: &Whole) -> Option<Remark> {
    let there_mm = batch.cloth.length_mm?;
    let [used_mm, to_buy_mm] = whole.spent_mm();
    let system = system(parts);
    (used_mm > there_mm).then(|| {
        let (needed, there) = (system.show(used_mm), system.show(there_mm));
        Remark::refusal(format!("the cloth is too short for all: they need {needed} together, and there are {there}"))
            .field("cloth.length")
            .remedy(format!("buy {}", system.show_cut_from_bolt(to_buy_mm)))
    })
}

fn as_json(parts: &[Part], whole: &Whole) -> Value {
    let part = |part: &Part| {
        json!({
            "order": part.file,
            "name": part.drafted.order.client.name,
            "wearable": part.drafted.draft.wearable(),
            "cloth_used_mm": part.lay.used_mm,
        })
    };
    let [used_mm, to_buy_mm] = whole.spent_mm();
    json!({
        "orders": parts.iter().map(part).collect::<Vec<_>>(),
        "cloth_used_mm": used_mm,
        "cloth_to_buy_mm": to_buy_mm,
        "one_by_one_mm": whole.one_by_one_mm[0],
        "together": whole.together.as_ref().map(print::lay),
    })
}

fn in_words(parts: &[Part], whole: &Whole) -> String {
    let mut text = String::new();
    for part in parts {
        let name = part.drafted.order.client.name.clone().unwrap_or_else(|| part.file.display().to_string());
        let verdict = if part.drafted.draft.wearable() { "" } else { ", can't be worn as drafted" };
        text += &format!("{name:<28} {}{verdict}\n", part.lay.system.show_at_least(part.lay.used_mm));
    }
    let system = system(parts);
    let to_buy = system.show_cut_from_bolt(whole.spent_mm()[1]);
    let how = match &whole.together {
        Some(lay) => format!(
            "laid side by side, {}: {} less than one after the other\n\
             'chalklight lay' with all the order files shows it, on the cloth that the first of them names",
            lay.fold.says(),
            system.show(whole.one_by_one_mm[0] - lay.used_mm)
        ),
        None => "laid one after the other".to_owned(),
    };
    text + &format!("{:<28} {to_buy}, {how}", "Cloth needed for all")
}
