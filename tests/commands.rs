//! The program as she uses it: real files, real exit codes, and the README's own walk.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// A fresh folder in which the program is run.
pub struct Desk {
    folder: TempDir,
}

impl Desk {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Self {
        std::fs::write(self.path(name), bytes).unwrap();
        self
    }

    pub fn run(&self, words: &str) -> Output {
        self.run_with(words, "")
    }

    pub fn run_with(&self, words: &str, input: &str) -> Output {
        self.run_words(&words.split_whitespace().collect::<Vec<_>>(), input)
    }

    pub fn run_words(&self, words: &[&str], input: &str) -> Output {
        let mut child = Command::new(env!("CARGO_BIN_EXE_chalklight"))
            .args(words)
            .current_dir(self.folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        child.wait_with_output().unwrap()
    }
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

pub fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {}", text(&output.stderr)))
}

pub fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {}", text(&output.stderr)))
}

fn readme() -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap()
}

/// The fenced blocks of a language in the README.
fn blocks(language: &str) -> Vec<String> {
    let readme = readme();
    let fence = format!("```{language}\n");
    readme.split(&fence).skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

fn demo_readings() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("calibration/readings/demo.toml");
    std::fs::read_to_string(path).unwrap()
}

/// What the walk asks for at last.
const ON_LENGTHS: &str = "[lay]\nfold = \"lengths\"\n";

/// The README's first order, mended as its walk says.
fn mended_order() -> String {
    let neck = blocks("toml")[0].replace("[rules]", "[rules]\nfront_neck_depth = \"13 cm\"");
    format!("{neck}\n{ON_LENGTHS}")
}

#[test]
fn the_walk_of_the_readme_is_what_happens() {
    let desk = Desk::new();
    let first = desk.write("order.toml", &blocks("toml")[0]).run("draft order.toml");
    let second = desk.write("order.toml", mended_order()).run("draft order.toml");
    let lengths = desk.run("lay order.toml");
    let weighed = desk.write("order.toml", mended_order().replace(ON_LENGTHS, "")).run("lay order.toml");
    let codes = [code(&first), code(&second), code(&weighed), code(&lengths)];
    assert_eq!(codes, [1, 0, 0, 0], "{}", text(&second.stderr));
    let said = [&first, &second, &weighed, &lengths].map(|output| text(&output.stdout)).join("\n");
    let quoted = blocks("text");
    assert!(quoted.len() >= 3, "the README quotes {} answers", quoted.len());
    for line in quoted.iter().flat_map(|block| block.lines()).filter(|line| line.trim() != "...") {
        assert!(said.contains(line), "the README quotes a line that is not said:\n{line}\n\n{said}");
    }
}

/// So that the pictures of the demo are those of the walk.
#[test]
fn the_walk_ends_with_the_order_of_the_demo() {
    let read = |text: &str| chalklight::order::read(text).unwrap().value;
    let demo = include_str!("../src/command/demo/order.toml");
    let (walk, demo) = (read(&mended_order()), read(demo));
    assert_eq!((walk.body, walk.garment, walk.cloth), (demo.body, demo.garment, demo.cloth));
    assert_eq!(walk.lay.fold.map(|asked| asked.value), demo.lay.fold.map(|asked| asked.value));
    let rules = |rules: &std::collections::BTreeMap<_, chalklight::entries::Placed<_>>| -> Vec<_> {
        rules.iter().map(|(key, amount): (&String, _)| (key.clone(), amount.value)).collect()
    };
    assert_eq!(rules(&walk.rules), rules(&demo.rules));
}

#[test]
fn every_house_rule_is_in_the_readme_with_its_default() {
    let readme = readme();
    for rule in chalklight::draft::a_line_dress::RULES {
        assert!(readme.contains(&format!("`{}`", rule.key)), "README lacks {}", rule.key);
    }
}

