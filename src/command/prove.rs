//! `chalklight prove`: has the projector been knocked since the table was calibrated?

use std::path::PathBuf;
use std::process::ExitCode;

use serde_json::{Value, json};

use super::{print, task};
use crate::calibrate::proof::{self, Change, Gap, Proof};
use crate::remark::{Refusal, Remark, Weight};
use crate::table::save::save_whole;
use crate::table::{KeptTable, Kind, MarkName, Reading, file};
use crate::units::read_length;

/// Proves a table by a few distances; without any, names those that are worth taking.
#[derive(clap::Args, Debug)]
pub struct ProveArgs {
    /// The table file.
    pub table: PathBuf,
    /// A distance as the tape says it: "A1 A5 1204.5 mm".
    #[arg(long = "distance", value_name = "DISTANCE", value_parser = distance)]
    pub distances: Vec<Reading>,
    /// Where a corrected table is written, when one change explains everything.
    #[arg(long, requires = "distances")]
    pub out: Option<PathBuf>,
}

/// Reads `A1 A5 1204.5 mm`, or `A1 to A5 1204.5 mm`.
fn distance(text: &str) -> Result<Reading, String> {
    let how = "write two marks and a length, such as \"A1 A5 1204.5 mm\"";
    let (from, rest) = text.trim().split_once(' ').ok_or(how)?;
    let rest = rest.trim_start();
    let (to, length) = rest.strip_prefix("to ").unwrap_or(rest).trim_start().split_once(' ').ok_or(how)?;
    let mark = |name: &str| name.parse::<MarkName>().map_err(|_| format!("{name} is no mark; {how}"));
    let distance_mm = read_length(length).map_err(|no| format!("\"{length}\" {no}"))?.mm;
    let (from, to) = (mark(from)?, mark(to)?);
    if from == to || distance_mm <= 0.0 {
        return Err(format!("that is no distance between two marks; {how}"));
    }
    Ok(Reading { kind: Kind::Distance { from, to, distance_mm }, height_mm: 0.0 })
}

/// Says whether the table holds. Exits 1 when it was moved, no longer holds, or can't be proved.
///
/// # Errors
/// When the table can't be read, has no such mark, or the corrected one can't be written.
pub fn run(args: &ProveArgs, json: bool) -> Result<ExitCode, Refusal> {
    let name = args.table.display().to_string();
    let kept = task::table(&args.table)?;
    let worth = proof::distances(&kept);
    if worth.is_empty() {
        let remark = Remark { weight: Weight::Refusal, ..proof::nothing_to_prove_by().file(name) };
        return task::Stop::No(Refusal::because(remark)).exit(json);
    }
    if args.distances.is_empty() {
        say_worth(&kept, &worth, json);
        return Ok(ExitCode::SUCCESS);
    }
    let (Some(gaps), Some(found)) = (proof::compare(&kept, &args.distances), proof::prove(&kept, &args.distances))
    else {
        let remark = Remark::refusal("one of these marks is not among the table's").file(name);
        return Err(Refusal::because(remark.remedy("look at the grid that it was measured with")));
    };
    let written = match &found {
        Proof::Moved(change, _) => corrected(args, &kept, change)?,
        _ => None,
    };
    if json {
        print::answer(as_json(&found, &gaps, written));
    } else {
        print::answer(in_words(&found, &gaps));
        if let Some(path) = written {
            print::answer(format!("The corrected table is written to {}.", path.display()));
        }
    }
    Ok(if found == Proof::Holds { ExitCode::SUCCESS } else { ExitCode::from(1) })
}

/// Writes the corrected table where she asked for it, but not over the old one.
fn corrected<'a>(args: &'a ProveArgs, kept: &KeptTable, change: &Change) -> Result<Option<&'a PathBuf>, Refusal> {
    let Some(out) = &args.out else { return Ok(None) };
    let same = |path: &PathBuf| path.canonicalize().unwrap_or_else(|_| path.clone());
    if same(out) == same(&args.table) {
        let remark = Remark::refusal("the corrected table would be written over the old one");
        return Err(Refusal::because(remark.file(out.display().to_string()).remedy("give it another name")));
    }
    task::writes_over_its_like(out, "table", |text| file::read(text).is_ok())?;
    let Some(made) = change.made(kept) else { return Ok(None) };
    save_whole(out, file::write(&made).as_bytes())?;
    Ok(Some(out))
}

fn say_worth(kept: &KeptTable, worth: &[[MarkName; 2]], json: bool) {
    let expected = |pair: &[MarkName; 2]| Some((*pair, proof::expected(kept, *pair, worth.len())?));
    let worth = worth.iter().filter_map(expected);
    if json {
        let entry = |([from, to], [should_mm, allowed_mm]): ([MarkName; 2], [f64; 2])| json!({"from": from.to_string(), "to": to.to_string(), "should_mm": should_mm, "allowed_mm": allowed_mm});
        print::answer(json!({"distances": worth.map(entry).collect::<Vec<_>>()}));
        return;
    }
    let mut text = "Throw the grid and measure these on the bare table:".to_owned();
    for ([from, to], [should_mm, allowed_mm]) in worth {
        text += &format!("\n  {from} to {to}  should be {should_mm:.1} mm; up to {allowed_mm:.1} mm off is chance");
    }
    print::answer(text + "\nThen give them back, each as --distance \"A1 A5 1204.5 mm\".");
}

fn in_words(found: &Proof, gaps: &[Gap]) -> String {
    let mut text = match found {
        Proof::Holds => "The table holds.".to_owned(),
        Proof::Moved(_, remark) | Proof::Broken(remark) => remark.to_string(),
    };
    for gap in gaps {
        let (off_mm, told_mm) = (gap.off_mm(), gap.told_mm().unwrap_or_default());
        text += &format!(
            "\n  {}  should be {told_mm:.1} mm and is {off_mm:+.1} mm off; up to {:.1} mm is chance",
            gap.name,
            gap.allowed_mm()
        );
    }
    text
}

fn as_json(found: &Proof, gaps: &[Gap], written: Option<&PathBuf>) -> Value {
    let (verdict, says, growth) = match found {
        Proof::Holds => ("holds", None, None),
        Proof::Moved(change, remark) => ("moved", Some(&remark.sentence), Some(change.growth_share)),
        Proof::Broken(remark) => ("broken", Some(&remark.sentence), None),
    };
    let entry = |gap: &Gap| {
        json!({
            "distance": gap.name,
            "should_mm": gap.told_mm(),
            "off_mm": gap.off_mm(),
            "allowed_mm": gap.allowed_mm(),
        })
    };
    json!({
        "verdict": verdict,
        "says": says,
        "growth": growth,
        "distances": gaps.iter().map(entry).collect::<Vec<_>>(),
        "out": written.map(|path| path.display().to_string()),
    })
}
