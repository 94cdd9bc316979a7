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

use super::{LineKind, Stage, side_by_side};
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::lay::{Fold, Lay};
use crate::remark::{Refusal, Remark};

pub use super::window::Window;

/// Neighbouring reaches share at least this much: two crosses, and a hand's breadth for cutting on.
pub(super) const OVERLAP_MM: f64 = 150.0;

/// One standard deviation of chalking a cross under its light, and of meeting it again, along each axis: a quarter of
/// the thrown line's width, which is about what an eye halves (common practice, no source).
const MARK_SIGMA_MM: f64 = 0.35;

/// The distance between two crosses, chalked and met, has a standard deviation of twice one mark's; a distance three
/// times that far off is no chance.
pub const CROSSES_DOUBTED_MM: f64 = 6.0 * MARK_SIGMA_MM;

/// 95 % of a normal error lie within so many standard deviations.
const SIGMAS_95: f64 = 1.96;

/// Crosses stand off the edges of the overlap and of the pieces by this, so that their arms are lit and stay on cloth.
pub(super) const CROSS_ROOM_MM: f64 = 25.0;

/// Places where a cross might stand are looked at on a grid as fine as this.
pub(super) const CROSS_GRID_MM: f64 = 25.0;

/// Cutting ends this far before the edge of the light.
pub(super) const CUT_END_MM: f64 = 20.0;

/// A move more is made only when it brings the error down to this share.
pub(super) const WORTH_A_MOVE: f64 = 0.8;

/// Moves that add no more than this to the error are good enough: with a table's 3 mm it stays below most turnings'
/// tolerance (common practice, no source).
pub(super) const ENOUGH_MM: f64 = 2.0;

/// Lines that can be farther off than this take a turning's room, and what was cut before (common practice, no source).
pub(super) const MOST_OFF_MM: f64 = 10.0;

/// Further plans looked at, each with one more reach along the cloth.
const MORE_REACHES: usize = 2;

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
    /// What this move alone adds at the worst corner of what is cut in the reach that it leads to (95 %).
    pub adds_mm: f64,
}

/// The reaches of a lay, in the order in which the cloth is moved through them.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// At least one.
    pub reaches: Vec<Reach>,
    /// One fewer: the step from each reach to the next.
    pub moves: Vec<Move>,
    /// What is cut where of pieces that lie side by side; empty where whole lengths are cut.
    pub shares: Vec<Share>,
}

/// A piece, or a part of one, that is cut in a reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Which of the lay's pieces.
    pub piece: usize,
    /// Which reach, from 0.
    pub reach: usize,
    /// The part of the cloth in which it is cut there.
    pub part: Window,
}

/// One thing after the other: a stage in a reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Which stage, from 0.
    pub stage: usize,
    /// Which reach, from 0.
    pub reach: usize,
    /// The part of the cloth that is worked on.
    pub own: Window,
    /// Whether nothing is done here: the cloth only passes through on its way to a reach further on.
    pub passing: bool,
}

/// Standard deviation, square to the line from their middle, of a place `at` laid by two crosses.
fn sigma_mm(crosses: [Point<Cloth>; 2], at: Point<Cloth>) -> f64 {
    let apart2 = (crosses[1] - crosses[0]).square_length();
    let off2 = (at - crosses[0].lerp(crosses[1], 0.5)).square_length();
    std::f64::consts::SQRT_2 * MARK_SIGMA_MM * (0.5 + 2.0 * off2 / apart2).sqrt()
}

/// What a move by these crosses adds at the worst corner of a part of the cloth.
pub(super) fn adds_mm(crosses: [Point<Cloth>; 2], part: &Window) -> f64 {
    part.corners().iter().map(|p| sigma_mm(crosses, *p)).fold(0.0, f64::max) * SIGMAS_95
}

