//! What the stages say, in the words of the bench's pages: they speak to whoever writes the order's file as well, and name its
//! sections, its entries and the commands. Each of these is read as what it is, and said as its page has it: a section as the
//! page, a key as the name of its field; all other words stay. What is said of the text of a file is left as it is: there she
//! looks for its words.

use crate::order::MEASURES;

/// The sections, each with the page on which it is shown.
const PAGES: [(&str, &str, &str); 8] = [
    ("client", "on", "the client's page"),
    ("body", "on", "the client's page"),
    ("garment", "on", "the garment's page"),
    ("rules", "among", "the house rules"),
    ("fitting", "under", "the fitting"),
    ("cloth", "on", "the cloth's page"),
    ("lay", "on", "the cloth's page"),
    ("lens", "on", "the table's page"),
];

/// The command that has a page of the bench for its work, and that page.
const CALIBRATE: [&str; 2] = ["calibrate", "on the table's page"];

/// Keys whose field is called otherwise.
const NAMES: [(&str, &str); 4] =
    [("match", "print meets"), ("from_size", "size"), ("shrinkage_along", "along"), ("shrinkage_across", "across")];

/// A sentence as it is said on a page.
pub fn plainly(text: &str) -> String {
    let mut said = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let begins = !said.ends_with(char::is_alphanumeric);
        let mut then = section(&mut said, text, rest).or_else(|| command(&mut said, rest));
        if begins && then.is_none() {
            then = told_by(&mut said, rest).or_else(|| options(&mut said, rest)).or_else(|| entry(&mut said, rest));
        }
        rest = then.or_else(|| value(&mut said, rest)).unwrap_or_else(|| {
            said.push(first);
            &rest[first.len_utf8()..]
        });
    }
    said
}

fn is_key(c: char) -> bool {
    c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-'
}

/// The name of a key's field.
fn name_of(key: &str) -> String {
    let measure = MEASURES.iter().find(|facts| facts.key == key).map(|facts| facts.name);
    let named = measure.or(NAMES.iter().find(|(of, _)| *of == key).map(|(_, name)| *name));
    named.map_or_else(|| key.replace('_', " "), str::to_owned)
}

/// The same where its section is known: the cloth has a motif, and a place for it.
fn name_in(section: &str, key: &str) -> String {
    if (section, key) == ("lay", "motif") { "the place of a motif".to_owned() } else { name_of(key) }
}

/// A section: "fold under [lay]" is "fold on the cloth's page". Each of these says what it has read, and gives what follows.
fn section<'t>(said: &mut String, text: &str, rest: &'t str) -> Option<&'t str> {
    let (name, then) = rest.strip_prefix('[')?.split_once(']')?;
    let (_, on, page) = PAGES.iter().find(|(section, ..)| *section == name)?;
    if let Some(then) = then.strip_prefix(" is missing") {
        *said += &format!("nothing is written {on} {page} yet");
        return Some(then);
    }
    let entries = then.strip_prefix(" and ").or_else(|| then.strip_prefix(", "));
    if let Some(entries) = entries.filter(|_| said.ends_with("write ")) {
        *said += &format!("{on} {page}: ");
        return Some(entries);
    }
    let before = &text[..text.len() - rest.len()];
    for (preposition, stays) in [(" under ", ""), (" in ", ""), (" out of ", " out")] {
        let Some(lead) = said.strip_suffix(preposition) else { continue };
        let after_value = before.strip_suffix(preposition).is_some_and(|before| before.ends_with(['"', ']']));
        let (head, comma) = if after_value { (lead, ",") } else { (lead.trim_end_matches(is_key), "") };
        let key = name_in(name, &lead[head.len()..]);
        *said = format!("{head}{key}{stays}{comma} {on} {page}");
        return Some(then);
    }
    said.push_str(page);
    Some(then)
}

