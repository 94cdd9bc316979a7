//! Order files, good and bad: every fault names its line, its field, what is wrong and what to write; nothing panics.
//!
//! The wording is ours; what counts as bad input is common sense, TOML 1.0's own rules, and IEEE 754's odd values.

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::order::{Measure, Order, Print, read};
use chalklight::remark::{Refusal, Remark, Weight};
use chalklight::units::System;
use proptest::prelude::*;

use crate::check::OrderText;

/// A whole order file, with everything in it that may be.
const WHOLE: &str = r#"[client]
name = "Second alto"
measured = 2026-11-02
[body]
bust = "98 cm"
waist = "82 cm"
hip = "106 cm"
shoulder = "40 cm"
waist_depth = "41 cm"
hip_depth = "20 cm"
head = "57 cm"
upper_arm = "30 cm"
[garment]
kind = "a-line-dress"
length = "130 cm"
[rules]
side_allowance = "3 cm"
chest_parts = 6
[cloth]
width = "114 cm"
length = "4 m"
print = "one-way"
repeat = ["32 cm", "64 cm"]
layer = "0.35 mm"
"#;

fn good(text: &str) -> Order {
    read(text).unwrap_or_else(|no| panic!("{no}")).value
}

/// What is said of a file that is refused, as she sees it.
fn said(text: &str) -> Vec<String> {
    let refusal = match read(text).and_then(|order| draft(&order.value)) {
        Ok(_) => panic!("was taken:\n{text}"),
        Err(refusal) => refusal.in_file("order.toml"),
    };
    refusals(&refusal).map(Remark::to_string).collect()
}

fn refusals(refusal: &Refusal) -> impl Iterator<Item = &Remark> {
    refusal.remarks.iter().filter(|remark| remark.weight == Weight::Refusal)
}

/// The whole file with one line replaced.
fn with(line: &str, other: &str) -> String {
    assert!(WHOLE.contains(line), "{line}");
    WHOLE.replacen(line, other, 1)
}

/// The one thing said of the whole file with one line replaced.
fn only(line: &str, other: &str) -> String {
    let said = said(&with(line, other));
    assert_eq!(said.len(), 1, "{said:#?}");
    said[0].clone()
}

#[test]
fn a_whole_order_is_read() {
    let order = good(WHOLE);
    assert_eq!(order.client.name.as_deref(), Some("Second alto"));
    assert_eq!(order.client.measured.as_deref(), Some("2026-11-02"));
    let body = |measure| order.body.get(measure).expect("a measure");
    assert_eq!([body(Measure::Bust), body(Measure::WaistDepth), body(Measure::UpperArm)], [980.0, 410.0, 300.0]);
    assert_eq!(order.garment.length_mm, 1300.0);
    let cloth = order.cloth.expect("cloth");
    assert_eq!((cloth.width_mm, cloth.length_mm, cloth.layer_mm), (1140.0, Some(4000.0), 0.35));
    assert_eq!((cloth.print, cloth.repeat_mm), (Print::OneWay, [320.0, 640.0].map(Some)));
    assert_eq!(order.system, System::Metric);
    assert!(draft(&good(WHOLE)).is_ok());
}

#[test]
fn a_bare_number_is_told_what_to_write() {
    let no_unit = "order.toml:6: waist = \"82\" has no unit; write \"82 cm\" or \"82 in\"";
    assert_eq!(only("waist = \"82 cm\"", "waist = \"82\""), no_unit);
    assert_eq!(only("waist = \"82 cm\"", "waist = 82"), no_unit.replace("\"82\" has", "82 has"));
    assert_eq!(
        only("side_allowance = \"3 cm\"", "side_allowance = 3"),
        "order.toml:17: side_allowance = 3 has no unit; write \"3 cm\""
    );
    // The unit by which it is a waist at all, whatever the file is written in; of two the file's own first.
    for (bare, write) in [("820", "\"820 mm\""), ("32", "\"32 in\""), ("110", "\"110 cm\"")] {
        let says = only("waist = \"82 cm\"", &format!("waist = \"{bare}\""));
        assert!(says.ends_with(&format!("has no unit; write {write}")), "{says}");
    }
    // Where none makes a waist of it, the file's own.
    let millimetres = WHOLE.replace(" cm\"", "0 mm\"").replace("\"820 mm\"", "\"5\"");
    assert!(said(&millimetres)[0].ends_with("waist = \"5\" has no unit; write \"5 mm\""), "{:?}", said(&millimetres));
}

