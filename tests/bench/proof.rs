//! The proof of a table on its page: three distances typed, the verdict, and a corrected table to be taken.

use chalklight::bench::Bench;
use chalklight::bench::model::{Measured, ScreenHere, Step, Wish};
use chalklight::calibrate::proof::{Proof, distances, expected};
use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::{KeptTable, file};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::{Harness, kittest::Queryable};

use super::{bench_at, with_order};

fn demo_table() -> KeptTable {
    let readings = readings_file::read(include_str!("../../calibration/readings/demo.toml")).unwrap();
    calibrate(&readings.value).unwrap().value
}

/// A bench with that table on its page, in a window high enough for all of it.
fn on_the_bench(kept: &KeptTable) -> Harness<'static, Bench> {
    let mut bench = with_order();
    bench.saved("order.toml".as_ref());
    bench.opened("table.toml".as_ref(), &file::write(kept));
    bench.step = Step::Table;
    let title = "HDMI-1 1920x1080".to_owned();
    let screen = ScreenHere { title, size_px: [1920, 1080], scale_percent: 100 };
    bench.choose_screen(&screen);
    bench.screens = vec![screen];
    let mut harness = bench_at(bench, [1280.0, 4000.0]);
    harness.run();
    harness
}

/// Throws the grid, and types the three distances with nothing but the keypad and page down: each so many times what it
/// should be, and more by its place.
fn proves(harness: &mut Harness<'static, Bench>, kept: &KeptTable, grown: f64, slip_mm: f64) {
    let name = "Throw the grid to prove the table";
    if harness.query_by_label(name).is_some() {
        harness.get_by_label(name).click();
        harness.run();
    }
    for (i, pair) in distances(kept).into_iter().enumerate() {
        let marks = harness.state().measuring.map(|slot| slot.marks());
        let bench = harness.state();
        let how = (bench.throwing_grid, bench.measured, bench.measure_next);
        assert_eq!(marks, Some(pair.to_vec()), "what comes next is ringed: {how:?}");
        assert_eq!(harness.state().measured, Measured::Proof);
        let (picture_px, grid) = harness.state().thrown_grid();
        assert!(picture_px == kept.table.picture_px && pair.iter().all(|mark| grid.px(*mark).is_some()));
        let [should_mm, _] = expected(kept, pair, 3).unwrap();
        let typed = format!("{:.0}", grown * should_mm + slip_mm * i as f64);
        let field = format!("{} to {}, as it is now", pair[0], pair[1]);
        harness.get_by_role_and_label(Role::TextInput, &field).type_text(&typed);
        harness.run();
        let told = |harness: &Harness<'static, Bench>, words| harness.query_all_by_label_contains(words).count();
        assert_eq!(told(harness, "Should be"), i, "what it should be leads her while she measures");
        harness.key_press(Key::PageDown);
        harness.run();
        assert_eq!(told(harness, "Should be"), i + 1, "it is said once her number stands");
        assert_eq!(told(harness, "than the table says"), i + 1, "and how far off that is");
    }
}

