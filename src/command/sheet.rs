//! `chalklight sheet`: the cut sheet of an order on paper.

use std::path::PathBuf;
use std::process::ExitCode;

use image::RgbaImage;

use super::card::format;
use super::frame::room;
use super::kept::KeptFile;
use super::sight::Sight;
use super::{photograph, print, task};
use crate::calibrate::photo::card::Format;
use crate::lay::{Wanted, offers};
use crate::motif::Ground;
use crate::remark::Refusal;
use crate::scene::{View, Way, proof_lengths_mm};
use crate::sheet::{CutSheet, cut_sheet};
use crate::table::save::save_whole;
use crate::table::{Bound, KeptTable};

/// Writes the cut sheet of an order.
#[derive(clap::Args, Debug)]
pub struct SheetArgs {
    /// The order file.
    pub order: PathBuf,
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
/// When order or table can't be read, or the sheet can't be written.
pub fn run(args: &SheetArgs, json: bool) -> Result<ExitCode, Refusal> {
    task::ends_in("pdf", &args.out)?;
    let name = args.order.display().to_string();
    let text = task::text_of(&args.order)?;
    let done = task::drafted(&text, &name).and_then(|drafted| {
        let kept = KeptFile::beside(&[&args.order])?;
        Ok((task::laid(&drafted, kept.as_ref())?, drafted))
    });
    let (laid, drafted) = match done {
        Ok(done) => done,
        Err(stop) => return stop.exit(json),
    };
    let kept = args.table.as_deref().map(task::table).transpose()?;
    let sight = Sight::of(&drafted.order, &args.order);
    let ground = photograph::under(&laid.lay, &drafted.order, &args.order);
    let wanted = (kept.as_ref(), sight.as_ref(), ground.as_ref(), args.paper);
    save_whole(&args.out, &pdf(&drafted, &laid, &[], wanted)?)?;
    if json {
        print::answer(serde_json::json!({"out": args.out}));
    } else {
        print::answer(format!("Cut sheet written to {}", args.out.display()));
    }
    Ok(ExitCode::SUCCESS)
}

/// The cut sheet as PDF.
///
/// # Errors
/// When it can't be made.
pub fn pdf(
    drafted: &task::Drafted,
    laid: &task::Laid,
    pictures: &[(String, RgbaImage)],
    (kept, sight, ground, paper): (Option<&KeptTable>, Option<&Sight>, Option<&Ground>, Format),
) -> Result<Vec<u8>, Refusal> {
    let error = kept.and_then(error_on_cloth);
    let wanted = Wanted::of(&drafted.pieces, &laid.lay.cloth, laid.lay.system).asking(&drafted.order.lay);
    let offers = offers(&wanted, &laid.lay);
    cut_sheet(&CutSheet {
        order: &drafted.order,
        draft: &drafted.draft,
        lay: &laid.lay,
        stages: &laid.stages,
        pictures,
        proof_mm: kept.map(|kept| proof_mm(laid, kept)).transpose()?.flatten(),
        error_on_cloth: error.as_deref(),
        table: kept,
        seen_best: sight.map(Sight::says).as_deref(),
        offers: &offers,
        pieces: &drafted.pieces,
        paper,
        ground,
    })
}

/// How long rule and diagonal of the proof are on a table.
fn proof_mm(laid: &task::Laid, kept: &KeptTable) -> Result<Option<[f64; 2]>, Refusal> {
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
