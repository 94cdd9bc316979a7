//! Longer than the light: in which reaches a large cloth is cut, and by which crosses one reach is laid to the next.
//!
//! A reach is the part of the folded cloth that is lit at once. Neighbouring reaches overlap; in each overlap two
//! register crosses are chalked while one reach is lit and met again in the next, so that the move she made can be
//! measured. Every part of the cloth is cut in the earliest reach that shows it well, since every move adds an error.
//!
//! The error. A cross is chalked and met again with an error of [`MARK_SIGMA_MM`] each time, along and across. Two
//! crosses at distance `D` then fix the cloth's place with variance `s²/2` at the middle between them and its turn with
//! `2 s²/D²` (least squares for a rigid move of two points), so that at distance `L` from the middle the line is off
//! by `s sqrt(1/2 + 2 L²/D²)` square to `L`. Moves add up by their squares, because the crosses of each reach are
//! chalked by the light of that reach. The calibration's own error comes on top and is not counted here.

use super::{LineKind, Stage};
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::remark::{Refusal, Remark};

/// Neighbouring reaches share at least this much: two crosses, and a hand's breadth for cutting on.
const OVERLAP_MM: f64 = 150.0;

/// One standard deviation of chalking a cross under its light, and of meeting it again, along each axis: a quarter of
/// the thrown line's width, which is about what an eye halves (common practice, no source).
const MARK_SIGMA_MM: f64 = 0.35;

/// The distance between two crosses, chalked and met, has a standard deviation of twice one mark's; a distance three
/// times that far off is no chance.
pub const CROSSES_DOUBTED_MM: f64 = 6.0 * MARK_SIGMA_MM;

/// 95 % of a normal error lie within so many standard deviations.
const SIGMAS_95: f64 = 1.96;

/// Crosses stand off the edges of the overlap and of the pieces by this, so that their arms are lit and stay on cloth.
const CROSS_ROOM_MM: f64 = 25.0;

/// Places where a cross might stand are looked at on a grid as fine as this.
const CROSS_GRID_MM: f64 = 25.0;

/// Cutting ends this far before the edge of the light.
const CUT_END_MM: f64 = 20.0;

/// More reaches than the fewest are taken only when they bring the error down to this share.
const WORTH_A_MOVE: f64 = 0.8;

/// Further plans looked at, each with one more reach along the cloth.
const MORE_REACHES: usize = 2;

/// An upright rectangle on the folded cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Its corner nearest the cloth's origin.
    pub low_mm: Point<Cloth>,
    /// The corner opposite.
    pub high_mm: Point<Cloth>,
}

/// A part of the cloth that is lit at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// What is lit when the cloth lies as planned.
    pub lit: Window,
    /// What is cut in it.
    pub own: Window,
    /// How far off a line can be at the worst corner of what is cut in it, by all moves up to here (95 %).
    pub off_by_mm: f64,
}

/// The step from a reach to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// The register crosses, seen from both.
    pub crosses: [Point<Cloth>; 2],
    /// What this move alone adds at the worst corner of what is cut after it (95 %).
    pub adds_mm: f64,
}

/// The reaches of a lay, in the order in which the cloth is moved through them.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// At least one.
    pub reaches: Vec<Reach>,
    /// One fewer: the step from each reach to the next.
    pub moves: Vec<Move>,
}

/// One thing after the other: a stage in a reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Which stage, from 0.
    pub stage: usize,
    /// Which reach, from 0.
    pub reach: usize,
    /// Whether nothing is done here: the cloth only passes through on its way to a reach further on.
    pub passing: bool,
}

impl Window {
    fn of(low_mm: Point<Cloth>, high_mm: Point<Cloth>) -> Self {
        Self { low_mm, high_mm }
    }

    /// Its middle.
    pub fn middle(&self) -> Point<Cloth> {
        self.low_mm.lerp(self.high_mm, 0.5)
    }

    /// Its size along and across.
    pub fn size_mm(&self) -> Vector<Cloth> {
        self.high_mm - self.low_mm
    }

    /// Whether a point lies in it, its edge included.
    pub fn contains(&self, p: Point<Cloth>) -> bool {
        p.x >= self.low_mm.x && p.x <= self.high_mm.x && p.y >= self.low_mm.y && p.y <= self.high_mm.y
    }

    /// Its corners, around it.
    pub fn corners(&self) -> [Point<Cloth>; 4] {
        let (low, high) = (self.low_mm, self.high_mm);
        [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]
    }

    /// What it has in common with another.
    pub fn shared(&self, other: &Self) -> Self {
        Self { low_mm: self.low_mm.max(other.low_mm), high_mm: self.high_mm.min(other.high_mm) }
    }

    /// Whether a straight line between two points has a part in it: what is left of the line after it is cut off at
    /// each of the four edges in turn.
    fn meets(&self, (a, b): (Point<Cloth>, Point<Cloth>)) -> bool {
        let run = b - a;
        let edges =
            [(run.x, self.low_mm.x - a.x, self.high_mm.x - a.x), (run.y, self.low_mm.y - a.y, self.high_mm.y - a.y)];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (run, low, high) in edges {
            if run == 0.0 {
                if low > 0.0 || high < 0.0 {
                    return false;
                }
                continue;
            }
            from = from.max((low / run).min(high / run));
            to = to.min((low / run).max(high / run));
        }
        from <= to
    }