/// Why a lay of pieces side by side can't be cut in this light.
fn no_place_for_crosses(lay: &Lay, light_mm: [f64; 2]) -> Refusal {
    let show = |mm: f64| lay.system.show(mm);
    let remark = Remark::refusal(format!(
        "this lay is {} by {}, and only {} by {} are lit; no two places are left in its cloth where crosses would still \
         be there after what lies before them is cut",
        lay.along_in_words(lay.length_mm),
        show(lay.folded_width_mm),
        show(light_mm[0]),
        show(light_mm[1])
    ));
    if lay.placed.iter().any(|placed| placed.whose.is_some()) {
        return Refusal::because(remark.remedy(
            "cut fewer orders from one lay, or each by itself; or hang the projector higher and calibrate again",
        ));
    }
    Refusal::because(
        remark.field("cloth").remedy(
            "ask for another fold that lies smaller, with fold under [lay] (a front and a back alone: fold = \"lengths\"); or \
             hang the projector higher and calibrate again",
        ),
    )
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
        if lay.fold != Fold::LengthsOnTheirCentre {
            return side_by_side::plan(lay, light_mm).ok_or_else(|| no_place_for_crosses(lay, light_mm));
        }
        let fewest = [0, 1].map(|i| count(size_mm[i], light_mm[i]));
        let most = if fewest == [1, 1] { 1 } else { fewest[0] + MORE_REACHES };
        let plans = (fewest[0]..=most).map(|along| Self::with(lay, light_mm, [along, fewest[1]]));
        let best = plans.reduce(|best, other| if other.is_rather(&best) { other } else { best });
        best.ok_or_else(|| no_place_for_crosses(lay, light_mm))
    }

    /// Whether it is to be taken rather than another: the one whose lines stay within what may be cut along; of two such the
    /// one with the smaller error, if that is worth its moves; else the one with the smaller error.
    pub(super) fn is_rather(&self, other: &Self) -> bool {
        let cost = |plan: &Self| {
            let off_by_mm = plan.off_by_mm();
            match plan.is_near_enough() {
                true => (0, off_by_mm.max(ENOUGH_MM) / WORTH_A_MOVE.powi(plan.moves.len() as i32)),
                false => (1, off_by_mm),
            }
        };
        cost(self) < cost(other)
    }

    /// Whether its lines may be cut along.
    pub fn is_near_enough(&self) -> bool {
        self.off_by_mm() <= MOST_OFF_MM
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
        let mut plan = Self { moves: Vec::new(), reaches, shares: Vec::new() };
        for i in 1..plan.reaches.len() {
            plan.add_move(i, crosses(lay, &plan.overlap(lay, i).less(CROSS_ROOM_MM)));
        }
        plan
    }

    /// What reach `i` and the one before it both see of the cloth.
    pub(super) fn overlap(&self, lay: &Lay, i: usize) -> Window {
        self.reaches[i - 1].lit.shared(&self.reaches[i].lit).shared(&Window::of_cloth(lay))
    }

    /// Adds the move into reach `i` and what it and those before make of the error there.
    pub(super) fn add_move(&mut self, i: usize, crosses: [Point<Cloth>; 2]) {
        let own = self.reaches[i].own;
        self.moves.push(Move { crosses, adds_mm: adds_mm(crosses, &own) });
        let variance = |p: &Point<Cloth>| self.moves.iter().map(|m| sigma_mm(m.crosses, *p).powi(2)).sum::<f64>();
        self.reaches[i].off_by_mm = own.corners().iter().map(variance).fold(0.0, f64::max).sqrt() * SIGMAS_95;
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
                steps.push(self.step(stage, here, false));
                continue;
            };
            let (near, far) =
                if here.abs_diff(*first) <= here.abs_diff(*last) { (*first, *last) } else { (*last, *first) };
            let way = way(here, near).into_iter().filter(|i| *i != here).chain([near]).chain(way(near, far));
            let mut way: Vec<usize> = way.collect();
            way.dedup();
            steps.extend(way.into_iter().map(|reach| self.step(stage, reach, !wanted.contains(&reach))));
        }
        steps
    }

    /// A stage in a reach, worked on in all that is cut there.
    pub(super) fn step(&self, stage: usize, reach: usize, passing: bool) -> Step {
        Step { stage, reach, own: self.reaches[reach].own, passing }
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
    let places: Vec<Point<Cloth>> = grid(overlap, CROSS_GRID_MM).into_iter().filter(inside).collect();
    let anywhere = [overlap.low_mm, overlap.high_mm];
    farthest(&places).unwrap_or(anywhere)
}

/// The two of these places that lie farthest apart; none when they lie too near one another to tell a turn by.
pub(super) fn farthest(places: &[Point<Cloth>]) -> Option<[Point<Cloth>; 2]> {
    let apart = |pair: [Point<Cloth>; 2]| (pair[1] - pair[0]).length();
    let pairs = places.iter().enumerate().flat_map(|(i, a)| places[i + 1..].iter().map(|b| [*a, *b]));
    let best = pairs.max_by(|a, b| apart(*a).total_cmp(&apart(*b)));
    best.filter(|pair| apart(*pair) >= OVERLAP_MM / 2.0)
}

/// Places on a window so far apart, along it from column to column.
pub(super) fn grid(window: &Window, apart_mm: f64) -> Vec<Point<Cloth>> {
    let size = window.size_mm();
    let [columns, rows] = [size.x, size.y].map(|mm| (mm / apart_mm).max(1.0) as usize);
    let at = |i: usize, j: usize| {
        window.low_mm + Vector::new(size.x * i as f64 / columns as f64, size.y * j as f64 / rows as f64)
    };
    (0..=columns).flat_map(|i| (0..=rows).map(move |j| at(i, j))).collect()
}
