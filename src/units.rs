//! Lengths as people write them, read into millimetres and printed back.
//!
//! Everything behind this file is f64 millimetres with the unit in the name. A bare number is refused: 82 of what?
//! Half inches come as fractions, as one-character fractions and as decimals; each inch fraction down to 1/64 is exact.

use std::fmt;

/// One inch, exactly (international yard and pound agreement, 1959).
pub const INCH_MM: f64 = 25.4;

/// Eighths are what a dressmaker's tape is read to.
const INCH_PARTS: u32 = 8;

/// The unit system of an order; output follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Centimetres, to the millimetre.
    Metric,
    /// Inches, to the nearest eighth.
    Inch,
}

/// A length that was read, with the system it was written in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    /// The length.
    pub mm: f64,
    /// How she wrote it.
    pub system: System,
}

/// Why a text is no length: what is wrong with it, and what to write.
#[derive(Clone, Debug, PartialEq)]
pub struct NoLength {
    /// What is wrong, to follow on the text in quotes: `has no unit`.
    pub says: String,
    /// What to write instead.
    pub write: String,
    /// The number, where nothing is wrong but that it has no unit.
    pub bare: Option<f64>,
}

/// The units, each with the names it goes by.
const UNITS: [(&[&str], f64, System); 6] = [
    (&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 1.0, System::Metric),
    (&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], 10.0, System::Metric),
    (&["m", "metre", "metres", "meter", "meters"], 1000.0, System::Metric),
    (&["in", "in.", "inch", "inches", "\""], INCH_MM, System::Inch),
    (&["ft", "ft.", "foot", "feet", "'"], 12.0 * INCH_MM, System::Inch),
    (&["yd", "yd.", "yds", "yard", "yards"], 36.0 * INCH_MM, System::Inch),
];

/// One-character fractions (Unicode "Number Forms" and Latin-1).
const FRACTIONS: [(char, &str); 17] = [
    ('¼', "1/4"),
    ('½', "1/2"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅒', "1/10"),
    ('⅑', "1/9"),
];

/// Rounding noise that must not cost another step when a length is rounded up.
const NOISE_MM: f64 = 1e-6;

/// A measured curve this little below the middle between two steps is printed as if it lay on it, so that the same
/// length is not printed in two ways.
const TIE_MM: f64 = 1e-3;

/// Longest text that can be a length; anything longer is a slip of the paste key.
const LONGEST_TEXT: usize = 60;

/// Reads a length: `92 cm`, `36 1/4 in`, `36¼"`, `5 ft 3 in`, `4 yd`, `1.5 m`. A leading minus is read as such.
///
/// # Errors
/// When the text has no number, no unit, or more than one meaning.
pub fn read_length(text: &str) -> Result<Length, NoLength> {
    if text.chars().count() > LONGEST_TEXT {
        return Err(no_length("is too long for a length"));
    }
    let plain = plainly(text);
    let (negative, body) = match plain.trim().strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, plain.trim()),
    };
    if body.is_empty() {
        return Err(no_length("is empty"));
    }
    let mut rest = body;
    let mut mm = 0.0;
    let mut last_unit_mm = f64::INFINITY;
    let mut system = System::Metric;
    while !rest.is_empty() {
        let (number, after) = take_number(rest)?;
        let written = rest[..rest.len() - after.len()].trim();
        let (unit_mm, unit_system, after) = take_unit(after).ok_or_else(|| match written.contains('/') {
            true => fraction_without_unit(written),
            false => without_unit(number),
        })??;
        if unit_mm >= last_unit_mm || (last_unit_mm.is_finite() && unit_system != system) {
            return Err(no_length("has its units in no order that can be read"));
        }
        mm += number * unit_mm;
        last_unit_mm = unit_mm;
        system = unit_system;
        rest = after.trim_start();
    }
    if !mm.is_finite() {
        return Err(no_length("is not a finite number"));
    }
    Ok(Length { mm: if negative { -mm } else { mm }, system })
}

/// The text with one-character fractions, primes and no-break spaces written plainly.
fn plainly(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if let Some((_, fraction)) = FRACTIONS.iter().find(|(one, _)| *one == c) {
            plain.push(' ');
            plain.push_str(fraction);
            continue;
        }
        plain.push(match c {
            '\u{2044}' => '/',
            '\u{2033}' | '\u{201c}' | '\u{201d}' => '"',
            '\u{2032}' | '\u{2018}' | '\u{2019}' => '\'',
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => ' ',
            other => other,
        });
    }
    plain.replace("''", "\"")
}

