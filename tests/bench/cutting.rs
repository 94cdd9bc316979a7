//! The running session looked on from the bench: its stage and its stages, in a light that is smaller than the cloth.

use chalklight::bench::model::Step;
use chalklight::bench::{Bench, Habits};
use chalklight::scene::{Room, Side, View, Way};
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Ground, Session, Work};
use chalklight::table::{KeptTable, TrustedTable};
use chalklight::units::System;
use egui_kittest::{Harness, kittest::Queryable};

use super::{bench_at, cloth, on_any_fold, with_order};
use crate::sessions::TABLE;

/// The dress with long sleeves and the tests' table, laid by a search.
fn with_long_sleeves() -> Bench {
    let mut bench = Bench::new(Habits::default(), None);
    let order = on_any_fold().replace("[garment]", "arm_length = \"58 cm\"\n[garment]\nsleeve = \"long\"");
    bench.opened("order.toml".as_ref(), &order.replace("length = \"3 m\"\n", ""));
    bench.opened("table.toml".as_ref(), TABLE);
    cloth::lay(&mut bench);
    bench.step = Step::Cut;
    bench.cutting = true;
    bench
}

/// The view of a table from its right side.
fn from_the_right(kept: &KeptTable, system: System) -> View {
    let room = Room::in_lit_area(kept.table.lit_corners_mm().expect("a lit area"));
    View { band: Side::Right, reads: Side::Right, ..View::of(room, system, Way::LightOnDark) }
}

/// A session of what lies on the bench, laid from the right, and what it belongs to.
fn session_of(bench: &Bench) -> (Session, Belongs) {
    let lay = &bench.work().laid.as_ref().expect("a lay").lay;
    let kept = bench.table().expect("a table").kept.clone();
    let view = from_the_right(&kept, lay.system);
    let work = Work::of(lay, &view).unwrap_or_else(|no| panic!("{no}"));
    let belongs = Belongs::of("an order", &work, &kept);
    (Session::begin(Ground::Trusted(TrustedTable::by_her_yes(kept)), work, view), belongs)
}

/// The session as it is at a step.
fn at(session: &Session, step: usize) -> Session {
    let mut state = session.state().clone();
    (state.step, state.farthest) = (step, step);
    let (kept, work) = (session.table().clone(), session.work().clone());
    let view = from_the_right(&kept, work.lay.system);
    Session::begin_at(Ground::Trusted(TrustedTable::by_her_yes(kept)), work, view, state)
}

fn harness(bench: Bench) -> Harness<'static, Bench> {
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness
}

#[test]
fn the_stage_that_is_shown_is_the_one_that_is_cut() {
    let mut bench = with_long_sleeves();
    let lit_at_once = bench.stages().len();
    let (session, belongs) = session_of(&bench);
    let count = session.work().stages.len();
    assert!(session.work().plan.reaches.len() > 1 && count > lit_at_once, "{count} of {lit_at_once}");
    for step in 0..session.work().steps.len() {
        let here = at(&session, step);
        bench.session_kept(&file::write(&here, &belongs));
        assert_eq!(bench.cutting_at, Some(here.number()));
        assert_eq!(bench.stages().get(bench.stage), Some(here.stage()), "step {step}");
        assert_eq!(bench.stages().len(), count);
    }
    let mut harness = harness(bench);
    harness.get_by_label_contains(&format!("under way, at stage {count} of {count}."));
    harness.get_by_label_contains(&format!("Stage {count}, notches and marks"));
    // When it is over the stages are those of the lay again.
    harness.state_mut().cutting_at = None;
    assert_eq!(harness.state().stages().len(), lit_at_once);
}

#[test]
fn of_a_session_of_another_lay_only_the_number_is_told() {
    let mut bench = with_order();
    bench.step = Step::Cut;
    bench.cutting = true;
    bench.session_kept("no place at all");
    assert_eq!((bench.cutting_at, bench.stage), (None, 0));
    // As an older version of the program kept it.
    bench.session_kept(
        "version = 1\n[belongs]\norder = \"0\"\nlay = \"0\"\ntable = \"0\"\n[place]\nstep = 5\nstage = 4\n\
         at_mm = [1.0, 2.0]\nturn_rad = 0.0\nchalked = []\n[look]\nway = \"light-on-dark\"\ncolour = \"white\"\n\
         label_size = 0\nhidden = []\nreads_from = \"front\"\nlaid_from = \"front\"\n",
    );
    assert_eq!((bench.cutting_at, bench.stage), (Some(4), 0));
    let harness = harness(bench);
    harness.get_by_label_contains("A cutting session is under way, at stage 4.");
}
