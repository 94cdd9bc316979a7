//! The table's page: what was solved belongs to its readings, a step is undone whole, and a proof that failed outlives the
//! bench.

use chalklight::bench::model::{ScreenHere, Step, Wish};
use chalklight::bench::notebook::{Slot, Unit};
use chalklight::bench::residual::residual_mm;
use chalklight::bench::tables::solve;
use chalklight::bench::{Bench, Habits};
use chalklight::calibrate::proof::{Proof, distances, expected};
use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::{KeptTable, file};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::NodeT;
use egui_kittest::{Harness, kittest::Queryable};

use super::{bench_at, with_order};

const READINGS: &str = include_str!("../../calibration/readings/demo.toml");

fn demo_table() -> KeptTable {
    calibrate(&readings_file::read(READINGS).unwrap().value).unwrap().value
}

/// The tape distance of a slot on a table that is flat, level and lit one pixel a millimetre.
fn apart_mm(bench: &Bench, slot: Slot) -> f64 {
    let grid = bench.notebook().grid();
    let [from, to] = slot.marks()[..] else { panic!("{slot:?} is no distance") };
    (grid.px(from).expect("a mark") - grid.px(to).expect("a mark")).length()
}

/// A bench on the table's page with every distance measured.
fn measured() -> Harness<'static, Bench> {
    let mut bench = with_order();
    for slot in bench.notebook().slots() {
        let typed = format!("{:.1}", apart_mm(&bench, slot));
        bench.read_off(slot, &typed);
        bench.settle();
    }
    bench.step = Step::Table;
    let mut harness = bench_at(bench, [1280.0, 4000.0]);
    harness.run();
    harness
}

/// Solves what the bench wishes solved; how much that was.
fn solves(harness: &mut Harness<'static, Bench>) -> usize {
    let mut count = 0;
    for wish in harness.state_mut().take_wishes() {
        if let Wish::Solve(text) = wish {
            let told = solve(&text);
            harness.state_mut().take_solved(text, told);
            count += 1;
        }
    }
    harness.run();
    count
}

fn said(harness: &Harness<'static, Bench>, words: &str) -> usize {
    harness.query_all_by_label_contains(words).count()
}

#[test]
fn what_was_solved_is_told_of_its_own_readings_only() {
    let mut harness = measured();
    assert_eq!(solves(&mut harness), 1);
    let slots = harness.state().notebook().slots();
    assert_eq!(said(&harness, "mm off the table"), slots.len());
    let name = slots[0].says();
    let typed = harness.state().notebook().typed(slots[0]).to_owned();
    let slip = format!("{:.1}", apart_mm(harness.state(), slots[0]) + 10.0);
    let field = harness.get_by_role_and_label(Role::TextInput, &name);
    field.focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, &name).type_text(&slip);
    harness.run();
    // Neither while she types, nor until it is worked out.
    for is_left in [false, true] {
        if is_left {
            harness.key_press(Key::Enter);
            harness.run();
        }
        assert_eq!(said(&harness, &format!("= {slip} mm")), 1);
        assert_eq!(said(&harness, "mm off the table"), 0, "a new number with an old residual");
        assert!(said(&harness, "Of the numbers before") > 0 && said(&harness, "as the numbers before gave it") == 1);
        assert_eq!(said(&harness, "Being worked out"), usize::from(is_left));
    }
    assert_eq!(solves(&mut harness), 1);
    assert!(said(&harness, "Left out") > 0 && said(&harness, "Of the numbers before") == 0);
    // One step back, while another field has the focus: what the slip gave goes, and the map of the numbers is asked for.
    assert!(harness.state().measuring.is_some_and(|slot| slot != slots[0]));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(harness.state().notebook().typed(slots[0]), typed);
    assert_eq!([said(&harness, "Left out"), said(&harness, "mm off the table")], [0, 0]);
    assert_eq!([said(&harness, "Being worked out"), said(&harness, "as the numbers before gave it")], [1, 1]);
    assert_eq!(solves(&mut harness), 1, "undo asks as an entry does");
    assert_eq!(said(&harness, "mm off the table"), slots.len());
    assert_eq!(said(&harness, "as the readings give it"), 1);
    harness.state_mut().redo();
    assert!(!harness.state().is_solved() && solves(&mut harness) == 1 && said(&harness, "Left out") > 0);
    // Back to no readings at all: nothing is left of what they gave.
    while harness.state().steps()[0] {
        harness.state_mut().undo();
    }
    harness.run();
    assert!(harness.state().notebook().taken() == 0 && harness.state().mapped().is_none());
    for words in ["The map is of", "Left out", "Of the numbers before", "Being worked out", "Write the table"] {
        assert_eq!(said(&harness, words), 0, "{words}");
    }
    assert_eq!(said(&harness, "The table: none is measured yet"), 1);
}

