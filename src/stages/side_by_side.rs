//! The reaches of a lay of pieces side by side: each piece that fits into the light is cut whole, in one reach.
//!
//! The light goes along the cloth in columns, and in each column across it where the cloth is wider than the light. A
//! window begins at the first piece that none before it shows whole; so windows lie unevenly, and are as few as can be
//! (pieces along a line in windows of one length, covered greedily). Only a piece that is larger than the light is cut
//! across, between lines of dots. What is cut out is taken away before the cloth is moved, so the crosses of a move stand
//! in cloth that is then still there ([`Standing`]); where that leaves no good place for them, a piece that the next
//! reach shows whole too is cut there instead.

use super::reach::{CROSS_ROOM_MM, CUT_END_MM, ENOUGH_MM, OVERLAP_MM, Plan, Reach, Share, WORTH_A_MOVE, adds_mm};
use super::standing::{Cut, Standing};
use super::window::Window;
use crate::geometry::{Cloth, Point};
use crate::lay::{Lay, Placed};

/// A piece stands so far within the light where there is room, so that a small slip of the cloth leaves it lit.
const MARGIN_MM: f64 = 10.0;

/// Overlaps that are tried, in multiples of the least.
const OVERLAPS: [f64; 5] = [1.0, 2.0, 3.0, 4.0, 5.0];

/// Rounding noise in a comparison of lengths.
const NOISE_MM: f64 = 1e-6;

/// One axis of the light over the cloth.
#[derive(Clone, Copy)]
struct Axis {
    /// The cloth's size.
    cloth_mm: f64,
    /// The light's.
    light_mm: f64,
    /// What neighbouring windows share at least.
    overlap_mm: f64,
    /// The longest piece that is cut whole.
    whole_mm: f64,
    /// Whether the first window begins at the edge of the cloth where that takes no more windows, so that its corner is lit.
    from_the_edge: bool,
    /// Whether the windows of the first column are gone through from the far side.
    from_the_far_side: bool,
}

/// From where to where something reaches along an axis.
type Span = [f64; 2];

/// All of a lay in one reach.
pub fn whole(lay: &Lay) -> Plan {
    let all = Window::of_cloth(lay);
    let shares = (0..lay.placed.len()).map(|piece| Share { piece, reach: 0, part: all }).collect();
    Plan { reaches: vec![Reach { lit: all, own: all, off_by_mm: 0.0 }], moves: Vec::new(), shares }
}

/// The reaches of a lay in a light of this size; none when crosses have no place in any way that is tried. Pieces that
/// just fit into the light are cut in two only when nothing else is left; before that, and where lines would else not be near
/// enough, the corner of the cloth is given up.
pub fn plan(lay: &Lay, light_mm: [f64; 2]) -> Option<Plan> {
    let standing = Standing::of(lay);
    let cloth_mm = [lay.length_mm, lay.folded_width_mm];
    // Begun at the far selvedge, other cloth is left between what is cut and what is to be cut.
    let turns = [(true, false), (false, false), (true, true), (false, true)];
    [0.0, OVERLAP_MM].into_iter().find_map(|less_mm| {
        let (mut tried, mut best): (Vec<Plan>, Option<Plan>) = (Vec::new(), None);
        for (from_the_edge, from_the_far_side) in turns {
            for times in OVERLAPS {
                let axis = |i: usize| Axis {
                    cloth_mm: cloth_mm[i],
                    light_mm: light_mm[i],
                    overlap_mm: (times * OVERLAP_MM).min(light_mm[i] / 2.0),
                    whole_mm: light_mm[i] - less_mm,
                    from_the_edge,
                    from_the_far_side,
                };
                let unmoved = reaches(lay, [axis(0), axis(1)]);
                if tried.contains(&unmoved) {
                    continue;
                }
                tried.push(unmoved.clone());
                let Some(found) = moved(lay, &standing, unmoved) else { continue };
                if best.as_ref().is_none_or(|best| found.is_rather(best)) {
                    best = Some(found);
                }
            }
            if best.as_ref().is_some_and(Plan::is_near_enough) {
                break;
            }
        }
        best
    })
}

