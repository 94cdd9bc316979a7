//! A day of the Gregorian calendar, as it is written in files: 2026-11-02.

use std::fmt;
use std::str::FromStr;

/// A day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u32,
    month: u32,
    day: u32,
}

impl FromStr for Date {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        date(text).ok_or_else(|| "write the day as year-month-day: 2026-11-02".to_owned())
    }
}

fn date(text: &str) -> Option<Date> {
    let mut parts = text.trim().split('-');
    let mut number = |digits: usize| {
        let part = parts.next()?;
        let plain = part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit());
        part.parse::<u32>().ok().filter(|_| plain)
    };
    let date = Date { year: number(4)?, month: number(2)?, day: number(2)? };
    (parts.next().is_none() && (1..=days(date.year, date.month)).contains(&date.day)).then_some(date)
}

/// How many days a month has; none where there is no such month.
fn days(year: u32, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        1..=12 => 31,
        _ => 0,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}
