//! Isolated straight lines: shift, width, single pixels and brightness against double-precision mathematics.

use super::oracle::{measure, table_json};
use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::geometry::{Cloth, Point};
use chalklight::scene::{Marks, Pose, Scene, Stroke};
use chalklight::table::Table;
use image::RgbaImage;
use serde_json::json;

/// A line on the cloth, with the cloth lying square on the table.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    from: [f64; 2],
    to: [f64; 2],
    width_mm: f64,
}

/// Lines in every direction, one in each cell of a grid over the lit part of the table.
pub fn in_all_directions(widths_mm: &[f64]) -> Vec<Line> {
    let (columns, rows, length_mm) = (7, 4, 140.0);
    let cells = (0..rows).flat_map(|j| (0..columns).map(move |i| (i, j)));
    let place = |(n, (i, j)): (usize, (u32, u32))| {
        // 180 degrees in steps that are no multiple of one another's, so that no direction favours the pixel grid.
        let angle = std::f64::consts::PI * (n as f64 * 0.618_034).fract();
        let (sin, cos) = angle.sin_cos();
        let [x, y] = [95.0 + 168.0 * f64::from(i) + 0.37 * n as f64, 85.0 + 168.0 * f64::from(j) + 0.21 * n as f64];
        let half = length_mm / 2.0;
        let width_mm = widths_mm[n % widths_mm.len()];
        Line { from: [x - half * cos, y - half * sin], to: [x + half * cos, y + half * sin], width_mm }
    };
    cells.enumerate().map(place).collect()
}

pub fn strokes(lines: &[Line]) -> Marks<Cloth> {
    let stroke = |l: &Line| Stroke {
        points: vec![Point::from(l.from), Point::from(l.to)],
        closed: false,
        width_mm: l.width_mm,
        light: [255; 3],
    };
    Marks { strokes: lines.iter().map(stroke).collect(), ..Marks::default() }
}

/// What was measured of one stretch.
#[derive(Clone, Copy, Debug, serde::Deserialize)]
pub struct Stretch {
    /// Sideways, px.
    pub shift_px: f64,
    /// Too wide by this share of the width.
    width: f64,
    /// True width, px.
    width_px: f64,
    /// Worst single pixel, share of full light.
    share: f64,
    /// Sum of light, relative to the true sum.
    brightness: f64,
    /// 10 to 90 % rise of an edge, px; 0 where the line is too thin to tell.
    pub rise_px: f64,
}

fn stretches(hang: Hang, lines: &[Line], scene: &Scene, dark: bool) -> Vec<Stretch> {
    let table = hang.table();
    let picture = thrown(scene, &square(), &table).expect("a picture");
    measured(&table, lines, &picture, dark)
}

/// All stretches of lines that lie where the cloth lies square on the table.
pub fn measured(table: &Table, lines: &[Line], picture: &RgbaImage, dark: bool) -> Vec<Stretch> {
    let lines: Vec<_> = lines.iter().map(|l| json!({ "from": l.from, "to": l.to, "width": l.width_mm })).collect();
    let job = json!({ "table": table_json(table), "lines": lines, "dark": dark });
    let answer: Vec<Vec<Stretch>> = serde_json::from_value(measure("lines.py", job, picture)).expect("stretches");
    answer.into_iter().flatten().collect()
}

/// Hangs from straight down to 30 degrees, with lenses to |k1| = 0.08.
fn hangs() -> Vec<Hang> {
    let hang = |tilt_deg, roll_deg, k1, k2| Hang { tilt_deg, roll_deg, k1, k2, ..Hang::PLAIN };
    vec![
        hang([0.0, 0.0], 0.0, 0.0, 0.0),
        hang([0.0, 0.0], 1.3, -0.08, 0.01),
        hang([15.0, 0.0], 0.0, -0.03, 0.004),
        hang([-10.0, 12.0], 178.0, 0.05, 0.0),
        hang([30.0, 0.0], 0.0, 0.0, 0.0),
        hang([0.0, 30.0], -2.0, 0.08, -0.01),
        hang([21.0, -21.0], 5.0, -0.05, 0.0),
    ]
}

fn rms(values: impl Iterator<Item = f64> + Clone) -> f64 {
    (values.clone().map(|v| v * v).sum::<f64>() / values.count() as f64).sqrt()
}

pub fn largest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, |a: f64, b| a.max(b.abs()))
}

