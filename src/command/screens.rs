//! `chalklight screens`: the screens that a picture can be thrown on.

use std::process::ExitCode;

use serde_json::{Value, json};

use crate::projector::screens;
use crate::remark::Refusal;

/// Lists the screens.
#[derive(clap::Args, Debug)]
pub struct ScreensArgs {}

/// Lists every screen by name, size and place.
///
/// # Errors
/// When there is no window system.
pub fn run(_: &ScreensArgs, json: bool) -> Result<ExitCode, Refusal> {
    let screens = screens()?;
    if json {
        let all: Vec<Value> = screens
            .iter()
            .map(|s| json!({"name": s.name, "size_px": s.size_px, "at_px": s.at_px, "rate_hz": s.rate_hz}))
            .collect();
        super::print::answer(Value::from(all));
    } else {
        for screen in screens {
            super::print::answer(screen.title());
        }
    }
    Ok(ExitCode::SUCCESS)
}
