//! The outside libraries: every script under `tests/oracles` still gives the JSON beside it.

use std::path::PathBuf;
use std::process::Command;

/// The Python of the tests: `CHALKLIGHT_PYTHON`, or the one that `make test` sets up.
pub fn python() -> PathBuf {
    let own = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("target/venv/bin/python");
    let python = std::env::var_os("CHALKLIGHT_PYTHON").map_or(own, PathBuf::from);
    assert!(python.is_file(), "{} is not there: run `make test` once, which sets it up", python.display());
    python
}

#[test]
fn every_script_gives_the_json_beside_it() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/oracles");
    let mut scripts = 0;
    for entry in std::fs::read_dir(&folder).expect("the oracles' folder") {
        let script = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&script).unwrap_or_default();
        if script.extension().is_none_or(|extension| extension != "py")
            || !text.contains("keep(__file__") && !text.contains("keep(\n    __file__")
        {
            continue;
        }
        let run = Command::new(python()).arg(&script).arg("--check").output().expect("python runs");
        let said = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
        assert!(run.status.success(), "{}:\n{said}", script.display());
        scripts += 1;
    }
    assert!(scripts > 0, "no script was found in {}", folder.display());
}
