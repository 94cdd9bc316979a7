//! `chalklight calibrate`: readings in, table out.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{SystemTime, UNIX_EPOCH};

use serde_json::json;

use super::task;
use crate::calibrate::advice::{self, Advice, GOOD_CUTTING_MM};
use crate::calibrate::{calibrate, readings_file, words};
use crate::remark::Refusal;
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
    task::writes_over_its_like(&args.out, "table", |text| file::read(text).is_ok())?;
    let name = args.readings.display().to_string();
    let text = task::text_of(&args.readings)?;
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
    let next =
        if fit.bound95.largest_mm > GOOD_CUTTING_MM { advice::next(&read.value, &kept, NEXT) } else { Vec::new() };
    save_whole(&args.out, file::write(&kept).as_bytes())?;
    if json {
        super::print::answer(as_json(&kept, &fit, &next));
    } else {
        super::print::answer(in_words(&fit, &args.out));
        super::print::answer(bounds_in_words(&advice::so_far(&read.value), &next));
    }
    Ok(if fit.trusted { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// So many further readings are named at once.
const NEXT: usize = 4;

fn in_words(fit: &Fit, out: &Path) -> String {
    let verdict =
        if fit.trusted { "you can cut by it" } else { "it is not trusted, and nothing is cut by it without your yes" };
    let mut says = vec![format!("Table written to {}: {verdict}.", out.display())];
    says.extend(words::left_out(fit));
    says.extend([words::bound(fit), words::agreement(fit), words::lens(fit).to_owned()]);
    says.join("\n")
}

/// The bound after each reading so far, and after each of those to come.
fn bounds_in_words(so_far: &[(usize, f64)], next: &[Advice]) -> String {
    let mut says: Vec<String> = words::so_far(so_far).into_iter().collect();
    if !next.is_empty() {
        let next: Vec<String> =
            next.iter().map(|a| format!("{} to {} (then {:.1} mm)", a.from, a.to, a.bound_mm)).collect();
        says.push(format!("The next distances worth taking: {}.", next.join(", ")));
    }
    says.join("\n")
}

fn as_json(kept: &KeptTable, fit: &Fit, next: &[Advice]) -> String {
    let lens = &kept.table.lens;
    let suspects: Vec<_> = fit
        .suspects
        .iter()
        .map(|s| json!({"reading": s.reading, "residual_mm": s.residual_mm, "says": s.says}))
        .collect();
    let next: Vec<_> = next
        .iter()
        .map(|a| json!({"from": a.from.to_string(), "to": a.to.to_string(), "bound95_mm": a.bound_mm}))
        .collect();
    json!({
        "homography": kept.table.homography.as_flattened(),
        "lens": {"centre": [lens.centre_px.x, lens.centre_px.y], "k1": lens.k1, "k2": lens.k2},
        "rms_mm": fit.rms_mm,
        "largest_mm": fit.largest_mm,
        "worst": (fit.redundancy > 0).then_some(&fit.worst),
        "redundancy": fit.redundancy,
        "bound95_mm": {"largest": fit.bound95.largest_mm, "mean": fit.bound95.mean_mm},
        "model": fit.model,
        "noise": fit.noise,
        "suspects": suspects,
        "next": next,
        "trusted": fit.trusted,
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