#[test]
fn from_order_and_readings_to_pictures_on_real_files() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order()).write("readings.toml", demo_readings());
    let table = desk.run("calibrate readings.toml --out table.toml --json");
    assert_eq!(code(&table), 0, "{}", text(&table.stderr));
    assert_eq!(json(&table)["trusted"], true);

    let frames = desk.run("frame order.toml --table table.toml --stage all --out stage.png --json");
    assert_eq!(code(&frames), 0, "{}", text(&frames.stderr));
    let frames = json(&frames);
    let frames = frames.as_array().unwrap();
    assert!(frames.len() >= 6);
    for (i, frame) in frames.iter().enumerate() {
        let picture = image::open(desk.path(&format!("stage-{}.png", i + 1))).unwrap();
        assert_eq!((picture.width(), picture.height()), (1920, 1080));
        assert_eq!(frame["stage"], i as u64 + 1);
    }

    let pixel = text(&desk.run_with("locate table.toml", "600 400\n").stdout);
    let back = text(&desk.run_with("locate table.toml --back", &pixel).stdout);
    let mm: Vec<f64> = back.split_whitespace().map(|n| n.parse().unwrap()).collect();
    assert!((mm[0] - 600.0).abs() < 1e-5 && (mm[1] - 400.0).abs() < 1e-5, "{back}");

    let sheet = desk.run("sheet order.toml --table table.toml --out sheet.pdf");
    assert_eq!(code(&sheet), 0, "{}", text(&sheet.stderr));
    assert!(std::fs::read(desk.path("sheet.pdf")).unwrap().starts_with(b"%PDF"));
}

#[test]
fn draft_and_lay_answer_in_the_documented_shape() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order());
    let draft = json(&desk.run("draft order.toml --json --out draft.svg"));
    for piece in draft["pieces"].as_array().unwrap() {
        assert_eq!(piece["on_fold"], true);
        assert!(piece["sew_outline"].as_array().unwrap().len() > 20);
        assert!(piece["cut_outline"].as_array().unwrap().len() > 20);
        for edge in piece["edges"].as_array().unwrap() {
            assert!(edge["length_mm"].as_f64().unwrap() > 10.0);
            assert!(edge["allowance_mm"].as_f64().unwrap() >= 0.0);
        }
    }
    assert!(draft["working"].as_array().unwrap().iter().all(|step| step["value_mm"].is_number()));
    assert!(draft["checks"].as_array().unwrap().iter().all(|check| check["ok"] == true));
    assert!(std::fs::read_to_string(desk.path("draft.svg")).unwrap().contains("<svg"));

    let lay = json(&desk.run("lay order.toml --json --out lay.svg"));
    assert_eq!(lay["layers"], 4);
    assert_eq!(lay["placed"].as_array().unwrap().len(), 2);
    let used = lay["cloth_used_mm"].as_f64().unwrap();
    let share = lay["use"].as_f64().unwrap();
    assert!(used < lay["cloth_length_mm"].as_f64().unwrap() && (0.4..0.9).contains(&share));
}

#[test]
fn exit_codes_tell_work_that_says_no_from_input_that_cannot_be_read() {
    let desk = Desk::new();
    let short = mended_order().replace("\"3 m\"", "\"2 m\"");
    desk.write("short.toml", short).write("bytes.toml", [0xff, 0xfe, 0x00]).write("empty.toml", "");
    desk.write(
        "table.toml",
        "[projector]\nwidth = 64\nheight = 48\n[table]\nhomography = [1, 0, 0, 0, 1, 0, 0, 0, 1]\n",
    );
    desk.write("order.toml", mended_order());

    let output = desk.run("lay short.toml --json");
    assert_eq!(code(&output), 1);
    let said = json(&output);
    assert!(said["refused"][0]["says"].as_str().unwrap().contains("too short"), "{said}");
    assert!(said["refused"][0]["remedy"].as_str().unwrap().starts_with("buy 2.20 m"), "{said}");

    for words in
        ["draft bytes.toml", "draft empty.toml", "draft absent.toml", "lay empty.toml", "draft", "frame order.toml"]
    {
        let output = desk.run(words);
        assert_eq!(code(&output), 2, "{words}: {}", text(&output.stderr));
        assert!(!output.stderr.is_empty(), "{words} said nothing");
    }
    // A table that can't be read is said before the order is judged.
    let cut = desk.run("cut short.toml --table bytes.toml");
    assert_eq!(code(&cut), 2, "{}", text(&cut.stderr));
    // A table written by hand draws, but is not cut by.
    assert_eq!(code(&desk.run("frame order.toml --table table.toml --stage 1 --out a.png")), 0);
    let cut = desk.run("cut order.toml --table table.toml");
    assert_eq!(code(&cut), 1, "{}", text(&cut.stderr));
    assert!(text(&cut.stderr).contains("--trust-anyway"), "{}", text(&cut.stderr));
    let none = desk.run("frame order.toml --table table.toml --stage 99 --out a.png");
    assert_eq!(code(&none), 2);
    assert!(text(&none.stderr).contains("from 1 to 6"), "{}", text(&none.stderr));
}

