//! Files on the bench: opened, refused, kept from a crash.

use std::path::Path;

use chalklight::bench::model::Step;
use chalklight::bench::notebook::By;
use chalklight::bench::paper::Entry;
use chalklight::bench::tables::solve;
use chalklight::bench::{Bench, Habits};
use chalklight::calibrate::readings::Hang;
use chalklight::table::file;

use egui::accesskit::Role;
use egui_kittest::kittest::{NodeT, Queryable};

use super::{ORDER, with_order};

const BUST: Entry = Entry::text("body", "bust");

#[test]
fn a_file_that_cannot_be_taken_leaves_the_bench_as_it_was() {
    let mut bench = with_order();
    bench.write(&BUST, "95 cm");
    let before = bench.paper().clone();
    for (text, says) in [
        ("bust = 94 cm", "without quotes"),
        ("\u{1}\u{2}PK binary", "can't be read"),
        ("[package]\nname = \"other\"\n", "this is no order"),
        ("[table]\nhomography = [1, 2]\n", ""),
        ("[projector]\nwidth = 1920\n", ""),
    ] {
        bench.opened("other.toml".as_ref(), text);
        assert_eq!(*bench.paper(), before, "{text}");
        assert!(bench.unsaved());
        let said = bench.said.first().unwrap_or_else(|| panic!("nothing is said of {text}"));
        assert!(said.sentence.contains(says), "{}", said.sentence);
        assert_eq!(said.place.file.as_deref(), Some("other.toml"));
        assert!(said.remedy.is_some(), "{} has no remedy", said.sentence);
    }
}

#[test]
fn an_order_of_a_newer_kind_is_shown_with_what_is_not_known() {
    let mut bench = with_order();
    bench.opened("newer.toml".as_ref(), &ORDER.replace("[cloth]", "[cloth]\nlustre = \"high\""));
    assert!(bench.work().remarks.iter().any(|remark| remark.sentence.contains("lustre is not known")));
    // And nothing of it is lost where she goes on.
    bench.write(&BUST, "95 cm");
    assert!(bench.paper().text().contains("lustre = \"high\""));
}

#[test]
fn unsaved_work_is_offered_back_whole() {
    let mut bench = with_order();
    assert!(bench.to_keep().is_none());
    bench.write(&BUST, "95½ cm");
    let kept = bench.to_keep().expect("unsaved work");
    let mut next = Bench::new(Habits::default(), Some(kept));
    assert!(next.offered.is_some() && next.paper().written(&BUST).is_empty());
    next.answer_offer(true);
    assert_eq!(next.paper(), bench.paper());
    assert_eq!(next.place(), bench.place());
    assert!(next.unsaved(), "it is in no file yet");
    let mut other = Bench::new(Habits::default(), next.to_keep());
    other.answer_offer(false);
    assert!(other.offered.is_none() && !other.unsaved());
}

#[test]
fn opening_another_order_offers_the_unsaved_one_back() {
    let mut bench = with_order();
    bench.write(&BUST, "95 cm");
    let before = bench.paper().clone();
    bench.opened("second.toml".as_ref(), ORDER);
    bench.answer_offer(true);
    assert_eq!(*bench.paper(), before);
}

#[test]
fn saving_makes_it_the_file() {
    let mut bench = with_order();
    bench.write(&BUST, "95 cm");
    bench.saved("elsewhere.toml".as_ref());
    assert!(!bench.unsaved() && bench.to_keep().is_none());
    assert_eq!(bench.place(), Some("elsewhere.toml".as_ref()));
    assert_eq!(bench.habits.recent[0], Path::new("elsewhere.toml"));
    bench.undo();
    assert!(bench.unsaved());
}

#[test]
fn readings_and_tables_are_known_by_what_they_say() {
    let mut bench = with_order();
    bench.opened("x".as_ref(), include_str!("../../calibration/readings/demo.toml"));
    assert_eq!(bench.step, Step::Table);
    assert!(bench.notebook().taken() > 0);
    let kept = bench.table_to_save("2026-11-25".into()).expect("a table");
    let text = file::write(&kept);
    bench.opened("table.toml".as_ref(), &text);
    let table = bench.table().expect("a table on the bench");
    assert_eq!(table.kept.fit.as_ref().and_then(|fit| fit.date.as_deref()), Some("2026-11-25"));
    assert!(bench.paper().text() == ORDER, "the order stays");
}

