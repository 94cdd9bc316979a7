//! The turning of a hem between two seams that lean, as a sleeve's: below the fold it is the mirror of what lies above it, so
//! that turned up it is as wide as the line that it is sewn to. (A hem of the body is square to its side and bends little:
//! there a plain mitre is that mirror.)

use super::{Line, Runs};
use crate::geometry::{Draft as Frame, Point, Vector};

/// A seam that leans so far that its mirror runs along the hem is mitred as any other corner.
const LEAST_ACROSS: f64 = 0.5;

/// Mirrors the ends of such a hem in the parts of a cutting line.
pub fn mirror(runs: &mut Runs, lines: &[Line<'_>]) {
    let n = lines.len();
    for i in (0..n).filter(|i| lines[*i].0 == "hem" && lines[*i].2 > 0.0) {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        if is_tube(lines[before].0, lines[after].0) {
            let hem = lines[i].1;
            let chord = (hem.end() - hem.start()).normalize();
            let down = [lines[before].1.end_direction(), -lines[after].1.start_direction()];
            let [left, right] = [hem.start_direction(), -hem.end_direction()];
            bend(runs, [before, i], Corner { sewn: hem.start(), chord, down: down[0], into: left }, false);
            bend(runs, [after, i], Corner { sewn: hem.end(), chord, down: down[1], into: right }, true);
        }
    }
}

/// Whether the edges at both ends of a hem are sewn to one another.
fn is_tube(before: &str, after: &str) -> bool {
    let seam = before.strip_prefix("front ");
    seam.is_some() && seam == after.strip_prefix("back ")
}

/// An end of a hem.
struct Corner {
    sewn: Point<Frame>,
    /// From end to end of the hem.
    chord: Vector<Frame>,
    /// Down the seam.
    down: Vector<Frame>,
    /// From the end into the hem.
    into: Vector<Frame>,
}

/// Bends the cutting line of the seam at the fold of the hem; `behind` where the seam follows the hem.
fn bend(runs: &mut Runs, [seam, hem]: [usize; 2], corner: Corner, behind: bool) {
    let Corner { sewn, chord, down, into } = corner;
    // Both from the corner on.
    let from_corner = |mut run: Vec<Point<Frame>>, ends_here: bool| {
        if ends_here {
            run.reverse();
        }
        run
    };
    let mut hem_run = from_corner(std::mem::take(&mut runs[hem]), behind);
    let mut seam_run = from_corner(std::mem::take(&mut runs[seam]), !behind);
    let (mitre, out) = (hem_run[0], square_to(into, down));
    let mirrored = chord * (2.0 * chord.dot(-down)) + down;
    if mirrored.dot(out) > LEAST_ACROSS {
        let fold = mitre - down * ((mitre - sewn).dot(out) / down.dot(out));
        let new = fold + mirrored * ((mitre - fold).dot(out) / mirrored.dot(out));
        while hem_run.len() > 2 && (hem_run[1] - new).dot(into) <= 0.0 {
            hem_run.remove(1);
        }
        hem_run[0] = new;
        seam_run.splice(0..1, [new, fold]);
    }
    runs[hem] = from_corner(hem_run, behind);
    runs[seam] = from_corner(seam_run, !behind);
}

/// Square to a direction, on the side of another.
fn square_to(along: Vector<Frame>, side: Vector<Frame>) -> Vector<Frame> {
    let square = Vector::new(-along.y, along.x);
    if square.dot(side) < 0.0 { -square } else { square }
}
