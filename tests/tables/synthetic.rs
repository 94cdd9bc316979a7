//! Tables whose truth is known: a pinhole projector with a radial lens, drawn at random from a fixed seed.
//!
//! Written apart from the program: a pixel's ray is sent through the lens and met with the table in space.

// Each program that includes this file uses a part of it.
#![allow(dead_code)]

use chalklight::calibrate::readings::{Hang, LensBelief};
use chalklight::calibrate::{Grid, Readings};
use chalklight::geometry::{Pixel, Point, Table};
use chalklight::table::{Kind, MarkName, Reading};

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
pub struct Chance(pub u64);

impl Chance {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    /// Standard normal, by Box and Muller.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.between(f64::MIN_POSITIVE, 1.0).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.between(0.0, 1.0)).cos()
    }
}

/// The truth.
#[derive(Clone, Debug)]
pub struct Projector {
    pub picture_px: [u32; 2],
    /// Focal length and principal point, px.
    pub focal_px: f64,
    pub principal_px: [f64; 2],
    /// Where the lens hangs, mm.
    pub lens_mm: [f64; 3],
    /// The projector's right, down and ahead in the table's frame.
    pub axes: [[f64; 3]; 3],
    pub k1: f64,
    pub k2: f64,
    /// In half diagonals from the picture's centre.
    pub centre: [f64; 2],
}

impl Projector {
    /// 1080p or 2160p, throw 1.5 to 3 m, tilt 0 to 30 degrees in any direction, some lens shift.
    pub fn draw(chance: &mut Chance, k1: f64) -> Self {
        let tilt_deg = chance.between(0.0, 30.0);
        Self { k1, ..Self::tilted(chance, tilt_deg) }
    }

    /// As [`Projector::draw`], with this tilt and no lens.
    pub fn tilted(chance: &mut Chance, tilt_deg: f64) -> Self {
        let tilt = tilt_deg.to_radians();
        let picture_px = if chance.below(2) == 0 { [1920, 1080] } else { [3840, 2160] };
        let [w, h] = picture_px.map(f64::from);
        let (throw_mm, ratio) = (chance.between(1500.0, 3000.0), chance.between(1.1, 1.6));
        let toward = chance.between(0.0, std::f64::consts::TAU);
        let roll = chance.between(-0.1, 0.1);
        let shift = chance.between(-0.3, 0.3);
        let ahead = [tilt.sin() * toward.cos(), tilt.sin() * toward.sin(), -tilt.cos()];
        // Right is +x rolled a little, made square to the ray ahead; down completes the frame.
        let rolled = [roll.cos(), roll.sin(), 0.0];
        let along = dot(rolled, ahead);
        let right = unit([0, 1, 2].map(|i| rolled[i] - along * ahead[i]));
        let down = cross(ahead, right);
        let aim = [chance.between(300.0, 900.0), chance.between(200.0, 600.0), 0.0];
        Self {
            picture_px,
            focal_px: ratio * w,
            principal_px: [w / 2.0, h * (0.5 + shift)],
            lens_mm: [0, 1, 2].map(|i| aim[i] - throw_mm * ahead[i]),
            axes: [right, down, ahead],
            k1: 0.0,
            k2: 0.0,
            centre: [0.0, 0.0],
        }
    }

    /// A lens drawn blind: half of them have none, half a k1 between -0.08 and 0.08 with some k2 and centre.
    pub fn blind(chance: &mut Chance) -> Self {
        if chance.below(2) == 0 {
            return Self::draw(chance, 0.0);
        }
        let k1 = chance.between(-0.08, 0.08);
        Self::with_lens(chance, k1)
    }

    /// A lens with this k1, and some k2 and centre; none that squeezes a corner of the picture to under six tenths.
    pub fn with_lens(chance: &mut Chance, k1: f64) -> Self {
        let mut projector = Self::draw(chance, k1);
        loop {
            projector.k2 = 0.01 * chance.normal();
            projector.centre = [0.08 * chance.normal(), 0.08 * chance.normal()];
            let r2 = (1.0 + projector.centre[0].hypot(projector.centre[1])).powi(2);
            if 1.0 + 3.0 * k1 * r2 + 5.0 * projector.k2 * r2 * r2 > 0.6 {
                return projector;
            }
        }
    }

    fn half_diagonal_px(&self) -> f64 {
        f64::from(self.picture_px[0]).hypot(f64::from(self.picture_px[1])) / 2.0
    }

    /// The point of the table that a pixel lights, by bisection through the lens and the ray's meeting with the table.
    pub fn mm(&self, px: Point<Pixel>) -> Point<Table> {
        let s = self.half_diagonal_px();
        let middle = self.picture_px.map(|side| f64::from(side) / 2.0);
        let centre = [middle[0] + s * self.centre[0], middle[1] + s * self.centre[1]];
        let d = [(px.x - centre[0]) / s, (px.y - centre[1]) / s];
        let rho = d[0].hypot(d[1]);
        let (mut low, mut high) = (0.0, 2.0 * rho);
        for _ in 0..80 {
            let r = (low + high) / 2.0;
            let thrown = r * (1.0 + self.k1 * r * r + self.k2 * r.powi(4));
            if thrown < rho { low = r } else { high = r }
        }
        let ratio = if rho > 0.0 { low / rho } else { 1.0 };
        let ideal = [centre[0] + s * d[0] * ratio, centre[1] + s * d[1] * ratio];
        let right = (ideal[0] - self.principal_px[0]) / self.focal_px;
        let down = (ideal[1] - self.principal_px[1]) / self.focal_px;
        let ray = [0, 1, 2].map(|i| self.axes[2][i] + right * self.axes[0][i] + down * self.axes[1][i]);
        let t = -self.lens_mm[2] / ray[2];
        Point::new(self.lens_mm[0] + t * ray[0], self.lens_mm[1] + t * ray[1])
    }