#[test]
fn what_another_program_changed_is_not_thrown_unseen() {
    let mut bench = with_order();
    bench.saved("dress.toml".as_ref());
    bench.opened("x".as_ref(), include_str!("../../calibration/readings/demo.toml"));
    let kept = bench.table_to_save("2026-11-25".into()).expect("a table");
    let table = file::write(&kept);
    bench.table_saved("table.toml".as_ref(), kept);
    assert_eq!(bench.still_in_files(ORDER, &table), Ok(()));
    let longer = ORDER.replace("length", "length ");
    let other = table.replace("width = 1920", "width = 1921");
    for (order, table, says) in [(longer.as_str(), table.as_str(), "dress.toml"), (ORDER, other.as_str(), "table.toml")]
    {
        let no = bench.still_in_files(order, table).expect_err("a changed file").to_string();
        assert!(no.contains(says) && no.contains("was changed in its file") && no.contains("open it again"), "{no}");
    }
}

#[test]
fn an_order_is_saved_over_its_own_file_only_and_over_nothing_new_in_it() {
    let path: &Path = "order.toml".as_ref();
    let mut bench = with_order();
    let mut there = ORDER.to_owned();
    // Saved again and again, over what was saved before.
    for bust in ["95 cm", "96 cm", "97 cm"] {
        bench.write(&BUST, bust);
        assert_eq!(bench.may_save(path, Some(&there)), Ok(()));
        bench.saved(path);
        there = bench.paper().text().to_owned();
    }
    bench.write(&BUST, "98 cm");
    // Its file went, or nothing is there yet.
    for free in ["order.toml", "elsewhere.toml"] {
        assert_eq!(bench.may_save(free.as_ref(), None), Ok(()));
    }
    let other = format!("# from elsewhere\n{there}");
    let no = bench.may_save(path, Some(&other)).expect_err("a changed file").to_string();
    assert!(no.contains("order.toml") && no.contains("changed in its file") && no.contains("another name"), "{no}");
    let no = bench.may_save("celia.toml".as_ref(), Some(&there)).expect_err("another's file").to_string();
    assert!(no.contains("celia.toml") && no.contains("is there") && no.contains("under another name"), "{no}");
    let new = Bench::new(Habits::default(), None);
    assert!(new.may_save(path, Some(&there)).is_err(), "it was never opened here");
    // A file that says already what would be written loses nothing.
    assert_eq!(bench.may_save("celia.toml".as_ref(), Some(bench.paper().text())), Ok(()));
    // After a crash it is still known what its file said.
    let mut next = Bench::new(Habits::default(), bench.to_keep());
    next.answer_offer(true);
    assert_eq!(next.may_save(path, Some(&there)), Ok(()));
    assert!(next.may_save(path, Some(&other)).is_err());
    // Opened anew, it is saved over what it says now.
    next.opened(path, &other);
    next.write(&BUST, "98 cm");
    assert_eq!(next.may_save(path, Some(&other)), Ok(()));
}

/// What is in the way of saving is said where she would cut, for as long as it is; "save it first" would lead nowhere.
#[test]
fn what_was_in_the_way_of_saving_is_said_before_the_cut() {
    let path: &Path = "order.toml".as_ref();
    let mut bench = with_order();
    bench.step = Step::Cut;
    bench.write(&BUST, "95 cm");
    let mut harness = super::bench_at(bench, [1280.0, 900.0]);
    harness.run();
    harness.get_by_label_contains("Save it first");
    let bench = harness.state_mut();
    let no = bench.may_save(path, Some("# from elsewhere\n")).expect_err("a changed file");
    bench.save_refused("celia.toml".as_ref(), no.clone());
    assert!(bench.not_saved().is_empty(), "that was another file");
    bench.save_refused(path, no);
    bench.said.clear();
    harness.run();
    assert!(harness.query_by_label_contains("Save it first").is_none());
    harness.get_by_label_contains("and could not be saved");
    harness.get_by_label_contains("In order.toml: the order was changed in its file since");
    harness.get_by_label_contains("Save it under another name, or open the file anew");
    harness.state_mut().saved(path);
    harness.state_mut().write(&BUST, "96 cm");
    harness.run();
    harness.get_by_label_contains("Save it first");
}

