//! Cloth lying high: corrected by foot and height, from a tape or from readings on a board.

use chalklight::calibrate::calibrate;
use chalklight::geometry::Point;
use chalklight::table::{Kind, Reading, Stand};

use super::synthetic::{Chance, Manner, Projector, probes, read};

/// A level projector 2 m over the table at throw ratio 1, as in the figures below.
fn level(chance: &mut Chance) -> Projector {
    let mut projector = Projector::tilted(chance, 0.0);
    projector.picture_px = [1920, 1080];
    projector.focal_px = 1920.0;
    projector.principal_px = [960.0, 540.0];
    projector.lens_mm = [700.0, 400.0, 2000.0];
    projector
}

/// By similar triangles a point r from the foot moves by h r/(Z - h), the picture's corner (r = 1147 mm) by 2.9 mm at 5 mm.
#[test]
fn uncorrected_the_corner_moves_as_similar_triangles_say() {
    let projector = level(&mut Chance(1));
    for (h_mm, moved_mm) in [(2.0, 1.1), (5.0, 2.9), (12.0, 6.9)] {
        let corner = Point::new(0.0, 0.0);
        let moved = (projector.mm_on_board(corner, h_mm) - projector.mm(corner)).length();
        assert!((moved - moved_mm).abs() < 0.06, "{h_mm} mm: {moved} mm");
    }
}

/// Foot and height by tape, 10 mm sd each way: no more than 0.15 mm beyond the flat table's error in rms.
#[test]
fn a_stack_is_corrected_by_tape() {
    let mut chance = Chance(2);
    let manner = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: None };
    let (mut flat, mut high, mut count) = (0.0, [0.0; 3], 0.0);
    for _ in 0..40 {
        let mut projector = Projector::draw(&mut chance, 0.0);
        projector.lens_mm[2] = 2000.0;
        let mut readings = read(&projector, manner, &mut chance);
        let [x, y, z] = projector.lens_mm.map(|mm| mm + 10.0 * chance.normal());
        readings.stand = Some(Stand { foot_mm: Point::new(x, y), height_mm: z });
        let table = calibrate(&readings).expect("a table").value.table;
        for px in probes(projector.picture_px) {
            flat += (table.mm_from_px(px).expect("a point") - projector.mm(px)).square_length();
            for (sum, h_mm) in high.iter_mut().zip([2.0, 5.0, 12.0]) {
                let ours = table.mm_from_px_at(px, h_mm).expect("a point");
                *sum += (ours - projector.mm_on_board(px, h_mm)).square_length();
            }
            count += 1.0;
        }
    }
    for (sum, h_mm) in high.iter().zip([2.0, 5.0, 12.0]) {
        let more = (sum / count).sqrt() - (flat / count).sqrt();
        assert!(more < 0.15, "{h_mm} mm: {more} mm beyond the flat table");
    }
}

/// A second set of readings on an 18 mm board shows foot and height without a plumb line.
#[test]
fn a_board_shows_where_the_lens_stands() {
    const BOARD_MM: f64 = 18.0;
    let mut chance = Chance(3);
    for _ in 0..10 {
        let projector = Projector::draw(&mut chance, 0.0);
        let manner = Manner { columns: 7, rows: 5, sigma_mm: 0.3, distances: None };
        let mut readings = read(&projector, manner, &mut chance);
        for (mark, px) in readings.grid.marks.clone() {
            let at = projector.mm_on_board(px, BOARD_MM);
            let mut tape = |mm: f64| ((mm + 0.3 * chance.normal()) * 2.0).round() / 2.0;
            let kind = Kind::Place { mark, at_mm: Point::new(tape(at.x), tape(at.y)) };
            readings.readings.push(Reading { kind, height_mm: BOARD_MM });
        }
        let table = calibrate(&readings).expect("a table").value.table;
        let stand = table.stand.expect("a stand");
        let [x, y, z] = projector.lens_mm;
        assert!((stand.height_mm - z).abs() < 120.0, "height {} for {z}", stand.height_mm);
        assert!((stand.foot_mm - Point::new(x, y)).length() < 60.0, "foot {:?} for {x}, {y}", stand.foot_mm);
        // What matters is where the light falls on a stack of 12 mm.
        for px in probes(projector.picture_px) {
            let off = table.mm_from_px_at(px, 12.0).expect("a point") - projector.mm_on_board(px, 12.0);
            assert!(off.length() < 1.5, "{} mm off on a stack", off.length());
        }
    }
}
