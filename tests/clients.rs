//! The client's book: what is written is read again, whatever she is called; the program as she uses it. Expected values
//! are written by hand beside each case.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use chalklight::clients::{Date, compare, file_stem, likeness, made, measured, new, note, read};
use chalklight::order::{Kind, MEASURES, Measure};
use chalklight::remark::{Remark, Weight};
use proptest::prelude::*;
use serde_json::Value;

const HER: &str = "name = \"Rosalind\"\n\n# tall, in a hurry\n[[measured]]\non = 2026-11-02\nbust = \"37 in\"\nwaist = \"30 3/4 in\"\n\
    hip = \"40 in\"\n\n[[measured]]\non = 2025-03-09\nbust = \"36 1/2 in\"\nwaist = \"30 3/4 in\"\nhead = \"22 in\"\n";

fn day(text: &str) -> Date {
    text.parse().unwrap_or_else(|no| panic!("{text}: {no}"))
}

fn said(text: &str) -> Vec<String> {
    let refusal = read(text).map(|_| ()).expect_err(text).in_file("rosalind.toml");
    assert!(refusal.remarks.iter().all(|remark| remark.weight == Weight::Refusal && remark.remedy.is_some()));
    refusal.remarks.iter().map(Remark::to_string).collect()
}

#[test]
fn two_days_are_compared_in_her_own_units() {
    let client = read(HER).unwrap().value;
    assert_eq!(client.sets.iter().map(|set| set.on.to_string()).collect::<Vec<_>>(), ["2025-03-09", "2026-11-02"]);
    let differences = compare(&client.sets[0], &client.sets[1]);
    let grown = |measure| differences.iter().find(|one| one.measure == measure).expect("it").grown_mm();
    assert!((grown(Measure::Bust).expect("both") - 12.7).abs() < 1e-9);
    assert_eq!(grown(Measure::Waist), Some(0.0));
    assert_eq!([grown(Measure::Hip), grown(Measure::Head)], [None, None]);
    let matters =
        |measure, kind| differences.iter().find(|one| one.measure == measure).expect("it").matters_for.contains(&kind);
    assert!(matters(Measure::Bust, Kind::ALineDress) && matters(Measure::Head, Kind::ALineDress));
    assert!(matters(Measure::Waist, Kind::CircleSkirt) && !matters(Measure::Bust, Kind::CircleSkirt));
}

/// The Gregorian rule for leap years: every fourth, not every hundredth, but every four-hundredth.
#[test]
fn only_days_of_the_calendar_are_days() {
    for good in ["2024-02-29", "2000-02-29", "2026-12-31", "1999-01-01"] {
        assert_eq!(day(good).to_string(), good);
    }
    for bad in [
        "2026-02-29",
        "1900-02-29",
        "2026-13-01",
        "2026-00-10",
        "2026-04-31",
        "26-1-1",
        "2026-11-02-03",
        "",
        "today",
        "2026-11-0x",
    ] {
        assert!(bad.parse::<Date>().is_err(), "{bad}");
    }
    assert!(day("2025-12-31") < day("2026-01-01"));
}

#[test]
fn every_fault_of_a_file_is_told_with_its_line() {
    for (line, other, place, says, write) in [
        ("name = \"Rosalind\"", "nmae = \"Rosalind\"", ":1:", "nmae is not known", "did you mean name?"),
        ("name = \"Rosalind\"", "name = \"\"", ":1:", "name is missing", "whose measurements"),
        ("on = 2026-11-02", "on = \"2026-11-31\"", ":5:", "is no day of the calendar", "on = 2026-11-02"),
        ("on = 2026-11-02\n", "", ":4:", "measured.on is missing", "write the day"),
        ("on = 2026-11-02", "on = 2025-03-09", ":10:", "measured twice on 2025-03-09", "two different days"),
        ("bust = \"37 in\"", "bust = \"37\"", ":6:", "bust = \"37\" has no unit", "write \"37 in\""),
        ("bust = \"37 in\"", "bust = 37", ":6:", "bust = 37 has no unit", "write \"37 in\""),
        ("bust = \"37 in\"", "bust = \"3 in\"", ":6:", "can't be a bust", "measure again"),
        ("bust = \"37 in\"", "bsut = \"37 in\"", ":6:", "bsut is not known in [measured]", "did you mean bust?"),
    ] {
        assert!(HER.contains(line), "{line}");
        let said = said(&HER.replacen(line, other, 1));
        assert_eq!(said.len(), 1, "{other}: {said:#?}");
        assert!(said[0].contains(place) && said[0].contains(says) && said[0].contains(write), "{other}: {said:#?}");
    }
    assert!(!said("[[measured]]\n").is_empty() && !said("").is_empty() && !said("measured = 7\nname = 3\n").is_empty());
}

