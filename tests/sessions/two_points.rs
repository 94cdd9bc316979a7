//! Two crosses: the cloth's place set by the fold, and a move measured, against least squares by another library and
//! against simulated hands.

use nalgebra::{Matrix2, Vector2};

use super::desk::{Chance, LONG, answer, laid, rigid, session, step_to, table, view};
use chalklight::geometry::{Cloth, Point, Table};
use chalklight::scene::{Pose, Side};
use chalklight::session::{Alignment, Anchor, Change, Doing, Event, Ground, Session, Why, Work};
use chalklight::table::TrustedTable;

fn alignment(session: &Session) -> Alignment {
    match &session.state().doing {
        Doing::Aligning(alignment) => *alignment,
        other => panic!("no cross is being met: {other:?}"),
    }
}

/// Where the cross that is being met is thrown.
fn thrown(session: &Session) -> Point<Table> {
    let now = alignment(session);
    session.pose().table_from_cloth().transform_point(now.marks[usize::from(now.second)])
}

/// The rigid move of least squares by singular values (Arun, Huang, Blostein 1987, from memory), on nalgebra's SVD.
fn least_squares(from: [Point<Cloth>; 2], to: [Point<Table>; 2]) -> ([f64; 2], f64) {
    let middle = |p: [(f64, f64); 2]| Vector2::new((p[0].0 + p[1].0) / 2.0, (p[0].1 + p[1].1) / 2.0);
    let (p, q) = (from.map(|p| p.to_tuple()), to.map(|q| q.to_tuple()));
    let (pm, qm) = (middle(p), middle(q));
    let mut h = Matrix2::zeros();
    for (p, q) in p.iter().zip(&q) {
        h += (Vector2::new(p.0, p.1) - pm) * (Vector2::new(q.0, q.1) - qm).transpose();
    }
    let svd = h.svd(true, true);
    let (u, vt) = (svd.u.unwrap(), svd.v_t.unwrap());
    let d = (vt.transpose() * u.transpose()).determinant().signum();
    let r = vt.transpose() * Matrix2::new(1.0, 0.0, 0.0, d) * u.transpose();
    let at = qm - r * pm;
    ([at.x, at.y], r[(1, 0)].atan2(r[(0, 0)]))
}

#[test]
fn two_chalked_crosses_give_the_least_squares_place() {
    let mut chance = Chance::of(1);
    for _ in 0..500 {
        let mut p = || Point::new(1500.0 * chance.share(), 600.0 * chance.share());
        let (a, b) = (p(), p());
        let expected = Pose { at_mm: Point::new(-40.0, 30.0), turn_rad: 0.2 };
        let mut met = Alignment::begin(Why::Asked, Anchor::Crosses { of_move: 0 }, [a, b], expected);
        for at in &mut met.at {
            *at += euclid::Vector2D::new(50.0 * chance.normal(), 50.0 * chance.normal());
        }
        let (at, turn) = least_squares([a, b], met.at);
        let pose = met.pose();
        assert!((pose.at_mm.x - at[0]).abs() < 1e-8 && (pose.at_mm.y - at[1]).abs() < 1e-8, "{pose:?} {at:?}");
        assert!((pose.turn_rad - turn).sin().abs() < 1e-11, "{pose:?} {turn}");
    }
}

#[test]
fn a_cross_goes_where_she_clicks_and_never_into_the_dark() {
    let mut session = session(true);
    session.answer(Event::Point(Point::new(300.0, 300.0)));
    assert!(!session.asks_for_a_place() && session.state().doing == Doing::Cutting, "a click alone moves nothing");
    session.answer(Event::SetPlace);
    assert!(session.asks_for_a_place());
    let at = Point::new(321.5, 87.25);
    session.answer(Event::Point(at));
    assert!((thrown(&session) - at).length() < 1e-9);
    session.answer(Event::Point(Point::new(5000.0, 87.25)));
    assert!((thrown(&session) - at).length() < 1e-9, "outside of the light it stays where it was");
    session.answer(Event::Confirm);
    let far = Point::new(1000.0, 120.0);
    session.answer(Event::Point(far));
    assert!((thrown(&session) - far).length() < 1e-9);
    session.answer(Event::Confirm);
    let [corner, end] = [session.pose(); 2].map(|pose| pose.table_from_cloth());
    let along = end.transform_point(Point::new(1.0, 0.0)) - corner.transform_point(Point::origin());
    assert!((corner.transform_point(Point::origin()) - at).length() < 1e-9);
    assert!(along.cross((far - at).normalize()).abs() < 1e-9, "the fold does not run through the second click");
    session.answer(Event::Pause);
    assert!(!session.asks_for_a_place());
}

