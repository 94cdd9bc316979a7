//! The cutting line at a dart: that of its seam with the dart closed, unfolded.
//!
//! Closed and pressed down, the cloth of a dart lies in two layers on the piece below its lower leg, and all is cut in the one
//! line that the seam has then. So the line is drawn beside the closed seam, and what it cuts of the dart's cloth is unfolded
//! again: about the lower leg, and about the fold in the middle (Erwin, *Practical Dress Design*, 1954: fold and pin the dart
//! before the underarm seam is cut).

use super::{Line, Runs};
use crate::draft::DartPlace;
use crate::geometry::{Draft as Frame, Point, Vector, mirror, parallel};

/// Draws the parts of a cutting line at which darts open, one an edge; a dart below which there is no room to fold it keeps the
/// parallel of its sewn line.
pub fn unfold(runs: &mut Runs, lines: &[Line<'_>], darts: &[DartPlace]) {
    for dart in darts {
        let Some(i) = lines.iter().position(|(name, ..)| *name == dart.edge) else { continue };
        let (before, after) = (lines[(i + lines.len() - 1) % lines.len()], lines[(i + 1) % lines.len()]);
        let Some(mut run) = unfolded([before, lines[i], after], dart) else { continue };
        // The corners with the edges beside it are theirs too.
        if let ([first, .., last], [own_first, .., own_last]) = (&mut run[..], &runs[i][..]) {
            (*first, *last) = (*own_first, *own_last);
        }
        runs[i] = run;
    }
}

/// The run of an edge, which goes up past the dart, between those before and after it; none where the dart can't be folded on it.
fn unfolded([before, (_, seam, turning_mm), after]: [Line<'_>; 3], dart: &DartPlace) -> Option<Vec<Point<Frame>>> {
    let [low_mm, high_mm] = dart.mouth_mm;
    let (below, above) = (seam.part([0.0, low_mm]), seam.part([high_mm, seam.length_mm()]));
    let [low, high] = [below.end(), above.start()].map(|end| (end - dart.point).normalize());
    let [low_leg, high_leg, fold] = [low, high, low + high].map(|along| mirror(dart.point, along));
    // Two mirrors make the turn that lays one leg on the other.
    let (close, open) = (high_leg.then(&fold), low_leg.then(&fold));
    let (closed, after_closed) = (below.then(above.mapped(&close)), after.1.mapped(&close));
    let edges = [(before.1, before.2), (&closed, turning_mm), (&after_closed, after.2)];
    let run = parallel::cutting_runs(&edges).swap_remove(1);
    let [below, above] = parted(&run, (dart.point, low))?;
    let on_below: Vec<_> = below.iter().rev().map(|p| low_leg.transform_point(*p)).collect();
    let [to_fold, _] = parted(&on_below, (dart.point, low + high))?;
    let from_fold = to_fold.iter().rev().skip(1).map(|p| fold.transform_point(*p));
    let above = above.iter().skip(1).map(|p| open.transform_point(*p));
    Some(below.iter().chain(&to_fold[1..]).copied().chain(from_fold).chain(above).collect())
}

/// A line that comes from below a ray, in two where it crosses it; the crossing is in both.
fn parted(line: &[Point<Frame>], (from, along): (Point<Frame>, Vector<Frame>)) -> Option<[Vec<Point<Frame>>; 2]> {
    let below_mm = |p: Point<Frame>| along.cross(p - from);
    let crosses = |two: &[Point<Frame>]| below_mm(two[0]) > 0.0 && below_mm(two[1]) <= 0.0;
    let i = line.windows(2).position(crosses)?;
    let (over, under) = (below_mm(line[i]), below_mm(line[i + 1]));
    let met = line[i].lerp(line[i + 1], over / (over - under));
    Some([[&line[..=i], &[met]].concat(), [&[met], &line[i + 1..]].concat()])
}
