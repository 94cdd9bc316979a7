//! Has the projector been knocked? Three distances typed at the table: it holds, is corrected on her yes, or throws no
//! cutting line any more.

use chalklight::geometry::Point;
use chalklight::projector::{Cutting, Key, KeyName, Show};
use chalklight::scene::Side;
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Doing, Event, Found, Session};

use super::desk::{PROVING_MM, answer, measured_session, measured_session_in, measures, session};
use chalklight::units::System;

fn said(session: &Session) -> String {
    session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect()
}

fn throws_a_stage(session: &Session) -> bool {
    let cloth = session.scene().on_cloth;
    !(cloth.fills.is_empty() && cloth.strokes.is_empty() && cloth.letters.is_empty())
}

fn found(session: &Session) -> Option<Found> {
    match &session.state().doing {
        Doing::Measuring(measuring) => measuring.found,
        _ => None,
    }
}

/// How far apart the session's table says that two marks lie.
fn apart_mm(session: &Session, from: &str, to: &str) -> f64 {
    let marks = &session.table().record.as_ref().unwrap().marks;
    let at = |name: &str| session.table().table.mm_from_px(marks[&name.parse().unwrap()]).unwrap();
    (at(from) - at(to)).length()
}

#[test]
fn a_table_that_holds_goes_on_where_she_was() {
    let mut session = measured_session(true);
    answer(&mut session, &[Event::Next, Event::Nudge { right: 3, away: 1, long: false }]);
    let (state, scene) = (session.state().clone(), session.scene());
    answer(&mut session, &measures([1056.4, 593.8, 1212.0]));
    assert_eq!(found(&session), Some(Found::Holds));
    let told = said(&session);
    assert!(told.contains("The table holds") && told.contains("A1 to A5: 0.4 mm longer"), "{told}");
    session.answer(Event::Confirm);
    assert_eq!((session.state(), session.scene()), (&state, scene));
}

#[test]
fn only_two_marks_and_a_sentence_are_thrown_while_it_is_measured() {
    let mut session = measured_session(true);
    answer(&mut session, &[Event::Next, Event::Measure]);
    let scene = session.scene();
    assert!(!throws_a_stage(&session) && session.stack_mm() == 0.0);
    // Marks A1 and A5 of the grid, where the mat has them.
    for at in [Point::new(72.0, 634.5), Point::new(1128.0, 634.5)] {
        let hits = |p: &Point<_>| (*p - at).length() < 20.0;
        assert!(scene.on_table.strokes.iter().any(|stroke| stroke.points.iter().all(hits)), "no cross at {at:?}");
    }
    answer(&mut session, &"1056,5".chars().map(|c| Event::Type(if c == ',' { '.' } else { c })).collect::<Vec<_>>());
    assert!(said(&session).contains("A1 to A5:  1056.5_ mm"), "{}", said(&session));
}

#[test]
fn cloth_that_lies_there_is_turned_back_first() {
    let asked = |before: &[Event]| {
        let mut session = measured_session(true);
        answer(&mut session, before);
        session.answer(Event::Measure);
        said(&session)
    };
    assert!(!asked(&[]).contains("turn it back"));
    assert!(asked(&[Event::Next]).contains("turn it back from the crosses. Afterwards lay it back"));
    assert!(asked(&[Event::Next, Event::SetPlace]).contains("You lay it to its marks again afterwards"));
}

#[test]
fn one_key_passes_the_proof_over_and_so_do_three() {
    for keys in [vec![Event::Leave], vec![Event::Next; 3]] {
        let mut session = measured_session(true);
        let state = session.state().clone();
        session.answer(Event::Measure);
        answer(&mut session, &keys);
        assert!(*session.state() == state && throws_a_stage(&session));
    }
}