#[test]
fn every_bad_value_is_named_with_its_line_and_what_to_write() {
    for (line, other, place, says, write) in [
        ("bust = \"98 cm\"", "bust = \"0 cm\"", ":5:", "bust = 0 cm can't be a bust", "measure again"),
        ("bust = \"98 cm\"", "bust = \"-98 cm\"", ":5:", "bust = -98 cm can't be", "measure again"),
        ("bust = \"98 cm\"", "bust = \"9 cm\"", ":5:", "bust = 9 cm can't be", "round the fullest part"),
        ("bust = \"98 cm\"", "bust = \"98 m\"", ":5:", "bust = 9800 cm can't be", "measure again"),
        ("bust = \"98 cm\"", "bust = nan", ":5:", "bust = nan", "write"),
        ("bust = \"98 cm\"", "bust = -inf", ":5:", "bust = -inf", "write"),
        ("bust = \"98 cm\"", "bust = \"NaN cm\"", ":5:", "has no number", "\"92 cm\" or"),
        ("bust = \"98 cm\"", "bust = \"1e9 cm\"", ":5:", "bust = \"1e9 cm\"", "\"92 cm\" or"),
        ("bust = \"98 cm\"", "bust = true", ":5:", "bust is a yes or no, not a length", "bust = \"92 cm\""),
        ("bust = \"98 cm\"", "bust = [\"98 cm\"]", ":5:", "bust is a list, not a length", "bust = \"92 cm\""),
        ("bust = \"98 cm\"", "bust = 2026-11-02", ":5:", "bust is a date, not a length", "bust = \"92 cm\""),
        ("bust = \"98 cm\"", "bust = {}", ":5:", "bust is a section, not a length", "bust = \"92 cm\""),
        ("bust = \"98 cm\"", "bust = \"\"", ":5:", "bust = \"\" is empty", "\"92 cm\" or"),
        ("bust = \"98 cm\"", "bust = \"98 ell\"", ":5:", "has the unit 'ell', which is not known", "\"92 cm\" or"),
        (
            "length = \"130 cm\"",
            "length = \"9 cm\"",
            ":15:",
            "length = 9 cm can't be the garment's length",
            "from 30 cm to",
        ),
        ("length = \"130 cm\"", "length = \"35 cm\"", "order.toml: ", "ends above its waist", "measure the length"),
        ("kind = \"a-line-dress\"", "kind = \"a-line\"", ":14:", "no garment that is known", "\"a-line-dress\""),
        (
            "kind = \"a-line-dress\"",
            "kind = \"Skirt\"",
            ":14:",
            "no garment",
            "\"a-line-skirt\" or \"circle-skirt\" or",
        ),
        ("kind = \"a-line-dress\"", "kind = \"trousers\"", ":14:", "no garment", "chalklight garments"),
        ("kind = \"a-line-dress\"", "kind = 7", ":14:", "kind is a number, not a text", "quotes"),
        ("side_allowance = \"3 cm\"", "side_allowance = \"3 m\"", ":17:", "side_allowance = 300 cm", "0 cm to"),
        (
            "side_allowance = \"3 cm\"",
            "side_alowance = \"3 cm\"",
            ":17:",
            "no house rule",
            "did you mean side_allowance?",
        ),
        ("side_allowance = \"3 cm\"", "side_allowance = false", ":17:", "is a yes or no, not a length", "write"),
        ("chest_parts = 6", "chest_parts = nan", ":18:", "chest_parts = NaN is outside", "from 3 to 12"),
        ("chest_parts = 6", "chest_parts = -inf", ":18:", "chest_parts = -inf", "from 3 to 12"),
        ("chest_parts = 6", "chest_parts = 0x06", ":18:", "chest_parts is a number in another notation", "digits"),
        ("chest_parts = 6", "chest_parts = 0", ":18:", "chest_parts = 0 is outside", "from 3 to 12"),
        (
            "chest_parts = 6",
            "chest_parts = \"6 cm\"",
            ":18:",
            "is a length, and a plain number is wanted",
            "chest_parts = 6",
        ),
        ("width = \"114 cm\"", "width = \"114 mm\"", ":20:", "width = 11.4 cm can't be the cloth's width", "30 cm to"),
        ("print = \"one-way\"", "print = \"striped\"", ":22:", "no way of a print that is known", "\"all-over\""),
        (
            "repeat = [\"32 cm\", \"64 cm\"]",
            "repeat = \"32 cm\"",
            ":23:",
            "repeat is not a list",
            "[\"32 cm\", \"64 cm\"]",
        ),
        (
            "repeat = [\"32 cm\", \"64 cm\"]",
            "repeat = [\"32 cm\"]",
            ":23:",
            "repeat needs two lengths",
            "along the selvedge",
        ),
        ("layer = \"0.35 mm\"", "drop = \"third\"", ":24:", "no way of a repeat", "drop = \"half\""),
        ("layer = \"0.35 mm\"", "[lay]\nmatch = \"alonge\"", ":25:", "no way that a print can meet", "\"along\""),
        (
            "layer = \"0.35 mm\"",
            "[lay]\nfold = \"length\"",
            ":25:",
            "fold = \"length\" is not known",
            "write fold = \"lengths\"",
        ),
        ("layer = \"0.35 mm\"", "[lay]\nfold = \"double\"", ":25:", "is not known here", "then all are weighed"),
        ("layer = \"0.35 mm\"", "[lay]\nback = [\"3 cm\"]", ":25:", "back needs two lengths", "from the cut end"),
        ("layer = \"0.35 mm\"", "[lay]\nback = [\"-3 cm\", \"0 cm\"]", ":25:", "from nought on", "back = ["),
        ("layer = \"0.35 mm\"", "[lay]\nback = [\"3 cm\", 2]", ":25:", "has no unit", "write"),
        ("repeat = [\"32 cm\", \"64 cm\"]", "repeat = [\"32 cm\", 64]", ":23:", "has no unit", "\"64 cm\""),
        (
            "repeat = [\"32 cm\", \"64 cm\"]",
            "repeat = [\"32 cm\", \"0 cm\"]",
            ":23:",
            "above nought",
            "along the selvedge",
        ),
        ("layer = \"0.35 mm\"", "layer = \"0.35 m\"", ":24:", "layer = 350 mm can't be the thickness", "20 mm"),
        ("[cloth]", "[cloths]", ":19:", "cloths is not known in this file", "did you mean cloth?"),
        (
            "name = \"Second alto\"",
            "nmae = \"Second alto\"",
            ":2:",
            "nmae is not known in [client]",
            "did you mean name?",
        ),
        (
            "hip = \"106 cm\"",
            "hips = \"106 cm\"\nhip = \"106 cm\"",
            ":7:",
            "hips is not known in [body]",
            "did you mean hip?",
        ),
        ("hip = \"106 cm\"", "hip = \"106 cm\"\nhip = \"107 cm\"", ":8:", "twice", "only once"),
        ("hip = \"106 cm\"", "hip = \"41 3/4\"\"", ":7:", "inch mark ends the text", "hip = \"41 3/4 in\""),
        ("hip = \"106 cm\"", "hip = \"106 cm", ":7:", "a quote is missing", "hip = \"106 cm\""),
        ("hip = \"106 cm\"", "hip: 106 cm", ":7:", "a colon where =", "hip = \"106 cm\""),
    ] {
        let said = said(&with(line, other));
        let told = said.iter().find(|sentence| sentence.contains(says)).unwrap_or_else(|| panic!("{other}: {said:#?}"));
        assert!(told.contains(place) && told.contains(write), "{other}: {told}");
        assert!(said.len() == 1, "{other}: said more than once or twice: {said:#?}");
    }
}

