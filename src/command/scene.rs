//! `chalklight scene`: bare line work in table mm, thrown to a picture; for checks and measurements.

use std::path::PathBuf;
use std::process::ExitCode;

use super::frame::save_picture;
use super::task::{ends_in, text_of};
use crate::geometry::Point;
use crate::remark::{Refusal, Remark};
use crate::scene::{Marks, Pose, Scene, Stroke};
use crate::table::file;
use crate::throw::{Bed, picture};

/// Throws strokes given in table mm to a PNG.
#[derive(clap::Args, Debug)]
pub struct SceneArgs {
    /// The strokes, as JSON.
    pub scene: PathBuf,
    /// The table file.
    #[arg(long)]
    pub table: PathBuf,
    /// Where the picture goes.
    #[arg(long)]
    pub out: PathBuf,
}

/// Widest stroke taken: wider than any cloth.
const WIDEST_MM: f64 = 10_000.0;
/// Farthest coordinate taken: no table is longer.
const FARTHEST_MM: f64 = 1e6;

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct SceneText {
    strokes: Vec<StrokeText>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct StrokeText {
    width_mm: f64,
    #[serde(default = "white")]
    color: [u8; 3],
    points: Vec<[f64; 2]>,
}

fn white() -> [u8; 3] {
    [255; 3]
}

/// Writes the picture.
///
/// # Errors
/// When a file can't be read or written, a stroke can't be drawn, or nothing is there to draw with.
pub fn run(args: &SceneArgs, json: bool) -> Result<ExitCode, Refusal> {
    ends_in("png", &args.out)?;
    let name = args.scene.display().to_string();
    let table_name = args.table.display().to_string();
    let scene = read(&text_of(&args.scene)?).map_err(|r| r.in_file(&name))?;
    let kept = file::read(&text_of(&args.table)?).map_err(|r| r.in_file(&table_name))?.value;
    let pose = Pose { at_mm: Point::origin(), turn_rad: 0.0 };
    let image = picture(&scene, &pose, Bed { table: &kept.table, stack_mm: 0.0 })?;
    save_picture(&args.out, &image)?;
    let [width, height] = kept.table.picture_px;
    if json {
        let strokes = scene.on_table.strokes.len();
        super::print::answer(
            serde_json::json!({ "out": args.out, "width": width, "height": height, "strokes": strokes }),
        );
    } else {
        super::print::answer(format!("{}: {width} x {height} pixels", args.out.display()));
    }
    Ok(ExitCode::SUCCESS)
}

/// Reads the strokes and refuses what can't be drawn.
fn read(text: &str) -> Result<Scene, Refusal> {
    let raw: SceneText = serde_json::from_str(text).map_err(|e| {
        Refusal::because(
            Remark::refusal(format!("this is no scene: {e}"))
                .line(e.line())
                .remedy(r#"write {"strokes":[{"width_mm":1.5,"color":[255,255,255],"points":[[0,0],[100,50]]}]}"#),
        )
    })?;
    let mut remarks = Vec::new();
    for (i, stroke) in raw.strokes.iter().enumerate() {
        let refuse = |says: String, how: &str| Remark::refusal(says).field(format!("strokes[{i}]")).remedy(how);
        if !(stroke.width_mm > 0.0 && stroke.width_mm <= WIDEST_MM) {
            let says = format!("stroke {} is {} mm wide", i + 1, stroke.width_mm);
            remarks.push(refuse(says, "give width_mm a number of mm above 0, such as 1.5"));
        }
        if stroke.points.is_empty() {
            remarks.push(refuse(format!("stroke {} has no points", i + 1), "give it at least one, such as [[0, 0]]"));
        }
        if let Some([x, y]) = stroke.points.iter().find(|p| p.iter().any(|c| c.abs() > FARTHEST_MM)) {
            let says = format!("stroke {} goes to ({x}, {y}) mm, off any table", i + 1);
            remarks.push(refuse(says, "give points in mm on the table"));
        }
    }
    if !remarks.is_empty() {
        return Err(Refusal { remarks });
    }
    let stroke = |s: StrokeText| Stroke {
        points: s.points.into_iter().map(Point::from).collect(),
        closed: false,
        width_mm: s.width_mm,
        light: s.color,
    };
    let strokes = raw.strokes.into_iter().map(stroke).collect();
    let on_table = Marks { strokes, ..Marks::default() };
    Ok(Scene { ground: [0; 3], on_cloth: Marks::default(), on_table })
}
