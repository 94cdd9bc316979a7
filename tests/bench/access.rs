//! Keyboard and screen reader: every control has a name and is reached by tab, in the order of the job.

use std::fmt::Write;

use chalklight::bench::model::{ScreenHere, Step, Wish};
use chalklight::bench::paper::Entry;
use chalklight::bench::tables::solve;
use chalklight::bench::{Bench, Habits};
use chalklight::order::{Kind, Measure};
use egui::accessibility::is_input;
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::NodeT;
use egui_kittest::{Harness, kittest::Queryable};

use super::{bench_at, with_order};

const STEPS: [Step; 6] = [Step::Client, Step::Garment, Step::Draft, Step::Cloth, Step::Table, Step::Cut];

/// The sizes of window and of text that every step is tried at: points at 100 % and at 150 %.
const SIZES: [[f32; 2]; 3] = [[1280.0, 720.0], [1920.0, 1080.0], [853.0, 480.0]];

fn at_step(step: Step, size: [f32; 2]) -> Harness<'static, Bench> {
    let mut bench = with_order();
    bench.step = step;
    bench.opened("readings.toml".as_ref(), include_str!("../../calibration/readings/demo.toml"));
    bench.step = step;
    let mut harness = bench_at(bench, size);
    harness.run();
    for wish in harness.state_mut().take_wishes() {
        if let Wish::Solve(text) = wish {
            let told = solve(&text);
            harness.state_mut().take_solved(text, told);
        }
    }
    harness.run();
    harness
}

#[test]
fn every_control_has_a_name() {
    for step in STEPS {
        for size in SIZES {
            let harness = at_step(step, size);
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new(), "{step:?}");
        }
    }
}

/// What has the focus, by name.
fn focused(harness: &Harness<'static, Bench>) -> Option<String> {
    at_focus(harness).map(|(name, _)| name)
}

/// What has the focus, by name, and where it is.
fn at_focus(harness: &Harness<'static, Bench>) -> Option<(String, egui::Rect)> {
    let mut nodes = harness.root().children_recursive();
    let node = nodes.find(|node| node.accesskit_node().is_focused())?;
    Some((node.accesskit_node().label()?, node.rect()))
}

/// The names that tab comes to, until it comes to the first again.
fn tabbed(harness: &mut Harness<'static, Bench>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for _ in 0..200 {
        harness.key_press(Key::Tab);
        harness.run();
        let Some(name) = focused(harness) else { continue };
        if names.first() == Some(&name) {
            break;
        }
        names.push(name);
    }
    names
}

#[test]
fn tab_goes_along_the_job() {
    let mut harness = at_step(Step::Client, [1280.0, 720.0]);
    let names = tabbed(&mut harness);
    let place = |name: &str| {
        let at = names.iter().position(|each| each.starts_with(name));
        at.unwrap_or_else(|| panic!("tab never comes to {name}: {names:?}"))
    };
    let job = [
        "New",
        "Open",
        "Save",
        "Step 1, Client",
        "Step 2, Garment",
        "Step 6, Cut",
        "Name",
        "Measured on",
        "Bust",
        "Waist",
        "Hip",
        "Hip depth",
        "Shoulder",
        "Waist depth",
        "Head",
        "Upper arm",
        "The draft",
    ];
    let order: Vec<usize> = job.iter().map(|name| place(name)).collect();
    assert!(order.is_sorted(), "{names:?}");
}

/// The window below the way of the job.
fn below_the_way(harness: &Harness<'static, Bench>, [width, height]: [f32; 2]) -> egui::Rect {
    let way = (1..=6).map(|number| harness.get_by_label_contains(&format!("Step {number}, ")).rect().max.y);
    egui::Rect::from_min_max(egui::pos2(0.0, way.fold(0.0, f32::max)), egui::pos2(width, height))
}

#[test]
fn the_focus_never_leaves_what_is_seen_of_the_page() {
    let mut harness = at_step(Step::Garment, SIZES[2]);
    let page = below_the_way(&harness, SIZES[2]);
    let length = |harness: &Harness<'static, Bench>| harness.get_by_role_and_label(Role::TextInput, "Length").rect();
    harness.get_by_role_and_label(Role::TextInput, "Length").focus();
    harness.run();
    for (modifiers, is_scrolled) in [(Modifiers::NONE, true), (Modifiers::SHIFT, false)] {
        for _ in 0..20 {
            harness.key_press_modifiers(modifiers, Key::Tab);
            harness.run();
            let (name, rect) = at_focus(&harness).expect("tab comes to a control");
            assert!(page.contains_rect(rect), "{name} at {rect:?} is not seen in {page:?}");
        }
        // Twenty controls are more than there is room for: without scrolling this would check nothing.
        assert_eq!(!page.contains_rect(length(&harness)), is_scrolled);
    }
    assert_eq!(focused(&harness).as_deref(), Some("Length"));
}