/// A command in quotes: "with 'chalklight calibrate'" is "on the table's page". One whose work has no page stays.
fn command<'t>(said: &mut String, rest: &'t str) -> Option<&'t str> {
    let (command, then) = rest.strip_prefix("'chalklight ")?.split_once('\'')?;
    let [verb, page] = CALIBRATE;
    let lead = ["with ", "and ", "by "].iter().find_map(|word| said.strip_suffix(*word)).unwrap_or(said.as_str());
    if command.split(' ').next() == Some(verb) {
        *said = format!("{lead}{page}");
    } else {
        *said += &rest[..rest.len() - then.len()];
    }
    Some(then)
}

/// What a command of its own tells, her page shows: "; what each asks for is told by: chalklight garments" is left out.
fn told_by<'t>(said: &mut String, rest: &'t str) -> Option<&'t str> {
    let words = rest.strip_prefix("chalklight ").filter(|_| said.ends_with(": "))?;
    let clause = said.rfind("; ").unwrap_or(said.len() - ": ".len());
    said.truncate(clause);
    Some(words.trim_start_matches(is_key))
}

/// Options of a command, with what leads to them: ", with --seconds 60 --keep" is left out.
fn options<'t>(said: &mut String, rest: &'t str) -> Option<&'t str> {
    rest.strip_prefix("--")?;
    let lead = [", with ", ": "].iter().find_map(|lead| said.strip_suffix(*lead))?.len();
    said.truncate(lead);
    let is_option = |word: &&str| word.starts_with("--") || word.starts_with(|c: char| c.is_ascii_digit());
    let long: usize = rest.split_inclusive(' ').take_while(is_option).map(str::len).sum();
    Some(&rest[rest[..long].trim_end_matches([',', ';', ' ']).len()..])
}

/// A key by the name of its field, with what is to be written there.
fn entry<'t>(said: &mut String, rest: &'t str) -> Option<&'t str> {
    let (key, then) = rest.split_at(rest.find(|c| !is_key(c)).unwrap_or(rest.len()));
    if !key.starts_with(|c: char| c.is_ascii_lowercase()) {
        return None;
    }
    let value = then.strip_prefix(" = ").filter(|value| value.starts_with(['"', '[']));
    let Some(value) = value else {
        *said += &if key.contains('_') { name_of(key) } else { key.to_owned() };
        return Some(then);
    };
    *said += &name_of(key);
    // What stands for any value is none.
    if let Some(then) = value.strip_prefix("\"...\"") {
        return Some(then);
    }
    *said += ": ";
    Some(value)
}

