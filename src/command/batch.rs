//! `chalklight batch`: several people's dresses from one cloth, laid together where that spends less than one after the
//! other.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use serde_json::{Value, json};

use super::job::{self, Job};
use super::kept;
use super::search::SearchArgs;
use super::{print, task};
use crate::lay::Lay;
use crate::order::{Batch, Cloth, read_batch};
use crate::remark::{Refusal, Remark};
use crate::sheet::svg;
use crate::table::save::save_whole;
use crate::units::System;

/// Drafts the orders of a job, and says how much cloth they need together.
#[derive(clap::Args, Debug)]
pub struct BatchArgs {
    /// The job's file, which names the orders.
    pub job: PathBuf,
    #[command(flatten)]
    pub search: SearchArgs,
    /// A drawing of the lay of all together to write, as SVG at true size.
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// One order of the job.
struct Part {
    file: PathBuf,
    /// Whose it is, told apart from all others.
    title: String,
    drafted: task::Drafted,
    lay: Lay,
}

/// An order that can't be drafted or laid, and why.
struct LeftOut {
    file: PathBuf,
    refusal: Refusal,
}

/// All orders that can be laid: what they need one after the other, the lay of all together, and whether that needs less.
struct Whole {
    one_by_one_mm: [f64; 2],
    side_by_side: Option<Lay>,
}

impl Whole {
    fn of(parts: &[Part], text: &str, args: &BatchArgs) -> Result<Self, task::Stop> {
        let sum_mm = |of: fn(&Lay) -> f64| parts.iter().map(|part| of(&part.lay)).sum::<f64>();
        let one_by_one_mm = [sum_mm(|lay| lay.used_mm), sum_mm(Lay::to_buy_mm)];
        let laid = parts.iter().map(|part| (part.drafted.clone(), part.lay.clone()));
        let job = Job::of_laid(&args.job, text, laid);
        Ok(Self { one_by_one_mm, side_by_side: side_by_side(&job, &args.search)? })
    }

    /// The lay of all together, where it needs less than one after the other.
    fn together(&self) -> Option<&Lay> {
        self.side_by_side.as_ref().filter(|lay| lay.to_buy_mm() < self.one_by_one_mm[1])
    }

