//! What can have happened to a table as a whole: it grew, turned and slid.

use nalgebra::{Matrix3, Matrix4, SMatrix, Vector4};

use super::gap::Gap;
use crate::calibrate::readings::noise_mm;
use crate::geometry::{self, Point, Vector};
use crate::table::fit::TRUST_MM;
use crate::table::sight::{Frame, MAP_UNKNOWNS, Unknowns};
use crate::table::{Fit, KeptTable, Kind, Reading, Record, Spread, Stand, Table};

/// A change of the whole table: what lay at X lies at (1 + growth) R X + by.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// How much larger everything is; 0.01 is one in a hundred.
    pub growth_share: f64,
    /// The turn, anticlockwise.
    pub turn_rad: f64,
    /// The way it slid.
    pub by_mm: Vector<geometry::Table>,
    /// Covariance of growth, turn and both parts of the way.
    covariance: Matrix4<f64>,
}

const GROWTH: usize = 0;
const TURN: usize = 1;
const ACROSS: usize = 2;
const AWAY: usize = 3;

/// The parts of a change that are free, and what it is called.
pub type Explanation = (&'static [usize], &'static str);

/// The changes that so many gaps can tell apart, simplest first.
pub fn explaining(gaps: &[Gap]) -> Vec<Explanation> {
    let equations: usize = gaps.iter().map(Gap::equations).sum();
    let mut changes: Vec<Explanation> = Vec::new();
    if equations >= 2 {
        changes.push((&[GROWTH], "everything grew or shrank by one factor"));
    }
    if equations - gaps.len() >= 2 {
        changes.push((&[TURN, ACROSS, AWAY], "the picture slid and turned as a whole"));
        changes.push((&[GROWTH, TURN, ACROSS, AWAY], "the picture slid, turned and changed its size as a whole"));
    }
    changes
}

impl Change {
    /// No change.
    pub fn none() -> Self {
        Self::of(Vector4::zeros(), Matrix4::zeros())
    }

    fn of(parts: Vector4<f64>, covariance: Matrix4<f64>) -> Self {
        let by_mm = Vector::new(parts[ACROSS], parts[AWAY]);
        Self { growth_share: parts[GROWTH], turn_rad: parts[TURN], by_mm, covariance }
    }

    /// Where a point lies after it.
    pub fn applied(&self, at: Point<geometry::Table>) -> Point<geometry::Table> {
        (self.turned(at.to_vector()) * (1.0 + self.growth_share) + self.by_mm).to_point()
    }

    fn turned(&self, way: Vector<geometry::Table>) -> Vector<geometry::Table> {
        let (sin, cos) = self.turn_rad.sin_cos();
        Vector::new(cos * way.x - sin * way.y, sin * way.x + cos * way.y)
    }

    /// The change that fits best in some of its parts, by three Gauss-Newton steps with differences for derivatives.
    pub(super) fn fitted(gaps: &[Gap], free: &[usize]) -> Option<Self> {
        const STEP: [f64; 4] = [1e-6, 1e-6, 1e-3, 1e-3];
        let mut parts = Vector4::zeros();
        let mut covariance = Matrix4::zeros();
        for _ in 0..3 {
            let (mut normal, mut gradient) = (Matrix4::identity(), Vector4::zeros());
            free.iter().for_each(|k| normal[(*k, *k)] = 0.0);
            for gap in gaps {
                let left = |parts: Vector4<f64>| gap.left(&Self::of(parts, covariance));
                let here = left(parts);
                let by: Vec<Vector<geometry::Table>> = free
                    .iter()
                    .map(|k| {
                        let mut nudged = parts;
                        nudged[*k] += STEP[*k];
                        (left(nudged) - here) / STEP[*k]
                    })
                    .collect();
                for (i, k) in free.iter().enumerate() {
                    gradient[*k] += by[i].dot(here);
                    for (j, l) in free.iter().enumerate() {
                        normal[(*k, *l)] += by[i].dot(by[j]);
                    }
                }
            }
            covariance = normal.try_inverse()?;
            parts -= covariance * gradient;
        }
        for k in (0..4).filter(|k| !free.contains(k)) {
            covariance[(k, k)] = 0.0;
        }
        parts.iter().all(|v| v.is_finite()).then(|| Self::of(parts, covariance))
    }

    /// `+0.52 %`, `+3.0 mm across, -1.2 mm away from you, turned +0.10 degrees`, or both.
    pub fn in_words(&self) -> String {
        let mut words = Vec::new();
        if self.growth_share != 0.0 {
            words.push(format!("{:+.2} %", 100.0 * self.growth_share));
        }
        if self.by_mm != Vector::zero() {
            words.push(format!(
                "{:+.1} mm across, {:+.1} mm away from you, turned {:+.2} degrees",
                self.by_mm.x,
                self.by_mm.y,
                self.turn_rad.to_degrees()
            ));
        }
        words.join(", ")
    }

