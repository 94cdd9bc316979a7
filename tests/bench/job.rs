//! The way of the job, step by step.

use chalklight::bench::model::{ScreenHere, Step, Wish};
use chalklight::bench::notebook::Slot;
use chalklight::bench::tables::solve;
use chalklight::bench::{Bench, Habits};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;

use super::{bench_at, empty, type_into, with_order};

/// The trade's five measurements, typed.
const TYPED: [(&str, &str); 5] =
    [("Bust", "94 cm"), ("Waist", "78 cm"), ("Hip", "102 cm"), ("Shoulder", "39 cm"), ("Waist depth", "40 cm")];

#[test]
fn what_she_types_becomes_a_draft_as_she_types_it() {
    let mut harness = empty();
    harness.run();
    for (field, text) in TYPED {
        assert!(harness.state().drawn().is_none());
        type_into(&mut harness, field, text);
    }
    harness.get_by_label_contains("Step 2, Garment").click();
    harness.run();
    assert_eq!(harness.state().step, Step::Garment);
    type_into(&mut harness, "Length", "104 cm");
    let bench = harness.state();
    let drawn = bench.drawn().unwrap_or_else(|| panic!("{}{:?}", bench.paper().text(), bench.work().remarks));
    assert!(drawn.1 && drawn.0.draft.length_mm == 1040.0);
    assert!(harness.state().paper().text().contains("waist_depth = \"40 cm\""));
    assert!(harness.state().unsaved());
}

#[test]
fn what_is_wrong_with_a_length_is_said_under_its_field() {
    let mut harness = empty();
    harness.run();
    type_into(&mut harness, "Bust", "94");
    harness.get_by_label_contains("has no unit");
    type_into(&mut harness, "Bust", " cm");
    assert!(harness.query_by_label_contains("has no unit").is_none());
    type_into(&mut harness, "Waist", "780 cm");
    harness.get_by_label_contains("can't be a waist");
}

#[test]
fn undo_and_redo_work_by_key_and_a_field_is_one_step() {
    let mut harness = empty();
    harness.run();
    let blank = harness.state().paper().text().to_owned();
    type_into(&mut harness, "Bust", "94 cm");
    type_into(&mut harness, "Waist", "78 cm");
    let both = harness.state().paper().text().to_owned();
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        harness.run();
    }
    assert_eq!(harness.state().paper().text(), blank);
    for _ in 0..2 {
        harness.key_press_modifiers(Modifiers::COMMAND, Key::Y);
        harness.run();
    }
    assert_eq!(harness.state().paper().text(), both);
}

#[test]
fn a_line_of_the_working_lights_what_it_made() {
    let mut bench = with_order();
    bench.step = Step::Draft;
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness.get_by_role_and_label(Role::Button, "Waist line: waist depth as measured = 40 cm").click_accesskit();
    harness.run();
    assert_eq!(harness.state().lit, Some("waist line"));
}

#[test]
fn numbers_that_cannot_be_drawn_leave_the_draft_before_faintly() {
    let mut bench = with_order();
    let entry = chalklight::bench::paper::Entry::text("body", "waist_depth");
    bench.write(&entry, "2");
    assert!(bench.drawn().is_some_and(|(_, of_now)| !of_now));
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness.get_by_label_contains("as it was before the last change");
}

#[test]
fn a_cut_waits_for_what_is_missing_and_for_her_yes() {
    let mut bench = with_order();
    bench.step = Step::Cut;
    let mut harness = bench_at(bench, [1280.0, 900.0]);
    harness.run();
    harness.get_by_label_contains("No table lies here");
    harness.get_by_label("Throw it on the table").click();
    harness.run();
    assert!(!harness.state_mut().take_wishes().iter().any(|wish| matches!(wish, Wish::Cut(_))));
    // A table that was written by hand is not trusted: one pixel a millimetre.
    let by_hand = "[projector]\nwidth = 1920\nheight = 1080\n[table]\n\
                   homography = [1.0, 0.0, 0.0, 0.0, -1.0, 1080.0, 0.0, 0.0, 1.0]\n";
    harness.state_mut().opened("table.toml".as_ref(), by_hand);
    harness.run();
    harness.get_by_label("Throw it on the table").click();
    harness.run();
    assert!(!harness.state_mut().take_wishes().iter().any(|wish| matches!(wish, Wish::Cut(_))));
    harness.get_by_label_contains("although it is not trusted").click();
    harness.run();
    harness.get_by_label("Throw it on the table").click();
    harness.run();
    let wishes = harness.state_mut().take_wishes();
    assert!(
        wishes.iter().any(|wish| matches!(wish, Wish::Cut(cutting) if cutting.trust_anyway && !cutting.cut_anyway)),
        "{wishes:?}"
    );
}