    /// What is spent, and what is bought for it.
    fn spent_mm(&self) -> [f64; 2] {
        self.together().map_or(self.one_by_one_mm, |lay| [lay.used_mm, lay.to_buy_mm()])
    }
}

/// Drafts and sums up. Exits 1 when a dress can't be worn or laid, or the cloth does not suffice for one or for all.
///
/// # Errors
/// When the job or one of its orders can't be read.
pub fn run(args: &BatchArgs, json: bool) -> Result<ExitCode, Refusal> {
    args.out.as_deref().map_or(Ok(()), |out| task::ends_in("svg", out))?;
    let name = args.job.display().to_string();
    let text = task::text_of(&args.job)?;
    let batch = read_batch(&text).map_err(|refusal| refusal.in_file(&name))?;
    let batch = task::spoken(batch, &name);
    let (parts, left_out) = parts(&batch, (&args.job, &text))?;
    if parts.is_empty() {
        let remarks = left_out.into_iter().flat_map(|out| out.refusal.remarks).collect();
        return task::Stop::No(Refusal { remarks }).exit(json);
    }
    let whole = match Whole::of(&parts, &text, args) {
        Ok(whole) => whole,
        Err(stop) => return stop.exit(json),
    };
    draw(args, &whole, &name)?;
    print::answer(match json {
        true => as_json(&parts, &left_out, &whole).to_string(),
        false => in_words(&parts, &left_out, &whole),
    });
    left_out.iter().for_each(|out| eprintln!("{}", out.refusal));
    let short = short(&parts, &batch, &whole);
    short.iter().for_each(|remark| task::say(remark.clone(), &name));
    let good = short.is_empty() && left_out.is_empty() && parts.iter().all(|part| part.drafted.draft.wearable());
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Writes the drawing that is asked for.
fn draw(args: &BatchArgs, whole: &Whole, name: &str) -> Result<(), Refusal> {
    match (&args.out, whole.together()) {
        (Some(out), Some(lay)) => save_whole(out, svg::lay(lay).as_bytes()),
        (Some(_), None) => {
            let remark = Remark::note("nothing is drawn: the orders are laid one after the other, each by itself");
            task::say(remark.remedy("draw each with 'chalklight lay ORDER --out FILE.svg'"), name);
            Ok(())
        }
        (None, _) => Ok(()),
    }
}

/// All orders of a job on one cloth, without end; none where there is but one, or they can't be laid so.
fn side_by_side(job: &Job, search: &SearchArgs) -> Result<Option<Lay>, task::Stop> {
    let is_kept = search.seconds.is_none() && job.kept()?.is_some();
    if job.all.len() < 2 && !is_kept {
        return Ok(None);
    }
    let lay = match job.lay_within(search.seconds) {
        Err(task::Stop::No(_)) if !is_kept => return Ok(None),
        lay => lay?,
    };
    if search.keep {
        let wanted = task::together(&job.all, &lay.cloth);
        kept::keep(&job.lay_file(), &lay, &wanted).map_err(task::Stop::Unreadable)?;
    }
    Ok(Some(lay))
}

/// Every order, drafted and laid by itself on the job's cloth, without end, and those for which that can't be done.
///
/// # Errors
/// What can't be read in any of them, told at once.
fn parts(batch: &Batch, job: (&Path, &str)) -> Result<(Vec<Part>, Vec<LeftOut>), Refusal> {
    let cloth = Cloth { length_mm: None, ..batch.cloth.clone() };
    let (mut parts, mut left_out, mut unreadable) = (Vec::new(), Vec::new(), Vec::new());
    for file in &batch.files {
        let file = job.0.with_file_name(&file.value);
        match part(&file, &cloth) {
            Ok(part) => parts.push(part),
            Err(task::Stop::Unreadable(refusal)) => unreadable.extend(refusal.remarks),
            Err(task::Stop::No(refusal)) => {
                let refusal = job::of_its_cloth(said_for(&file, refusal), job);
                left_out.push(LeftOut { refusal, file });
            }
        }
    }
    if unreadable.is_empty() {
        let drafted: Vec<task::Drafted> = parts.iter().map(|part: &Part| part.drafted.clone()).collect();
        parts.iter_mut().zip(task::titles(&drafted)).for_each(|(part, title)| part.title = title);
        return Ok((parts, left_out));
    }
    unreadable.extend(left_out.into_iter().flat_map(|out| out.refusal.remarks));
    Err(Refusal { remarks: unreadable })
}

/// The same, with what is said of the cloth said for that order: the cloth is the job's, and may do for others.
fn said_for(order: &Path, mut refusal: Refusal) -> Refusal {
    for Remark { place, sentence, .. } in &mut refusal.remarks {
        if place.field.as_ref().is_some_and(|field| field.starts_with("cloth")) {
            *sentence = format!("for {}: {sentence}", order.display());
        }
    }
    refusal
}

fn part(file: &Path, cloth: &Cloth) -> Result<Part, task::Stop> {
    let text = task::text_of(file).map_err(task::Stop::Unreadable)?;
    let drafted = task::drafted_on(&text, &file.display().to_string(), Some(cloth))?;
    drafted.say_doubts();
    let lay = task::by_itself(&drafted)?;
    Ok(Part { file: file.to_owned(), title: String::new(), drafted, lay })
}

/// The system of most of the orders.
fn system(parts: &[Part]) -> System {
    System::of_most(parts.iter().map(|part| part.drafted.order.system))
}

/// Which dress alone is too long for the cloth, and how much lacks for all together.
fn short(parts: &[Part], batch: &Batch, whole: &Whole) -> Vec<Remark> {
    let Some(there_mm) = batch.cloth.length_mm else { return Vec::new() };
    let system = system(parts);
    let short = |who: &str, used_mm: f64, to_buy_mm: f64| {
        let (needed, there) = (system.show_at_least(used_mm), system.show(there_mm));
        let remark =
            Remark::refusal(format!("the cloth is too short for {who}: {needed} are needed, and there are {there}"));
        remark.field("cloth.length").remedy(format!("buy {}", system.show_cut_from_bolt(to_buy_mm)))
    };
    let alone = parts.iter().filter(|part| part.lay.used_mm > there_mm);
    let mut all: Vec<Remark> =
        alone.map(|part| short(&format!("{} alone", part.title), part.lay.used_mm, part.lay.to_buy_mm())).collect();
    let [used_mm, to_buy_mm] = whole.spent_mm();
    all.extend((used_mm > there_mm).then(|| short("all together", used_mm, to_buy_mm)));
    all
}

fn as_json(parts: &[Part], left_out: &[LeftOut], whole: &Whole) -> Value {
    let part = |part: &Part| {
        json!({
            "order": part.file,
            "name": part.drafted.order.client.name,
            "title": part.title,
            "wearable": part.drafted.draft.wearable(),
            "cloth_used_mm": part.lay.used_mm,
        })
    };
    let out = |out: &LeftOut| {
        let mut answer = print::refusal(&out.refusal);
        answer["order"] = json!(out.file);
        answer
    };
    let [used_mm, to_buy_mm] = whole.spent_mm();
    json!({
        "orders": parts.iter().map(part).collect::<Vec<_>>(),
        "left_out": left_out.iter().map(out).collect::<Vec<_>>(),
        "cloth_used_mm": used_mm,
        "cloth_to_buy_mm": system(parts).cut_from_bolt_mm(to_buy_mm),
        "one_by_one_mm": whole.one_by_one_mm[0],
        "side_by_side_mm": whole.side_by_side.as_ref().map(|lay| lay.used_mm),
        "together": whole.together().map(print::lay),
    })
}

fn in_words(parts: &[Part], left_out: &[LeftOut], whole: &Whole) -> String {
    let mut text = String::new();
    for part in parts {
        let verdict = if part.drafted.draft.wearable() { "" } else { ", can't be worn as drafted" };
        text += &format!("{:<28} {}{verdict}\n", part.title, part.lay.system.show_at_least(part.lay.used_mm));
    }
    for out in left_out {
        text += &format!("{:<28} left out: see what is said of it\n", out.file.display().to_string());
    }
    let system = system(parts);
    let to_buy = system.show_cut_from_bolt(whole.spent_mm()[1]);
    let how = match whole.together() {
        Some(lay) => format!(
            "laid side by side, {}: {} less than one after the other (--out FILE.svg draws it)",
            lay.fold.says(),
            system.show(whole.one_by_one_mm[0] - lay.used_mm)
        ),
        None => match &whole.side_by_side {
            Some(lay) => format!(
                "laid one after the other: side by side they need {}, and no less was found (--seconds 60 searches on)",
                system.show_at_least(lay.used_mm)
            ),
            None => "laid one after the other".to_owned(),
        },
    };
    let whose = if left_out.is_empty() { "Cloth needed for all" } else { "Cloth needed for the rest" };
    text + &format!("{whose:<28} {to_buy}, {how}")
}
