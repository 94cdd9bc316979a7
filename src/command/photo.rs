//! `chalklight photo`: readings off a photo of the thrown grid, in place of tape and mat.

use std::path::PathBuf;
use std::process::ExitCode;

use super::grid::{even_grid, read_size};
use super::{photograph, print, task};
use crate::calibrate::grid::USUAL_MARGIN;
use crate::calibrate::photo::card::Paper;
use crate::calibrate::photo::{self, Thrown};
use crate::calibrate::readings_file;
use crate::remark::{Refusal, Remark};
use crate::table::save::save_whole;
use crate::units::read_length;

/// Reads the marks' places off a photo of the thrown dots and the check cards beside them.
#[derive(clap::Args, Debug)]
pub struct PhotoArgs {
    /// The photo, PNG or JPEG.
    pub photo: PathBuf,
    /// The projector's own size, such as 1920x1080.
    #[arg(long)]
    pub size: String,
    /// Dots from left to right, as thrown.
    #[arg(long, default_value_t = 5, value_parser = clap::value_parser!(u8).range(3..=20))]
    pub columns: u8,
    /// Dots from top to bottom, as thrown.
    #[arg(long, default_value_t = 3, value_parser = clap::value_parser!(u8).range(2..=20))]
    pub rows: u8,
    /// Bare edge round the dots as thrown, as a fraction of width and height.
    #[arg(long, default_value_t = USUAL_MARGIN)]
    pub margin: f64,
    /// The card's lowest row by your tape, middle of the ring to middle of its last dot: "228.6 mm".
    #[arg(long)]
    pub row: Option<String>,
    /// The readings file to write.
    #[arg(long)]
    pub out: PathBuf,
}

/// A print whose row is further than this from its design was fitted to the page and measured wrong, or is no card.
const ROW_SHARE: f64 = 0.1;

/// Reads the photo and writes the readings. Exits 1 when cards or dots are not found in it.
///
/// # Errors
/// When the photo can't be read, or the readings can't be written.
pub fn run(args: &PhotoArgs, json: bool) -> Result<ExitCode, Refusal> {
    task::writes_over_its_like(&args.out, "set of readings", |text| readings_file::read(text).is_ok())?;
    let picture_px = read_size(&args.size)?;
    let counts = [usize::from(args.columns), usize::from(args.rows)];
    let grid = even_grid(picture_px, [args.columns, args.rows], args.margin)?;
    let paper = paper(args.row.as_deref())?;
    let name = args.photo.display().to_string();
    let photo = photograph::opened(&args.photo)?.into_luma8();
    let told = match photo::readings(&photo, &Thrown { picture_px, counts, grid }, &paper) {
        Ok(told) => told,
        Err(refusal) => return task::Stop::No(refusal.in_file(&name)).exit(json),
    };
    let readings = task::spoken(told, &name);
    save_whole(&args.out, readings_file::write(&readings).as_bytes())?;
    if json {
        let (marks, bound_mm) = (readings.readings.len(), readings.sigma_mm);
        print::answer(serde_json::json!({"out": args.out, "marks": marks, "bound95_mm": bound_mm}));
    } else {
        print::answer(format!(
            "{} marks read to {}, each within {:.2} mm (95 of 100). Now: chalklight calibrate {}",
            readings.readings.len(),
            args.out.display(),
            readings.sigma_mm,
            args.out.display()
        ));
    }
    Ok(ExitCode::SUCCESS)
}

fn paper(row: Option<&str>) -> Result<Paper, Refusal> {
    let designed = Paper::default();
    let Some(text) = row else { return Ok(designed) };
    let fault = |says: String, how: String| Refusal::because(Remark::refusal(says).field("--row").remedy(how));
    let row_mm = read_length(text).map_err(|no| fault(format!("\"{text}\" {}", no.says), no.write))?.mm;
    if (row_mm / designed.row_mm - 1.0).abs() > ROW_SHARE {
        let says = format!("a card's row is {} mm as designed, and {row_mm} mm can't be it", designed.row_mm);
        return Err(fault(says, "measure from the middle of the ring to the middle of the last dot in its row".into()));
    }
    Ok(Paper { row_mm })
}