#[test]
fn a_grown_table_is_taken_only_on_her_yes() {
    let mut session = measured_session(true);
    session.answer(Event::Next);
    answer(&mut session, &measures(PROVING_MM.map(|mm| mm * 1.01)));
    assert!(matches!(found(&session), Some(Found::Moved { growth_share }) if (growth_share - 0.01).abs() < 2e-4));
    assert!(said(&session).contains("1.00 % larger"), "{}", said(&session));
    // Neither escape nor undo leads round the question.
    let mut round = session.clone();
    answer(&mut round, &[Event::Leave, Event::Next, Event::Confirm]);
    assert!(!round.permitted() && !throws_a_stage(&round) && said(&round).contains("was found knocked"));
    let mut round = session.clone();
    answer(&mut round, &vec![Event::Undo; 40]);
    assert!(!round.permitted() && !throws_a_stage(&round), "undone until nothing was measured");
    let before_mm = apart_mm(&session, "A1", "C5");
    session.answer(Event::Yes);
    assert!(session.permitted() && throws_a_stage(&session));
    assert!((apart_mm(&session, "A1", "C5") - 1.01 * before_mm).abs() < 0.3);
    assert!(matches!(session.state().doing, Doing::Aligning(_)), "the cloth is laid to the light again");
    // Measured again, it holds as it is now; and a projector hung back as it was is corrected back.
    answer(&mut session, &measures(PROVING_MM.map(|mm| mm * 1.01)));
    assert_eq!(found(&session), Some(Found::Holds));
    answer(&mut session, &[Event::Confirm]);
    answer(&mut session, &measures(PROVING_MM));
    answer(&mut session, &[Event::Yes]);
    assert!((apart_mm(&session, "A1", "C5") - before_mm).abs() < 1e-9);
}

#[test]
fn a_broken_table_throws_no_line_until_it_is_measured_again_or_she_says_yes() {
    let mut session = measured_session(true);
    let bad = measures([PROVING_MM[0], PROVING_MM[1] + 30.0, PROVING_MM[2]]);
    answer(&mut session, &bad);
    assert_eq!(found(&session), Some(Found::Broken));
    assert!(said(&session).contains("no cutting line is thrown"), "{}", said(&session));
    for keys in [vec![Event::Leave, Event::Next], vec![Event::Undo; 60], vec![Event::Measure, Event::Leave]] {
        let mut round = session.clone();
        answer(&mut round, &keys);
        assert!(!throws_a_stage(&round) && round.state().knocked, "{keys:?}");
    }
    let mut yes = session.clone();
    answer(&mut yes, &[Event::Yes]);
    assert!(throws_a_stage(&yes));
    // One good distance of three is no proof against the three.
    let mut one = session.clone();
    answer(&mut one, &measures(PROVING_MM)[..8]);
    answer(&mut one, &[Event::Next, Event::Next]);
    assert!(one.state().knocked && said(&one).contains("measure all three"), "{}", said(&one));
    answer(&mut session, &measures(PROVING_MM));
    session.answer(Event::Next);
    assert!(throws_a_stage(&session) && !session.state().knocked);
}

#[test]
fn centimetres_are_asked_about_once() {
    let mut session = measured_session(true);
    session.answer(Event::Measure);
    answer(&mut session, &"105.6".chars().map(Event::Type).collect::<Vec<_>>());
    session.answer(Event::Confirm);
    assert!(
        said(&session).contains("Centimetres or inches?") && session.typed() == Some("105.6"),
        "{}",
        said(&session)
    );
    answer(&mut session, &[Event::Rub, Event::Rub, Event::Type('6'), Event::Confirm]);
    assert_eq!(session.typed(), Some(""), "1056 is taken, and the next is asked for");
    answer(&mut session, &[Event::Type('7'), Event::Confirm, Event::Confirm]);
    assert!(matches!(&session.state().doing, Doing::Measuring(m) if m.read_mm == [Some(1056.0), Some(7.0)]));
}

#[test]
fn an_order_in_inches_is_proved_in_inches() {
    let mut session = measured_session_in(System::Inch, true);
    session.answer(Event::Measure);
    // 1056 mm is 41.575 in and 594 mm 23.386 in, 1 in being 25.4 mm exactly (1959): 41 9/16 and 23 3/8 on a tape.
    let typed = |signs: &str| signs.chars().map(Event::Type).collect::<Vec<_>>();
    answer(&mut session, &typed("+/41+9/16/"));
    assert_eq!(session.typed(), Some("41 9/16"), "a sign that makes no number is not taken");
    let told = said(&session);
    assert!(told.contains("type the inches") && told.contains("41 9/16_ in  (1055.7 mm)"), "{told}");
    session.answer(Event::Confirm);
    answer(&mut session, &typed("23.3.75"));
    assert_eq!(session.typed(), Some("23.375"));
    session.answer(Event::Confirm);
    answer(&mut session, &typed("47+11/16"));
    session.answer(Event::Confirm);
    assert_eq!(found(&session), Some(Found::Holds));
    let Doing::Measuring(measuring) = &session.state().doing else { unreachable!() };
    let read: Vec<f64> = measuring.read_mm.iter().flatten().copied().collect();
    let tape = [41.5625, 23.375, 47.6875].map(|inches| inches * 25.4);
    assert!(read.len() == 3 && read.iter().zip(tape).all(|(a, b)| (a - b).abs() < 1e-9), "{read:?}");
}

