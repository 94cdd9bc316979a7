//! The repeat of a print of which no photo can be shown: the grid of its cells on the open cloth, true to its lengths.

use egui::Rect;

use super::canvas::Canvas;
use crate::bench::model::Bench;
use crate::bench::motifs::Showing;
use crate::geometry::Point;
use crate::lay::Lay;
use crate::motif::Open;
use crate::order::Cloth;

/// Cells that are smaller than this on screen, in points, are finer than the eye, and not drawn.
const FINEST: f64 = 4.0;

/// Cells so small may be that fine while the whole cloth is looked at.
const FINE_MM: f64 = 20.0;

/// The cells of a print.
pub struct Cells {
    /// Where the print begins on the cloth, along and across, where no motif is measured.
    begins_mm: [f64; 2],
}

impl Cells {
    /// Those of the order on the bench.
    pub fn of(bench: &Bench) -> Self {
        let photo = bench.work().order.as_ref().and_then(|order| order.photo);
        Self { begins_mm: photo.map_or([0.0; 2], |photo| photo.at_mm) }
    }

    /// Paints what is seen of them on the cloth of a lay, faintly. No words keep off them, as off no print.
    pub fn paint(&self, canvas: &Canvas, lay: &Lay) {
        let points_per_mm = f64::from(canvas.at(1000.0, 0.0).x - canvas.at(0.0, 0.0).x) / 1000.0;
        let [along_mm, column_mm] = sides_mm(&lay.cloth);
        if [along_mm, column_mm].into_iter().flatten().any(|mm| mm * points_per_mm < FINEST) {
            return;
        }
        let seen = canvas.painter.clip_rect();
        let [left_top, right_bottom] = [seen.left_top(), seen.right_bottom()].map(|at| canvas.mm(at));
        let low = Point::new(left_top[0].max(0.0), (-right_bottom[1]).max(0.0));
        let high = Point::new(right_bottom[0].min(lay.used_mm), (-left_top[1]).min(lay.cloth.width_mm));
        for ends in lines(&lay.cloth, self.begins_mm, [low, high]) {
            let [a, b] = ends.map(|p| canvas.at(p.x, -p.y));
            let line = Rect::from_two_pos(a, b).expand(0.5);
            canvas.painter.rect_filled(line, 0.0, canvas.ink.edge.gamma_multiply(0.6));
        }
    }
}

/// What is said of the cells, where they are drawn in place of a print; none where that is not so.
pub fn in_words(bench: &Bench, lay: &Lay) -> Option<String> {
    if bench.motifs.showing != Showing::Open || matches!(bench.print(), Some(Ok(_))) {
        return None;
    }
    let no_print = if bench.photo_path().is_some() { "The photo gives no print yet" } else { "No photo of the print" };
    let cloth = &lay.cloth;
    let show = |mm: f64| lay.system.show(mm);
    let repeat = match cloth.repeat_mm {
        [None, None] => return Some(format!("{no_print}, and no repeat is known: the cloth is drawn plain.")),
        [Some(along_mm), None] => format!("{} along", show(along_mm)),
        [None, Some(across_mm)] => format!("{} across", show(across_mm)),
        [Some(along_mm), Some(across_mm)] => format!("{} along, {} across", show(along_mm), show(across_mm)),
    };
    let dropped = if cloth.half_drop { ", every second column dropped by half" } else { "" };
    let begins = match cloth.motif_mm {
        Some(_) => "a motif in the middle of each cell",
        None => "begun at the corner, since no motif is measured",
    };
    let is_fine = sides_mm(cloth).into_iter().flatten().any(|mm| mm < FINE_MM);
    let nearer = if is_fine { " Look closer to see it." } else { "" };
    Some(format!("{no_print}: the faint grid is the repeat only, {repeat}{dropped}; {begins}.{nearer}"))
}

/// The sides of a cell, along and across; of a print whose columns are dropped, two make a repeat across.
fn sides_mm(cloth: &Cloth) -> [Option<f64>; 2] {
    let [along_mm, across_mm] = cloth.repeat_mm;
    [along_mm, across_mm.map(|mm| if cloth.half_drop { mm / 2.0 } else { mm })]
}