#[test]
fn a_screen_is_undone_with_the_size_that_it_brought() {
    let screen = |title: &str, size_px| ScreenHere { title: title.into(), size_px, scale_percent: 100 };
    let screens = [screen("eDP-1 1280x800", [1280, 800]), screen("HDMI-1 1920x1080", [1920, 1080])];
    let mut bench = with_order();
    bench.screens = screens.to_vec();
    for screen in &screens {
        bench.choose_screen(screen);
    }
    let here = |bench: &Bench| (bench.chosen_screen().cloned(), bench.notebook().picture_px);
    let [small, large] = screens;
    assert_eq!(here(&bench), (Some(large.clone()), [1920, 1080]));
    bench.undo();
    assert_eq!(here(&bench), (Some(small), [1280, 800]));
    bench.undo();
    assert_eq!(here(&bench), (None, [1920, 1080]));
    bench.redo();
    bench.redo();
    assert_eq!(here(&bench), (Some(large), [1920, 1080]));
    assert!(bench.to_keep().is_none(), "a screen is in no file");
}

#[test]
fn a_table_is_undone_with_the_readings_that_it_brought() {
    let mut bench = with_order();
    bench.opened("table.toml".as_ref(), &file::write(&demo_table()));
    let taken = bench.notebook().taken();
    assert!(taken > 0 && bench.table().is_some());
    bench.undo();
    assert!(bench.said.is_empty(), "of the table that is gone: {:?}", bench.said);
    assert!(bench.notebook().taken() == 0 && bench.table().is_none() && bench.habits.table.is_none());
    bench.redo();
    assert!(bench.notebook().taken() == taken && bench.table().is_some() && !bench.maps_another());
    // A table that is written is no step: what is undone after it leaves it where it lies.
    let slot = bench.notebook().slots()[0];
    bench.read_off(slot, "1 mm");
    bench.settle();
    bench.read_off(slot, "");
    let kept = bench.table_to_save("2026-11-26".into()).expect("a table");
    bench.table_saved("mine.toml".as_ref(), kept);
    bench.undo();
    let path = |bench: &Bench| bench.table().map(|table| table.path.clone());
    assert_eq!((bench.notebook().typed(slot), path(&bench)), ("1 mm", Some("mine.toml".into())));
}

/// Measures the three distances of the proof, the second with a slip.
fn proves(bench: &mut Bench, kept: &KeptTable, slip_mm: f64) {
    for (at, pair) in distances(kept).into_iter().enumerate() {
        let [should_mm, _] = expected(kept, pair, 3).unwrap();
        let off_mm = if at == 1 { slip_mm } else { 0.0 };
        let number = should_mm + off_mm;
        let typed = if bench.notebook().unit == Unit::Cm { number / 10.0 } else { number };
        bench.prove_by(at, &format!("{typed:.1}"));
        bench.settle();
    }
    bench.settle_proof();
}

