//! `chalklight lay`: how the cloth is folded, where the pieces lie, what is needed and what is left.

use std::path::PathBuf;
use std::process::ExitCode;

use super::job::Job;
use super::kept;
use super::search::SearchArgs;
use super::task::{self, Stop};
use super::{photograph, print};
use crate::lay::{Fold, Lay, Offer, Strip, offers, offers_instead};
use crate::remark::{Refusal, sentence_case};
use crate::sheet::svg;
use crate::table::save::save_whole;
use crate::units::{System, read_length};

/// Lays an order's pieces on its cloth.
#[derive(clap::Args, Debug)]
pub struct LayArgs {
    /// The order file; several are laid together, on the cloth of the first, and those of a job's file on the job's.
    #[arg(required = true)]
    pub orders: Vec<PathBuf>,
    #[command(flatten)]
    pub search: SearchArgs,
    /// A drawing to write, as SVG at true size.
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// What to buy at every usual width, as shops cut it, with the price where the order says it.
    #[arg(long)]
    pub buy: bool,
    /// How many bias strips come out of what is left, each so wide and so long: "32 mm x 60 cm".
    #[arg(long, value_parser = read_strip)]
    pub bias: Option<Strip>,
}

fn read_strip(text: &str) -> Result<Strip, String> {
    let (width, length) = text.split_once(['x', '\u{d7}']).ok_or("write width x length, such as \"32 mm x 60 cm\"")?;
    let mm = |text: &str| match read_length(text) {
        Ok(length) if (LEAST_STRIP_MM..=MOST_STRIP_MM).contains(&length.mm) => Ok(length.mm),
        Ok(_) => Err(format!("\"{}\" is no side of a bias strip; write 5 mm to 10 m", text.trim())),
        Err(no) => Err(format!("\"{}\" {no}", text.trim())),
    };
    Ok(Strip { width_mm: mm(width)?, length_mm: mm(length)? })
}

/// Widths and lengths that a bias strip can have.
const LEAST_STRIP_MM: f64 = 5.0;
const MOST_STRIP_MM: f64 = 10_000.0;

/// Lays and prints the plan. Exits 1 when the cloth does not suffice.
///
/// # Errors
/// When the order can't be read.
pub fn run(args: &LayArgs, json: bool) -> Result<ExitCode, Refusal> {
    args.out.as_deref().map_or(Ok(()), |out| task::ends_in("svg", out))?;
    let job = match Job::of(&args.orders) {
        Ok(job) => job,
        Err(stop) => return stop.exit(json),
    };
    let lay = match job.lay_within(args.search.seconds) {
        Ok(lay) => lay,
        Err(Stop::No(refusal)) if args.buy && is_of_cloth(&refusal) => return Ok(to_buy_instead(&job, &refusal, json)),
        Err(stop) => return stop.exit(json),
    };
    let wanted = task::together(&job.all, &lay.cloth);
    let offers = if args.buy { offers(&wanted, &lay) } else { Vec::new() };
    if let Some(out) = &args.out {
        let (order, order_file) = job.on_cloth();
        let ground = photograph::under(&lay, order, order_file);
        save_whole(out, svg::lay_on(&lay, ground.as_ref(), args.bias)?.as_bytes())?;
    }
    if args.search.keep {
        kept::keep(&job.lay_file(), &lay, &wanted)?;
    }
    if json {
        let mut answer = print::lay(&lay);
        if args.buy {
            answer["buy"] = offers.iter().map(print::offer).collect();
        }
        if let Some(strip) = args.bias {
            answer["bias_strips"] = lay.left_over.iter().map(|left| left.strips(strip)).collect();
        }
        print::answer(answer);
    } else {
        let text = in_words(&lay) + &strips_in_words(&lay, args.bias) + &offers_in_words(lay.system, &offers);
        print::answer(text.trim_end());
    }
    Ok(ExitCode::SUCCESS)
}

/// Whether it is the cloth, or how it is to be folded, that leaves no lay.
fn is_of_cloth(refusal: &Refusal) -> bool {
    let field = |field: &String| field.starts_with("cloth") || field == "lay.fold";
    refusal.remarks.iter().any(|remark| remark.place.field.as_ref().is_some_and(field))
}