#[test]
fn the_distance_worth_measuring_next_is_one_that_is_left_and_helps() {
    let mut bench = with_order();
    let grid = bench.notebook().grid();
    // A table that is flat, level and lit one pixel a millimetre.
    let apart_mm = |slot: Slot| {
        let [a, b] = slot.marks()[..] else { panic!("{slot:?} is no distance") };
        (grid.px(a).expect("a mark") - grid.px(b).expect("a mark")).length()
    };
    let slots = bench.notebook().slots();
    for slot in &slots[..7] {
        bench.read_off(*slot, &format!("{:.1} mm", apart_mm(*slot)));
    }
    let mut bounds_mm = Vec::new();
    for _ in 0..4 {
        let text = bench.notebook().readings_text();
        bench.take_solved(text.clone(), solve(&text));
        let told = bench.solved().expect("solved").as_ref().unwrap_or_else(|no| panic!("{no}"));
        bounds_mm.push(told.value.fit.as_ref().expect("a fit").bound95.largest_mm);
        let advised = told
            .remarks
            .iter()
            .filter_map(|remark| remark.remedy.as_deref())
            .find_map(|remedy| remedy.strip_prefix("worth measuring next: "));
        let Some(advised) = advised.map(str::to_owned) else { break };
        let slot = *slots.iter().find(|slot| slot.says() == advised).expect("a field of the notebook");
        assert!(bench.notebook().typed(slot).is_empty(), "{advised} is measured already");
        bench.read_off(slot, &format!("{:.1} mm", apart_mm(slot)));
    }
    assert!(bounds_mm.len() > 1 && bounds_mm.windows(2).all(|pair| pair[1] < pair[0]), "{bounds_mm:?}");
}

#[test]
fn a_screen_that_scales_or_is_not_the_tables_is_told() {
    let by_hand = "[projector]\nwidth = 1920\nheight = 1080\n[table]\n\
                   homography = [1.0, 0.0, 0.0, 0.0, -1.0, 1080.0, 0.0, 0.0, 1.0]\n";
    for (size_px, scale_percent, says) in
        [([1920, 1080], 100, [false, false]), ([1920, 1080], 150, [true, false]), ([1280, 720], 100, [false, true])]
    {
        let mut bench = with_order();
        bench.opened("table.toml".as_ref(), by_hand);
        bench.step = Step::Cut;
        let title = format!("HDMI-1 {}x{}", size_px[0], size_px[1]);
        let screen = ScreenHere { title, size_px, scale_percent };
        bench.choose_screen(&screen);
        bench.screens = vec![screen];
        let mut harness = bench_at(bench, [1280.0, 900.0]);
        harness.run();
        for (sentence, due) in ["shows this screen at 150 %", "measured at 1920 x 1080"].into_iter().zip(says) {
            let said = harness.query_by_label_contains(sentence).is_some();
            assert_eq!(said, due, "{sentence}, on {size_px:?} at {scale_percent} %");
        }
    }
}

#[test]
fn an_empty_bench_says_what_is_needed_and_does_not_scold() {
    let mut harness = bench_at(Bench::new(Habits::default(), None), [1280.0, 720.0]);
    harness.run();
    assert!(harness.query_all_by_label_contains("bust is missing").next().is_none());
    assert_eq!(harness.query_all_by_label("Needed for this garment.").count(), 5);
}

#[test]
fn a_clicker_goes_from_number_to_number() {
    for elsewhere in [false, true] {
        let mut bench = with_order();
        bench.step = Step::Table;
        let mut harness = bench_at(bench, [1280.0, 720.0]);
        // The window with the grid has the keys, and hands them on.
        harness.input_mut().focused = !elsewhere;
        harness.run();
        type_into(&mut harness, "A1 to A5", "1408");
        harness.key_press(Key::PageDown);
        harness.run();
        let marks = |harness: &egui_kittest::Harness<'static, Bench>| harness.state().measuring.map(|slot| slot.says());
        assert_eq!(marks(&harness).as_deref(), Some("A5 to C5"));
        harness.key_press(Key::PageUp);
        harness.run();
        assert_eq!(marks(&harness).as_deref(), Some("A1 to A5"));
        assert_eq!(harness.state().notebook().taken(), 1);
    }
}
