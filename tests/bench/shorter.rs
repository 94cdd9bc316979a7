//! A shorter lay on the bench: searched for while she goes on, stopped, given up, kept, let go and undone.

use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use chalklight::bench::laying::{Brought, Errand, Layer};
use chalklight::bench::model::{Step, Wish};
use chalklight::bench::paper::Entry;
use chalklight::bench::{Bench, Habits};
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use super::{bench_at, on_any_fold, type_into};

/// A long-sleeved, faced dress for a full figure, whose first lay leaves something to be found.
fn full_dress() -> String {
    let chosen = "[garment]\nsleeve = \"long\"\nedges = \"facing\"";
    let order = on_any_fold().replace("[garment]", chosen).replace("length = \"3 m\"\n", "");
    let body = [("94 cm", "116 cm"), ("78 cm", "102 cm"), ("102 cm\"\nhip_depth", "124 cm\"\nhip_depth")];
    let order = body.iter().fold(order, |order, (middle, full)| order.replace(middle, full));
    order.replace("\"29 cm\"", "\"36 cm\"\narm_length = \"58 cm\"\nhand = \"20 cm\"").replace("114 cm", "112 cm")
}

/// The bench with the thread that lays, as the window has them.
struct Host {
    harness: Harness<'static, Bench>,
    layer: Layer,
    brought: Receiver<Brought>,
    sender: std::sync::mpsc::Sender<Brought>,
    /// What is on the disc beside the order.
    kept: Option<String>,
}

impl Host {
    fn new() -> Self {
        let mut bench = Bench::new(Habits::default(), None);
        bench.opened("order.toml".as_ref(), &full_dress());
        bench.step = Step::Cloth;
        let (sender, brought) = channel();
        let harness = bench_at(bench, [1280.0, 720.0]);
        let mut host = Self { harness, layer: Layer::default(), brought, sender, kept: None };
        host.go_on();
        host.wait();
        host
    }

    /// Carries out what the bench wishes for, and looks at it.
    fn go_on(&mut self) {
        self.harness.run();
        for wish in self.harness.state_mut().take_wishes() {
            match wish {
                Wish::Lay(to_lay) => self.send(Errand::Lay(to_lay)),
                Wish::Search(to_lay) => self.send(Errand::Search(to_lay)),
                Wish::EndSearch { keep } => self.layer.end(keep),
                Wish::Save(path) => {
                    let bench = self.harness.state_mut();
                    if bench.saves_lay(&path) {
                        self.kept = bench.kept_lay().map(str::to_owned);
                    }
                    bench.saved(&path);
                }
                _ => {}
            }
        }
        if let Some(search) = self.layer.running() {
            let (seconds, best_mm) = (search.seconds(), search.best_mm());
            self.harness.state_mut().search_goes_on(seconds, best_mm);
        }
        self.harness.run();
    }

    fn send(&mut self, errand: Errand) {
        let sender = self.sender.clone();
        self.layer.send(errand, move |brought| drop(sender.send(brought)));
    }

    /// Waits for what the thread brings, and whatever follows from it.
    fn wait(&mut self) {
        while self.layer.running().is_some() {
            let brought = self.brought.recv_timeout(Duration::from_secs(300)).expect("an end");
            let (heard, next) = self.layer.ended();
            if heard {
                self.harness.state_mut().take_brought(brought);
            }
            next.into_iter().for_each(|errand| self.send(errand));
            self.go_on();
        }
    }

    fn click(&mut self, name: &str) {
        self.harness.get_by_label(name).click_accesskit();
        self.go_on();
    }

    /// Searches until something shorter than this is found.
    fn begin(&mut self, than_mm: f64) {
        self.click("Search for a shorter lay");
        let began = Instant::now();
        while self.harness.state().searching().expect("a search").best_mm.is_none_or(|best_mm| best_mm >= than_mm) {
            assert!(began.elapsed() < Duration::from_secs(300), "nothing is found");
            std::thread::sleep(Duration::from_millis(20));
            self.go_on();
        }
    }

    fn says(&self, words: &str) -> bool {
        self.harness.query_all_by_label_contains(words).next().is_some()
    }

    fn used_mm(&self) -> f64 {
        self.harness.state().work().laid.as_ref().expect("a lay").lay.used_mm
    }
}