#[test]
fn what_is_missing_is_told_how_to_take() {
    for (line, key, how) in [
        ("bust = \"98 cm\"\n", "bust", "fullest part of the bust"),
        ("waist = \"82 cm\"\n", "waist", "narrowest place"),
        ("hip = \"106 cm\"\n", "hip", "fullest part of the seat"),
        ("shoulder = \"40 cm\"\n", "shoulder", "from shoulder tip to shoulder tip"),
        ("waist_depth = \"41 cm\"\n", "waist_depth", "from the shoulder at the neck"),
    ] {
        let said = only(line, "");
        assert!(said.starts_with("order.toml:4: ") && said.contains(&format!("body.{key} is missing")), "{said}");
        assert!(said.contains(how) && said.contains(&format!("{key} = \"...\" under [body]")), "{said}");
    }
    assert!(only("length = \"130 cm\"\n", "").contains("garment.length is missing; measure from the shoulder"));
    assert!(only("kind = \"a-line-dress\"\n", "").contains("garment.kind is missing; write kind"));
    assert!(only("width = \"114 cm\"\n", "").contains("cloth.width is missing; measure between the selvedges"));
    for text in ["", "# nothing\n", "[body]\n"] {
        let said = said(text);
        assert_eq!(
            said.iter().filter(|told| told.contains("body.") && told.contains("is missing")).count(),
            5,
            "{said:#?}"
        );
        assert!(said.iter().any(|told| told.contains("[garment] is missing; write [garment]")), "{said:#?}");
    }
}

