//! `chalklight repeat`: the repeat of a print off a photo of the cloth, and what to write of it into the order.

use std::path::PathBuf;
use std::process::ExitCode;

use serde_json::{Value, json};

use super::frame::save_picture;
use super::{photograph, print, task};
use crate::bench::motifs::PHOTO;
use crate::bench::paper::{Entry, Form, Paper};
use crate::entries::other;
use crate::geometry::Point;
use crate::motif::repeat::{Way, ruled};
use crate::motif::{Open, Repeat, bare, place_on_cloth, repeat, straighten};
use crate::order::{self, Photo, Print, RUNS_THROUGH, read_photo};
use crate::remark::{Refusal, Remark};
use crate::table::save::save_whole;
use crate::units::System;

/// Reads the repeat of a print off a photo that shows nothing but cloth, at least one and a half repeats each way.
#[derive(clap::Args, Debug)]
pub struct RepeatArgs {
    /// The photo, PNG or JPEG; or an order that names one.
    pub photo: PathBuf,
    /// Two places in the photo, in pixels, in a photo from straight above: "120,80 1800,95".
    #[arg(long, requires = "length")]
    pub ends: Option<String>,
    /// What was measured between them: "30 cm".
    #[arg(long)]
    pub length: Option<String>,
    /// Corners of a rectangle: lower left, lower right, upper right, upper left; lower edge along the selvedge.
    #[arg(long, requires = "size", conflicts_with = "ends")]
    pub corners: Option<String>,
    /// The rectangle along the selvedge and across: "30 cm x 20 cm".
    #[arg(long)]
    pub size: Option<String>,
    /// The middle of a motif in the photo, in pixels: "812,640". Where it lies on the cloth is told.
    #[arg(long, value_parser = read_place)]
    pub motif: Option<Place>,
    /// An order whose [photo] says what in the photo has a known size; of no need where the order is given for the photo.
    #[arg(long)]
    pub order: Option<PathBuf>,
    /// Writes what was found into that order; its comments stay.
    #[arg(long)]
    pub write: bool,
    /// A picture to write: the print made flat, its repeat ruled on it.
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// A place in a photo, in pixels.
type Place = [f64; 2];

fn read_place(text: &str) -> Result<Place, String> {
    let number = |text: &str| text.trim().parse().ok().filter(|number: &f64| number.is_finite());
    let place = text.split_once(',').and_then(|(x, y)| Some([number(x)?, number(y)?]));
    place.ok_or_else(|| "write two numbers of pixels from the top left of the photo, such as \"812,640\"".to_owned())
}

/// Less sure than this she is asked to look.
const SURE: f64 = 0.9;

/// More slant than this is worth a word.
const SLANT_DEG: f64 = 0.2;

const REPEAT: [Entry; 2] = [
    Entry { section: "cloth", key: "repeat", form: Form::OfTwo(0) },
    Entry { section: "cloth", key: "repeat", form: Form::OfTwo(1) },
];
const MOTIF: [Entry; 2] = [
    Entry { section: "cloth", key: "motif", form: Form::OfTwo(0) },
    Entry { section: "cloth", key: "motif", form: Form::OfTwo(1) },
];
const DROP: Entry = Entry::text("cloth", "drop");
const WAY: Entry = Entry::text("cloth", "print");
const SLANT: Entry = Entry::text("photo", "slant");

/// Reads the repeat, and writes it where she asks for it. That the cloth has none is an answer too.
///
/// # Errors
/// When photo or order can't be read, or nothing in the photo has a known size.
pub fn run(args: &RepeatArgs, json: bool) -> Result<ExitCode, Refusal> {
    let given = Given::of(args)?;
    let order = given.name();
    let paper = marked(given.paper()?, args);
    let told = read_photo(paper.text()).map_err(|no| given.refused(no))?;
    let photo = task::spoken(told, &order).ok_or_else(unmarked)?;
    let photograph = photograph::of_cloth(&given.photo)?;
    let motif = args.motif.map(|at| place_on_cloth(photograph.size_px, &photo, at)).transpose()?;
    let flat = task::spoken(straighten(&photograph, &photo, [None; 2])?, &order);
    let found = repeat(&bare(&flat, photograph.size_px, &photo));
    if let (Some(out), Some(found)) = (&args.out, &found) {
        let size = flat.size_px.map(|side| side as u32);
        let picture = image::RgbaImage::from_raw(size[0], size[1], ruled(&flat, found));
        save_picture(out, &picture.unwrap_or_default())?;
    }
    let paper = motif.map_or(paper.clone(), |at| paper.with(&MOTIF[0], &exactly(at.x)).with(&MOTIF[1], &exactly(at.y)));
    let written = found.map(|found| with(&paper, &found, &photo, &given));
    if let (true, Some((path, _)), Some(written)) = (args.write, &given.order, &written) {
        save_whole(path, written.text().as_bytes())?;
    }
    let doubts = found.as_ref().and_then(doubt).into_iter().chain(motif.and_then(|at| off_cloth(at, &paper)));
    doubts.for_each(|doubt| task::say(doubt, &order));
    if json {
        let mut answer = as_json(found.as_ref(), args);
        answer["motif_mm"] = motif.map(print::point).into();
        print::answer(answer);
    } else {
        let motif =
            motif.map(|at| format!("\nMotif          [cloth] motif = [\"{}\", \"{}\"]", exactly(at.x), exactly(at.y)));
        print::answer(in_words(found.as_ref(), given.system(), args) + &motif.unwrap_or_default());
    }
    Ok(ExitCode::SUCCESS)
}

/// The photo, and the order that says what in it has a known size, with its text: the one may be named by the other.
struct Given {
    photo: PathBuf,
    order: Option<(PathBuf, String)>,
}

impl Given {
    /// What the command names.
    fn of(args: &RepeatArgs) -> Result<Self, Refusal> {
        // A photo is no text.
        let named = std::fs::read_to_string(&args.photo).ok().filter(|text| other::is(text, other::ORDER));
        let given = match (named, &args.order) {
            (Some(text), None) => {
                let order = args.photo.clone();
                let photo = Paper::of(&text).map_err(|no| no.in_file(&order.display().to_string()))?.written(&PHOTO);
                if photo.trim().is_empty() {
                    return Err(Refusal::because(no_photo().file(order.display().to_string())));
                }
                Self { photo: order.with_file_name(photo.trim()), order: Some((order, text)) }
            }
            (_, Some(order)) => Self { photo: args.photo.clone(), order: Some((order.clone(), task::text_of(order)?)) },
            (None, None) => Self { photo: args.photo.clone(), order: None },
        };
        if args.write && given.order.is_none() {
            let remark = Remark::refusal("no order is named to write what is found into").field("write");
            return Err(Refusal::because(remark.remedy("say which: --order order.toml")));
        }
        Ok(given)
    }

