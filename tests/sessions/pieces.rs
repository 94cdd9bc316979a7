//! Pieces moved on the cloth at the table: along their length within its room, kept for every later stage, and not any
//! more once something is cut.

use chalklight::geometry::{Cloth, Point};
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Doing, Event, Session, trace};
use chalklight::stages::LineKind;

use super::desk::{answer, session};

const RIGHT: Event = Event::Nudge { right: 1, away: 0, long: false };
const FAR_RIGHT: Event = Event::Nudge { right: 1, away: 0, long: true };
const AWAY: Event = Event::Nudge { right: 0, away: 1, long: false };

fn said(session: &Session) -> String {
    session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect()
}

/// The lowest and highest place along of what a stage cuts or shows of the piece on top.
fn cut_from_mm(session: &Session, stage: usize) -> Point<Cloth> {
    let lines = session.work().stages[stage].lines.iter().filter(|line| line.kind == LineKind::Cut);
    let low = Point::new(f64::MAX, f64::MAX);
    lines.flat_map(|line| &line.points).fold(low, |low, p| low.min(*p))
}

#[test]
fn a_piece_is_moved_and_every_later_stage_follows() {
    let mut session = session(true);
    let first = session.state().clone();
    let before: Vec<_> = session.work().stages.iter().map(|stage| stage.lines.clone()).collect();
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT, RIGHT, RIGHT, RIGHT]);
    assert_eq!(session.state().shifts_mm, [13.0, 0.0]);
    assert!(
        said(&session).contains("Moving the back on the cloth: 1.3 cm on; it can lie from 0 cm to 3 cm"),
        "{}",
        said(&session)
    );
    assert_eq!(session.state().pose, first.pose, "the cloth stays");
    let stages = &session.work().stages;
    assert!(stages.iter().zip(&before).skip(2).all(|(stage, before)| stage.lines != *before), "a stage did not follow");
    assert_eq!(stages[0].lines, before[0], "the cloth is folded as before");
    answer(&mut session, &[Event::MovePiece, RIGHT, Event::Confirm]);
    assert_eq!((session.state().shifts_mm.clone(), session.state().doing.clone()), (vec![13.0, 1.0], Doing::Cutting));
    let moved = session.work().clone();
    for _ in 0..8 {
        session.answer(Event::Undo);
    }
    assert_eq!(*session.state(), first, "undo gives back the exact earlier state");
    assert!(*session.work() != moved && session.work().stages.iter().map(|stage| &stage.lines).eq(&before));
}

#[test]
fn both_pieces_moved_alike_move_every_cut_alike() {
    let mut session = session(true);
    let before = cut_from_mm(&session, 2);
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT, Event::MovePiece, FAR_RIGHT, Event::MovePiece]);
    assert_eq!(session.state().doing, Doing::Cutting);
    let after = cut_from_mm(&session, 2);
    assert!((after.x - before.x - 10.0).abs() < 1e-3 && (after.y - before.y).abs() < 1e-3, "{before:?} {after:?}");
}

#[test]
fn a_piece_does_not_leave_its_length_or_the_fold_and_says_why() {
    let mut session = session(true);
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT, FAR_RIGHT, FAR_RIGHT, FAR_RIGHT]);
    assert_eq!(session.state().shifts_mm[0], 30.0, "no farther than the room");
    assert!(said(&session).contains("1 cm more needs 2 cm more cloth"), "{}", said(&session));
    session.answer(AWAY);
    assert_eq!(session.state().shifts_mm[0], 30.0);
    assert!(said(&session).contains("lies on the fold"), "{}", said(&session));
    for _ in 0..4 {
        session.answer(Event::Nudge { right: -1, away: 0, long: true });
    }
    assert_eq!(session.state().shifts_mm[0], 0.0, "no farther back than the cut end");
    assert!(said(&session).contains("past the cut end"), "{}", said(&session));
}

#[test]
fn on_a_turned_table_a_piece_still_goes_along_the_fold() {
    let mut session = session(true);
    // Text turned to the right side: what she sees as away from her runs along the cloth, against it.
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT, Event::Side, Event::Nudge { right: 0, away: 2, long: false }]);
    assert_eq!(session.state().shifts_mm[0], 8.0);
    session.answer(RIGHT);
    assert!(said(&session).contains("lies on the fold") && session.state().shifts_mm[0] == 8.0);
}

#[test]
fn what_is_cut_is_not_moved() {
    let mut session = session(true);
    while session.number() < 4 {
        session.answer(Event::Next);
        session.answer(Event::Confirm);
    }
    while session.state().doing != Doing::Cutting {
        session.answer(Event::Confirm);
    }
    let state = session.state().clone();
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT]);
    assert_eq!(session.state().shifts_mm, state.shifts_mm);
    assert!(said(&session).contains("Pieces stay where they are"), "{}", said(&session));
    session.answer(Event::Leave);
    assert_eq!(*session.state(), state);
}

#[test]
fn a_moved_piece_is_saved_traced_and_taken_up() {
    let start = session(true);
    let belongs = Belongs::of("an order", start.work(), start.table());
    let events = [Event::MovePiece, FAR_RIGHT, RIGHT, Event::MovePiece, RIGHT, Event::Leave, Event::Next, Event::Next];
    let mut session = start.clone();
    answer(&mut session, &events);
    let text = file::write(&session, &belongs);
    let state = file::read(&text).unwrap().state(&belongs, start.work()).unwrap();
    assert_eq!(state, *session.state());
    let lines: Vec<String> = events.iter().map(Event::to_string).collect();
    let told =
        trace::read(&format!("{}{}\n", trace::head(&file::write(&start, &belongs), false), lines.join("\n"))).unwrap();
    let mut again = start.clone();
    trace::replay(&mut again, &told.events);
    assert_eq!((again.state(), again.work()), (session.state(), session.work()));
    // A place from before pieces could be moved is taken up as the order lays them; one that lies nowhere is not.
    let older: String =
        text.lines().filter(|line| !line.starts_with("shifts_mm")).map(|line| format!("{line}\n")).collect();
    let state = file::read(&older).unwrap().state(&belongs, start.work()).unwrap();
    assert_eq!(state.shifts_mm, [0.0, 0.0]);
    let off = text.replace("shifts_mm = [11.0", "shifts_mm = [1100.0");
    let no = file::read(&off).unwrap().state(&belongs, start.work()).unwrap_err().to_string();
    assert!(off != text && no.contains("don't lie so on this cloth"), "{no}");
}
