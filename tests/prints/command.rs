//! `chalklight repeat` as she uses it: files, sentences, exit codes, and the order that is written.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use image::{ExtendedColorType, ImageEncoder};

use super::*;

const MARKS: [&str; 4] = ["--ends", "1,1 201,1", "--length", "250 mm"];

struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        Self(tempfile::tempdir().expect("a folder"))
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn run(&self, words: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_chalklight"));
        command.arg("repeat").args(words).current_dir(self.0.path()).output().expect("the program runs")
    }

    /// What it says of bad input, which must be a sentence with a remedy and no more.
    fn refused(&self, words: &[&str]) -> String {
        let output = self.run(words);
        let said = String::from_utf8(output.stderr).expect("text");
        assert_eq!(output.status.code(), Some(2), "{words:?}: {said}");
        assert!(said.contains("; ") && !said.contains("panicked"), "{words:?}: {said}");
        said
    }
}

fn half_drop() -> (Photograph, Drawn) {
    let print =
        Drawn { half_drop: true, ..with(vec![motif(Shape::Triangle, [0.5, 0.5], std::f64::consts::FRAC_PI_2)]) };
    let taken = Taken { slant_deg: 1.5, ..usual([420, 330]) };
    (print.photographed(&taken, &mut Chance(4)), print)
}

fn save(photo: &Photograph, path: &Path, exif: Option<&[u8]>) {
    let mut file = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut file);
    if let Some(exif) = exif {
        encoder.set_exif_metadata(exif.to_vec()).expect("PNG takes Exif");
    }
    let bytes: Vec<u8> = photo.rgb.iter().flatten().copied().collect();
    encoder.write_image(&bytes, photo.size_px[0], photo.size_px[1], ExtendedColorType::Rgb8).expect("a picture");
    std::fs::write(path, file).expect("a file");
}

#[test]
fn what_is_found_is_written_and_comments_stay() {
    let desk = Desk::new();
    let (photo, print) = half_drop();
    save(&photo, &desk.path("print.png"), None);
    let order = "# Her aunt's cloth\n[cloth]\nwidth = \"114 cm\" # between selvedges\nprint = \"all-over\" # ?\n";
    std::fs::write(desk.path("order.toml"), order).expect("an order");
    let words =
        [&["print.png"][..], &MARKS, &["--order", "order.toml", "--write", "--out", "ruled.png", "--json"]].concat();
    let output = desk.run(&words);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert!(said["half_drop"] == true && near(said["along_mm"].as_f64(), print.along_mm), "{said}");
    let written = std::fs::read_to_string(desk.path("order.toml")).expect("the order");
    for kept in [
        "# Her aunt's cloth\n",
        "width = \"114 cm\" # between selvedges\n",
        "print = \"one-way\" # ?\n",
        "photo = \"print.png\"",
    ] {
        assert!(written.contains(kept), "{kept} is not in\n{written}");
    }
    // Read again from the order alone the print lies straight, and its repeat is what was written.
    let text =
        format!("{}\n{written}", include_str!("../../src/command/demo/order.toml").split("[cloth]").next().unwrap());
    let order = chalklight::order::read(&text).unwrap_or_else(|no| panic!("{no}")).value;
    let repeat_mm = order.cloth.expect("a cloth").repeat_mm;
    assert!(near(repeat_mm[0], 120.0) && near(repeat_mm[1], 180.0), "{repeat_mm:?}");
    let again = desk.run(&["print.png", "--order", "order.toml", "--json"]);
    let said: serde_json::Value = serde_json::from_slice(&again.stdout).expect("JSON");
    assert!(said["slant_deg"].as_f64().is_some_and(|deg| deg.abs() < 0.2), "{said}");
    assert!(image::open(desk.path("ruled.png")).is_ok());
    let in_words = String::from_utf8(desk.run(&["print.png", "--order", "order.toml"]).stdout).expect("text");
    for words in ["half-drop: each column", "one-way", "of 100 as clear", "repeat = [\""] {
        assert!(in_words.contains(words), "{words} is not in\n{in_words}");
    }
}

