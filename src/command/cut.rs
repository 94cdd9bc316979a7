//! `chalklight cut`: the cutting session on the projector.
//!
//! Its place is kept beside the order at every step. When the same order is cut again on the same table, the session
//! is taken up where it was; one that can't be taken up is set aside under another name, never written over.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::frame::room;
use super::job::Job;
use super::sight::Sight;
use super::{print, task};
use crate::calibrate::proof;
use crate::lay::Lay;
use crate::projector::{self, Cutting, Venue};
use crate::remark::{Refusal, Remark};
use crate::scene::{Side, View, Way};
use crate::session::file::{self as saved, Belongs, Saved};
use crate::session::keep::{self, Keeper, Recorder};
use crate::session::{Event, Ground, KEYS, Session, State, Work, trace};
use crate::table::{KeptTable, TrustedTable};

/// Looking into the lens is the one thing that hurts at once.
const CAUTION: &str = "Never look up into the lens; darken it before you lean under it. \
                       Follow the projector's and its mount's manuals.";

/// Throws the stages on the table.
#[derive(clap::Args, Debug)]
pub struct CutArgs {
    /// The order file; several are cut from one lay, and so are the orders that a job's file names.
    #[arg(required = true)]
    pub orders: Vec<PathBuf>,
    /// The table file.
    #[arg(long)]
    pub table: PathBuf,
    /// The screen to throw on, by its name or size; the last one when not given.
    #[arg(long)]
    pub screen: Option<String>,
    /// The side of the table that is read from: front, right, back or left.
    #[arg(long, value_parser = side)]
    pub side: Option<Side>,
    /// Begin at the first stage, although a session of this order was kept.
    #[arg(long)]
    pub afresh: bool,
    /// Write every event to this file, so that the session can be seen again; not together with --replay.
    #[arg(long)]
    pub trace: Option<PathBuf>,
    /// Work through the events of such a file instead of throwing, and say where they lead; nothing is written.
    #[arg(long, conflicts_with = "trace")]
    pub replay: Option<PathBuf>,
    /// Yes: cut by this table although it is not trusted.
    #[arg(long)]
    pub trust_anyway: bool,
    /// Yes: cut although a check says that the dress can't be worn, or so many reaches may put lines off too far.
    #[arg(long)]
    pub cut_anyway: bool,
}

/// Everything a session is begun with.
struct Prepared {
    work: Work,
    view: View,
    table: TrustedTable,
    belongs: Belongs,
}

fn side(text: &str) -> Result<Side, String> {
    Side::of_key(text).ok_or_else(|| "write front, right, back or left".into())
}

/// Runs the session until she leaves. Exits 1 when a check, the cloth or the table says no.
///
/// # Errors
/// When order or table can't be read, or there is no screen or driver.
pub fn run(args: &CutArgs, json: bool) -> Result<ExitCode, Refusal> {
    let kept_table = task::table(&args.table)?;
    let read = Job::of(&args.orders).and_then(|job| Ok((worn(args, &job)?, job.lay()?, job)));
    let (lay, job) = match read {
        Ok(((), lay, job)) => (lay, job),
        Err(stop) => return stop.exit(json),
    };
    let Some(table) = trusted(args, kept_table) else { return Ok(ExitCode::from(1)) };
    let place = job.session_file();
    let (saved, unread) = if args.afresh || args.replay.is_some() { (None, None) } else { kept(&place)? };
    let side = args.side.or(saved.as_ref().and_then(Saved::laid_from)).unwrap_or_default();
    let view = View::of(room(&table.kept().table)?, lay.system, Way::LightOnDark);
    let view = View { band: side, reads: side, ..view };
    let (order, order_file) = job.on_cloth();
    let view = Sight::of(order, order_file).map_or(view, |sight| {
        eprintln!("Seen best: {}.", sight.says());
        sight.begins(view)
    });
    let work = match work(args, &job, (&lay, &view)) {
        Ok(work) => work,
        Err(stop) => return stop.exit(json),
    };
    let belongs = Belongs::of(&job.text, &work, table.kept());
    let prepared = Prepared { work, view, table, belongs };
    if let Some(path) = &args.replay {
        return replayed(path, prepared, json);
    }
    let state = saved.map(|saved| saved.state(&prepared.belongs, &prepared.work)).transpose();
    let state = match (state, unread) {
        (Ok(state), None) => state,
        (Err(refusal), _) | (Ok(_), Some(refusal)) => {
            let old = keep::set_aside(&place)?;
            eprintln!("{}\nIt is kept as {}.", refusal.in_file(&place.display().to_string()), old.display());
            None
        }
    };
    session(args, prepared, state, place, json)
}

/// Whether she can wear what is cut, or says yes to it all the same.
fn worn(args: &CutArgs, job: &Job) -> Result<(), task::Stop> {
    if job.wearable() || args.cut_anyway {
        return Ok(());
    }
    let what = if job.all.len() > 1 { "not all of it can be worn" } else { "this dress can't be worn" };
    let remark = Remark::refusal(format!("{what} as drafted, so nothing is thrown"));
    Err(task::Stop::No(Refusal::because(remark.remedy("change the order as said above, or say --cut-anyway"))))
}