#[test]
fn lines_lie_where_mathematics_says() {
    let lines = in_all_directions(&[0.8, 1.0, 1.5, 2.2, 3.0]);
    let mut all = Vec::new();
    for hang in hangs() {
        let found = stretches(hang, &lines, &on_cloth(strokes(&lines)), false);
        assert!(found.len() > 40, "only {} stretches lie in the picture of {hang:?}", found.len());
        all.extend(found);
    }
    let wide: Vec<_> = all.iter().filter(|s| s.width_px >= 1.0).collect();
    let shift = largest(wide.iter().map(|s| s.shift_px));
    assert!(shift <= 0.01, "a line is shifted by {shift} px");
    let spread = rms(wide.iter().map(|s| s.shift_px));
    assert!(spread <= 0.004, "lines are shifted by {spread} px rms");
    let width = largest(wide.iter().map(|s| s.width));
    assert!(width <= 0.01, "a line's width is wrong by {} %", 100.0 * width);
    let share = largest(all.iter().map(|s| s.share));
    assert!(share <= 0.015, "a pixel's share is wrong by {share}");
}

#[test]
fn thin_lines_dim_in_proportion() {
    let lines = in_all_directions(&[0.3, 0.4, 0.5]);
    for hang in hangs() {
        let found = stretches(hang, &lines, &on_cloth(strokes(&lines)), false);
        let thin: Vec<_> = found.iter().filter(|s| s.width_px < 1.0).collect();
        assert!(thin.len() > 40, "only {} stretches are thinner than a pixel in {hang:?}", thin.len());
        let brightness = largest(thin.iter().map(|s| s.brightness));
        assert!(brightness <= 0.02, "brightness is wrong by {} % in {hang:?}", 100.0 * brightness);
        let share = largest(thin.iter().map(|s| s.share));
        assert!(share <= 0.015, "a pixel's share is wrong by {share} in {hang:?}");
    }
}

#[test]
fn dark_lines_on_lit_ground_lie_as_exactly() {
    let lines = in_all_directions(&[0.8, 1.5, 3.0]);
    let mut marks = strokes(&lines);
    for stroke in &mut marks.strokes {
        stroke.light = [0; 3];
    }
    let scene = Scene { ground: [255; 3], ..on_cloth(marks) };
    let found = stretches(hangs()[2], &lines, &scene, true);
    assert!(found.len() > 40);
    // Near white a step of an sRGB byte is 0.009 of the light, against 0.0006 near black.
    let (shift, spread) = (largest(found.iter().map(|s| s.shift_px)), rms(found.iter().map(|s| s.shift_px)));
    assert!(shift <= 0.01 && spread <= 0.004, "shifted by up to {shift} px, {spread} rms");
    let width = largest(found.iter().filter(|s| s.width_px >= 1.0).map(|s| s.width));
    assert!(width <= 0.01, "a line's width is wrong by {} %", 100.0 * width);
    let share = largest(found.iter().map(|s| s.share));
    assert!(share <= 0.015, "a pixel's share is wrong by {share}");
}

/// A table 3 m long, and the cloth moved by 0.01 mm, which is 0.013 px: single precision must not swallow it.
#[test]
fn a_hundredth_of_a_millimetre_is_not_lost() {
    let hang = Hang { picture_px: [3840, 2160], tilt_deg: [15.0, 4.0], px_per_mm: 1.28, ..Hang::PLAIN };
    let table = hang.table();
    let lines: Vec<Line> = [-700.0, -350.0, 0.0, 400.0, 850.0, 1300.0, 1700.0]
        .iter()
        .map(|&x| Line { from: [x, -150.0], to: [x + 61.0, 750.0], width_mm: 1.5 })
        .collect();
    let scene = on_cloth(strokes(&lines));
    let mean_shift = |moved_mm: f64| -> Vec<f64> {
        let pose = Pose { at_mm: Point::new(moved_mm, 0.0), turn_rad: 0.0 };
        let picture = thrown(&scene, &pose, &table).expect("a picture");
        let lines: Vec<_> = lines
            .iter()
            .map(|l| json!({ "from": [l.from[0] + moved_mm, l.from[1]], "to": [l.to[0] + moved_mm, l.to[1]], "width": l.width_mm }))
            .collect();
        let job = json!({ "table": table_json(&table), "lines": lines });
        let found: Vec<Vec<Stretch>> = serde_json::from_value(measure("lines.py", job, &picture)).expect("stretches");
        assert!(found.iter().all(|line| line.len() > 15), "every line crosses the picture");
        found.iter().map(|line| line.iter().map(|s| s.shift_px).sum::<f64>() / line.len() as f64).collect()
    };
    let (before, after) = (mean_shift(0.0), mean_shift(0.01));
    for (a, b) in before.iter().zip(&after) {
        // Against the mathematics of each picture, so the 0.013 px themselves are already taken off.
        assert!((b - a).abs() < 0.0013, "the move came out wrong by {} px, a tenth of it", b - a);
    }
}