#[test]
fn a_proof_that_failed_outlives_the_bench() {
    let kept = demo_table();
    let text = file::write(&kept);
    let opened = |habits: Habits| {
        let mut bench = Bench::new(habits, None);
        bench.opened("moved.toml".as_ref(), &text);
        bench
    };
    let mut bench = opened(Habits::default());
    let mut notebook = bench.notebook().clone();
    notebook.unit = Unit::Cm;
    bench.change_notebook("unit", notebook);
    bench.take_wishes();
    proves(&mut bench, &kept, 40.0);
    assert!(bench.take_wishes().contains(&Wish::KeepHabits), "it is kept at once");
    let failed = bench.proof().cloned();
    assert!(matches!(failed, Some(Proof::Broken(_))), "{failed:?}");
    // The next bench has the verdict and the numbers, though it reads them in another unit.
    let mut next = opened(bench.habits.clone());
    assert_eq!(next.proof().cloned(), failed);
    assert!(next.distrust().is_some() && !next.trust_anyway);
    let mm = |bench: &Bench| [0, 1, 2].map(|at| bench.proof_length(at).and_then(Result::ok).map(|length| length.mm));
    assert_eq!(mm(&next), mm(&bench));
    // Neither another table meanwhile, nor undo, leads round it.
    let mut other = kept.clone();
    other.table.homography[0][2] += 0.5;
    next.opened("other.toml".as_ref(), &file::write(&other));
    assert!(next.proof().is_none());
    next.undo();
    assert_eq!(next.proof().cloned(), failed);
    next.redo();
    assert!(next.proof().is_none());
    next.opened("moved.toml".as_ref(), &text);
    assert_eq!(next.proof().cloned(), failed);
    // Proved again it holds, and that is not forgotten either.
    proves(&mut next, &kept, 0.0);
    assert_eq!(next.proof(), Some(&Proof::Holds));
    assert!(next.habits.failed.is_empty() && opened(next.habits.clone()).distrust().is_none());
}

#[test]
fn a_reading_has_its_residual_whichever_end_was_written_first() {
    let harness = measured();
    let bench = harness.state();
    let text = bench.notebook().readings_text();
    let turned: Vec<String> = text
        .lines()
        .map(|line| match (line.strip_prefix("from = "), line.strip_prefix("to = ")) {
            (Some(mark), _) => format!("to = {mark}"),
            (_, Some(mark)) => format!("from = {mark}"),
            _ => line.to_owned(),
        })
        .collect();
    for text in [text.clone(), turned.join("\n")] {
        let kept = solve(&text).expect("a table").value;
        for slot in bench.notebook().slots() {
            assert!(residual_mm(&kept, slot).is_some_and(|off_mm| off_mm < 0.5), "{}", slot.says());
        }
    }
}

#[test]
fn a_table_brings_its_readings_or_says_that_it_does_not() {
    let more = "\n[[reading]]\nfrom = \"A1\"\nto = \"B2\"\ndistance = \"353 mm\"\n";
    let says = "can't all be shown in the notebook";
    for (readings, is_told) in [(READINGS.to_owned(), false), (format!("{READINGS}{more}"), true)] {
        let kept = solve(&readings).expect("a table").value;
        let mut bench = with_order();
        bench.opened("table.toml".as_ref(), &file::write(&kept));
        assert_eq!(bench.notebook().taken() == 0, is_told);
        assert_eq!(bench.said.iter().any(|remark| remark.sentence.contains(says)), is_told, "{:?}", bench.said);
    }
}

#[test]
fn radios_are_told_as_a_group_with_a_name() {
    let mut harness = measured();
    let screen = |title: &str| ScreenHere { title: title.into(), size_px: [1920, 1080], scale_percent: 100 };
    harness.state_mut().screens = vec![screen("eDP-1 1920x1080"), screen("HDMI-1 1920x1080")];
    let mut seen = 0;
    for step in [Step::Cloth, Step::Table, Step::Cut] {
        harness.state_mut().step = step;
        harness.run();
        let radios =
            harness.root().children_recursive().filter(|node| node.accesskit_node().role() == Role::RadioButton);
        let groups =
            harness.root().children_recursive().filter(|node| node.accesskit_node().role() == Role::RadioGroup);
        let groups: Vec<_> = groups.collect();
        assert!(
            groups.iter().all(|node| node.accesskit_node().label().is_some_and(|name| !name.is_empty())),
            "{step:?}"
        );
        let grouped = groups.iter().flat_map(|group| group.children_recursive());
        let grouped = grouped.filter(|node| node.accesskit_node().role() == Role::RadioButton).count();
        assert_eq!(grouped, radios.count(), "{step:?}");
        seen += grouped;
    }
    assert!(seen > 12, "{seen}");
    harness.state_mut().step = Step::Table;
    harness.run();
    let units = harness.get_by_role_and_label(Role::RadioGroup, "A number without a unit is in");
    let names: Vec<_> = units.children_recursive().filter_map(|node| node.accesskit_node().label()).collect();
    assert!(["mm", "cm", "in"].iter().all(|unit| names.iter().any(|name| name == unit)), "{names:?}");
}
