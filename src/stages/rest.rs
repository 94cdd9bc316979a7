//! What still lies on the table when some of the work is done: its edges, and the corners that it can be laid by.
//!
//! Whole lengths, fold on fold, are cut down to one outline after the other. Of one length pieces are cut out; what is left
//! is what hangs together with the next of them. Edges are those of the cloth that were not cut off, and those along which
//! it was cut. A corner is where two of them meet so sharply that a cross can be laid to it. When all is cut out, the corners
//! are those of the pieces that lie there still.

use super::lines::{cloth, line};
use super::order_of_cutting::new_lines;
use super::reach::{Step, farthest};
use super::standing::{Cut, Hanging, Standing};
use super::window::Window;
use super::{Line, LineKind, Stage, Takes};
use crate::geometry::{Cloth, Outline, Point};
use crate::lay::Lay;

/// Edges that turn by no less than this meet in a corner.
const SHARP_DEG: f64 = 40.0;

/// Arms of a corner are as long as this.
const ARM_MM: f64 = 2.0;

/// Edges are looked at in steps as short as this.
const STEP_MM: f64 = 5.0;

/// A place this near to an outline lies on it.
const ON_EDGE_MM: f64 = 0.5;

/// What still lies there.
pub struct Rest<'s> {
    /// Its edges.
    pub edges: Vec<Line>,
    /// Its corners, together those of what hangs together.
    corners: Vec<Vec<Point<Cloth>>>,
    lies: Lies<'s>,
}

enum Lies<'s> {
    /// All of the cloth.
    Whole,
    /// What is within an outline.
    Within(Outline<Cloth>),
    /// What hangs together.
    Hanging(Hanging<'s>),
    /// Nothing but pieces that were cut out.
    Pieces,
}

/// What lies there of a lay when the first `done` of its steps are done. `standing` is its cloth where pieces lie side by
/// side.
pub fn rest<'s>(
    lay: &Lay,
    stages: &[Stage],
    (steps, done): (&[Step], usize),
    standing: Option<&'s Standing>,
) -> Rest<'s> {
    let Some(standing) = standing else {
        let is_last = |stage: &usize| stages[*stage].takes == Takes::Around && is_over(*stage, (steps, done));
        let trimmed = (0..stages.len()).rfind(is_last);
        return trimmed.map_or_else(|| Rest::whole(lay), |stage| Rest::within(stages[stage].shape.clone()));
    };
    let cut = cut_so_far(lay, stages, (steps, done));
    if cut.iter().all(|cut| *cut == Cut::Not) {
        return Rest::whole(lay);
    }
    let next = stages.iter().filter_map(|stage| stage.takes.piece()).find(|piece| cut[*piece] != Cut::Out);
    match next.and_then(|piece| standing.with_piece(piece, &cut)) {
        Some(hanging) => Rest::hanging(lay, hanging, standing.cuts().iter().zip(&cut)),
        None => Rest::pieces(&lying(stages, (steps, done), standing.cuts())),
    }
}

/// Whether nothing is left to be done of a stage when so many steps are done.
fn is_over(stage: usize, (steps, done): (&[Step], usize)) -> bool {
    steps.iter().skip(done).all(|step| step.stage != stage || step.passing)
}

/// How far each piece of a lay of pieces side by side is cut out when the first `done` of its steps are done.
pub fn cut_so_far(lay: &Lay, stages: &[Stage], (steps, done): (&[Step], usize)) -> Vec<Cut> {
    let mut cut = vec![Cut::Not; lay.placed.len()];
    for (i, stage) in stages.iter().enumerate() {
        let Some(piece) = stage.takes.piece() else { continue };
        let here = steps.iter().take(done).filter(|step| step.stage == i && !step.passing);
        let parts: Vec<Window> = here.map(|step| step.own).collect();
        cut[piece] = match parts.is_empty() {
            true => Cut::Not,
            false if is_over(i, (steps, done)) => Cut::Out,
            false => Cut::In(parts),
        };
    }
    cut
}

/// The pieces that still lie there when all is cut out: what was cut before the last move was taken away.
fn lying<'c>(stages: &[Stage], (steps, done): (&[Step], usize), cuts: &'c [Outline<Cloth>]) -> Vec<&'c Outline<Cloth>> {
    let steps = &steps[..done.min(steps.len())];
    let here = steps.last().map(|step| step.reach);
    let cut_here = |piece: usize| {
        let mut own = steps.iter().filter(|step| stages[step.stage].takes == Takes::Piece(piece));
        own.next_back().map(|step| step.reach) == here
    };
    (0..cuts.len()).filter(|piece| cut_here(*piece)).map(|piece| &cuts[piece]).collect()
}

impl<'s> Rest<'s> {
    fn whole(lay: &Lay) -> Self {
        let ends_mm: &[f64] = if lay.fold.ends_cloth() { &[0.0, lay.length_mm] } else { &[0.0] };
        let corner = |x_mm: &f64| [0.0, lay.folded_width_mm].map(|y_mm| Point::new(*x_mm, y_mm));
        Self { edges: edges_of(lay), corners: vec![ends_mm.iter().flat_map(corner).collect()], lies: Lies::Whole }
    }

