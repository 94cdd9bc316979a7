//! `chalklight draft`: the draft with its working.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{print, task};
use crate::draft::{Check, Draft};
use crate::remark::Refusal;
use crate::sheet::svg;
use crate::table::save::save_whole;

/// Drafts an order.
#[derive(clap::Args, Debug)]
pub struct DraftArgs {
    /// The order file.
    pub order: PathBuf,
    /// A drawing to write, as SVG at true size.
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Values to the sixteenth of an inch, or the tenth of a millimetre.
    #[arg(long)]
    pub fine: bool,
}

/// Drafts, prints the working and the checks. Exits 1 when the dress can't be worn or cut.
///
/// # Errors
/// When the order can't be read.
pub fn run(args: &DraftArgs, json: bool) -> Result<ExitCode, Refusal> {
    args.out.as_deref().map_or(Ok(()), |out| task::ends_in("svg", out))?;
    let file = args.order.display().to_string();
    let drafted = match task::drafted(&task::text_of(&args.order)?, &file) {
        Ok(drafted) => drafted,
        Err(stop) => return stop.exit(json),
    };
    if let Some(out) = &args.out {
        save_whole(out, svg::draft(&drafted.draft, &drafted.pieces).as_bytes())?;
    }
    if json {
        print::answer(print::draft(&drafted.draft, &drafted.pieces));
    } else {
        print::answer(in_words(&drafted.draft, args.fine).trim_end());
    }
    Ok(if drafted.draft.wearable() { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Working and checks as text, with each value once more in fine steps when she asks for it.
pub fn in_words(draft: &Draft, fine: bool) -> String {
    let mut text = String::from("Working\n");
    for step in &draft.working {
        let finely = if fine { format!("  ({})", draft.system.show_fine(step.value_mm)) } else { String::new() };
        text += &format!("  {:<18} {}{finely}\n", step.name, step.rule);
    }
    text += "Checks\n";
    for check in &draft.checks {
        text += &format!("  {} {}\n", verdict(check), check.says);
        if let Some(remedy) = &check.remedy {
            text += &format!("        {remedy}\n");
        }
    }
    text
}

/// One word for a check.
fn verdict(check: &Check) -> &'static str {
    match (check.ok, check.severity) {
        (true, _) => "good ",
        (false, crate::remark::Weight::Refusal) => "NO   ",
        (false, _) => "look ",
    }
}