#[test]
fn whatever_is_typed_makes_a_file_and_no_path() {
    for (name, stem) in [
        ("Rosalind", "rosalind"),
        ("  Mrs. O'Neill-Smith  ", "mrs-o-neill-smith"),
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\dress\\new", "c-dress-new"),
        ("Zoë Ångström", "zoë-ångström"),
        ("Zoe\u{308}", "zoe"),
        ("王小明", "王小明"),
        ("", "client"),
        ("...", "client"),
        ("Con", "client-con"),
        ("LPT1", "client-lpt1"),
        ("Constance", "constance"),
    ] {
        assert_eq!(file_stem(name), stem, "{name}");
    }
    assert_eq!(likeness("rosalind", "rosalind-2", "Rosalind"), 2);
    assert_eq!(likeness("rosalind-2", "rosalind-2", "Rosalind"), 2);
    assert_eq!(likeness("ROSA", "rosalind", "Rosalind"), 1);
    assert_eq!([likeness("", "a", "A"), likeness("../rosalind", "rosalind", "Rosalind")], [0, 0]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_again(name in "\\PC{0,40}|[\"\\\\\n\t#'a-zé]{1,30}", text in "[\\PC\"\\\\\n\t]{1,60}", file in "\\PC{1,30}") {
        prop_assume!(!name.trim().is_empty());
        let bust = std::iter::once((Measure::Bust, "94 cm".to_owned())).collect();
        let on = day("2026-11-02");
        let whole = new(&name) + &measured(on, &bust) + &note(on, &text) + &made(on, &file, "a-line-dress");
        let client = read(&whole).map_err(|no| TestCaseError::fail(format!("{no}\n{whole}")))?.value;
        prop_assert_eq!(&client.name, &name);
        prop_assert_eq!(&client.notes[0].text, &text);
        prop_assert_eq!(&client.made[0].order, &file);
        prop_assert_eq!(&client.sets[0].taken[&Measure::Bust].written, "94 cm");
    }

    #[test]
    fn a_file_name_is_always_one_plain_name(name in any::<String>()) {
        let stem = file_stem(&name);
        prop_assert!(!stem.is_empty() && stem.len() <= 90);
        prop_assert!(stem.chars().all(|c| c == '-' || c.is_alphanumeric()), "{}", stem);
        prop_assert_eq!(Path::new(&stem).components().count(), 1);
    }

    #[test]
    fn any_text_is_read_or_refused_with_a_remedy(text in "\\PC{0,200}|[\\[\\]={}\"'.,#\n a-z0-9-]{0,200}") {
        if let Err(refusal) = read(&text) {
            prop_assert!(refusal.remarks.iter().any(|remark| remark.weight == Weight::Refusal));
            prop_assert!(refusal.remarks.iter().all(|remark| remark.remedy.is_some()));
        }
    }
}

struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path(name), text).unwrap();
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    fn run(&self, words: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_chalklight")).args(words).current_dir(self.0.path()).output().unwrap()
    }

    /// What is answered; the code must be the one expected.
    fn says(&self, code: i32, words: &[&str]) -> String {
        let output = self.run(words);
        let said = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        let all = said(&output.stdout) + &said(&output.stderr);
        assert_eq!(output.status.code(), Some(code), "{words:?}: {all}");
        assert!(!all.contains("panicked"), "{all}");
        all
    }

    fn json(&self, words: &[&str]) -> Value {
        let output = self.run(&[words, &["--json"]].concat());
        serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|e| panic!("{words:?}: {e}: {}", String::from_utf8_lossy(&output.stderr)))
    }
}

