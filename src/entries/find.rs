//! Finding in a file: where a field stands, and which known key a misspelt one was meant to be.

/// A key at least this similar (1 = the same) is offered in place of an unknown one.
const NEAREST_KEY: f64 = 0.75;

/// The line, from 1, on which a field stands in a TOML text, by its dotted name; none where it does not.
pub fn line_of(text: &str, field: &str) -> Option<usize> {
    let (wanted, key) = field.rsplit_once('.').unwrap_or((field, ""));
    let mut section = String::new();
    for (i, line) in text.lines().enumerate() {
        let line = line.trim();
        if let Some(name) = line.strip_prefix('[') {
            section = name.trim_start_matches('[').split(']').next().unwrap_or_default().trim().to_owned();
        }
        let at_key = line.split_once('=').is_some_and(|(before, _)| before.trim() == key);
        if section == wanted && (key.is_empty() || at_key) {
            return Some(i + 1);
        }
    }
    None
}

/// The known key most like the given one, when any is like it at all: by Jaro-Winkler, or by the number of slips
/// (letters left out, put in, exchanged with a neighbour), which is fairer to short keys.
pub fn nearest<'k>(key: &str, known: &[&'k str]) -> Option<&'k str> {
    let key = shown(key).to_lowercase();
    let likeness = |other: &str| {
        let slips = strsim::damerau_levenshtein(&key, other) as f64;
        let longer = key.chars().count().max(other.len()) as f64;
        strsim::jaro_winkler(&key, other).max(1.0 - slips / (1.0 + longer))
    };
    let best = known.iter().max_by(|a, b| likeness(a).total_cmp(&likeness(b)))?;
    (likeness(best) >= NEAREST_KEY).then_some(*best)
}

/// Most characters that are shown of what stands in the file.
const MOST_SHOWN: usize = 40;

/// What stands in the file, as much of it as helps to find it again.
pub fn shown(text: &str) -> String {
    match text.char_indices().nth(MOST_SHOWN) {
        Some((end, _)) => format!("{} ...", &text[..end]),
        None => text.to_owned(),
    }
}
