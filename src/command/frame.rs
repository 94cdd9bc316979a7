//! `chalklight frame`: stages as pictures, just as the projector would throw them.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::str::FromStr;

use image::RgbaImage;
use serde_json::{Value, json};

use super::kept::KeptFile;
use super::sight::Sight;
use super::{print, task};
use crate::remark::{Refusal, Remark};
use crate::scene::{Pose, Room, View, Way, compose};
use crate::stages::Stage;
use crate::table::{Table, save::save_whole};
use crate::throw::{Bed, Choice, FORMAT, Gpu, Thrower};
use crate::units::System;

/// Draws stages as they are thrown.
#[derive(clap::Args, Debug)]
pub struct FrameArgs {
    /// The order file.
    pub order: PathBuf,
    /// The table file.
    #[arg(long)]
    pub table: PathBuf,
    /// The stage's number, from 1, or `all`.
    #[arg(long)]
    pub stage: Which,
    /// The picture to write; with `--stage all` the stage's number is put before its ending.
    #[arg(long)]
    pub out: PathBuf,
    /// Dark lines on a lit ground, whatever shows best.
    #[arg(long)]
    pub lit: bool,
}

/// One stage, or all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// All stages.
    All,
    /// One, from 1.
    One(usize),
}

impl FromStr for Which {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.parse() {
            _ if text == "all" => Ok(Self::All),
            Ok(number) if number > 0 => Ok(Self::One(number)),
            _ => Err("write a stage's number, from 1, or all".into()),
        }
    }
}

/// Everything that does not change from stage to stage.
pub struct Stand<'t> {
    /// The table.
    pub table: &'t Table,
    /// How stages are seen on it.
    pub view: View,
    thrower: Thrower,
}

impl<'t> Stand<'t> {
    /// Prepares to draw on a table.
    ///
    /// # Errors
    /// When the table's picture lights nothing, or there is no graphics driver.
    pub fn new(table: &'t Table, system: System, way: Way) -> Result<Self, Refusal> {
        let view = View::of(room(table)?, system, way);
        Ok(Self { table, view, thrower: Thrower::new(Gpu::headless(Choice::Any)?, FORMAT) })
    }

    /// The pose in which the cloth lies at first.
    pub fn pose(&self) -> Pose {
        self.view.cloth_room().pose()
    }

    /// The picture of a stage, counted from 1.
    ///
    /// # Errors
    /// When the driver fails.
    pub fn picture(&self, stage: &Stage, number: usize) -> Result<RgbaImage, Refusal> {
        let scene = compose(stage, number, &self.view);
        let bed = Bed { table: self.table, stack_mm: stack_mm(self.table, stage) };
        self.thrower.picture(&self.thrower.load(&scene, bed)?, &self.pose())
    }

    /// What to say when a stage is larger than the light.
    pub fn beyond_light(&self, stages: &[Stage]) -> Option<Remark> {
        let room = self.view.cloth_room();
        let points = stages.iter().flat_map(|stage| &stage.lines).flat_map(|line| &line.points);
        let (x, y) = points.fold((0.0_f64, 0.0_f64), |(x, y), p| (x.max(p.x), y.max(p.y)));
        let over = [(x - room.width_mm(), "along"), (y - room.depth_mm(), "across")];
        let over: Vec<String> = over
            .into_iter()
            .filter(|(mm, _)| *mm > 0.0)
            .map(|(mm, way)| format!("{} {way}", self.view.system.show(mm)))
            .collect();
        (!over.is_empty()).then(|| {
            Remark::doubt(format!("the folded cloth is larger than the light, by {}", over.join(" and ")))
                .remedy("hang the projector higher, or cut it in reaches, as 'chalklight cut' plans them")
        })
    }
}

/// The room that a table lights.
///
/// # Errors
/// When the picture's corners miss the table.
pub fn room(table: &Table) -> Result<Room, Refusal> {
    let corners = table.lit_corners_mm().ok_or_else(|| {
        Refusal::because(
            Remark::refusal("a corner of the picture lights no place on the table").remedy("calibrate the table again"),
        )
    })?;
    Ok(Room::in_lit_area(corners))
}

