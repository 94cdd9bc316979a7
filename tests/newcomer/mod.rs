//! A newcomer's run on two screens: she types a client, loses power, goes on, measures a table with one slip of the
//! tape that is named and mended, throws, cuts half, loses power again, goes on where she was, and cuts all.
//!
//! Everything is typed by a hand of its own (xdotool) into the real windows. Pictures of both screens are left in
//! `target/tmp/newcomer`.

mod rig;
mod screens;

use std::collections::BTreeMap;
use std::process::Child;

use chalklight::bench::notebook::{Notebook, Slot};
use chalklight::bench::work::Work;
use chalklight::calibrate::{calibrate, readings_file};
use chalklight::draft::Garment;
use chalklight::geometry::{Pixel, Point};
use chalklight::order::{Kind, MEASURES, Style};
use chalklight::table::{KeptTable, Lens, Table, file};
use rig::Rig;

const NAME: &str = "Newcomer, first act";

/// Her measurements, by their keys.
const MEASURED: [(&str, &str); 8] = [
    ("bust", "94 cm"),
    ("waist", "78 cm"),
    ("hip", "102 cm"),
    ("hip_depth", "20 cm"),
    ("shoulder", "39 cm"),
    ("waist_depth", "40 cm"),
    ("head", "56 cm"),
    ("upper_arm", "29 cm"),
];

/// Her own house rules, in the order of the fields.
const OWN_RULES: [(&str, &str); 3] = [("bust_ease", "1 cm"), ("waist_ease", "4.5 cm"), ("front_neck_depth", "13 cm")];

const PICTURE_PX: [u32; 2] = [1920, 1080];

/// The reading in which the tape slips, and by how much.
const SLIP: (usize, f64) = (4, 100.0);

#[test]
fn a_newcomer_gets_through_the_job_and_two_power_cuts() {
    let mut rig = Rig::start("newcomer");
    let mut bench = rig.open_bench();
    types_a_client(&rig);
    cut_the_power(&mut bench);
    let mut bench = rig.open_bench();
    takes_it_up_again(&rig);
    goes_on_to_the_cloth_and_saves(&rig);
    measures_the_table(&rig);
    throws_and_cuts_half(&rig);
    let step = step_of(&rig);
    let session = rig.run("xdotool", &["search", "--name", "^Chalklight table$", "getwindowpid"]).expect("the session");
    rig.run("kill", &["-9", session.trim()]).expect("a power cut");
    cut_the_power(&mut bench);
    let mut bench = rig.open_bench();
    opens_the_order(&rig);
    goes_on_cutting(&rig, step);
    cut_the_power(&mut bench);
}

/// No warning, no chance to save.
fn cut_the_power(bench: &mut Child) {
    bench.kill().expect("a power cut");
    bench.wait().expect("its end");
}

fn types_a_client(rig: &Rig) {
    rig.shot("1-start");
    rig.press(&["ctrl+1"]);
    rig.enter(NAME);
    rig.enter("");
    let facts = Kind::ALineDress.facts();
    let asked = MEASURES.iter().filter(|of| facts.needs.contains(&of.measure) || facts.wants.contains(&of.measure));
    for of in asked {
        rig.enter(MEASURED.iter().find(|(key, _)| *key == of.key).map_or("", |(_, length)| length));
    }
    rig.press(&["ctrl+2"]);
    rig.enter("104 cm");
    // On past what may be chosen, and past the rules that stay the house's.
    rig.press_times("Tab", facts.choices.len());
    let rules = Garment::of(Kind::ALineDress).rules_for(&Style::default());
    let place = |key: &str| rules.iter().position(|rule| rule.key == key).expect("a rule");
    let mut at = 0;
    for (key, value) in OWN_RULES {
        rig.press_times("Return", place(key) - at);
        rig.enter(value);
        at = place(key) + 1;
    }
    rig.until("all that she typed", |rig| rig.kept().contains("front_neck_depth = \\\"13 cm\\\""));
    for line in
        ["bust = \\\"94 cm\\\"", "upper_arm = \\\"29 cm\\\"", "bust_ease = \\\"1 cm\\\"", "waist_ease = \\\"4.5 cm\\\""]
    {
        assert!(rig.kept().contains(line), "{line} is not in {}", rig.kept());
    }
    rig.press(&["ctrl+3"]);
    rig.shot("2-draft");
}

