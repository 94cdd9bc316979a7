//! Searching for a shorter lay on the command line: how long, and what is said meanwhile.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use super::task::{self, Drafted};
use crate::bench::{Search, Until};
use crate::lay::Wanted;
use crate::nest::Pace;

/// How long is searched, and whether what is found is kept.
#[derive(clap::Args, Debug)]
pub struct SearchArgs {
    /// Search so many seconds for a shorter lay, on any fold; ctrl-C ends it and keeps the best so far.
    #[arg(long, value_parser = read_seconds)]
    pub seconds: Option<f64>,
    /// Keep what is found in a file beside the order: it is cut so, as long as pieces and cloth stay as they are.
    #[arg(long, requires = "seconds")]
    pub keep: bool,
}

/// A day.
const LONGEST_SECONDS: f64 = 86_400.0;

fn read_seconds(text: &str) -> Result<f64, String> {
    let seconds = text.parse().ok().filter(|seconds| (0.0..=LONGEST_SECONDS).contains(seconds));
    seconds.ok_or_else(|| format!("write a number of seconds from 0 to {LONGEST_SECONDS}"))
}

/// How often is told how far the search is.
const TOLD: Duration = Duration::from_millis(500);

/// The exit code of a program that ctrl-C ended: 128 and the signal's number, as shells have it.
const INTERRUPTED: i32 = 130;

/// Searches so long for a lay of these orders; on a terminal its time, the cloth and the use so far are shown on stderr, and
/// ctrl-C ends it with the best so far.
pub fn watched<T>(seconds: f64, all: &[Drafted], work: impl FnOnce(&dyn Pace) -> T) -> T {
    let search = Arc::new(Search::begin(Until::Seconds(seconds)));
    let stopped = Arc::clone(&search);
    // Where ctrl-C can't be listened to it ends the program, as it does everywhere else.
    let _ = ctrlc::set_handler(move || {
        if stopped.is_stopped() {
            std::process::exit(INTERRUPTED);
        }
        stopped.stop();
    });
    let cloth = all.iter().find_map(|drafted| drafted.order.cloth.as_ref());
    let Some(wanted) = cloth.map(|cloth| task::together(all, cloth)).filter(|_| std::io::stderr().is_terminal()) else {
        return work(&*search);
    };
    std::thread::scope(|scope| {
        let (done, wait) = channel::<()>();
        let (search, wanted) = (&search, &wanted);
        scope.spawn(move || {
            while wait.recv_timeout(TOLD) == Err(RecvTimeoutError::Timeout) {
                eprint!("\r{}\x1b[K", so_far(search, seconds, wanted));
            }
            eprint!("\r\x1b[K");
        });
        let value = work(&**search);
        drop(done);
        value
    })
}

/// "12 s of 60: 1.42 m so far, of which 71 % is used; ctrl-C keeps that".
fn so_far(search: &Search, seconds: f64, wanted: &Wanted<'_>) -> String {
    let found = search.best_mm().map_or_else(
        || "looking at the kinds of fold".to_owned(),
        |best_mm| {
            let (cloth, share) = (wanted.system.show_at_least(best_mm), wanted.used_share(best_mm));
            format!("{cloth} so far, of which {:.0} % is used; ctrl-C keeps that", 100.0 * share)
        },
    );
    format!("{} s of {seconds}: {found}", search.seconds())
}