    /// The table with the change made: the same pixels, the points and readings moved, and the bound wider by what isn't
    /// known of the change. None when no projector could light it.
    pub fn made(&self, kept: &KeptTable) -> Option<KeptTable> {
        let old = Matrix3::from_fn(|i, j| kept.table.homography[i][j]);
        let new = old * self.matrix().try_inverse()?;
        let last = new[(2, 2)];
        let homography =
            std::array::from_fn(|i| std::array::from_fn(|j| if i + j == 4 { 1.0 } else { new[(i, j)] / last }));
        let stand = kept.table.stand.map(|stand| Stand {
            foot_mm: self.applied(stand.foot_mm),
            height_mm: stand.height_mm * (1.0 + self.growth_share),
        });
        let table = Table { homography, stand, ..kept.table.clone() };
        if last <= 0.0 || !table.is_sound() {
            return None;
        }
        let fit = match &kept.fit {
            Some(fit) => Some(self.widened(fit, &kept.table, &table)?),
            None => None,
        };
        let record = kept.record.as_ref().map(|record| self.reread(record, kept.table.stand.as_ref()));
        Some(KeptTable { table, fit, record, screen: kept.screen.clone() })
    }

    /// What would be read on the changed table: solved again it gives that one, and not the old. Distances know of no slide
    /// and no turn: solved from them alone, a table has A1 for its zero, as ever.
    ///
    /// The rounding of the old readings can't be seen in these any more, so it is counted with their noise.
    fn reread(&self, record: &Record, stand: Option<&Stand>) -> Record {
        let readings = record.readings.iter().map(|reading| self.moved(reading, stand)).collect();
        Record { marks: record.marks.clone(), sigma_mm: noise_mm(record.sigma_mm, &record.readings), readings }
    }

    /// A reading, moved. Under a lens at height Z everything on a board of height h is smaller by (Z - h)/Z, before and after.
    fn moved(&self, reading: &Reading, stand: Option<&Stand>) -> Reading {
        /// Readings to the hundredth are as good as not rounded.
        const STEPS_IN_MM: f64 = 100.0;
        let grown = 1.0 + self.growth_share;
        let told = |mm: f64| (mm * STEPS_IN_MM).round() / STEPS_IN_MM;
        let (foot_mm, share) = match stand.filter(|stand| stand.height_mm > reading.height_mm) {
            Some(Stand { foot_mm, height_mm: lens_mm }) => {
                (*foot_mm, (lens_mm * grown - reading.height_mm) / (lens_mm - reading.height_mm))
            }
            None => (Point::origin(), grown),
        };
        let kind = match reading.kind {
            Kind::Place { mark, at_mm } => {
                let at_mm = self.applied(foot_mm) + self.turned(at_mm - foot_mm) * share;
                Kind::Place { mark, at_mm: Point::new(told(at_mm.x), told(at_mm.y)) }
            }
            Kind::Distance { from, to, distance_mm } => {
                Kind::Distance { from, to, distance_mm: told(distance_mm * share) }
            }
        };
        Reading { kind, height_mm: reading.height_mm }
    }

    fn matrix(&self) -> Matrix3<f64> {
        let (sin, cos) = self.turn_rad.sin_cos();
        let grown = 1.0 + self.growth_share;
        let Vector { x, y, .. } = self.by_mm;
        Matrix3::new(grown * cos, -grown * sin, x, grown * sin, grown * cos, y, 0.0, 0.0, 1.0)
    }

    /// The fit of the changed table: its covariance goes through the change, and that of the change is added. Both are
    /// exact, because the numerators of the sight are changed linearly and its denominator not at all.
    fn widened(&self, fit: &Fit, old: &Table, new: &Table) -> Option<Fit> {
        let u = Frame::of(old.picture_px).unknowns(old)?;
        let m = self.matrix();
        let mut by_old = SMatrix::<f64, MAP_UNKNOWNS, MAP_UNKNOWNS>::identity();
        for k in 0..3 {
            for (i, j) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                by_old[(3 * i + k, 3 * j + k)] = m[(i, j)];
            }
            if k < 2 {
                by_old[(k, 6 + k)] = m[(0, 2)];
                by_old[(3 + k, 6 + k)] = m[(1, 2)];
            }
        }
        let by_change = self.by_change(&u);
        let covariance =
            by_old * fit.spread.covariance * by_old.transpose() + by_change * self.covariance * by_change.transpose();
        let spread = Spread { covariance, ..fit.spread.clone() };
        let bound95 = spread.over_lit_area(new)?;
        let trusted = fit.trusted && bound95.largest_mm <= TRUST_MM;
        Some(Fit { spread, bound95, trusted, ..fit.clone() })
    }

    /// Derivatives of the changed table's unknowns by the change.
    fn by_change(&self, u: &Unknowns) -> SMatrix<f64, MAP_UNKNOWNS, 4> {
        let (sin, cos) = self.turn_rad.sin_cos();
        let grown = 1.0 + self.growth_share;
        let mut by = SMatrix::zeros();
        for k in 0..3 {
            let (x, y, w) = (u[k], u[3 + k], if k < 2 { u[6 + k] } else { 1.0 });
            by[(k, GROWTH)] = cos * x - sin * y;
            by[(3 + k, GROWTH)] = sin * x + cos * y;
            by[(k, TURN)] = -grown * (sin * x + cos * y);
            by[(3 + k, TURN)] = grown * (cos * x - sin * y);
            by[(k, ACROSS)] = w;
            by[(3 + k, AWAY)] = w;
        }
        by
    }
}
