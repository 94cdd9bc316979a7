//! Has the projector been knocked? A few distances, measured before cutting, against what the table says.
//!
//! Each distance is compared at its own bound: the table's own uncertainty of that distance and the noise of the tape. What
//! doesn't pass is tried once more under the simplest change that could explain it: the whole table larger or smaller (the
//! projector or the table was raised), and, where places on the mat were read, slid and turned (either was pushed). Only a
//! change that explains everything is offered; anything else, a tilt above all, asks for a new calibration.

use nalgebra::{Matrix4, Vector4};

use crate::geometry::{self, Point, Vector};
use crate::remark::Remark;
use crate::table::{KeptTable, Kind, MarkName, Reading, Table};

/// What the proof found.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// Everything is where the table says.
    Holds,
    /// One change explains everything; the table with that change made.
    Moved(Box<KeptTable>, Remark),
    /// The table no longer holds.
    Broken(Remark),
}

/// The proof of a table by readings of its own marks; none when a mark isn't known to it.
///
/// Chi-square decides at one false alarm in a hundred.
pub fn prove(kept: &KeptTable, readings: &[Reading]) -> Option<Proof> {
    let gaps: Vec<Gap> = readings.iter().map(|r| Gap::of(kept, r)).collect::<Option<_>>()?;
    if passes(&gaps, Change::NONE, 0) {
        return Some(Proof::Holds);
    }
    let places = gaps.iter().filter(|g| matches!(g.kind, GapKind::Place { .. })).count();
    let distances = gaps.len() - places;
    let mut changes: Vec<(&[usize], &str)> = Vec::new();
    if distances + 2 * places >= 2 {
        changes.push((&[SCALE], "everything grew or shrank by one factor"));
    }
    if places >= 2 {
        changes.push((&[TURN, ACROSS, AWAY], "the picture slid and turned as a whole"));
        changes.push((&[SCALE, TURN, ACROSS, AWAY], "the picture slid, turned and changed its size as a whole"));
    }
    for (free, says) in changes {
        let Some(change) = Change::fitted(&gaps, free) else { continue };
        if passes(&gaps, change, free.len()) {
            let remark = Remark::doubt(format!("the table was moved: {says} ({})", change.in_words()))
                .field("proof")
                .remedy("take the corrected table, or solve a new one if anything was tilted");
            return change.made(kept).map(|kept| Proof::Moved(Box::new(kept), remark));
        }
    }
    let worst = gaps.iter().max_by(|a, b| a.score(Change::NONE).total_cmp(&b.score(Change::NONE)));
    let worst = worst.map_or_else(String::new, |gap| gap.says.clone());
    let says = format!("the table no longer holds: {worst}");
    Some(Proof::Broken(Remark::doubt(says).field("proof").remedy("measure these again; if they stay, calibrate anew")))
}

/// Distances that prove a table well: two sides and the diagonal between them. A change of size shows in all three, a tilt
/// about either axis in one side alone.
pub fn distances(kept: &KeptTable) -> Vec<[MarkName; 2]> {
    let Some(record) = &kept.record else { return Vec::new() };
    let corners = super::Grid { marks: record.marks.clone() }.corners();
    match corners[..] {
        [a, b, c, _] => vec![[a, b], [b, c], [a, c]],
        _ => Vec::new(),
    }
}

/// One reading and what the table says in its place.
struct Gap {
    kind: GapKind,
    sd_mm: f64,
    says: String,
}

enum GapKind {
    Distance { told_mm: f64, read_mm: f64 },
    Place { told: Point<geometry::Table>, read: Point<geometry::Table> },
}

impl Gap {
    fn of(kept: &KeptTable, reading: &Reading) -> Option<Self> {
        let record = kept.record.as_ref()?;
        let px = |mark: MarkName| record.marks.get(&mark).copied();
        let at = |mark: MarkName| kept.table.mm_from_px_at(px(mark)?, reading.height_mm);
        let spread = kept.fit.as_ref().map(|fit| &fit.spread);
        match reading.kind {
            Kind::Distance { from, to, distance_mm } => {
                let told_mm = (at(to)? - at(from)?).length();
                let own_mm = spread.and_then(|s| s.distance_sd_mm(&kept.table, [px(from)?, px(to)?])).unwrap_or(0.0);
                let says = format!("{} should be {told_mm:.1} mm and was read as {distance_mm:.1} mm", reading.name());
                let kind = GapKind::Distance { told_mm, read_mm: distance_mm };
                Some(Self { kind, sd_mm: own_mm.hypot(record.sigma_mm), says })
            }
            Kind::Place { mark, at_mm } => {
                /// The 95 % radius of a round normal distribution in standard deviations: sqrt(5.991).
                const RADIUS95: f64 = 2.448;
                let told = at(mark)?;
                let own_mm = spread.and_then(|s| s.bound95_mm(&kept.table, px(mark)?)).unwrap_or(0.0) / RADIUS95;
                let says = format!(
                    "{} should be at {:.1} mm, {:.1} mm and was read at {:.1} mm, {:.1} mm",
                    reading.name(),
                    told.x,
                    told.y,
                    at_mm.x,
                    at_mm.y
                );
                Some(Self { kind: GapKind::Place { told, read: at_mm }, sd_mm: own_mm.hypot(record.sigma_mm), says })
            }
        }
    }