#[test]
fn every_fault_is_told_at_once_with_its_line() {
    let text = WHOLE
        .replace("\"98 cm\"", "\"98\"")
        .replace("hip = ", "hpi = ")
        .replace("130 cm", "130 furlong")
        .replace("\"one-way\"", "\"sideways\"")
        .replace("layer = \"0.35 mm\"", "layers = 4");
    let said = said(&text);
    for expected in [
        "order.toml:5: bust = \"98\" has no unit",
        "order.toml:7: hpi is not known in [body]; did you mean hip?",
        "order.toml:15: length = \"130 furlong\" has the unit 'furlong'",
        "order.toml:22: print = \"sideways\"",
        "order.toml:24: layers is not known in [cloth]; did you mean layer?",
    ] {
        assert!(said.iter().any(|told| told.starts_with(expected)), "{expected}: {said:#?}");
    }
    // A misspelt key is not told a second time as missing.
    assert_eq!(said.len(), 5, "{said:#?}");
}

/// Faults of the rules are told at once too, and after them those of the lines that can't be drawn.
#[test]
fn what_cannot_be_drawn_ends_in_a_sentence() {
    for (rules, says, write) in [
        ("neck_half_width = \"22 cm\"", "leaves no shoulder", "neck_half_width"),
        ("neck_reference = \"19 cm\"", "leaves no shoulder", "neck_reference"),
        ("chest_extra = \"-7 cm\"\nchest_parts = 12", "too near the shoulder tip", "chest_extra larger"),
        ("chest_extra = \"20 cm\"\nchest_parts = 3", "above the chest line", "waist depth again"),
        ("front_neck_depth = \"40.9 cm\"\nback_neck_depth = \"1.3 cm\"", "", ""),
        (
            "shoulder_drop = \"10 cm\"\nback_neck_depth = \"1.3 cm\"",
            "can't be drawn from a shoulder",
            "back_neck_depth",
        ),
        ("hem_raise = \"20 cm\"\nfold_extra = \"0 cm\"\nside_allowance = \"10 cm\"", "", ""),
        ("armhole_allowance = \"5 cm\"\nneck_allowance = \"5 cm\"", "", ""),
    ] {
        let text = WHOLE.replace("side_allowance = \"3 cm\"\nchest_parts = 6", rules);
        let answer = read(&text).and_then(|order| draft(&order.value)).and_then(|draft| finish(&draft.value));
        match answer {
            Ok(_) => assert!(says.is_empty(), "{rules} was drawn"),
            Err(refusal) => {
                let said: Vec<String> = refusals(&refusal).map(Remark::to_string).collect();
                assert!(said.iter().any(|told| told.contains(says) && told.contains(write)), "{rules}: {said:#?}");
                assert!(refusals(&refusal).all(|remark| remark.remedy.is_some()), "{said:#?}");
            }
        }
    }
}

