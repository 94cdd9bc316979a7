//! `chalklight locate`: where a point of the table is in the picture, and back.

use std::io::{BufRead, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use super::task::text_of;
use crate::geometry::Point;
use crate::remark::{Refusal, Remark};
use crate::table::{Table, file};

/// Maps points read from stdin, one `x y` a line.
#[derive(clap::Args, Debug)]
pub struct LocateArgs {
    /// The table file.
    pub table: PathBuf,
    /// Height of the stack above the table, in mm.
    #[arg(long, default_value_t = 0.0)]
    pub height: f64,
    /// From pixel to table instead of from table to pixel.
    #[arg(long)]
    pub back: bool,
}

/// Writes the mapped pair of every pair read.
///
/// # Errors
/// When the table or a line can't be read, or a point can't be reached.
pub fn run(args: &LocateArgs, json: bool) -> Result<ExitCode, Refusal> {
    let name = args.table.display().to_string();
    let kept = file::read(&text_of(&args.table)?).map_err(|r| r.in_file(&name))?.value;
    let table = &kept.table;
    check_height(table, args.height, &name)?;
    let mut pairs = Vec::new();
    let mut out = std::io::stdout().lock();
    for (index, line) in std::io::stdin().lock().lines().enumerate() {
        let line = line.map_err(|e| unreadable(index, &format!("can't be read: {e}")))?;
        if line.trim().is_empty() {
            continue;
        }
        let [x, y] =
            read_pair(&line).ok_or_else(|| unreadable(index, &format!("'{}' is no pair of numbers", line.trim())))?;
        let mapped =
            map(table, args, [x, y]).ok_or_else(|| unreadable(index, "this point can't be reached by the light"))?;
        if json {
            pairs.push(mapped);
        } else if writeln!(out, "{} {}", nine_digits(mapped[0]), nine_digits(mapped[1])).is_err() {
            return Ok(ExitCode::SUCCESS);
        }
    }
    if json {
        super::print::answer(serde_json::json!({ "points": pairs }));
    }
    Ok(ExitCode::SUCCESS)
}

fn map(table: &Table, args: &LocateArgs, [x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let mapped = if args.back {
        table.mm_from_px_at(Point::new(x, y), args.height)?.to_array()
    } else {
        table.px_from_mm_at(Point::new(x, y), args.height)?.to_array()
    };
    mapped.iter().all(|v| v.is_finite()).then_some(mapped)
}

fn check_height(table: &Table, height_mm: f64, name: &str) -> Result<(), Refusal> {
    let refuse =
        |says: &str, how: &str| Err(Refusal::because(Remark::refusal(says).file(name).field("--height").remedy(how)));
    match table.stand {
        _ if !height_mm.is_finite() || height_mm < 0.0 => {
            refuse("a stack's height is a number of mm, 0 or more", "write it as --height 5")
        }
        None if height_mm > 0.0 => {
            refuse("this table doesn't know where the lens stands", "add foot and height to its [lens]")
        }
        Some(stand) if height_mm >= stand.height_mm => refuse("this stack is higher than the lens", "write it in mm"),
        _ => Ok(()),
    }
}

fn read_pair(line: &str) -> Option<[f64; 2]> {
    let mut numbers = line.split(|c: char| c.is_whitespace() || c == ',').filter(|part| !part.is_empty());
    let mut next = || numbers.next()?.parse::<f64>().ok().filter(|v| v.is_finite());
    let pair = [next()?, next()?];
    numbers.next().is_none().then_some(pair)
}

fn unreadable(index: usize, says: &str) -> Refusal {
    Refusal::because(
        Remark::refusal(says).file("stdin").line(index + 1).remedy("write two numbers a line, such as 250 120.5"),
    )
}

/// Nine significant digits, never in exponent form.
fn nine_digits(value: f64) -> String {
    if value == 0.0 {
        return "0.00000000".to_owned();
    }
    let magnitude = value.abs().log10().floor() as i32;
    format!("{value:.*}", (8 - magnitude).clamp(0, 30) as usize)
}

#[cfg(test)]
mod tests {
    use super::nine_digits;

    #[test]
    fn nine_digits_are_written() {
        assert_eq!(nine_digits(1_234.567_890_123), "1234.56789");
        assert_eq!(nine_digits(-0.001_234_567_890_12), "-0.00123456789");
        assert_eq!(nine_digits(123_456_789_012.0), "123456789012");
        assert_eq!(nine_digits(0.0), "0.00000000");
    }
}
