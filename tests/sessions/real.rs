//! The real program on a real screen of its own: keys go in by xdotool, it is killed in the middle, and takes up where
//! it was. Screenshots are left under `target/sessions`.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, MutexGuard};
use std::time::{Duration, Instant};

use super::desk::{LONG, TABLE};

/// Software drivers take their time to wake up on a busy machine.
const PATIENCE: Duration = Duration::from_secs(150);

/// A screen and its driver at a time: side by side they would only wait for each other.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// An X server of our own with a window manager.
struct Screen {
    _alone: MutexGuard<'static, ()>,
    name: String,
    children: Vec<Child>,
}

impl Screen {
    fn new() -> Self {
        let alone = ONE_AT_A_TIME.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        let mut server = Command::new("Xvfb")
            .args(["-displayfd", "1", "-screen", "0", "1920x1080x24", "-nolisten", "tcp"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Xvfb; `make test` installs it");
        let mut number = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut number).unwrap();
        let mut screen = Self { _alone: alone, name: format!(":{}", number.trim()), children: vec![server] };
        let manager =
            screen.command("openbox").stderr(Stdio::null()).spawn().expect("openbox; `make test` installs it");
        screen.children.push(manager);
        until("a window manager", || {
            let asked = screen.command("xprop").args(["-root", "_NET_SUPPORTING_WM_CHECK"]).output();
            let said = asked.expect("xprop; `make test` installs it").stdout;
            String::from_utf8_lossy(&said).contains("window id").then_some(())
        });
        // It names itself before it takes windows over; one that is mapped in between stays unmapped.
        std::thread::sleep(Duration::from_secs(1));
        screen
    }

    fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.env("DISPLAY", &self.name).env_remove("WAYLAND_DISPLAY").env("NODEVICE_SELECT", "1");
        command
    }

    fn keys(&self, keys: &str) {
        for key in keys.split_whitespace() {
            let done = self.command("xdotool").args(["key", "--clearmodifiers", key]).status();
            assert!(done.expect("xdotool; `make test` installs it").success());
            std::thread::sleep(Duration::from_millis(60));
        }
    }

    /// A screenshot, and how many pixels are lit.
    fn shot(&self, name: &str) -> usize {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/sessions");
        std::fs::create_dir_all(&folder).unwrap();
        // Tests run side by side, each on a screen of its own number.
        let path = folder.join(format!("{}-{name}", self.name.trim_start_matches(':')));
        let done = self.command("import").args(["-window", "root"]).arg(&path).status();
        assert!(done.expect("imagemagick; `make test` installs it").success());
        image::open(&path).unwrap().to_luma8().pixels().filter(|p| p.0[0] > 30).count()
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        for child in self.children.iter_mut().rev() {
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

/// Waits for what must come.
fn until<T>(what: &str, mut asked: impl FnMut() -> Option<T>) -> T {
    let begun = Instant::now();
    loop {
        if let Some(answer) = asked() {
            return answer;
        }
        assert!(begun.elapsed() < PATIENCE, "{what} did not come");
        std::thread::sleep(Duration::from_millis(400));
    }
}

/// A cutting session at the table.
struct AtTable<'s> {
    screen: &'s Screen,
    /// Where its place is kept.
    place: PathBuf,
    child: Child,
}

impl<'s> AtTable<'s> {
    fn begin(screen: &'s Screen, folder: &Path, more: &[&str]) -> Self {
        Self::begin_with("alto", screen, folder, more)
    }

    /// Cuts an order, or a job, by the name of its file.
    fn begin_with(name: &str, screen: &'s Screen, folder: &Path, more: &[&str]) -> Self {
        let said = std::fs::File::create(folder.join("said.txt")).unwrap();
        let child = screen
            .command(env!("CARGO_BIN_EXE_chalklight"))
            .args(["cut", &format!("{name}.toml"), "--table", "table.toml", "--trust-anyway"])
            .args(more)
            .current_dir(folder)
            .stdout(Stdio::null())
            .stderr(said)
            .spawn()
            .unwrap();
        let table = Self { screen, place: folder.join(format!("{name}.session.toml")), child };
        until(&format!("the first picture; {}", folder.display()), || {
            // Its place is kept from the first picture on.
            (screen.shot("waiting.png") > 1000 && table.place.exists()).then_some(())
        });
        table
    }

    fn saved(&self) -> toml::Table {
        let text = std::fs::read_to_string(&self.place).unwrap();
        text.parse().unwrap()
    }

    /// Presses keys and waits until they are on the disc.
    fn keys(&self, keys: &str, wanted: impl Fn(&toml::Table) -> bool) {
        self.screen.keys(keys);
        until(&format!("the effect of {keys}"), || wanted(&self.saved()).then_some(()));
    }

    /// As a power cut does.
    fn kill(self) {}

    fn said(&self) -> String {
        std::fs::read_to_string(self.place.with_file_name("said.txt")).unwrap()
    }
}

impl Drop for AtTable<'_> {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        if std::thread::panicking() {
            eprintln!("{}", self.said());
        }
    }
}

fn step(saved: &toml::Table) -> i64 {
    saved["place"]["step"].as_integer().unwrap()
}

fn at_mm(saved: &toml::Table) -> Vec<f64> {
    saved["place"]["at_mm"].as_array().unwrap().iter().map(|mm| mm.as_float().unwrap()).collect()
}

fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("alto.toml"), LONG).unwrap();
    std::fs::write(folder.path().join("table.toml"), TABLE).unwrap();
    folder
}

