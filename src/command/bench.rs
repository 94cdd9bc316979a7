//! `chalklight` alone: the bench window, and the computer under it.
//!
//! Habits and unsaved work lie in the program's own folder of the person who works at it. Each open bench holds a seat
//! there; work kept at a seat that nobody holds any more is offered back. The cutting session is this program once more,
//! as `chalklight cut`.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant, SystemTime};

use etcetera::{AppStrategy, AppStrategyArgs, choose_app_strategy};
use serde::{Deserialize, Serialize};

use super::calibrate::today;
use super::kept::beside;
use super::photograph;
use super::task::text_of;
use crate::bench::{self, Cutting, Desk, Failed, Habits, Unsaved};
use crate::motif::Photograph;
use crate::remark::{Refusal, Remark, why_not};
use crate::session::keep::{load, set_aside};
use crate::table::save::save_whole;

/// Opens the bench.
#[derive(clap::Args, Debug, Default)]
pub struct BenchArgs {
    /// Files to open: an order, a table, readings.
    pub files: Vec<PathBuf>,
}

/// More benches than anyone has open.
const MOST_SEATS: usize = 16;

/// How long a seat with work kept at it is waited for.
const PATIENCE: Duration = Duration::from_millis(500);

/// Opens the bench until she closes it.
///
/// # Errors
/// When no window can be opened, or nothing can draw in it.
pub fn run(args: &BenchArgs) -> Result<ExitCode, Refusal> {
    bench::open(&Computer::here(), &args.files)?;
    Ok(ExitCode::SUCCESS)
}

/// This computer.
struct Computer {
    seat: Option<Seat>,
}

/// A place to keep things, held while the bench is open.
struct Seat {
    folder: PathBuf,
    number: usize,
    /// Held for as long as it is open.
    _lock: File,
}

#[derive(Serialize, Deserialize)]
struct UnsavedText {
    order: String,
    place: Option<PathBuf>,
    #[serde(default)]
    on_disc: Option<String>,
    readings: Option<String>,
    #[serde(default)]
    table: Option<(PathBuf, String)>,
    #[serde(default)]
    lay: Option<String>,
    #[serde(default)]
    lay_on_disc: Option<String>,
}

#[derive(Serialize, Deserialize)]
#[serde(default)]
struct HabitsText {
    dark: bool,
    text_percent: u32,
    recent: Vec<PathBuf>,
    table: Option<PathBuf>,
    failed: Vec<FailedText>,
}

#[derive(Serialize, Deserialize)]
struct FailedText {
    table: String,
    numbers: [String; 3],
}

impl Default for HabitsText {
    fn default() -> Self {
        Habits::default().into()
    }
}

impl From<Habits> for HabitsText {
    fn from(Habits { dark, text_percent, recent, table, failed }: Habits) -> Self {
        let failed = failed.into_iter().map(|Failed { table, numbers }| FailedText { table, numbers }).collect();
        Self { dark, text_percent, recent, table, failed }
    }
}

impl From<HabitsText> for Habits {
    fn from(HabitsText { dark, text_percent, recent, table, failed }: HabitsText) -> Self {
        let failed = failed.into_iter().map(|FailedText { table, numbers }| Failed { table, numbers }).collect();
        Self { dark, text_percent, recent, table, failed }
    }
}

impl Computer {
    fn here() -> Self {
        Self { seat: folder().and_then(Seat::take) }
    }

    fn seat(&self) -> Result<&Seat, Refusal> {
        self.seat.as_ref().ok_or_else(|| {
            Refusal::because(
                Remark::refusal(
                    "unsaved work can't be kept: the program has no folder of its own that it can write to",
                )
                .remedy("save often, or set XDG_STATE_HOME to a folder that you may write to"),
            )
        })
    }
}

/// The program's own folder.
fn folder() -> Option<PathBuf> {
    let name = AppStrategyArgs {
        top_level_domain: "org".to_owned(),
        author: "chalklight".to_owned(),
        app_name: "chalklight".to_owned(),
    };
    let strategy = choose_app_strategy(name).ok()?;
    let folder = strategy.state_dir().unwrap_or_else(|| strategy.data_dir());
    fs::create_dir_all(&folder).ok()?;
    Some(folder)
}

