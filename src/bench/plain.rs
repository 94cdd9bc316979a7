//! What the stages say, in the words of the bench's pages: they speak to whoever writes the order's file as well, and name its
//! sections and keys. On a page the field's name stands instead. What is said of the text of a file is left as
//! it is: there she looks for its words.

use crate::order::MEASURES;

/// What is said of a command or of the file, and what is said on a page instead.
const PHRASES: [(&str, &str); 12] = [
    (", with --seconds 60 --keep", ""),
    ("; what each asks for is told by: chalklight garments", ""),
    ("with the grid and 'chalklight calibrate'", "with the grid, on the table's page"),
    ("with 'chalklight calibrate READINGS --out TABLE.toml'", "on the table's page"),
    ("with 'chalklight calibrate'", "on the table's page"),
    ("[garment] is missing", "no garment is chosen yet"),
    ("write [garment], ", "write on the garment's page: "),
    ("write [cloth] and ", "write on the cloth's page: "),
    (" under [cloth]", ", on the cloth's page"),
    (" under [lay]", ", on the cloth's page"),
    (" under [body]", ", on the client's page"),
    (" under [rules]", ", among the house rules"),
];

/// The pages on which the sections of an order are shown.
const PAGES: [(&str, &str); 7] = [
    ("[client]", "the client's page"),
    ("[body]", "the client's page"),
    ("[garment]", "the garment's page"),
    ("[rules]", "the house rules"),
    ("[fitting]", "the fitting"),
    ("[cloth]", "the cloth's page"),
    ("[lay]", "the cloth's page"),
];

/// Keys whose field is called otherwise.
const NAMES: [(&str, &str); 4] =
    [("match", "print meets"), ("from_size", "size"), ("shrinkage_along", "along"), ("shrinkage_across", "across")];

/// A sentence as it is said on a page.
pub fn plainly(text: &str) -> String {
    let mut said = text.to_owned();
    for (file, page) in PHRASES.iter().chain(&PAGES) {
        said = said.replace(file, page);
    }
    words_of_fields(&said)
}

/// The name of a key's field.
fn name_of(key: &str) -> String {
    let measure = MEASURES.iter().find(|facts| facts.key == key).map(|facts| facts.name);
    let named = measure.or(NAMES.iter().find(|(of, _)| *of == key).map(|(_, name)| *name));
    named.map_or_else(|| key.replace('_', " "), str::to_owned)
}

/// Keys by the names of their fields, and what is written into them without the file's signs.
fn words_of_fields(text: &str) -> String {
    let is_key = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-';
    let mut said = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let after_word = said.chars().last().is_some_and(char::is_alphanumeric);
        if first.is_ascii_lowercase() && !after_word {
            let (key, then) = rest.split_at(rest.find(|c| !is_key(c)).unwrap_or(rest.len()));
            match then.strip_prefix(" = ").filter(|value| value.starts_with(['"', '['])) {
                Some(value) => {
                    said += &format!("{}: ", name_of(key));
                    rest = value;
                }
                None => {
                    said += &if key.contains('_') { name_of(key) } else { key.to_owned() };
                    rest = then;
                }
            }
        } else if let Some((value, then)) = quoted(rest) {
            // A word of the file, as the lists show it.
            said += &if value.chars().all(is_key) { value.replace(['-', '_'], " ") } else { value.to_owned() };
            rest = then;
        } else if let Some((list, then)) = rest.strip_prefix('[').and_then(|rest| rest.split_once(']')) {
            said += &list.replace('"', "");
            rest = then;
        } else {
            said.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    said
}

/// What stands in quotes at the beginning of a text, and what follows.
fn quoted(text: &str) -> Option<(&str, &str)> {
    text.strip_prefix('"')?.split_once('"')
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
            ("take match out of [lay]", "take match out of the cloth's page"),
            ("write motif = [\"12 cm\", \"30 cm\"] under [cloth]", "write motif: 12 cm, 30 cm, on the cloth's page"),
            ("waist 78 cm / 4 + 4.5 cm = 24 cm", "waist 78 cm / 4 + 4.5 cm = 24 cm"),
            ("write waist_depth = \"40 cm\" under [body]", "write waist depth: 40 cm, on the client's page"),
            ("the front is 3 cm too wide", "the front is 3 cm too wide"),
        ] {
            assert_eq!(plainly(file), page);
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
