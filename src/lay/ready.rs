//! What was asked for, made ready: every fold on which all of it has its place, as a task for the search.

use super::domain::{Asked, Rather, Sheet};
use super::fold::{Fold, Zone};
use super::matching::{Datum, Phase, Ties};
use super::need::NOISE_MM;
use super::pin::{self, Broken, Pins};
use super::proof::IN_STEP_MM;
use super::{Lay, LeftOver, Meets, Placed, Wanted, flaw};
use crate::geometry::{Draft, Outline, Point};
use crate::nest::{Form, Forms, Home, Kind, Nesting, Task};
use crate::order::{Matching, Print};
use crate::remark::{Refusal, Remark};

/// Pieces may be kept this far apart; a cut is wider.
const COARSE_MM: f64 = 0.2;

/// No lay is longer than this; forms are made ready for it.
const LONGEST_MM: f64 = 10_000.0;

/// A fold with what is to be laid on it.
pub struct Plan {
    /// The fold.
    pub fold: Fold,
    /// What is laid.
    pub asked: Vec<Asked>,
    /// The same for the search.
    pub task: Task,
    /// No lay on it can be shorter.
    pub bound_mm: f64,
}

/// What was asked for: pieces made ready.
pub struct Ready<'w> {
    sheets: Vec<Sheet<'w>>,
    /// The forms of each piece as drawn and unfolded.
    forms: Vec<[Option<Form>; 2]>,
    /// What is wanted.
    pub wanted: &'w Wanted<'w>,
    ties: Ties,
    pins: Pins<'w>,
}

/// Every fold with all in place, or the piece that can't lie where it is pinned, and why.
pub type Plans = Result<Vec<Plan>, (usize, Broken)>;

impl<'w> Ready<'w> {
    /// Makes everything ready.
    ///
    /// # Errors
    /// When an order pins a piece that there is not.
    pub fn of(wanted: &'w Wanted<'w>, forms: &mut Forms) -> Result<Self, Refusal> {
        let sheets: Vec<Sheet<'w>> = wanted.pieces().map(Sheet::of).collect();
        let outlines: Vec<&Outline<Draft>> =
            sheets.iter().flat_map(|sheet| [&sheet.drawn.cut, &sheet.whole.cut]).collect();
        let mut made = forms.of(&outlines, [wanted.cloth.width_mm.max(LONGEST_MM), COARSE_MM]).into_iter();
        let forms = sheets.iter().map(|_| [made.next().flatten(), made.next().flatten()]).collect();
        Ok(Self { ties: wanted.ties(), pins: pin::pins(wanted)?, sheets, forms, wanted })
    }

    /// Whether anything is tied so that its print must meet.
    pub fn is_tied(&self) -> bool {
        !self.ties.is_empty()
    }

