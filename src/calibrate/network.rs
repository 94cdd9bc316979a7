//! The readings as equations between unknowns: a surveyor's network.
//!
//! Each reading gives one equation (a distance) or two (a place), weighted by its noise. Beside them stand the priors on
//! what readings can't always see (lens, stand), and, when no place is known, the gauge: three equations that put mark A1 at
//! the origin and the last mark of row A on the axis. The gauge takes nothing from the fit, because moving the whole table
//! changes no distance. (Ghilani, *Adjustment Computations*, 5th ed. 2010, chapters 14 to 16.)

use nalgebra::SVector;

use super::Readings;
use super::readings::Hang;
use crate::table::sight::{CENTRE, FOOT, Frame, HEIGHT, K1, K2, UNKNOWNS, Unknowns, sight, sight_on_board};
use crate::table::{Kind, MarkName, Table};

/// All equations of a calibration.
#[derive(Clone, Debug)]
pub struct Network {
    /// The readings, in their order.
    pub observations: Vec<Observation>,
    /// The gauge.
    pub pins: Vec<Pin>,
    /// Where the gauge holds the table; none where places hold it.
    pub hold: Option<Hold>,
    /// What is believed of each unknown beforehand; none where nothing is.
    pub priors: [Option<Prior>; UNKNOWNS],
}

/// What is believed of an unknown beforehand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Its likeliest value.
    pub mean: f64,
    /// One standard deviation.
    pub sd: f64,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// What was read.
    pub what: What,
    /// Height above the table at which it was read.
    pub board_mm: f64,
    /// Its noise, one standard deviation.
    pub sigma_mm: f64,
}

/// What was read, of pixels given in half diagonals from the picture's centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// The place of a pixel: two equations.
    Place {
        /// The pixel.
        q: [f64; 2],
        /// Its place.
        at_mm: [f64; 2],
    },
    /// The distance between two pixels: one equation.
    Distance {
        /// The pixels.
        q: [[f64; 2]; 2],
        /// Their distance.
        mm: f64,
    },
}

/// One equation of the gauge: along a direction, a pixel lights the table at 0, or level with another pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    q: [f64; 2],
    level_with: Option<[f64; 2]>,
    along: [f64; 2],
}

/// How the gauge holds the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// The pixel about which the table may be turned.
    pivot: [f64; 2],
    /// Whether the pivot is to lie at the origin.
    at_origin: bool,
    /// The first and the last mark of row A.
    row: [[f64; 2]; 2],
    /// The direction in which the row is to run.
    along: [f64; 2],
}

/// The pins hold this well: far better than any reading, and not so well that digits are lost.
const PIN_SIGMA_MM: f64 = 1e-3;

/// Equations of one reading or pin, divided by their sigma: values and derivatives.
#[derive(Clone, Copy, Debug)]
pub struct Rows {
    /// Sighted minus read, in sigmas.
    pub off: [f64; 2],
    /// Derivatives by the unknowns.
    pub by: [Unknowns; 2],
    /// How many of the two are used.
    pub count: usize,
}

impl Observation {
    /// How many equations it gives.
    pub fn count(&self) -> usize {
        match self.what {
            What::Place { .. } => 2,
            What::Distance { .. } => 1,
        }
    }

    /// Its equations at `u`; none when a pixel lights nothing.
    pub fn rows(&self, u: &Unknowns) -> Option<Rows> {
        let scale = 1.0 / self.sigma_mm;
        match self.what {
            What::Place { q, at_mm } => {
                let s = sight_on_board(u, q, self.board_mm)?;
                let off = [(s.mm[0] - at_mm[0]) * scale, (s.mm[1] - at_mm[1]) * scale];
                Some(Rows { off, by: [s.by[0] * scale, s.by[1] * scale], count: 2 })
            }
            What::Distance { q, mm } => {
                let [a, b] = [sight_on_board(u, q[0], self.board_mm)?, sight_on_board(u, q[1], self.board_mm)?];
                let across = [b.mm[0] - a.mm[0], b.mm[1] - a.mm[1]];
                let length = across[0].hypot(across[1]).max(1e-9);
                let [cos, sin] = [across[0] / length * scale, across[1] / length * scale];
                let by = (b.by[0] - a.by[0]) * cos + (b.by[1] - a.by[1]) * sin;
                Some(Rows { off: [(length - mm) * scale, 0.0], by: [by, Unknowns::zeros()], count: 1 })
            }
        }
    }

