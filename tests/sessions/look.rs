//! How a session looks: text is turned to her side and never mirrored, stays where it can be read, and a lit shape keeps
//! its edge clean.

use super::desk::{LIT_MM, LONG, answer, laid, session, table, view};
use chalklight::geometry::{Point, Vector};
use chalklight::scene::{Letters, Side};
use chalklight::session::{Change, Doing, Event, Ground, Group, Session, Work};
use chalklight::stages::LineKind;
use chalklight::table::TrustedTable;

/// Advance of a letter of Hack in cap heights, of its head and hhea tables: 1233 of 1493 units.
const ADVANCE: f64 = 1233.0 / 1493.0;

/// The corners of the box around a text.
fn corners<F>(text: &Letters<F>) -> [Point<F>; 4] {
    let up = Vector::new(-text.along.y, text.along.x) * text.cap_mm;
    let along = text.along * (text.cap_mm * ADVANCE * text.text.chars().count() as f64);
    [text.at, text.at + along, text.at + along + up, text.at + up]
}

fn from_side(side: Side) -> Session {
    let view = view(LIT_MM, side);
    let work = Work::of(&laid(LONG), &view).unwrap();
    Session::begin(Ground::Trusted(TrustedTable::by_her_yes(table(LIT_MM))), work, view)
}

/// Her right hand at each side, as one sees it on a plan of the table.
const RIGHT_HANDS: [(Side, f64, f64); 4] =
    [(Side::Front, 1.0, 0.0), (Side::Right, 0.0, 1.0), (Side::Back, -1.0, 0.0), (Side::Left, 0.0, -1.0)];

#[test]
fn text_is_turned_to_her_from_every_side_at_every_stage() {
    for (side, x, y) in RIGHT_HANDS {
        let mut session = from_side(side);
        loop {
            let scene = session.scene();
            for line in &scene.on_table.letters {
                assert!((line.along - Vector::new(x, y)).length() < 1e-12, "{side:?}: {line:?}");
                for corner in corners(line) {
                    assert!((0.0..=LIT_MM[0]).contains(&corner.x) && (0.0..=LIT_MM[1]).contains(&corner.y), "{line:?}");
                }
            }
            for label in &scene.on_cloth.letters {
                assert!(label.along.dot(Vector::new(x, y)) > -1e-9, "{side:?}: upside down: {label:?}");
            }
            if session.answer(Event::Next) == Change::Nothing {
                break;
            }
        }
    }
}

#[test]
fn the_sentence_keeps_clear_of_the_cloth_however_large() {
    for (side, x, y) in RIGHT_HANDS {
        for larger in 0..6 {
            let mut session = from_side(side);
            answer(&mut session, &vec![Event::Larger; larger]);
            answer(&mut session, &[Event::Next, Event::Next]);
            let room = view(LIT_MM, side).cloth_room();
            for corner in session.scene().on_table.letters.iter().flat_map(corners) {
                let inside = corner.x > room.low_mm.x + 1e-6
                    && corner.x < room.high_mm.x - 1e-6
                    && corner.y > room.low_mm.y + 1e-6
                    && corner.y < room.high_mm.y - 1e-6;
                assert!(!inside, "from {side:?} ({x}, {y}), {larger} steps larger: {corner:?} lies on the cloth");
            }
        }
    }
}

#[test]
fn cloth_that_lies_the_other_way_is_still_labelled_for_her() {
    let mut session = session(true);
    answer(&mut session, &[Event::SetPlace, Event::Nudge { right: 58, away: 30, long: true }]);
    answer(
        &mut session,
        &[Event::Nudge { right: 58, away: 0, long: true }, Event::Turn(1800), Event::Next, Event::Next],
    );
    assert_eq!(session.state().doing, Doing::Cutting);
    assert!((session.pose().turn_rad.abs() - std::f64::consts::PI).abs() < 1e-9, "{:?}", session.pose());
    let labels = session.scene().on_cloth.letters;
    assert!(!labels.is_empty());
    let table_from_cloth = session.pose().table_from_cloth();
    assert!(labels.iter().all(|label| table_from_cloth.transform_vector(label.along).x > 0.99));
}

#[test]
fn arrows_go_where_she_sees_them_go() {
    for (side, x, y) in RIGHT_HANDS {
        let mut session = from_side(side);
        let before = session.pose().at_mm;
        session.answer(Event::Nudge { right: 2, away: 0, long: true });
        assert!((session.pose().at_mm - before - Vector::new(20.0 * x, 20.0 * y)).length() < 1e-9, "{side:?}");
    }
}

#[test]
fn hidden_groups_are_hidden_and_come_back() {
    let mut session = session(true);
    while session.stage().lines.iter().all(|line| line.kind != LineKind::Level) {
        session.answer(Event::Next);
    }
    session.answer(Event::Leave);
    let all = session.scene();
    for group in Group::ALL {
        session.answer(Event::Hide(group));
        let fewer = session.scene();
        let marks = |scene: &chalklight::scene::Scene| scene.on_cloth.strokes.len() + scene.on_cloth.letters.len();
        assert!(marks(&fewer) < marks(&all), "{group:?}");
        if group == Group::Labels {
            assert!(fewer.on_cloth.letters.is_empty());
        }
        session.answer(Event::Hide(group));
        assert_eq!(session.scene(), all);
    }
}

#[test]
fn a_lit_shape_is_filled_to_the_cutting_line_and_nothing_blurs_its_edge() {
    let mut session = session(true);
    answer(&mut session, &[Event::Next, Event::Next, Event::SwapLight, Event::SwapLight]);
    let (stage, scene) = (session.stage().clone(), session.scene());
    assert!(stage.lines.iter().any(|line| line.kind == LineKind::Cut));
    assert_eq!((scene.ground, &scene.on_cloth.fills[0].rings), ([0; 3], &vec![stage.shape.corners.clone()]));
    assert_eq!(scene.on_cloth.fills[0].light, [255; 3]);
    for line in stage.lines.iter().filter(|line| line.kind == LineKind::Cut) {
        assert!(scene.on_cloth.strokes.iter().all(|stroke| stroke.points != line.points), "the edge is drawn over");
        let off = line.points.iter().map(|p| stage.shape.distance_mm(*p)).fold(0.0, f64::max);
        assert!(off < 0.001, "the edge of the light is {off} mm off the cutting line");
    }
    for label in &scene.on_cloth.letters {
        let inside = corners(label).into_iter().filter(|p| stage.shape.contains(*p)).count();
        assert!(matches!((inside, label.light), (4, [0, 0, 0]) | (0, [255, 255, 255])), "{label:?}");
    }
}