#[test]
fn readings_that_no_page_can_show_are_told_with_the_command_that_can() {
    let readings = include_str!("../../calibration/readings/demo.toml");
    let more = "\n[[reading]]\nfrom = \"A1\"\nto = \"B2\"\ndistance = \"500 mm\"\n";
    let mut bench = with_order();
    bench.opened("mine.toml".as_ref(), &format!("{readings}{more}"));
    let mut harness = super::bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness.get_by_label_contains("In mine.toml: 1 of these readings can't be shown on the bench");
    harness.get_by_label_contains("by the command 'chalklight calibrate'");
}

#[test]
fn a_kept_lay_is_written_over_its_own_file_only_and_over_nothing_new_in_it() {
    let path: &Path = "order.toml".as_ref();
    let mut bench = with_order();
    assert_eq!(bench.may_save_lay(path, None), Ok(()));
    bench.lay_opened(Some("one\n".into()));
    assert_eq!(bench.may_save_lay(path, Some("one\n")), Ok(()));
    let no = bench.may_save_lay(path, Some("two\n")).expect_err("a changed file").to_string();
    assert!(no.contains("order.lay.toml") && no.contains("changed in its file"), "{no}");
    // To take it away is to write over it, too.
    bench.let_lay_go();
    assert!(bench.saves_lay(path) && bench.may_save_lay(path, Some("one\n")).is_ok());
    assert!(bench.may_save_lay(path, Some("two\n")).is_err());
    bench.undo();
    let elsewhere: &Path = "celia.toml".as_ref();
    let no = bench.may_save_lay(elsewhere, Some("two\n")).expect_err("another's file").to_string();
    assert!(no.contains("celia.lay.toml") && no.contains("is there"), "{no}");
    // After a crash it is still known what its file said.
    bench.write(&BUST, "95 cm");
    let mut next = Bench::new(Habits::default(), bench.to_keep());
    next.answer_offer(true);
    assert_eq!(next.may_save_lay(path, Some("one\n")), Ok(()));
    assert!(next.may_save_lay(path, Some("two\n")).is_err());
}

#[test]
fn work_kept_by_an_older_version_is_not_written_over_a_file_that_nobody_compared() {
    let mut bench = with_order();
    bench.write(&BUST, "95 cm");
    let kept = chalklight::bench::Unsaved { on_disc: None, ..bench.to_keep().expect("unsaved work") };
    let mut next = Bench::new(Habits::default(), Some(kept));
    next.answer_offer(true);
    let no = next.may_save("order.toml".as_ref(), Some(ORDER)).expect_err("not known").to_string();
    assert!(no.contains("an older version") && no.contains("another name") && !no.contains("not the one"), "{no}");
    assert_eq!(next.may_save("order.toml".as_ref(), Some(next.paper().text())), Ok(()));
}

#[test]
fn an_order_with_what_is_not_known_is_not_asked_for_measurements() {
    let newer = ORDER.replace("[cloth]", "[cloth]\nlustre = \"high\"");
    for (text, says, not) in [
        (newer.as_str(), "Nothing is drawn while that stands", "Type the measurements"),
        ("[body]\n", "Type the measurements", "while that stands"),
    ] {
        let mut bench = Bench::new(Habits::default(), None);
        bench.opened("newer.toml".as_ref(), text);
        let mut harness = super::bench_at(bench, [1280.0, 720.0]);
        harness.run();
        harness.get_by_label_contains(says);
        assert!(harness.query_by_label_contains(not).is_none(), "{text}");
    }
}

/// She looks for the words of a file in it, and finds no field on any page that is called so.
#[test]
fn what_is_said_of_a_file_speaks_of_it_in_its_own_words() {
    let shoes = ORDER.replace("[garment]", "shoe_size = \"39\"\n\n[garment]");
    for (text, says) in [
        ("[body\n", "the section's name has no closing bracket. Write [body], in a text editor"),
        ("[package]\nname = \"other\"\n", "Open an order, which begins with [client], [body] or [garment]."),
        (shoes.as_str(), "shoe_size is not known in [body]."),
    ] {
        let mut bench = with_order();
        bench.opened("my_other.toml".as_ref(), text);
        let mut harness = super::bench_at(bench, [1280.0, 720.0]);
        harness.run();
        harness.get_by_label_contains(says);
        let names_it = harness.query_all_by_label_contains("my_other.toml").count() > 0;
        assert!(names_it, "{text}");
    }
}