    /// What is said to be at fault.
    fn name(&self) -> String {
        self.order.as_ref().map_or_else(|| "the words of this command".into(), |(path, _)| path.display().to_string())
    }

    fn refused(&self, no: Refusal) -> Refusal {
        if self.order.is_some() { no.in_file(&self.name()) } else { nowhere(no) }
    }

    fn paper(&self) -> Result<Paper, Refusal> {
        let text = self.order.as_ref().map_or("", |(_, text)| text);
        Paper::of(text).map_err(|no| no.in_file(&self.name()))
    }

    /// The unit system of what is said.
    fn system(&self) -> System {
        let order = self.order.as_ref().and_then(|(_, text)| order::read(text).ok());
        order.map_or(System::Metric, |told| told.value.system)
    }
}

fn no_photo() -> Remark {
    Remark::refusal("no photo of the cloth is named")
        .field("cloth.photo")
        .remedy("write photo = \"print.jpg\" under [cloth]; or give the photo: chalklight repeat PHOTO --order ORDER")
}

/// The order's paper with what the command says of the photo written on it.
fn marked(paper: Paper, args: &RepeatArgs) -> Paper {
    let list = |places: &str| {
        let places: Vec<String> = places.split_whitespace().map(|place| format!("[{place}]")).collect();
        format!("[{}]", places.join(", "))
    };
    let entry = |key, form| Entry { section: "photo", key, form };
    let mut paper = paper;
    if args.ends.is_some() || args.corners.is_some() {
        for key in ["ends", "length", "corners", "size", "slant"] {
            paper = paper.with(&entry(key, Form::Text), "");
        }
    }
    if let (Some(ends), Some(length)) = (&args.ends, &args.length) {
        paper = paper.with(&entry("ends", Form::List), &list(ends)).with(&entry("length", Form::Text), length);
    }
    if let (Some(corners), Some(size)) = (&args.corners, &args.size) {
        let (along, across) = size.split_once(['x', '\u{d7}']).unwrap_or((size, ""));
        paper = paper.with(&entry("corners", Form::List), &list(corners));
        paper = paper.with(&entry("size", Form::OfTwo(0)), along.trim());
        paper = paper.with(&entry("size", Form::OfTwo(1)), across.trim());
    }
    paper
}

/// What is said of the words of a command stands on no line of a file.
fn nowhere(mut no: Refusal) -> Refusal {
    no.remarks.iter_mut().for_each(|remark| remark.place.line = None);
    no
}

fn unmarked() -> Refusal {
    let remark = Remark::refusal("nothing is said of how large anything in the photo is");
    Refusal::because(remark.remedy(
        "lay a ruler on the cloth and say where its ends are in the photo: --ends \"120,80 1800,95\" --length \"30 cm\"; \
         or the four corners of a sheet of paper: --corners \"...\" --size \"297 mm x 210 mm\"",
    ))
}

/// The paper with what was found written on it.
fn with(paper: &Paper, found: &Repeat, photo: &Photo, given: &Given) -> Paper {
    let mut paper = paper.clone();
    for (entry, written) in REPEAT.iter().zip(repeat_as_written(found)) {
        paper = paper.with(entry, &written);
    }
    paper = paper.with(&DROP, if found.half_drop() { "half" } else { "" });
    if let Some(word) = word(found.way()) {
        paper = paper.with(&WAY, word);
    }
    let slant_deg = photo.slant_deg + found.slant_deg;
    let slant = if slant_deg.abs() < SLANT_DEG { String::new() } else { format!("{slant_deg:.2} deg") };
    paper = paper.with(&SLANT, &slant);
    let beside = given.order.as_ref().is_some_and(|(order, _)| order.parent() == given.photo.parent());
    match given.photo.file_name() {
        Some(name) if beside => paper.with(&PHOTO, &name.to_string_lossy()),
        _ => paper,
    }
}

/// A length to a tenth of a millimetre whatever her unit, since a repeat is counted many times over.
fn exactly(mm: f64) -> String {
    System::Metric.show_fine(mm)
}

/// What is said of a motif that is counted from the photo's own corner, or lies before the cut end or the selvedge.
fn off_cloth(at: Point<Open>, paper: &Paper) -> Option<Remark> {
    let is_placed = !paper.written(&Entry { section: "photo", key: "at", form: Form::OfTwo(0) }).is_empty();
    let says = match (is_placed, at.x >= 0.0 && at.y >= 0.0) {
        (true, true) => return None,
        (true, false) => "the motif lies beside the cloth",
        (false, _) => {
            "nothing says where on the cloth the photo was taken: the motif is counted from the photo's first place"
        }
    };
    let remedy = "measure from the cut end and from the selvedge to the first corner that is marked, or to the photo's lower \
                  left, and write at = [\"20 cm\", \"5 cm\"] under [photo]";
    Some(Remark::doubt(says).field("photo.at").remedy(remedy))
}

/// The repeat along and across as an order says it.
fn repeat_as_written(found: &Repeat) -> [String; 2] {
    let written = |mm: Option<f64>| mm.map_or(RUNS_THROUGH.to_owned(), exactly);
    [found.along_mm, found.across_mm].map(written)
}

/// What an order says of a way; nothing while it is for her to say.
fn word(way: Way) -> Option<&'static str> {
    match way {
        Way::EitherWay => Some(Print::AllOver.word()),
        Way::OneWay => Some(Print::OneWay.word()),
        Way::Unsure => None,
    }
}

