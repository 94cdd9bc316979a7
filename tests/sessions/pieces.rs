//! Pieces moved on the cloth at the table: along their length within its room, or among the others where they lie side by
//! side, kept for every later stage, and not any more once something is cut. Whether they may lie there is reckoned here by
//! points of their outlines.

use chalklight::geometry::{Cloth, Outline, Point, Vector};
use chalklight::scene::Side;
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Change, Doing, Event, Ground, Session, Work, trace};
use chalklight::stages::LineKind;
use chalklight::table::TrustedTable;

use super::desk::{Chance, answer, session, table, view};
use super::side_by_side::lays;

const RIGHT: Event = Event::Nudge { right: 1, away: 0, long: false };
const FAR_RIGHT: Event = Event::Nudge { right: 1, away: 0, long: true };
const AWAY: Event = Event::Nudge { right: 0, away: 1, long: false };

fn said(session: &Session) -> String {
    session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect()
}

/// How far on each piece lies.
fn along_mm(session: &Session) -> Vec<f64> {
    assert!(session.state().shifts_mm.iter().all(|shift_mm| shift_mm.y == 0.0));
    session.state().shifts_mm.iter().map(|shift_mm| shift_mm.x).collect()
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
    assert_eq!(along_mm(&session), [13.0, 0.0]);
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
    assert_eq!((along_mm(&session), session.state().doing.clone()), (vec![13.0, 1.0], Doing::Cutting));
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
    assert_eq!(along_mm(&session)[0], 30.0, "no farther than the room");
    assert!(said(&session).contains("1 cm more needs 2 cm more cloth"), "{}", said(&session));
    session.answer(AWAY);
    assert_eq!(along_mm(&session)[0], 30.0);
    assert!(said(&session).contains("lies on the fold"), "{}", said(&session));
    for _ in 0..4 {
        session.answer(Event::Nudge { right: -1, away: 0, long: true });
    }
    assert_eq!(along_mm(&session)[0], 0.0, "no farther back than the cut end");
    assert!(said(&session).contains("past the cut end"), "{}", said(&session));
}

#[test]
fn on_a_turned_table_a_piece_still_goes_along_the_fold() {
    let mut session = session(true);
    // Text turned to the right side: what she sees as away from her runs along the cloth, against it.
    answer(&mut session, &[Event::MovePiece, FAR_RIGHT, Event::Side, Event::Nudge { right: 0, away: 2, long: false }]);
    assert_eq!(along_mm(&session)[0], 8.0);
    session.answer(RIGHT);
    assert!(said(&session).contains("lies on the fold") && along_mm(&session)[0] == 8.0);
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
    assert_eq!(state.shifts_mm, [Vector::zero(); 2]);
    let off = text.replace("shifts_mm = [11.0", "shifts_mm = [1100.0");
    let no = file::read(&off).unwrap().state(&belongs, start.work()).unwrap_err().to_string();
    assert!(off != text && no.contains("don't lie so on this cloth"), "{no}");
}

/// A session of pieces side by side, all of them lit.
fn by_side(lay: &chalklight::lay::Lay) -> Session {
    let lit_mm = [lay.length_mm + 120.0, lay.folded_width_mm + 220.0];
    let view = view(lit_mm, Side::Front);
    let work = Work::of(lay, &view).unwrap();
    assert!(work.plan.moves.is_empty());
    Session::begin(Ground::Trusted(TrustedTable::by_her_yes(table(lit_mm))), work, view)
}

fn cuts(session: &Session) -> Vec<Outline<Cloth>> {
    session.work().lay.placed.iter().map(|placed| placed.cut()).collect()
}

/// No corner of a piece lies deeper than rounding within another, and all are on the cloth.
fn assert_apart(session: &Session) {
    let (cuts, cloth) = (cuts(session), session.work().cloth.high_mm);
    for (i, cut) in cuts.iter().enumerate() {
        for p in &cut.corners {
            assert!(
                p.x > -1e-3 && p.y > -1e-3 && p.x < cloth.x + 1e-3 && p.y < cloth.y + 1e-3,
                "{p:?} is off the cloth"
            );
            let over = cuts.iter().enumerate().filter(|(j, other)| *j != i && other.contains(*p));
            for (j, other) in over {
                assert!(other.distance_mm(*p) < 0.02, "piece {i} lies over piece {j} at {p:?}");
            }
        }
    }
}

