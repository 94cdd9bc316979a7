//! The graphics driver is taken away while a show goes on, again and again: each time the next picture is thrown all the
//! same, until it happened too often, and then the show stops with a sentence.

use super::{REPLACEMENTS, Stage, Venue};
use crate::geometry::Point;
use crate::projector::{Key, KeyName, Reaction, Show};
use crate::scene::{Marks, Pose, Scene, Stroke};
use crate::table::Table;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use winit::application::ApplicationHandler;
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, EventLoop};
use winit::platform::x11::EventLoopBuilderExtX11;
use winit::window::WindowId;

const SCREEN_PX: [u32; 2] = [640, 400];
/// How long a busy machine may take until a picture is on the screen.
const PATIENCE: Duration = Duration::from_secs(120);

/// A window system of its own, and the test in a process of its own: a process has one event loop.
#[test]
fn a_lost_driver_is_replaced_and_at_last_told() {
    let mut xvfb = Command::new("Xvfb")
        .args(["-displayfd", "1", "-screen", "0", "640x400x24", "-nolisten", "tcp"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("Xvfb; run 'make test' once");
    let mut number = String::new();
    BufReader::new(xvfb.stdout.take().expect("a pipe")).read_line(&mut number).expect("a display");
    let child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "projector::window::lost::a_show_without_luck", "--ignored", "--nocapture"])
        .env("DISPLAY", format!(":{}", number.trim()))
        .env_remove("WAYLAND_DISPLAY")
        .output();
    xvfb.kill().expect("Xvfb ends");
    xvfb.wait().expect("Xvfb's end");
    let child = child.expect("the child runs");
    let said = format!("{}{}", String::from_utf8_lossy(&child.stdout), String::from_utf8_lossy(&child.stderr));
    assert!(child.status.success() && said.contains("1 passed"), "{said}");
}

#[test]
#[ignore = "run by the test above, in a process of its own"]
fn a_show_without_luck() {
    let mut show = Lines { at: 0 };
    let venue = Venue { table: Table::of_pixels(SCREEN_PX), screen: None };
    let mut saboteur = Saboteur { stage: Stage::new(&mut show, venue), thrown: 0 };
    let event_loop = EventLoop::builder().with_any_thread(true).build().expect("an event loop");
    event_loop.run_app(&mut saboteur).expect("the show runs");
    assert_eq!(saboteur.thrown, REPLACEMENTS + 1, "every picture is thrown, the first and one after each loss");
    let told = saboteur.stage.outcome.expect_err("the last loss is one too many").to_string();
    assert!(told.contains("stopped several times") && told.contains("restart the computer"), "{told}");
}

/// One line across the screen, which each key moves on: what a lost driver left on the screen is another picture.
struct Lines {
    at: u32,
}

/// How far down each picture's line lies.
fn down_px(at: u32) -> u32 {
    20 + 40 * at
}

impl Show for Lines {
    fn scene(&mut self) -> Scene {
        let y = f64::from(SCREEN_PX[1] - down_px(self.at));
        let points = vec![Point::new(20.0, y), Point::new(620.0, y)];
        let line = Stroke { points, closed: false, width_mm: 6.0, light: [255; 3] };
        let on_table = Marks { strokes: vec![line], ..Marks::default() };
        Scene { ground: [0; 3], on_cloth: Marks::default(), on_table }
    }

    fn stack_mm(&self) -> f64 {
        0.0
    }

    fn pose(&mut self) -> Pose {
        Pose { at_mm: Point::origin(), turn_rad: 0.0 }
    }

    fn key(&mut self, _: Key) -> Reaction {
        self.at += 1;
        Reaction::Scene
    }
}

/// Destroys the device after each picture that was thrown, and then asks for the next one.
struct Saboteur<'s> {
    stage: Stage<'s>,
    thrown: u32,
}

impl ApplicationHandler for Saboteur<'_> {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        self.stage.resumed(event_loop);
    }

    fn window_event(&mut self, event_loop: &ActiveEventLoop, id: WindowId, event: WindowEvent) {
        let drawn = event == WindowEvent::RedrawRequested;
        self.stage.window_event(event_loop, id, event);
        let Some(canvas) = self.stage.canvas.as_ref().filter(|canvas| !canvas.lost()) else { return };
        if drawn && self.stage.begun && self.stage.key_at.is_none() {
            assert!(is_on_the_screen(self.thrown), "picture {} is not on the screen", self.thrown);
            self.thrown += 1;
            canvas.thrower().gpu().device.destroy();
            self.stage.key(event_loop, Key { name: KeyName::Space, pad: false, shift: false, held: false });
        }
    }

    fn about_to_wait(&mut self, event_loop: &ActiveEventLoop) {
        self.stage.about_to_wait(event_loop);
    }
}

/// Looks at the screen until that picture's line is on it and no other.
fn is_on_the_screen(at: u32) -> bool {
    let begun = Instant::now();
    while begun.elapsed() < PATIENCE {
        let lit = |screen: &image::RgbaImage, at| screen.get_pixel(320, down_px(at)).0[1] > 200;
        if screen().is_some_and(|screen| (0..=REPLACEMENTS).all(|n| lit(&screen, n) == (n == at))) {
            return true;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    false
}

fn screen() -> Option<image::RgbaImage> {
    let taken =
        Command::new("import").args(["-window", "root", "png:-"]).output().expect("import; run 'make test' once");
    image::load_from_memory(&taken.stdout).ok().map(|it| it.to_rgba8())
}
