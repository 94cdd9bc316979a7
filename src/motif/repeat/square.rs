//! The rectangle of a lattice that lies along the selvedge: what a dressmaker calls the repeat.

use super::lattice::{Lattice, Move, along};

/// A print is put on cloth more truly than this; a photo more askew is taken anew.
pub const MOST_SLANT_DEG: f64 = 4.0;

/// Along and across differ from a right angle by less than this.
const MOST_SKEW_DEG: f64 = 1.5;

/// Whole multiples of the lattice's moves that are looked at.
const MOST_TIMES: i32 = 5;

/// Most columns that can stand dropped against one another in a repeat.
const MOST_COLUMNS: f64 = 6.4;

/// The repeat in pixels.
#[derive(Clone, Copy, Debug)]
pub struct Square {
    /// Along and across.
    pub moves_px: [Move; 2],
    /// Columns in it, each dropped against the one before; 1 when all stand level.
    pub columns: u32,
    /// How far it is turned from along the selvedge, from along towards across.
    pub slant_deg: f64,
    /// Along and across; none the way that the print runs through.
    pub mm: [Option<f64>; 2],
}

/// The least rectangle of a lattice that lies along the selvedge; none when there is none.
pub fn square(lattice: &Lattice, pixel_mm: [f64; 2]) -> Option<Square> {
    let mm = |of: Move| [of[0] * pixel_mm[0], of[1] * pixel_mm[1]];
    let turn_deg = |[x, y]: Move| y.atan2(x).to_degrees();
    let times = || (-MOST_TIMES..=MOST_TIMES).flat_map(|i| (-MOST_TIMES..=MOST_TIMES).map(move |j| [i, j]));
    let near = |axis_deg: f64| {
        let to_axis = move |knot: [i32; 2]| {
            let far = along(lattice.moves_px, knot);
            let off_deg = turn_deg(mm(far)) - axis_deg;
            (knot != [0, 0] && off_deg.abs() <= MOST_SLANT_DEG + MOST_SKEW_DEG).then_some((far, off_deg))
        };
        times().filter_map(to_axis).collect::<Vec<_>>()
    };
    let (alongs, acrosses) = (near(0.0), near(90.0));
    let pairs = alongs.iter().flat_map(|a| acrosses.iter().map(move |b| (a, b)));
    let upright = pairs.filter(|((_, a), (_, b))| (a - b).abs() <= MOST_SKEW_DEG);
    let squares = upright.map(|((a, a_deg), (b, b_deg))| {
        let area_px2 = a[0] * b[1] - a[1] * b[0];
        let [a_mm, b_mm] = [mm(*a), mm(*b)].map(|[x, y]| Some(x.hypot(y)));
        let columns = area_px2 / lattice.area_px2();
        (
            columns,
            Square {
                moves_px: [*a, *b],
                columns: columns.round() as u32,
                slant_deg: (a_deg + b_deg) / 2.0,
                mm: [a_mm, b_mm],
            },
        )
    });
    let believed = squares
        .filter(|(columns, square)| (0.5..MOST_COLUMNS).contains(columns) && square.slant_deg.abs() <= MOST_SLANT_DEG);
    believed.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, square)| square)
}
