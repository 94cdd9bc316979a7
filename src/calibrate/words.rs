//! What a fit says to somebody with a tape in her hand.

use super::advice::GOOD_CUTTING_MM;
use crate::table::Fit;

/// How far off a line can be.
pub fn bound(fit: &Fit) -> String {
    let (largest_mm, mean_mm) = (fit.bound95.largest_mm, fit.bound95.mean_mm);
    format!(
        "A line can be {largest_mm:.1} mm off at the worst place and {mean_mm:.1} mm on average (95 of 100 points); \
         careful cutting is within {GOOD_CUTTING_MM} mm itself."
    )
}

/// How well the readings agree, and whether a misreading among them would be seen.
pub fn agreement(fit: &Fit) -> String {
    if !fit.trusted && !fit.suspects.is_empty() {
        return "The readings contradict one another: at least one is wrong.".to_owned();
    }
    match fit.redundancy {
        0 => {
            "There are just as many readings as a table takes, with nothing to spare: each fits, right or wrong, and a \
              misreading can't be seen. Measure a few more."
                .to_owned()
        }
        1 => format!(
            "The readings agree to {:.1} mm. One is to spare: a misreading would be noticed, but not which one it is.",
            fit.rms_mm
        ),
        spare => format!(
            "The readings agree to {:.1} mm; {} fits worst, {:.1} mm off. {spare} figures are to spare, by which a misreading \
             is found.",
            fit.rms_mm, fit.worst, fit.largest_mm
        ),
    }
}

/// Whether the lens bends lines.
pub fn lens(fit: &Fit) -> &'static str {
    if fit.model.contains("k1") {
        "The lens bends straight lines a little; that is corrected."
    } else {
        "The readings show no bend of the lens."
    }
}

/// Readings that were left out and don't hurt; none when there are none, or when they do.
pub fn left_out(fit: &Fit) -> Option<String> {
    let names: Vec<&str> = fit.suspects.iter().map(|suspect| suspect.reading.as_str()).collect();
    let were = match names.len() {
        0 => return None,
        1 => "was",
        _ => "were",
    };
    fit.trusted.then(|| {
        format!("{} {were} left out as misread; the other readings carry the table without that.", names.join(" and "))
    })
}

/// How the bound came down, reading by reading, and why it rose where it did.
pub fn so_far(bounds: &[(usize, f64)]) -> Option<String> {
    /// The last ones tell whether it is worth going on.
    const TOLD: usize = 5;
    /// The least that is seen of a bound as it is written.
    const TOLD_STEP_MM: f64 = 0.1;
    let (first, last) = (bounds.first()?, bounds.last()?);
    let told = &bounds[bounds.len().saturating_sub(TOLD)..];
    let mut steps: Vec<String> = Vec::new();
    if first.0 < told[0].0 {
        steps.push(format!("{:.1} mm after your first {}", first.1, first.0));
    }
    let after = |(count, mm): &(usize, f64)| {
        let readings = if *count == last.0 { format!("all {count}") } else { count.to_string() };
        format!("{mm:.1} mm after {readings}")
    };
    steps.extend(told.iter().map(after));
    let rises = bounds.windows(2).any(|pair| pair[1].1 > pair[0].1 + TOLD_STEP_MM / 2.0);
    let why = match rises {
        true => {
            " A new reading can raise it too, when it shows more noise, or more bend of the lens, than those before it."
        }
        false => "",
    };
    Some(format!("By how much a line could be off, as the readings came in: {}.{why}", steps.join(", ")))
}