/// The work on a lay, where its reaches leave lines near enough to where they should be, or she says yes all the same.
fn work(args: &CutArgs, job: &Job, (lay, view): (&Lay, &View)) -> Result<Work, task::Stop> {
    let work = Work::of(lay, view).map_err(task::Stop::No)?;
    if work.plan.is_near_enough() || args.cut_anyway {
        return Ok(work);
    }
    let remark = Remark::refusal(format!(
        "this lay would be cut in {} reaches, and after so many moves lines can be off by {} (95 in 100), so nothing is thrown",
        work.plan.reaches.len(),
        view.system.show_fine(work.plan.off_by_mm())
    ));
    let fewer = if job.all.len() > 1 { "cut fewer orders from one lay, or " } else { "" };
    let remedy = format!("{fewer}hang the projector higher and calibrate again; or say --cut-anyway");
    Err(task::Stop::No(Refusal::because(remark.remedy(remedy))))
}

/// A saved session, or why it can't be read; neither when there is none.
fn kept(place: &Path) -> Result<(Option<Saved>, Option<Refusal>), Refusal> {
    Ok(match keep::load(place)?.map(|text| saved::read(&text)) {
        None => (None, None),
        Some(Ok(saved)) => (Some(saved), None),
        Some(Err(refusal)) => (None, Some(refusal)),
    })
}

/// Throws until she leaves.
fn session(
    args: &CutArgs,
    prepared: Prepared,
    state: Option<State>,
    place: PathBuf,
    json: bool,
) -> Result<ExitCode, Refusal> {
    let Prepared { work, view, table, belongs } = prepared;
    let kept: &KeptTable = table.kept();
    let venue = Venue { table: kept.table.clone(), screen: args.screen.clone().or(kept.screen.clone()) };
    let reaches = work.plan.reaches.len();
    let mut greeting = vec![KEYS.join("\n"), CAUTION.to_owned()];
    if reaches > 1 {
        let off_by = view.system.show_fine(work.plan.off_by_mm());
        greeting.push(format!(
            "Longer than the light: cut in {reaches} reaches, the last within {off_by} of the first (95 in 100)."
        ));
    }
    let resumed = state.is_some();
    let mut begun = match state {
        Some(state) => {
            greeting.push(format!("Taken up again from {}; --afresh begins anew.", place.display()));
            Session::resume(Ground::Trusted(table), work, view, state)
        }
        None => Session::begin(Ground::Trusted(table), work, view),
    };
    let head = trace::head(&saved::write(&begun, &belongs), resumed);
    let mut recorder = args.trace.as_deref().map(|path| Recorder::start(path, &head)).transpose()?;
    greeting.push(ask_for_proof(&mut begun, recorder.as_mut()));
    let corrects_stack = venue.table.stand.is_some();
    let keeper = Some(Keeper::start(place));
    let (greeting, table_file) = (greeting.join("\n"), args.table.clone());
    let mut cutting = Cutting { session: begun, belongs, keeper, recorder, corrects_stack, greeting, table_file };
    projector::run(&mut cutting, venue)?;
    left(&cutting.session, json);
    Ok(ExitCode::SUCCESS)
}

/// Begins with the proof of the table, where it can be proved, and says so.
fn ask_for_proof(session: &mut Session, recorder: Option<&mut Recorder>) -> String {
    if proof::distances(session.table()).is_empty() {
        return proof::nothing_to_prove_by().to_string();
    }
    session.answer(Event::Measure);
    if let Some(recorder) = recorder {
        recorder.record(Event::Measure);
    }
    "First three distances, to see whether the projector was knocked; escape passes them over.".to_owned()
}

/// Works through a trace without a window.
fn replayed(path: &Path, prepared: Prepared, json: bool) -> Result<ExitCode, Refusal> {
    let name = path.display().to_string();
    let told = trace::read(&task::text_of(path)?).map_err(|refusal| refusal.in_file(&name))?;
    let Prepared { work, view, table, belongs } = prepared;
    let state = saved::read(&told.saved).and_then(|saved| saved.state(&belongs, &work));
    let state = state.map_err(|refusal| refusal.in_file(&name))?;
    let ground = Ground::Trusted(table);
    let begin = if told.resumed { Session::resume } else { Session::begin_at };
    let mut session = begin(ground, work, view, state);
    trace::replay(&mut session, &told.events);
    left(&session, json);
    Ok(ExitCode::SUCCESS)
}

/// Says where the session was left.
fn left(session: &Session, json: bool) {
    let (stage, pose) = (session.number(), session.pose());
    if json {
        let (at, turn_deg) = (print::point(pose.at_mm), pose.turn_rad.to_degrees());
        let reach = session.reach_number();
        print::answer(serde_json::json!({"stage": stage, "reach": reach, "at_mm": at, "turn_deg": turn_deg}));
    } else {
        print::answer(format!("Left at stage {stage}."));
    }
}

/// The table, when it is trusted or she says yes to it; the reason is printed otherwise.
fn trusted(args: &CutArgs, kept: KeptTable) -> Option<TrustedTable> {
    if args.trust_anyway {
        return Some(TrustedTable::by_her_yes(kept));
    }
    match TrustedTable::by_fit(kept) {
        Ok(table) => Some(table),
        Err(remark) => {
            eprintln!("{}", remark.file(args.table.display().to_string()));
            eprintln!("To cut by it all the same, say --trust-anyway");
            None
        }
    }
}