#[test]
fn a_reader_that_closes_its_end_is_no_fault() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order());
    let mut child = Command::new(env!("CARGO_BIN_EXE_chalklight"))
        .args(["draft", "order.toml", "--json"])
        .current_dir(desk.folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 0);
    assert!(!text(&output.stderr).contains("panicked"), "{}", text(&output.stderr));
}

#[test]
fn without_a_driver_one_sentence_says_what_to_install() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order());
    desk.write(
        "table.toml",
        "[projector]\nwidth = 64\nheight = 48\n[table]\nhomography = [1, 0, 0, 0, 1, 0, 0, 0, 1]\n",
    );
    let output = Command::new(env!("CARGO_BIN_EXE_chalklight"))
        .args(["frame", "order.toml", "--table", "table.toml", "--stage", "1", "--out", "a.png"])
        .current_dir(desk.folder.path())
        .env("VK_DRIVER_FILES", "/nonexistent")
        .env("VK_ICD_FILENAMES", "/nonexistent")
        .env("__EGL_VENDOR_LIBRARY_DIRS", "/nonexistent")
        .env("LIBGL_DRIVERS_PATH", "/nonexistent")
        .output()
        .unwrap();
    assert_eq!(code(&output), 2);
    assert!(text(&output.stderr).contains("install mesa-vulkan-drivers"), "{}", text(&output.stderr));
}

#[test]
fn the_demo_does_the_whole_job_and_every_check_passes() {
    let desk = Desk::new();
    let output = desk.run("demo --out demo --json");
    assert_eq!(code(&output), 0, "{}", text(&output.stderr));
    let said = json(&output);
    assert_eq!(said["checks_passed"], true);
    for number in 1..=said["stages"].as_u64().unwrap() {
        for name in [format!("demo/stage-{number}.png"), format!("demo/above-{number}.png")] {
            assert!(image::open(desk.path(&name)).is_ok(), "{name}");
        }
    }
    for name in ["cut-sheet.pdf", "draft.svg", "lay.svg", "order.toml", "readings.toml", "table.toml"] {
        assert!(desk.path("demo").join(name).is_file(), "{name}");
    }
}

