//! `chalklight card`: the check card for photos of the table, to be printed at true size.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{print, task};
use crate::calibrate::photo::card::Format;
use crate::remark::Refusal;
use crate::sheet::check_card;
use crate::table::save::save_whole;

/// Prints the check card.
#[derive(clap::Args, Debug)]
pub struct CardArgs {
    /// The paper: a4 or letter.
    #[arg(long, default_value = "a4", value_parser = format)]
    pub paper: Format,
    /// The PDF to write.
    #[arg(long)]
    pub out: PathBuf,
}

/// Reads the name of a paper.
pub fn format(text: &str) -> Result<Format, String> {
    match text.to_lowercase().as_str() {
        "a4" => Ok(Format::A4),
        "letter" => Ok(Format::Letter),
        _ => Err("write a4 or letter".into()),
    }
}

/// Writes the card.
///
/// # Errors
/// When it can't be written.
pub fn run(args: &CardArgs, json: bool) -> Result<ExitCode, Refusal> {
    task::ends_in("pdf", &args.out)?;
    save_whole(&args.out, &check_card(args.paper)?)?;
    if json {
        print::answer(serde_json::json!({"out": args.out}));
    } else {
        print::answer(format!(
            "Check card written to {}. Print one for each corner of the light, without fitting it to the page.",
            args.out.display()
        ));
    }
    Ok(ExitCode::SUCCESS)
}
