//! Which file a client's name makes, and which client is meant by what is typed.

/// Longest name of a file, without its ending, in bytes: what every file system takes, with room for a number.
const LONGEST: usize = 80;

/// Names that some systems keep for their devices, so that no file can have them.
const TAKEN: [&str; 4] = ["con", "prn", "aux", "nul"];

/// The name of a client's file without its ending: letters and digits of any script in small letters, everything else
/// a dash. Whatever is typed, it is never a path.
pub fn file_stem(name: &str) -> String {
    let is_accent = |c: char| ('\u{300}'..='\u{36f}').contains(&c);
    let mut stem = String::new();
    for c in name.chars().filter(|c| !is_accent(*c)).flat_map(char::to_lowercase) {
        let c = if c.is_alphanumeric() { c } else { '-' };
        if stem.len() + c.len_utf8() > LONGEST {
            break;
        }
        if c != '-' || !(stem.is_empty() || stem.ends_with('-')) {
            stem.push(c);
        }
    }
    let stem = stem.trim_end_matches('-');
    let device = |stem: &str| stem.strip_prefix("com").or(stem.strip_prefix("lpt")).is_some_and(|n| n.len() == 1);
    if stem.is_empty() {
        "client".to_owned()
    } else if TAKEN.contains(&stem) || device(stem) {
        format!("client-{stem}")
    } else {
        stem.to_owned()
    }
}

/// Whether two names are one client's: letters' case, accents and signs aside.
pub fn is_same_name(one: &str, other: &str) -> bool {
    file_stem(one) == file_stem(other)
}

/// How well what is typed names a client: 2 by her file or whole name, 1 by a part of her name, 0 not at all.
pub fn likeness(typed: &str, stem: &str, name: &str) -> u32 {
    let (typed, name) = (typed.trim(), name.trim());
    if typed.is_empty() {
        0
    } else if typed == stem || typed.to_lowercase() == name.to_lowercase() {
        2
    } else {
        u32::from(name.to_lowercase().contains(&typed.to_lowercase()))
    }
}
