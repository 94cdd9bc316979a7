//! `chalklight cut`: the cutting session on the projector.

use std::path::PathBuf;
use std::process::ExitCode;

use super::frame::{room, stack_mm};
use super::task;
use crate::projector::{self, Key, KeyName, Reaction, Show, Venue};
use crate::remark::{Refusal, Remark};
use crate::scene::{Pose, Scene, View, Way};
use crate::session::{Change, Event, Session};
use crate::table::{TrustedTable, file};

/// What to press, as shown before the session and in the README.
const KEYS: &str = "\
space, page down   next stage          arrows           nudge the lines 1 mm (shift: 10 mm)
page up            stage before        , and .          turn them 0.1 degree left and right
L                  light or dark lines escape           leave";

/// Looking into the lens is the one thing that hurts at once.
const CAUTION: &str = "Never look up into the lens; darken it before you lean under it. \
                       Follow the projector's and its mount's manuals.";

/// Throws the stages on the table.
#[derive(clap::Args, Debug)]
pub struct CutArgs {
    /// The order file.
    pub order: PathBuf,
    /// The table file.
    #[arg(long)]
    pub table: PathBuf,
    /// The screen to throw on, by its name or size; the last one when not given.
    #[arg(long)]
    pub screen: Option<String>,
    /// Yes: cut by this table although it is not trusted.
    #[arg(long)]
    pub trust_anyway: bool,
    /// Yes: cut although a check says that the dress can't be worn.
    #[arg(long)]
    pub cut_anyway: bool,
}

/// The session behind the window.
struct Cutting {
    session: Session,
}

/// Runs the session until she leaves. Exits 1 when a check, the cloth or the table says no.
///
/// # Errors
/// When order or table can't be read, or there is no screen or driver.
pub fn run(args: &CutArgs, json: bool) -> Result<ExitCode, Refusal> {
    let file_name = args.order.display().to_string();
    let prepared = task::drafted(&task::text_of(&args.order)?, &file_name).and_then(|drafted| {
        for doubt in drafted.draft.doubts() {
            task::say(doubt, &file_name);
        }
        if !drafted.draft.wearable() && !args.cut_anyway {
            let remark = Remark::refusal("this dress can't be worn as drafted, so nothing is thrown");
            let remark = remark.remedy("change the order as said above, or say --cut-anyway");
            return Err(task::Stop::No(Refusal::because(remark)));
        }
        Ok((drafted.order.system, task::laid(&drafted, &file_name)?.stages))
    });
    let (system, stages) = match prepared {
        Ok(prepared) => prepared,
        Err(stop) => return stop.exit(json),
    };
    let Some(table) = trusted(args)? else { return Ok(ExitCode::from(1)) };
    let view = View::of(room(&table.kept().table)?, system, Way::LightOnDark);
    let venue =
        Venue { table: table.kept().table.clone(), screen: args.screen.clone().or(table.kept().screen.clone()) };
    eprintln!("{KEYS}\n{CAUTION}");
    let mut cutting = Cutting { session: Session::begin(table, stages, view) };
    projector::run(&mut cutting, venue)?;
    let (stage, pose) = (cutting.session.number(), cutting.session.pose());
    if json {
        let at = super::print::point(pose.at_mm);
        super::print::answer(serde_json::json!({"stage": stage, "at_mm": at, "turn_deg": pose.turn_rad.to_degrees()}));
    } else {
        super::print::answer(format!("Left at stage {stage}."));
    }
    Ok(ExitCode::SUCCESS)
}

/// The table, when it is trusted or she says yes to it; the reason is printed otherwise.
fn trusted(args: &CutArgs) -> Result<Option<TrustedTable>, Refusal> {
    let name = args.table.display().to_string();
    let kept = file::read(&task::text_of(&args.table)?).map_err(|refusal| refusal.in_file(&name))?;
    let kept = task::spoken(kept, &name);
    if args.trust_anyway {
        return Ok(Some(TrustedTable::by_her_yes(kept)));
    }
    match TrustedTable::by_fit(kept) {
        Ok(table) => Ok(Some(table)),
        Err(remark) => {
            eprintln!("{}", remark.file(name));
            eprintln!("To cut by it all the same, say --trust-anyway");
            Ok(None)
        }
    }
}

impl Show for Cutting {
    fn scene(&mut self) -> Scene {
        self.session.scene()
    }

    fn stack_mm(&self) -> f64 {
        stack_mm(&self.session.table().kept().table, self.session.stage())
    }

    fn pose(&mut self) -> Pose {
        self.session.pose()
    }

    fn key(&mut self, key: Key) -> Reaction {
        let Some(event) = event(key) else { return Reaction::None };
        match self.session.answer(event) {
            Change::Nothing => Reaction::None,
            Change::Pose => Reaction::Pose,
            Change::Scene => Reaction::Scene,
            Change::Left => Reaction::Leave,
        }
    }
}

/// What a key asks for.
fn event(key: Key) -> Option<Event> {
    let nudge = |right, away| Event::Nudge { right, away, long: key.shift };
    Some(match key.name {
        KeyName::Space | KeyName::PageDown => Event::Next,
        KeyName::PageUp => Event::Back,
        KeyName::Left => nudge(-1, 0),
        KeyName::Right => nudge(1, 0),
        KeyName::Up => nudge(0, 1),
        KeyName::Down => nudge(0, -1),
        KeyName::Sign(',' | '<') => Event::Turn(1),
        KeyName::Sign('.' | '>') => Event::Turn(-1),
        KeyName::Sign('l' | 'L') => Event::SwapLight,
        KeyName::Escape => Event::Leave,
        KeyName::Enter | KeyName::Sign(_) => return None,
    })
}
