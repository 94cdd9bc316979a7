//! The command line, one file a command.
//!
//! Every command prints people's text, or one JSON value with `--json`, on stdout; remarks go to stderr. Exit code 0 is
//! success, 1 means that the work itself says no, 2 bad usage or input that can't be read.

mod batch;
mod bench;
mod calibrate;
mod card;
mod client;
mod cut;
mod demo;
mod draft;
mod frame;
mod garments;
mod grid;
mod job;
mod kept;
mod lay;
mod locate;
mod photo;
mod photograph;
mod print;
mod prove;
mod repeat;
mod scene;
mod screens;
mod search;
mod sheet;
mod sight;
mod task;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::remark::Refusal;

/// Drafts a made-to-measure dress, plans its cutting, and throws every line on the cloth at true size.
#[derive(Debug, Parser)]
#[command(name = "chalklight", version, after_help = "Without a command, the bench window is opened.")]
struct Arguments {
    /// Answer in JSON on stdout.
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Opens the bench window, with files on it.
    Bench(bench::BenchArgs),
    /// The whole job on the built-in order, without a projector.
    Demo(demo::DemoArgs),
    /// Drafts an order and writes down the working.
    Draft(draft::DraftArgs),
    /// Drafts several orders that are cut from one cloth.
    Batch(batch::BatchArgs),
    /// Lists what can be made, with measurements, choices and house rules.
    Garments,
    /// Lays the pieces on the cloth.
    Lay(lay::LayArgs),
    /// Keeps clients: their measurements by date, notes, what was made.
    Client(client::ClientArgs),
    /// Draws the test grid that is measured on the table.
    Grid(grid::GridArgs),
    /// Prints the check card for photos of the table.
    Card(card::CardArgs),
    /// Reads the marks' places off a photo instead of a tape.
    Photo(photo::PhotoArgs),
    /// Reads a print's repeat off a photo of the cloth.
    Repeat(repeat::RepeatArgs),
    /// Solves a table from what was measured on it.
    Calibrate(calibrate::CalibrateArgs),
    /// Tells by a few distances whether the projector was knocked.
    Prove(prove::ProveArgs),
    /// Maps points between table and picture.
    Locate(locate::LocateArgs),
    /// Draws one stage's picture as it is thrown.
    Frame(frame::FrameArgs),
    /// The cutting session on the projector.
    Cut(cut::CutArgs),
    /// Throws bare line work in table mm, for checks.
    Scene(scene::SceneArgs),
    /// Writes the cut sheet of an order, or of several that are cut in one go.
    Sheet(sheet::SheetArgs),
    /// The screens that a picture can be thrown on.
    Screens(screens::ScreensArgs),
}

/// Runs the command line.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let json = arguments.json;
    let done = match &arguments.command.unwrap_or_else(|| Command::Bench(bench::BenchArgs::default())) {
        Command::Bench(args) => bench::run(args),
        Command::Demo(args) => demo::run(args, json),
        Command::Draft(args) => draft::run(args, json),
        Command::Garments => Ok(garments::run(json)),
        Command::Lay(args) => lay::run(args, json),
        Command::Grid(args) => grid::run(args, json),
        Command::Card(args) => card::run(args, json),
        Command::Photo(args) => photo::run(args, json),
        Command::Repeat(args) => repeat::run(args, json),
        Command::Calibrate(args) => calibrate::run(args, json),
        Command::Batch(args) => batch::run(args, json),
        Command::Client(args) => client::run(args, json),
        Command::Prove(args) => prove::run(args, json),
        Command::Locate(args) => locate::run(args, json),
        Command::Frame(args) => frame::run(args, json),
        Command::Cut(args) => cut::run(args, json),
        Command::Scene(args) => scene::run(args, json),
        Command::Sheet(args) => sheet::run(args, json),
        Command::Screens(args) => screens::run(args, json),
    };
    done.unwrap_or_else(|refusal: Refusal| {
        eprintln!("{refusal}");
        if json {
            print::answer(print::refusal(&refusal));
        }
        ExitCode::from(2)
    })
}