/// An order that names its photo, and says under [photo] what in it has a known size, is enough; what is missing is asked for.
#[test]
fn an_order_stands_for_its_photo() {
    let desk = Desk::new();
    let (photo, print) = half_drop();
    save(&photo, &desk.path("print.png"), None);
    let body = include_str!("../../src/command/demo/order.toml").split("[cloth]").next().unwrap();
    let cloth = "[cloth]\nwidth = \"114 cm\"\n";
    let known = "[photo]\nends = [[1, 1], [201, 1]]\nlength = \"250 mm\"\n";
    std::fs::write(desk.path("order.toml"), format!("{body}{cloth}photo = \"print.png\"\n{known}")).expect("an order");
    let output = desk.run(&["order.toml", "--write", "--json"]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert!(near(said["along_mm"].as_f64(), print.along_mm) && said["written"] == true, "{said}");
    let written = std::fs::read_to_string(desk.path("order.toml")).expect("the order");
    assert!(written.contains("repeat = [\"") && written.contains("photo = \"print.png\""), "{written}");
    for (text, says) in [
        (format!("{body}{cloth}{known}"), "no photo of the cloth is named"),
        (format!("{body}{cloth}photo = \"print.png\"\n"), "nothing is said of how large"),
    ] {
        std::fs::write(desk.path("order.toml"), text).expect("an order");
        assert!(desk.refused(&["order.toml"]).contains(says), "{says}");
    }
    let said = desk.refused(&[&["print.png"][..], &MARKS, &["--write"]].concat());
    assert!(said.contains("--order order.toml"), "{said}");
}

/// 250 mm between two places 200 pixels apart are 1.25 mm a pixel; the photo's lower left is where the cloth begins.
#[test]
fn a_motif_that_is_pointed_at_is_written() {
    let desk = Desk::new();
    let (photo, _) = half_drop();
    save(&photo, &desk.path("print.png"), None);
    std::fs::write(desk.path("order.toml"), "[cloth]\nwidth = \"114 cm\"\n").expect("an order");
    let words = [&["print.png"][..], &MARKS, &["--motif", "100, 30", "--order", "order.toml", "--write", "--json"]];
    let output = desk.run(&words.concat());
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let height = f64::from(photo.size_px[1]);
    let at = [100.0 * 1.25, (height - 30.0) * 1.25];
    let found = [0, 1].map(|i| said["motif_mm"][i].as_f64().expect("a length"));
    assert!((0..2).all(|i| (found[i] - at[i]).abs() < 1e-6), "{found:?} for {at:?}");
    assert!(String::from_utf8_lossy(&output.stderr).contains("nothing says where on the cloth"));
    let written = std::fs::read_to_string(desk.path("order.toml")).expect("the order");
    assert!(written.contains("motif = [\"125 mm\""), "{written}");
    assert!(desk.refused(&[&["print.png"][..], &MARKS, &["--motif", "9000,1"]].concat()).contains("not in the photo"));
}

#[test]
fn a_photo_taken_on_its_side_is_turned_first() {
    let desk = Desk::new();
    let (photo, print) = half_drop();
    // Turned a quarter as a telephone held upright stores it; 6 in Exif says: turn it clockwise to see it (Exif 2.32, tag 274).
    let [width, height] = photo.size_px.map(|side| side as usize);
    let turned = (0..width).flat_map(|x| (0..height).map(move |y| (x, y)));
    let rgb = turned.map(|(x, y)| photo.rgb[y * width + x]).collect::<Vec<_>>();
    let exif = *b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\0\0\0\0";
    let stored: Vec<[u8; 3]> = (0..width).rev().flat_map(|x| rgb[x * height..(x + 1) * height].to_vec()).collect();
    save(&Photograph { size_px: [height as u32, width as u32], rgb: stored }, &desk.path("side.png"), Some(&exif));
    let output = desk.run(&[&["side.png"][..], &MARKS, &["--json"]].concat());
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert!(
        near(said["along_mm"].as_f64(), print.along_mm) && near(said["across_mm"].as_f64(), print.across_mm()),
        "{said}"
    );
}

#[test]
fn bad_photos_end_in_a_sentence() {
    let desk = Desk::new();
    std::fs::write(desk.path("empty.png"), []).expect("a file");
    std::fs::write(desk.path("words.jpg"), "this is a letter").expect("a file");
    // The head of a PNG of 10000 x 10000 pixels; its checksum by crc32fast.
    let mut head = b"IHDR\0\0\x27\x10\0\0\x27\x10\x08\x02\0\0\0".to_vec();
    head.extend(crc32fast::hash(&head).to_be_bytes());
    let png = [&b"\x89PNG\r\n\x1a\n\0\0\0\x0d"[..], &head, b"\0\0\0\0IDAT\x35\xaf\x06\x1e"].concat();
    std::fs::write(desk.path("huge.png"), png).expect("a file");
    let (photo, _) = half_drop();
    save(&photo, &desk.path("print.png"), None);
    let whole = std::fs::read(desk.path("print.png")).expect("the photo");
    std::fs::write(desk.path("torn.png"), &whole[..whole.len() / 2]).expect("a file");
    let mut whole = Vec::new();
    let jpeg = image::codecs::jpeg::JpegEncoder::new(&mut whole);
    let bytes: Vec<u8> = photo.rgb.iter().flatten().copied().collect();
    jpeg.write_image(&bytes, photo.size_px[0], photo.size_px[1], ExtendedColorType::Rgb8).expect("a picture");
    std::fs::write(desk.path("torn.jpg"), &whole[..whole.len() / 2]).expect("a file");
    std::fs::write(desk.path("whole.jpg"), &whole).expect("a file");
    assert_eq!(desk.run(&[&["whole.jpg"][..], &MARKS].concat()).status.code(), Some(0));
    for (name, says) in [
        ("empty.png", "no picture, or an empty file"),
        ("words.jpg", "no picture, or an empty file"),
        ("huge.png", "100 megapixels"),
        ("torn.png", "can't be read"),
        ("torn.jpg", "its end is missing"),
        ("none.png", "can't be read"),
        (".", "can't be read"),
    ] {
        let said = desk.refused(&[&[name][..], &MARKS].concat());
        assert!(said.contains(says), "{name}: {said}");
    }
    for (marks, says) in [
        (&["--ends", "1,1 1,1", "--length", "3 cm"][..], "not two places"),
        (&["--ends", "one two", "--length", "3 cm"], "no list of points"),
        (&["--ends", "1,1 9,9", "--length", "3"], "has no unit"),
        (&["--corners", "1,9 9,9 9,1", "--size", "3 cm x 3 cm"], "not the four corners"),
        (&["--corners", "1,9 9,9 9,1 1,1", "--size", "3 cm"], "is empty"),
        (&[], "nothing is said of how large"),
        (&["--order", "none.toml"], "can't be read"),
    ] {
        let said = desk.refused(&[&["print.png"][..], marks].concat());
        assert!(said.contains(says) && !said.contains("line "), "{marks:?}: {said}");
    }
    let tiny = Photograph { size_px: [3, 2], rgb: vec![[9, 9, 9]; 6] };
    save(&tiny, &desk.path("tiny.png"), None);
    let output = desk.run(&[&["tiny.png"][..], &MARKS].concat());
    assert!(output.status.code().is_some_and(|code| code < 3), "{output:?}");
}
