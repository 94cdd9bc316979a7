//! The forms of the lines: told apart by width, dash and label, never by colour alone, so that they also work for the
//! colour-blind and on a red print. Widths and dashes are true in millimetres on the cloth.

use crate::geometry::{Point, Vector};
use crate::stages::LineKind;

/// How a kind of line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Form {
    /// Full width.
    pub width_mm: f64,
    /// Lengths of dash and gap in turn; empty for a full line.
    pub dash_mm: &'static [f64],
    /// Distance between two lines drawn side by side; 0 for one.
    pub double_mm: f64,
    /// Whether both ends carry an arrow.
    pub arrows: bool,
}

/// Length of an arrow's barb.
const BARB_MM: f64 = 9.0;

/// The form of a kind of line.
pub const fn form(kind: LineKind) -> Form {
    let plain = Form { width_mm: 1.5, dash_mm: &[], double_mm: 0.0, arrows: false };
    match kind {
        LineKind::Cut => plain,
        LineKind::CutLater => Form { width_mm: 1.0, dash_mm: &[14.0, 7.0], ..plain },
        LineKind::Sew => Form { width_mm: 0.8, dash_mm: &[5.0, 5.0], ..plain },
        LineKind::Fold => Form { width_mm: 1.2, dash_mm: &[40.0, 5.0, 5.0, 5.0], ..plain },
        LineKind::Selvedge => Form { width_mm: 0.8, double_mm: 4.0, ..plain },
        LineKind::ClothEnd => Form { width_mm: 1.2, dash_mm: &[2.0, 6.0], ..plain },
        LineKind::LayEnd => Form { width_mm: 0.8, dash_mm: &[1.0, 14.0], ..plain },
        LineKind::Grain => Form { width_mm: 1.0, arrows: true, ..plain },
        LineKind::Notch => Form { width_mm: 2.0, ..plain },
        LineKind::Chalk => Form { width_mm: 0.8, dash_mm: &[1.5, 1.0], ..plain },
        LineKind::Level => Form { width_mm: 0.8, dash_mm: &[20.0, 4.0, 2.0, 4.0], ..plain },
    }
}

/// A line in its form: every polyline that has to be drawn.
pub fn drawn<F>(points: &[Point<F>], form: &Form) -> Vec<Vec<Point<F>>> {
    let half = form.double_mm / 2.0;
    let sides = if half > 0.0 { vec![shifted(points, half), shifted(points, -half)] } else { vec![points.to_vec()] };
    let mut lines: Vec<Vec<Point<F>>> = sides.iter().flat_map(|side| dashed(side, form.dash_mm)).collect();
    if form.arrows && points.len() >= 2 {
        let last = points.len() - 1;
        lines.push(barbs(points[0], points[1]));
        lines.push(barbs(points[last], points[last - 1]));
    }
    lines
}

/// A straight line's neighbour at a distance; only used for lines of one direction.
fn shifted<F>(points: &[Point<F>], by_mm: f64) -> Vec<Point<F>> {
    let along = points[points.len() - 1] - points[0];
    let normal = Vector::<F>::new(-along.y, along.x).try_normalize().unwrap_or_default();
    points.iter().map(|p| *p + normal * by_mm).collect()
}

/// The dashes of a line, true along its length.
pub fn dashed<F>(points: &[Point<F>], dash_mm: &[f64]) -> Vec<Vec<Point<F>>> {
    if dash_mm.is_empty() || points.len() < 2 {
        return vec![points.to_vec()];
    }
    let mut dashes = Vec::new();
    let mut dash = vec![points[0]];
    let mut turn = 0;
    let mut left_mm = dash_mm[0];
    for side in points.windows(2) {
        let (mut from, to) = (side[0], side[1]);
        while (to - from).length() > left_mm {
            from += (to - from).normalize() * left_mm;
            if turn % 2 == 0 {
                dash.push(from);
                dashes.push(std::mem::take(&mut dash));
            } else {
                dash = vec![from];
            }
            turn += 1;
            left_mm = dash_mm[turn % dash_mm.len()];
        }
        left_mm -= (to - from).length();
        if turn % 2 == 0 {
            dash.push(to);
        }
    }
    if turn % 2 == 0 && dash.len() > 1 {
        dashes.push(dash);
    }
    dashes
}

fn barbs<F>(tip: Point<F>, towards: Point<F>) -> Vec<Point<F>> {
    let back = (towards - tip).normalize();
    let across = Vector::<F>::new(-back.y, back.x);
    vec![tip + (back * 2.0 + across) * (BARB_MM / 2.0), tip, tip + (back * 2.0 - across) * (BARB_MM / 2.0)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Cloth, frame::point};

    #[test]
    fn dashes_are_true_along_a_bent_line() {
        let bent = [point::<Cloth>(0.0, 0.0), point(10.0, 0.0), point(10.0, 25.0)];
        let dashes = dashed(&bent, &[14.0, 7.0]);
        let length = |line: &Vec<Point<Cloth>>| line.windows(2).map(|s| (s[1] - s[0]).length()).sum::<f64>();
        let lengths: Vec<f64> = dashes.iter().map(length).collect();
        assert_eq!(dashes.len(), 2);
        assert!((lengths[0] - 14.0).abs() < 1e-9 && (lengths[1] - 14.0).abs() < 1e-9, "{lengths:?}");
        assert!((dashes[1][0] - point(10.0, 11.0)).length() < 1e-9);
    }
}