fn order(name: &str, on: &str, bust: &str) -> String {
    format!(
        "# her gown\n[client]\nname = \"{name}\"\nmeasured = {on}\n[body]\nbust = \"{bust}\" # over the shirt\nwaist = \"78 cm\"\nhip = \"102 cm\"\n\
         shoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\nhead = \"56 cm\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n\
         [rules]\nbust_ease = \"1 cm\"\nwaist_ease = \"4.5 cm\"\nfront_neck_depth = \"13 cm\"\n"
    )
}

#[test]
fn a_client_goes_through_the_book() {
    let desk = Desk::new();
    desk.write("gown.toml", &order("Zoë Ångström", "2025-03-09", "94 cm"));
    assert!(desk.says(2, &["client", "list"]).contains("client add"));
    assert!(desk.says(0, &["client", "add", "gown.toml"]).contains("Zoë Ångström"));
    // Her comments stay, since writing only adds to the end.
    desk.write("clients/zoë-ångström.toml", &(desk.text("clients/zoë-ångström.toml") + "# deep armholes\n"));
    assert!(desk.says(2, &["client", "add", "gown.toml"]).contains("is in the book already"));
    assert!(desk.says(2, &["client", "measure", "zoë", "gown.toml"]).contains("was measured on 2025-03-09 already"));
    desk.write("now.toml", &order("Zoë Ångström", "2026-11-02", "97 cm"));
    desk.says(0, &["client", "measure", "ZOË", "now.toml"]);
    desk.says(0, &["client", "note", "Zoë", "likes a \"deep\" neck\n(and says so)", "--on", "2026-11-03"]);
    desk.says(0, &["client", "made", "Zoë", "gown.toml", "--on", "2025-04-01"]);
    assert!(desk.text("clients/zoë-ångström.toml").contains("# deep armholes\n\n[[measured]]\non = 2026-11-02"));

    let list = desk.json(&["client", "list"]);
    assert_eq!(
        (&list[0]["name"], &list[0]["measured"], &list[0]["sets"]),
        (&"Zoë Ångström".into(), &"2026-11-02".into(), &2.into())
    );
    assert_eq!(desk.json(&["client", "find", "deep"]).as_array().map(Vec::len), Some(1));
    assert_eq!(desk.json(&["client", "find", "velvet"]).as_array().map(Vec::len), Some(0));
    let shown = desk.json(&["client", "show", "zoë-ångström"]);
    assert_eq!(shown["made"][0]["order"], "gown.toml");
    assert_eq!(shown["measured"][1]["taken"][0]["written"], "97 cm");
    assert!(desk.says(0, &["client", "show", "Zoë"]).contains("likes a \"deep\" neck"));

    let grown = desk.json(&["client", "compare", "Zoë"]);
    let bust = grown["differences"].as_array().unwrap().iter().find(|row| row["key"] == "bust").unwrap();
    assert!((bust["grown_mm"].as_f64().unwrap() - 30.0).abs() < 1e-9 && bust["matters_for"][0] == "a-line-dress");
    assert!(
        desk.says(0, &["client", "compare", "Zoë", "2025-03-09", "2026-11-02"])
            .contains("97 cm  3 cm more; matters for: a-line-dress")
    );
    assert!(
        desk.says(1, &["client", "compare", "Zoë", "2025-03-09", "2024-01-01"])
            .contains("she was measured on: 2025-03-09, 2026-11-02")
    );
}