#[test]
fn what_is_odd_is_questioned_and_taken() {
    let doubts = |text: &str| -> Vec<String> {
        let read = read(text).unwrap_or_else(|no| panic!("{no}"));
        assert!(read.remarks.iter().all(|remark| remark.weight == Weight::Doubt && remark.remedy.is_some()));
        read.remarks.iter().map(Remark::to_string).collect()
    };
    assert!(doubts(WHOLE).is_empty(), "{:?}", doubts(WHOLE));
    let long = doubts(&with("length = \"130 cm\"", "length = \"80 cm\""));
    assert!(long.iter().any(|told| told.contains("waist 82 cm is larger than the dress is long, 80 cm")), "{long:?}");
    // A dress that reaches the knee is no girth by mistake, however large she is.
    let wide = with("waist = \"82 cm\"", "waist = \"112 cm\"").replace("length = \"130 cm\"", "length = \"104 cm\"");
    let wide = doubts(&wide);
    assert!(wide.iter().all(|told| !told.contains("larger than the dress is long")), "{wide:?}");
    let large = doubts(&with("bust = \"98 cm\"", "bust = \"128 cm\""));
    assert!(large.iter().any(|told| told.starts_with("line 5: bust 128 cm is unusual")), "{large:?}");
    let apart = doubts(&with("hip = \"106 cm\"", "hip = \"126 cm\""));
    assert!(apart.iter().any(|told| told.contains("hip 126 cm is") && told.contains("beside bust 98 cm")), "{apart:?}");
}

#[test]
fn an_order_in_inches_is_answered_in_inches() {
    let inches = WHOLE.replace("98 cm", "38 1/2 in").replace("\"82 cm\"", "'32¼\"'").replace("106 cm", "42 in");
    let inches = inches.replace("40 cm", "15 3/4 in").replace("41 cm", "16 in").replace("130 cm", "51 in");
    let order = good(&inches);
    assert_eq!(order.system, System::Inch);
    assert_eq!(order.body.get(Measure::Waist), Some(32.25 * 25.4));
    assert!(draft(&order).unwrap().value.working.iter().all(|step| step.rule.contains(" in")));
}

/// Line numbers are those of the file also with Windows line ends, comments, dotted keys and inline sections.
#[test]
fn lines_are_counted_as_an_editor_counts_them() {
    let bad = with("waist = \"82 cm\"", "waist = \"82\"");
    let said_with = |text: &str| said(text).join("\n");
    assert!(said_with(&bad.replace('\n', "\r\n")).starts_with("order.toml:6: waist"));
    assert!(said_with(&format!("# one\n\n# two: ½ and \u{1f9f5}\n{bad}")).starts_with("order.toml:9: waist"));
    let dotted = "garment.kind = \"a-line-dress\"\ngarment.length = \"130 cm\"\n\nbody = { bust = \"98\", waist = \"82 cm\", hip = \"106 cm\", shoulder = \"40 cm\", waist_depth = \"41 cm\" }\n";
    assert_eq!(said(dotted), ["order.toml:4: bust = \"98\" has no unit; write \"98 cm\""]);
}

#[test]
fn a_huge_or_deep_file_is_answered() {
    let long = with("name = \"Second alto\"", &format!("name = \"{}\"", "alto ".repeat(200_000)));
    assert!(read(&long).is_ok());
    let long_value = said(&with("98 cm", &"9".repeat(100_000))).join("");
    assert!(long_value.contains("is too long for a length") && long_value.len() < 400, "{} bytes", long_value.len());
    let long_key = said(&format!("{WHOLE}{} = 1\n", "x".repeat(100_000))).join("");
    assert!(long_key.len() < 400, "{} bytes were said", long_key.len());
    let deep = format!("{WHOLE}deep = {}{}\n", "[".repeat(50_000), "]".repeat(50_000));
    assert!(!said(&deep).is_empty());
    let many: String = (0..20_000).map(|i| format!("key_{i} = {i}\n")).collect();
    let said = said(&format!("{WHOLE}{many}"));
    assert!(!said.is_empty() && said.len() <= 120, "{} sentences", said.len());
}

/// The whole file with what may stand in it besides: a size in place of a waist, and a wash test.
fn fuller() -> String {
    with("waist = \"82 cm\"", "from_size = \"us-misses-1967 12\"")
        + "shrinkage_along = [\"50 cm\", \"48.5 cm\"]\nshrinkage_across = [\"50 cm\", \"49 cm\"]\nwash = \"after-sewing\"\nprice = \"8.50 EUR per m\"\n"
}