/// Common practice, no source: a 53 in dress with its hem is 54 in long; two lengths of it are 3 yd of 45 in cloth, and the
/// half-width lies inside 22 1/2 in. What the shoulder's turning asks for above the start line comes on top; where just 3 yd
/// were bought, the hem's turning gives it up.
#[test]
fn two_lengths_of_a_53_inch_dress_are_3_yards() {
    const INCH_MM: f64 = 25.4;
    let desk = Desk::new();
    let order = "[body]\nbust = \"40 in\"\nwaist = \"36 in\"\nhip = \"42 in\"\nshoulder = \"16 in\"\nwaist_depth = \"16 in\"\n\
                 head = \"22 in\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"53 in\"\n[rules]\nshoulder_allowance = \"0 in\"\n\
                 [lay]\nfold = \"lengths\"\n[cloth]\nwidth = \"45 in\"\nlength = \"4 yd\"\n";
    desk.write("order.toml", order);
    let lay = json(&desk.run("lay order.toml --json"));
    let used_in = lay["cloth_used_mm"].as_f64().unwrap() / INCH_MM;
    // Curves are flattened to 0.01 mm.
    assert!((used_in - 108.0).abs() < 0.01 / INCH_MM, "{used_in}");
    desk.write("order.toml", order.replace("\"0 in\"", "\"1/2 in\""));
    let lay = json(&desk.run("lay order.toml --json"));
    let used_in = lay["cloth_used_mm"].as_f64().unwrap() / INCH_MM;
    assert!((108.0..109.0).contains(&used_in), "{used_in}");
    let output = {
        desk.write("order.toml", order.replace("\"0 in\"", "\"1/2 in\"").replace("4 yd", "3 yd"));
        desk.run("lay order.toml --json")
    };
    assert_eq!(code(&output), 0, "{}", text(&output.stderr));
    let lay = json(&output);
    assert!((lay["cloth_used_mm"].as_f64().unwrap() / INCH_MM - 108.0).abs() < 1e-6, "{}", lay["cloth_used_mm"]);
    assert!(text(&output.stderr).contains("hem turning of 11/16 in instead of 1 in"), "{}", text(&output.stderr));
    let shorter = order.replace("\"0 in\"", "\"1/2 in\"").replace("4 yd", "107 1/2 in");
    assert_eq!(code(&desk.write("order.toml", shorter).run("lay order.toml")), 1);
    let corners = lay["placed"][0]["cut_outline"].as_array().unwrap();
    let widest_in = corners.iter().map(|p| p[1].as_f64().unwrap()).fold(0.0, f64::max) / INCH_MM;
    assert!((17.5..22.5).contains(&widest_in), "{widest_in}");
}

/// What was typed by hand is never written over by what is made of it.
#[test]
fn nothing_is_written_over_but_its_like() {
    let desk = Desk::new();
    let order = mended_order();
    desk.write("order.toml", &order).write("readings.toml", demo_readings());
    for (out, kept) in [("readings.toml", demo_readings()), ("order.toml", order.clone())] {
        let output = desk.run(&format!("calibrate readings.toml --out {out}"));
        assert_eq!(code(&output), 2, "{}", text(&output.stdout));
        assert!(text(&output.stderr).contains("is no table"), "{}", text(&output.stderr));
        assert_eq!(std::fs::read_to_string(desk.path(out)).unwrap(), kept);
    }
    for _ in 0..2 {
        assert_eq!(code(&desk.run("calibrate readings.toml --out table.toml")), 0, "a table over a table");
    }
    let frame = desk.run("frame order.toml --table readings.toml --stage 1 --out stage.png");
    assert!(text(&frame.stderr).contains("these are readings"), "{}", text(&frame.stderr));
}

/// A job's own cloth is named when it is what does not do.
#[test]
fn narrow_cloth_of_a_job_is_said_of_the_job() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order());
    desk.write(
        "job.toml",
        "[cloth]\nwidth = \"40 cm\"\n[[order]]\nfile = \"order.toml\"\n[[order]]\nfile = \"order.toml\"\n",
    );
    let says = text(&desk.run("batch job.toml").stderr);
    let line = says.lines().find(|line| line.contains("too narrow")).unwrap_or_else(|| panic!("{says}"));
    assert!(line.contains("job.toml") && line.contains("for ") && line.contains("order.toml:"), "{line}");
}

/// The orders of a job are printed on one sheet, on the job's cloth; where that does not suffice, the job is named.
#[test]
fn a_job_has_one_cut_sheet() {
    let desk = Desk::new();
    let job = "[cloth]\nwidth = \"150 cm\"\n[[order]]\nfile = \"ann.toml\"\n[[order]]\nfile = \"bea.toml\"\n";
    desk.write("ann.toml", mended_order()).write("bea.toml", mended_order()).write("job.toml", job);
    let output = desk.run("sheet job.toml --out job.pdf --json");
    assert_eq!(code(&output), 0, "{}", text(&output.stderr));
    assert_eq!(json(&output)["out"], "job.pdf");
    assert!(std::fs::read(desk.path("job.pdf")).unwrap().starts_with(b"%PDF"));
    desk.write("job.toml", job.replace("150 cm\"", "150 cm\"\nlength = \"1.5 m\""));
    let output = desk.run("sheet job.toml --out short.pdf");
    let said = text(&output.stderr);
    assert!(code(&output) == 1 && said.contains("job.toml:3: ") && said.contains("too short"), "{said}");
    assert!(!desk.path("short.pdf").exists());
}

