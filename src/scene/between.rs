//! Two marks of the table that a tape is laid between, and what is said, clear of the tape.

use super::register::ARM_MM;
use super::{Letters, Marks, Room, Scene, View, cross, page, text};
use crate::geometry::{Point, Table};

/// The marks with their names, and the paragraphs.
pub fn between(marks: &[(Point<Table>, String); 2], paragraphs: &[String], view: &View) -> Scene {
    let mut scene = page(paragraphs, &View { room: aside(marks.each_ref().map(|(at, _)| *at), view), ..*view });
    for (at, name) in marks {
        scene.on_table.add(marked(*at, name, view));
    }
    scene
}

/// A cross with its name beside it, towards the middle of the room, where there is always light.
fn marked(at: Point<Table>, name: &str, view: &View) -> Marks<Table> {
    let (along, away) = (view.reads.right_hand::<Table>(), view.reads.away::<Table>());
    let inward = view.room.low_mm.lerp(view.room.high_mm, 0.5) - at;
    let off_mm = ARM_MM * 0.7;
    let right_mm = if inward.dot(along) >= 0.0 { off_mm } else { -off_mm - text::width_mm(name, view.cap_mm) };
    let up_mm = if inward.dot(away) >= 0.0 { off_mm } else { -off_mm - view.cap_mm };
    let mut marks = cross(at, "", along, (view.cap_mm, view.line()));
    let at = at + view.reads.step(right_mm, up_mm);
    marks.letters.push(Letters { text: name.to_owned(), at, along, cap_mm: view.cap_mm, light: view.line() });
    marks
}

/// The quarter of the room that lies farthest from the tape, less what the crosses at its corners take.
fn aside([a, b]: [Point<Table>; 2], view: &View) -> Room {
    let (low, high) = (view.room.low_mm, view.room.high_mm);
    let middle = low.lerp(high, 0.5);
    let quarter = |x: [f64; 2], y: [f64; 2]| Room { low_mm: Point::new(x[0], y[0]), high_mm: Point::new(x[1], y[1]) };
    let (left, right) = ([low.x, middle.x], [middle.x, high.x]);
    let (near, far) = ([low.y, middle.y], [middle.y, high.y]);
    let quarters = [quarter(left, near), quarter(right, near), quarter(left, far), quarter(right, far)];
    let clear_mm = |room: &Room| {
        let at = room.low_mm.lerp(room.high_mm, 0.5);
        let along = ((at - a).dot(b - a) / (b - a).square_length()).clamp(0.0, 1.0);
        (at - a.lerp(b, along)).length()
    };
    let best = quarters.iter().max_by(|p, q| clear_mm(p).total_cmp(&clear_mm(q)));
    best.map_or(view.room, |room| room.less(2.0 * ARM_MM, view.reads, 0.0))
}
