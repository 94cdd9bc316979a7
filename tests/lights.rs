//! The light that shows best on the order's cloth, as an order asks for it and the program answers.

use std::path::Path;
use std::process::{Command, Output};

use chalklight::order::read;
use image::{Rgb, RgbImage};
use serde_json::Value;

const ORDER: &str = include_str!("../src/command/demo/order.toml");
const TABLE: &str = "[projector]\nwidth = 96\nheight = 54\n\
                     [table]\nhomography = [0.08, 0, 0, 0, -0.08, 54, 0, 0, 1]\n";

/// The demo's order with more lines under its last section, [cloth].
fn order(cloth: &str) -> String {
    assert!(ORDER.rfind("\n[cloth]") > ORDER.rfind("\n[rules]"), "[cloth] is the last section");
    format!("{ORDER}\n{cloth}\n")
}

fn frame(folder: &Path, order: &str) -> (Output, Value) {
    std::fs::write(folder.join("order.toml"), order).expect("an order");
    std::fs::write(folder.join("table.toml"), TABLE).expect("a table");
    let output = Command::new(env!("CARGO_BIN_EXE_chalklight"))
        .args(["frame", "order.toml", "--table", "table.toml", "--stage", "1", "--out", "stage.png", "--json"])
        .current_dir(folder)
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    let json = serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {said}"));
    (output, json)
}

fn contrast(frames: &Value, way: &str, colour: &str, which: &str) -> f64 {
    let seen = frames[0]["seen"].as_array().expect("figures");
    let one = seen.iter().find(|s| s["way"] == way && s["colour"] == colour).expect("every colour both ways");
    one[which].as_f64().expect("a number")
}

/// By hand. Michelson's contrast (Studies in Optics, 1927, ch. 4) of a plain cloth does not depend on what it reflects:
/// light on dark is P / (P + 2 A + 2 v A), with a room of A = 200 lx, a projector of P = 1000 lx, and the veil v = 0.02 of
/// the ground's luminance; dark on lit the same with 2 v (A + P).
#[test]
fn plain_cloth_in_a_measured_room() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = order("colour = \"#7a7a7a\"\n[light]\nroom = \"200 lx\"\nprojector = \"1000 lx\"");
    let (_, frames) = frame(folder.path(), &text);
    let light = contrast(&frames, "light-on-dark", "white", "contrast_worst_tenth");
    let dark = contrast(&frames, "dark-on-lit", "white", "contrast_worst_tenth");
    assert!((light - 1000.0 / 1408.0).abs() < 1e-9, "{light}");
    assert!((dark - 1000.0 / 1448.0).abs() < 1e-9, "{dark}");
    // The best comes first, and what is thrown begins with it.
    assert_eq!(frames[0]["seen"][0]["colour"], "white");
    assert_eq!(frames[0]["seen"][0]["way"], "light-on-dark");
}

/// A photo whose right fifth is pure red, the rest white: green light gives the red nothing but the veil, so the worst tenth
/// is nothing, while half of the cloth shows it well; red light shows on both.
#[test]
fn a_photo_is_looked_at_place_by_place() {
    let folder = tempfile::tempdir().expect("a folder");
    let photo = RgbImage::from_fn(100, 80, |x, _| if x < 80 { Rgb([255; 3]) } else { Rgb([255, 0, 0]) });
    for name in ["print.png", "print.jpg"] {
        photo.save(folder.path().join(name)).expect("a photo");
        let (output, frames) = frame(folder.path(), &order(&format!("photo = \"{name}\"")));
        assert!(output.status.success());
        let worst = |colour| contrast(&frames, "light-on-dark", colour, "contrast_worst_tenth");
        let middle = |colour| contrast(&frames, "light-on-dark", colour, "contrast_middle");
        assert!(worst("green") < 0.05 && middle("green") > 0.8, "{name}: {} {}", worst("green"), middle("green"));
        assert!(worst("red") > 0.6, "{name}: {}", worst("red"));
    }
}

#[test]
fn a_photo_that_is_not_there_is_told_and_left_out() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("notes.png"), "no picture").expect("a file");
    for name in ["absent.png", "notes.png"] {
        let (output, frames) = frame(folder.path(), &order(&format!("photo = \"{name}\"\ncolour = \"#203040\"")));
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
        assert!(said.contains(&format!("the photo {name} can't be read")) && said.contains("PNG or JPEG"), "{said}");
        assert!(contrast(&frames, "light-on-dark", "white", "contrast_middle") > 0.5, "its colour is taken instead");
    }
}

#[test]
fn an_order_that_says_nothing_of_its_looks_is_answered_as_before() {
    let folder = tempfile::tempdir().expect("a folder");
    let (_, frames) = frame(folder.path(), &order(""));
    assert!(frames[0].get("seen").is_none());
}

#[test]
fn colours_and_lights_that_cannot_be_read_are_told_what_to_write() {
    for (lines, says, write) in [
        ("colour = \"brown\"", "colour = \"brown\" is no colour", "\"#7a3b2e\""),
        ("colour = \"#12345\"", "is no colour", "six digits"),
        ("colour = \"#+12345\"", "is no colour", "six digits"),
        ("colour = [\"#102030\", 5]", "is a number, not a text", "in quotes"),
        ("[light]\nroom = \"100\"", "room = \"100\" is no light", "100 lx"),
        ("[light]\nroom = \"nan lx\"", "is no light", "100 lx"),
        ("[light]\nprojector = \"9e9 lx\"", "is no light", "lux meter"),
        ("[light]\nambient = \"9 lx\"", "ambient is not known in [light]", "ambient"),
    ] {
        let refusal = read(&order(lines)).expect_err(lines);
        let said: Vec<String> = refusal.in_file("order.toml").remarks.iter().map(ToString::to_string).collect();
        assert!(said.iter().any(|s| s.contains(says) && s.contains(write)), "{lines}: {said:#?}");
    }
}