/// Tab: past New, Open, Save, Save as, look, and both sizes of text.
fn takes_it_up_again(rig: &Rig) {
    rig.shot("3-offered");
    rig.press_times("Tab", 8);
    rig.press(&["space"]);
    rig.press(&["ctrl+1"]);
    rig.shot("4-taken-up");
}

fn goes_on_to_the_cloth_and_saves(rig: &Rig) {
    rig.press(&["ctrl+4"]);
    // On cloth so narrow two lengths folded on their centre spend what any fold does, and they lie within the light.
    rig.enter("90 cm");
    rig.enter("3 m");
    rig.shot("5-lay");
    rig.press(&["ctrl+s"]);
    rig.press(&["Return"]);
    rig.until("the order's file", |rig| rig.text("order.toml").contains("length = \"3 m\""));
    let order = rig.text("order.toml");
    assert!(order.contains(NAME) && order.contains("front_neck_depth = \"13 cm\""), "{order}");
    rig.until("nothing left unsaved", |rig| rig.kept().is_empty());
}

/// The table as it is: a picture 1.6 m wide, tilted, seen by a pinhole.
fn truth() -> Table {
    let homography = [[1.2, 0.03, 118.0], [0.0, -1.1, 66.0], [0.0, -6e-5, 1.0]];
    Table { picture_px: PICTURE_PX, homography, lens: Lens::none(PICTURE_PX), stand: None }
}

/// What a tape reads between the marks, to the half millimetre.
fn tape_mm() -> BTreeMap<Slot, f64> {
    let (truth, notebook) = (truth(), Notebook::new(PICTURE_PX));
    let grid = notebook.grid();
    let at = |mark| truth.mm_from_px(grid.px(mark).expect("a mark")).expect("on the table");
    let read = |slot: Slot| match slot {
        Slot::Between(from, to) => (slot, (2.0 * at(from).distance_to(at(to))).round() / 2.0),
        _ => panic!("{slot:?} is no distance"),
    };
    notebook.slots().into_iter().map(read).collect()
}

fn measures_the_table(rig: &Rig) {
    let tape = tape_mm();
    let slots = Notebook::new(PICTURE_PX).slots();
    rig.press(&["ctrl+5"]);
    // The second screen; then on past its numbers, the ways of measuring, the units, the tape and the ways of the picture.
    rig.press(&["Tab", "space"]);
    rig.press_times("Tab", 15);
    rig.press(&["space"]);
    rig.until("the grid on the table", |rig| rig.window("^Chalklight on the table$").is_some());
    rig.focus("^Chalklight$");
    for (i, slot) in slots.iter().enumerate() {
        let slip = if i == SLIP.0 { SLIP.1 } else { 0.0 };
        rig.type_text(&format!("{}", tape[slot] + slip));
        rig.press(&["Next"]);
    }
    rig.shot("6-one-slip");
    rig.until("all readings", |rig| rig.kept().matches("[[reading]]").count() == slots.len());
    let doubted = suspects(rig);
    assert!(doubted.iter().any(|name| *name == slots[SLIP.0].says()), "{doubted:?}");
    // Back to the slip with the clicker, written anew, and on past the lens's three figures to the file's name.
    rig.press_times("Prior", slots.len() - 1 - SLIP.0);
    rig.press(&["ctrl+a"]);
    rig.enter(&format!("{}", tape[&slots[SLIP.0]]));
    rig.press_times("Tab", slots.len() - SLIP.0 - 1 + 3);
    rig.until("the slip mended", |rig| suspects(rig).is_empty());
    rig.shot("7-mended");
    rig.press(&["Return"]);
    rig.until("the table's file", |rig| !rig.text("table.toml").is_empty());
    let kept = file::read(&rig.text("table.toml")).expect("a table").value;
    assert_eq!(kept.screen.as_deref(), Some("DUMMY1 1920x1080"));
    assert!(kept.fit.as_ref().is_some_and(|fit| fit.trusted), "{:?}", kept.fit);
    assert_true(&kept);
}

/// The readings that the kept notebook doubts.
fn suspects(rig: &Rig) -> Vec<String> {
    let kept: serde_json::Value = serde_json::from_str(&rig.kept()).expect("what is kept");
    let read = readings_file::read(kept["readings"].as_str().expect("readings")).expect("readings").value;
    let table = calibrate(&read).expect("a table").value;
    table.fit.map(|fit| fit.suspects.into_iter().map(|suspect| suspect.reading).collect()).unwrap_or_default()
}