#[test]
fn a_second_click_is_for_the_other_end() {
    let mut session = session(true);
    session.answer(Event::SetPlace);
    let far = Point::new(1000.0, 120.0);
    session.answer(Event::Point(far));
    assert!(
        !alignment(&session).second && (thrown(&session) - far).length() < 1e-9,
        "the first click is for the corner"
    );
    let (roughly, corner) = (Point::new(330.0, 90.0), Point::new(321.5, 87.25));
    for at in [roughly, corner] {
        session.answer(Event::Point(at));
        assert!(!alignment(&session).second && (thrown(&session) - at).length() < 1e-9, "near the corner it is mended");
    }
    let before = session.state().clone();
    session.answer(Event::Point(far));
    assert!(alignment(&session).second && (thrown(&session) - far).length() < 1e-9, "the other end is meant");
    let after = session.state().clone();
    session.answer(Event::Undo);
    assert_eq!(*session.state(), before, "undo takes the whole click back");
    session.answer(Event::Point(far));
    assert_eq!(*session.state(), after);
    session.answer(Event::Confirm);
    assert_eq!(session.state().doing, Doing::Cutting, "one enter takes both");
    let pose = session.pose().table_from_cloth();
    let along = pose.transform_vector(euclid::Vector2D::new(1.0, 0.0));
    assert!((pose.transform_point(Point::origin()) - corner).length() < 1e-9);
    assert!(along.cross((far - corner).normalize()).abs() < 1e-9, "the fold does not run through the second click");
}

