//! The lattice of a print: all moves that bring it upon itself.
//!
//! They are whole multiples of two. Summits of the likeness are tried in pairs; a pair is followed from the near knots of
//! its lattice to the far ones, each knot mending the two moves by least squares, so that they are known to a fraction of
//! a pixel over the farthest clear multiple. A lattice that is too fine meets summits half as high at half of its knots, so
//! each is judged by the lowest quarter of its knots; of those that stand as well as the best the finest is taken.

use nalgebra::Matrix2;

use super::likeness::Likeness;

/// A move shorter than this is no repeat but the grain of the picture.
pub const LEAST_PX: f64 = 4.0;

/// A summit below this says nothing.
pub const LEAST_LIKENESS: f64 = 0.2;

/// Between a print and its repeat the likeness falls at least to this share, or the print runs through there.
pub const DIP: f64 = 0.95;

/// Summits of this share of the highest are tried.
const TRIED: f64 = 0.7;

/// So many of the nearest, and of the highest, are tried.
const MOST_TRIED: usize = 24;

/// Most knots that are followed.
const MOST_KNOTS: usize = 80;

/// Fewest knots by which a lattice is believed.
const LEAST_KNOTS: usize = 3;

/// A lattice this near to the best in likeness is as good.
pub const AS_GOOD: f64 = 0.93;

/// Two moves nearer to one line than this (its sine) are no pair.
const LEAST_SINE: f64 = 0.3;

/// A move, in pixels.
pub type Move = [f64; 2];

/// A lattice.
#[derive(Clone, Debug)]
pub struct Lattice {
    /// The two moves, in pixels.
    pub moves_px: [Move; 2],
    /// How clear it is.
    pub clear: Clear,
}

/// How clearly a repeat stands out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clear {
    /// The likeness below which a quarter of its knots lie.
    pub quarter_share: f64,
    /// Knots that were followed.
    pub knots: usize,
}

impl Clear {
    /// By the likeness at its knots; none when they are too few.
    pub fn of(mut highs: Vec<f64>) -> Option<Self> {
        highs.sort_by(f64::total_cmp);
        let knots = highs.len();
        (knots >= LEAST_KNOTS).then(|| Self { quarter_share: highs[(knots - 1) / 4], knots })
    }
}

/// A summit of the likeness.
#[derive(Clone, Copy, Debug)]
struct Summit {
    at: Move,
    high: f64,
}

/// The lattice of a likeness; none where no two moves stand out.
pub fn lattice(likeness: &Likeness) -> Option<Lattice> {
    let tried = tried(summits(likeness));
    let mut found: Vec<Lattice> = Vec::new();
    for (i, one) in tried.iter().enumerate() {
        for other in &tried[i + 1..] {
            let Some([u, v]) = reduced([one.at, other.at]) else { continue };
            let same = |known: &Lattice| {
                let near = |a: Move, b: Move| {
                    let apart = |sign: f64| (a[0] - sign * b[0]).hypot(a[1] - sign * b[1]);
                    apart(1.0).min(apart(-1.0)) < 1.0
                };
                near(known.moves_px[0], u) && near(known.moves_px[1], v)
            };
            if !found.iter().any(same) {
                found.extend(followed(likeness, [u, v]));
            }
        }
    }
    let best = found.iter().map(|lattice| lattice.clear.quarter_share).fold(LEAST_LIKENESS, f64::max);
    let good = found.iter().filter(|lattice| lattice.clear.quarter_share >= AS_GOOD * best);
    good.min_by(|a, b| a.area_px2().total_cmp(&b.area_px2())).cloned()
}

impl Lattice {
    /// The area of its cell.
    pub fn area_px2(&self) -> f64 {
        cross(self.moves_px[0], self.moves_px[1]).abs()
    }
}

fn cross(a: Move, b: Move) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn dot(a: Move, b: Move) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

fn long(a: Move) -> f64 {
    a[0].hypot(a[1])
}

/// So many times the one move and so many the other.
pub fn along([u, v]: [Move; 2], [i, j]: [i32; 2]) -> Move {
    [0, 1].map(|k| f64::from(i) * u[k] + f64::from(j) * v[k])
}

/// Every summit of half of the plane; the other half is its mirror image.
fn summits(likeness: &Likeness) -> Vec<Summit> {
    let [far_x, far_y] = likeness.farthest_px;
    let mut summits = Vec::new();
    for y in 0..=far_y {
        for x in -far_x..=far_x {
            if y == 0 && x <= 0 || likeness.at(x, y).is_none_or(|value| value < LEAST_LIKENESS) {
                continue;
            }
            let Some((at, high)) = likeness.summit(x, y) else { continue };
            if long(at) >= LEAST_PX && likeness.least_on_the_way(at) < DIP * high {
                summits.push(Summit { at, high });
            }
        }
    }
    summits
}

