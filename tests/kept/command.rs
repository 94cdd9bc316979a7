//! Kept by a command and taken by all others, on real files.

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::lay::{Lay, Wanted, cloth_of, kept};
use chalklight::scene::{Room, Side, View, Way};
use chalklight::session::file::{Belongs, write};
use chalklight::session::{Ground, Session, Work, trace};
use chalklight::table::{TrustedTable, file};

use crate::commands::{Desk, code, json, text};
use crate::sessions::TABLE;

/// The demo's dress on cloth so wide that front and back lie side by side.
fn wide() -> String {
    let order = include_str!("../../src/command/demo/order.toml").replace("fold = \"lengths\"", "");
    order.replace("width = \"114 cm\"", "width = \"150 cm\"")
}

fn desk() -> Desk {
    let desk = Desk::new();
    desk.write("alto.toml", wide()).write("table.toml", TABLE);
    desk
}

fn used_mm(desk: &Desk, words: &str) -> f64 {
    let output = desk.run(words);
    assert_eq!(code(&output), 0, "{}", text(&output.stderr));
    json(&output)["cloth_used_mm"].as_f64().unwrap()
}

fn read(desk: &Desk, name: &str) -> String {
    std::fs::read_to_string(desk.path(name)).unwrap_or_else(|no| panic!("{name}: {no}"))
}

/// The lay that is kept of an order, by the library alone.
fn kept_lay(order: &str, kept: &str) -> Lay {
    let order = chalklight::order::read(order).unwrap().value;
    let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
    let wanted = Wanted::of(&pieces, cloth_of(order.cloth.as_ref()).unwrap(), order.system).asking(&order.lay);
    let lay = kept::read(kept).unwrap().lay(&wanted).unwrap().value;
    lay.as_asked(&order.lay).unwrap().value
}

/// A trace of a session of that lay on the table: two steps on.
fn traced(order: &str, lay: &Lay) -> String {
    let table = file::read(TABLE).unwrap().value;
    let view = View::of(Room::in_lit_area(table.table.lit_corners_mm().unwrap()), lay.system, Way::LightOnDark);
    let side = Side::default();
    let view = View { band: side, reads: side, ..view };
    let work = Work::of(lay, &view).unwrap();
    let belongs = Belongs::of(order, &work, &table);
    let session = Session::begin(Ground::Trusted(TrustedTable::by_her_yes(table)), work, view);
    trace::head(&write(&session, &belongs), false) + "next\nnext\n"
}

#[test]
fn what_a_search_finds_is_cut() {
    let desk = desk();
    let before_mm = used_mm(&desk, "lay alto.toml --json");
    let output = desk.run("lay alto.toml --seconds 2 --keep --json");
    assert!(text(&output.stderr).contains("alto.lay.toml: the lay is kept there"), "{}", text(&output.stderr));
    let found = json(&output);
    let after = json(&desk.run("lay alto.toml --json"));
    assert_eq!(after["cloth_used_mm"], found["cloth_used_mm"]);
    assert_eq!(after["fold"], found["fold"]);
    let used = after["cloth_used_mm"].as_f64().unwrap();
    assert!(used <= before_mm, "{used} of {before_mm}");
    let at = |lay: &serde_json::Value| -> Vec<String> {
        let placed = lay["placed"].as_array().unwrap().iter();
        placed
            .map(|one| {
                format!("{} {:.6} {:.6}", one["piece"], one["at"][0].as_f64().unwrap(), one["at"][1].as_f64().unwrap())
            })
            .collect()
    };
    assert_eq!(at(&after), at(&found));

    // Every command that throws or prints takes it, and the session belongs to it.
    let lay = kept_lay(&wide(), &read(&desk, "alto.lay.toml"));
    assert!((lay.used_mm - used).abs() < 1e-9);
    let frames = desk.run("frame alto.toml --table table.toml --stage all --out stage.png --json");
    assert_eq!(code(&frames), 0, "{}", text(&frames.stderr));
    assert!(text(&frames.stderr).contains("the pieces lie as they are kept there"));
    assert_eq!(json(&frames).as_array().unwrap().len(), chalklight::stages::stages(&lay).len());
    assert_eq!(code(&desk.run("sheet alto.toml --out sheet.pdf")), 0);
    desk.write("first.trace", traced(&wide(), &lay));
    let replay = "cut alto.toml --table table.toml --trust-anyway --json --replay first.trace";
    let output = desk.run(replay);
    assert_eq!((code(&output), json(&output)["stage"].as_u64()), (0, Some(3)), "{}", text(&output.stderr));
    // Another search goes on from it.
    let output = desk.run("lay alto.toml --seconds 0.2 --keep --json");
    assert!(text(&output.stderr).contains("the search goes on from the lay that is kept"), "{}", text(&output.stderr));
    assert!(json(&output)["cloth_used_mm"].as_f64().unwrap() <= used + 1e-6);
    std::fs::remove_file(desk.path("alto.lay.toml")).unwrap();
    let output = desk.run(replay);
    assert!(code(&output) == 2 && text(&output.stderr).contains("laid or lit otherwise"), "{}", text(&output.stderr));
    assert_eq!(used_mm(&desk, "lay alto.toml --json"), before_mm);
}