#[test]
fn a_table_written_by_hand_says_that_there_is_nothing_to_prove_by() {
    let mut session = session(true);
    let state = session.state().clone();
    session.answer(Event::Measure);
    assert!(said(&session).contains("nothing to prove this table by"), "{}", said(&session));
    session.answer(Event::Next);
    assert_eq!(*session.state(), state);
}

#[test]
fn what_the_tape_said_outlives_a_power_cut() {
    for (grown, bad_mm, yes) in [(1.01, 0.0, true), (1.0, 30.0, false)] {
        let mut session = measured_session(true);
        let belongs = Belongs::of("an order", session.work(), session.table());
        answer(&mut session, &measures([PROVING_MM[0], PROVING_MM[1] + bad_mm, PROVING_MM[2]].map(|mm| mm * grown)));
        answer(&mut session, &[if yes { Event::Yes } else { Event::Help }]);
        let text = file::write(&session, &belongs);
        let state = file::read(&text).unwrap().state(&belongs, session.work()).unwrap();
        let fresh = measured_session(true);
        let view = chalklight::scene::View::of(
            chalklight::scene::Room::in_lit_area(fresh.table().table.lit_corners_mm().unwrap()),
            super::desk::view(super::desk::LIT_MM, Side::Front).system,
            chalklight::scene::Way::LightOnDark,
        );
        let ground = chalklight::session::Ground::of(fresh.table().clone());
        let again = Session::resume(ground, session.work().clone(), view, state);
        assert_eq!(again.table().table, session.table().table);
        assert_eq!(again.permitted(), yes);
    }
}

#[test]
fn sessions_of_the_first_form_are_still_read() {
    let session = measured_session(true);
    let belongs = Belongs::of("an order", session.work(), session.table());
    let text = file::write(&session, &belongs);
    assert!(!text.contains("knocked =") && !text.contains("place.taken"), "{text}");
    let first = text.replace("version = 2", "version = 1");
    assert_eq!(file::read(&first).unwrap().state(&belongs, session.work()).unwrap(), *session.state());
}

#[test]
fn how_soon_light_follows_a_key_is_told_with_the_keys() {
    let mut cutting = keyed();
    press(&mut cutting, &[(KeyName::Escape, false), (KeyName::Sign('h'), false)]);
    assert!(said(&cutting.session).contains("escape: out of this") && !said(&cutting.session).contains("key to light"));
    press(&mut cutting, &[(KeyName::Sign('h'), false)]);
    let state = cutting.session.state().clone();
    [31, 12].map(std::time::Duration::from_millis).into_iter().for_each(|took| cutting.shown(took));
    press(&mut cutting, &[(KeyName::Sign('h'), false)]);
    assert!(
        said(&cutting.session).contains("From key to light: 12 ms at the last; 12 ms in the middle, 31 ms at most")
    );
    assert_eq!(*cutting.session.state(), state);
}

/// A session behind keys, without files.
fn keyed() -> Cutting {
    keyed_in(System::Metric)
}

fn keyed_in(system: System) -> Cutting {
    let session = measured_session_in(system, true);
    let belongs = Belongs::of("an order", session.work(), session.table());
    let table_file = "table.toml".into();
    Cutting {
        session,
        belongs,
        keeper: None,
        recorder: None,
        corrects_stack: false,
        greeting: String::new(),
        table_file,
    }
}

fn press(cutting: &mut Cutting, keys: &[(KeyName, bool)]) {
    for (name, pad) in keys {
        cutting.key(Key { name: *name, pad: *pad, shift: false, held: false });
    }
}

#[test]
fn a_pad_types_inches_and_their_fractions() {
    let mut cutting = keyed_in(System::Inch);
    press(&mut cutting, &[(KeyName::Sign('k'), false), (KeyName::Sign('4'), true), (KeyName::Sign('1'), true)]);
    press(&mut cutting, &[(KeyName::Sign('+'), true), (KeyName::Sign('1'), true), (KeyName::Sign('/'), true)]);
    press(&mut cutting, &[(KeyName::Sign('2'), true)]);
    assert_eq!(cutting.session.typed(), Some("41 1/2"));
    press(&mut cutting, &[(KeyName::Enter, true), (KeyName::Sign('2'), false), (KeyName::Space, false)]);
    assert_eq!(cutting.session.typed(), Some("2 "), "the space bar is the gap");
    let mut metric = keyed();
    press(&mut metric, &[(KeyName::Sign('k'), false), (KeyName::Sign('2'), false), (KeyName::Space, false)]);
    assert!(matches!(&metric.session.state().doing, Doing::Measuring(m) if m.typed == "2" && m.doubted));
}