#[test]
fn page_keys_scroll_to_the_field_they_lead_to() {
    let mut harness = at_step(Step::Table, SIZES[2]);
    let page = below_the_way(&harness, SIZES[2]);
    let slots = harness.state().notebook().slots();
    let first = slots.first().expect("a reading").says();
    harness.get_by_role_and_label(Role::TextInput, &first).focus();
    harness.run();
    for key in [Key::PageDown, Key::PageUp] {
        for _ in 1..slots.len() {
            harness.key_press(key);
            harness.run();
            let (name, rect) = at_focus(&harness).expect("a field");
            assert!(page.contains_rect(rect), "{name} at {rect:?} is not seen in {page:?}");
        }
    }
    assert_eq!(focused(&harness).as_deref(), Some(first.as_str()));
}

/// What is wrong with a field is seen with it, however low it stands; and the field stays in sight when more is said above.
#[test]
fn what_is_said_under_the_focus_is_seen_with_it() {
    let mut harness = at_step(Step::Client, SIZES[2]);
    harness.state_mut().write(&Entry::text("body", "hip"), "");
    harness.state_mut().write(&Entry::text("body", "waist"), "");
    let page = below_the_way(&harness, SIZES[2]);
    let checks = harness.get_by_label_contains("The draft").rect().bottom();
    let mut seen = 0;
    for field in ["Bust", "Waist", "Hip", "Hip depth", "Shoulder", "Waist depth", "Head", "Upper arm"] {
        harness.get_by_role_and_label(Role::TextInput, field).focus();
        harness.run();
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        harness.get_by_role_and_label(Role::TextInput, field).type_text("940");
        harness.run();
        let rect = harness.get_by_role_and_label(Role::TextInput, field).rect();
        let under = |node: &egui_kittest::Node<'_>| node.rect().top() > rect.top();
        let said = harness.query_all_by_label_contains("has no unit").filter(under);
        let said = said.min_by(|a, b| a.rect().top().total_cmp(&b.rect().top())).expect("what is wrong").rect();
        assert!(
            page.contains_rect(rect) && page.contains_rect(said),
            "{field}: {rect:?}, {said:?} in {page:?}, {checks}"
        );
        seen += usize::from(said.bottom() > page.center().y);
    }
    assert!(seen > 0, "one of them stood low");
}

#[test]
fn the_focus_stays_in_sight_when_more_is_said_above_it() {
    let mut harness = at_step(Step::Table, SIZES[2]);
    let page = below_the_way(&harness, SIZES[2]);
    let slots = harness.state().notebook().slots();
    harness.get_by_role_and_label(Role::TextInput, &slots.first().expect("a reading").says()).focus();
    harness.run();
    let mut moved = 0;
    for key in [Key::PageDown, Key::PageUp] {
        for _ in 1..slots.len() {
            let measured = harness.state().measuring.expect("a slot");
            // A slip of the tape is doubted in words, under it and others, some looks later.
            let typed = harness.state().notebook().typed(measured).to_owned();
            harness.state_mut().read_off(measured, if key == Key::PageDown { "300 mm" } else { "" });
            harness.key_press(key);
            harness.run();
            let before = at_focus(&harness).expect("a field").1;
            for wish in harness.state_mut().take_wishes() {
                if let Wish::Solve(text) = wish {
                    let told = solve(&text);
                    harness.state_mut().take_solved(text, told);
                }
            }
            harness.run();
            let (name, rect) = at_focus(&harness).expect("a field");
            moved += usize::from(before != rect);
            assert!(page.contains_rect(rect), "{name} at {rect:?} is not seen in {page:?}");
            harness.state_mut().read_off(measured, &typed);
        }
    }
    assert!(moved > 3, "what is said moved the focus {moved} times");
}

