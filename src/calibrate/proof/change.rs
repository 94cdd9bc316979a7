//! What can have happened to a table as a whole: it grew, turned and slid.

use nalgebra::{Matrix3, Matrix4, SMatrix, Vector4};

use super::gap::Gap;
use crate::geometry::{self, Point, Vector};
use crate::table::fit::TRUST_MM;
use crate::table::sight::{Frame, MAP_UNKNOWNS, Unknowns};
use crate::table::{Fit, KeptTable, Spread, Stand, Table};

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
        let (sin, cos) = self.turn_rad.sin_cos();
        let turned = Point::new(cos * at.x - sin * at.y, sin * at.x + cos * at.y);
        turned * (1.0 + self.growth_share) + self.by_mm
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

    /// The table with the change made: the same pixels, the points moved, and the bound wider by what isn't known of the
    /// change. None when no projector could light it.
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
        Some(KeptTable { table, fit, ..kept.clone() })
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