#[test]
fn an_order_of_a_newer_version_is_marked_where_she_begins() {
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("newer.toml".as_ref(), &format!("version = 99\n{ORDER}"));
    let mut harness = super::bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness.get_by_label_contains("Step 1, Client: something in the file is not known");
    harness.get_by_label_contains("Line 1: version is not known in this file.");
}

#[test]
fn a_table_is_written_over_its_own_file_only_and_over_nothing_new_in_it() {
    let path: &Path = "table.toml".as_ref();
    let mut bench = with_order();
    bench.opened("x".as_ref(), include_str!("../../calibration/readings/demo.toml"));
    let kept = bench.table_to_save("2026-11-25".into()).expect("a table");
    let text = file::write(&kept);
    let later = file::write(&bench.table_to_save("2026-11-26".into()).expect("a table"));
    assert_ne!(text, later);
    assert_eq!(bench.may_save_table(path, &text, None), Ok(()));
    let no = bench.may_save_table(path, &text, Some("[table]\n")).expect_err("another's file").to_string();
    assert!(no.contains("table.toml") && no.contains("is there") && no.contains("under another name"), "{no}");
    bench.table_saved(path, kept);
    assert_eq!(bench.may_save_table(path, &later, Some(&text)), Ok(()));
    let other = format!("# from elsewhere\n{text}");
    let no = bench.may_save_table(path, &later, Some(&other)).expect_err("a changed file").to_string();
    assert!(no.contains("table.toml") && no.contains("changed in its file"), "{no}");
    assert!(bench.may_save_table("order.toml".as_ref(), &later, Some(ORDER)).is_err(), "the order is no table");
    bench.opened(path, &other);
    assert_eq!(bench.may_save_table(path, &later, Some(&other)), Ok(()));
}

/// Types tape distances into the notebook, of a table that is flat, level and lit one pixel a millimetre.
fn measure(bench: &mut Bench) {
    let grid = bench.notebook().grid();
    for slot in bench.notebook().slots() {
        let [from, to] = slot.marks()[..] else { panic!("{slot:?} is no distance") };
        let apart_mm = (grid.px(from).expect("a mark") - grid.px(to).expect("a mark")).length();
        bench.read_off(slot, &format!("{apart_mm:.1}"));
    }
    bench.settle();
}

/// The demo's table, read off a mat.
fn demo_table() -> String {
    let readings = include_str!("../../calibration/readings/demo.toml");
    file::write(&solve(readings).expect("a table").value)
}

#[test]
fn a_table_that_is_opened_is_not_written_over_with_other_readings() {
    let [mine, other]: [&Path; 2] = ["mine.toml".as_ref(), "other.toml".as_ref()];
    let theirs = demo_table();
    let mut bench = with_order();
    measure(&mut bench);
    let kept = bench.table_to_save("2026-11-25".into()).expect("a table");
    let first = file::write(&kept);
    bench.table_saved(mine, kept);
    assert!(bench.table_path() == "mine.toml" && !bench.maps_another());
    // Its own readings come with it, and what they give is that table, as its file has it.
    bench.opened(other, &theirs);
    assert!(bench.notebook().by == By::Mat && bench.is_solved() && bench.table_path() == "other.toml");
    let solved = bench.solved().and_then(|told| told.as_ref().ok()).map(|told| &told.value);
    assert_eq!(solved, bench.table().map(|table| &table.kept));
    assert!(!bench.maps_another() && bench.to_keep().is_none());
    // The readings from before are one step back, with their table, which is still written where it was.
    bench.undo();
    assert!(bench.notebook().by == By::Tape && bench.table_path() == "mine.toml" && bench.to_keep().is_none());
    assert_eq!(bench.table().map(|table| table.path.as_path()), Some(mine));
    let again = file::write(&bench.table_to_save("2026-11-26".into()).expect("a table"));
    assert_eq!(bench.may_save_table(mine, &again, Some(&first)), Ok(()));
    let no = bench.may_save_table(other, &again, Some(&theirs)).expect_err("another's file").to_string();
    assert!(no.contains("other.toml") && no.contains("is there") && no.contains("under another name"), "{no}");
}