#[test]
fn the_same_dress_again_keeps_every_word_but_the_measurements() {
    let desk = Desk::new();
    desk.write("gown.toml", &order("Ann", "2025-03-09", "94 cm"));
    desk.says(0, &["client", "add", "gown.toml"]);
    desk.write("now.toml", &order("Ann", "2026-11-02", "97 cm").replace("head = \"56 cm\"\n", ""));
    desk.says(0, &["client", "measure", "Ann", "now.toml"]);
    let told = desk.says(0, &["client", "again", "Ann", "gown.toml", "--out", "new.toml"]);
    assert!(told.contains("97 cm instead of 94 cm") && told.contains("head stays as it was"), "{told}");
    assert_eq!(desk.text("new.toml"), order("Ann", "2026-11-02", "97 cm"));
    desk.says(0, &["draft", "new.toml"]);
    // No order is written over, the old one is as it was, and nothing is made of an order that can't be read.
    assert!(desk.says(2, &["client", "again", "Ann", "gown.toml", "--out", "gown.toml"]).contains("is there already"));
    assert_eq!(desk.text("gown.toml"), order("Ann", "2025-03-09", "94 cm"));
    desk.write("bad.toml", "[body]\nbust = 3\n");
    desk.says(2, &["client", "again", "Ann", "bad.toml", "--out", "x.toml"]);
    assert!(!desk.path("x.toml").exists());
}

#[test]
fn two_of_one_name_and_a_path_for_a_name_are_safe() {
    let desk = Desk::new();
    desk.write("one.toml", &order("Ann", "2026-11-02", "94 cm"));
    desk.write("two.toml", &order("Ann", "2026-11-03", "88 cm"));
    desk.write("path.toml", &order("../../Ann", "2026-11-03", "88 cm"));
    desk.says(0, &["client", "add", "one.toml"]);
    desk.says(0, &["client", "add", "two.toml", "--another"]);
    assert!(desk.path("clients/ann-2.toml").is_file());
    assert!(desk.says(2, &["client", "show", "An"]).contains("name one by her file: ann, ann-2"));
    assert!(desk.says(0, &["client", "show", "ann-2"]).contains("88 cm"));
    desk.says(0, &["client", "add", "path.toml", "--another"]);
    assert_eq!(std::fs::read_dir(desk.path("clients")).unwrap().count(), 3);
    assert_eq!(std::fs::read_dir(desk.path("")).unwrap().count(), 4, "something lies outside of the book");
    assert!(desk.says(2, &["client", "show", "../clients/ann"]).contains("no client in the book"));
    assert!(desk.says(2, &["client", "show", "Anna"]).contains("did you mean Ann?"));
}

/// A file that was spoilt by hand is told and never written to; the others go on to be listed.
#[test]
fn a_spoilt_file_stays_as_it_is() {
    let desk = Desk::new();
    desk.write("one.toml", &order("Ann", "2026-11-02", "94 cm"));
    desk.says(0, &["client", "add", "one.toml"]);
    let spoilt = "name = \"Bea\"\n[[measured]]\non = 2026-11-02\nbust = \"94\"\n";
    desk.write("clients/bea.toml", spoilt);
    let list = desk.says(0, &["client", "list"]);
    assert!(list.contains("Ann") && list.contains("bea.toml:4: bust = \"94\" has no unit"), "{list}");
    assert!(desk.says(2, &["client", "note", "Bea", "x"]).contains("bea.toml:4"));
    assert_eq!(desk.text("clients/bea.toml"), spoilt);
    // What can't be read after writing is not written: here the sets are an inline list, to which no part can be added.
    let inline = "name = \"Cleo\"\nmeasured = [{ on = 2025-01-02, bust = \"90 cm\" }]\n";
    desk.write("clients/cleo.toml", inline);
    desk.says(2, &["client", "measure", "Cleo", "one.toml"]);
    assert_eq!(desk.text("clients/cleo.toml"), inline);
    assert_eq!(std::fs::read_dir(desk.path("clients")).unwrap().count(), 3);
}

#[test]
fn a_day_must_be_known() {
    let desk = Desk::new();
    desk.write("size.toml", "[client]\nname = \"Bea\"\nmeasured = 2026-11-02\n[body]\nfrom_size = \"us-misses-1967 12\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n");
    assert!(desk.says(2, &["client", "add", "size.toml"]).contains("no measurement of hers"));
    desk.write("one.toml", &order("Ann", "\"last spring\"", "94 cm"));
    assert!(desk.says(2, &["client", "add", "one.toml"]).contains("or say --on"));
    desk.says(0, &["client", "add", "one.toml", "--on", "2026-11-02"]);
    desk.says(2, &["client", "note", "Ann", "x", "--on", "2026-02-30"]);
}