impl Axis {
    fn is_long(&self, span: Span) -> bool {
        self.light_mm < self.cloth_mm && span[1] - span[0] > self.whole_mm
    }

    /// The last place where a window may begin.
    fn last_mm(&self) -> f64 {
        (self.cloth_mm - self.light_mm).max(0.0)
    }

    /// Where a window may begin that shows all of a span, least and most.
    fn begins(&self, span: Span) -> Span {
        let margin_mm = ((self.light_mm - (span[1] - span[0])) / 2.0).clamp(0.0, MARGIN_MM);
        let least_mm = (span[1] + margin_mm).min(self.cloth_mm) - self.light_mm;
        [least_mm.max(0.0), (span[0] - margin_mm).max(0.0).min(self.last_mm())]
    }

    fn shows(&self, begins_mm: f64, span: Span) -> bool {
        let [least_mm, most_mm] = self.begins(span);
        (least_mm - NOISE_MM..=most_mm + NOISE_MM).contains(&begins_mm)
    }

    /// Where windows begin that show each short span whole in one of them, and the long ones part by part.
    fn windows(&self, spans: &[Span]) -> Vec<f64> {
        let fewest = self.windows_after(None, spans);
        if !self.from_the_edge || fewest.first().is_none_or(|first| *first <= 0.0) {
            return fewest;
        }
        let from_the_edge = self.windows_after(Some(0.0), spans);
        if from_the_edge.len() > fewest.len() { fewest } else { from_the_edge }
    }

    /// The same after a first that is given.
    fn windows_after(&self, first_mm: Option<f64>, spans: &[Span]) -> Vec<f64> {
        let (long, mut open): (Vec<Span>, Vec<Span>) = spans.iter().copied().partition(|span| self.is_long(*span));
        let until_mm = long.iter().map(|span| span[1]).fold(0.0, f64::max);
        let from_mm = long.iter().map(|span| span[0].max(0.0)).fold(f64::INFINITY, f64::min);
        let mut begins: Vec<f64> = first_mm.into_iter().collect();
        open.retain(|span| !begins.iter().any(|begins_mm| self.shows(*begins_mm, *span)));
        loop {
            let first_open_mm = open.iter().map(|span| self.begins(*span)[1]).fold(f64::INFINITY, f64::min);
            let next_mm = match begins.last() {
                None => first_open_mm.min(from_mm),
                Some(last) => first_open_mm.min(last + self.light_mm - self.overlap_mm),
            };
            let to_do = !open.is_empty() || begins.last().map_or(from_mm, |last| last + self.light_mm) < until_mm;
            let next_mm = next_mm.min(self.last_mm());
            if !to_do || begins.last().is_some_and(|last| next_mm <= *last) {
                return begins;
            }
            begins.push(next_mm);
            open.retain(|span| !self.shows(next_mm, *span));
        }
    }

    /// The part of the axis that is cut in each window of pieces that are longer than it.
    fn parts(&self, begins: &[f64]) -> Vec<Span> {
        let end = |i: usize| match i + 1 < begins.len() {
            true => begins[i] + self.light_mm - CUT_END_MM,
            false => self.cloth_mm,
        };
        (0..begins.len()).map(|i| [if i == 0 { 0.0 } else { end(i - 1) }, end(i)]).collect()
    }
}