/// Distances between points of the picture are on the solved table what they are on the true one, within its own bound.
fn assert_true(kept: &KeptTable) {
    let truth = truth();
    let bound_mm = kept.fit.as_ref().expect("a fit").bound95.largest_mm;
    let points = [[0.0, 0.0], [1920.0, 0.0], [1920.0, 1080.0], [0.0, 1080.0], [960.0, 540.0]];
    for (i, a) in points.iter().enumerate() {
        for b in &points[i + 1..] {
            let mm = |table: &Table| {
                let at = |p: &[f64; 2]| table.mm_from_px(Point::<Pixel>::new(p[0], p[1])).expect("on the table");
                at(a).distance_to(at(b))
            };
            let off_mm = (mm(&kept.table) - mm(&truth)).abs();
            assert!(off_mm < 2.0 * bound_mm, "{a:?} to {b:?} is {off_mm:.2} mm off, bound {bound_mm:.2}");
        }
    }
}

fn throws_and_cuts_half(rig: &Rig) {
    rig.press(&["ctrl+6"]);
    rig.shot("8-before-the-cut");
    rig.press(&["space"]);
    rig.until("the session's window", |rig| rig.window("^Chalklight table$").is_some());
    rig.focus("^Chalklight table$");
    proves_the_table(rig);
    rig.shot("9-thrown");
    rig.press(&["Next", "Next", "Right"]);
    rig.until("the third step kept", |rig| step_of(rig) == 3);
    rig.shot("10-half-cut");
}

/// Nobody has knocked the projector: three distances are as they were, to the millimetre.
fn proves_the_table(rig: &Rig) {
    let (truth, notebook) = (truth(), Notebook::new(PICTURE_PX));
    let grid = notebook.grid();
    let at = |name: &str| {
        let mark = name.parse().expect("a mark");
        truth.mm_from_px(grid.px(mark).expect("its pixel")).expect("on the table")
    };
    for [from, to] in [["A1", "A5"], ["A5", "C5"], ["A1", "C5"]] {
        rig.enter(&format!("{:.0}", at(from).distance_to(at(to))));
    }
    rig.shot("9-proved");
    rig.press(&["Return"]);
}

/// The step at which the session is kept; 0 when none is.
fn step_of(rig: &Rig) -> usize {
    let text = rig.text("order.session.toml");
    let step = text.lines().find_map(|line| line.strip_prefix("step = "));
    step.and_then(|step| step.trim().parse().ok()).unwrap_or(0)
}

/// How many stages it takes to cut an order.
fn stages_of(order: &str) -> usize {
    let to_lay = Work::of(order, None).to_lay.expect("pieces and cloth");
    to_lay.lying().laid.expect("a lay").stages.len()
}

/// So long it takes at most until the pieces are laid.
const LAID: std::time::Duration = std::time::Duration::from_secs(4);

fn opens_the_order(rig: &Rig) {
    rig.press(&["ctrl+o"]);
    rig.enter("order.toml");
    rig.press(&["ctrl+6"]);
    // The pieces are laid in the background, on a busy machine for a second or two.
    std::thread::sleep(LAID);
    rig.shot("11-opened-again");
}

fn goes_on_cutting(rig: &Rig, step: usize) {
    rig.press(&["space"]);
    rig.until("the session again", |rig| rig.window("^Chalklight table$").is_some());
    rig.focus("^Chalklight table$");
    rig.press(&["Escape"]);
    rig.shot("12-where-it-was");
    assert_eq!(step_of(rig), step);
    // The cloth is laid to the marks again: both ends of the fold are met where they were.
    rig.press(&["Return", "Return", "Next"]);
    rig.until("the next step", |rig| step_of(rig) == step + 1);
    let last = stages_of(&rig.text("order.toml"));
    for next in step + 2..=last {
        rig.press(&["Next"]);
        rig.until("the step after it", |rig| step_of(rig) == next);
        rig.shot(&format!("12-stage-{next}"));
    }
    // After the last there is none.
    rig.press(&["Next", "Escape"]);
    assert_eq!(step_of(rig), last);
    rig.until("the session's end", |rig| rig.window("^Chalklight table$").is_none());
    rig.shot("13-over");
}
