//! The source against the tables of DEVELOPERS.md: who imports whom, what is absent, how long things are, and whether
//! every length says its unit.

mod source;

use std::collections::BTreeMap;

use source::{File, bare, files, root};

const LONGEST_FILE: usize = 400;
const LONGEST_FUNCTION: usize = 60;

/// Endings that say the unit of a public number; a field may also be named by its unit alone.
const UNITS: [&str; 9] = ["mm", "mm2", "px", "rad", "deg", "share", "hz", "s", "lux"];

/// Rows of the table on DEVELOPERS.md whose header starts with `first`, cell by cell.
fn table(first: &str) -> Vec<Vec<String>> {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let header = format!("| {first} |");
    let cells = |line: &str| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect();
    let rows: Vec<Vec<String>> = page
        .lines()
        .skip_while(|line| !line.starts_with(&header))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(cells)
        .collect();
    assert!(!rows.is_empty(), "DEVELOPERS.md has no table that begins with the column {first}");
    rows
}

/// What stands between backticks.
fn quoted(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

fn none(faults: &[String]) {
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

#[test]
fn imports_go_one_way() {
    let mut place = BTreeMap::new();
    for (row, cells) in table("layer").iter().enumerate() {
        for (column, cell) in cells.iter().enumerate().skip(1) {
            place.extend(cell.split_whitespace().map(|module| (module.to_owned(), (row, column))));
        }
    }
    let mut faults = Vec::new();
    for file in files().iter().filter(|file| !matches!(file.path.as_str(), "lib.rs" | "main.rs")) {
        let Some(&(row, column)) = place.get(file.module()) else {
            faults.push(format!("{} is in no layer of DEVELOPERS.md", file.module()));
            continue;
        };
        for import in file.imports().into_iter().filter(|import| import != file.module()) {
            match place.get(&import) {
                None => faults.push(format!("{} imports {import}, which is in no layer", file.path)),
                Some(&(above, other)) => {
                    let apart = column > 1 && other > 1 && column != other;
                    if above >= row || apart {
                        faults.push(format!("{} may not import {import}", file.path));
                    }
                }
            }
        }
    }
    none(&faults);
}

#[test]
fn what_is_absent_stays_absent() {
    let mut faults = Vec::new();
    for cells in table("words") {
        let allowed: Vec<&str> = cells[1].split_whitespace().filter(|place| *place != "nowhere").collect();
        for word in quoted(&cells[0]) {
            for file in files().iter().filter(|file| !allowed.iter().any(|place| file.is_in(place))) {
                for line in file.lines_with(word) {
                    faults.push(format!("src/{}:{line}: {word} belongs only in {}", file.path, cells[1]));
                }
            }
        }
    }
    none(&faults);
}

#[test]
fn files_and_functions_are_short() {
    let mut faults = Vec::new();
    for file in files() {
        let lines = file.code.trim_end().lines().count();
        if lines > LONGEST_FILE {
            faults.push(format!("src/{} has {lines} lines", file.path));
        }
        for (name, lines) in file.functions() {
            if lines > LONGEST_FUNCTION {
                faults.push(format!("src/{}: {name} has {lines} lines", file.path));
            }
        }
    }
    none(&faults);
}

#[test]
fn every_file_says_what_it_is_for() {
    let silent = |file: &&File| !file.text.starts_with("//! ");
    let faults: Vec<String> =
        files().iter().filter(silent).map(|file| format!("src/{} has no module doc", file.path)).collect();
    none(&faults);
}

#[test]
fn every_public_length_says_its_unit() {
    let page = table("field");
    let bare_numbers: Vec<&str> = page.iter().flat_map(|cells| quoted(&cells[0])).collect();
    let says = |name: &str| UNITS.iter().any(|unit| name == *unit || name.ends_with(&format!("_{unit}")));
    let mut faults = Vec::new();
    // What is typed at the command is named by its flag, and says its unit in the help.
    for file in files().iter().filter(|file| !file.is_in("command")) {
        for field in file.public_f64_fields() {
            if !says(&field) && !bare_numbers.contains(&field.as_str()) {
                faults.push(format!("src/{}: {field} does not say its unit", file.path));
            }
        }
    }
    none(&faults);
}

#[test]
fn what_developers_are_told_exists() {
    let mut faults = Vec::new();
    let road = table("stage");
    let promises = table("promise");
    for path in road.iter().map(|cells| &cells[3]).chain(promises.iter().map(|cells| &cells[1])) {
        for path in quoted(path) {
            if !root().join(path).is_file() {
                faults.push(format!("DEVELOPERS.md names {path}, which is not there"));
            }
        }
    }
    let tests = source::all_tests();
    for cells in &promises {
        for test in quoted(&cells[2]) {
            if !tests.contains(&format!("fn {test}(")) {
                faults.push(format!("DEVELOPERS.md names the test {test}, which is not there"));
            }
        }
    }
    none(&faults);
}

#[test]
fn the_reader_of_sources_knows_code_from_words() {
    let text = "use crate::units; // crate::draft\nconst A: &str = \"crate::lay // \\\" \"; let b = '\"'; /* crate::x */ f(r#\"crate::y\"#); fn g<'a>(s: &'a str)";
    let bare = bare(text);
    for word in ["draft", "lay", "crate::x", "crate::y"] {
        assert!(!bare.contains(word), "{word} is left in {bare}");
    }
    assert!(bare.contains("crate::units") && bare.contains("&'a str") && bare.lines().count() == 2);
    let file = File::new("draft/mod.rs".into(), "use crate::{units::System, order};\nfn a() {\n    b();\n}\n".into());
    assert_eq!(file.imports(), ["order", "units"]);
    assert_eq!(file.functions(), [("a".to_owned(), 3)]);
}