    fn less(&self, by_mm: f64) -> Self {
        let by = Vector::new(by_mm, by_mm);
        Self { low_mm: self.low_mm + by, high_mm: self.high_mm - by }
    }
}

/// Standard deviation, square to the line from their middle, of a place `at` laid by two crosses.
fn sigma_mm(crosses: [Point<Cloth>; 2], at: Point<Cloth>) -> f64 {
    let apart2 = (crosses[1] - crosses[0]).square_length();
    let off2 = (at - crosses[0].lerp(crosses[1], 0.5)).square_length();
    std::f64::consts::SQRT_2 * MARK_SIGMA_MM * (0.5 + 2.0 * off2 / apart2).sqrt()
}

impl Plan {
    /// Plans the reaches of a lay in a light of this size along and across the cloth.
    ///
    /// # Errors
    /// When the light is too small for two crosses in an overlap.
    pub fn of(lay: &Lay, light_mm: [f64; 2]) -> Result<Self, Refusal> {
        let size_mm = [lay.length_mm, lay.folded_width_mm];
        let smallest = light_mm[0].min(light_mm[1]);
        if (0..2).any(|i| size_mm[i] > light_mm[i]) && smallest < 2.0 * OVERLAP_MM {
            let remark = Remark::refusal(format!(
                "only {} by {} are lit, too little to cut a larger cloth in reaches",
                lay.system.show(light_mm[0]),
                lay.system.show(light_mm[1])
            ));
            return Err(Refusal::because(remark.remedy("hang the projector higher and calibrate again")));
        }
        if (0..2).any(|i| size_mm[i] > light_mm[i]) && lay.fold != Fold::LengthsOnTheirCentre {
            let [along, across] = size_mm.map(|mm| lay.system.show(mm));
            let remark = Remark::refusal(format!(
                "this lay is {along} by {across}, and only {} by {} are lit; in reaches only whole lengths folded on their \
                 centre can be cut, because pieces that lie side by side have no place in common for the crosses",
                lay.system.show(light_mm[0]),
                lay.system.show(light_mm[1])
            ));
            return Err(Refusal::because(remark.field("cloth").remedy(
                "hang the projector higher and calibrate again; or cut this garment by the sheet, with tape and chalk",
            )));
        }
        let fewest = [0, 1].map(|i| count(size_mm[i], light_mm[i]));
        let plan = |along: usize| Self::with(lay, light_mm, [along, fewest[1]]);
        let mut best = plan(fewest[0]);
        for more in 1..=MORE_REACHES {
            if best.moves.is_empty() {
                break;
            }
            let other = plan(fewest[0] + more);
            if other.off_by_mm() < WORTH_A_MOVE * best.off_by_mm() {
                best = other;
            }
        }
        Ok(best)
    }

    fn with(lay: &Lay, light_mm: [f64; 2], counts: [usize; 2]) -> Self {
        let along = windows(lay.length_mm, light_mm[0], counts[0]);
        let across = windows(lay.folded_width_mm, light_mm[1], counts[1]);
        let mut reaches = Vec::new();
        for (j, y) in across.iter().enumerate() {
            let row = along.iter().map(|x| Reach {
                lit: Window::of(Point::new(x.lit.0, y.lit.0), Point::new(x.lit.1, y.lit.1)),
                own: Window::of(Point::new(x.own.0, y.own.0), Point::new(x.own.1, y.own.1)),
                off_by_mm: 0.0,
            });
            if j % 2 == 0 { reaches.extend(row) } else { reaches.extend(row.rev()) }
        }
        let mut plan = Self { moves: Vec::new(), reaches };
        for i in 1..plan.reaches.len() {
            plan.add_move(lay, i);
        }
        plan
    }

    /// Adds the move into reach `i` and what it and those before make of the error there.
    fn add_move(&mut self, lay: &Lay, i: usize) {
        let cloth = Window::of(Point::origin(), Point::new(lay.length_mm, lay.folded_width_mm));
        let overlap = self.reaches[i - 1].lit.shared(&self.reaches[i].lit).shared(&cloth);
        let crosses = crosses(lay, &overlap.less(CROSS_ROOM_MM));
        let corners = self.reaches[i].own.corners();
        let adds_mm = corners.iter().map(|p| sigma_mm(crosses, *p)).fold(0.0, f64::max) * SIGMAS_95;
        self.moves.push(Move { crosses, adds_mm });
        let variance = |p: &Point<Cloth>| self.moves.iter().map(|m| sigma_mm(m.crosses, *p).powi(2)).sum::<f64>();
        self.reaches[i].off_by_mm = corners.iter().map(variance).fold(0.0, f64::max).sqrt() * SIGMAS_95;
    }

