//! One reading, and what the table says in its place.

use super::change::Change;
use crate::geometry::{self, Point, Vector};
use crate::table::{KeptTable, Kind, MarkName, Reading};

/// A tape is read to the millimetre while standing at the table; rounding adds step/sqrt(12) (Sheppard 1898).
const READ_TO_MM: f64 = 1.0;

/// The 95 % radius of a round normal distribution in standard deviations: sqrt(5.991).
const RADIUS95: f64 = 2.448;

/// One sound table in so many fails its proof.
const FALSE_ALARM: f64 = 0.01;

/// One reading held against the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// What was measured, as `A1 to C5`.
    pub name: String,
    kind: Measured,
    /// Of the table's word and the reading together, one standard deviation.
    sd_mm: f64,
    /// How many standard deviations are allowed.
    limit: f64,
}

#[derive(Clone, Debug, PartialEq)]
enum Measured {
    Distance { told_mm: f64, read_mm: f64 },
    Place { told: Point<geometry::Table>, read: Point<geometry::Table> },
}

impl Gap {
    /// A reading of a table, one of `count` that are taken together.
    pub(super) fn of(kept: &KeptTable, reading: &Reading, count: usize) -> Option<Self> {
        let record = kept.record.as_ref()?;
        let px = |mark: MarkName| record.marks.get(&mark).copied();
        let at = |mark: MarkName| kept.table.mm_from_px_at(px(mark)?, reading.height_mm);
        let spread = kept.fit.as_ref().map(|fit| &fit.spread);
        let (kind, own_mm, equations) = match reading.kind {
            Kind::Distance { from, to, distance_mm } => {
                let told_mm = (at(to)? - at(from)?).length();
                let own_mm = spread.and_then(|s| s.distance_sd_mm(&kept.table, [px(from)?, px(to)?]));
                (Measured::Distance { told_mm, read_mm: distance_mm }, own_mm, 1)
            }
            Kind::Place { mark, at_mm } => {
                let own_mm = spread.and_then(|s| Some(s.bound95_mm(&kept.table, px(mark)?)? / RADIUS95));
                (Measured::Place { told: at(mark)?, read: at_mm }, own_mm, 2)
            }
        };
        let noise = kept.fit.as_ref().map_or(1.0, |fit| fit.noise);
        let reading_mm = (record.sigma_mm * noise).hypot(READ_TO_MM / 12.0_f64.sqrt());
        let sd_mm = own_mm.unwrap_or(0.0).hypot(reading_mm);
        sd_mm.is_finite().then(|| Self { name: reading.name(), kind, sd_mm, limit: limit(equations, count) })
    }

    pub(super) fn equations(&self) -> usize {
        match self.kind {
            Measured::Distance { .. } => 1,
            Measured::Place { .. } => 2,
        }
    }

    /// By how much the reading is more than the table says; how far off it is, for a place.
    pub fn off_mm(&self) -> f64 {
        match &self.kind {
            Measured::Distance { told_mm, read_mm } => read_mm - told_mm,
            Measured::Place { told, read } => (*read - *told).length(),
        }
    }

    /// What the table says, for a distance.
    pub fn told_mm(&self) -> Option<f64> {
        match self.kind {
            Measured::Distance { told_mm, .. } => Some(told_mm),
            Measured::Place { .. } => None,
        }
    }

    /// By how much it may be off on a table that holds.
    pub fn allowed_mm(&self) -> f64 {
        self.limit * self.sd_mm
    }

    /// What is left once a change is made, in standard deviations.
    pub(super) fn left(&self, change: &Change) -> Vector<geometry::Table> {
        let left = match &self.kind {
            Measured::Distance { told_mm, read_mm } => {
                Vector::new(told_mm * (1.0 + change.growth_share) - read_mm, 0.0)
            }
            Measured::Place { told, read } => change.applied(*told) - *read,
        };
        left / self.sd_mm
    }

    pub(super) fn score(&self, change: &Change) -> f64 {
        self.left(change).square_length()
    }

    pub(super) fn passes(&self, change: &Change) -> bool {
        self.score(change) <= self.limit * self.limit
    }

    pub(super) fn in_words(&self) -> String {
        let name = &self.name;
        match &self.kind {
            Measured::Distance { told_mm, read_mm } => {
                format!("{name} should be {told_mm:.1} mm and was read as {read_mm:.1} mm")
            }
            Measured::Place { told, read } => format!(
                "{name} should be at {:.1} mm, {:.1} mm and was read at {:.1} mm, {:.1} mm",
                told.x, told.y, read.x, read.y
            ),
        }
    }
}

/// How many standard deviations each of `count` gaps may have, so that all pass but once in a hundred: each gets the
/// count-th root of the chance (Šidák, *J. Am. Stat. Assoc.* 62, 1967, who shows that gaps that go together only make
/// false alarms rarer). A distance is normal, a place Rayleigh.
fn limit(equations: usize, count: usize) -> f64 {
    let chance = -(((-FALSE_ALARM).ln_1p()) / count.max(1) as f64).exp_m1();
    let root = |chance: f64| (-2.0 * chance.ln()).sqrt();
    if equations == 2 {
        return root(chance);
    }
    // The normal quantile to 0.0005 (Hastings 1955; Abramowitz and Stegun, *Handbook of Mathematical Functions*, 26.2.23).
    let t = root(chance / 2.0);
    t - (2.515_517 + t * (0.802_853 + t * 0.010_328)) / (1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308)))
}

#[cfg(test)]
mod tests {
    use super::limit;

    /// 2.576 is the two-sided 99 % point of the normal distribution, 9.210 the 99 % point of chi-square with two degrees
    /// of freedom (NIST/SEMATECH e-Handbook, 1.3.6.7.1 and 1.3.6.7.4). For three, Python:
    /// `-statistics.NormalDist().inv_cdf((1 - 0.99 ** (1 / 3)) / 2)` is 2.9342.
    #[test]
    fn limits_are_those_of_the_tables() {
        for (equations, count, expected) in [(1, 1, 2.5758), (2, 1, 9.2103_f64.sqrt()), (1, 3, 2.9342)] {
            assert!((limit(equations, count) - expected).abs() < 1e-3, "{equations} {count}");
        }
    }
}
