//! A line that is no TOML, in her words: the slips that are made with quotes, brackets and the equals sign.

use super::shown;

/// What is wrong with a line, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// What is wrong.
    pub says: String,
    /// What to write.
    pub write: String,
}

/// The slip in a line of a text, counted from 1, of which the reader said `parser_says`. The whole line is looked at; of
/// what stands in it, as much is repeated as helps to find it again.
pub fn slip(text: &str, line: usize, parser_says: &str) -> Slip {
    let line = text.lines().nth(line - 1).unwrap_or_default().trim();
    let slip = |says: &str, write: String| Slip { says: says.to_owned(), write };
    if parser_says.contains("duplicate") {
        return slip("this stands in the file twice", "write each section and each key only once".into());
    }
    if line.contains(CURLY) {
        return slip(
            "the quotes are curly ones",
            format!("write straight quotes: {}", shown(&line.replace(CURLY, "\""))),
        );
    }
    if line.starts_with('[') && !line.ends_with(']') {
        let name = line.trim_matches(['[', ']', ' ']);
        return slip("the section's name has no closing bracket", format!("write [{}]", shown(name)));
    }
    let Some((key, value)) = line.split_once('=').map(|(key, value)| (key.trim(), value.trim())) else {
        return match line.split_once(':') {
            Some((key, value)) => slip(
                "there is a colon where = must stand",
                format!("write {} = {}", shown(key.trim()), in_quotes(value.trim())),
            ),
            None => slip("this line can't be read: there is no = in it", "write it as key = \"value\"".into()),
        };
    };
    let key = shown(key);
    if value.ends_with("\"\"") && value.len() > 2 {
        let number = shown(value.trim_matches('"'));
        return slip("the inch mark ends the text before its time", format!("write {key} = \"{number} in\""));
    }
    if value.is_empty() {
        return slip("there is nothing after the =", format!("write {key} = \"...\", or take the line out"));
    }
    if value.matches('"').count() % 2 == 1 {
        return slip("a quote is missing", format!("write {key} = {}", in_quotes(value)));
    }
    if !value.starts_with(['"', '\'', '[', '{']) {
        return slip("the value stands without quotes", format!("write {key} = {}", in_quotes(value)));
    }
    slip(
        &format!("this line can't be read: {parser_says}"),
        "write it as key = \"value\", texts and lengths in quotes".into(),
    )
}

/// Quotes that a word processor makes of straight ones.
const CURLY: [char; 3] = ['\u{201c}', '\u{201d}', '\u{201e}'];

/// A value in straight quotes, with a remark behind it left away.
fn in_quotes(value: &str) -> String {
    let bare = value.split('#').next().unwrap_or_default();
    format!("\"{}\"", shown(bare.trim().trim_matches('"').trim()))
}

#[cfg(test)]
mod tests {
    use super::slip;

    #[test]
    fn every_slip_is_told_with_the_line_as_it_should_be() {
        for (line, says, write) in [
            ("bust = 92 cm", "without quotes", "write bust = \"92 cm\""),
            ("bust = 92 cm # as of May", "without quotes", "write bust = \"92 cm\""),
            ("bust: 92 cm", "colon", "write bust = \"92 cm\""),
            ("bust 92 cm", "there is no =", "write it as key = \"value\""),
            ("bust = \"92 cm", "a quote is missing", "write bust = \"92 cm\""),
            ("bust = \u{201c}92 cm\u{201d}", "curly", "write straight quotes: bust = \"92 cm\""),
            ("bust = \"36 1/4\"\"", "inch mark", "write bust = \"36 1/4 in\""),
            ("[body", "closing bracket", "write [body]"),
            ("bust =", "nothing after", "write bust = \"...\""),
            ("name = \"Rosalind of the long name, in the second act\" twice", "can't be read", "in quotes"),
        ] {
            let found = slip(line, 1, "expected something else");
            assert!(found.says.contains(says) && found.write.contains(write), "{line}: {found:?}");
        }
    }
}