#[test]
fn a_search_is_stopped_and_what_it_found_is_kept_undone_and_let_go() {
    let mut host = Host::new();
    let before_mm = host.used_mm();
    host.begin(before_mm);
    assert!(
        host.says("Searching for") && host.says("of cloth so far") && host.says("a shorter lay is being searched for")
    );
    let has_focus = |host: &Host, name: &str| host.harness.get_by_label(name).accesskit_node().is_focused();
    assert!(has_focus(&host, "Stop and keep it"), "by key she is where the search can be stopped");
    host.click("Stop and keep it");
    assert!(host.says("Pressing it together"));
    host.wait();
    assert!(has_focus(&host, "Search for a shorter lay"));
    let found_mm = host.used_mm();
    assert!(found_mm < before_mm, "{found_mm} of {before_mm}");
    assert!(host.says("it is kept when you save the order") && host.says("will be cut so"));
    let bench = host.harness.state();
    assert!(bench.unsaved() && bench.kept_lay().is_some() && bench.to_keep().expect("unsaved").lay.is_some());

    // Undone and done again, as any step.
    host.harness.state_mut().undo();
    host.go_on();
    host.wait();
    assert!(host.used_mm() == before_mm && !host.harness.state().unsaved());
    host.harness.state_mut().redo();
    host.go_on();
    host.wait();
    assert_eq!(host.used_mm(), found_mm);

    // Saved with the order; opened again it is there.
    host.harness.state_mut().wish(Wish::Save("order.toml".into()));
    host.go_on();
    let kept = host.kept.clone().expect("a file");
    assert!(!host.harness.state().unsaved() && kept.contains("[[order.piece]]"));
    assert!(host.harness.state().lay_still_in_file(Some(&kept)).is_ok());
    let no = host.harness.state().lay_still_in_file(None).expect_err("it is gone").to_string();
    assert!(no.contains("order.lay.toml") && no.contains("open the order again"), "{no}");
    let text = host.harness.state().paper().text().to_owned();
    let bench = host.harness.state_mut();
    bench.opened("order.toml".as_ref(), &text);
    bench.lay_opened(Some(kept));
    host.go_on();
    host.wait();
    assert_eq!(host.used_mm(), found_mm);
    assert!(!host.harness.state().unsaved());

    // Of other pieces it is not cut, and that is said; it comes back with the pieces.
    let length = Entry::text("garment", "length");
    host.harness.state_mut().write(&length, "105 cm");
    host.go_on();
    host.wait();
    assert!(host.says("was drawn otherwise when this lay was made") && host.used_mm() > found_mm);
    host.harness.state_mut().step = Step::Cut;
    host.go_on();
    assert!(host.says("until then nothing is cut"));
    host.harness.state_mut().step = Step::Cloth;
    host.harness.state_mut().write(&length, "104 cm");
    host.go_on();
    host.wait();
    assert_eq!(host.used_mm(), found_mm);
    host.click("Let the kept lay go");
    host.wait();
    assert_eq!(host.used_mm(), before_mm);
    host.harness.state_mut().wish(Wish::Save("order.toml".into()));
    host.go_on();
    assert_eq!(host.kept, None, "its file goes when the order is saved");
}

#[test]
fn escape_and_a_change_give_a_search_up() {
    let mut host = Host::new();
    let before_mm = host.used_mm();
    host.begin(before_mm);
    host.harness.key_press(Key::Escape);
    host.go_on();
    host.wait();
    assert!(host.harness.state().searching().is_none() && host.used_mm() == before_mm);
    host.begin(f64::INFINITY);
    // What changes nothing that is laid leaves it going.
    host.harness.state_mut().write(&Entry::text("client", "name"), "Celia");
    host.go_on();
    assert!(host.harness.state().searching().is_some());
    type_into(&mut host.harness, "Width", "1");
    host.go_on();
    host.wait();
    let bench = host.harness.state();
    assert!(bench.searching().is_none() && bench.kept_lay().is_none());
    assert!(host.says("The search was given up"));
}

#[test]
fn a_lay_that_cannot_be_read_is_said_and_stays_in_its_file() {
    let mut host = Host::new();
    host.harness.state_mut().lay_opened(Some("fold = 3\n".to_owned()));
    host.go_on();
    host.wait();
    assert!(host.says("until then nothing is cut"));
    assert!(!host.harness.state().saves_lay("order.toml".as_ref()), "what was not changed is not written");
}

/// While both threads search, the window answers as before.
#[test]
fn the_window_goes_on_while_it_is_searched() {
    let mut host = Host::new();
    host.begin(f64::INFINITY);
    let mut all: Vec<f64> = Vec::new();
    for _ in 0..60 {
        let began = Instant::now();
        host.harness.step();
        all.push(began.elapsed().as_secs_f64() * 1000.0);
    }
    all.sort_by(f64::total_cmp);
    println!("a look at the bench while it searches: {:.1} ms in the middle, {:.1} ms at most", all[30], all[59]);
    host.click("Give it up");
    host.wait();
    assert!(host.harness.state().searching().is_none());
}
