//! `chalklight calibrate`: readings in, table out.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{SystemTime, UNIX_EPOCH};

use serde_json::json;

use crate::calibrate::{calibrate, readings_file};
use crate::remark::{Refusal, Remark};
use crate::table::save::save_whole;
use crate::table::{Fit, KeptTable, file};

/// Solves a table from readings.
#[derive(clap::Args, Debug)]
pub struct CalibrateArgs {
    /// The readings file.
    pub readings: PathBuf,
    /// The table file to write.
    #[arg(long)]
    pub out: PathBuf,
}

/// Solves, writes the table, and says how good it is. Exits 1 when the table is not trusted.
///
/// # Errors
/// When the readings can't be read or don't fix a table, or the table can't be written.
pub fn run(args: &CalibrateArgs, json: bool) -> Result<ExitCode, Refusal> {
    let name = args.readings.display().to_string();
    let text = read_text(&args.readings)?;
    let read = readings_file::read(&text).map_err(|r| r.in_file(&name))?;
    let solved = calibrate(&read.value).map_err(|r| r.in_file(&name))?;
    for mut remark in read.remarks.into_iter().chain(solved.remarks) {
        remark.place.file.get_or_insert_with(|| name.clone());
        eprintln!("{remark}");
    }
    let mut kept = solved.value;
    let Some(fit) = &mut kept.fit else { return Ok(ExitCode::FAILURE) };
    fit.date = Some(today());
    let fit = fit.clone();
    save_whole(&args.out, file::write(&kept).as_bytes())?;
    println!("{}", if json { as_json(&kept, &fit) } else { in_words(&fit, &args.out) });
    Ok(if fit.is_trusted() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The text of one of her files.
///
/// # Errors
/// When it can't be read, with what to do.
pub fn read_text(path: &Path) -> Result<String, Refusal> {
    std::fs::read_to_string(path).map_err(|error| {
        Refusal::because(
            Remark::refusal(format!("can't be read: {error}"))
                .file(path.display().to_string())
                .remedy("look at the file's name and that it is plain text"),
        )
    })
}

fn in_words(fit: &Fit, out: &Path) -> String {
    let verdict = if fit.is_trusted() { "trusted" } else { "not trusted" };
    format!(
        "Table written to {}: {verdict}.\nResiduals {:.2} mm rms, largest {:.2} mm at {}; {} readings to spare.",
        out.display(),
        fit.rms_mm,
        fit.largest_mm,
        fit.worst,
        fit.redundancy
    )
}

fn as_json(kept: &KeptTable, fit: &Fit) -> String {
    let lens = &kept.table.lens;
    let suspects: Vec<_> = fit
        .suspects
        .iter()
        .map(|s| json!({"reading": s.reading, "residual_mm": s.residual_mm, "says": s.says}))
        .collect();
    json!({
        "homography": kept.table.homography.as_flattened(),
        "lens": {"centre": [lens.centre_px.x, lens.centre_px.y], "k1": lens.k1, "k2": lens.k2},
        "rms_mm": fit.rms_mm,
        "largest_mm": fit.largest_mm,
        "worst": fit.worst,
        "redundancy": fit.redundancy,
        "model": fit.model,
        "suspects": suspects,
        "trusted": fit.is_trusted(),
    })
    .to_string()
}

/// Today in UTC, as `2026-11-25`.
pub fn today() -> String {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    let (year, month, day) = civil(seconds / 86_400);
    format!("{year:04}-{month:02}-{day:02}")
}

/// The Gregorian date of a count of days since 1970-01-01, by eras of 400 years that begin on 1 March.
fn civil(days: u64) -> (u64, u64, u64) {
    let from_march_0000 = days + 719_468;
    let (era, day_of_era) = (from_march_0000 / 146_097, from_march_0000 % 146_097);
    let year_of_era = (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let march_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * march_month + 2) / 5 + 1;
    let month = if march_month < 10 { march_month + 3 } else { march_month - 9 };
    (era * 400 + year_of_era + u64::from(month <= 2), month, day)
}

#[cfg(test)]
mod tests {
    use super::civil;

    #[test]
    fn days_are_dated() {
        // Days since 1970 by `date -d @$((86400*N)) -u`.
        for (days, date) in [
            (0, (1970, 1, 1)),
            (11_016, (2000, 2, 29)),
            (19_782, (2024, 2, 29)),
            (20_782, (2026, 11, 25)),
            (47_540, (2100, 2, 28)),
            (47_541, (2100, 3, 1)),
        ] {
            assert_eq!(civil(days), date);
        }
    }
}
