//! Taken up again, and gone back: whether the cloth is laid only to what is still there of it. What was cut is reckoned
//! here from the stages that are over, by containment and distance alone.

use super::desk::{LIT_MM, LONG, laid, table, view};
use super::side_by_side::lays;
use chalklight::geometry::{Cloth, Outline, Point};
use chalklight::lay::{Fold, Lay};
use chalklight::scene::Side;
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Alignment, Anchor, Change, Doing, Event, Ground, Session, Why, Work};
use chalklight::stages::LineKind;
use chalklight::table::TrustedTable;

/// What lies on a line to within this lies on it.
const ON_MM: f64 = 0.6;

fn session(lay: &Lay, lit_mm: [f64; 2]) -> Session {
    let view = view(lit_mm, Side::Front);
    let work = Work::of(lay, &view).unwrap();
    Session::begin(Ground::Trusted(TrustedTable::by_her_yes(table(lit_mm))), work, view)
}

/// The session as it is taken up after a power cut.
fn taken_up(session: &Session, lit_mm: [f64; 2]) -> Session {
    let belongs = Belongs::of("an order", session.work(), session.table());
    let saved = file::read(&file::write(session, &belongs)).unwrap();
    let state = saved.state(&belongs, session.work()).unwrap();
    let ground = Ground::Trusted(TrustedTable::by_her_yes(table(lit_mm)));
    Session::resume(ground, session.work().clone(), view(lit_mm, Side::Front), state)
}

/// The outlines along which cloth was cut in stages that are over when so many steps are done.
fn cut(work: &Work, done: usize) -> Vec<Outline<Cloth>> {
    let is_over =
        |stage: usize| work.steps.iter().enumerate().all(|(i, step)| i < done || step.stage != stage || step.passing);
    let cuts = |stage: usize| {
        let apart = work.lay.fold == Fold::LengthsOnTheirCentre && work.stages[stage].sentence.starts_with("Lay the");
        !apart && work.stages[stage].lines.iter().any(|line| line.kind == LineKind::Cut)
    };
    let over = (0..work.stages.len()).filter(|stage| is_over(*stage) && cuts(*stage));
    over.map(|stage| work.stages[stage].shape.clone()).collect()
}

/// Whether a place is no longer cloth: outside of what whole lengths were cut down to, or within a piece that was cut out.
fn is_gone(work: &Work, cut: &[Outline<Cloth>], p: Point<Cloth>) -> bool {
    match work.lay.fold {
        Fold::LengthsOnTheirCentre => {
            cut.last().is_some_and(|shape| !shape.contains(p) && shape.distance_mm(p) > ON_MM)
        }
        _ => cut.iter().any(|piece| piece.contains(p) && piece.distance_mm(p) > ON_MM),
    }
}

/// Whether a place lies on an edge that she can see: of the cloth, or along a cut.
fn is_edge(work: &Work, cut: &[Outline<Cloth>], p: Point<Cloth>) -> bool {
    let (along, across) = (work.lay.length_mm, work.lay.folded_width_mm);
    let folds = work.lay.fold.zones(work.lay.cloth.width_mm);
    let level = [0.0, across].into_iter().chain(folds.iter().flat_map(|zone| zone.across_mm));
    let ends = [0.0].into_iter().chain((work.lay.fold == Fold::LengthsOnTheirCentre).then_some(along));
    level.chain(folds.iter().filter_map(|zone| zone.fold_mm())).any(|y_mm| (p.y - y_mm).abs() < ON_MM)
        || ends.into_iter().any(|x_mm| (p.x - x_mm).abs() < ON_MM)
        || cut.iter().any(|outline| outline.distance_mm(p) < ON_MM)
}

fn alignment(session: &Session) -> Alignment {
    match &session.state().doing {
        Doing::Aligning(alignment) => *alignment,
        other => panic!("no cross is being met: {other:?}"),
    }
}