#[test]
fn pieces_side_by_side_are_moved_as_far_as_the_lay_allows_and_every_later_stage_follows() {
    let mut chance = Chance::of(3);
    let (mut moved, mut held) = (0, 0);
    for lay in lays().into_iter().skip(2) {
        let mut session = by_side(&lay);
        let (first, before) = (session.state().clone(), cuts(&session));
        for piece in 0..lay.placed.len() {
            session.answer(Event::MovePiece);
            assert!(matches!(session.state().doing, Doing::Placing { piece: at, .. } if at == piece));
            for _ in 0..4 {
                let (right, away) = [(1, 0), (-1, 0), (0, 1), (0, -1)][chance.below(4) as usize];
                let from = session.state().shifts_mm[piece];
                session.answer(Event::Nudge { right, away, long: chance.below(2) == 0 });
                assert_apart(&session);
                let Doing::Placing { hindered, .. } = &session.state().doing else { panic!("let go") };
                if session.state().shifts_mm[piece] == from {
                    assert!(hindered.is_some(), "it stays without a word");
                    held += 1;
                } else {
                    moved += 1;
                }
            }
        }
        // Every piece lies where it was moved, and no other way.
        for ((now, before), shift_mm) in cuts(&session).iter().zip(&before).zip(&session.state().shifts_mm) {
            let off = |(a, b): (&Point<Cloth>, &Point<Cloth>)| (*a - *b - *shift_mm).length();
            assert!(now.corners.iter().zip(&before.corners).map(off).fold(0.0, f64::max) < 1e-9);
        }
        // Every later stage cuts the pieces there.
        let cuts = cuts(&session);
        for stage in &session.work().stages {
            let cut = stage.lines.iter().filter(|line| line.kind == LineKind::Cut).flat_map(|line| &line.points);
            for p in cut {
                assert!(cuts.iter().any(|cut| cut.distance_mm(*p) < 1e-6), "{p:?} of {} is no edge", stage.title);
            }
        }
        // The place is saved and read again, and undo leads back to the beginning.
        let belongs = Belongs::of("an order", by_side(&lay).work(), session.table());
        let text = file::write(&session, &belongs);
        let state = file::read(&text).unwrap().state(&belongs, by_side(&lay).work()).unwrap();
        assert_eq!(state.shifts_mm, session.state().shifts_mm);
        while session.answer(Event::Undo) != Change::Nothing {}
        assert_eq!((session.state(), session.work()), (&first, by_side(&lay).work()));
    }
    assert!(moved > 10 && held > 10, "{moved} moved, {held} held");
}

#[test]
fn what_holds_a_piece_among_others_is_said() {
    let lay = lays().swap_remove(0);
    let mut session = by_side(&lay);
    answer(&mut session, &[Event::MovePiece, Event::Nudge { right: -1, away: 0, long: true }]);
    let says = said(&session);
    assert!(says.contains("on the cloth: 0 cm on, 0 cm across") && says.contains("M: the next piece"), "{says}");
    assert!(says.contains("would lie over the") || says.contains("would not be all on the cloth"), "{says}");
    // What is on the fold stays on it.
    if let Some(piece) = lay.placed.iter().position(|placed| placed.piece.on_fold) {
        let mut session = by_side(&lay);
        answer(&mut session, &vec![Event::MovePiece; piece + 1]);
        session.answer(AWAY);
        assert!(said(&session).contains("would not lie on the fold"), "{}", said(&session));
    }
    // When something is cut, it is cut where it lies.
    let mut session = by_side(&lay);
    answer(&mut session, &[Event::Next, Event::Next, Event::Next, Event::MovePiece, FAR_RIGHT]);
    assert!(said(&session).contains("Pieces stay where they are"), "{}", said(&session));
}

/// On the table there is no file to write into.
#[test]
fn why_a_piece_goes_no_farther_is_said_without_the_signs_of_a_file() {
    let mut session = session(true);
    session.answer(Event::MovePiece);
    for _ in 0..40 {
        session.answer(Event::Nudge { right: 1, away: 0, long: true });
    }
    let Doing::Placing { hindered: Some(why), .. } = &session.state().doing else { panic!("nothing holds it") };
    let remedy = why.remedy.as_deref().expect("what to do");
    assert!(remedy.contains("of room at their ends") && !remedy.contains(['=', '[', '"']), "{remedy}");
}