fn is_said(harness: &Harness<'static, Bench>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

/// Asks for the cut, and tells whether it is granted.
fn throws(harness: &mut Harness<'static, Bench>) -> bool {
    harness.state_mut().step = Step::Cut;
    harness.run();
    harness.state_mut().take_wishes();
    harness.get_by_label("Throw it on the table").click();
    harness.run();
    harness.state_mut().take_wishes().iter().any(|wish| matches!(wish, Wish::Cut(_)))
}

#[test]
fn three_distances_prove_the_table_or_correct_it() {
    let kept = demo_table();
    let cases =
        [(1.0, 0.0, "The table holds"), (1.01, 0.0, "The table was moved"), (1.0, 40.0, "The table no longer holds")];
    for (grown, slip_mm, says) in cases {
        let mut harness = on_the_bench(&kept);
        proves(&mut harness, &kept, grown, slip_mm);
        assert!(is_said(&harness, says), "{says}");
        harness.state_mut().take_wishes();
        let Some(button) = harness.query_by_label("Take the corrected table") else {
            assert!(grown != 1.01);
            continue;
        };
        button.click();
        harness.run();
        let wishes = harness.state_mut().take_wishes();
        let corrected =
            wishes.iter().find_map(|wish| if let Wish::KeepCorrected(kept) = wish { Some(kept) } else { None });
        let pair = distances(&kept)[2];
        let [old_mm, _] = expected(&kept, pair, 3).unwrap();
        let [new_mm, _] = expected(corrected.expect("a wish"), pair, 3).unwrap();
        assert!((new_mm / old_mm - 1.01).abs() < 5e-4, "{new_mm} from {old_mm}");
    }
}

#[test]
fn a_clicker_goes_back_through_the_proof_too() {
    let kept = demo_table();
    let mut harness = on_the_bench(&kept);
    proves(&mut harness, &kept, 1.0, 0.0);
    for pair in distances(&kept).into_iter().rev().skip(1) {
        harness.key_press(Key::PageUp);
        harness.run();
        assert_eq!(harness.state().measuring.map(|slot| slot.marks()), Some(pair.to_vec()));
    }
}

#[test]
fn the_verdict_follows_every_distance_as_it_is_left() {
    let kept = demo_table();
    let mut harness = on_the_bench(&kept);
    harness.get_by_label("Throw the grid to prove the table").click();
    harness.run();
    let types = |harness: &mut Harness<'static, Bench>, at: usize, slip_mm: f64, key: Key| {
        let pair = distances(&kept)[at];
        assert_eq!(harness.state().measuring.map(|slot| slot.marks()), Some(pair.to_vec()));
        let [should_mm, _] = expected(&kept, pair, 3).unwrap();
        let field = format!("{} to {}, as it is now", pair[0], pair[1]);
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        let typed = format!("{:.0}", should_mm + slip_mm);
        harness.get_by_role_and_label(Role::TextInput, &field).type_text(&typed);
        harness.run();
        harness.key_press(key);
        harness.run();
    };
    types(&mut harness, 0, 0.0, Key::PageDown);
    types(&mut harness, 1, 40.0, Key::PageDown);
    assert!(harness.state().proof().is_none(), "one is not measured yet");
    types(&mut harness, 2, 0.0, Key::PageUp);
    assert!(is_said(&harness, "Step 5, Table: its proof failed"), "all three are in");
    // Mended in the middle, and the last is not left again.
    types(&mut harness, 1, 0.0, Key::PageDown);
    assert!(is_said(&harness, "Step 5, Table: good") && is_said(&harness, "The table holds"));
    types(&mut harness, 2, 40.0, Key::Tab);
    assert!(is_said(&harness, "Step 5, Table: its proof failed"));
}

#[test]
fn a_table_whose_proof_failed_is_not_cut_by_before_she_says_yes() {
    let kept = demo_table();
    let mut harness = on_the_bench(&kept);
    assert!(throws(&mut harness), "the table is trusted");
    harness.state_mut().step = Step::Table;
    harness.run();
    proves(&mut harness, &kept, 1.0, 40.0);
    assert!(is_said(&harness, "Step 5, Table: its proof failed"));
    assert!(!throws(&mut harness));
    assert!(is_said(&harness, "The table no longer holds"), "why is said where the cut begins");
    // Neither emptied fields nor the same file opened anew lead round it.
    for at in 0..3 {
        harness.state_mut().prove_by(at, "");
    }
    assert!(!throws(&mut harness));
    harness.state_mut().opened("table.toml".as_ref(), &file::write(&kept));
    assert!(!throws(&mut harness));
    harness.get_by_label_contains("although its proof failed").click();
    harness.run();
    assert!(throws(&mut harness), "she said yes");
    // Measured once more, and it holds: nothing is asked any more.
    harness.state_mut().step = Step::Table;
    harness.state_mut().throwing_grid = false;
    harness.run();
    proves(&mut harness, &kept, 1.0, 0.0);
    assert!(is_said(&harness, "Step 5, Table: good"));
    assert!(throws(&mut harness) && !is_said(&harness, "although its proof failed"));
}