/// Two dresses on one cloth need what both need by themselves, or less when they are laid together.
#[test]
fn a_job_of_several_orders_sums_their_cloth() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("choir")).unwrap();
    let cloth = "[cloth]\nwidth = \"150 cm\"\n";
    let lengths = "[lay]\nfold = \"lengths\"\n";
    desk.write("choir/ann.toml", &(order("Ann", "2026-11-02", "94 cm") + cloth + lengths));
    desk.write("choir/bea.toml", &(order("Bea", "2026-11-02", "97 cm").replace("104 cm", "120 cm") + lengths));
    desk.write("choir/job.toml", &format!("{cloth}[[order]]\nfile = \"ann.toml\"\n[[order]]\nfile = \"bea.toml\"\n"));
    let job = desk.json(&["batch", "choir/job.toml"]);
    let used = |value: &Value| value["cloth_used_mm"].as_f64().unwrap();
    let ann = used(&desk.json(&["lay", "choir/ann.toml"]));
    assert!((used(&job["orders"][0]) - ann).abs() < 1e-9);
    assert!((used(&job["orders"][1]) - ann - 2.0 * 160.0).abs() < 1.0, "{job}");
    let one_by_one = job["one_by_one_mm"].as_f64().unwrap();
    assert!((one_by_one - used(&job["orders"][0]) - used(&job["orders"][1])).abs() < 1e-9);
    match job["together"].as_object() {
        Some(lay) => {
            assert!(used(&job) < one_by_one && lay["placed"].as_array().is_some_and(|all| all.len() == 4));
            desk.says(0, &["batch", "choir/job.toml", "--out", "choir/lay.svg"]);
            assert_eq!(desk.text("choir/lay.svg").matches("-cutting\"").count(), 4);
        }
        None => assert!((used(&job) - one_by_one).abs() < 1e-9),
    }
    desk.write("choir/job.toml", &desk.text("choir/job.toml").replace("150 cm\"", "150 cm\"\nlength = \"2.5 m\""));
    assert!(desk.says(1, &["batch", "choir/job.toml"]).contains("too short for all"));
    // A dress that is too long by itself is named, and summed up all the same; one that can't be laid is left out.
    let longer = desk.text("choir/job.toml").replace("2.5 m", "2.2 m");
    desk.write("choir/job.toml", &longer);
    let says = desk.says(1, &["batch", "choir/job.toml"]);
    assert!(says.contains("too short for Bea alone") && !says.contains("Ann alone"), "{says}");
    desk.write("choir/bea.toml", &desk.text("choir/bea.toml").replace("[rules]", "[rules]\nfold_extra = \"24 in\""));
    let says = desk.says(1, &["batch", "choir/job.toml"]);
    assert!(says.contains("bea.toml") && says.contains("left out") && says.contains("Ann"), "{says}");
    for (text, says) in [
        ("[[order]]\nfile = \"ann.toml\"\n", "cloth is missing"),
        ("[cloth]\nwidth = \"150 cm\"\n", "order is missing"),
        ("[cloth]\nwidth = \"150 cm\"\n[[order]]\nfiel = \"ann.toml\"\n", "did you mean file?"),
        ("[cloth]\nwidth = \"150 cm\"\n[[order]]\nfile = \"nobody.toml\"\n", "nobody.toml: can't be read"),
        ("[cloth]\nwidth = \"150\"\n[[order]]\nfile = \"ann.toml\"\n", "job.toml:2: width = \"150\" has no unit"),
    ] {
        desk.write("choir/job.toml", text);
        assert!(desk.says(2, &["batch", "choir/job.toml"]).contains(says), "{text}");
    }
}

#[test]
fn every_measurement_can_be_kept() {
    let all = MEASURES.iter().map(|facts| (facts.measure, format!("{} mm", facts.usual_mm[0])));
    let text = new("Ann") + &measured(day("2026-11-02"), &all.collect());
    assert_eq!(read(&text).unwrap().value.sets[0].taken.len(), MEASURES.len());
}