/// What a slip of the hand makes of a file: characters changed, lines lost, doubled, exchanged, and odd values typed.
fn mutated() -> impl Strategy<Value = String> {
    let lines: Vec<String> = fuller().lines().map(str::to_owned).collect();
    let odd = prop_oneof![
        Just("\"-5 cm\"".to_owned()),
        Just("nan".to_owned()),
        Just("\"1e300 m\"".to_owned()),
        Just("\"0.0001 mm\"".to_owned()),
        Just("[]".to_owned()),
        Just("{ x = 1 }".to_owned()),
        "\"[0-9]{1,5}(\\.[0-9]{1,3})? (mm|cm|in|m|yd|ft)\"",
        "\\PC{0,30}",
    ];
    let edit = (0..lines.len(), 0..4_u8, odd, any::<prop::sample::Index>());
    prop::collection::vec(edit, 1..6).prop_map(move |edits| {
        let mut lines = lines.clone();
        for (at, kind, odd, index) in edits {
            let at = at.min(lines.len() - 1);
            match kind {
                0 => drop(lines.remove(at)),
                1 => lines.insert(index.index(lines.len()), lines[at].clone()),
                2 => {
                    if let Some((key, _)) = lines[at].clone().split_once('=') {
                        lines[at] = format!("{key}= {odd}");
                    }
                }
                _ => {
                    let mut chars: Vec<char> = lines[at].chars().collect();
                    let place = index.index(chars.len() + 1);
                    chars.splice(place..(place + 1).min(chars.len()), odd.chars().take(2));
                    lines[at] = chars.into_iter().collect();
                }
            }
            if lines.is_empty() {
                break;
            }
        }
        lines.join("\n")
    })
}

