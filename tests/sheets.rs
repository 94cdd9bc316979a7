//! The cut sheet and the drawings, read back with readers that share nothing with their writers.

mod pdf;
mod svg;

use std::path::Path;
use std::process::Command;

use chalklight::draft::{Draft, draft};
use chalklight::finish::{Piece, finish};
use chalklight::lay::{Lay, lay};
use chalklight::order::{Order, read};
use chalklight::sheet::{CutSheet, cut_sheet};
use chalklight::stages::{Stage, stages};
use chalklight::table::KeptTable;
use image::RgbaImage;
use serde_json::Value;

use crate::check::OrderText;

/// Everything that a sheet is made of.
struct Job {
    order: Order,
    draft: Draft,
    pieces: Vec<Piece>,
    lay: Lay,
    stages: Vec<Stage>,
}

impl Job {
    /// The work on an order file.
    fn of(text: &str) -> Self {
        let order = read(text).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let draft = draft(&order).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let pieces = finish(&draft).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let cloth = order.cloth.as_ref().expect("a cloth");
        let lay = lay(&pieces, cloth, order.system).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let stages = stages(&lay);
        Self { order, draft, pieces, lay, stages }
    }

    /// The cut sheet as a PDF.
    fn sheet(&self, pictures: &[(String, RgbaImage)], error_on_cloth: Option<&str>) -> Vec<u8> {
        self.sheet_at(pictures, error_on_cloth, None)
    }

    /// The cut sheet for a table.
    fn sheet_at(
        &self,
        pictures: &[(String, RgbaImage)],
        error_on_cloth: Option<&str>,
        table: Option<&KeptTable>,
    ) -> Vec<u8> {
        let Self { order, draft, lay, stages, .. } = self;
        let wanted = chalklight::lay::Wanted::of(&self.pieces, &lay.cloth, lay.system);
        let offers = &chalklight::lay::offers(&wanted, lay, &mut chalklight::nest::Forms::default())[..];
        let (proof_mm, seen_best) = (None, None);
        let pieces = &self.pieces[..];
        let sheet = CutSheet {
            order,
            draft,
            lay,
            stages,
            pictures,
            proof_mm,
            error_on_cloth,
            table,
            seen_best,
            offers,
            pieces,
        };
        cut_sheet(&sheet).unwrap_or_else(|no| panic!("{no}"))
    }

    fn piece(&self, name: &str) -> &Piece {
        self.pieces.iter().find(|piece| piece.name == name).unwrap_or_else(|| panic!("no {name}"))
    }
}

/// A dress of everyday measurements in centimetres.
fn metric() -> Job {
    metric_with("", "114 cm")
}

fn metric_with(chosen: &str, width: &str) -> Job {
    let who = "[client]\nname = \"Second alto <& co>\"\nmeasured = 2026-11-02\n";
    let order = OrderText::everyday().text().replace("[garment]\n", &format!("[garment]\n{chosen}"));
    Job::of(&format!("{order}{who}[cloth]\nwidth = \"{width}\"\nlength = \"3 m\"\n"))
}

/// The metric dress with facings on wide cloth: its halves are cut open, and still read as she drafts them.
fn opened() -> Job {
    let job = metric_with("edges = \"facing\"\n", "140 cm");
    assert!(job.lay.placed.iter().any(|placed| !placed.piece.on_fold && placed.piece.name == "front"));
    job
}

/// A dress in inches that can't be put on, for a cloth with a one-way print.
fn inches() -> Job {
    let body = [
        ("bust", "38 in"),
        ("waist", "32 in"),
        ("hip", "42 in"),
        ("shoulder", "15 1/2 in"),
        ("waist_depth", "16 in"),
        ("head", "23 1/2 in"),
    ];
    let order = OrderText::of("51 in", &body).rule("bust_ease", "\"1/8 in\"").rule("neck_allowance", "\"3/8 in\"");
    Job::of(&format!("{}[cloth]\nwidth = \"45 in\"\nlength = \"4 yd\"\nprint = \"one-way\"\n", order.text()))
}

/// A dress with long sleeves that opens behind: pieces without a fold.
fn open_behind() -> Job {
    let body = [
        ("bust", "94 cm"),
        ("waist", "78 cm"),
        ("hip", "102 cm"),
        ("shoulder", "39 cm"),
        ("waist_depth", "40 cm"),
        ("head", "56 cm"),
        ("upper_arm", "29 cm"),
        ("arm_length", "58 cm"),
    ];
    let order = OrderText::of("104 cm", &body).choose("sleeve", "long").choose("opening", "back");
    Job::of(&format!("{}[cloth]\nwidth = \"150 cm\"\nlength = \"4 m\"\n", order.text()))
}

/// What a reading script under tests/oracles says of a file with this content.
pub fn ask(script: &str, content: &[u8]) -> Value {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("sheet");
    std::fs::write(&file, content).expect("the file can be handed over");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/oracles").join(script);
    let python = crate::oracle::python();
    let output = Command::new(&python).arg(path).arg(&file).output().unwrap_or_else(|e| {
        panic!("{} can't be started ({e}); set CHALKLIGHT_PYTHON", python.display());
    });
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{script} failed; {} needs tests/oracles/requirements.txt\n{said}",
        python.display()
    );
    serde_json::from_slice(&output.stdout).expect("the script answers in JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}