/// A whole number, decimal, fraction or mixed number at the start of `text`, and what follows it.
fn take_number(text: &str) -> Result<(f64, &str), NoLength> {
    let (first, after) = take_digits(text);
    if first.is_empty() {
        let shown: String = text.chars().take(12).collect();
        return Err(no_length(&format!("has no number at '{shown}'")));
    }
    let whole = decimal(first)?;
    if let Some(denominator) = after.strip_prefix('/') {
        return fraction(first, denominator);
    }
    let joined = after.strip_prefix('-').map(str::trim_start);
    let next = joined.unwrap_or(after.trim_start());
    let (numerator, after_numerator) = take_digits(next);
    match after_numerator.strip_prefix('/') {
        Some(denominator) if !numerator.is_empty() => {
            if first.contains(['.', ',']) {
                return Err(no_length("mixes a decimal and a fraction"));
            }
            let (part, rest) = fraction(numerator, denominator)?;
            if part >= 1.0 {
                return Err(no_length("has a fraction that is not below one"));
            }
            Ok((whole + part, rest))
        }
        _ if joined.is_some() => Err(no_length("has a dash without a fraction behind it")),
        _ => Ok((whole, after)),
    }
}

fn take_digits(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(text.len());
    text.split_at(end)
}

/// A decimal with a point or a comma, but not with both or with thousands marks.
fn decimal(digits: &str) -> Result<f64, NoLength> {
    let marks = digits.matches(['.', ',']).count();
    if marks > 1 {
        return Err(no_length("has more than one decimal mark"));
    }
    digits.replace(',', ".").parse().map_err(|_| no_length("has no number that can be read"))
}

fn fraction<'a>(numerator: &str, after_slash: &'a str) -> Result<(f64, &'a str), NoLength> {
    let (denominator, rest) = take_digits(after_slash);
    let whole = |digits: &str| digits.parse::<u32>().ok();
    match (whole(numerator), whole(denominator)) {
        (Some(_), Some(0)) => Err(no_length("has a fraction over nought")),
        (Some(n), Some(d)) => Ok((f64::from(n) / f64::from(d), rest)),
        _ => Err(no_length("has a fraction that can't be read")),
    }
}

/// The unit at the start of `text`, and what follows it; nothing when the text is at its end.
fn take_unit(text: &str) -> Option<Result<(f64, System, &str), NoLength>> {
    let text = text.trim_start();
    let end = if text.starts_with(['"', '\'']) {
        1
    } else {
        text.find(|c: char| !(c.is_alphabetic() || c == '.')).unwrap_or(text.len())
    };
    let (name, rest) = text.split_at(end);
    if name.is_empty() {
        let unread: String = rest.chars().take(12).collect();
        return (!rest.is_empty()).then(|| Err(no_length(&format!("can't be read at '{unread}'"))));
    }
    let known = UNITS.iter().find(|(names, ..)| names.contains(&name.to_lowercase().as_str()));
    Some(match known {
        Some((_, mm, system)) => Ok((*mm, *system, rest)),
        None if name.eq_ignore_ascii_case("e") => Err(no_length("is written with a power of ten")),
        None => Err(no_length(&format!("has the unit '{name}', which is not known"))),
    })
}

/// What is wrong with a bare fraction: only inches are written so.
fn fraction_without_unit(written: &str) -> NoLength {
    NoLength { write: format!("write \"{written} in\""), ..no_length("has no unit") }
}

/// What is wrong with a bare number, and what to write for it.
pub fn without_unit(number: f64) -> NoLength {
    NoLength {
        write: format!("write \"{} cm\" or \"{}\"", trimmed(number), System::Inch.show(number * 10.0)),
        bare: Some(number),
        ..no_length("has no unit")
    }
}

/// What to write for a bare number: in every unit with which it lies in a range that is believed, those that go by the name
/// `own`, as what is written beside it, first; in that alone where it lies there with none, or no range is known.
pub fn with_likely_unit(number: f64, own: Option<&str>, believed_mm: Option<[f64; 2]>) -> String {
    let is_believed = |unit_mm: f64| believed_mm.is_some_and(|[low, high]| (low..=high).contains(&(number * unit_mm)));
    let believed = UNITS.iter().filter(|(_, unit_mm, _)| is_believed(*unit_mm)).map(|(names, ..)| names[0]);
    // Nobody measures cloth or body in feet alone.
    let mut names: Vec<&str> = believed.filter(|name| *name != "ft").collect();
    names.sort_by_key(|name| Some(*name) != own);
    if names.is_empty() {
        names.extend(own);
    }
    let written: Vec<String> = names.iter().map(|name| format!("\"{} {name}\"", trimmed(number))).collect();
    if written.is_empty() { without_unit(number).write } else { format!("write {}", written.join(" or ")) }
}

