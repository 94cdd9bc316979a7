//! A process killed while it saves leaves the old table or the new one, whole.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::{KeptTable, file, save::save_whole};

const TARGET: &str = "CHALKLIGHT_TEST_SAVES_TO";

fn sample() -> KeptTable {
    let read = readings_file::read(include_str!("../../calibration/readings/demo.toml")).expect("the sample reads");
    calibrate(&read.value).expect("the sample solves").value
}

/// Two tables large enough that a save takes a while, and that differ in every screenful.
fn versions() -> [String; 2] {
    ["one", "two"].map(|name| {
        let mut kept = sample();
        kept.screen = Some(name.repeat(300_000));
        file::write(&kept)
    })
}

/// Not a test by itself: the child that `killed_while_saving` starts and kills. Without its target it has nothing to do.
#[test]
#[ignore = "started by killed_while_saving"]
fn saves_until_killed() {
    let Some(target) = std::env::var_os(TARGET) else { return };
    let versions = versions();
    loop {
        for version in &versions {
            save_whole(Path::new(&target), version.as_bytes()).expect("a save");
        }
    }
}

#[test]
fn killed_while_saving() {
    let folder = tempfile::tempdir().expect("a folder");
    let target = folder.path().join("table.toml");
    let versions = versions();
    save_whole(&target, versions[0].as_bytes()).expect("a first save");
    let mut changed = 0;
    for round in 0..12 {
        let mut child = Command::new(std::env::current_exe().expect("this program"))
            .args(["--exact", "tables::saving::saves_until_killed", "--ignored", "--nocapture"])
            .env(TARGET, &target)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("a child");
        let began = std::fs::metadata(&target).and_then(|m| m.modified()).expect("a file");
        // The child is killed at another moment of its work in each round, but not before it has begun.
        for _ in 0..2000 {
            std::thread::sleep(Duration::from_millis(2));
            if std::fs::metadata(&target).and_then(|m| m.modified()).is_ok_and(|now| now != began) {
                changed += 1;
                break;
            }
        }
        std::thread::sleep(Duration::from_micros(700 * round));
        child.kill().expect("a kill");
        child.wait().expect("an end");
        let text = std::fs::read_to_string(&target).expect("the file is there");
        assert!(versions.contains(&text), "round {round}: neither the old file nor the new one");
    }
    assert!(changed > 0, "the child never saved anything, so this showed nothing");
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let refusal = save_whole(Path::new("/nowhere/at/all/table.toml"), b"x").expect_err("no such folder");
    let text = refusal.to_string();
    assert!(text.starts_with("/nowhere/at/all/table.toml: can't be written"), "{text}");
    assert!(text.contains("; choose a folder"), "{text}");
}