/// The stack's height where the table can correct for it; the table itself where it cannot.
pub fn stack_mm(table: &Table, stage: &Stage) -> f64 {
    if table.stand.is_some() { stage.stack_mm } else { 0.0 }
}

/// Draws the stages. Exits 1 when the work says no.
///
/// # Errors
/// When order or table can't be read, or there is nothing to draw with.
pub fn run(args: &FrameArgs, json: bool) -> Result<ExitCode, Refusal> {
    let file = args.order.display().to_string();
    let text = task::text_of(&args.order)?;
    let stages = task::drafted(&text, &file).and_then(|drafted| {
        drafted.say_doubts();
        let sight = Sight::of(&drafted.order, &args.order);
        let kept = KeptFile::beside(&[&args.order])?;
        Ok((drafted.order.system, sight, task::laid(&drafted, kept.as_ref())?.stages))
    });
    let (system, sight, stages) = match stages {
        Ok(stages) => stages,
        Err(stop) => return stop.exit(json),
    };
    let table = table_of(&args.table)?;
    let way = if args.lit { Way::DarkOnLit } else { Way::LightOnDark };
    let mut stand = Stand::new(&table, system, way)?;
    if let Some(sight) = &sight {
        let best = sight.begins(stand.view);
        stand.view = if args.lit { View { light: best.light, ..stand.view } } else { best };
        if !json {
            eprintln!("Seen best: {}.", sight.says());
        }
    }
    stand.beyond_light(&stages).into_iter().for_each(|doubt| task::say(doubt, &file));
    let mut answers = Vec::new();
    for number in numbers(args.stage, stages.len())? {
        let stage = &stages[number - 1];
        let out = if args.stage == Which::All { numbered(&args.out, number) } else { args.out.clone() };
        save_picture(&out, &stand.picture(stage, number)?)?;
        let mut told = answer(stage, number, &stand, &out);
        if let Some(sight) = &sight {
            told["seen"] = sight.json();
        }
        answers.push(told);
        if !json {
            print::answer(format!("{number}  {}: {}", stage.title, out.display()));
        }
    }
    if json {
        print::answer(Value::from(answers));
    }
    Ok(ExitCode::SUCCESS)
}

fn answer(stage: &Stage, number: usize, stand: &Stand<'_>, out: &Path) -> Value {
    let pose = stand.pose();
    json!({
        "stage": number,
        "title": stage.title,
        "sentence": stage.sentence,
        "layers": stage.layers,
        "stack_mm": stack_mm(stand.table, stage),
        "pose": {"at_mm": print::point(pose.at_mm), "turn_deg": pose.turn_rad.to_degrees()},
        "out": out,
    })
}

/// The table of a file.
///
/// # Errors
/// When it can't be read.
pub fn table_of(path: &Path) -> Result<Table, Refusal> {
    Ok(task::table(path)?.table)
}

fn numbers(which: Which, count: usize) -> Result<Vec<usize>, Refusal> {
    match which {
        Which::All => Ok((1..=count).collect()),
        Which::One(number) if number <= count => Ok(vec![number]),
        Which::One(number) => Err(Refusal::because(
            Remark::refusal(format!("there is no stage {number}")).remedy(format!("write a number from 1 to {count}")),
        )),
    }
}

/// `stage.png` and 3 make `stage-3.png`.
pub fn numbered(path: &Path, number: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().map_or_else(|| "png".into(), |ending| ending.to_string_lossy());
    path.with_file_name(format!("{stem}-{number}.{ending}"))
}

/// Writes a picture as PNG, whole or not at all.
///
/// # Errors
/// When it can't be written.
pub fn save_picture(path: &Path, picture: &RgbaImage) -> Result<(), Refusal> {
    task::ends_in("png", path)?;
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Png).map_err(|error| {
        Refusal::because(Remark::refusal(format!("the picture can't be packed: {error}")).remedy("try again"))
    })?;
    save_whole(path, bytes.get_ref())
}