fn doubt(found: &Repeat) -> Option<Remark> {
    (found.sure_share < SURE).then(|| {
        Remark::doubt(format!("of a hundred repeats as faint as this {:.0} are right", 100.0 * found.sure_share))
            .remedy(
                "look at it (--out FILE.png rules it on the print), or take a photo of more of the cloth in even light",
            )
    })
}

fn as_json(found: Option<&Repeat>, args: &RepeatArgs) -> Value {
    let Some(found) = found else { return json!({"repeats": false}) };
    let symmetry = found.symmetry;
    json!({
        "repeats": true,
        "along_mm": found.along_mm,
        "across_mm": found.across_mm,
        "columns": found.columns,
        "half_drop": found.half_drop(),
        "slant_deg": found.slant_deg,
        "print": word(found.way()).unwrap_or("unsure"),
        "symmetry": {
            "turned": symmetry.turned_share,
            "head_for_foot": symmetry.head_for_foot_share,
            "side_for_side": symmetry.side_for_side_share,
        },
        "sure": found.sure_share,
        "written": args.write,
        "out": args.out,
    })
}

/// What was found, as text.
fn in_words(found: Option<&Repeat>, system: System, args: &RepeatArgs) -> String {
    let Some(found) = found else {
        return "No repeat      the photo shows none: the cloth is plain, less than one and a half repeats are in it, \
                or the print lies more than four degrees askew: then straighten the photo"
            .to_owned();
    };
    let way = |mm: Option<f64>, name: &str| match mm {
        Some(mm) => format!("{} {name}", system.show_fine(mm)),
        None => format!("runs through {name}"),
    };
    let mut text = format!("Repeat         {}, {}", way(found.along_mm, "along"), way(found.across_mm, "across"));
    if let (2.., Some(along_mm), Some(across_mm)) = (found.columns, found.along_mm, found.across_mm) {
        let columns = f64::from(found.columns);
        let (column, drop) = (system.show_fine(across_mm / columns), system.show_fine(along_mm / columns));
        let name = if found.half_drop() { "half-drop: " } else { "" };
        text += &format!("; {name}each column, {column} wide, is dropped {drop} against the next");
    }
    if found.slant_deg.abs() >= SLANT_DEG {
        text +=
            &format!("\nSlant          the print lies {:.1} degrees askew in the photo; taken out", found.slant_deg);
    }
    let alike = 100.0 * found.symmetry.turned_share.max(found.symmetry.head_for_foot_share);
    text += &match found.way() {
        Way::EitherWay => "\nWay            the same turned end for end: all-over".to_owned(),
        Way::OneWay => format!(
            "\nWay            other when turned end for end ({alike:.0} % alike): one-way, unless its motifs lie in all directions"
        ),
        Way::Unsure => format!(
            "\nWay            turned end for end it is {alike:.0} % alike: look whether it stands on its head, \
            and write print = \"one-way\" or \"all-over\""
        ),
    };
    text += &format!("\nSure           {:.0} of 100 as clear as this are right", 100.0 * found.sure_share);
    let [along, across] = repeat_as_written(found);
    let mut write = vec![format!("repeat = [\"{along}\", \"{across}\"]")];
    write.extend(word(found.way()).map(|word| format!("print = \"{word}\"")));
    let done = if args.write { "Written" } else { "Write" };
    text + &format!("\n{done:<15}[cloth] {}", write.join(", "))
}
