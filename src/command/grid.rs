//! `chalklight grid`: the marks to measure, as a picture or thrown on a screen.

use std::path::PathBuf;
use std::process::ExitCode;

use serde_json::json;

use super::{print, task};
use crate::calibrate::advice::{self, Advice};
use crate::calibrate::grid::USUAL_MARGIN;
use crate::calibrate::{Grid, picture};
use crate::projector::{self, ThrownGrid, Venue};
use crate::remark::{Refusal, Remark};
use crate::table::file::parts::MOST_PIXELS;
use crate::table::{Table, save::save_whole};

/// Draws the test grid, or throws it.
#[derive(clap::Args, Debug)]
pub struct GridArgs {
    /// The projector's own size, such as 1920x1080.
    #[arg(long)]
    pub size: String,
    /// Marks from left to right.
    #[arg(long, default_value_t = 5, value_parser = clap::value_parser!(u8).range(2..=99))]
    pub columns: u8,
    /// Marks from top to bottom.
    #[arg(long, default_value_t = 3, value_parser = clap::value_parser!(u8).range(2..=26))]
    pub rows: u8,
    /// Bare edge round the marks, as a fraction of width and height.
    #[arg(long, default_value_t = USUAL_MARGIN)]
    pub margin: f64,
    /// Dots instead of crosses, for a photo with check cards.
    #[arg(long)]
    pub photo: bool,
    /// The picture to write.
    #[arg(long, required_unless_present = "screen")]
    pub out: Option<PathBuf>,
    /// The screen to throw it on, by its name or size, until escape is pressed.
    #[arg(long)]
    pub screen: Option<String>,
}

/// Draws or throws the test grid and says where its marks are.
///
/// # Errors
/// When the size can't be read, the picture can't be written, or there is no such screen.
pub fn run(args: &GridArgs, json: bool) -> Result<ExitCode, Refusal> {
    let size_px = read_size(&args.size)?;
    let grid = even_grid(size_px, [args.columns, args.rows], args.margin)?;
    if let Some(out) = &args.out {
        let draw = if args.photo { picture::draw_discs } else { picture::draw };
        task::ends_in("png", out)?;
        save_whole(out, &png(&draw(size_px, &grid))?)?;
    }
    let plan = advice::plan(size_px, &grid, USUAL_SIGMA_MM, MORE);
    if json {
        let marks: Vec<_> =
            grid.marks.iter().map(|(m, at)| json!({"mark": m.to_string(), "px": [at.x, at.y]})).collect();
        let plan: Vec<_> = plan
            .iter()
            .map(|a| json!({"from": a.from.to_string(), "to": a.to.to_string(), "bound95_mm": a.bound_mm}))
            .collect();
        print::answer(json!({"out": args.out, "size": size_px, "marks": marks, "distances": plan}));
    } else {
        print::answer(in_words(args, grid.marks.len(), &plan));
    }
    if let Some(screen) = &args.screen {
        let venue = Venue { table: Table::of_pixels(size_px), screen: Some(screen.clone()) };
        let thrown = if args.photo { ThrownGrid::discs } else { ThrownGrid::new };
        projector::run(&mut thrown(&grid, size_px), venue)?;
    }
    Ok(ExitCode::SUCCESS)
}

/// What was drawn, and what to measure.
fn in_words(args: &GridArgs, marks: usize, plan: &[Advice]) -> String {
    let mut text = match &args.out {
        Some(out) => format!("{marks} marks drawn to {}\n", out.display()),
        None => format!("{marks} marks; escape ends the picture\n"),
    };
    if args.photo {
        return text
            + "Lay a check card near each corner of the light, the ring towards you on your left, and take one photo of it all.";
    }
    text += "Read each mark's place on a ruled mat, or take these distances in turn, until the bound is small enough:";
    for (i, a) in plan.iter().enumerate() {
        let bound = if i < 5 { String::new() } else { format!("   then at most {:.1} mm off", a.bound_mm) };
        text += &format!("\n{:>3}  {} to {}{bound}", i + 1, a.from, a.to);
    }
    text
}

/// A careful eye reads a tape to half a millimetre.
const USUAL_SIGMA_MM: f64 = 0.5;
/// Distances named beyond the corners' six.
const MORE: usize = 10;

/// The grid of so many columns and rows.
///
/// # Errors
/// When the margin leaves no picture.
pub fn even_grid(size_px: [u32; 2], [columns, rows]: [u8; 2], margin: f64) -> Result<Grid, Refusal> {
    if !(0.0..0.5).contains(&margin) {
        let says = format!("a margin of {margin} leaves no picture");
        let how = "write a fraction of the picture's side, such as 0.06";
        return Err(Refusal::because(Remark::refusal(says).field("--margin").remedy(how)));
    }
    Ok(Grid::even(size_px, columns.into(), rows.into(), margin))
}

/// Reads `1920x1080`.
///
/// # Errors
/// When it is no size.
pub fn read_size(text: &str) -> Result<[u32; 2], Refusal> {
    let side = |part: &str| part.trim().parse().ok().filter(|side| (16..=MOST_PIXELS).contains(side));
    let size = text.split_once(['x', 'X', '×']).and_then(|(w, h)| Some([side(w)?, side(h)?]));
    size.ok_or_else(|| {
        let says = format!("'{text}' is no size of a picture");
        Refusal::because(
            Remark::refusal(says).field("--size").remedy("write the projector's own size, such as 1920x1080"),
        )
    })
}

fn png(picture: &picture::GridPicture) -> Result<Vec<u8>, Refusal> {
    use image::ImageEncoder;
    let [width, height] = picture.size_px;
    let mut bytes = Vec::new();
    let encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.write_image(&picture.light, width, height, image::ExtendedColorType::L8).map_err(|error| {
        Refusal::because(Remark::refusal(format!("the picture can't be packed: {error}")).remedy("try a smaller size"))
    })?;
    Ok(bytes)
}