/// The nearest of the high ones, and the highest.
fn tried(mut summits: Vec<Summit>) -> Vec<Summit> {
    summits.sort_by(|a, b| b.high.total_cmp(&a.high));
    let highest = summits.first().map_or(0.0, |summit| summit.high);
    let (mut tried, mut others) = (summits.clone(), Vec::new());
    if tried.len() > MOST_TRIED {
        others = tried.split_off(MOST_TRIED);
    }
    others.retain(|summit| summit.high >= TRIED * highest);
    others.sort_by(|a, b| long(a.at).total_cmp(&long(b.at)));
    tried.extend(others.into_iter().take(MOST_TRIED));
    tried
}

/// The two shortest moves of the lattice of two (Lagrange's reduction); none when they lie in one line.
fn reduced([mut u, mut v]: [Move; 2]) -> Option<[Move; 2]> {
    for _ in 0..64 {
        if long(v) < long(u) {
            (u, v) = (v, u);
        }
        let times = (dot(u, v) / dot(u, u)).round();
        if times == 0.0 {
            break;
        }
        v = [v[0] - times * u[0], v[1] - times * u[1]];
        if long(v) < LEAST_PX / 2.0 {
            return None;
        }
    }
    let apart = long(u) >= LEAST_PX && cross(u, v).abs() >= LEAST_SINE * long(u) * long(v);
    apart.then_some([u, v])
}

/// Follows a lattice from its near knots to the far ones.
fn followed(likeness: &Likeness, moves: [Move; 2]) -> Option<Lattice> {
    let shortest = long(moves[0]).min(long(moves[1]));
    let reach = (0.15 * shortest).clamp(1.0, 2.5) as i32;
    let mut fit = Fit::of(moves);
    let mut highs: Vec<f64> = Vec::new();
    for knot in knots(likeness, moves) {
        let due = along(fit.moves(), knot);
        let Some(summit) = highest_near(likeness, due, reach) else { continue };
        highs.push(summit.1);
        if let (Some(at), true) = (summit.0, summit.1 > LEAST_LIKENESS) {
            fit.add(knot, at, summit.1);
        }
    }
    Some(Lattice { moves_px: fit.moves(), clear: Clear::of(highs)? })
}

/// The knots of a lattice in half of the plane where a likeness is known, the nearest first.
fn knots(likeness: &Likeness, moves: [Move; 2]) -> Vec<[i32; 2]> {
    // Of two reduced moves none is longer than twice over the way to any knot that it takes part in.
    let farthest = likeness.farthest_px.map(f64::from);
    let most = |of: Move| (1.2 * farthest[0].hypot(farthest[1]) / long(of)).min(40.0) as i32;
    let (most_u, most_v) = (most(moves[0]), most(moves[1]));
    let pairs = (0..=most_v).flat_map(|j| (-most_u..=most_u).map(move |i| [i, j]));
    let half = pairs.filter(|[i, j]| *j > 0 || *i > 0);
    let mut knots: Vec<[i32; 2]> = half.filter(|knot| likeness.near(along(moves, *knot)).is_some()).collect();
    knots.sort_by(|a, b| long(along(moves, *a)).total_cmp(&long(along(moves, *b))));
    knots.truncate(MOST_KNOTS);
    knots
}

/// The highest likeness within a reach of where a knot is due, with its summit when it is one.
fn highest_near(likeness: &Likeness, due: Move, reach: i32) -> Option<(Option<Move>, f64)> {
    let [x, y] = due.map(|far| far.round() as i32);
    let about = (-reach..=reach).flat_map(|k| (-reach..=reach).map(move |i| [x + i, y + k]));
    let known = about.filter_map(|[x, y]| Some((likeness.at(x, y)?, [x, y])));
    let (high, [x, y]) = known.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((likeness.summit(x, y).map(|(at, _)| at), high))
}

/// Two moves fitted to the knots that were met, by least squares.
struct Fit {
    normal: Matrix2<f64>,
    right: Matrix2<f64>,
}

impl Fit {
    fn of([u, v]: [Move; 2]) -> Self {
        // The first guess is worth less than any knot.
        let normal = Matrix2::identity() * 0.01;
        Self { normal, right: Matrix2::new(u[0], u[1], v[0], v[1]) * 0.01 }
    }

    fn add(&mut self, [i, j]: [i32; 2], at: Move, weight: f64) {
        let (i, j) = (f64::from(i), f64::from(j));
        self.normal += Matrix2::new(i * i, i * j, i * j, j * j) * weight;
        self.right += Matrix2::new(i * at[0], i * at[1], j * at[0], j * at[1]) * weight;
    }

    fn moves(&self) -> [Move; 2] {
        let moves = self.normal.try_inverse().map_or(self.right, |inverse| inverse * self.right);
        [[moves[(0, 0)], moves[(0, 1)]], [moves[(1, 0)], moves[(1, 1)]]]
    }
}
