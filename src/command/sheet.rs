//! `chalklight sheet`: the cut sheet of an order on paper, or of several that are cut in one go.

use std::path::PathBuf;
use std::process::ExitCode;

use image::RgbaImage;

use super::card::format;
use super::frame::room;
use super::job::Job;
use super::sight::Sight;
use super::task::{self, Drafted, Laid};
use super::{photograph, print};
use crate::calibrate::photo::card::Format;
use crate::lay::offers;
use crate::motif::Ground;
use crate::remark::Refusal;
use crate::scene::{View, Way, proof_lengths_mm};
use crate::sheet::{CutSheet, SheetOrder, cut_sheet};
use crate::stages::stages;
use crate::table::save::save_whole;
use crate::table::{Bound, KeptTable};

/// Writes the cut sheet of an order, or of several that are cut in one go.
#[derive(clap::Args, Debug)]
pub struct SheetArgs {
    /// The order file; several are laid together and printed on one sheet, and so are those that a job's file names.
    #[arg(required = true)]
    pub orders: Vec<PathBuf>,
    /// The table that will be cut on, for the error to be expected.
    #[arg(long)]
    pub table: Option<PathBuf>,
    /// The paper: a4 or letter.
    #[arg(long, default_value = "a4", value_parser = format)]
    pub paper: Format,
    /// The PDF to write.
    #[arg(long)]
    pub out: PathBuf,
}

/// Writes the cut sheet. Exits 1 when the cloth does not suffice.
///
/// # Errors
/// When an order or the table can't be read, or the sheet can't be written.
pub fn run(args: &SheetArgs, json: bool) -> Result<ExitCode, Refusal> {
    task::ends_in("pdf", &args.out)?;
    let (lay, job) = match Job::of(&args.orders).and_then(|job| Ok((job.lay()?, job))) {
        Ok(done) => done,
        Err(stop) => return stop.exit(json),
    };
    let kept = args.table.as_deref().map(task::table).transpose()?;
    let (order, order_file) = job.on_cloth();
    let sight = Sight::of(order, order_file);
    let ground = photograph::under(&lay, order, order_file);
    let wanted = (kept.as_ref(), sight.as_ref(), ground.as_ref(), args.paper);
    let laid = Laid { stages: stages(&lay), lay };
    save_whole(&args.out, &pdf(&job.all, &laid, &[], wanted)?)?;
    if json {
        print::answer(serde_json::json!({"out": args.out}));
    } else {
        print::answer(format!("Cut sheet written to {}", args.out.display()));
    }
    Ok(ExitCode::SUCCESS)
}

/// The cut sheet of orders that lie on one lay, as PDF.
///
/// # Errors
/// When it can't be made.
pub fn pdf(
    all: &[Drafted],
    laid: &Laid,
    pictures: &[(String, RgbaImage)],
    (kept, sight, ground, paper): (Option<&KeptTable>, Option<&Sight>, Option<&Ground>, Format),
) -> Result<Vec<u8>, Refusal> {
    let error = kept.and_then(error_on_cloth);
    let offers = offers(&task::together(all, &laid.lay.cloth), &laid.lay);
    let titles = task::titles(all);
    let is_told_apart = all.len() > 1;
    let orders: Vec<SheetOrder<'_>> = all
        .iter()
        .zip(&titles)
        .map(|(Drafted { order, draft, pieces, .. }, title)| {
            let whose = if is_told_apart { Some(title) } else { order.client.name.as_ref() };
            SheetOrder { whose: whose.map(String::as_str), order, draft, pieces }
        })
        .collect();
    cut_sheet(&CutSheet {
        orders: &orders,
        lay: &laid.lay,
        stages: &laid.stages,
        pictures,
        proof_mm: kept.map(|kept| proof_mm(laid, kept)).transpose()?.flatten(),
        error_on_cloth: error.as_deref(),
        table: kept,
        seen_best: sight.map(Sight::says).as_deref(),
        offers: &offers,
        paper,
        ground,
    })
}

/// How long rule and diagonal of the proof are on a table.
fn proof_mm(laid: &Laid, kept: &KeptTable) -> Result<Option<[f64; 2]>, Refusal> {
    let view = View::of(room(&kept.table)?, laid.lay.system, Way::LightOnDark);
    Ok(laid.stages.iter().find(|stage| stage.proof).map(|stage| proof_lengths_mm(stage, &view)))
}

/// What is known of the error on the cloth, in a sentence; none for a table written by hand.
pub fn error_on_cloth(kept: &KeptTable) -> Option<String> {
    let fit = kept.fit.as_ref()?;
    let Bound { largest_mm, mean_mm } = fit.bound95;
    Some(format!(
        "a thrown point is at most {largest_mm:.1} mm off, {mean_mm:.1} mm on average (95 of 100 points); \
         good cutting keeps within 1.6 mm (1/16 in), the usual limit is 3.2 mm (1/8 in)"
    ))
}