    /// The name of a piece.
    pub fn name(&self, piece: usize) -> &'static str {
        self.sheets[piece].drawn.name
    }

    /// Every fold on which every piece has its place, with what is laid on it.
    ///
    /// # Errors
    /// When no fold lets a piece lie where it is pinned, which and why.
    pub fn plans(&self, matching: Matching) -> Plans {
        let (mut plans, mut no): (Vec<Plan>, Option<(usize, Broken)>) = (Vec::new(), None);
        for fold in self.folds().into_iter().filter(|fold| self.is_in_step(*fold, matching)) {
            let zones = fold.zones(self.wanted.cloth.width_mm);
            let mixed = zones.iter().any(|zone| zone.layers == 1) && zones.iter().any(|zone| zone.layers == 2);
            let ways: &[Rather] = if mixed { &[Rather::Double, Rather::Single] } else { &[Rather::Double] };
            let mut asked: Vec<Vec<Asked>> =
                ways.iter().filter_map(|rather| self.asked(&zones, *rather, matching)).collect();
            asked.dedup();
            for asked in asked {
                for phase in self.phases(&asked, fold, matching) {
                    match self.plan(fold, asked.clone(), (matching, phase)) {
                        Ok(plan) => plans.extend(plan),
                        Err(broken) => no = no.or(Some(broken)),
                    }
                }
            }
        }
        match no {
            Some(broken) if plans.is_empty() => Err(broken),
            _ => Ok(plans),
        }
    }

    /// The folds worth a look: folded no farther in than pieces on the fold reach.
    fn folds(&self) -> Vec<Fold> {
        let half_mm = self.wanted.cloth.width_mm / 2.0;
        let mut reaches_mm: Vec<f64> =
            self.sheets.iter().filter_map(Sheet::half_mm).filter(|mm| *mm < half_mm).collect();
        reaches_mm.sort_by(f64::total_cmp);
        reaches_mm.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        let mut folds = vec![Fold::Open, Fold::AtHalf];
        for (i, near_mm) in reaches_mm.iter().enumerate() {
            folds.push(Fold::Partly { folded_mm: *near_mm });
            let far = reaches_mm[..=i].iter().filter(|far_mm| near_mm + **far_mm <= half_mm);
            folds.extend(far.map(|far_mm| Fold::BothIn { near_mm: *near_mm, far_mm: *far_mm }));
        }
        // Both selvedges to the middle: the far one need only hold the narrowest piece.
        let narrow_mm = self.sheets.iter().map(|sheet| sheet.half_mm().unwrap_or_else(|| sheet.across_mm()));
        let narrow_mm = narrow_mm.fold(f64::INFINITY, f64::min);
        let to_middle = reaches_mm.iter().filter(|near_mm| half_mm - **near_mm >= narrow_mm);
        let to_middle = to_middle.map(|near_mm| Fold::BothIn { near_mm: *near_mm, far_mm: half_mm - near_mm });
        folds.extend(to_middle);
        folds
    }

    /// Whether all fold lines lie on the same place of a print that must meet across.
    fn is_in_step(&self, fold: Fold, matching: Matching) -> bool {
        let Some([_, across_mm]) = self.wanted.cloth.repeat_mm.filter(|_| matching.is_across()) else { return true };
        let lines_mm = fold.lines_mm(self.wanted.cloth.width_mm);
        lines_mm.windows(2).all(|pair| {
            let apart = (pair[1] - pair[0]) / across_mm;
            (apart - apart.round()).abs() * across_mm < IN_STEP_MM / 4.0
        })
    }

    fn asked(&self, zones: &[Zone], rather: Rather, matching: Matching) -> Option<Vec<Asked>> {
        let one_way = self.wanted.cloth.print == Print::OneWay;
        let tied = |piece: usize| matching != Matching::None && self.ties.holds(piece);
        let sheets = self.sheets.iter().enumerate();
        let asked: Option<Vec<Vec<Asked>>> =
            sheets.map(|(i, sheet)| sheet.asked(i, zones, rather, one_way || tied(i))).collect();
        Some(asked?.into_iter().flatten().collect())
    }

    /// Where the print of tied pieces may be begun: so that one of them lies at the cut end, and on open cloth at the
    /// near selvedge; where one is pinned, so that it lies there. The fold gives the place across.
    fn phases(&self, asked: &[Asked], fold: Fold, matching: Matching) -> Vec<Phase> {
        let Some(repeat_mm) = self.wanted.cloth.repeat_mm.filter(|_| matching != Matching::None && self.is_tied())
        else {
            return vec![Phase(Point::origin())];
        };
        let free = matching.is_across() && fold == Fold::Open;
        let place = |asked: &Asked, home: usize, at: [f64; 2]| {
            let turn = asked.homes[home].turn;
            let outline = &self.form(asked)?.outline;
            let datum = turn.transform_point(self.ties.datums[asked.piece]?);
            let from = datum - outline.mapped(&turn).bounds().0;
            let into = |mm: f64, repeat_mm: f64| mm.rem_euclid(repeat_mm);
            let across_mm = if free { into(at[1] + from.y, repeat_mm[1]) } else { 0.0 };
            Some(Phase(Point::new(into(at[0] + from.x, repeat_mm[0]), across_mm)))
        };
        let tied = || asked.iter().filter(|asked| self.ties.holds(asked.piece));
        let pinned = tied().find_map(|asked| Some((asked, *self.pins.get(&asked.piece)?.first()?)));
        let phases: Vec<Phase> = match pinned {
            Some((asked, at)) => (0..asked.homes.len()).filter_map(|home| place(asked, home, at)).collect(),
            None => tied().filter_map(|asked| place(asked, 0, [0.0; 2])).collect(),
        };
        let near = |a: &Phase, b: &Phase| (a.0 - b.0).length() < IN_STEP_MM;
        let mut kept: Vec<Phase> = Vec::new();
        for phase in phases {
            if !kept.iter().any(|known| near(known, &phase)) {
                kept.push(phase);
            }
        }
        kept
    }

    fn form(&self, asked: &Asked) -> Option<&Form> {
        self.forms[asked.piece][usize::from(asked.unfolded)].as_ref()
    }

    /// A fold as a task; none when an outline can't be taken by the search.
    fn plan(
        &self,
        fold: Fold,
        mut asked: Vec<Asked>,
        (matching, phase): (Matching, Phase),
    ) -> Result<Option<Plan>, (usize, Broken)> {
        let cloth = self.wanted.cloth;
        for asked in asked.iter_mut().filter(|_| matching != Matching::None) {
            let Some(at) = self.ties.datums.get(asked.piece).copied().flatten() else { continue };
            for home in &mut asked.homes {
                // A piece drawn by half has its centre on the fold.
                home.steps = phase.steps(cloth, matching, Datum { at, turn: home.turn }, asked.unfolded);
            }
        }
        if asked.iter().any(|asked| self.form(asked).is_none()) {
            return Ok(None);
        }
        let mut asked = pin::pinned(asked, &self.pins, |asked| self.form(asked).map(|form| form.outline.clone()))?;
        let kind = |asked: &Asked| Some(Kind { form: self.form(asked)?.clone(), homes: asked.homes.clone() });
        let Some(kinds) = asked.iter().map(kind).collect::<Option<Vec<_>>>() else { return Ok(None) };
        let mut task = Task {
            width_mm: fold.folded_width_mm(cloth.width_mm),
            kinds,
            items: asked.iter().enumerate().flat_map(|(i, asked)| (0..asked.times).map(move |_| i)).collect(),
            obstacles: flaw::folded(&cloth.flaws, fold, cloth.width_mm),
        };
        pin::cleared(&mut task, &mut asked, cloth.length_mm)?;
        if let Some([a, b]) = pin::over_one_another(&task) {
            return Err((asked[a].piece, Broken::Over(self.name(asked[b].piece).to_owned())));
        }
        let bound_mm = bound_mm(&task);
        Ok(Some(Plan { fold, asked, task, bound_mm }))
    }

    /// A nesting as a lay.
    pub fn lay(&self, plan: &Plan, nesting: &Nesting, way: Matching) -> Lay {
        let placed = |(item, pose): (usize, &crate::nest::Pose)| {
            let asked = &plan.asked[plan.task.items[item]];
            self.sheets[asked.piece].placed(asked, pose.home, pose.at)
        };
        let placed = nesting.poses.iter().enumerate().map(placed).collect();
        let meetings = if way == Matching::None { Vec::new() } else { self.ties.meetings.clone() };
        let meets = Meets { way, meetings, plain_mm: None };
        on_one_length(self.wanted, (plan.fold, nesting.length_mm), placed, meets)
    }

    /// Which piece fits the cloth in no way, and by how much.
    pub fn misfit(&self) -> Refusal {
        let (cloth, system) = (self.wanted.cloth, self.wanted.system);
        let widest = self.sheets.iter().max_by(|a, b| a.across_mm().total_cmp(&b.across_mm()));
        let Some(widest) = widest else {
            return Refusal::because(
                Remark::refusal("there are no pieces to lay").remedy("name an order with a garment"),
            );
        };
        let show = |mm: f64| system.show_at_least(mm);
        let over_mm = widest.across_mm() - cloth.width_mm;
        let name = widest.drawn.name;
        Refusal::because(match over_mm > NOISE_MM {
            true => Remark::refusal(format!(
                "the cloth is too narrow: the {name} is {} across its grain, and the cloth is {} wide ({} more)",
                show(widest.across_mm()),
                system.show(cloth.width_mm),
                show(over_mm)
            ))
            .field("cloth.width")
            .remedy(format!(
                "take cloth at least {} between selvedges, or cut the {name} with a seam",
                show(cloth.bought_width_mm(widest.across_mm()))
            )),
            false => Remark::refusal("no lay was found on this cloth")
                .field("cloth")
                .remedy("look whether the flaws leave room for every piece, and take wider or longer cloth"),
        })
    }
}