#[test]
fn the_numbers_of_a_proof_are_undone_and_what_they_proved_is_not() {
    let kept = demo_table();
    let mut bench = with_order();
    bench.saved("order.toml".as_ref());
    bench.opened("table.toml".as_ref(), &file::write(&kept));
    let types = |bench: &mut Bench, at: usize, slip_mm: f64| {
        let [should_mm, _] = expected(&kept, distances(&kept)[at], 3).unwrap();
        let typed = format!("{:.0}", should_mm + slip_mm);
        bench.prove_by(at, &typed);
        bench.settle();
        bench.settle_proof();
        typed
    };
    let empty = |bench: &Bench| (0..3).all(|at| bench.proof_typed(at).is_empty());
    let good = [0, 1, 2].map(|at| types(&mut bench, at, 0.0));
    assert_eq!(bench.proof(), Some(&Proof::Holds));
    assert!(bench.to_keep().is_none(), "a proof is in no file");
    let bad = types(&mut bench, 1, 40.0);
    let failed = bench.proof().cloned();
    assert!(failed.is_some() && failed != Some(Proof::Holds));
    bench.undo();
    bench.settle_proof();
    assert_eq!([0, 1, 2].map(|at| bench.proof_typed(at).to_owned()), good);
    assert_eq!(bench.proof().cloned(), failed, "undo leads round a proof that failed");
    bench.redo();
    assert_eq!(bench.proof_typed(1), bad);
    // The slip and the three numbers are four steps.
    (0..4).for_each(|_| bench.undo());
    assert!(empty(&bench));
    (0..4).for_each(|_| bench.redo());
    assert_eq!(bench.proof_typed(1), bad);
    // The numbers of a table are not those of another, in no step, and come back with it.
    let mut other = kept.clone();
    other.table.homography[0][2] += 0.5;
    bench.opened("other.toml".as_ref(), &file::write(&other));
    assert!(empty(&bench) && bench.proof().is_none());
    bench.undo();
    assert_eq!((bench.proof_typed(1), bench.proof().cloned()), (bad.as_str(), failed));
    bench.redo();
    assert!(empty(&bench) && bench.proof().is_none());
    while bench.steps()[0] {
        bench.undo();
        assert!(empty(&bench) || bench.table().is_some_and(|table| file::write(&table.kept) == file::write(&kept)));
    }
}

#[test]
fn a_table_for_a_screen_of_another_size_is_told_and_not_cut_by() {
    let kept = demo_table();
    let mut harness = on_the_bench(&kept);
    let small = |title: &str| ScreenHere { title: title.into(), size_px: [1280, 800], scale_percent: 100 };
    for (is_chosen, says) in [(false, "no screen here has that size"), (true, "this screen is eDP-1")] {
        harness.state_mut().step = Step::Table;
        harness.state_mut().screens = vec![small("eDP-1 1280x800")];
        if is_chosen {
            harness.state_mut().choose_screen(&small("eDP-1 1280x800"));
        }
        harness.run();
        assert!(is_said(&harness, "Step 5, Table: the table is for a screen of another size"));
        assert!(is_said(&harness, "The table was measured at 1920 x 1080") && is_said(&harness, says), "{says}");
        assert!(!throws(&mut harness));
    }
}

#[test]
fn the_bench_shows_the_number_of_its_own_screen() {
    let mut harness = on_the_bench(&demo_table());
    harness.state_mut().own_screen = Some(0);
    harness.run();
    assert!(!is_said(&harness, "This screen is number"));
    harness.get_by_label("Show the numbers on the screens").click();
    harness.run();
    harness.get_by_label("This screen is number 1, HDMI-1 1920x1080");
    harness.get_by_label("Take the numbers off").click();
    harness.run();
    assert!(!is_said(&harness, "This screen is number"));
}
