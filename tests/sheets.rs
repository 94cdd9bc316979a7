//! The cut sheet and the drawings, read back with readers that share nothing with their writers.

mod pdf;
mod svg;

use std::path::Path;
use std::process::Command;

use chalklight::calibrate::photo::card::Format;
use chalklight::draft::{Draft, draft};
use chalklight::finish::{Piece, finish};
use chalklight::lay::{Lay, Wanted, lay};
use chalklight::order::{Order, read};
use chalklight::sheet::{CutSheet, SheetOrder, cut_sheet};
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
        let wanted = Wanted::of(&pieces, cloth, order.system).asking(&order.lay);
        let lay = lay(&wanted).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let stages = stages(&lay);
        Self { order, draft, pieces, lay, stages }
    }

    /// The cut sheet as a PDF.
    fn sheet(&self, pictures: &[(String, RgbaImage)], error_on_cloth: Option<&str>) -> Vec<u8> {
        self.sheet_at(pictures, error_on_cloth, None)
    }

    /// The cut sheet on another paper.
    fn sheet_on(&self, paper: Format) -> Vec<u8> {
        self.printed(&[], None, None, paper)
    }

    /// The cut sheet for a table.
    fn sheet_at(
        &self,
        pictures: &[(String, RgbaImage)],
        error_on_cloth: Option<&str>,
        table: Option<&KeptTable>,
    ) -> Vec<u8> {
        self.printed(pictures, error_on_cloth, table, Format::A4)
    }

    fn printed(
        &self,
        pictures: &[(String, RgbaImage)],
        error_on_cloth: Option<&str>,
        table: Option<&KeptTable>,
        paper: Format,
    ) -> Vec<u8> {
        let Self { order, draft, pieces, lay, stages } = self;
        let wanted = Wanted::of(pieces, &lay.cloth, lay.system).asking(&order.lay);
        let offers = &chalklight::lay::offers(&wanted, lay)[..];
        let (proof_mm, seen_best) = (None, None);
        let whose = order.client.name.as_deref();
        let orders = &[SheetOrder { whose, order, draft, pieces }];
        let sheet = CutSheet {
            orders,
            lay,
            stages,
            pictures,
            proof_mm,
            error_on_cloth,
            table,
            seen_best,
            offers,
            paper,
            ground: None,
        };
        cut_sheet(&sheet).unwrap_or_else(|no| panic!("{no}"))
    }

    fn piece(&self, name: &str) -> &Piece {
        self.pieces.iter().find(|piece| piece.name == name).unwrap_or_else(|| panic!("no {name}"))
    }
}

/// A dress of everyday measurements in centimetres.
fn metric() -> Job {
    metric_with("", "114 cm", ON_LENGTHS)
}

/// On lengths folded on their centre.
const ON_LENGTHS: &str = "[lay]\nfold = \"lengths\"\n";

fn metric_with(chosen: &str, width: &str, lay: &str) -> Job {
    let who = "[client]\nname = \"Second alto <& co>\"\nmeasured = 2026-11-02\n";
    let order = OrderText::everyday().text().replace("[garment]\n", &format!("[garment]\n{chosen}"));
    Job::of(&format!("{order}{who}{lay}[cloth]\nwidth = \"{width}\"\nlength = \"3 m\"\n"))
}

/// The metric dress with facings on wide cloth: its halves are cut open, and still read as she drafts them.
fn opened() -> Job {
    let job = metric_with("edges = \"facing\"\n", "140 cm", "");
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
    let cloth = "[cloth]\nwidth = \"45 in\"\nlength = \"4 yd\"\nprint = \"one-way\"\n";
    Job::of(&format!("{}{ON_LENGTHS}{cloth}", order.text()))
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

/// A sleeved and faced dress, whose sleeve is neither as large as its front nor as small as its facings.
fn sleeved() -> Job {
    let order = OrderText::everyday().body("upper_arm", "29 cm").body("arm_length", "58 cm");
    let order = order.choose("sleeve", "long").choose("edges", "facing");
    Job::of(&format!("{}[cloth]\nwidth = \"150 cm\"\nlength = \"4 m\"\n", order.text()))
}

/// The sheet of dresses for women of these names and busts, laid on one length of cloth.
fn joint(women: &[(&str, &str)]) -> (Vec<Job>, Vec<u8>) {
    let dress = |(_, bust): &(&str, &str)| {
        let order = OrderText::everyday().body("bust", bust).choose("edges", "facing");
        Job::of(&format!("{}[cloth]\nwidth = \"150 cm\"\n", order.text()))
    };
    let jobs: Vec<Job> = women.iter().map(dress).collect();
    let cloth = jobs[0].order.cloth.as_ref().expect("a cloth");
    let wanted = Wanted {
        garments: jobs.iter().map(|job| &job.pieces[..]).collect(),
        names: women.iter().map(|(name, _)| (*name).to_owned()).collect(),
        ..Wanted::of(&[], cloth, jobs[0].order.system)
    };
    let lay = lay(&wanted).unwrap_or_else(|no| panic!("{no}")).value;
    let mut orders = Vec::new();
    for (Job { order, draft, pieces, .. }, (name, _)) in jobs.iter().zip(women) {
        orders.push(SheetOrder { whose: Some(*name), order, draft, pieces });
    }
    let sheet = CutSheet {
        orders: &orders,
        lay: &lay,
        stages: &stages(&lay),
        pictures: &[],
        proof_mm: None,
        error_on_cloth: None,
        table: None,
        seen_best: None,
        offers: &[],
        paper: Format::A4,
        ground: None,
    };
    let pdf = cut_sheet(&sheet).unwrap_or_else(|no| panic!("{no}"));
    (jobs, pdf)
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