/// What is lit and cut in the reaches of these axes; no moves yet.
fn reaches(lay: &Lay, axes: [Axis; 2]) -> Plan {
    let boxes: Vec<Window> = lay.placed.iter().map(box_of).collect();
    let mut plan = Plan { reaches: Vec::new(), moves: Vec::new(), shares: Vec::new() };
    let spans: Vec<Span> = boxes.iter().map(|it| [it.low_mm.x, it.high_mm.x]).collect();
    let columns = axes[0].windows(&spans);
    let parts = axes[0].parts(&columns);
    let mut left: Vec<usize> = (0..boxes.len()).collect();
    for (column, begins_mm) in columns.iter().enumerate() {
        let mut here = Vec::new();
        for piece in &left {
            let part = if !axes[0].is_long(spans[*piece]) {
                axes[0].shows(*begins_mm, spans[*piece]).then_some([0.0, axes[0].cloth_mm])
            } else {
                let [from_mm, to_mm] = parts[column];
                (spans[*piece][0] < to_mm && spans[*piece][1] > from_mm).then_some(parts[column])
            };
            here.extend(part.map(|part| (*piece, part)));
        }
        left.retain(|piece| axes[0].is_long(spans[*piece]) || !here.iter().any(|(other, _)| other == piece));
        add_column(&mut plan, axes, *begins_mm, (&here, &boxes));
    }
    while plan.reaches.len() > 1 && plan.shares.iter().all(|share| share.reach + 1 < plan.reaches.len()) {
        plan.reaches.pop();
    }
    drop_needless(&mut plan, axes);
    plan
}

/// A plan with the moves between its reaches; none when crosses have no place.
fn moved(lay: &Lay, standing: &Standing, mut plan: Plan) -> Option<Plan> {
    let boxes: Vec<Window> = lay.placed.iter().map(box_of).collect();
    for i in 1..plan.reaches.len() {
        add_move(lay, standing, &boxes, (&mut plan, i))?;
    }
    plan.shares.sort_by_key(|share| (share.reach, share.piece));
    Some(plan)
}

fn box_of(placed: &Placed) -> Window {
    let (low, high) = placed.cut().bounds();
    Window::of(low, high)
}

/// Adds the windows of a column, with what is cut in them, beginning at that nearest to where the light is.
fn add_column(plan: &mut Plan, axes: [Axis; 2], x_mm: f64, (here, boxes): (&[(usize, Span)], &[Window])) {
    let span = |piece: usize| [boxes[piece].low_mm.y, boxes[piece].high_mm.y];
    let spans: Vec<Span> = here.iter().map(|(piece, _)| span(*piece)).collect();
    let mut rows = axes[1].windows(&spans);
    let parts = axes[1].parts(&rows);
    let lit = |y_mm: f64| {
        let low = Point::<Cloth>::new(x_mm, y_mm);
        Window::of(low, Point::new(x_mm + axes[0].light_mm, y_mm + axes[1].light_mm))
    };
    let before_mm = plan.reaches.last().map(|reach| reach.lit.low_mm.y);
    if rows.is_empty() {
        rows.push(before_mm.unwrap_or(0.0));
    }
    let mut order: Vec<usize> = (0..rows.len()).collect();
    if before_mm.is_none() && axes[1].from_the_far_side {
        order.reverse();
    }
    if let Some(before_mm) = before_mm {
        let far = |row: usize| (rows[row] - before_mm).abs();
        if far(rows.len() - 1) < far(0) {
            order.reverse();
        }
        if far(order[0]) > axes[1].light_mm - axes[1].overlap_mm {
            let lit = lit(before_mm);
            plan.reaches.push(Reach { lit, own: lit, off_by_mm: 0.0 });
        }
    }
    let mut done: Vec<usize> = Vec::new();
    for row in order {
        let reach = plan.reaches.len();
        let lit = lit(rows[row]);
        plan.reaches.push(Reach { lit, own: lit, off_by_mm: 0.0 });
        for (piece, along) in here {
            let across = if !axes[1].is_long(span(*piece)) {
                let first = !done.contains(piece) && axes[1].shows(rows[row], span(*piece));
                first.then_some([0.0, axes[1].cloth_mm])
            } else {
                let [from_mm, to_mm] = parts[row];
                (span(*piece)[0] < to_mm && span(*piece)[1] > from_mm).then_some(parts[row])
            };
            let Some(across) = across else { continue };
            done.push(*piece);
            let part = Window::of(Point::new(along[0], across[0]), Point::new(along[1], across[1]));
            plan.shares.push(Share { piece: *piece, reach, part });
        }
    }
}