/// Six singers' gowns lie shorter side by side than one after the other, without a search; every piece says whose it is, and two
/// orders of one singer are told apart by their files.
#[test]
fn a_choir_lies_side_by_side_and_every_piece_says_whose_it_is() {
    let desk = Desk::new();
    let mut job = "[cloth]\nwidth = \"150 cm\"\n".to_owned();
    for (i, bust) in ["88 cm", "92 cm", "94 cm", "96 cm", "98 cm", "100 cm"].into_iter().enumerate() {
        // The last two are one singer's.
        let name = ["Ann", "Bea", "Cleo", "Dora", "Eva", "Eva"][i];
        let order = order(name, "2026-11-02", bust).replace("[rules]", "sleeve = \"short\"\n[rules]");
        desk.write(&format!("gown-{i}.toml"), &order.replace("[garment]", "upper_arm = \"29 cm\"\n[garment]"));
        job += &format!("[[order]]\nfile = \"gown-{i}.toml\"\n");
    }
    desk.write("job.toml", &job);
    let value = desk.json(&["batch", "job.toml", "--out", "lay.svg"]);
    let mm = |key: &str| value[key].as_f64().unwrap();
    assert!(mm("cloth_used_mm") < mm("one_by_one_mm") && mm("side_by_side_mm") == mm("cloth_used_mm"), "{value}");
    let titles: Vec<&str> =
        value["orders"].as_array().unwrap().iter().map(|one| one["title"].as_str().unwrap()).collect();
    assert_eq!(titles, ["Ann", "Bea", "Cleo", "Dora", "Eva, gown-4", "Eva, gown-5"]);
    let placed = value["together"]["placed"].as_array().unwrap();
    let (drawn, stages) = (desk.text("lay.svg"), titles.len());
    for (i, title) in titles.iter().enumerate() {
        let hers: Vec<&Value> = placed.iter().filter(|one| one["whose"] == **title).collect();
        let per_order = placed.len() / stages;
        assert!(hers.len() >= 3 && hers.len() <= per_order + 2, "{title}: {} of {}", hers.len(), placed.len());
        // The pieces of an order come one after the other among all that were asked for: front, back, sleeve.
        assert!(hers.iter().all(|one| one["of"].as_u64().unwrap() / 3 == i as u64), "{title}: {hers:?}");
        assert!(drawn.contains(&format!(">{title}: front, cut 1")), "{title}");
    }
    let says = desk.says(0, &["batch", "job.toml"]);
    assert!(says.contains("Eva, gown-4") && says.contains("laid side by side"), "{says}");
    // One after the other, with the reason, where side by side no less is found.
    desk.write(
        "job.toml",
        "[cloth]\nwidth = \"150 cm\"\n[[order]]\nfile = \"gown-0.toml\"\n[[order]]\nfile = \"gown-0.toml\"\n",
    );
    let value = desk.json(&["batch", "job.toml"]);
    let says = desk.says(0, &["batch", "job.toml"]);
    match value["together"].is_null() {
        true => assert!(says.contains("side by side they need") && says.contains("no less was found"), "{says}"),
        false => assert!(value["side_by_side_mm"].as_f64() < value["one_by_one_mm"].as_f64(), "{value}"),
    }
}

/// What can't help is not offered: a garment is not made half as long, and no search makes pieces smaller than their area.
#[test]
fn no_remedy_is_offered_that_can_not_help() {
    let desk = Desk::new();
    let said = |fold: &str, length: &str| {
        let cloth = format!("[cloth]\nwidth = \"114 cm\"\nlength = \"{length}\"\n[lay]\n{fold}");
        desk.write("ann.toml", &(order("Ann", "2026-11-02", "94 cm") + &cloth));
        desk.says(1, &["lay", "ann.toml"])
    };
    let lengths = "fold = \"lengths\"\n";
    assert!(said(lengths, "2 m").contains(", or make it 7.3 cm shorter"), "{}", said(lengths, "2 m"));
    let short = said(lengths, "80 cm");
    assert!(short.contains("too short") && short.contains("buy 2.20 m") && !short.contains("shorter"), "{short}");
    assert!(said("", "2 m").contains("let it search longer"), "{}", said("", "2 m"));
    let short = said("", "90 cm");
    assert!(short.contains("too short") && short.contains("buy") && !short.contains("search longer"), "{short}");
}
