//! `chalklight lay`: how the cloth is folded, where the pieces lie, what is needed and what is left.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{print, task};
use crate::lay::Lay;
use crate::remark::Refusal;
use crate::sheet::svg;
use crate::table::save::save_whole;

/// Lays an order's pieces on its cloth.
#[derive(clap::Args, Debug)]
pub struct LayArgs {
    /// The order file.
    pub order: PathBuf,
    /// A drawing to write, as SVG at true size.
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// Lays and prints the plan. Exits 1 when the cloth does not suffice.
///
/// # Errors
/// When the order can't be read.
pub fn run(args: &LayArgs, json: bool) -> Result<ExitCode, Refusal> {
    let file = args.order.display().to_string();
    let laid = task::drafted(&task::text_of(&args.order)?, &file).and_then(|drafted| {
        drafted.say_doubts();
        task::laid(&drafted)
    });
    let laid = match laid {
        Ok(laid) => laid,
        Err(stop) => return stop.exit(json),
    };
    if let Some(out) = &args.out {
        save_whole(out, svg::lay(&laid.lay).as_bytes())?;
    }
    if json {
        print::answer(print::lay(&laid.lay));
    } else {
        print::answer(in_words(&laid.lay).trim_end());
    }
    Ok(ExitCode::SUCCESS)
}

/// The lay as text.
pub fn in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    let mut text = format!(
        "Cloth needed   {}: {} lengths of {} from cloth {} wide\nFold           {}, {} from fold to selvedge, {} layers\n\
         Widest piece   {} from the fold, turnings included\n\
         Use            {:.0} %\n",
        lay.system.show_cut_from_bolt(lay.cloth.to_buy_mm(lay.used_mm)),
        lay.lengths,
        lay.system.show_at_least(lay.length_mm),
        show(lay.cloth.width_mm),
        lay.fold.says(),
        show(lay.folded_width_mm),
        lay.layers,
        show(lay.widest_mm()),
        100.0 * lay.used_share()
    );
    for placed in lay.placed.iter().filter(|placed| placed.shift_mm != 0.0) {
        text += &format!("Moved          {} {} along its length\n", placed.piece.name, show(placed.shift_mm));
    }
    for left in &lay.left_over {
        let times = if left.count > 1 { format!("{} x ", left.count) } else { String::new() };
        text += &format!("Left over      {times}{} by {}\n", show(left.along_mm), show(left.across_mm));
    }
    text
}
