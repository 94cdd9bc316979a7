//! The map of the error: its lines lie where the bound is what is written on them.

use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::bound::Covariance;
use chalklight::table::contours::{Contour, contours};
use chalklight::table::{KeptTable, file};

fn demo() -> KeptTable {
    let readings = readings_file::read(include_str!("../../calibration/readings/demo.toml")).unwrap();
    calibrate(&readings.value).unwrap().value
}

/// How many errors are drawn; of each there can be several lines.
fn levels(contours: &[Contour]) -> usize {
    let mut bounds_mm: Vec<f64> = contours.iter().map(|contour| contour.bound_mm).collect();
    bounds_mm.dedup();
    bounds_mm.len()
}

#[test]
fn on_every_line_the_bound_is_what_it_says() {
    let kept = demo();
    let fit = kept.fit.as_ref().unwrap();
    let contours = contours(&kept);
    assert!((2..=6).contains(&levels(&contours)));
    for contour in &contours {
        for at in contour.pieces.iter().flatten() {
            let bound_mm = fit.spread.bound95_mm(&kept.table, kept.table.px_from_mm(*at).unwrap()).unwrap();
            assert!(
                (bound_mm - contour.bound_mm).abs() < 0.01 * contour.bound_mm,
                "{bound_mm} on {}",
                contour.bound_mm
            );
        }
    }
}

/// Where nothing but the width of the picture is uncertain, a point is off along x alone, by sd times its distance from
/// the middle; the bound is 1.960 of that (the two-sided 95 % point of the normal distribution). So the lines are upright,
/// at distances that can be worked out with a pencil.
#[test]
fn an_uncertain_width_gives_upright_lines() {
    let mut kept = demo();
    let level = "[projector]\nwidth = 2000\nheight = 1000\n[table]\n\
                 homography = [1.0, 0.0, 1000.0, 0.0, -1.0, 500.0, 0.0, 0.0, 1.0]\n";
    kept.table = file::read(level).unwrap().value.table;
    let half_diagonal_mm = 1000.0_f64.hypot(500.0);
    let fit = kept.fit.as_mut().unwrap();
    fit.spread.covariance = Covariance::zeros();
    fit.spread.covariance[(0, 0)] = 4.0;
    let contours = contours(&kept);
    assert!((3..=6).contains(&levels(&contours)));
    for contour in contours {
        // One line left of the middle and one right of it, each with a figure of its own.
        let right = contour.pieces[0][0].x > 0.0;
        assert!(contour.pieces.iter().flatten().all(|at| (at.x > 0.0) == right), "two lines stand for one");
        let x_mm = contour.bound_mm / (1.959_964 * 2.0) * half_diagonal_mm;
        for at in contour.pieces.iter().flatten() {
            assert!((at.x.abs() - x_mm).abs() < 3.0, "{at:?} on {} mm", contour.bound_mm);
        }
    }
}
