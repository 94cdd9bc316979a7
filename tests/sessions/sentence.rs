//! Where the sentence stands: it never lies over a line that is cut along, at whichever side she stands and however the
//! cloth lies; and it is all there.

use super::desk::{LIT_MM, LONG, answer, laid, table, view};
use super::side_by_side::lays;
use chalklight::geometry::{Cloth, Point, Table};
use chalklight::scene::{Letters, Side, Way};
use chalklight::session::{Change, Doing, Event, Ground, Session, Work};
use chalklight::stages::LineKind;
use chalklight::table::TrustedTable;

/// Advance of a letter of Hack in cap heights, of its head and hhea tables, and how far its y goes below the line: 1233
/// and 310 of 1493 units.
const ADVANCE: f64 = 1233.0 / 1493.0;
const DESCENT: f64 = 310.0 / 1493.0;

/// Half a cutting line.
const LINE_MM: f64 = 0.75;

/// Lines are looked at in steps as short as this.
const STEP_MM: f64 = 1.0;

/// A session of a lay on a table that lights so much, with its band at the front.
fn session(lay: &chalklight::lay::Lay, lit_mm: [f64; 2]) -> Session {
    let view = view(lit_mm, Side::Front);
    let work = Work::of(lay, &view).unwrap();
    Session::begin(Ground::Trusted(TrustedTable::by_her_yes(table(lit_mm))), work, view)
}

/// Every place of the table at which something is cut, chalked or nicked, now or later; where the shape itself is lit,
/// its edge, and those of what stays whole.
fn cut_along(session: &Session) -> Vec<Point<Table>> {
    let kinds = [LineKind::Cut, LineKind::CutLater, LineKind::Notch, LineKind::Chalk];
    let stage = session.stage();
    let lines = stage.lines.iter().filter(|line| kinds.contains(&line.kind)).map(|line| line.points.clone());
    let lit = stage.whole.iter().chain([&stage.shape]).filter(|_| session.state().look.way == Way::LitShape);
    let closed = lit.map(|outline| outline.corners.iter().chain(outline.corners.first()).copied().collect());
    let table_from_cloth = session.pose().table_from_cloth();
    let along = |points: Vec<Point<Cloth>>| {
        let sides = points.windows(2).map(|side| [side[0], side[1]]).collect::<Vec<_>>();
        sides.into_iter().flat_map(|[a, b]| {
            let steps = ((b - a).length() / STEP_MM).ceil().max(1.0) as u32;
            (0..=steps).map(move |i| a.lerp(b, f64::from(i) / f64::from(steps)))
        })
    };
    // What lies beyond the reach is not thrown.
    let lit = session.work().lit(session.state().step);
    let thrown = lines.flat_map(along).filter(|p| lit.contains(*p)).chain(closed.flat_map(along));
    thrown.map(|p| table_from_cloth.transform_point(p)).collect()
}

/// Whether a text comes nearer to a place than half a line.
fn covers(text: &Letters<Table>, p: Point<Table>) -> bool {
    let off = p - text.at;
    let (right, up) = (off.dot(text.along), text.along.cross(off));
    let wide_mm = text.cap_mm * ADVANCE * text.text.chars().count() as f64;
    (-LINE_MM..wide_mm + LINE_MM).contains(&right)
        && (-DESCENT * text.cap_mm - LINE_MM..text.cap_mm + LINE_MM).contains(&up)
}

fn words(session: &Session) -> String {
    let letters = session.scene().on_table.letters;
    let lines: Vec<&str> = letters.iter().map(|letters| letters.text.as_str()).collect();
    lines.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What must hold of a scene; gives whether all of the sentence is there.
fn assert_clear(session: &Session, says: &str) -> bool {
    let (scene, cut_along) = (session.scene(), cut_along(session));
    let cloth_from_table = session.pose().table_from_cloth().inverse().unwrap();
    let stage = session.stage();
    // Cutting lines, nicks and dots as they are thrown.
    let table_from_cloth = session.pose().table_from_cloth();
    let strokes = scene.on_cloth.strokes.iter().filter(|stroke| stroke.width_mm >= 1.5);
    let ends = strokes.flat_map(|stroke| &stroke.points).map(|p| table_from_cloth.transform_point(*p));
    let cut_along: Vec<Point<Table>> = cut_along.into_iter().chain(ends).collect();
    for text in &scene.on_table.letters {
        let covered = cut_along.iter().find(|p| covers(text, **p));
        assert!(covered.is_none(), "{:?} lies over a line at {covered:?}, in {}", text, stage.title);
        if session.state().look.way == Way::LitShape {
            let at = cloth_from_table.transform_point(text.at);
            let on_light = stage.whole.iter().chain([&stage.shape]).any(|outline| outline.contains(at));
            assert_eq!(text.light == [0; 3], on_light, "{text:?} can't be read");
        }
    }
    words(session) == says
}

/// Goes through every stage, with the text at every side, in every light; counts scenes, and those with all words.
fn through(mut session: Session, meddle: &[Event]) -> [usize; 2] {
    let mut counts = [0, 0];
    for _ in 0..200 {
        if session.state().doing == Doing::Cutting {
            answer(&mut session, meddle);
            let says = words(&session);
            for _ in Way::ALL {
                for _ in Side::ALL {
                    counts[0] += 1;
                    let whole = assert_clear(&session, &says);
                    // How far the cloth moved is told as she sees it from her side.
                    counts[1] += usize::from(whole || session.state().moved.is_some());
                    session.answer(Event::Side);
                }
                session.answer(Event::SwapLight);
            }
        }
        if session.answer(Event::Next) == Change::Nothing {
            break;
        }
    }
    counts
}

#[test]
fn the_sentence_never_covers_a_line_that_is_cut() {
    let mut counts = [0, 0];
    let mut add = |more: [usize; 2]| counts = [counts[0] + more[0], counts[1] + more[1]];
    let turned = [Event::Nudge { right: 3, away: -4, long: true }, Event::Turn(35)];
    for lit in [LIT_MM, [1700.0, 950.0], [800.0, 600.0]] {
        add(through(session(&laid(LONG), lit), &[]));
    }
    add(through(session(&laid(LONG), LIT_MM), &turned));
    for (i, lay) in lays().iter().enumerate() {
        let lit = [[1200.0, 800.0], [1500.0, 1100.0]][i % 2];
        add(through(session(lay, lit), if i % 3 == 0 { &turned[..] } else { &[] }));
    }
    let [all, whole] = counts;
    assert!(all > 1000 && whole == all, "all words in {whole} of {all} scenes");
}

#[test]
fn the_sentence_stays_at_her_side_while_that_is_free() {
    for lit in [LIT_MM, [1700.0, 950.0]] {
        let mut session = session(&laid(LONG), lit);
        let room = view(lit, Side::Front).room;
        for _ in 0..3 {
            let letters = session.scene().on_table.letters;
            let lowest = letters.iter().map(|text| text.at.y).fold(f64::INFINITY, f64::min);
            assert!((lowest - room.low_mm.y - 6.0).abs() < 1e-6, "{lowest}");
            session.answer(Event::Next);
        }
    }
}
