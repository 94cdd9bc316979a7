//! How old a table is, in words.

/// The day's number of a date such as `2026-11-25`, counted by eras of 400 years that begin on 1 March.
fn day(date: &str) -> Option<i64> {
    let mut parts = date.trim().splitn(3, '-').map(|part| part.parse::<i64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    if !(0..=9999).contains(&year) || !(1..=12).contains(&month) || !(1..=31).contains(&day) {
        return None;
    }
    let year = if month <= 2 { year - 1 } else { year };
    let of_era = year.rem_euclid(400);
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    Some(year.div_euclid(400) * 146_097 + 365 * of_era + of_era / 4 - of_era / 100 + of_year)
}

/// How long ago a date is: `12 days ago`. None when either can't be read.
pub fn ago(date: &str, today: &str) -> Option<String> {
    let days = day(today)? - day(date)?;
    Some(match days {
        0 => "today".into(),
        1 => "yesterday".into(),
        2..60 => format!("{days} days ago"),
        60.. => format!("{} months ago", days * 12 / 365),
        _ => "in days to come; look at the computer's clock".into(),
    })
}

/// How old a table of this date is, in a sentence; and what to do where that can't be told.
pub fn in_words(date: Option<&str>, today: &str) -> String {
    let unknown = |why: String| {
        format!("{why}, so how old it is isn't known: prove it below before you cut by it, or measure it anew.")
    };
    let Some(date) = date else { return unknown("It has no date".into()) };
    match ago(date, today) {
        Some(ago) => format!("Measured {ago}, on {date}."),
        None if day(date).is_none() => unknown(format!("Its date, {date}, is none")),
        None => format!("Measured on {date}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_leap_years() {
        // Days since 1970 by `date -d DATE -u +%s` / 86400.
        for (date, days) in [
            ("1970-01-01", 0),
            ("2000-02-29", 11_016),
            ("2024-02-29", 19_782),
            ("2026-11-25", 20_782),
            ("2100-03-01", 47_541),
        ] {
            assert_eq!(day(date).zip(day("1970-01-01")).map(|(a, b)| a - b), Some(days), "{date}");
        }
        assert_eq!(ago("2026-11-13", "2026-11-25").as_deref(), Some("12 days ago"));
        assert_eq!(ago("2026-11-25", "2026-11-25").as_deref(), Some("today"));
        assert_eq!(ago("2025-11-25", "2026-11-25").as_deref(), Some("12 months ago"));
        assert_eq!(ago("last week", "2026-11-25"), None);
        assert_eq!(ago("2026-13-01", "2026-11-25"), None);
    }

    #[test]
    fn a_table_without_a_date_says_so_and_what_to_do() {
        for (date, says) in [(None, "It has no date"), (Some("last week"), "Its date, last week, is none")] {
            let words = in_words(date, "2026-11-25");
            assert!(words.starts_with(says) && words.contains("isn't known: prove it below"), "{words}");
        }
        assert_eq!(in_words(Some("2026-11-24"), "2026-11-25"), "Measured yesterday, on 2026-11-24.");
        assert_eq!(in_words(Some("2026-11-24"), ""), "Measured on 2026-11-24.");
    }
}