#[test]
fn readings_taken_up_after_a_crash_go_on_in_their_own_table_file() {
    let (path, written): (&Path, String) = ("attic.toml".as_ref(), demo_table());
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened(path, &written);
    let slot = bench.notebook().slots()[0];
    bench.read_off(slot, "1234");
    let mut next = Bench::new(Habits::default(), bench.to_keep());
    next.answer_offer(true);
    assert_eq!(next.notebook().length(slot).and_then(Result::ok).map(|length| length.mm), Some(1234.0));
    assert_eq!(next.table_path(), "attic.toml");
    assert_eq!(next.may_save_table(path, "another", Some(&written)), Ok(()));
    assert!(next.may_save_table(path, "another", Some("[table]")).is_err(), "it was changed since");
}

#[test]
fn readings_that_are_in_no_file_stay_when_a_table_is_opened() {
    let theirs = demo_table();
    let mut bench = with_order();
    measure(&mut bench);
    let before = bench.notebook().clone();
    let mine = file::write(&bench.table_to_save("2026-11-25".into()).expect("a table"));
    bench.opened("other.toml".as_ref(), &theirs);
    assert_eq!(*bench.notebook(), before);
    assert!(bench.said.iter().any(|remark| remark.sentence.contains("keeps your readings")), "{:?}", bench.said);
    assert!(bench.may_save_table("other.toml".as_ref(), &mine, Some(&theirs)).is_err());
    bench.step = Step::Table;
    let mut harness = super::bench_at(bench, [1280.0, 4000.0]);
    harness.run();
    harness.get_by_label_contains("The map is of the readings below");
    let field = harness.get_by_role_and_label(Role::TextInput, "Table file");
    assert_eq!(field.accesskit_node().value().as_deref(), Some("table.toml"));
}

#[test]
fn a_table_without_readings_leaves_none_of_another_in_the_notebook() {
    let by_hand = "[projector]\nwidth = 1920\nheight = 1080\n[table]\n\
                   homography = [1.0, 0.0, 0.0, 0.0, -1.0, 1080.0, 0.0, 0.0, 1.0]\n";
    let mut bench = with_order();
    bench.opened("other.toml".as_ref(), &demo_table());
    assert!(bench.notebook().taken() > 0 && bench.solved().is_some());
    bench.opened("hand.toml".as_ref(), by_hand);
    assert!(bench.notebook().taken() == 0 && bench.solved().is_none() && !bench.maps_another());
    assert!(bench.may_save_table("hand.toml".as_ref(), "", Some(by_hand)).is_err(), "it is of no readings here");
}

#[test]
fn a_picture_that_hangs_otherwise_hangs_so_when_its_table_is_opened() {
    for (mirrored, quarter_turns) in [(false, 0), (false, 1), (true, 0), (true, 3)] {
        let hang = Hang { mirrored, quarter_turns };
        let mut bench = with_order();
        let mut notebook = bench.notebook().clone();
        notebook.hang = hang;
        bench.change_notebook("hang", notebook);
        measure(&mut bench);
        let kept = bench.table_to_save("2026-11-25".into()).expect("a table");
        let mut next = with_order();
        next.opened("table.toml".as_ref(), &file::write(&kept));
        assert!(next.notebook().taken() == bench.notebook().taken() && next.notebook().hang == hang, "{hang:?}");
    }
}

#[test]
fn a_foot_measured_from_another_zero_is_not_kept() {
    use chalklight::bench::notebook::{LENS, Notebook};
    let [height, right, away] = LENS;
    let tape = Notebook::new([1920, 1080]).with(height, "1980").with(right, "610").with(away, "-240");
    assert_eq!(tape.measured_by(By::Tape), tape);
    let mat = tape.measured_by(By::Mat);
    assert_eq!([height, right, away].map(|slot| mat.typed(slot).to_owned()), ["1980", "", ""]);
    assert!(!mat.readings_text().contains("foot"), "a lens without a foot is not written");
}