    /// The largest error of all reaches.
    pub fn off_by_mm(&self) -> f64 {
        self.reaches.iter().map(|reach| reach.off_by_mm).fold(0.0, f64::max)
    }

    /// The stages one after the other, each in the reaches where it has something to do, moved as little as can be.
    pub fn steps(&self, stages: &[Stage]) -> Vec<Step> {
        let mut steps: Vec<Step> = Vec::new();
        for (stage, it) in stages.iter().enumerate() {
            let here = steps.last().map_or(0, |step| step.reach);
            let wanted: Vec<usize> = (0..self.reaches.len()).filter(|i| self.reaches[*i].works(it)).collect();
            let (Some(first), Some(last)) = (wanted.first(), wanted.last()) else {
                steps.push(Step { stage, reach: here, passing: false });
                continue;
            };
            let (near, far) =
                if here.abs_diff(*first) <= here.abs_diff(*last) { (*first, *last) } else { (*last, *first) };
            let way = way(here, near).into_iter().filter(|i| *i != here).chain([near]).chain(way(near, far));
            let mut way: Vec<usize> = way.collect();
            way.dedup();
            steps.extend(way.into_iter().map(|reach| Step { stage, reach, passing: !wanted.contains(&reach) }));
        }
        steps
    }
}

impl Reach {
    /// Whether a stage has anything to do in what is cut here.
    fn works(&self, stage: &Stage) -> bool {
        let work: &[LineKind] = if stage.lines.iter().any(|line| line.kind == LineKind::Cut) {
            &[LineKind::Cut]
        } else if stage.lines.iter().any(|line| matches!(line.kind, LineKind::Notch | LineKind::Chalk)) {
            &[LineKind::Notch, LineKind::Chalk, LineKind::Sew, LineKind::Level]
        } else {
            &[]
        };
        let lines = stage.lines.iter().filter(|line| work.contains(&line.kind));
        let mut sides = lines.flat_map(|line| line.points.windows(2));
        sides.any(|side| self.own.meets((side[0], side[1])))
    }
}

/// From one reach to another, both included.
fn way(from: usize, to: usize) -> Vec<usize> {
    if from <= to { (from..=to).collect() } else { (to..=from).rev().collect() }
}

/// Fewest windows of the light's size that cover a length with enough overlap.
fn count(length_mm: f64, light_mm: f64) -> usize {
    if length_mm <= light_mm {
        return 1;
    }
    ((length_mm - OVERLAP_MM) / (light_mm - OVERLAP_MM)).ceil() as usize
}

/// What is lit and what is cut along one axis.
struct Span {
    lit: (f64, f64),
    own: (f64, f64),
}

/// Windows evenly over a length, so that overlaps are as wide as they can be. Each is cut up to just before its end;
/// the first also takes what sticks out before the origin, the last what is left.
fn windows(length_mm: f64, light_mm: f64, count: usize) -> Vec<Span> {
    let step_mm = if count > 1 { (length_mm - light_mm) / (count - 1) as f64 } else { 0.0 };
    let low = |i: usize| step_mm * i as f64;
    let end = |i: usize| if i + 1 < count { low(i) + light_mm - CUT_END_MM } else { length_mm };
    let span =
        |i: usize| Span { lit: (low(i), low(i) + light_mm), own: (if i == 0 { 0.0 } else { end(i - 1) }, end(i)) };
    (0..count).map(span).collect()
}

/// The two places farthest apart in an overlap that lie within every piece, so that they stay when the waste is cut
/// away; anywhere on the overlap when no two such places are there.
fn crosses(lay: &Lay, overlap: &Window) -> [Point<Cloth>; 2] {
    let sewn: Vec<Outline<Cloth>> =
        lay.placed.iter().map(|placed| placed.piece.sewn.mapped(&placed.cloth_from_draft)).collect();
    let inside = |p: &Point<Cloth>| sewn.iter().all(|o| !o.passes(*p, CROSS_ROOM_MM) && o.contains(*p));
    let places: Vec<Point<Cloth>> = grid(overlap).into_iter().filter(inside).collect();
    let apart = |pair: [Point<Cloth>; 2]| (pair[1] - pair[0]).length();
    let farthest = |places: &[Point<Cloth>]| {
        let pairs = places.iter().enumerate().flat_map(|(i, a)| places[i + 1..].iter().map(|b| [*a, *b]));
        pairs.max_by(|a, b| apart(*a).total_cmp(&apart(*b)))
    };
    let anywhere = [overlap.low_mm, overlap.high_mm];
    farthest(&places).filter(|pair| apart(*pair) >= OVERLAP_MM / 2.0).unwrap_or(anywhere)
}

fn grid(window: &Window) -> Vec<Point<Cloth>> {
    let size = window.size_mm();
    let [columns, rows] = [size.x, size.y].map(|mm| (mm / CROSS_GRID_MM).max(1.0) as usize);
    let at = |i: usize, j: usize| {
        window.low_mm + Vector::new(size.x * i as f64 / columns as f64, size.y * j as f64 / rows as f64)
    };
    (0..=columns).flat_map(|i| (0..=rows).map(move |j| at(i, j))).collect()
}