#[test]
fn a_killed_session_is_taken_up_where_it_was() {
    let (screen, folder) = (Screen::new(), desk());
    let table = AtTable::begin(&screen, folder.path(), &["--trace", "first.trace"]);
    assert!(table.said().contains("cut in 2 reaches"), "{}", table.said());
    let first = at_mm(&table.saved());
    table.keys("space Page_Down KP_6 KP_6 Up", |saved| step(saved) == 3 && at_mm(saved)[0] > first[0] + 1.5);
    screen.shot("1-outer-line.png");
    // Dark at once, and back.
    screen.keys("b");
    until("darkness", || (screen.shot("2-dark.png") == 0).then_some(()));
    screen.keys("period");
    until("light", || (screen.shot("3-light.png") > 1000).then_some(()));
    // Over to the second reach: crosses chalked, the cloth slid, both crosses met.
    table.keys("space space", |saved| saved["place"].get("moving_to").is_some());
    screen.shot("4-first-cross.png");
    table.keys("Left Left KP_5 Up KP_Enter", |saved| step(saved) == 4);
    screen.shot("5-second-reach.png");
    table.keys("l s", |saved| saved["look"]["way"].as_str() == Some("dark-on-lit"));
    let before = table.saved();
    table.kill();

    let table = AtTable::begin(&screen, folder.path(), &["--trace", "second.trace"]);
    assert!(table.said().contains("Taken up again from alto.session.toml"), "{}", table.said());
    assert_eq!(table.saved(), before, "the place, the look and the measured move are as they were");
    screen.shot("6-taken-up.png");
    screen.keys("Return Return");
    table.keys("u u space", |saved| step(saved) == 4 || step(saved) == 5);
    table.kill();
}

#[test]
fn a_trace_of_a_real_session_leads_to_the_same_place() {
    let (screen, folder) = (Screen::new(), desk());
    let table = AtTable::begin(&screen, folder.path(), &["--trace", "first.trace"]);
    table.keys("space space Right Home space space Left KP_Enter Up Up Return", |saved| step(saved) == 4);
    table.kill();
    let table = AtTable::begin(&screen, folder.path(), &["--trace", "second.trace"]);
    table.keys("Return Down Return", |saved| step(saved) == 4);
    let last = until("the last place", || {
        let trace = std::fs::read_to_string(folder.path().join("second.trace")).unwrap();
        (trace.matches("confirm").count() == 2).then(|| table.saved())
    });
    table.kill();
    for (trace, resumed) in [("first.trace", false), ("second.trace", true)] {
        let out = Command::new(env!("CARGO_BIN_EXE_chalklight"))
            .args(["cut", "alto.toml", "--table", "table.toml", "--trust-anyway", "--json", "--replay", trace])
            .current_dir(folder.path())
            .output()
            .unwrap();
        let left: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
        assert_eq!((left["stage"].as_u64(), left["reach"].as_u64()), (Some(3), Some(2)), "{left}");
        let at: Vec<f64> = left["at_mm"].as_array().unwrap().iter().map(|mm| mm.as_f64().unwrap()).collect();
        assert_eq!(at == at_mm(&last), resumed, "{trace}: {at:?} against {last:?}");
    }
}

#[test]
fn a_session_of_another_table_is_set_aside_with_a_sentence() {
    let (screen, folder) = (Screen::new(), desk());
    let table = AtTable::begin(&screen, folder.path(), &[]);
    table.keys("space", |saved| step(saved) == 2);
    table.kill();
    let old = std::fs::read_to_string(folder.path().join("alto.session.toml")).unwrap();
    std::fs::write(folder.path().join("table.toml"), TABLE.replace("1080.0", "1081.0")).unwrap();
    let table = AtTable::begin(&screen, folder.path(), &[]);
    let said = table.said();
    assert!(said.contains("not taken up: it was thrown by another table") && said.contains("alto.session.old.toml"));
    assert_eq!(step(&table.saved()), 1);
    table.kill();
    assert_eq!(std::fs::read_to_string(folder.path().join("alto.session.old.toml")).unwrap(), old);
}

/// A job of so many dresses on cloth 150 cm wide, and a table that lights 1.6 m.
fn job_of(folder: &Path, dresses: usize) {
    std::fs::write(folder.join("table.toml"), TABLE.replace("1.6", "1.2")).unwrap();
    let mut job = "[cloth]\nwidth = \"150 cm\"\n".to_owned();
    for number in 1..=dresses {
        let order = LONG.replace("[lay]\nfold = \"lengths\"\n", "").replace("94 cm", &format!("{} cm", 92 + number));
        std::fs::write(
            folder.join(format!("alto-{number}.toml")),
            format!("[client]\nname = \"Alto {number}\"\n{order}"),
        )
        .unwrap();
        job += &format!("[[order]]\nfile = \"alto-{number}.toml\"\n");
    }
    std::fs::write(folder.join("job.toml"), job).unwrap();
}

#[test]
fn the_dresses_of_a_job_are_cut_from_one_lay() {
    let (screen, folder) = (Screen::new(), desk());
    job_of(folder.path(), 2);
    let table = AtTable::begin_with("job", &screen, folder.path(), &[]);
    table.keys("space space Right", |saved| step(saved) == 3);
    screen.shot("7-job.png");
    table.kill();
    let table = AtTable::begin_with("job", &screen, folder.path(), &[]);
    assert!(table.said().contains("Taken up again from job.session.toml"), "{}", table.said());
    table.kill();
}

#[test]
fn a_job_too_long_for_so_many_moves_is_not_thrown() {
    let folder = desk();
    job_of(folder.path(), 5);
    let cut = Command::new(env!("CARGO_BIN_EXE_chalklight"))
        .args(["cut", "job.toml", "--table", "table.toml", "--trust-anyway"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let says = String::from_utf8_lossy(&cut.stderr);
    assert_eq!(cut.status.code(), Some(1), "{says}");
    assert!(says.contains("after so many moves lines can be off by") && says.contains("cut fewer orders"), "{says}");
}
