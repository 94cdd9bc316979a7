//! Readings and table files: what is written reads back, and whatever else is read ends in a sentence.

use chalklight::calibrate::{calibrate, readings_file};
use chalklight::remark::{Refusal, Weight};
use chalklight::table::{KeptTable, TrustedTable, file};
use proptest::prelude::*;

const READINGS: &str = include_str!("../../calibration/readings/demo.toml");

fn sample() -> KeptTable {
    let read = readings_file::read(READINGS).expect("the sample reads");
    calibrate(&read.value).expect("the sample solves").value
}

/// Every refusal has a line, a field, a sentence and a remedy.
fn assert_can_be_acted_on(refusal: &Refusal, text: &str) {
    assert!(refusal.remarks.iter().any(|r| r.weight == Weight::Refusal));
    for remark in &refusal.remarks {
        let placed = remark.place.line.is_some() || remark.place.field.is_some();
        assert!(placed && !remark.sentence.is_empty(), "no place in {remark:?} for:\n{text}");
        assert!(remark.remedy.as_ref().is_some_and(|r| !r.is_empty()), "no remedy in {remark:?} for:\n{text}");
    }
}

/// Reads as readings and as a table, and solves what reads.
fn nothing_panics(text: &str) {
    match readings_file::read(text) {
        Err(refusal) => {
            assert_can_be_acted_on(&refusal, text);
            assert!(refusal.remarks.iter().all(|r| r.place.line.is_some()), "{refusal:?}");
        }
        Ok(read) => match calibrate(&read.value) {
            Err(refusal) => assert_can_be_acted_on(&refusal, text),
            Ok(solved) => assert!(file::read(&file::write(&solved.value)).is_ok()),
        },
    }
    if let Err(refusal) = file::read(text) {
        assert_can_be_acted_on(&refusal, text);
    }
}

#[test]
fn a_table_reads_back_as_it_was_written() {
    let mut kept = sample();
    kept.screen = Some("HDMI-1 \"1920x1080\"".into());
    kept.table.lens.k1 = 0.012_345_678_9;
    let back = file::read(&file::write(&kept)).expect("it reads back");
    assert_eq!(back.value, kept);
    assert!(back.remarks.is_empty());
}

#[test]
fn only_a_fit_within_bounds_is_trusted() {
    let kept = sample();
    assert!(TrustedTable::by_fit(kept.clone()).is_ok());
    let bare = KeptTable { fit: None, ..kept.clone() };
    assert!(TrustedTable::by_fit(bare.clone()).is_err());
    assert_eq!(TrustedTable::by_her_yes(bare.clone()).kept(), &bare);
}

#[test]
fn a_bad_reading_is_named() {
    let text = READINGS.replacen("mark = \"B3\"\nat = [\"", "mark = \"B3\"\nat = [\"1", 1);
    assert_ne!(text, READINGS);
    let read = readings_file::read(&text).expect("it reads");
    let solved = calibrate(&read.value).expect("it solves");
    let fit = solved.value.fit.expect("a fit");
    let named: Vec<&str> = fit.suspects.iter().map(|s| s.reading.as_str()).collect();
    assert_eq!(named, ["B3"]);
    let told: Vec<String> = solved.remarks.iter().map(ToString::to_string).collect();
    assert!(told[0].starts_with("B3 does not fit the other readings: left out; B3 should read about 78"), "{told:?}");
    assert!(told[0].ends_with("measure B3 again, or leave it out for good"), "{told:?}");
}

#[test]
fn faults_are_told_with_line_field_and_remedy() {
    let with = |from: &str, to: &str| READINGS.replacen(from, to, 1);
    for (text, says) in [
        (with("width = 1920", "wdith = 1920"), "line 5: 'wdith' is not known here; did you mean 'width'?"),
        (with("width = 1920", ""), "line 4: 'width' is missing; add width to [projector]"),
        (with("width = 1920", "width = 3"), "line 5: 3 pixels is no side of a projector's picture"),
        (with("\"0.5 mm\"", "0.5"), "line 14: 0.5 has no unit; write \"0.5 mm\" in quotes, or another unit"),
        (with("\"0.5 mm\"", "\"0.5\""), "line 14: \"0.5\" has no unit; write \"0.5 cm\" or \"1/4 in\""),
        (with("columns = 5", "columns = 1"), "line 9: a grid can't have 1 rows or columns; write 2 to 99"),
        (with("margin = 0.06", "margin = 6"), "line 11: a margin of 6 leaves no picture"),
        (with("mark = \"A1\"", "mark = \"A9\""), "there is no mark A9 in this grid; its marks run from A1 to C5"),
        (with("mark = \"A1\"", "mark = \"1A\""), "line 21: '1A' is no mark's name"),
        (
            with("mark = \"A1\"", "from = \"A1\"\nto = \"A1\"\ndistance = \"5 mm\"").replacen("\nat =", "\n#", 1),
            "a distance from a mark to itself",
        ),
        (with("mark = \"A1\"", "from = \"A1\""), "a reading is a mark and its place, or two marks and their distance"),
        (with("foot = ", "# "), "'foot' is missing; foot and height are needed together"),
    ] {
        let refusal = readings_file::read(&text).expect_err("a fault");
        assert!(refusal.to_string().contains(says), "wanted: {says}\ngot: {refusal}");
        assert_can_be_acted_on(&refusal, &text);
    }
}