#[test]
fn a_table_is_proved_and_corrected_but_never_written_over() {
    let desk = Desk::new();
    desk.write("readings.toml", demo_readings());
    assert_eq!(code(&desk.run("calibrate readings.toml --out table.toml")), 0);
    let old = std::fs::read_to_string(desk.path("table.toml")).unwrap();
    let worth = json(&desk.run("prove table.toml --json"));
    let worth: Vec<(String, f64)> = worth["distances"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| {
            let pair = format!("{} {}", d["from"].as_str().unwrap(), d["to"].as_str().unwrap());
            (pair, d["should_mm"].as_f64().unwrap())
        })
        .collect();
    assert_eq!(worth.len(), 3);
    let prove = |grown: f64, bad_mm: f64, more: &[&str]| {
        let read = |(i, (pair, mm)): (usize, &(String, f64))| {
            format!("{pair} {:.1} mm", mm * grown + if i == 1 { bad_mm } else { 0.0 })
        };
        let read: Vec<String> = worth.iter().enumerate().map(read).collect();
        let mut words = vec!["prove", "table.toml", "--json"];
        read.iter().for_each(|distance| words.extend(["--distance", distance]));
        words.extend(more);
        desk.run_words(&words, "")
    };
    for (grown, bad_mm, verdict, exit) in [(1.0, 0.0, "holds", 0), (1.012, 0.0, "moved", 1), (1.0, 25.0, "broken", 1)] {
        let output = prove(grown, bad_mm, &[]);
        assert_eq!((code(&output), json(&output)["verdict"].as_str()), (exit, Some(verdict)));
    }
    assert_eq!(code(&prove(1.012, 0.0, &["--out", "table.toml"])), 2);
    assert_eq!(code(&prove(1.012, 0.0, &["--out", "corrected.toml"])), 1);
    assert_eq!(std::fs::read_to_string(desk.path("table.toml")).unwrap(), old);
    let corrected = json(&desk.run("prove corrected.toml --json"));
    let grown = corrected["distances"][2]["should_mm"].as_f64().unwrap() / worth[2].1;
    assert!((grown - 1.012).abs() < 1e-4, "{grown}");
    for (distance, says) in [("A1 A1 3 mm", "no distance"), ("A1 A5 1204", "no unit"), ("A1 A5", "write two marks")] {
        let output = desk.run_words(&["prove", "table.toml", "--distance", distance], "");
        assert!(code(&output) == 2 && text(&output.stderr).contains(says), "{}", text(&output.stderr));
    }
    let output = desk.run_words(&["prove", "table.toml", "--distance", "A1 Z9 1204 mm"], "");
    assert!(code(&output) == 2 && text(&output.stderr).contains("not among the table's"));
}

/// What is said of numbers that don't go together names the line that one of them stands on.
#[test]
fn what_does_not_go_together_is_placed_in_the_file() {
    let desk = Desk::new();
    let order = mended_order();
    for (from, to, key) in [
        ("[rules]", "[rules]\nneck_half_width = \"20 cm\"", "neck_half_width"),
        ("width = \"114 cm\"", "width = \"80 cm\"", "width"),
        ("length = \"104 cm\"", "length = \"39 cm\"", "length"),
    ] {
        let text = order.replacen(from, to, 1);
        let line = 1 + text.lines().position(|line| line.starts_with(&format!("{key} = "))).unwrap();
        let output = desk.write("order.toml", &text).run("lay order.toml");
        let said = text_of(&output);
        assert!(said.contains(&format!("order.toml:{line}: ")), "{key} on line {line}: {said}");
    }
    let misspelt = order.replace("[body]", "[boddy]");
    let said = text_of(&desk.write("order.toml", misspelt).run("draft order.toml"));
    assert!(said.contains("did you mean body?") && !said.contains("missing"), "{said}");
}