/// Her two places and the edges that are thrown are there, so far as `done` steps are done.
fn assert_there(session: &Session, done: usize) {
    let (work, now) = (session.work(), alignment(session));
    let done = if let Anchor::Corners { done } = now.anchor { done } else { done };
    let cut = cut(work, done);
    let what = format!("{:?} at stage {}, {}", now.anchor, session.number(), session.stage().title);
    for mark in now.marks {
        match now.anchor {
            Anchor::Crosses { of_move } => {
                assert!(session.state().chalked[of_move], "{what}");
                assert!(!is_gone(work, &cut, mark), "{mark:?} was cut away: {what}");
            }
            Anchor::Fold { .. } | Anchor::FarEdge => {
                assert!(cut.is_empty() && is_edge(work, &cut, mark), "the corner of the cloth was cut off: {what}");
            }
            Anchor::Corners { .. } => {
                assert!(!is_gone(work, &cut, mark) && is_edge(work, &cut, mark), "{mark:?} is no corner: {what}");
            }
            Anchor::Edges => {}
        }
    }
    for edge in work.rest(done).edges {
        for side in edge.points.windows(2) {
            let middle = side[0].lerp(side[1], 0.5);
            assert!(
                !is_gone(work, &cut, middle) && is_edge(work, &cut, middle),
                "{middle:?} of no edge is thrown: {what}"
            );
        }
    }
}

#[test]
fn a_session_is_taken_up_by_what_is_still_there() {
    let mut found = [0; 4];
    let stack = [(laid(LONG), LIT_MM), (laid(LONG), [1700.0, 950.0]), (laid(LONG), [700.0, 560.0])];
    let by_side = lays().into_iter().flat_map(|lay| [(lay.clone(), [1200.0, 800.0]), (lay, [2400.0, 1400.0])]);
    for (lay, lit_mm) in stack.into_iter().chain(by_side) {
        let mut session = session(&lay, lit_mm);
        for _ in 0..200 {
            if session.state().doing == Doing::Cutting {
                let mut resumed = taken_up(&session, lit_mm);
                assert_eq!(resumed.pose(), session.pose());
                let asked = alignment(&resumed);
                assert_eq!(asked.why, Why::Resumed);
                // Every kind of places that she is offered is there.
                for _ in 0..5 {
                    assert_there(&resumed, session.state().farthest);
                    found[match alignment(&resumed).anchor {
                        Anchor::Crosses { .. } => 0,
                        Anchor::Fold { .. } | Anchor::FarEdge => 1,
                        Anchor::Corners { .. } => 2,
                        Anchor::Edges => 3,
                    }] += 1;
                    resumed.answer(Event::SetPlace);
                }
                resumed.answer(Event::Confirm);
                resumed.answer(Event::Confirm);
                assert_eq!((&resumed.state().doing, resumed.pose()), (&Doing::Cutting, session.pose()));
            }
            if session.answer(Event::Next) == Change::Nothing {
                break;
            }
        }
    }
    let [crosses, fold, corners, edges] = found;
    assert!(crosses > 50 && fold > 50 && corners > 50, "{found:?}");
    println!("laid by {crosses} crosses, {fold} folds, {corners} corners, {edges} edges");
    assert!(edges * 10 < crosses + fold + corners, "too often nothing to measure by: {found:?}");
}

#[test]
fn going_back_over_a_move_asks_for_nothing_that_was_cut_away() {
    let (mut crosses, mut others) = (0, 0);
    for lay in lays().into_iter().chain([laid(LONG)]) {
        let mut session = session(&lay, [1200.0, 800.0]);
        while session.answer(Event::Next) != Change::Nothing {}
        let farthest = session.state().farthest;
        assert_eq!(farthest + 1, session.work().steps.len());
        while session.answer(Event::Back) != Change::Nothing {
            let Doing::Aligning(now) = session.state().doing else { continue };
            assert!(matches!(now.why, Why::Moved { .. }));
            assert_there(&session, farthest);
            if matches!(now.anchor, Anchor::Crosses { .. }) {
                crosses += 1
            } else {
                others += 1
            }
            session.answer(Event::Confirm);
            session.answer(Event::Confirm);
            assert_eq!(session.state().farthest, farthest, "what is cut stays cut");
        }
        assert_eq!(session.state().step, 0);
    }
    assert!(crosses > 0 && others > 0, "{crosses} {others}");
}

#[test]
fn what_she_is_told_on_taking_up_names_what_is_there() {
    let mut session = session(&laid(LONG), [1700.0, 950.0]);
    let says = |session: &Session| {
        let letters = taken_up(session, [1700.0, 950.0]).scene().on_table.letters;
        letters.iter().map(|line| format!("{} ", line.text)).collect::<String>()
    };
    assert!(says(&session).contains("the corner where the fold meets the cut end"), "{}", says(&session));
    for _ in 0..3 {
        session.answer(Event::Next);
    }
    assert!(session.stage().title.contains("lift"), "{}", session.stage().title);
    let told = says(&session);
    assert!(told.contains("corner of what is left") && !told.contains("cut end"), "{told}");
}