#[test]
fn the_numeric_pad_types_only_while_a_number_is_asked_for() {
    // 105,6 on a pad with its lock, 1056 on one without, and the main keys: all are digits here.
    let locked = [
        (KeyName::Sign('1'), true),
        (KeyName::Sign('0'), true),
        (KeyName::Sign('5'), false),
        (KeyName::Sign(','), true),
        (KeyName::Sign('6'), false),
    ];
    let unlocked = [(KeyName::End, true), (KeyName::Insert, true), (KeyName::Middle, true), (KeyName::Right, true)];
    for (keys, typed) in [(&locked[..], "105.6"), (&unlocked[..], "1056")] {
        let mut cutting = keyed();
        let pose = cutting.session.pose();
        press(&mut cutting, &[(KeyName::Sign('k'), false)]);
        press(&mut cutting, keys);
        assert_eq!(cutting.session.typed(), Some(typed));
        press(&mut cutting, &[(KeyName::Backspace, false)]);
        assert_eq!(cutting.session.typed(), Some(&typed[..typed.len() - 1]));
        assert_eq!(cutting.session.pose(), pose);
        press(&mut cutting, &[(KeyName::Escape, false), (KeyName::Sign('6'), true)]);
        assert_ne!(cutting.session.pose(), pose, "afterwards the pad nudges again");
    }
}

#[test]
fn a_clicker_passes_over_and_darkens_while_a_number_is_asked_for() {
    let mut cutting = keyed();
    press(&mut cutting, &[(KeyName::Sign('k'), false), (KeyName::Sign('.'), false)]);
    assert!(cutting.session.is_dark(), "a point begins no number");
    press(&mut cutting, &[(KeyName::Sign('7'), true), (KeyName::Sign('.'), false)]);
    assert!(!cutting.session.is_dark() && cutting.session.typed() == Some(""));
    press(&mut cutting, &[(KeyName::Sign('7'), false), (KeyName::Sign('.'), false), (KeyName::Sign('b'), false)]);
    assert!(cutting.session.is_dark());
    press(&mut cutting, &[(KeyName::Sign('b'), false), (KeyName::Backspace, false), (KeyName::Backspace, false)]);
    press(&mut cutting, &[(KeyName::PageDown, false)]);
    assert!(matches!(&cutting.session.state().doing, Doing::Measuring(m) if m.read_mm == [None]));
    press(&mut cutting, &[(KeyName::PageUp, false)]);
    assert!(matches!(&cutting.session.state().doing, Doing::Measuring(m) if m.read_mm.is_empty()));
}

#[test]
fn the_sentence_lies_in_the_light_and_clear_of_the_tape_from_every_side() {
    let ends = [[(72.0, 634.5), (1128.0, 634.5)], [(1128.0, 634.5), (1128.0, 40.5)], [(72.0, 634.5), (1128.0, 40.5)]];
    for turns in 0..4 {
        let mut session = measured_session(true);
        session.answer(Event::Measure);
        answer(&mut session, &vec![Event::Side; turns]);
        for [(ax, ay), (bx, by)] in ends {
            for line in &session.scene().on_table.letters {
                let up = chalklight::geometry::Vector::new(-line.along.y, line.along.x) * line.cap_mm;
                // Advance of a letter of Hack in cap heights, of its head and hhea tables: 1233 of 1493 units.
                let along = line.along * (line.cap_mm * 1233.0 / 1493.0 * line.text.chars().count() as f64);
                let corners = [line.at, line.at + along, line.at + along + up, line.at + up];
                for p in corners {
                    assert!((0.0..=1200.0).contains(&p.x) && (0.0..=675.0).contains(&p.y), "in the dark: {line:?}");
                }
                if line.text.len() > 2 {
                    let side = |p: &Point<_>| (bx - ax) * (p.y - ay) - (by - ay) * (p.x - ax) > 0.0;
                    let first = side(&corners[0]);
                    assert!(corners.iter().all(|p| side(p) == first), "under the tape: {line:?}");
                }
            }
            session.answer(Event::Next);
        }
    }
}