fn text_of(output: &Output) -> String {
    text(&output.stderr)
}

/// Where an edge has no turning a nick would cut into the garment (a third of the turning is the most that is safe,
/// Vilumsone-Nemes, *Industrial Cutting of Textile Materials*): its marks are chalked.
#[test]
fn marks_on_a_bare_edge_are_chalked_and_the_last_stage_names_what_lies_there() {
    let desk = Desk::new();
    let last = |order: &str| {
        desk.write("order.toml", order).write("readings.toml", demo_readings());
        desk.run("calibrate readings.toml --out table.toml");
        let frames = json(&desk.run("frame order.toml --table table.toml --stage all --out stage.png --json"));
        frames.as_array().unwrap().last().unwrap()["sentence"].as_str().unwrap().to_owned()
    };
    let order = mended_order();
    let draft = json(&desk.write("order.toml", &order).run("draft order.toml --json"));
    for notch in draft["pieces"].as_array().unwrap().iter().flat_map(|piece| piece["notches"].as_array().unwrap()) {
        assert_eq!(notch["chalked"], notch["edge"] == "armhole", "{notch}");
    }
    let said = last(&order);
    assert!(
        said.contains("armhole has no turning: chalk its marks") && said.contains("levels on the front;"),
        "{said}"
    );
    let turned = last(&order.replace("[rules]", "[rules]\narmhole_allowance = \"1 cm\""));
    assert!(!turned.contains("no turning"), "{turned}");
    let other = last(&order.replace("[rules]", "[rules]\nback_neck_depth = \"20 cm\"\nback_armhole_hollow = \"3 cm\""));
    assert!(other.contains("levels on the back; then lay the front"), "{other}");
}

/// What is chalked on one piece alone is named in the stage in which it is chalked.
#[test]
fn darts_and_pockets_are_named_where_they_are_chalked() {
    let desk = Desk::new();
    let both = "[garment]\ndart = \"side\"\npockets = \"patch\"";
    for width in ["114 cm", "150 cm"] {
        let order =
            mended_order().replace("[garment]", both).replace("114 cm", width).replace("fold = \"lengths\"", "");
        desk.write("order.toml", &order).write("readings.toml", demo_readings());
        desk.run("calibrate readings.toml --out table.toml");
        let frames = json(&desk.run("frame order.toml --table table.toml --stage all --out stage.png --json"));
        let says = |frame: &serde_json::Value| frame["sentence"].as_str().unwrap().to_owned();
        let said: Vec<String> = frames.as_array().unwrap().iter().map(says).collect();
        let named = "On the front chalk the legs of the dart and the place of the pocket too.";
        assert!(said.iter().any(|says| says.contains("Chalk the sewing lines") && says.contains(named)), "{said:?}");
    }
}

/// A file is named as what is written into it: nothing is written under another ending.
#[test]
fn a_file_is_named_as_what_it_is() {
    let desk = Desk::new();
    desk.write("order.toml", mended_order());
    for (command, right) in [
        ("sheet order.toml --out sheet.png", "write --out sheet.pdf"),
        ("card --out card.svg", "write --out card.pdf"),
        ("draft order.toml --out draft.pdf", "write --out draft.svg"),
        ("lay order.toml --out lay.png", "write --out lay.svg"),
        ("grid --size 1920x1080 --out grid.pdf", "write --out grid.png"),
    ] {
        let output = desk.run(command);
        assert!(code(&output) == 2 && text_of(&output).contains(right), "{command}: {}", text_of(&output));
        let out = command.rsplit(' ').next().unwrap();
        assert!(!desk.path(out).exists(), "{out} was written");
    }
}