/// The words that are thrown.
fn said(session: &Session) -> String {
    let letters = &session.scene().on_table.letters;
    letters.iter().map(|line| line.text.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn lines_that_are_not_thrown_are_told_and_a_cross_comes_out_of_the_dark() {
    let mut session = session(true);
    assert!(!said(&session).contains("in the dark"), "{}", said(&session));
    for _ in 0..25 {
        session.answer(Event::Nudge { right: -1, away: 0, long: true });
    }
    assert!(said(&session).contains("lies in the dark"), "{}", said(&session));
    session.answer(Event::SetPlace);
    assert!(thrown(&session).x < 0.0, "{:?}", thrown(&session));
    assert!(said(&session).contains("outside the light"), "{}", said(&session));
    session.answer(Event::Nudge { right: 0, away: 1, long: false });
    // The edge of the light is known as well as the lens is undone.
    assert!(thrown(&session).x.abs() < 0.01, "{:?}", thrown(&session));
    assert!(!said(&session).contains("outside the light"), "{}", said(&session));
    session.answer(Event::Nudge { right: -1, away: 0, long: false });
    assert!(thrown(&session).x.abs() < 0.01, "in the light it stays in the light");
}

/// Of the grey neighbours and of what is cut in another reach some always lies outside; that is not told.
#[test]
fn work_that_lies_as_it_is_planned_is_never_in_the_dark() {
    for fold in ["lengths", "open", "half"] {
        let order = LONG.replace("\"lengths\"", &format!("\"{fold}\""));
        let view = view([1600.0, 900.0], Side::Front);
        let work = Work::of(&laid(&order), &view).expect("reaches");
        let steps = work.steps.len();
        let ground = Ground::Trusted(TrustedTable::by_her_yes(table([1600.0, 900.0])));
        let mut session = Session::begin(ground, work, view);
        for _ in 0..20 * steps {
            assert!(!said(&session).contains("in the dark"), "{fold}: {}", said(&session));
            session.answer(Event::Next);
        }
        assert_eq!(session.state().step, steps - 1, "{fold}: {}", said(&session));
    }
}

#[test]
fn the_fold_sets_the_place_by_its_corner_and_its_end() {
    let mut session = session(true);
    session.answer(Event::SetPlace);
    assert!(matches!(alignment(&session).anchor, Anchor::Fold { whole: false }));
    let before = session.pose();
    let (corner, on_fold) = (Point::new(63.0, 91.5), Point::new(1150.0, 110.0));
    step_to(&mut session, thrown, corner);
    assert!((thrown(&session) - corner).length() < 0.36, "half a step each way");
    let first = thrown(&session);
    session.answer(Event::Next);
    step_to(&mut session, thrown, on_fold);
    let second = thrown(&session);
    session.answer(Event::Next);
    assert_eq!(session.state().doing, Doing::Cutting);
    let pose = session.pose();
    assert!((pose.at_mm - first).length() < 1e-9, "the corner lies where it was stepped");
    let along = (second - first).normalize();
    assert!((pose.turn_rad.cos() - along.x).abs() < 1e-12 && (pose.turn_rad.sin() - along.y).abs() < 1e-12);
    for _ in 0..100 {
        session.answer(Event::Undo);
    }
    assert_eq!(session.pose(), before);
}

#[test]
fn crosses_confirmed_unstepped_keep_the_place_to_the_last_bit() {
    let mut session = session(true);
    answer(&mut session, &[Event::Nudge { right: 3, away: 1, long: false }, Event::Turn(7), Event::Turn(-2)]);
    let pose = session.pose();
    for events in [[Event::SetPlace, Event::Confirm, Event::Confirm], [Event::SetPlace, Event::Next, Event::Leave]] {
        answer(&mut session, &events);
        assert_eq!((session.pose(), &session.state().doing), (pose, &Doing::Cutting));
    }
}

#[test]
fn a_turned_cross_goes_about_the_first() {
    let mut session = session(true);
    session.answer(Event::SetPlace);
    let first = thrown(&session);
    answer(&mut session, &[Event::Turn(50), Event::Confirm, Event::Confirm]);
    assert!((session.pose().at_mm - first).length() < 1e-9);
    assert!((session.pose().turn_rad - 5.0_f64.to_radians()).abs() < 1e-12);
}

/// Goes on until the crosses of the first move are met.
fn to_the_move(session: &mut Session) {
    while !matches!(session.state().doing, Doing::Aligning(_)) {
        assert_ne!(session.answer(Event::Next), Change::Nothing, "there is no move");
    }
}

#[test]
fn a_move_by_hand_is_measured_and_taken_into_the_place() {
    let mut chance = Chance::of(11);
    for _ in 0..40 {
        let mut session = session(true);
        to_the_move(&mut session);
        let (before, asked) = (session.state().pose, alignment(&session));
        // She slides the cloth about as asked, some centimetres and degrees off.
        let wanted = asked.expected.at_mm - before.at_mm;
        let off = |chance: &mut Chance, by: f64| by * (2.0 * chance.share() - 1.0);
        let slid = rigid(off(&mut chance, 3.0), wanted.x + off(&mut chance, 30.0), wanted.y + off(&mut chance, 10.0));
        let truth = before.table_from_cloth().then(&slid);
        for mark in asked.marks {
            step_to(&mut session, thrown, truth.transform_point(mark));
            session.answer(Event::Confirm);
        }
        if alignment_is_doubted(&session) {
            session.answer(Event::Confirm);
        }
        assert_eq!(session.state().doing, Doing::Cutting);
        // Half-millimetre steps leave at most a quarter each way at either cross; at a lever of L over D it grows.
        let apart = (asked.marks[1] - asked.marks[0]).length();
        let middle = asked.marks[0].lerp(asked.marks[1], 0.5);
        let reach = session.work().reach(session.state().step);
        for corner in reach.own.corners() {
            let is = session.pose().table_from_cloth().transform_point(corner);
            let off_mm = (is - truth.transform_point(corner)).length();
            let most_mm = 0.25 * std::f64::consts::SQRT_2 * (1.0 + 2.0 * (corner - middle).length() / apart);
            assert!(off_mm <= most_mm, "{off_mm} mm off, at most {most_mm}");
        }
        let moved = session.state().moved.unwrap();
        let was = before.table_from_cloth().transform_point(middle);
        let by = truth.transform_point(middle) - was;
        assert!((moved.by_mm - by).length() < 0.36, "{moved:?} {by:?}");
        let said: String = session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect();
        assert!(said.contains("The cloth moved") && said.contains("95 in 100"), "{said}");
    }
}

fn alignment_is_doubted(session: &Session) -> bool {
    matches!(&session.state().doing, Doing::Aligning(alignment) if alignment.doubt.is_some())
}

#[test]
fn crosses_too_far_apart_are_looked_at_again() {
    let mut session = session(true);
    to_the_move(&mut session);
    let long = |right| Event::Nudge { right, away: 0, long: true };
    answer(&mut session, &[Event::Confirm, long(1), Event::Confirm]);
    assert!(alignment_is_doubted(&session), "10 mm too far apart is no chance");
    let said: String = session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect();
    assert!(said.contains("than they should"), "{said}");
    let mut again = session.clone();
    answer(&mut again, &[long(-1), Event::Confirm]);
    assert_eq!(again.state().doing, Doing::Cutting);
    session.answer(Event::Confirm);
    assert_eq!(session.state().doing, Doing::Cutting, "a second yes takes them");
}