/// Drops reaches in which nothing is cut, where those beside them overlap.
fn drop_needless(plan: &mut Plan, axes: [Axis; 2]) {
    let mut i = 1;
    while i + 1 < plan.reaches.len() {
        let both = plan.reaches[i - 1].lit.shared(&plan.reaches[i + 1].lit).size_mm();
        let idle = plan.shares.iter().all(|share| share.reach != i);
        if idle && both.x >= axes[0].overlap_mm && both.y >= axes[1].overlap_mm {
            plan.reaches.remove(i);
            plan.shares.iter_mut().filter(|share| share.reach > i).for_each(|share| share.reach -= 1);
        } else {
            i += 1;
        }
    }
}

/// Finds the crosses of the move into a reach, and leaves pieces to it where that gives better ones.
fn add_move(lay: &Lay, standing: &Standing, boxes: &[Window], (plan, i): (&mut Plan, usize)) -> Option<()> {
    let within = plan.overlap(lay, i).less(CROSS_ROOM_MM);
    let mut best: Option<(f64, Vec<Share>, [Point<Cloth>; 2])> = None;
    let mut shares = plan.shares.clone();
    loop {
        let cut: Vec<Cut> = (0..boxes.len()).map(|piece| cut_before(&shares, piece, i)).collect();
        if let Some(crosses) = standing.crosses(&within, &cut) {
            // A turn that is met by crosses close together throws the farthest line off most, in whatever reach it is cut.
            let adds_mm = adds_mm(crosses, &cut_in(&shares, boxes, |reach| reach >= i).unwrap_or(within));
            if best.as_ref().is_none_or(|best| adds_mm < WORTH_A_MOVE * best.0) {
                best = Some((adds_mm, shares.clone(), crosses));
            }
            if adds_mm <= ENOUGH_MM {
                break;
            }
        }
        // The next to be left is that which lies farthest towards the reach to come.
        let middle = plan.reaches[i].lit.middle();
        let near = |share: &Share| (boxes[share.piece].middle() - middle).length();
        let left = (0..shares.len()).filter(|at| can_wait(&shares, *at, i, (&plan.reaches[i].lit, boxes)));
        let Some(next) = left.min_by(|a, b| near(&shares[*a]).total_cmp(&near(&shares[*b]))) else { break };
        shares[next].reach = i;
    }
    let (_, shares, crosses) = best?;
    plan.shares = shares;
    if let Some(own) = cut_in(&plan.shares, boxes, |reach| reach == i) {
        plan.reaches[i].own = own;
    }
    plan.add_move(i, crosses);
    Some(())
}

/// Whether a share of the reach before can as well be cut whole in reach `i`.
fn can_wait(shares: &[Share], at: usize, i: usize, (lit, boxes): (&Window, &[Window])) -> bool {
    let share = &shares[at];
    let only = shares.iter().filter(|other| other.piece == share.piece).count() == 1;
    share.reach + 1 == i && only && lit.holds(&boxes[share.piece])
}

/// How far a piece is cut out before reach `i`.
fn cut_before(shares: &[Share], piece: usize, i: usize) -> Cut {
    let own = || shares.iter().filter(|share| share.piece == piece);
    let parts: Vec<Window> = own().filter(|share| share.reach < i).map(|share| share.part).collect();
    if parts.is_empty() {
        Cut::Not
    } else if parts.len() == own().count() {
        Cut::Out
    } else {
        Cut::In(parts)
    }
}

/// What is cut in some reaches: the smallest window around its pieces and parts; none where nothing is.
fn cut_in(shares: &[Share], boxes: &[Window], is_meant: impl Fn(usize) -> bool) -> Option<Window> {
    let here = shares.iter().filter(|share| is_meant(share.reach));
    here.map(|share| share.part.shared(&boxes[share.piece])).reduce(|a, b| a.with(&b))
}
