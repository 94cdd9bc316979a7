//! Asking the measuring scripts under tests/oracles.

use crate::oracle::python;
use chalklight::table::Table;
use image::RgbaImage;
use serde_json::{Value, json};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

/// A table as the scripts read it.
pub fn table_json(table: &Table) -> Value {
    json!({
        "picture": table.picture_px,
        "homography": table.homography,
        "centre": [table.lens.centre_px.x, table.lens.centre_px.y],
        "k1": table.lens.k1,
        "k2": table.lens.k2,
    })
}

/// Runs a script on a job to which the picture's green channel is added, and gives its answer.
pub fn measure(script: &str, mut job: Value, picture: &RgbaImage) -> Value {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let pixels = folder.path().join("green");
    let green: Vec<u8> = picture.pixels().map(|p| p.0[1]).collect();
    std::fs::write(&pixels, green).expect("the picture can be handed over");
    job["pixels"] = json!(pixels);
    ask(script, &job)
}

/// Runs a script on a job, and gives its answer.
pub fn ask(script: &str, job: &Value) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracles").join(script);
    let mut child = Command::new(python())
        .arg(&path)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("{} cannot be started ({e}); run make test once", python().display()));
    child.stdin.take().expect("a pipe").write_all(job.to_string().as_bytes()).expect("the job can be handed over");
    let output = child.wait_with_output().expect("the script ends");
    assert!(output.status.success(), "{script} failed; does {} have NumPy?", python().display());
    serde_json::from_slice(&output.stdout).expect("the script answers in JSON")
}