/// Grey in a field is what is in force; an example stands under it.
#[test]
fn what_stands_grey_in_a_field_is_in_force() {
    let mut seen = 0;
    for kind in Kind::ALL {
        for step in [Step::Client, Step::Garment, Step::Cloth] {
            let mut bench = of_kind(kind);
            bench.step = step;
            bench.write(&Entry::text("body", "waist"), "");
            bench.write(&Entry::text("body", "from_size"), "us-misses-1967 14");
            bench.write(&Entry::text("cloth", "photo"), "print.jpg");
            let mut harness = bench_at(bench, [1280.0, 720.0]);
            harness.run();
            for node in harness.root().children_recursive() {
                let node = node.accesskit_node();
                let Some(grey) = node.placeholder() else { continue };
                let in_force = ["", "none"].contains(&grey) || grey.ends_with("(house)") || grey.ends_with("by size");
                assert!(in_force, "{kind:?} {step:?}: {:?} shows {grey}", node.label());
                seen += usize::from(!grey.is_empty());
            }
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn tab_goes_from_the_screens_to_the_grid_and_back() {
    let mut bench = with_order();
    let screen = |title: &str| ScreenHere { title: title.into(), size_px: [1920, 1080], scale_percent: 100 };
    bench.screens = vec![screen("LEFT 1280x800"), screen("RIGHT 1920x1080")];
    bench.choose_screen(&screen("RIGHT 1920x1080"));
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run();
    assert_eq!(focused(&harness).as_deref(), Some("1  LEFT 1280x800"));
    for _ in 0..16 {
        harness.key_press(Key::Tab);
        harness.run();
    }
    assert_eq!(focused(&harness).as_deref(), Some("Throw the grid on the table"));
    for _ in 0..15 {
        harness.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
        harness.run();
    }
    assert_eq!(focused(&harness).as_deref(), Some("2  RIGHT 1920x1080"));
    harness.key_press(Key::Space);
    harness.run();
    assert_eq!(harness.state().screen(), Some("RIGHT 1920x1080"));
}

#[test]
fn tab_reaches_every_control_of_every_step() {
    for step in STEPS {
        let mut harness = at_step(step, [1280.0, 720.0]);
        let controls: Vec<String> = harness
            .root()
            .children_recursive()
            .map(|node| node.accesskit_node())
            .filter(|node| is_input(node.role()) && !node.is_disabled() && !node.is_hidden())
            .filter_map(|node| node.label())
            .collect();
        assert!(controls.len() > 15, "{step:?} has {} controls", controls.len());
        let reached = tabbed(&mut harness);
        for control in controls {
            assert!(reached.contains(&control), "{step:?}: tab never comes to {control}: {reached:?}");
        }
    }
}

#[test]
fn the_tree_for_screen_readers_is_written_down() {
    let mut dump = String::new();
    for step in STEPS {
        let harness = at_step(step, [1280.0, 720.0]);
        writeln!(dump, "{step:?}").expect("a string");
        for node in harness.root().children_recursive() {
            let node = node.accesskit_node();
            let (label, value) = (node.label().unwrap_or_default(), node.value().unwrap_or_default());
            if !label.is_empty() || !value.is_empty() {
                writeln!(dump, "  {:?}  {label}  {value}", node.role()).expect("a string");
            }
        }
    }
    for name in ["Bust", "Front neck depth", "Width", "Table file", "The lay: 2 pieces", "Stage 1"] {
        assert!(dump.contains(name), "{name} is not in the tree");
    }
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join("bench-tree.txt"), dump).expect("a file");
}

#[test]
fn nothing_of_the_bar_is_cut_off_at_any_size() {
    for step in STEPS {
        for size in SIZES {
            let harness = at_step(step, size);
            for name in ["New", "Open", "Save", "Save as", "Undo", "Redo", "Dark look", "Larger text"] {
                let rect = harness.get_by_label(name).rect();
                assert!(rect.min.x >= 0.0 && rect.max.x <= size[0], "{name} at {rect:?} in {size:?}");
            }
            for number in 1..=6 {
                let rect = harness.get_by_label_contains(&format!("Step {number}, ")).rect();
                assert!(rect.max.x <= size[0] && rect.max.y <= size[1] * 0.4, "step {number} at {rect:?} in {size:?}");
            }
        }
    }
}

#[test]
fn text_grows_and_shrinks_by_key_within_reason() {
    let mut harness = bench_at(Bench::new(Habits::default(), None), [1280.0, 720.0]);
    harness.run();
    for (key, expected) in [(Key::Plus, 110), (Key::Plus, 120), (Key::Minus, 110)] {
        harness.key_press_modifiers(egui::Modifiers::COMMAND, key);
        harness.run();
        assert_eq!(harness.state().habits.text_percent, expected);
    }
    harness.state_mut().resize_text(-100);
    assert_eq!(harness.state().habits.text_percent, 70);
}

/// The demo's order for another kind of garment, without what is the dress's own.
fn of_kind(kind: Kind) -> Bench {
    let mut bench = with_order();
    bench.write(&Entry::text("garment", "kind"), kind.key());
    for key in ["bust_ease", "waist_ease", "front_neck_depth"] {
        bench.write(&Entry::text("rules", key), "");
    }
    bench.write(&Entry::text("garment", "length"), "80 cm");
    bench
}

#[test]
fn every_page_of_every_kind_is_named_and_reached_by_tab() {
    for kind in Kind::ALL {
        for step in [Step::Client, Step::Garment, Step::Cloth] {
            let mut bench = of_kind(kind);
            bench.step = step;
            let mut harness = bench_at(bench, [1280.0, 720.0]);
            harness.run();
            assert_eq!(harness.unnamed_widgets(), Vec::<String>::new(), "{kind:?} {step:?}");
            let controls: Vec<String> = harness
                .root()
                .children_recursive()
                .map(|node| node.accesskit_node())
                .filter(|node| is_input(node.role()) && !node.is_disabled() && !node.is_hidden())
                .filter_map(|node| node.label())
                .collect();
            if step == Step::Garment {
                for choice in kind.facts().choices {
                    let name = chalklight::remark::sentence_case(choice.key);
                    assert!(controls.contains(&name), "{kind:?} has no field for {name}: {controls:?}");
                }
            }
            let reached = tabbed(&mut harness);
            for control in controls {
                assert!(reached.contains(&control), "{kind:?} {step:?}: tab never comes to {control}: {reached:?}");
            }
        }
    }
}

#[test]
fn a_choice_is_made_by_key_alone_and_is_one_step() {
    let mut bench = with_order();
    bench.step = Step::Garment;
    let before = bench.paper().text().to_owned();
    let mut harness = bench_at(bench, [1280.0, 900.0]);
    harness.run();
    harness.get_by_role_and_label(Role::ComboBox, "Sleeve").focus();
    harness.run();
    for _ in 0..4 {
        harness.key_press(Key::ArrowDown);
        harness.run();
    }
    assert!(harness.state().paper().text().contains("sleeve = \"cap\""), "{}", harness.state().paper().text());
    assert_eq!(focused(&harness).as_deref(), Some("Sleeve"), "the focus stays where it was");
    harness.key_press(Key::Space);
    harness.run();
    let words = ["None", "Long", "Three quarter", "Short", "Cap", "Flared", "Flutter"];
    assert!(words.iter().all(|word| harness.query_by_role_and_label(Role::Button, word).is_some()));
    harness.get_by_role_and_label(Role::Button, "Flutter").click();
    harness.run();
    assert!(harness.state().paper().text().contains("sleeve = \"flutter\""));
    for _ in 0..5 {
        harness.state_mut().undo();
    }
    assert_eq!(harness.state().paper().text(), before);
}

#[test]
fn what_another_kind_left_behind_is_shown_so_that_it_can_be_emptied() {
    let mut bench = of_kind(Kind::ALineSkirt);
    bench.write(&Entry::text("garment", "sleeve"), "long");
    bench.write(&Entry::text("rules", "front_neck_depth"), "13 cm");
    bench.step = Step::Garment;
    assert!(bench.work().drawn.is_none(), "a skirt has no sleeve");
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    for left in ["Sleeve", "Front neck depth"] {
        harness.get_by_role_and_label(Role::TextInput, left);
    }
    let bench = harness.state_mut();
    bench.write(&Entry::text("garment", "sleeve"), "");
    bench.write(&Entry::text("rules", "front_neck_depth"), "");
    assert!(bench.work().drawn.is_some(), "{:?}", bench.work().remarks);
}

#[test]
fn a_size_stands_in_until_she_is_measured() {
    let mut harness = bench_at(Bench::new(Habits::default(), None), [1280.0, 1400.0]);
    harness.run();
    harness.get_by_role_and_label(Role::ComboBox, "Size table").focus();
    harness.run();
    harness.key_press(Key::ArrowDown);
    harness.run();
    assert!(harness.state().paper().text().contains("from_size = \"us-misses-1967 14\""));
    harness.get_by_role_and_label(Role::ComboBox, "Size").focus();
    harness.run();
    harness.key_press(Key::ArrowUp);
    harness.run();
    assert!(harness.state().paper().text().contains("from_size = \"us-misses-1967 12\""));
    harness.state_mut().write(&Entry::text("garment", "length"), "104 cm");
    harness.run();
    let order = harness.state().work().order.as_ref().expect("an order");
    // 34 in, the US misses table of 1967.
    assert_eq!(order.body.get(Measure::Bust), Some(34.0 * 25.4));
    assert!(harness.query_by_label("Needed for this garment.").is_none());
}

#[test]
fn enter_goes_on_from_a_field_to_a_list_and_leaves_it_closed() {
    let mut bench = with_order();
    bench.step = Step::Garment;
    let mut harness = bench_at(bench, [1280.0, 900.0]);
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, "Length").focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(focused(&harness).as_deref(), Some("Neckline"));
    assert!(harness.query_by_role_and_label(Role::Button, "Sweetheart").is_none(), "the list stays closed");
}
