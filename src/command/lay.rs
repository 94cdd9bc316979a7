//! `chalklight lay`: how the cloth is folded, where the pieces lie, what is needed and what is left.

use std::path::PathBuf;
use std::process::ExitCode;

use super::{print, task};
use crate::lay::{Lay, Offer, Strip, offers};
use crate::remark::Refusal;
use crate::sheet::svg;
use crate::table::save::save_whole;
use crate::units::read_length;

/// Lays an order's pieces on its cloth.
#[derive(clap::Args, Debug)]
pub struct LayArgs {
    /// The order file.
    pub order: PathBuf,
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
    let file = args.order.display().to_string();
    let done = task::drafted(&task::text_of(&args.order)?, &file).and_then(|drafted| {
        drafted.say_doubts();
        Ok((task::laid(&drafted)?, drafted))
    });
    let (laid, drafted) = match done {
        Ok(done) => done,
        Err(stop) => return stop.exit(json),
    };
    let offers = if args.buy { offers(&drafted.pieces, &laid.lay.cloth, laid.lay.system) } else { Vec::new() };
    if let Some(out) = &args.out {
        save_whole(out, svg::lay(&laid.lay).as_bytes())?;
    }
    if json {
        let mut answer = print::lay(&laid.lay);
        if args.buy {
            answer["buy"] = offers.iter().map(print::offer).collect();
        }
        if let Some(strip) = args.bias {
            answer["bias_strips"] = laid.lay.left_over.iter().map(|left| left.strips(strip)).collect();
        }
        print::answer(answer);
    } else {
        let text = in_words(&laid.lay) + &strips_in_words(&laid.lay, args.bias) + &offers_in_words(&laid.lay, &offers);
        print::answer(text.trim_end());
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

/// How many bias strips come out of each rectangle that is left.
fn strips_in_words(lay: &Lay, strip: Option<Strip>) -> String {
    let Some(strip) = strip else { return String::new() };
    let show = |mm: f64| lay.system.show(mm);
    let size = format!("each {} wide and {} long", show(strip.width_mm), show(strip.length_mm));
    let mut text = String::new();
    for left in &lay.left_over {
        let from = format!("{} by {}", show(left.along_mm), show(left.across_mm));
        text += &format!("Bias strips    {}, {size}, from {from}\n", left.strips(strip));
    }
    if text.is_empty() { "Bias strips    none: nothing worth keeping is left\n".to_owned() } else { text }
}

/// What to buy at each width.
fn offers_in_words(lay: &Lay, offers: &[Offer]) -> String {
    let mut text = String::new();
    for (i, offer) in offers.iter().enumerate() {
        let head = if i == 0 { "Buy" } else { "" };
        let width = format!("{} wide", lay.system.show(offer.width_mm));
        let says = match &offer.bought {
            Ok(bought) => {
                let price = bought.price.as_ref().map(|price| format!(", {price}")).unwrap_or_default();
                let more_mm = bought.needed_mm - bought.plain_mm;
                let print = match more_mm > 0.0 {
                    true => format!(" ({} of it for the print)", lay.system.show_at_least(more_mm)),
                    false => String::new(),
                };
                format!("{}{price}{print}", lay.system.show_cut_from_bolt(bought.needed_mm))
            }
            Err(no) => no.sentence.clone(),
        };
        text += &format!("{head:<15}{width}: {says}\n");
    }
    text
}