/// A draft, or a refusal of which every sentence has a place (a line or a field) and a remedy.
fn answered(text: &str) -> Result<(), TestCaseError> {
    let answer = read(text).and_then(|order| draft(&order.value)).and_then(|draft| finish(&draft.value));
    if let Err(refusal) = answer {
        prop_assert!(refusals(&refusal).count() > 0);
        for remark in refusals(&refusal) {
            prop_assert!(remark.remedy.as_ref().is_some_and(|remedy| !remedy.is_empty()), "{remark:?}");
            prop_assert!(remark.place.line.is_some() || remark.place.field.is_some(), "{remark:?}");
            let lines = text.lines().count().max(1);
            prop_assert!(remark.place.line.is_none_or(|line| (1..=lines + 1).contains(&line)), "{remark:?}");
            prop_assert!(!remark.to_string().contains("Some(") && remark.to_string().len() < 1000, "{remark}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn mutated_orders_end_in_a_draft_or_a_sentence(text in mutated()) {
        answered(&text)?;
    }

    #[test]
    fn any_text_ends_in_a_sentence(text in "\\PC{0,200}|[\\[\\]={}\"'.,#\n a-z0-9-]{0,200}") {
        answered(&text)?;
    }

    #[test]
    fn any_body_and_rules_end_in_a_draft_or_a_sentence(
        body in prop::collection::vec(10.0..3000.0_f64, 8),
        length in 100.0..2500.0_f64,
        rules in prop::collection::vec((0..25_usize, -30.0..300.0_f64), 0..6),
    ) {
        let keys = ["bust", "waist", "hip", "shoulder", "waist_depth", "hip_depth", "head", "upper_arm"];
        let mut text = "[body]\n".to_owned();
        for (key, mm) in keys.iter().zip(&body) {
            text += &format!("{key} = \"{mm:.1} mm\"\n");
        }
        text += &format!("[garment]\nkind = \"a-line-dress\"\nlength = \"{length:.1} mm\"\n[rules]\n");
        let mut set = std::collections::BTreeMap::new();
        for (rule, mm) in rules {
            set.insert(chalklight::draft::a_line_dress::RULES[rule].key, mm);
        }
        for (key, mm) in set {
            text += &if key == "chest_parts" { format!("{key} = {}\n", mm / 20.0) } else { format!("{key} = \"{mm:.1} mm\"\n") };
        }
        answered(&text)?;
    }

    #[test]
    fn a_length_printed_and_read_again_is_the_same(eighths in 1_u32..2000, mm in 1_u32..50_000) {
        for (system, length_mm) in [(System::Inch, f64::from(eighths) * 25.4 / 8.0), (System::Metric, f64::from(mm))] {
            let again = chalklight::units::read_length(&system.show(length_mm)).expect("what is printed is read");
            prop_assert!((again.mm - length_mm).abs() < 1e-9 && again.system == system, "{again:?}");
        }
    }
}

/// A list within a list says what it is, with its own line and place.
#[test]
fn a_list_within_a_list_is_told_at_its_place() {
    let text = OrderText::everyday().text()
        + "[cloth]\nwidth = \"114 cm\"\nflaws = [\n  \"1 cm\", \"2 cm\",\n  [\"3 cm\"]]\nrepeat = [[\"32 cm\"], \"64 cm\"]\n";
    let line = |part: &str| 1 + text.lines().position(|line| line.contains(part)).expect("a line");
    let refusal = read(&text).expect_err("a refusal");
    let said: Vec<_> =
        refusal.remarks.iter().map(|r| (r.place.line, r.place.field.clone(), r.sentence.clone())).collect();
    for (part, field, says) in [
        ("[\"3 cm\"]", "cloth.flaws[3]", "entry 3 of flaws is a list, not a length"),
        ("[\"32 cm\"]", "cloth.repeat[1]", "entry 1 of repeat is a list, not a length"),
    ] {
        assert!(said.contains(&(Some(line(part)), Some(field.to_owned()), says.to_owned())), "{said:#?}");
    }
    assert_eq!(said.len(), 2, "{said:#?}");
}

/// A section that is written as a list is one fault; what would stand in it is not missed as well.
#[test]
fn a_section_that_is_none_is_told_once() {
    let text = OrderText::everyday().text();
    for section in ["body", "garment", "rules"] {
        let text = text.replacen(&format!("[{section}]"), &format!("[[{section}]]"), 1);
        let said: Vec<String> = read(&text).expect_err("a refusal").remarks.iter().map(ToString::to_string).collect();
        assert!(said.len() == 1 && said[0].contains(&format!("{section} is a list, not a section")), "{said:#?}");
        assert!(said[0].contains("in single brackets"), "{said:#?}");
    }
}

/// Each of her files in the place of each other: one sentence that calls it by its name, whatever else is in it.
#[test]
fn a_file_in_the_place_of_another_is_called_by_its_name() {
    let order = OrderText::everyday().text();
    let job = "[cloth]\nwidth = \"150 cm\"\n[[order]]\nfile = \"a.toml\"\n".to_owned();
    let readings = include_str!("../calibration/readings/demo.toml").to_owned();
    let solved = chalklight::calibrate::readings_file::read(&readings)
        .and_then(|read| chalklight::calibrate::calibrate(&read.value));
    let table = chalklight::table::file::write(&solved.unwrap_or_else(|no| panic!("{no}")).value);
    let client = "name = \"Ann\"\n[[measured]]\non = 2026-11-02\nbust = \"94 cm\"\n".to_owned();
    type Reader = fn(&str) -> Result<(), chalklight::remark::Refusal>;
    let readers: [(&str, Reader); 5] = [
        ("an order", |text| read(text).map(|_| ())),
        ("a job of several orders", |text| chalklight::order::read_batch(text).map(|_| ())),
        ("a file of readings", |text| chalklight::calibrate::readings_file::read(text).map(|_| ())),
        ("a table", |text| chalklight::table::file::read(text).map(|_| ())),
        ("a client's file", |text| chalklight::clients::read(text).map(|_| ())),
    ];
    let texts = [order, job, readings, table, client];
    for (wanted, (what, reader)) in readers.iter().enumerate() {
        for (given, text) in texts.iter().enumerate() {
            if given == wanted {
                assert!(reader(text).is_ok(), "{what}");
                continue;
            }
            let refusal = reader(text).expect_err("a refusal");
            assert_eq!(refusal.remarks.len(), 1, "{what}: {refusal}");
            let name = readers[given].0;
            // A table holds the readings that it came from, and readings lead to a table.
            let akin = [given, wanted].iter().all(|file| [2, 3].contains(file));
            assert!(
                akin || refusal.to_string().contains(&format!("this is {name}, and {what} is wanted")),
                "{refusal}"
            );
        }
    }
}