/// The name of the unit that most of the lengths in a text in quotes have; none where it has no length.
pub fn unit_of_most(text: &str) -> Option<&'static str> {
    let unit = |quoted: &str| {
        read_length(quoted).ok()?;
        let name = quoted.trim().trim_start_matches(|c: char| !c.is_alphabetic()).to_lowercase();
        Some(UNITS.iter().find(|(names, ..)| names.contains(&name.as_str()))?.0[0])
    };
    let units: Vec<&str> = text.split('"').filter_map(unit).collect();
    let count = |name: &str| units.iter().filter(|unit| **unit == name).count();
    UNITS.iter().map(|(names, ..)| names[0]).filter(|name| count(name) > 0).max_by_key(|name| count(name))
}

fn no_length(says: &str) -> NoLength {
    NoLength {
        says: says.into(),
        bare: None,
        write: "write a number and a unit, such as \"92 cm\" or \"36 1/4 in\"".into(),
    }
}

impl fmt::Display for NoLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.says, self.write)
    }
}

impl std::error::Error for NoLength {}

/// A decimal without needless zeros.
fn trimmed(number: f64) -> String {
    let fixed = format!("{number:.3}");
    fixed.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl System {
    /// The system of more than half of what was written; metric where neither has more.
    pub fn of_most(written: impl IntoIterator<Item = Self>) -> Self {
        let (inches, all) = written
            .into_iter()
            .fold((0, 0), |(inches, all), system| (inches + usize::from(system == Self::Inch), all + 1));
        if 2 * inches > all { Self::Inch } else { Self::Metric }
    }

    /// The length in this system: to the nearest eighth of an inch, or to the millimetre in centimetres.
    pub fn show(self, mm: f64) -> String {
        match self {
            Self::Metric => format!("{} cm", trimmed((mm + TIE_MM.copysign(mm)).round() / 10.0 + 0.0)),
            Self::Inch => inches(mm, INCH_PARTS),
        }
    }

    /// The length as [`System::show`] prints it, rounded up: what is advised must be enough as it is written.
    pub fn show_at_least(self, mm: f64) -> String {
        self.show(self.at_least_mm(mm))
    }

    /// The next length that [`System::show`] prints without rounding.
    pub fn at_least_mm(self, mm: f64) -> f64 {
        let step_mm = match self {
            Self::Metric => 1.0,
            Self::Inch => INCH_MM / f64::from(INCH_PARTS),
        };
        ((mm - NOISE_MM) / step_mm).ceil() * step_mm
    }

    /// The longest length that [`System::show`] prints without rounding, and that is no longer.
    pub fn at_most_mm(self, mm: f64) -> f64 {
        -self.at_least_mm(-mm)
    }

    /// The length as [`System::show`] prints it, rounded down: what is allowed at most must be no more as it is written.
    pub fn show_at_most(self, mm: f64) -> String {
        self.show(self.at_most_mm(mm))
    }

    /// The length one step finer than [`System::show`]: to the sixteenth of an inch, or to the tenth of a millimetre.
    pub fn show_fine(self, mm: f64) -> String {
        match self {
            Self::Metric => format!("{} mm", trimmed((mm * 10.0).round() / 10.0)),
            Self::Inch => inches(mm, 2 * INCH_PARTS),
        }
    }

    /// One step of what is moved by hand: a millimetre, or the sixteenth of an inch.
    pub fn hand_step_mm(self) -> f64 {
        match self {
            Self::Metric => 1.0,
            Self::Inch => INCH_MM / f64::from(2 * INCH_PARTS),
        }
    }

    /// A length of cloth as a shop cuts it, rounded up: to 10 cm, or to the eighth of a yard.
    pub fn cut_from_bolt_mm(self, mm: f64) -> f64 {
        let step_mm = self.bolt_step_mm();
        ((mm - NOISE_MM) / step_mm).ceil().max(0.0) * step_mm
    }

    /// The length as [`System::cut_from_bolt_mm`] rounds it, in metres or yards.
    pub fn show_cut_from_bolt(self, mm: f64) -> String {
        let cut_mm = self.cut_from_bolt_mm(mm);
        match self {
            Self::Metric => format!("{:.2} m", cut_mm / 1000.0),
            Self::Inch => format!("{} yd", mixed((cut_mm / self.bolt_step_mm()).round() as u64, 8)),
        }
    }

    fn bolt_step_mm(self) -> f64 {
        match self {
            Self::Metric => 100.0,
            Self::Inch => 36.0 * INCH_MM / 8.0,
        }
    }
}

/// `mm` in inches to the nearest `1/parts`, as a mixed number in lowest terms.
fn inches(mm: f64, parts: u32) -> String {
    let count = ((mm.abs() + TIE_MM) / INCH_MM * f64::from(parts)).round() as u64;
    let sign = if mm < 0.0 && count > 0 { "-" } else { "" };
    format!("{sign}{} in", mixed(count, u64::from(parts)))
}

/// `count` parts as a mixed number in lowest terms: 65 eighths are `8 1/8`.
fn mixed(count: u64, parts: u64) -> String {
    let (whole, rest) = (count / parts, count % parts);
    let common = gcd(rest, parts);
    match (whole, rest) {
        (_, 0) => format!("{whole}"),
        (0, _) => format!("{}/{}", rest / common, parts / common),
        _ => format!("{whole} {}/{}", rest / common, parts / common),
    }
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        read_length(text).unwrap_or_else(|e| panic!("{text}: {e}")).mm
    }

    #[test]
    fn every_way_of_writing_is_read() {
        for (text, expected_mm) in [
            ("92 cm", 920.0),
            ("920mm", 920.0),
            ("36 1/4 in", 920.75),
            ("36.25 in", 920.75),
            ("36¼ in", 920.75),
            ("36 ¼\"", 920.75),
            ("36\"", 914.4),
            ("36″", 914.4),
            ("36''", 914.4),
            ("5'", 1524.0),
            ("5' 3\"", 1600.2),
            ("5 ft 3 1/2 in", 1612.9),
            ("4 yd", 3657.6),
            ("1 yd 9 in", 1143.0),
            ("1.5 m", 1500.0),
            ("1 m 20 cm", 1200.0),
            ("16-1/2 in", 419.1),
            ("1,5 cm", 15.0),
            ("⅝ in", 15.875),
            ("3/4 inch", 19.05),
            ("-3 mm", -3.0),
            ("  8 1/6 in ", 8.0 * 25.4 + 25.4 / 6.0),
        ] {
            assert!((mm(text) - expected_mm).abs() < 1e-9, "{text} gave {}", mm(text));
        }
    }

    #[test]
    fn what_has_two_meanings_is_refused() {
        for text in [
            "",
            " ",
            "82",
            "cm",
            "NaN cm",
            "inf m",
            "1,204.5 mm",
            "1.2.3 cm",
            "3 in 2 ft",
            "3 cm 2 in",
            "3 1/0 in",
            "3.5 1/2 in",
            "36 5/4 in",
            "4 furlong",
            "12 cm 3",
            "1e3 mm",
            "--3 mm",
            "3- in",
            "½",
        ] {
            assert!(read_length(text).is_err(), "{text} was read as {:?}", read_length(text));
        }
        let refused = read_length("82").unwrap_err();
        assert_eq!(refused.to_string(), "has no unit; write \"82 cm\" or \"32 1/4 in\"");
        for fraction in ["38 1/4", "38¼"] {
            assert_eq!(read_length(fraction).unwrap_err().to_string(), "has no unit; write \"38 1/4 in\"");
        }
    }

    #[test]
    fn lengths_are_printed_in_lowest_terms() {
        assert_eq!(System::Inch.show(8.0 * INCH_MM + INCH_MM / 6.0), "8 1/8 in");
        assert_eq!(System::Inch.show(17.5 * INCH_MM), "17 1/2 in");
        assert_eq!(System::Inch.show(9.8125 * INCH_MM - 1e-4), System::Inch.show(9.8125 * INCH_MM));
        assert_eq!(System::Inch.show(6.35), "1/4 in");
        assert_eq!(System::Inch.show(-6.35), "-1/4 in");
        assert_eq!(System::Inch.show_fine(INCH_MM / 16.0), "1/16 in");
        assert_eq!(System::Metric.show(207.43), "20.7 cm");
        assert_eq!(System::Metric.show(920.0), "92 cm");
        assert_eq!(System::Metric.show_fine(0.84), "0.8 mm");
        assert_eq!(System::Inch.show_cut_from_bolt(108.0 * INCH_MM), "3 yd");
        assert_eq!(System::Inch.show_cut_from_bolt(108.5 * INCH_MM), "3 1/8 yd");
        assert_eq!(System::Metric.show_cut_from_bolt(2701.0), "2.80 m");
        assert_eq!(System::Inch.show_at_least(17.5 * INCH_MM), "17 1/2 in");
        assert_eq!(System::Inch.show_at_least(17.51 * INCH_MM), "17 5/8 in");
        assert_eq!(System::Metric.show_at_least(8.1), "0.9 cm");
    }
}