/// What seams name is found among the edges of their pieces, as long as the seam says; a dart is told with its point, where the
/// legs that are marked meet.
#[test]
fn the_json_of_a_draft_names_what_seams_and_darts_need() {
    let desk = Desk::new();
    let gown = "[body]\nbust = \"94 cm\"\nhip = \"102 cm\"\nhead = \"56 cm\"\n[garment]\nkind = \"kaftan\"\nlength = \"130 cm\"\n";
    desk.write("gown.toml", gown);
    desk.write("dress.toml", mended_order().replace("[garment]", "[garment]\ndart = \"side\"").replace(ON_LENGTHS, ""));
    for file in ["gown.toml", "dress.toml"] {
        let draft = json(&desk.run(&format!("draft {file} --json")));
        let pieces = draft["pieces"].as_array().unwrap();
        let edge_mm = |part: &Value| {
            let piece = pieces.iter().find(|piece| piece["name"] == part["piece"]).expect("the piece");
            let edge = piece["edges"].as_array().unwrap().iter().find(|edge| edge["name"] == part["edge"]);
            let edge = edge.unwrap_or_else(|| panic!("{file}: {part} is no edge"));
            edge["length_mm"].as_f64().unwrap() * part["times"].as_f64().unwrap()
        };
        for seam in draft["seams"].as_array().unwrap() {
            let side = |i: usize| seam["sides"][i].as_array().unwrap().iter().map(edge_mm).sum::<f64>();
            assert!((side(1) - side(0) - seam["ease_mm"].as_f64().unwrap()).abs() < 0.1, "{file}: {seam}");
        }
        let inside =
            pieces.iter().flat_map(|piece| piece["edges"].as_array().unwrap()).filter(|edge| edge["inside"] == true);
        assert_eq!(inside.count(), if file == "gown.toml" { 2 } else { 0 });
    }
    let draft = json(&desk.run("draft dress.toml --json"));
    let front = draft["pieces"].as_array().unwrap().iter().find(|piece| piece["name"] == "front").unwrap();
    let dart = &front["darts"][0];
    let legs: Vec<&Value> = front["marks"].as_array().unwrap().iter().filter(|mark| mark["name"] == "dart").collect();
    assert!(legs.len() == 2 && legs.iter().all(|leg| leg["ends"][1] == dart["point"]), "{front}");
    assert!(dart["edge"] == "side" && dart["mouth_mm"][1].as_f64() > dart["mouth_mm"][0].as_f64(), "{dart}");
}

#[test]
fn a_photo_given_as_an_order_is_told_where_it_belongs() {
    let desk = Desk::new();
    desk.write("cloth.png", [0x89, b'P', b'N', b'G', 0xff]);
    let no = desk.run("draft cloth.png");
    let said = text(&no.stderr);
    assert_ne!(code(&no), 0);
    assert!(said.contains("cloth.png") && said.contains("no plain text") && said.contains("cloth's page"), "{said}");
}

/// What a sleeve needs, and what goes by a hand where it was measured, is listed with the word that asks for it.
#[test]
fn the_list_of_garments_names_what_a_choice_asks_for() {
    let desk = Desk::new();
    let list = json(&desk.run("garments --json"));
    let of = |kind: &str, choice: &str, group: &str, word: &str| -> Vec<String> {
        let is = |value: &Value, key: &str, word: &str| value[key].as_str() == Some(word);
        let kind = list.as_array().unwrap().iter().find(|garment| is(garment, "kind", kind)).unwrap();
        let choice = kind["choices"].as_array().unwrap().iter().find(|of| is(of, "key", choice)).unwrap();
        let asked = choice[group].as_array().unwrap().iter().find(|of| is(of, "word", word));
        let all = asked.map(|of| of["measurements"].as_array().unwrap().clone()).unwrap_or_default();
        all.iter().map(|measure| measure["key"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(of("a-line-dress", "sleeve", "needs", "long"), ["upper_arm", "arm_length"]);
    assert_eq!(of("tunic", "sleeve", "needs", "short"), ["upper_arm"]);
    assert_eq!(of("tunic", "sleeve", "needs", "flutter"), Vec::<String>::new());
    assert_eq!(of("a-line-dress", "sleeve", "wants", "long"), ["hand"]);
    assert_eq!(of("a-line-skirt", "pockets", "wants", "in-seam"), ["hand"]);
    let words = text(&desk.run("garments").stdout);
    assert!(words.contains("long needs arm_length: from the shoulder tip"), "{words}");
    assert!(words.contains("in-seam wants hand: round the widest part"), "{words}");
}
