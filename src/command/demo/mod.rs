//! `chalklight demo`: the whole job on the built-in order and readings, without a projector.
//!
//! Everything is worked out anew by the same functions that the other commands call; nothing is kept ready but the
//! order and the readings, which are written out beside the results so that they can be changed and tried again.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use image::RgbaImage;
use serde_json::json;

use super::frame::{Stand, room, save_picture, stack_mm};
use super::task::{self, Drafted, Laid};
use super::{draft, lay, print, sheet};
use crate::above::{self, Spread};
use crate::calibrate::photo::card::Format;
use crate::calibrate::{calibrate, readings_file};
use crate::remark::{Refusal, Remark, why_not};
use crate::scene::Way;
use crate::sheet::svg;
use crate::table::save::save_whole;
use crate::table::{KeptTable, file};

const ORDER: &str = include_str!("order.toml");
const READINGS: &str = include_str!("../../../calibration/readings/demo.toml");

/// How finely the table is looked at from above: a millimetre a pixel.
const ABOVE_PX_PER_MM: f64 = 1.0;

/// What is shown of the table beyond the light.
const AROUND_MM: f64 = 40.0;

/// Does the whole job without a projector.
#[derive(clap::Args, Debug)]
pub struct DemoArgs {
    /// The folder to write to.
    #[arg(long)]
    pub out: PathBuf,
}

/// Does the whole job and says where to look.
///
/// # Errors
/// When the folder can't be written to, or there is nothing to draw with.
pub fn run(args: &DemoArgs, json: bool) -> Result<ExitCode, Refusal> {
    let folder = &args.out;
    std::fs::create_dir_all(folder).map_err(|error| {
        let remark = Remark::refusal(format!("the folder can't be made: {}", why_not(&error)))
            .file(folder.display().to_string());
        Refusal::because(remark.remedy("name another folder with --out"))
    })?;
    save_whole(&folder.join("order.toml"), ORDER.as_bytes())?;
    save_whole(&folder.join("readings.toml"), READINGS.as_bytes())?;
    let drafted = match task::drafted(ORDER, "order.toml") {
        Ok(drafted) => drafted,
        Err(stop) => return stop.exit(json),
    };
    let laid = match task::laid(&drafted, None) {
        Ok(laid) => laid,
        Err(stop) => return stop.exit(json),
    };
    let kept = table(folder)?;
    let seen = pictures(folder, &drafted, &laid, &kept)?;
    paper(folder, &drafted, &laid, (&seen, &kept))?;
    summary(folder, &drafted, &laid, &kept, json);
    let good = drafted.draft.checks.iter().all(|check| check.ok) && kept.fit.as_ref().is_some_and(|fit| fit.trusted);
    Ok(if good { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

fn table(folder: &Path) -> Result<KeptTable, Refusal> {
    let readings = readings_file::read(READINGS).map_err(|refusal| refusal.in_file("readings.toml"))?;
    let kept = calibrate(&readings.value).map_err(|refusal| refusal.in_file("readings.toml"))?;
    let kept = task::spoken(kept, "readings.toml");
    save_whole(&folder.join("table.toml"), file::write(&kept).as_bytes())?;
    Ok(kept)
}

/// The cut sheet, and draft and lay at true size.
fn paper(
    folder: &Path,
    drafted: &Drafted,
    laid: &Laid,
    (seen, kept): (&[(String, RgbaImage)], &KeptTable),
) -> Result<(), Refusal> {
    save_whole(&folder.join("draft.svg"), svg::draft(&drafted.draft, &drafted.pieces).as_bytes())?;
    save_whole(&folder.join("lay.svg"), svg::lay(&laid.lay).as_bytes())?;
    let all = std::slice::from_ref(drafted);
    save_whole(&folder.join("cut-sheet.pdf"), &sheet::pdf(all, laid, seen, (Some(kept), None, None, Format::A4))?)
}

/// Every stage as thrown, and as seen from above; the latter are handed on with their captions.
fn pictures(
    folder: &Path,
    drafted: &Drafted,
    laid: &Laid,
    kept: &KeptTable,
) -> Result<Vec<(String, RgbaImage)>, Refusal> {
    let stand = Stand::new(&kept.table, drafted.order.system, Way::LightOnDark)?;
    stand.beyond_light(&laid.stages).into_iter().for_each(|doubt| task::say(doubt, "order.toml"));
    let lit = room(&kept.table)?;
    let view = above::View {
        from_mm: lit.low_mm - crate::geometry::Vector::new(AROUND_MM, AROUND_MM),
        size_mm: [lit.width_mm() + 2.0 * AROUND_MM, lit.depth_mm() + 2.0 * AROUND_MM],
        px_per_mm: ABOVE_PX_PER_MM,
    };
    let mut all = Vec::new();
    for (i, stage) in laid.stages.iter().enumerate() {
        let number = i + 1;
        let thrown = stand.picture(stage, number)?;
        save_picture(&folder.join(format!("stage-{number}.png")), &thrown)?;
        let spread = Spread {
            size_mm: [laid.lay.length_mm, laid.lay.folded_width_mm],
            pose: stand.pose(),
            stack_mm: stack_mm(&kept.table, stage),
        };
        let seen = above::seen(&thrown, &kept.table, Some(spread), view);
        save_picture(&folder.join(format!("above-{number}.png")), &seen)?;
        all.push((format!("{number}  {}, as seen on the cloth", stage.title), seen));
    }
    Ok(all)
}

/// What a person wants to know at the end.
fn summary(folder: &Path, drafted: &Drafted, laid: &Laid, kept: &KeptTable, json: bool) {
    let lay = &laid.lay;
    if json {
        print::answer(json!({
            "cloth_used_mm": lay.used_mm,
            "checks_passed": drafted.draft.checks.iter().all(|check| check.ok),
            "bound95_mm": kept.fit.as_ref().map(|fit| json!({"largest": fit.bound95.largest_mm, "mean": fit.bound95.mean_mm})),
            "stages": laid.stages.len(),
            "out": folder,
        }));
        return;
    }
    let sentences: Vec<String> =
        laid.stages.iter().enumerate().map(|(i, stage)| format!("{}  {}", i + 1, stage.sentence)).collect();
    print::answer(format!(
        "{}\n{}\n{}\n\n\
         Cloth needed   {}\n\
         Table          {}\n\
         Look at        {}: cut-sheet.pdf, stage-N.png as thrown, above-N.png as seen on the cloth\n\
         Never look up into a projector's lens; hang it as its manual and local codes say.",
        draft::in_words(&drafted.draft, false),
        lay::in_words(lay),
        sentences.join("\n"),
        lay.system.show_cut_from_bolt(lay.to_buy_mm()),
        sheet::error_on_cloth(kept).unwrap_or_else(|| "not measured".into()),
        folder.display()
    ));
}
