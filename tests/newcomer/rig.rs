//! Two screens without hardware: Xorg's dummy driver, a window manager, and a hand that types.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The laptop's screen and the projector's.
pub const LAPTOP: &str = "1280x800";
pub const PROJECTOR: &str = "1920x1080";

/// How long anything may take on a busy machine before it is called lost.
const PATIENCE: Duration = Duration::from_secs(150);

/// The screens, the folder of this run, and what was started in it.
pub struct Rig {
    /// Where everything of this run lies.
    pub folder: PathBuf,
    display: String,
    started: Vec<Child>,
    /// The process that is typed to.
    typed_to: u32,
}

/// A caret blinks; a picture that still changes after so many is taken as it is.
const MOST_SHOTS: usize = 12;

impl Rig {
    /// Two screens side by side, and a window manager. `name` is that of the run's folder.
    pub fn start(name: &str) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(folder.join("state")).expect("a folder");
        let conf = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/two-screens.conf");
        // The server finds a free display by itself: runs may begin at the same time.
        let mut xorg = Command::new("Xorg");
        xorg.args(["-displayfd", "1"]).arg("-config").arg(conf).arg("-logfile").arg(folder.join("xorg.log"));
        xorg.args(["-noreset", "-nolisten", "tcp"]).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut xorg = xorg.spawn().unwrap_or_else(|error| panic!("Xorg: {error}; run 'make test' once"));
        let mut number = String::new();
        BufReader::new(xorg.stdout.take().expect("a pipe")).read_line(&mut number).expect("a display");
        let display = format!(":{}", number.trim());
        let mut rig = Self { folder, display, started: vec![xorg], typed_to: 0 };
        rig.until("the screens", |rig| rig.run("xrandr", &[]).is_some());
        rig.run("xrandr", &["--addmode", "DUMMY0", LAPTOP]);
        rig.run("xrandr", &["--addmode", "DUMMY1", PROJECTOR]);
        rig.run("xrandr", &["--output", "DUMMY0", "--mode", LAPTOP, "--primary"]).expect("the laptop's screen");
        rig.plug_in(PROJECTOR);
        let mut openbox = rig.command("openbox");
        rig.spawn(&mut openbox);
        rig.until("the window manager", |rig| {
            rig.run("xprop", &["-root", "_NET_SUPPORTING_WM_CHECK"]).is_some_and(|said| said.contains("window id"))
        });
        rig
    }

    /// Switches the projector's screen on, at the right of the laptop's, at this size.
    pub fn plug_in(&self, size: &str) {
        self.run("xrandr", &["--output", "DUMMY1", "--mode", size, "--right-of", "DUMMY0"]).expect("the second screen");
    }

    /// A command on these screens, with a folder of its own for what the program keeps.
    pub fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.env("DISPLAY", &self.display).env_remove("WAYLAND_DISPLAY").current_dir(&self.folder);
        command.env("XDG_STATE_HOME", self.folder.join("state")).env("XDG_RUNTIME_DIR", &self.folder);
        command.env("NODEVICE_SELECT", "1");
        command
    }

    fn spawn(&mut self, command: &mut Command) {
        let child = command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        self.started.push(child.unwrap_or_else(|error| panic!("{command:?}: {error}; run 'make test' once")));
    }

    /// What a tool prints; none when it fails.
    pub fn run(&self, tool: &str, words: &[&str]) -> Option<String> {
        let output = self.command(tool).args(words).output();
        let output = output.unwrap_or_else(|error| panic!("{tool}: {error}; run 'make test' once"));
        output.status.success().then(|| String::from_utf8_lossy(&output.stdout).into_owned())
    }

    /// Opens the bench and waits for its window.
    pub fn open_bench(&mut self) -> Child {
        let log = std::fs::File::create(self.folder.join("bench.log")).expect("a log");
        let bench = self.command(env!("CARGO_BIN_EXE_chalklight")).stderr(log).spawn().expect("the bench");
        self.typed_to = bench.id();
        self.until("the bench's window", |rig| rig.window("^Chalklight$").is_some());
        self.focus("^Chalklight$");
        bench
    }

    /// Runs a command that throws, and waits for its window.
    pub fn open_session(&mut self, words: &[&str]) {
        let log = std::fs::File::create(self.folder.join("session.log")).expect("a log");
        let mut command = self.command(env!("CARGO_BIN_EXE_chalklight"));
        let session = command.args(words).stdout(Stdio::null()).stderr(log).spawn().expect("a session");
        self.typed_to = session.id();
        self.started.push(session);
        self.until("the session's window", |rig| rig.window("^Chalklight table$").is_some());
        self.focus("^Chalklight table$");
    }

    /// The window of that title.
    pub fn window(&self, title: &str) -> Option<String> {
        let found = self.run("xdotool", &["search", "--onlyvisible", "--name", title])?;
        found.lines().last().map(str::to_owned)
    }

    /// Gives a window the keyboard.
    pub fn focus(&self, title: &str) {
        self.until("a window to focus", |rig| {
            let Some(window) = rig.window(title) else { return false };
            rig.run("xdotool", &["windowactivate", "--sync", &window]).is_some()
        });
    }

    /// Presses keys, one after the other.
    pub fn press(&self, keys: &[&str]) {
        for key in keys {
            self.run("xdotool", &["key", "--clearmodifiers", key]).expect("a key");
            self.settle();
        }
    }

    /// Waits, as a person does, until what was typed is answered: until the program rests for a moment.
    fn settle(&self) {
        let spent = || std::fs::read_to_string(format!("/proc/{}/schedstat", self.typed_to)).unwrap_or_default();
        for _ in 0..100 {
            let before = spent();
            std::thread::sleep(Duration::from_millis(40));
            if spent() == before {
                return;
            }
        }
    }

    /// Presses a key so often.
    pub fn press_times(&self, key: &str, times: usize) {
        self.press(&vec![key; times]);
    }

    /// Types a text and goes on to the next field.
    pub fn enter(&self, text: &str) {
        self.type_text(text);
        self.press(&["Return"]);
    }

    /// Types a text.
    pub fn type_text(&self, text: &str) {
        if !text.is_empty() {
            self.run("xdotool", &["type", "--clearmodifiers", "--delay", "4", text]).expect("typing");
            self.settle();
        }
    }

    /// Waits until something is so.
    pub fn until(&self, what: &str, so: impl Fn(&Self) -> bool) {
        let start = Instant::now();
        while !so(self) {
            if start.elapsed() > PATIENCE {
                self.shot("lost");
                panic!("waited in vain for {what}; see {}", self.folder.display());
            }
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    /// A picture of both screens, once two in a row are alike: what was asked for is drawn.
    pub fn shot(&self, name: &str) {
        let path = self.folder.join(format!("{name}.png"));
        let mut before = Vec::new();
        for _ in 0..MOST_SHOTS {
            self.run("import", &["-window", "root", &path.display().to_string()]);
            let taken = std::fs::read(&path).unwrap_or_default();
            if taken == before {
                return;
            }
            before = taken;
            std::thread::sleep(Duration::from_millis(150));
        }
    }

    /// What the bench has kept of unsaved work.
    pub fn kept(&self) -> String {
        std::fs::read_to_string(self.folder.join("state/chalklight/bench-1.json")).unwrap_or_default()
    }

    /// The text of a file of this run; empty when it is not there.
    pub fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.join(name)).unwrap_or_default()
    }
}

impl Drop for Rig {
    fn drop(&mut self) {
        for child in self.started.iter_mut().rev() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}