    /// The point that a pixel lights on a board.
    pub fn mm_on_board(&self, px: Point<Pixel>, board_mm: f64) -> Point<Table> {
        let at = self.mm(px);
        let foot = Point::new(self.lens_mm[0], self.lens_mm[1]);
        foot + (at - foot) * ((self.lens_mm[2] - board_mm) / self.lens_mm[2])
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let length = dot(a, a).sqrt();
    a.map(|v| v / length)
}

/// How a table is read.
#[derive(Clone, Copy, Debug)]
pub struct Manner {
    pub columns: usize,
    pub rows: usize,
    pub sigma_mm: f64,
    /// None: every mark's place on a mat. Some: this many distances, as the program advises.
    pub distances: Option<usize>,
}

/// Reads a table: noise of one sigma, then rounded to half a millimetre.
pub fn read(projector: &Projector, manner: Manner, chance: &mut Chance) -> Readings {
    let grid = Grid::even(projector.picture_px, manner.columns, manner.rows, 0.06);
    let mut tape = |mm: f64| ((mm + manner.sigma_mm * chance.normal()) * 2.0).round() / 2.0;
    let readings = match manner.distances {
        None => grid
            .marks
            .iter()
            .map(|(mark, px)| {
                let at = projector.mm(*px);
                Reading { kind: Kind::Place { mark: *mark, at_mm: Point::new(tape(at.x), tape(at.y)) }, height_mm: 0.0 }
            })
            .collect(),
        Some(count) => distances(&grid, projector.picture_px, count)
            .into_iter()
            .map(|[from, to]| {
                let between = (projector.mm(grid.marks[&from]) - projector.mm(grid.marks[&to])).length();
                Reading { kind: Kind::Distance { from, to, distance_mm: tape(between) }, height_mm: 0.0 }
            })
            .collect(),
    };
    Readings {
        picture_px: projector.picture_px,
        hang: Hang::default(),
        grid,
        sigma_mm: manner.sigma_mm,
        tape_class: None,
        lens: LensBelief::default(),
        stand: None,
        stand_sd_mm: 10.0,
        readings,
    }
}

/// The first `count` distances that the program advises for this grid.
fn distances(grid: &Grid, picture_px: [u32; 2], count: usize) -> Vec<[MarkName; 2]> {
    let plan = chalklight::calibrate::advice::plan(picture_px, grid, 0.5, count.saturating_sub(6));
    plan.into_iter().take(count).map(|a| [a.from, a.to]).collect()
}

/// The truth in the frame that the readings fix: the mat's, or A1 at the origin and the end of row A on the x axis.
pub fn truth(projector: &Projector, readings: &Readings, px: Point<Pixel>) -> Point<Table> {
    let at = projector.mm(px);
    if !readings.places().is_empty() {
        return at;
    }
    let grid = &readings.grid;
    let mark = |m: Option<MarkName>| projector.mm(m.and_then(|m| grid.px(m)).expect("a mark"));
    let (origin, last) = (mark(grid.first()), mark(grid.last_of_first_row()));
    let along = (last - origin).normalize();
    let from = at - origin;
    Point::new(from.dot(along), along.cross(from))
}

/// A hundred pixels spread over the picture.
pub fn probes(picture_px: [u32; 2]) -> Vec<Point<Pixel>> {
    let [w, h] = picture_px.map(f64::from);
    (0..100).map(|i| Point::new(w * (f64::from(i % 10) + 0.5) / 10.0, h * (f64::from(i / 10) + 0.5) / 10.0)).collect()
}

/// Makes `count` of the readings wrong by 10 mm or more, each in a way that tapes and pencils are known for; gives their
/// names.
pub fn misread(readings: &mut Readings, count: usize, chance: &mut Chance) -> Vec<String> {
    let mut wrong: Vec<usize> = Vec::new();
    while wrong.len() < count {
        let index = chance.below(readings.readings.len());
        if !wrong.contains(&index) {
            wrong.push(index);
        }
    }
    wrong.sort_unstable();
    for index in &wrong {
        let other = readings.readings[chance.below(readings.readings.len())].kind.clone();
        match &mut readings.readings[*index].kind {
            Kind::Distance { distance_mm, .. } => *distance_mm = slip(*distance_mm, chance),
            Kind::Place { at_mm, .. } => match (chance.below(3), other) {
                (0, _) => at_mm.x = slip(at_mm.x, chance),
                (1, _) => at_mm.y = slip(at_mm.y, chance),
                (_, Kind::Place { at_mm: other, .. }) if (other - *at_mm).length() > 10.0 => *at_mm = other,
                _ => at_mm.x = slip(at_mm.x, chance),
            },
        }
    }
    wrong.iter().map(|i| readings.readings[*i].name()).collect()
}

/// An inch off, two digits swapped, or anything from 10 to 100 mm.
fn slip(mm: f64, chance: &mut Chance) -> f64 {
    let sign = if chance.below(2) == 0 { 1.0 } else { -1.0 };
    let any = mm + sign * chance.between(10.0, 100.0).round();
    let wrong = match chance.below(3) {
        0 => mm + sign * 25.4,
        1 => swapped(mm),
        _ => any,
    };
    if (wrong - mm).abs() >= 10.0 && wrong.abs() > 1.0 { wrong } else { any }
}

fn swapped(mm: f64) -> f64 {
    let (tens, units) = ((mm / 10.0) as i64 % 10, mm as i64 % 10);
    mm + (9 * (units - tens)) as f64
}
