//! Accuracy and coverage on tables whose truth is known; a small draw of what `cargo bench --bench accuracy` prints.

use chalklight::calibrate::calibrate;

use super::synthetic::{Chance, Manner, Projector, probes, read, truth};

struct Seen {
    rms_mm: f64,
    covered: f64,
}

/// Sixty tables, the lens drawn blind.
fn look(manner: Manner, seed: u64) -> Seen {
    const TABLES: usize = 60;
    let mut chance = Chance(seed);
    let (mut square, mut covered, mut count) = (0.0, 0, 0);
    for i in 0..TABLES {
        let projector = Projector::blind(&mut chance);
        let readings = read(&projector, manner, &mut chance);
        let kept = calibrate(&readings).unwrap_or_else(|e| panic!("table {i}: {e}")).value;
        let fit = kept.fit.as_ref().expect("a fit");
        for px in probes(projector.picture_px) {
            let off = (kept.table.mm_from_px(px).expect("a point") - truth(&projector, &readings, px)).length();
            let bound = fit.spread.bound95_mm(&kept.table, px).expect("a bound");
            square += off * off;
            covered += usize::from(off <= bound);
            count += 1;
        }
    }
    Seen { rms_mm: (square / count as f64).sqrt(), covered: covered as f64 / count as f64 }
}

/// Limits: the Cramer-Rao bound of each class over 1,000 draws (`cargo bench --bench accuracy`), times 1.10, widened by 8 %
/// for a draw of sixty (one standard deviation of such a draw is 4 to 5 %).
#[test]
fn errors_stay_near_the_limit_and_inside_the_bound() {
    let manner = |columns, rows, sigma_mm, distances| Manner { columns, rows, sigma_mm, distances };
    for (manner, limit_mm) in [
        (manner(3, 3, 0.5, None), 0.56),
        (manner(5, 3, 0.5, None), 0.41),
        (manner(7, 5, 0.3, None), 0.18),
        (manner(5, 3, 1.0, None), 0.78),
        (manner(5, 3, 0.5, Some(16)), 0.51),
    ] {
        let seen = look(manner, 77);
        assert!(seen.rms_mm < 1.10 * 1.08 * limit_mm, "{manner:?}: {} mm rms", seen.rms_mm);
        assert!((0.91..0.98).contains(&seen.covered), "{manner:?}: {} of the probes in the bound", seen.covered);
    }
}

/// Six readings among the corners can't see the lens: the bound must say so.
#[test]
fn six_distances_are_not_trusted() {
    let mut chance = Chance(5);
    for k1 in [0.0, 0.03, -0.06] {
        let projector = Projector::draw(&mut chance, k1);
        let manner = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(6) };
        let readings = read(&projector, manner, &mut chance);
        let told = calibrate(&readings).expect("a table");
        let fit = told.value.fit.as_ref().expect("a fit");
        assert!(fit.bound95.largest_mm > 10.0 && !fit.trusted, "k1 {k1}: bound {}", fit.bound95.largest_mm);
        let next = chalklight::calibrate::advice::next(&readings, &told.value, 4);
        assert!(next[3].bound_mm < fit.bound95.largest_mm / 4.0, "{next:?}");

        // With a lens known from elsewhere the same six readings are enough to cut by.
        let mut known = readings.clone();
        known.lens.known = Some([k1, 0.0]);
        let fit = calibrate(&known).expect("a table").value.fit.expect("a fit");
        assert!(fit.trusted, "k1 {k1}: bound {} with the lens known", fit.bound95.largest_mm);
    }
}

/// The bound that the plan promises after four more distances is that of a table from centimetres to millimetres.
#[test]
fn the_plan_leads_from_centimetres_to_millimetres() {
    let grid = chalklight::calibrate::Grid::even([1920, 1080], 5, 3, 0.06);
    let plan = chalklight::calibrate::advice::plan([1920, 1080], &grid, 0.5, 6);
    assert_eq!(plan.len(), 12);
    assert!(plan[5].bound_mm > 10.0 && plan[9].bound_mm < 3.0, "{plan:?}");
    assert!(plan.windows(2).all(|p| p[1].bound_mm <= p[0].bound_mm + 1e-9), "{plan:?}");
}

/// Mirrored and turned pictures, tilts to 35 degrees: distances alone find the shape, and the frame is as it was said.
#[test]
fn distances_need_no_guess() {
    use chalklight::calibrate::readings::Hang;
    let mut chance = Chance(11);
    for i in 0..24 {
        let mut projector = Projector::draw(&mut chance, 0.0);
        if i % 2 == 0 {
            projector = Projector::tilted(&mut chance, 35.0);
        }
        let mut readings =
            read(&projector, Manner { columns: 5, rows: 3, sigma_mm: 0.3, distances: Some(12) }, &mut chance);
        readings.hang = Hang { mirrored: i % 3 == 0, quarter_turns: (i % 4) as u8 };
        let table = calibrate(&readings).unwrap_or_else(|e| panic!("{i}: {e}")).value.table;
        let mm = |mark: &str| table.mm_from_px(readings.grid.marks[&mark.parse().expect("a mark")]).expect("a point");
        let (origin, last, below) = (mm("A1"), mm("A5"), mm("C1"));
        assert!(origin.to_vector().length() < 1e-3, "{i}: {origin:?}");
        let along = readings.hang.row_along();
        let run = (last - origin).normalize();
        assert!((run.x - along[0]).abs() + (run.y - along[1]).abs() < 1e-4, "{i}: row A runs {run:?}");
        let side = run.cross(below - origin);
        assert_eq!(side > 0.0, readings.hang.mirrored, "{i}: the rest lies on the wrong side");
        let true_mm = |mark: &str| projector.mm(readings.grid.marks[&mark.parse().expect("a mark")]);
        let off = (mm("B3") - mm("C5")).length() - (true_mm("B3") - true_mm("C5")).length();
        assert!(off.abs() < 4.0, "{i}: {off} mm");
    }
}