    /// Sighted minus read, in mm: along x and y for a place, along the tape for a distance.
    pub fn residual_mm(&self, u: &Unknowns) -> Option<[f64; 2]> {
        self.rows(u).map(|rows| rows.off.map(|off| off * self.sigma_mm))
    }
}

impl Pin {
    /// Its equation at `u`.
    pub fn rows(&self, u: &Unknowns) -> Option<Rows> {
        let along = |q| {
            let s = sight_on_board(u, q, 0.0)?;
            let [x, y] = self.along.map(|a| a / PIN_SIGMA_MM);
            Some((s.mm[0] * x + s.mm[1] * y, s.by[0] * x + s.by[1] * y))
        };
        let (mut off, mut by) = along(self.q)?;
        if let Some(other) = self.level_with {
            let (other_off, other_by) = along(other)?;
            off -= other_off;
            by -= other_by;
        }
        Some(Rows { off: [off, 0.0], by: [by, Unknowns::zeros()], count: 1 })
    }
}

impl Network {
    /// The network of some readings. Readings of marks that the grid doesn't have are left out; there are none once the
    /// file was read.
    pub fn of(readings: &Readings) -> Self {
        let frame = Frame::of(readings.picture_px);
        let q = |mark: MarkName| readings.grid.px(mark).map(|px| frame.q(px));
        let observation = |reading: &crate::table::Reading| {
            let what = match reading.kind {
                Kind::Place { mark, at_mm } => What::Place { q: q(mark)?, at_mm: at_mm.to_array() },
                Kind::Distance { from, to, distance_mm } => What::Distance { q: [q(from)?, q(to)?], mm: distance_mm },
            };
            Some(Observation { what, board_mm: reading.height_mm, sigma_mm: readings.noise_mm() })
        };
        let observations = readings.readings.iter().filter_map(observation).collect();
        let hold = hold(readings, &frame);
        let pins = hold.map_or_else(Vec::new, |hold| hold.pins());
        Self { observations, pins, hold, priors: priors(readings, &frame) }
    }

    /// The same map, slid and turned on the table until it meets the gauge; distances don't change by that.
    ///
    /// Without this every step of the descent would have to creep along the bend of the gauge.
    pub fn gauged(&self, u: &Unknowns) -> Option<Unknowns> {
        match self.hold {
            None => Some(*u),
            Some(hold) => hold.applied(u),
        }
    }

    /// Count of equations that the readings give.
    pub fn equations(&self) -> usize {
        self.observations.iter().map(Observation::count).sum()
    }

    /// Whether any reading was taken on a board.
    pub fn has_board(&self) -> bool {
        self.observations.iter().any(|o| o.board_mm != 0.0)
    }
}

impl Hang {
    /// How the picture of a table lies: the turn that its top edge runs nearest to, and the side on which the rest lies.
    pub fn of(table: &Table) -> Option<Self> {
        let [left, right, _, below] = table.lit_corners_mm()?;
        let (row, down) = (right - left, below - left);
        let nearness = |turns: u8| {
            let [x, y] = Self { quarter_turns: turns, ..Self::default() }.row_along();
            x * row.x + y * row.y
        };
        let quarter_turns = (0..4).max_by(|a, b| nearness(*a).total_cmp(&nearness(*b)))?;
        Some(Self { mirrored: row.cross(down) > 0.0, quarter_turns })
    }

