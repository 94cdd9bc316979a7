//! The bench without a window: what she types, taps and presses, and what a screen reader is told.

mod access;
mod cloth;
mod cutting;
mod files;
mod job;
mod lit;
mod looks;
mod proof;
mod shorter;
mod table;

use chalklight::bench::view;
use chalklight::bench::{Bench, Habits, look};
use egui_kittest::{Harness, kittest::Queryable};

/// The demo's order.
const ORDER: &str = include_str!("../../src/command/demo/order.toml");

/// The demo's order, on whatever fold spends least.
fn on_any_fold() -> String {
    ORDER.replace("fold = \"lengths\"", "")
}

/// A bench in a window of that size, in points.
fn bench_at(bench: Bench, size: [f32; 2]) -> Harness<'static, Bench> {
    Harness::builder()
        .with_size(size)
        .with_context_setup(look::prepare)
        .with_max_steps(20)
        .build_ui_state(view::show, bench)
}

/// An empty bench.
fn empty() -> Harness<'static, Bench> {
    bench_at(Bench::new(Habits::default(), None), [1280.0, 720.0])
}

/// A bench with the demo's order on it.
fn with_order() -> Bench {
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("order.toml".as_ref(), ORDER);
    bench
}

/// Types into the field of that name, from empty.
fn type_into(harness: &mut Harness<'static, Bench>, field: &str, text: &str) {
    harness.get_by_role_and_label(egui::accesskit::Role::TextInput, field).focus();
    harness.run();
    harness.get_by_role_and_label(egui::accesskit::Role::TextInput, field).type_text(text);
    harness.run();
}
