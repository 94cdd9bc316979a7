//! The crown of a set-in sleeve: the height at which it has its length.

use crate::draft::at;
use crate::geometry::{Curve, Draft as Frame, Point};

/// Handles of the crown's two halves as shares of their half width: at the underarm and at the top. Level at the top and
/// square to the seam at the underarm, so that front and back run into one another at both when the sleeve is sewn; the
/// front is hollowed further, the back is fuller (common practice, no source). Level at both ends, equal handles of
/// 0.364 make half a cosine.
const FRONT_HANDLES: [f64; 2] = [0.44, 0.40];
const BACK_HANDLES: [f64; 2] = [0.32, 0.44];

/// How exactly a height or a width is solved: far below what a tape reads, and below what is measured of a curve.
const SOLVED_MM: f64 = 1e-5;

/// A crown lower than this share of its width would be a wing.
const LOWEST_SHARE: f64 = 0.05;

/// A crown.
pub struct Crown {
    /// From the underarm up to the shoulder seam.
    pub height_mm: f64,
    /// Front and back half width.
    halves_mm: [f64; 2],
    /// By how much the seams lean in, of their length.
    lean: f64,
}

impl Crown {
    /// The crown of a sleeve `width_mm` wide whose front and back are so long, with seams that lean in by `lean` of their
    /// length below a crown of a height; none where the sleeve is too wide for them, or so narrow that they would fold
    /// over.
    pub fn solve(width_mm: f64, lengths_mm: [f64; 2], lean: impl Fn(f64) -> f64) -> Option<Self> {
        let at_height = |height_mm: f64| {
            let lean = lean(height_mm);
            let halves_mm = [0, 1].map(|side| half_width_mm(side, [height_mm, lean], lengths_mm[side]));
            Self { height_mm, halves_mm, lean }
        };
        // The higher the crown is, the narrower is the sleeve that has this length of it.
        let short_mm = |height_mm: f64| width_mm - at_height(height_mm).halves_mm.iter().sum::<f64>();
        let height_mm = zero([LOWEST_SHARE * width_mm, lengths_mm[0].min(lengths_mm[1])], short_mm)?;
        Some(at_height(height_mm))
    }

    /// Front and back underarm, with the crown's top at the origin.
    pub fn underarms(&self) -> [Point<Frame>; 2] {
        let [front, back] = self.halves_mm;
        [at(-front, self.height_mm), at(back, self.height_mm)]
    }

    /// The front from the top down, and the back from the underarm up.
    pub fn curves(&self) -> [Curve<Frame>; 2] {
        let [front, back] = self.halves_mm;
        let front = half(FRONT_HANDLES, front, [self.height_mm, self.lean]).reversed();
        let mirrored = |p: Point<Frame>| at(-p.x, p.y);
        let back = half_points(BACK_HANDLES, back, [self.height_mm, self.lean]).map(mirrored);
        [front, Curve::handled(back)]
    }
}

/// The half width at which a half of the crown has its length at this height; nought where the height alone is longer.
fn half_width_mm(side: usize, rise: [f64; 2], length_mm: f64) -> f64 {
    let handles = [FRONT_HANDLES, BACK_HANDLES][side];
    zero([0.0, length_mm], |half_mm| half(handles, half_mm, rise).length_mm() - length_mm).unwrap_or(0.0)
}

/// Where a rising function is nought within a range; none where it is not.
fn zero([low, high]: [f64; 2], of: impl Fn(f64) -> f64) -> Option<f64> {
    let (at_low, at_high) = (of(low), of(high));
    (low < high && at_low < 0.0 && at_high > 0.0)
        .then(|| kurbo::common::solve_itp(of, low, high, SOLVED_MM, 1, 0.2 / (high - low), at_low, at_high))
}

/// The left half, from the underarm up to the top at the origin, by its height and the lean of the seam below it.
fn half(handles: [f64; 2], half_mm: f64, rise: [f64; 2]) -> Curve<Frame> {
    Curve::handled(half_points(handles, half_mm, rise))
}

fn half_points([low, top]: [f64; 2], half_mm: f64, [height_mm, lean]: [f64; 2]) -> [Point<Frame>; 4] {
    let handle_mm = half_mm * low;
    let square = at(handle_mm - half_mm, height_mm - handle_mm * lean);
    [at(-half_mm, height_mm), square, at(-half_mm * top, 0.0), at(0.0, 0.0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cubic with level handles of 0.3642 of the half width follows half a cosine; its height for a sleeve 14 in wide
    /// and a crown of 17 1/4 in is found by scipy (quad of the cosine's length, brentq): 4.643 in.
    #[test]
    fn equal_handles_make_half_a_cosine() {
        let over = |height: f64| 2.0 * half([0.3642, 0.3642], 177.8, [height * 25.4, 0.0]).length_mm() - 17.25 * 25.4;
        let height = zero([1.0, 8.0], over).expect("a height");
        assert!((height - 4.643).abs() < 0.01, "{height} in");
    }
}