#[test]
fn readings_that_fix_no_table_are_refused() {
    let only = |keep: &dyn Fn(&str) -> bool| {
        let (head, readings) = READINGS.split_once("[[reading]]").expect("readings");
        let kept: Vec<&str> = readings.split("[[reading]]").filter(|r| keep(r)).collect();
        let read = readings_file::read(&format!("{head}[[reading]]{}", kept.join("[[reading]]"))).expect("it reads");
        calibrate(&read.value).expect_err("no table").to_string()
    };
    let row = only(&|r| r.contains("mark = \"A"));
    assert!(row.contains("lie on a line"), "{row}");
    let three = only(&|r| r.contains("A1\"") || r.contains("A5\"") || r.contains("C1\""));
    assert!(three.contains("3 readings don't make a table; measure four marks on the mat"), "{three}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_text_ends_in_a_sentence(text in "(?s).{0,300}") {
        nothing_panics(&text);
    }

    /// Random lines of the right look: known and unknown tables, keys and values.
    #[test]
    fn random_toml_ends_in_a_sentence(lines in prop::collection::vec(random_line(), 0..25)) {
        nothing_panics(&lines.join("\n"));
    }

    /// The sample with a few pieces of its text replaced, taken out or doubled.
    #[test]
    fn mutated_files_end_in_a_sentence(
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0usize..40, "[ -~\n]{0,12}"), 1..4),
        table in any::<bool>(),
    ) {
        let mut text = if table { file::write(&sample()) } else { READINGS.to_owned() };
        for (at, length, with) in cuts {
            let start = at.index(text.len());
            let end = (start + length).min(text.len());
            text.replace_range(start..end, &with);
        }
        nothing_panics(&text);
    }

    /// The sample with its values replaced by hostile ones, so that most of these files read.
    #[test]
    fn hostile_values_end_in_a_sentence(
        changes in prop::collection::vec((any::<prop::sample::Index>(), hostile_value()), 1..4),
    ) {
        let mut lines: Vec<String> = READINGS.lines().map(str::to_owned).collect();
        let values: Vec<usize> = (0..lines.len()).filter(|i| lines[*i].contains(" = ")).collect();
        for (at, value) in changes {
            let line = values[at.index(values.len())];
            let key = lines[line].split(" = ").next().unwrap_or_default().to_owned();
            lines[line] = format!("{key} = {value}");
        }
        nothing_panics(&lines.join("\n"));
    }
}

fn random_line() -> impl Strategy<Value = String> {
    let key = prop::sample::select(vec![
        "width",
        "height",
        "columns",
        "rows",
        "margin",
        "marks",
        "sigma",
        "foot",
        "mark",
        "at",
        "from",
        "to",
        "distance",
        "homography",
        "centre",
        "k1",
        "k2",
        "turned",
        "mirrored",
        "screen",
        "rms_mm",
        "date",
        "oddity",
    ]);
    let table = prop::sample::select(vec![
        "[projector]",
        "[grid]",
        "[tape]",
        "[lens]",
        "[[reading]]",
        "[table]",
        "[fit]",
        "[reading]",
        "[odd]",
    ]);
    prop_oneof![table.prop_map(str::to_owned), (key, hostile_value()).prop_map(|(k, v)| format!("{k} = {v}"))]
}

fn hostile_value() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<i64>().prop_map(|v| v.to_string()),
        any::<f64>().prop_map(|v| if v.is_finite() { format!("{v:?}") } else { "nan".into() }),
        (-3000.0..3000.0).prop_map(|v: f64| format!("\"{v:.1} mm\"")),
        ((-3000.0..3000.0), (-3000.0..3000.0)).prop_map(|(x, y): (f64, f64)| format!("[\"{x:.1} mm\", \"{y:.1} cm\"]")),
        prop::sample::select(vec![
            "\"A1\"",
            "\"C5\"",
            "\"Z99\"",
            "true",
            "[]",
            "{}",
            "\"\"",
            "inf",
            "\"12 in\"",
            "2",
            "3"
        ])
        .prop_map(str::to_owned),
        prop::collection::vec(-10.0..10.0, 0..10).prop_map(|v: Vec<f64>| format!("{v:?}")),
    ]
}