    fn equations(&self) -> usize {
        match self.kind {
            GapKind::Distance { .. } => 1,
            GapKind::Place { .. } => 2,
        }
    }

    /// What is left of the gap once a change is made, in sigmas.
    fn off(&self, change: Change) -> Vector<geometry::Table> {
        let off = match self.kind {
            GapKind::Distance { told_mm, read_mm } => Vector::new(told_mm * (1.0 + change.0[SCALE]) - read_mm, 0.0),
            GapKind::Place { told, read } => change.applied(told) - read,
        };
        off / self.sd_mm
    }

    fn score(&self, change: Change) -> f64 {
        self.off(change).square_length()
    }
}

const SCALE: usize = 0;
const TURN: usize = 1;
const ACROSS: usize = 2;
const AWAY: usize = 3;

/// A change of the whole table: growth (0 is none), turn in radians, and the way it slid in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Change(Vector4<f64>);

impl Change {
    const NONE: Self = Self(Vector4::new(0.0, 0.0, 0.0, 0.0));

    fn applied(self, at: Point<geometry::Table>) -> Point<geometry::Table> {
        let (sin, cos) = self.0[TURN].sin_cos();
        let grown = 1.0 + self.0[SCALE];
        let turned = Point::new(cos * at.x - sin * at.y, sin * at.x + cos * at.y) * grown;
        turned + Vector::new(self.0[ACROSS], self.0[AWAY])
    }

    /// The change that fits best in some of its parts, by three Gauss-Newton steps with differences for derivatives.
    fn fitted(gaps: &[Gap], free: &[usize]) -> Option<Self> {
        const STEP: [f64; 4] = [1e-6, 1e-6, 1e-3, 1e-3];
        let mut change = Self::NONE;
        for _ in 0..3 {
            let (mut normal, mut gradient) = (Matrix4::identity(), Vector4::zeros());
            free.iter().for_each(|k| normal[(*k, *k)] = 0.0);
            for gap in gaps {
                let off = gap.off(change);
                let by: Vec<Vector<geometry::Table>> = free
                    .iter()
                    .map(|k| {
                        let mut nudged = change;
                        nudged.0[*k] += STEP[*k];
                        (gap.off(nudged) - off) / STEP[*k]
                    })
                    .collect();
                for (i, k) in free.iter().enumerate() {
                    gradient[*k] += by[i].dot(off);
                    for (j, l) in free.iter().enumerate() {
                        normal[(*k, *l)] += by[i].dot(by[j]);
                    }
                }
            }
            change.0 -= normal.lu().solve(&gradient)?;
        }
        change.0.iter().all(|v| v.is_finite()).then_some(change)
    }

    fn in_words(self) -> String {
        let mut parts = Vec::new();
        if self.0[SCALE] != 0.0 {
            parts.push(format!("{:+.2} %", 100.0 * self.0[SCALE]));
        }
        if self.0[ACROSS] != 0.0 || self.0[AWAY] != 0.0 {
            let degrees = self.0[TURN].to_degrees();
            parts.push(format!("{:+.1} mm, {:+.1} mm, {degrees:+.2} degrees", self.0[ACROSS], self.0[AWAY]));
        }
        parts.join(", ")
    }

    /// The table with the change made: the same pixels, the points moved.
    fn made(self, kept: &KeptTable) -> Option<KeptTable> {
        let (sin, cos) = self.0[TURN].sin_cos();
        let grown = 1.0 + self.0[SCALE];
        let moved = nalgebra::Matrix3::new(
            grown * cos,
            -grown * sin,
            self.0[ACROSS],
            grown * sin,
            grown * cos,
            self.0[AWAY],
            0.0,
            0.0,
            1.0,
        );
        let old = nalgebra::Matrix3::from_fn(|i, j| kept.table.homography[i][j]);
        let new = old * moved.try_inverse()?;
        let last = new[(2, 2)];
        let homography =
            std::array::from_fn(|i| std::array::from_fn(|j| if i + j == 4 { 1.0 } else { new[(i, j)] / last }));
        let table = Table { homography, ..kept.table.clone() };
        (last > 0.0 && table.is_sound()).then(|| KeptTable { table, ..kept.clone() })
    }
}

/// Whether what is left after a change is no more than chance, at one false alarm in a hundred: the 99 % quantile of
/// chi-square (NIST/SEMATECH e-Handbook, table 1.3.6.7.4).
fn passes(gaps: &[Gap], change: Change, free: usize) -> bool {
    const QUANTILES: [f64; 8] = [0.0, 6.635, 9.210, 11.345, 13.277, 15.086, 16.812, 18.475];
    let freedom = gaps.iter().map(Gap::equations).sum::<usize>().saturating_sub(free);
    let limit = QUANTILES.get(freedom).copied().unwrap_or_else(|| {
        let variance = 2.0 / (9.0 * freedom as f64);
        freedom as f64 * (1.0 - variance + 2.326 * variance.sqrt()).powi(3)
    });
    gaps.iter().map(|gap| gap.score(change)).sum::<f64>() <= limit
}