/// Says why the cloth that is named won't do, and what would be bought of every usual width.
fn to_buy_instead(job: &Job, refusal: &Refusal, json: bool) -> ExitCode {
    let Some(cloth) = &job.on_cloth().0.cloth else { return ExitCode::from(1) };
    let wanted = task::together(&job.all, cloth);
    let offers = offers_instead(&wanted);
    eprintln!("{refusal}");
    if json {
        let mut answer = print::refusal(refusal);
        answer["buy"] = offers.iter().map(print::offer).collect();
        print::answer(answer);
    } else {
        print::answer(offers_in_words(wanted.system, &offers).trim_end());
    }
    ExitCode::from(1)
}

/// The lay as text.
pub fn in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    let mut text = if lay.fold == Fold::LengthsOnTheirCentre { stacked_in_words(lay) } else { planned_in_words(lay) };
    text += &print_in_words(lay);
    text += &format!("Use            {:.0} %\n", 100.0 * lay.used_share());
    for (head, says) in [("Weighed", lay.weighed_in_words()), ("Not possible", lay.ruled_out_in_words())] {
        text.extend(says.iter().map(|says| format!("{head:<15}{says}\n")));
    }
    for placed in lay.placed.iter().filter(|placed| placed.shift_mm.x != 0.0) {
        text += &format!("Moved          {} {} along its length\n", placed.piece.name, show(placed.shift_mm.x));
    }
    for left in &lay.left_over {
        let times = if left.count > 1 { format!("{} x ", left.count) } else { String::new() };
        let along = lay.along_in_words(left.along_mm);
        text += &format!("Left over      {times}{along} by {}\n", show(left.across_mm));
    }
    text
}

/// What is said of the print, each on its line.
fn print_in_words(lay: &Lay) -> String {
    lay.costs_say().into_iter().map(|(what, says)| format!("{:<15}{says}\n", sentence_case(what))).collect()
}

fn stacked_in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    format!(
        "Cloth needed   {}: {} from cloth {} wide\nFold           {}, {}\n\
         Widest piece   {} from the fold, turnings included\n",
        lay.system.show_cut_from_bolt(lay.to_buy_mm()),
        lay.in_lengths(),
        show(lay.cloth.width_mm),
        lay.fold.says(),
        lay.as_it_lies(),
        show(lay.widest_mm()),
    )
}

fn planned_in_words(lay: &Lay) -> String {
    let show = |mm: f64| lay.system.show(mm);
    format!(
        "Cloth needed   {}: the lay is {} long, on cloth {} wide\nFold           {}: {}\n",
        lay.system.show_cut_from_bolt(lay.to_buy_mm()),
        lay.system.show_at_least(lay.used_mm),
        show(lay.cloth.width_mm),
        lay.fold.in_words(lay.system),
        lay.as_it_lies(),
    )
}

/// How many bias strips come out of each rectangle that is left.
fn strips_in_words(lay: &Lay, strip: Option<Strip>) -> String {
    let Some(strip) = strip else { return String::new() };
    let show = |mm: f64| lay.system.show(mm);
    let size = format!("each {} wide and {} long", show(strip.width_mm), show(strip.length_mm));
    let mut text = String::new();
    for (count, left) in lay.left_over.iter().map(|left| (left.strips(strip), left)).filter(|(count, _)| *count > 0) {
        let from = format!("{} by {}", lay.along_in_words(left.along_mm), show(left.across_mm));
        text += &format!("Bias strips    {count}, {size}, from {from}\n");
    }
    if text.is_empty() { format!("Bias strips    none, {size}, out of what is left\n") } else { text }
}

/// What to buy at each width.
fn offers_in_words(system: System, offers: &[Offer]) -> String {
    let mut text = String::new();
    for (i, offer) in offers.iter().enumerate() {
        let head = if i == 0 { "Buy" } else { "" };
        let width = format!("{} wide", system.show(offer.width_mm));
        let says = match &offer.bought {
            Ok(bought) => {
                let price = bought.price.as_ref().map(|price| format!(", {price}")).unwrap_or_default();
                let more_mm = bought.needed_mm - bought.plain_mm;
                let print = match more_mm > 0.0 {
                    true => format!(" ({} of it for the print)", system.show_at_least(more_mm)),
                    false => String::new(),
                };
                format!("{}{price}{print}", system.show_cut_from_bolt(bought.needed_mm))
            }
            Err(no) => no.sentence.clone(),
        };
        text += &format!("{head:<15}{width}: {says}\n");
    }
    text
}