/// What is written into a field, without the file's signs; a word as the lists show it.
fn value<'t>(said: &mut String, rest: &'t str) -> Option<&'t str> {
    if let Some((word, then)) = rest.strip_prefix('"').and_then(|rest| rest.split_once('"')) {
        *said += &if word.chars().all(is_key) { word.replace(['-', '_'], " ") } else { word.to_owned() };
        return Some(then);
    }
    let (list, then) = rest.strip_prefix('[')?.split_once(']')?;
    *said += &list.replace('"', "");
    Some(then)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::work::Work;
    use crate::remark::Remark;

    #[test]
    fn fields_are_called_as_on_their_page() {
        for (file, page) in [
            ("write fold = \"one-side\"", "write fold: one side"),
            ("deepen the front by 1.7 cm (front_neck_depth)", "deepen the front by 1.7 cm (front neck depth)"),
            ("take match out of [lay]", "take print meets out on the cloth's page"),
            (
                "take motif out of [lay], or wider cloth",
                "take the place of a motif out on the cloth's page, or wider cloth",
            ),
            (
                "leave the print out of [lay]: then 2 m will do",
                "leave the print out on the cloth's page: then 2 m will do",
            ),
            ("(fold under [lay]), or", "(fold on the cloth's page), or"),
            ("set its ease under [rules] instead: bust ease", "set its ease among the house rules instead: bust ease"),
            ("write them under [body] before anything", "write them on the client's page before anything"),
            ("then write head = \"...\" under [body]", "then write head, on the client's page"),
            ("[cloth] is missing", "nothing is written on the cloth's page yet"),
            ("write [cloth] and width = \"114 cm\", measured", "write on the cloth's page: width: 114 cm, measured"),
            ("[client], [body] or [rules]", "the client's page, the client's page or the house rules"),
            ("write motif = [\"12 cm\", \"30 cm\"] under [cloth]", "write motif: 12 cm, 30 cm, on the cloth's page"),
            ("waist 78 cm / 4 + 4.5 cm = 24 cm", "waist 78 cm / 4 + 4.5 cm = 24 cm"),
            ("write waist_depth = \"40 cm\" under [body]", "write waist depth: 40 cm, on the client's page"),
            ("the front is 3 cm too wide", "the front is 3 cm too wide"),
        ] {
            assert_eq!(plainly(file), page);
        }
    }

    #[test]
    fn a_command_is_said_as_the_page_that_does_its_work() {
        for (command, page) in [
            ("solve one with 'chalklight calibrate', or say yes", "solve one on the table's page, or say yes"),
            ("with the grid and 'chalklight calibrate'; a table", "with the grid on the table's page; a table"),
            ("make one with 'chalklight calibrate READINGS --out TABLE.toml'", "make one on the table's page"),
            ("start it by hand with 'chalklight cut'", "start it by hand with 'chalklight cut'"),
            ("see 'chalklight --help' for it", "see 'chalklight --help' for it"),
            ("write kind = \"tunic\"; what each asks for is told by: chalklight garments", "write kind: tunic"),
            ("see what there is: chalklight garments", "see what there is"),
            ("search again, with --seconds 60 --keep", "search again"),
            ("or say yes to it with --trust-anyway", "or say yes to it with --trust-anyway"),
            ("buy 2 m, or let it search longer: --seconds 60 --keep, or", "buy 2 m, or let it search longer, or"),
        ] {
            assert_eq!(plainly(command), page);
        }
    }

    #[test]
    fn nothing_that_is_said_of_an_order_speaks_of_its_file() {
        let order = include_str!("../command/demo/order.toml");
        let with = |from: &str, to: &str| order.replace(from, to);
        let orders = [
            String::new(),
            "[body]\nbust = \"94 cm\"\n".to_owned(),
            with("a-line-dress", "ballgown"),
            with("13 cm", "3 cm"),
            with("fold = \"lengths\"", "fold = \"sideways\""),
            with("fold = \"lengths\"", "match = \"both\""),
            with("fold = \"lengths\"", "motif = \"waist\""),
            with("fold = \"lengths\"", "motif = \"knee\""),
            with("[cloth]", "[cloth]\nrepeat = \"20 cm\"\nprint = \"sideways\"\nprice = \"much\"\ncolour = \"red\""),
            with("[cloth]", "[cloth]\nflaws = [\"1 cm\"]\nshrinkage_along = \"3 %\"\nwash = \"never\""),
            with("length = \"3 m\"", "length = \"50 cm\""),
            with("114 cm", "40 cm"),
            with("[garment]", "[garment]\nsleeve = \"long\"\nneckline = \"hole\"\nfit = \"easy\""),
            with("[rules]", "[rules]\nhem_width = \"3 cm\"\nbust_ease = \"90 cm\""),
            with("[body]", "[body]\nfrom_size = \"us-misses-1967 99\""),
            with("waist = \"78 cm\"", "waist = \"30 cm\""),
            with("fold = \"lengths\"", "front = \"-90 cm\""),
        ];
        let mut heard = 0;
        for order in orders {
            let work = Work::of(&order, None);
            let checks = work.drawn.iter().flat_map(|drawn| &drawn.draft.checks);
            let checks =
                checks.map(|check| Remark { remedy: check.remedy.clone(), ..Remark::note(check.says.clone()) });
            for remark in work.remarks.iter().cloned().chain(checks) {
                for said in std::iter::once(remark.sentence).chain(remark.remedy) {
                    let page = plainly(&said);
                    heard += 1;
                    let is_file = |sign: &&str| page.contains(*sign);
                    let sign = ["[", "]", "_", " = \"", "\"", "--", "chalklight", ".toml"].into_iter().find(is_file);
                    assert_eq!(sign, None, "{page}");
                }
            }
        }
        assert!(heard > 40, "{heard}");
    }
}