impl Seat {
    /// The first seat that nobody holds, after a moment's patience where work is kept at one before it: a bench that was
    /// killed just now may hold its seat a little longer.
    fn take(folder: PathBuf) -> Option<Self> {
        let came = Instant::now();
        loop {
            let seat = Self::first_free(folder.clone())?;
            let kept_before = (1..seat.number).any(|number| Self::unsaved_at(&folder, number).exists());
            if !kept_before || came.elapsed() >= PATIENCE {
                return Some(seat);
            }
            drop(seat);
            std::thread::sleep(PATIENCE / 10);
        }
    }

    fn first_free(folder: PathBuf) -> Option<Self> {
        (1..=MOST_SEATS).find_map(|number| {
            let lock = File::create(folder.join(format!("bench-{number}.lock"))).ok()?;
            lock.try_lock().ok()?;
            Some(Self { folder: folder.clone(), number, _lock: lock })
        })
    }

    fn unsaved(&self) -> PathBuf {
        Self::unsaved_at(&self.folder, self.number)
    }

    fn unsaved_at(folder: &Path, number: usize) -> PathBuf {
        folder.join(format!("bench-{number}.json"))
    }

    fn habits(&self) -> PathBuf {
        self.folder.join("habits.json")
    }
}

impl Desk for Computer {
    fn read(&self, path: &Path) -> Result<String, Refusal> {
        text_of(path)
    }

    fn found(&self, path: &Path) -> Result<Option<String>, Refusal> {
        load(path)
    }

    fn lay_of(&self, order: &Path) -> Result<Option<String>, Refusal> {
        load(&beside(&[order]))
    }

    fn keep_lay(&self, order: &Path, text: Option<&str>) -> Result<(), Refusal> {
        let path = beside(&[order]);
        match text {
            Some(text) => save_whole(&path, text.as_bytes()),
            None if load(&path)?.is_some() => set_aside(&path).map(drop),
            None => Ok(()),
        }
    }

    fn photo(&self, path: &Path) -> Result<Photograph, Refusal> {
        photograph::of_cloth(path)
    }

    fn written_at(&self, path: &Path) -> Option<SystemTime> {
        fs::metadata(path).and_then(|file| file.modified()).ok()
    }

    fn save(&self, path: &Path, text: &str) -> Result<(), Refusal> {
        save_whole(path, text.as_bytes())
    }

    fn keep(&self, unsaved: Option<&Unsaved>) -> Result<(), Refusal> {
        let path = self.seat()?.unsaved();
        let Some(unsaved) = unsaved.cloned() else {
            // Nothing was kept, or it is gone by now: either way nothing is left.
            let _ = fs::remove_file(path);
            return Ok(());
        };
        let Unsaved { order, place, on_disc, readings, table, lay, lay_on_disc } = unsaved;
        let text = UnsavedText { order, place, on_disc, readings, table, lay, lay_on_disc };
        let text = serde_json::to_string(&text).unwrap_or_default();
        save_whole(&path, text.as_bytes())
    }

    fn kept(&self) -> Option<Unsaved> {
        let text = fs::read_to_string(self.seat.as_ref()?.unsaved()).ok()?;
        let UnsavedText { order, place, on_disc, readings, table, lay, lay_on_disc } =
            serde_json::from_str(&text).ok()?;
        Some(Unsaved { order, place, on_disc, readings, table, lay, lay_on_disc })
    }

    fn keep_habits(&self, habits: &Habits) {
        let Some(seat) = &self.seat else { return };
        let text = serde_json::to_string(&HabitsText::from(habits.clone())).unwrap_or_default();
        // Habits that can't be kept cost her a click tomorrow; that is not worth a word today.
        let _ = save_whole(&seat.habits(), text.as_bytes());
    }

    fn habits(&self) -> Habits {
        let text = self.seat.as_ref().and_then(|seat| fs::read_to_string(seat.habits()).ok());
        let kept: HabitsText = text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default();
        kept.into()
    }

    fn today(&self) -> String {
        today()
    }

    fn cut(&self, cutting: &Cutting, ended: Box<dyn FnOnce(Result<String, String>) + Send>) -> Result<(), Refusal> {
        let failed = |error: std::io::Error| {
            Refusal::because(
                Remark::refusal(format!("the cutting session can't be started: {}", why_not(&error)))
                    .remedy("save the order, and start it by hand with 'chalklight cut'"),
            )
        };
        let program = std::env::current_exe().map_err(failed)?;
        let child = Command::new(program)
            .args(arguments(cutting))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(failed)?;
        std::thread::spawn(move || ended(how_it_ended(child.wait_with_output())));
        Ok(())
    }
}

