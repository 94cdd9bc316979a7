//! `chalklight screens`: the screens there are.

use std::process::ExitCode;

use crate::projector::screens;
use crate::remark::Refusal;

/// Lists the screens: name, size, place.
#[derive(clap::Args, Debug)]
pub struct ScreensArgs {}

/// Prints one line a screen.
///
/// # Errors
/// When there is no window system to ask.
pub fn run(_args: &ScreensArgs, json: bool) -> Result<ExitCode, Refusal> {
    let all = screens()?;
    if json {
        let each = all.iter().map(
            |s| serde_json::json!({ "name": s.name, "size_px": s.size_px, "at_px": s.at_px, "rate_hz": s.rate_hz }),
        );
        println!("{}", serde_json::json!({ "screens": each.collect::<Vec<_>>() }));
    } else {
        for s in &all {
            let rate = s.rate_hz.map_or(String::new(), |r| format!(", {r:.0} pictures a second"));
            println!("{} at {}, {}{rate}", s.title(), s.at_px[0], s.at_px[1]);
        }
    }
    Ok(ExitCode::SUCCESS)
}