/// Pieces where they lie on one length, as a lay.
pub fn on_one_length(
    wanted: &Wanted<'_>,
    (fold, length_mm): (Fold, f64),
    mut placed: Vec<Placed>,
    meets: Meets,
) -> Lay {
    let head = |placed: &Placed| placed.cut().bounds().0;
    placed.sort_by(|a, b| head(a).x.total_cmp(&head(b).x).then(head(a).y.total_cmp(&head(b).y)));
    let cloth = wanted.cloth;
    let rest_mm = cloth.length_mm.map_or(0.0, |whole_mm| whole_mm - length_mm);
    let rest = LeftOver { along_mm: rest_mm, across_mm: cloth.width_mm, count: 1 };
    Lay {
        system: wanted.system,
        cloth: cloth.clone(),
        fold,
        layers: fold.layers(),
        lengths: 1,
        room_mm: 0.0,
        length_mm,
        folded_width_mm: fold.folded_width_mm(cloth.width_mm),
        used_mm: length_mm,
        left_over: [rest].into_iter().filter(LeftOver::is_kept).collect(),
        weighed: Vec::new(),
        meets,
        placed,
    }
}

/// No lay of a task is shorter: its area over the width, its longest piece, where pinned pieces end, and the pieces whose
/// centres all lie on one fold line, end to end.
fn bound_mm(task: &Task) -> f64 {
    let end_mm = |kind: usize| {
        let ends = task.kinds[kind].homes.iter().map(|home| {
            let (low, high) = task.kinds[kind].form.outline.mapped(&home.turn).bounds();
            high.x - home.along_mm.map_or(low.x, |along_mm| -along_mm[0])
        });
        ends.fold(f64::INFINITY, f64::min)
    };
    let longest_mm = task.items.iter().map(|kind| end_mm(*kind)).fold(0.0, f64::max);
    (task.area_mm2() / task.width_mm).max(longest_mm).max(on_one_fold_mm(task))
}

/// The edges on the fold of all that is pinned there, when there is but one fold line.
fn on_one_fold_mm(task: &Task) -> f64 {
    let on_line = |home: &Home| home.across_mm[0] == home.across_mm[1] && home.along_mm.is_none();
    let pinned = |kind: &&usize| task.kinds[**kind].homes.iter().all(on_line);
    let mut lines_mm: Vec<f64> = Vec::new();
    let mut sum_mm = 0.0;
    for kind in task.items.iter().filter(pinned) {
        let kind = &task.kinds[*kind];
        lines_mm.extend(kind.homes.iter().map(|home| home.across_mm[0]));
        let low_mm = kind.form.outline.bounds().0.x;
        let on_fold = |(a, b): (Point<Draft>, Point<Draft>)| {
            let on = (a.x - low_mm).abs() < 1e-6 && (b.x - low_mm).abs() < 1e-6;
            if on { (b.y - a.y).abs() } else { 0.0 }
        };
        sum_mm += kind.form.outline.sides().map(on_fold).sum::<f64>();
    }
    let one = lines_mm.windows(2).all(|pair| (pair[0] - pair[1]).abs() < 1e-6);
    if one { sum_mm } else { 0.0 }
}
