//! Isolated straight lines: shift, width, single pixels and brightness against double-precision mathematics.

use super::oracle::{measure, table_json};
use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::geometry::{Cloth, Point};
use chalklight::scene::{Marks, Scene, Stroke};
use serde_json::json;

/// A line on the cloth, with the cloth lying square on the table.
#[derive(Clone, Copy, Debug)]
struct Line {
    from: [f64; 2],
    to: [f64; 2],
    width_mm: f64,
}

/// Lines in every direction, one in each cell of a grid over the lit part of the table.
fn in_all_directions(widths_mm: &[f64]) -> Vec<Line> {
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

fn strokes(lines: &[Line]) -> Marks<Cloth> {
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
struct Stretch {
    /// Sideways, px.
    shift_px: f64,
    /// Too wide by this share of the width.
    width: f64,
    /// True width, px.
    width_px: f64,
    /// Worst single pixel, share of full light.
    share: f64,
    /// Sum of light, relative to the true sum.
    brightness: f64,
}

fn stretches(hang: Hang, lines: &[Line], scene: &Scene, dark: bool) -> Vec<Stretch> {
    let table = hang.table();
    let picture = thrown(scene, &square(), &table).expect("a picture");
    let lines: Vec<_> = lines.iter().map(|l| json!({ "from": l.from, "to": l.to, "width": l.width_mm })).collect();
    let job = json!({ "table": table_json(&table), "lines": lines, "dark": dark });
    let answer: Vec<Vec<Stretch>> = serde_json::from_value(measure("lines.py", job, &picture)).expect("stretches");
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

fn largest(values: impl Iterator<Item = f64>) -> f64 {
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
