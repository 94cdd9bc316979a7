//! The projector's screen is set to another size and unplugged while a session throws: lines go away, a sentence says why,
//! and the same lines come back with the screen. No key does anything that she can't see.

use super::rig::{LAPTOP, PROJECTOR, Rig};
use image::{RgbaImage, imageops};

/// Where the projector's screen lies, at the right of the laptop's.
const AT_X: u32 = 1280;
/// The part of a window's height in which the sentence stands, from its top.
const SENTENCE_SHARE: [f64; 2] = [0.38, 0.60];

const TABLE: &str = "[projector]\nwidth = 1920\nheight = 1080\nscreen = \"DUMMY1 1920x1080\"\n\
                     [table]\nhomography = [1.5, 0, 60, 0, -1.5, 1040, 0, 0, 1]\n";

#[test]
fn lines_go_with_their_screen_and_come_back_with_it() {
    let mut rig = Rig::start("screens");
    std::fs::write(rig.folder.join("order.toml"), include_str!("../../src/command/demo/order.toml")).expect("an order");
    std::fs::write(rig.folder.join("table.toml"), TABLE).expect("a table");
    rig.run("xrandr", &["--addmode", "DUMMY1", LAPTOP]);
    rig.open_session(&["cut", "order.toml", "--table", "table.toml", "--trust-anyway"]);
    rig.until("lines on the table", |rig| has_lines(&projector(rig, [1920, 1080])));
    rig.shot("thrown");
    let thrown = projector(&rig, [1920, 1080]);
    assert!(has_lines(&thrown));
    let back = |rig: &Rig| projector(rig, [1920, 1080]) == thrown;

    rig.plug_in(LAPTOP);
    rig.until("a sentence and no line at the smaller size", |rig| says_only(&projector(rig, [1280, 800])));
    rig.press(&["Right", "Next"]);
    assert!(says_only(&projector(&rig, [1280, 800])));
    rig.shot("smaller");
    rig.plug_in(PROJECTOR);
    rig.until("the same lines at the size that was measured", back);

    rig.run("xrandr", &["--output", "DUMMY1", "--off"]).expect("unplugged");
    // The window may have gone to the laptop's screen, or lie in the dark.
    rig.until("no line on the screen that is left", |rig| !has_lines(&seen(rig, [0, 0], [1280, 800])));
    rig.shot("unplugged");
    rig.press(&["Right", "Next"]);
    rig.plug_in(PROJECTOR);
    rig.until("the same lines on the screen that came back", back);

    rig.focus("^Chalklight table$");
    rig.press(&["Right"]);
    rig.until("lines that were nudged", |rig| {
        let now = projector(rig, [1920, 1080]);
        now != thrown && has_lines(&now)
    });
}

/// The projector is plugged in after the bench was opened: it is listed, and the grid is thrown on it.
#[test]
fn a_screen_that_is_plugged_in_later_is_listed_and_thrown_on() {
    let mut rig = Rig::start("plugged");
    rig.run("xrandr", &["--output", "DUMMY1", "--off"]).expect("unplugged");
    let mut bench = rig.open_bench();
    rig.press(&["ctrl+5"]);
    rig.shot("one-screen");
    rig.plug_in(PROJECTOR);
    // A desktop tells of it in its own time.
    std::thread::sleep(std::time::Duration::from_secs(3));
    rig.shot("two-screens");
    rig.focus("^Chalklight$");
    // The second screen of the list, and on to the grid: on a list of one this would end elsewhere.
    rig.press(&["ctrl+5", "Tab", "space"]);
    rig.press_times("Tab", 15);
    rig.press(&["space"]);
    rig.until("the grid on the screen that came", |rig| {
        let picture = projector(rig, [1920, 1080]);
        let rows = lit_rows(&picture);
        // Crosses near the upper edge, in the middle and near the lower one.
        [0.06, 0.5, 0.94].map(|share| (share * rows.len() as f64) as usize).into_iter().all(|row| rows[row])
    });
    rig.shot("thrown");
    bench.kill().expect("its end");
    bench.wait().expect("its end");
}

fn projector(rig: &Rig, size_px: [u32; 2]) -> RgbaImage {
    seen(rig, [AT_X, 0], size_px)
}

/// A part of what both screens show; black where nothing is.
fn seen(rig: &Rig, [x, y]: [u32; 2], [width, height]: [u32; 2]) -> RgbaImage {
    let path = rig.folder.join("seen.png");
    rig.run("import", &["-window", "root", &path.display().to_string()]);
    let all = image::open(&path).map(|it| it.to_rgba8()).unwrap_or_default();
    let mut part = RgbaImage::from_pixel(width, height, image::Rgba([0, 0, 0, 255]));
    imageops::overlay(&mut part, &all, -i64::from(x), -i64::from(y));
    part
}

fn lit_rows(picture: &RgbaImage) -> Vec<bool> {
    picture.rows().map(|row| row.into_iter().any(|p| p.0[1] > 40)).collect()
}

/// Whether there is light outside the band of the sentence.
fn has_lines(picture: &RgbaImage) -> bool {
    let rows = lit_rows(picture);
    let [from, to] = SENTENCE_SHARE.map(|share| (share * rows.len() as f64) as usize);
    rows[..from].iter().chain(&rows[to..]).any(|lit| *lit)
}

fn says_only(picture: &RgbaImage) -> bool {
    !has_lines(picture) && lit_rows(picture).contains(&true)
}
