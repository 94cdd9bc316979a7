//! `chalklight lay`: how the cloth is folded, where the pieces lie, what is needed and what is left.

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use super::print;
use super::task::{self, Stop};
use crate::lay::{Effort, Fold, Lay};
use crate::nest::Pace;
use crate::remark::Refusal;
use crate::sheet::svg;
use crate::table::save::save_whole;

/// Lays an order's pieces on its cloth.
#[derive(clap::Args, Debug)]
pub struct LayArgs {
    /// The order file; several are laid together, on the cloth of the first.
    #[arg(required = true)]
    pub orders: Vec<PathBuf>,
    /// Search so many seconds for a shorter lay, on any fold.
    #[arg(long)]
    pub seconds: Option<f64>,
    /// A drawing to write, as SVG at true size.
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// Lays and prints the plan. Exits 1 when the cloth does not suffice.
///
/// # Errors
/// When the order can't be read.
pub fn run(args: &LayArgs, json: bool) -> Result<ExitCode, Refusal> {
    let laid = match laid(args) {
        Ok(lay) => lay,
        Err(stop) => return stop.exit(json),
    };
    if let Some(out) = &args.out {
        save_whole(out, svg::lay(&laid).as_bytes())?;
    }
    if json {
        print::answer(print::lay(&laid));
    } else {
        print::answer(in_words(&laid).trim_end());
    }
    Ok(ExitCode::SUCCESS)
}

/// The lay that is asked for. One order by itself is laid as everywhere else; several, or a search, by the planner.
fn laid(args: &LayArgs) -> Result<Lay, Stop> {
    let mut all = Vec::new();
    for order in &args.orders {
        let text = task::text_of(order).map_err(Stop::Unreadable)?;
        let drafted = task::drafted(&text, &order.display().to_string())?;
        drafted.say_doubts();
        all.push(drafted);
    }
    match (all.as_slice(), args.seconds) {
        ([one], None) => task::laid(one).map(|laid| laid.lay),
        (_, Some(seconds)) => task::searched(&all, &Effort::until(&Clock { start: Instant::now(), seconds })),
        (_, None) => task::searched(&all, &Effort::FIRST),
    }
}

/// Time by the clock on the wall.
struct Clock {
    start: Instant,
    seconds: f64,
}

impl Pace for Clock {
    fn gone_share(&self, _moves: u64) -> f64 {
        self.start.elapsed().as_secs_f64() / self.seconds.max(f64::MIN_POSITIVE)
    }
}

/// The lay as text.
pub fn in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    let mut text = if lay.fold == Fold::LengthsOnTheirCentre { stacked_in_words(lay) } else { planned_in_words(lay) };
    text += &format!("Use            {:.0} %\n", 100.0 * lay.used_share());
    for weighed in &lay.weighed {
        let length = match weighed.used_mm {
            Some(used_mm) => lay.system.show_at_least(used_mm),
            None => format!("more than {}", show(weighed.bound_mm)),
        };
        text += &format!("Weighed        {}: {length}\n", weighed.fold.says());
    }
    for placed in lay.placed.iter().filter(|placed| placed.shift_mm != 0.0) {
        text += &format!("Moved          {} {} along its length\n", placed.piece.name, show(placed.shift_mm));
    }
    for left in &lay.left_over {
        let times = if left.count > 1 { format!("{} x ", left.count) } else { String::new() };
        text += &format!("Left over      {times}{} by {}\n", show(left.along_mm), show(left.across_mm));
    }
    text
}

fn stacked_in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    format!(
        "Cloth needed   {}: {} lengths of {} from cloth {} wide\nFold           {}, {} from fold to selvedge, {} layers\n\
         Widest piece   {} from the fold, turnings included\n",
        lay.system.show_cut_from_bolt(lay.used_mm),
        lay.lengths,
        lay.system.show_at_least(lay.length_mm),
        show(lay.cloth.width_mm),
        lay.fold.says(),
        show(lay.folded_width_mm),
        lay.layers,
        show(lay.widest_mm()),
    )
}

fn planned_in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    let folds: Vec<String> = match lay.fold {
        Fold::Partly { folded_mm } => vec![show(folded_mm)],
        Fold::BothIn { near_mm, far_mm } => vec![show(near_mm), show(far_mm)],
        _ => Vec::new(),
    };
    let by = if folds.is_empty() { String::new() } else { format!(" by {}", folds.join(" and ")) };
    format!(
        "Cloth needed   {}: the lay is {} long, on cloth {} wide\nFold           {}{by}: {} wide\n",
        lay.system.show_cut_from_bolt(lay.used_mm),
        lay.system.show_at_least(lay.used_mm),
        show(lay.cloth.width_mm),
        lay.fold.says(),
        show(lay.folded_width_mm),
    )
}