#[test]
fn a_kept_lay_that_does_not_fit_is_never_cut() {
    let desk = desk();
    assert_eq!(code(&desk.run("lay alto.toml --seconds 0.2 --keep")), 0);
    let sound = read(&desk, "alto.lay.toml");
    let all = [
        "lay alto.toml",
        "frame alto.toml --table table.toml --stage 1 --out a.png",
        "cut alto.toml --table table.toml --trust-anyway",
        "sheet alto.toml --out a.pdf",
    ];
    let refused = |due: &str| {
        for words in all {
            let output = desk.run(words);
            let said = text(&output.stderr);
            assert!(code(&output) == 1 && said.contains("alto.lay.toml") && said.contains(due), "{words}: {said}");
        }
    };
    desk.write("alto.toml", wide().replace("length = \"104 cm\"", "length = \"105 cm\""));
    refused(
        "was drawn otherwise when this lay was made; search again, with --seconds 60 --keep, or remove alto.lay.toml",
    );
    desk.write("alto.toml", wide().replace("150 cm", "149 cm"));
    refused("the cloth's width was 1500 mm, and now it is 1490 mm");
    // What has nothing to do with the lay may change.
    desk.write("alto.toml", wide().replace("Rosalind", "Celia").replace("3 m", "4 m"));
    assert_eq!(code(&desk.run("lay alto.toml")), 0);
    desk.write("alto.toml", wide());
    let places: Vec<&str> = sound.lines().filter(|line| line.starts_with("at = ")).collect();
    desk.write("alto.lay.toml", sound.replace(places[1], places[0]));
    refused("alto.lay.toml:");
    desk.write("alto.lay.toml", "fold = 3");
    let output = desk.run(all[0]);
    assert!(code(&output) == 2 && text(&output.stderr).contains("alto.lay.toml"), "{}", text(&output.stderr));
    // Searched again, what was no lay is set aside.
    assert_eq!(code(&desk.run("lay alto.toml --seconds 0.2 --keep")), 0);
    assert_eq!(read(&desk, "alto.lay.old.toml"), "fold = 3");
    assert_eq!(code(&desk.run(all[0])), 0);
}

#[test]
fn the_shorter_lay_stays() {
    let desk = desk();
    desk.run("lay alto.toml --seconds 2 --keep");
    let (first, mm) = (read(&desk, "alto.lay.toml"), used_mm(&desk, "lay alto.toml --json"));
    let output = desk.run("lay alto.toml --seconds 0.01 --keep");
    let stays = text(&output.stderr).contains("the lay that is kept there stays");
    assert_eq!(stays, read(&desk, "alto.lay.toml") == first, "{}", text(&output.stderr));
    assert!(used_mm(&desk, "lay alto.toml --json") <= mm);
    assert_eq!(code(&desk.run("lay alto.toml --keep")), 2, "nothing is found without a search");
    // On narrow cloth nothing is shorter than lengths folded on their centre.
    desk.write("narrow.toml", include_str!("../../src/command/demo/order.toml"));
    let output = desk.run("lay narrow.toml --seconds 0.2 --keep");
    if text(&output.stderr).contains("nothing is kept") {
        assert!(!desk.path("narrow.lay.toml").exists());
    }
}

#[test]
fn several_orders_and_a_job_are_kept() {
    let desk = desk();
    let tall = wide().replace("104 cm", "98 cm");
    desk.write("bass.toml", &tall);
    let found = used_mm(&desk, "lay alto.toml bass.toml --seconds 0.5 --keep --json");
    assert_eq!(used_mm(&desk, "lay alto.toml bass.toml --json"), found);
    assert!(desk.path("alto+bass.lay.toml").is_file() && !desk.path("alto.lay.toml").exists());
    // On cloth so wide that all four pieces lie side by side.
    let job = "[cloth]\nwidth = \"260 cm\"\n[[order]]\nfile = \"alto.toml\"\n[[order]]\nfile = \"bass.toml\"\n";
    desk.write("job.toml", job);
    let found = json(&desk.run("batch job.toml --seconds 0.5 --keep --json"));
    let taken = json(&desk.run("batch job.toml --json"));
    assert!(found["together"]["cloth_used_mm"].is_number());
    assert_eq!(found["together"]["cloth_used_mm"], taken["together"]["cloth_used_mm"]);
    desk.write("bass.toml", tall.replace("98 cm", "97 cm"));
    let output = desk.run("batch job.toml");
    assert!(code(&output) == 1 && text(&output.stderr).contains("job.lay.toml: the"), "{}", text(&output.stderr));
    std::fs::remove_file(desk.path("job.lay.toml")).unwrap();
    // A lay that one of them keeps on its own cloth is left alone where the job's is another.
    assert_eq!(code(&desk.run("lay alto.toml --seconds 0.2 --keep")), 0);
    desk.write("job.toml", job.replace("260 cm", "240 cm"));
    let output = desk.run("batch job.toml");
    let said = text(&output.stderr);
    assert!(code(&output) == 0 && said.contains("alto.lay.toml") && said.contains("laid anew"), "{said}");
}

/// Ctrl-C is the signal INT (POSIX); the search ends and gives what it has.
#[test]
fn ctrl_c_keeps_the_best_so_far() {
    let desk = desk();
    let mut child = Command::new(env!("CARGO_BIN_EXE_chalklight"));
    child.args(["lay", "alto.toml", "--seconds", "3600", "--keep", "--json"]).current_dir(desk.path(""));
    let began = Instant::now();
    let child = child.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let id = child.id();
    std::thread::spawn(move || {
        std::thread::sleep(Duration::from_secs(6));
        Command::new("sh").args(["-c", &format!("kill -INT {id}")]).status()
    });
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 0, "{}", text(&output.stderr));
    assert!(json(&output)["cloth_used_mm"].is_number() && desk.path("alto.lay.toml").is_file());
    assert!(began.elapsed() < Duration::from_secs(600));
}