/// The sides of the cells within a rectangle of the open cloth, each once, by its ends.
fn lines(cloth: &Cloth, begins_mm: [f64; 2], [low, high]: [Point<Open>; 2]) -> Vec<[Point<Open>; 2]> {
    if low.x >= high.x || low.y >= high.y {
        return Vec::new();
    }
    let [along_mm, column_mm] = sides_mm(cloth);
    let half = |mm: Option<f64>| mm.unwrap_or(0.0) / 2.0;
    let [x_mm, y_mm] = cloth.motif_mm.map_or(begins_mm, |[x, y]| [x - half(along_mm), y - half(column_mm)]);
    // Each column with whether it is dropped, and from where to where it reaches.
    let columns: Vec<(bool, [f64; 2])> = match column_mm {
        None => vec![(false, [low.y, high.y])],
        Some(wide_mm) => {
            let [first, end] = [((low.y - y_mm) / wide_mm).floor(), ((high.y - y_mm) / wide_mm).ceil()];
            let column = |i: i64| [i, i + 1].map(|i| (y_mm + wide_mm * i as f64).clamp(low.y, high.y));
            let is_dropped = |i: i64| cloth.half_drop && i % 2 != 0;
            (first as i64..end as i64).map(|i| (is_dropped(i), column(i))).collect()
        }
    };
    let between = columns.iter().skip(1).map(|(_, [y, _])| [Point::new(low.x, *y), Point::new(high.x, *y)]);
    let heads = columns.iter().flat_map(|(dropped, [from, to])| {
        let begins_mm = x_mm + if *dropped { half(along_mm) } else { 0.0 };
        let places = along_mm.into_iter().flat_map(move |long_mm| {
            let [first, last] = [((low.x - begins_mm) / long_mm).ceil(), ((high.x - begins_mm) / long_mm).floor()];
            (first as i64..=last as i64).map(move |i| begins_mm + long_mm * i as f64)
        });
        places.map(move |x| [Point::new(x, *from), Point::new(x, *to)])
    });
    between.chain(heads).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::work::Work;

    /// The sides of the cells on 100 cm by 60 cm of cloth, with that written of it.
    fn sides(written: &str) -> Vec<[[f64; 2]; 2]> {
        let order = include_str!("../../command/demo/order.toml").replace("[cloth]", &format!("[cloth]\n{written}"));
        let work = Work::of(&order, None);
        let cloth = work.order.and_then(|order| order.cloth).unwrap_or_else(|| panic!("{:?}", work.remarks));
        let lines = lines(&cloth, [0.0; 2], [Point::new(0.0, 0.0), Point::new(1000.0, 600.0)]);
        lines.into_iter().map(|ends| ends.map(|end| end.to_array())).collect()
    }

    #[test]
    fn the_cells_are_true_to_the_repeat() {
        let plain = sides("repeat = [\"40 cm\", \"25 cm\"]");
        assert_eq!(plain.iter().filter(|[a, b]| a[1] == b[1]).map(|[a, _]| a[1]).collect::<Vec<_>>(), [250.0, 500.0]);
        let heads: Vec<f64> = plain.iter().filter(|[a, b]| a[0] == b[0]).map(|[a, _]| a[0]).collect();
        assert_eq!(heads, [0.0, 400.0, 800.0].repeat(3), "in each of three columns");
        // A way in which it runs through has no cells.
        let stripes = sides("repeat = [\"none\", \"25 cm\"]");
        assert!(stripes.len() == 2 && stripes.iter().all(|[a, b]| a[1] == b[1] && b[0] - a[0] == 1000.0));
        assert!(sides("").is_empty());
    }

    #[test]
    fn a_half_drop_has_two_columns_to_a_repeat_and_a_motif_in_the_middle_of_a_cell() {
        let dropped = sides("repeat = [\"40 cm\", \"50 cm\"]\ndrop = \"half\"\nmotif = [\"20 cm\", \"12.5 cm\"]");
        let in_column = |from: f64| -> Vec<f64> {
            dropped.iter().filter(|[a, b]| a[0] == b[0] && a[1] == from).map(|[a, _]| a[0]).collect()
        };
        assert_eq!(in_column(0.0), [0.0, 400.0, 800.0]);
        assert_eq!(in_column(250.0), [200.0, 600.0, 1000.0]);
        assert_eq!(in_column(500.0), [0.0, 400.0, 800.0]);
    }
}