    /// The direction on the table, x and y, along which row A of the picture runs.
    pub fn row_along(self) -> [f64; 2] {
        [[1.0, 0.0], [0.0, -1.0], [-1.0, 0.0], [0.0, 1.0]][usize::from(self.quarter_turns) % 4]
    }

    /// The direction on the table that runs down the picture.
    pub fn down_along(self) -> [f64; 2] {
        let [x, y] = self.row_along();
        if self.mirrored { [-y, x] } else { [y, -x] }
    }
}

/// Without a place the table may slide and turn; with one it may turn about it.
fn hold(readings: &Readings, frame: &Frame) -> Option<Hold> {
    let q = |mark: MarkName| readings.grid.px(mark).map(|px| frame.q(px));
    let row = [q(readings.grid.first()?)?, q(readings.grid.last_of_first_row()?)?];
    let places: Vec<MarkName> = readings.places().into_iter().collect();
    let along = readings.hang.row_along();
    match places[..] {
        [] => Some(Hold { pivot: row[0], at_origin: true, row, along }),
        [mark] => Some(Hold { pivot: q(mark)?, at_origin: false, row, along }),
        _ => None,
    }
}

impl Hold {
    fn pins(&self) -> Vec<Pin> {
        let [x, y] = self.along;
        let turn = Pin { q: self.row[1], level_with: Some(self.row[0]), along: [-y, x] };
        if !self.at_origin {
            return vec![turn];
        }
        let slide = |along| Pin { q: self.pivot, level_with: None, along };
        vec![slide([1.0, 0.0]), slide([0.0, 1.0]), turn]
    }

    fn applied(&self, u: &Unknowns) -> Option<Unknowns> {
        let [first, last, pivot] = [sight(u, self.row[0])?.mm, sight(u, self.row[1])?.mm, sight(u, self.pivot)?.mm];
        let row = [last[0] - first[0], last[1] - first[1]];
        let length = row[0].hypot(row[1]);
        let [ax, ay] = self.along;
        // The turn that takes the row's direction to where it is to run.
        let cos = (row[0] * ax + row[1] * ay) / length;
        let sin = (row[0] * ay - row[1] * ax) / length;
        let to = if self.at_origin { [0.0, 0.0] } else { pivot };
        let mut turned = *u;
        for (k, w) in [(0, u[6]), (1, u[7]), (2, 1.0)] {
            let (x, y) = (u[k] - pivot[0] * w, u[k + 3] - pivot[1] * w);
            turned[k] = cos * x - sin * y + to[0] * w;
            turned[k + 3] = sin * x + cos * y + to[1] * w;
        }
        turned.iter().all(|v| v.is_finite()).then_some(turned)
    }
}

fn priors(readings: &Readings, frame: &Frame) -> [Option<Prior>; UNKNOWNS] {
    let mut priors = [None; UNKNOWNS];
    let lens = &readings.lens;
    let centre = lens.centre_px.map_or([0.0, 0.0], |at| frame.q(at));
    let [k1, k2] = lens.known.unwrap_or_default();
    priors[K1] = Some(Prior { mean: k1, sd: lens.k1_sd });
    priors[K2] = Some(Prior { mean: k2, sd: lens.k2_sd });
    for axis in 0..2 {
        priors[CENTRE + axis] = Some(Prior { mean: centre[axis], sd: lens.centre_sd });
    }
    // Without a tape the stand is only known to be in the room.
    const IN_THE_ROOM_MM: f64 = 3000.0;
    let (at, height, sd) = match readings.stand {
        Some(stand) => (stand.foot_mm.to_array(), stand.height_mm, readings.stand_sd_mm),
        None => ([500.0, 500.0], 2000.0, IN_THE_ROOM_MM),
    };
    let stand: SVector<f64, 3> = SVector::from([at[0], at[1], height]);
    for (i, mean) in stand.iter().enumerate() {
        priors[FOOT + i] = Some(Prior { mean: *mean, sd });
    }
    debug_assert_eq!(HEIGHT, FOOT + 2);
    priors
}
