//! Where labels stand: no line goes through one, nor another label, whichever side they are read from.

use super::desk::{LONG, laid, table, view};
use super::side_by_side::lays;
use chalklight::geometry::{Cloth, Point};
use chalklight::scene::{Letters, Side};
use chalklight::session::{Change, Event, Ground, Session, Work};
use chalklight::table::TrustedTable;

/// Advance of a letter of Hack in cap heights, of its head and hhea tables: 1233 of 1493 units.
const ADVANCE: f64 = 1233.0 / 1493.0;

/// All of every lay is lit.
const ALL_LIT_MM: [f64; 2] = [6000.0, 2600.0];

/// Lines are looked at in steps as short as this.
const STEP_MM: f64 = 0.5;

/// Whether a place lies in the letters of a text.
fn covers(text: &Letters<Cloth>, p: Point<Cloth>) -> bool {
    let off = p - text.at;
    let (right, up) = (off.dot(text.along), text.along.cross(off));
    let wide_mm = text.cap_mm * ADVANCE * text.text.chars().count() as f64;
    (0.0..wide_mm).contains(&right) && (0.0..text.cap_mm).contains(&up)
}

fn steps(a: Point<Cloth>, b: Point<Cloth>) -> impl Iterator<Item = Point<Cloth>> {
    let count = ((b - a).length() / STEP_MM).ceil().max(1.0) as u32;
    (0..=count).map(move |i| a.lerp(b, f64::from(i) / f64::from(count)))
}

#[test]
fn no_line_goes_through_a_label_from_any_side() {
    let (mut seen, mut crossed) = (0, Vec::new());
    for lay in lays().iter().chain([&laid(LONG)]) {
        for side in Side::ALL {
            let view = view(ALL_LIT_MM, side);
            let work = Work::of(lay, &view).unwrap();
            let trusted = TrustedTable::by_her_yes(table(ALL_LIT_MM));
            let mut session = Session::begin(Ground::Trusted(trusted), work, view);
            loop {
                let (scene, stage) = (session.scene(), session.stage());
                let sides = stage.lines.iter().flat_map(|line| line.points.windows(2));
                let places: Vec<Point<Cloth>> = sides.flat_map(|ends| steps(ends[0], ends[1])).collect();
                let labels = &scene.on_cloth.letters;
                seen += labels.len();
                for label in labels {
                    if let Some(p) = places.iter().find(|p| covers(label, **p)) {
                        crossed.push(format!("{side:?}, {}: {:?} at {p:?}", stage.title, label.text));
                    }
                }
                if session.answer(Event::Next) == Change::Nothing {
                    break;
                }
            }
        }
    }
    assert!(seen > 1000, "{seen}");
    assert!(crossed.is_empty(), "{} of {seen}\n{}", crossed.len(), crossed.join("\n"));
}

/// What is written on it stands beside "cut the sleeve, 2 of 2" as well.
#[test]
fn what_is_cut_one_by_one_bears_no_number_of_its_own() {
    let lays = lays();
    let mut one = lays[0].placed.iter().find(|placed| placed.piece.count == 2).expect("a pair").clone();
    one.gives = 1;
    assert_eq!(one.caption(), format!("{}, one of two", one.piece.name));
}