    fn within(shape: Outline<Cloth>) -> Self {
        let on_fold = shape.corners.iter().filter(|p| p.y.abs() < ON_EDGE_MM);
        let (low, high) =
            on_fold.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| (low.min(p.x), high.max(p.x)));
        let mut edges: Vec<Line> = new_lines(&shape, &[]).into_iter().map(was_cut).collect();
        if low < high {
            edges.push(line(LineKind::Fold, vec![Point::new(low, 0.0), Point::new(high, 0.0)], None));
        }
        Self { edges, corners: vec![sharp(&shape)], lies: Lies::Within(shape) }
    }

    fn hanging<'c>(lay: &Lay, hanging: Hanging<'s>, cuts: impl Iterator<Item = (&'c Outline<Cloth>, &'c Cut)>) -> Self {
        let out: Vec<&Outline<Cloth>> = cuts.filter(|(_, cut)| **cut == Cut::Out).map(|(outline, _)| outline).collect();
        let borders = |p: &Point<Cloth>| hanging.borders(*p);
        // What was cut out along the edge of the cloth took that edge with it.
        let is_left =
            |p: &Point<Cloth>| borders(p) && !out.iter().any(|cut| cut.contains(*p) || cut.passes(*p, ON_EDGE_MM));
        let mut edges = Vec::new();
        for edge in edges_of(lay) {
            let runs = runs(&edge.points, is_left);
            edges.extend(runs.into_iter().map(|points| line(edge.kind, points, None)));
        }
        let mut corners: Vec<Point<Cloth>> = Vec::new();
        for cut in &out {
            for open in new_lines(cut, &[]) {
                edges.extend(runs(&open, borders).into_iter().map(was_cut));
            }
            corners.extend(sharp(cut).into_iter().filter(borders));
        }
        let ends = [0.0, lay.folded_width_mm].map(|y_mm| Point::new(0.0, y_mm));
        corners.extend(ends.into_iter().filter(is_left));
        Self { edges, corners: vec![corners], lies: Lies::Hanging(hanging) }
    }

    fn pieces(cuts: &[&Outline<Cloth>]) -> Self {
        let edges = cuts.iter().flat_map(|cut| new_lines(cut, &[])).map(was_cut).collect();
        Self { edges, corners: cuts.iter().map(|cut| sharp(cut)).collect(), lies: Lies::Pieces }
    }

    /// Whether a cross that was chalked somewhere is still there.
    pub fn holds(&self, p: Point<Cloth>) -> bool {
        match &self.lies {
            Lies::Whole => true,
            Lies::Within(shape) => shape.contains(p),
            Lies::Hanging(hanging) => hanging.holds(p),
            Lies::Pieces => false,
        }
    }

    /// Whether nothing is cut.
    pub fn is_whole(&self) -> bool {
        matches!(self.lies, Lies::Whole)
    }

    /// Whether all pieces are cut out.
    pub fn is_pieces(&self) -> bool {
        matches!(self.lies, Lies::Pieces)
    }

    /// The two corners of what hangs together that lie farthest apart in a part of the cloth; none when there are none far
    /// enough.
    pub fn corners(&self, within: &Window) -> Option<[Point<Cloth>; 2]> {
        let seen = |corners: &Vec<Point<Cloth>>| -> Vec<Point<Cloth>> {
            corners.iter().copied().filter(|p| within.contains(*p)).collect()
        };
        let apart_mm = |pair: &[Point<Cloth>; 2]| (pair[1] - pair[0]).length();
        let pairs = self.corners.iter().filter_map(|corners| farthest(&seen(corners)));
        pairs.max_by(|a, b| apart_mm(a).total_cmp(&apart_mm(b)))
    }
}

/// The edges of the cloth itself, which does not end where its lay does.
fn edges_of(lay: &Lay) -> Vec<Line> {
    let edges = cloth(lay).into_iter().filter(|line| line.kind != LineKind::LayEnd);
    edges.map(|line| Line { label: None, ..line }).collect()
}

/// An edge along which the cloth was cut.
fn was_cut(points: Vec<Point<Cloth>>) -> Line {
    line(LineKind::ClothEnd, points, None)
}

/// The corners of an outline at which a cross can be laid. Their arms are looked at over [`ARM_MM`], since curves are made
/// of short sides.
fn sharp(outline: &Outline<Cloth>) -> Vec<Point<Cloth>> {
    let (corners, n) = (&outline.corners, outline.corners.len());
    let arm = |i: usize, step: usize| {
        let mut way = (1..n).map(|k| corners[(i + k * step) % n] - corners[i]);
        way.find(|arm| arm.length() >= ARM_MM).unwrap_or_default()
    };
    let turn_deg = |i: usize| (-arm(i, n - 1)).angle_to(arm(i, 1)).to_degrees().abs();
    (0..n).filter(|i| turn_deg(*i) >= SHARP_DEG).map(|i| corners[i]).collect()
}

/// The parts of a line at which something holds, cut to short steps.
fn runs(points: &[Point<Cloth>], holds: impl Fn(&Point<Cloth>) -> bool) -> Vec<Vec<Point<Cloth>>> {
    let mut runs: Vec<Vec<Point<Cloth>>> = vec![Vec::new()];
    for side in points.windows(2) {
        let steps = ((side[1] - side[0]).length() / STEP_MM).ceil().max(1.0) as usize;
        for i in 0..steps {
            let [from, middle, to] = [0.0, 0.5, 1.0].map(|by| side[0].lerp(side[1], (i as f64 + by) / steps as f64));
            let Some(run) = runs.last_mut() else { continue };
            match (holds(&middle), run.is_empty()) {
                (true, true) => run.extend([from, to]),
                (true, false) => run.push(to),
                (false, true) => {}
                (false, false) => runs.push(Vec::new()),
            }
        }
    }
    runs.retain(|run| run.len() > 1);
    runs
}