fn arguments(cutting: &Cutting) -> Vec<std::ffi::OsString> {
    let mut arguments =
        vec!["cut".into(), cutting.order.clone().into(), "--table".into(), cutting.table.clone().into()];
    if let Some(screen) = &cutting.screen {
        arguments.extend(["--screen".into(), screen.into()]);
    }
    if cutting.trust_anyway {
        arguments.push("--trust-anyway".into());
    }
    if cutting.cut_anyway {
        arguments.push("--cut-anyway".into());
    }
    arguments
}

/// What a session said at its end, or why it failed.
fn how_it_ended(output: std::io::Result<std::process::Output>) -> Result<String, String> {
    let output = output.map_err(|error| format!("the cutting session was lost: {}", why_not(&error)))?;
    let said = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    if output.status.success() {
        return Ok(format!("The cutting session is over. {said}"));
    }
    let complaint = String::from_utf8_lossy(&output.stderr);
    let last = complaint.lines().rev().find(|line| !line.trim().is_empty()).unwrap_or("it gave no reason");
    match output.status.code() {
        Some(_) => Err(format!("the cutting session ended: {last}")),
        None => Err("the cutting session was stopped; start it again, and it goes on where it was".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use image::ImageEncoder;

    use super::*;

    #[test]
    fn a_seat_with_work_at_it_is_waited_for_and_then_another_taken() {
        let folder = tempfile::tempdir().expect("a folder");
        let take = || Seat::take(folder.path().to_owned()).expect("a seat");
        let killed = take();
        fs::write(killed.unsaved(), "{}").expect("a file");
        let dying = std::thread::spawn(move || {
            std::thread::sleep(PATIENCE / 4);
            drop(killed);
        });
        let next = take();
        assert_eq!(next.number, 1, "the seat of a bench that has just ended");
        dying.join().expect("an end");
        assert_eq!(take().number, 2, "the seat of one that goes on is left to it");
        fs::remove_file(next.unsaved()).expect("nothing kept");
        let came = Instant::now();
        assert!(take().number == 2 && came.elapsed() < PATIENCE, "where nothing is kept nobody waits");
    }

    #[test]
    fn a_proof_that_failed_is_kept_in_the_file_of_habits() {
        let folder = tempfile::tempdir().expect("a folder");
        let desk = Computer { seat: Seat::take(folder.path().to_owned()) };
        let numbers = ["1458 mm", "930 mm", "1800 mm"].map(str::to_owned);
        let failed = vec![Failed { table: "[table]\n".to_owned(), numbers }];
        let habits = Habits { failed, ..Habits::default() };
        desk.keep_habits(&habits);
        assert_eq!(desk.habits(), habits);
        // A file from before knows of none.
        fs::write(folder.path().join("habits.json"), "{\"dark\":true}").expect("a file");
        assert_eq!(desk.habits(), Habits { dark: true, ..Habits::default() });
    }

    /// A photo that was taken with the telephone held upright: two pixels side by side, to be seen one above the other.
    /// Orientation 6, "row 0 is the right side", by Exif 2.32, tag 274.
    #[test]
    fn a_photo_is_seen_as_it_was_taken() {
        let exif = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0".to_vec();
        let mut file = Vec::new();
        let mut encoder = image::codecs::png::PngEncoder::new(&mut file);
        encoder.set_exif_metadata(exif).expect("PNG takes Exif");
        let (red, blue) = ([200, 10, 20], [10, 20, 200]);
        encoder.write_image(&[red, blue].concat(), 2, 1, image::ExtendedColorType::Rgb8).expect("a picture");
        let folder = tempfile::tempdir().expect("a folder");
        // Whatever it is called, it is known by what it is.
        let path = folder.path().join("print.jpg");
        fs::write(&path, file).expect("a file");
        let desk = Computer { seat: None };
        let photo = desk.photo(&path).unwrap_or_else(|no| panic!("{no}"));
        assert_eq!((photo.size_px, photo.rgb), ([1, 2], vec![red, blue]));
        let no = desk.photo(&folder.path().join("none.png")).unwrap_err().to_string();
        assert!(no.contains("can't be read") && no.contains("PNG or JPEG"), "{no}");
    }
}
