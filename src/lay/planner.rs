//! The planner: every kind of fold is weighed, the one that spends least cloth is searched on.

use super::domain::{Asked, Rather, Sheet};
use super::fold::{Fold, Zone};
use super::{Lay, LeftOver, Placed, flaw, proof};
use crate::finish::Piece;
use crate::geometry::{Draft, Outline};
use crate::nest::{Form, Kind, Moves, Nesting, Pace, Task, nest};
use crate::order::{Cloth, Print};
use crate::remark::{Refusal, Remark, Told, told};
use crate::units::System;

/// Seeds of the search: one a core of the smallest machine.
const SEEDS: [u64; 2] = [1, 2];

/// How long is searched.
#[derive(Clone, Copy)]
pub struct Effort<'p> {
    /// Moves with which every fold is tried.
    pub tried: u64,
    /// The pace of the search on the best of them.
    pub pace: &'p dyn Pace,
}

impl Effort<'_> {
    /// For a first answer.
    pub const FIRST: Self = Effort { tried: TRIED, pace: &Moves(150) };

    /// Until a pace ends.
    pub fn until(pace: &dyn Pace) -> Effort<'_> {
        Effort { tried: TRIED, pace }
    }
}

/// Moves with which every fold is tried.
const TRIED: u64 = 30;

/// A fold whose trial came out longer than the best by this share is not searched on.
const NEAR_SHARE: f64 = 1.04;

/// Pieces may be kept this far apart; a cut is wider.
const COARSE_MM: f64 = 0.2;

/// Folds that are tried at most, those that promise most first.
const MOST_TRIED: usize = 5;

/// No lay is longer than this; forms are made ready for it.
const LONGEST_MM: f64 = 10_000.0;

/// A fold that was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The fold.
    pub fold: Fold,
    /// No lay on it can be shorter.
    pub bound_mm: f64,
    /// The cloth that it spends; none when it was not tried, because its bound is longer than a lay on another fold.
    pub used_mm: Option<f64>,
}

/// A fold with what is to be laid on it.
struct Plan {
    fold: Fold,
    asked: Vec<Asked>,
    task: Task,
    bound_mm: f64,
}

/// What was asked for: pieces made ready.
struct Ready<'p> {
    sheets: Vec<Sheet<'p>>,
    /// The forms of each piece as drawn and unfolded.
    forms: Vec<[Option<Form>; 2]>,
    cloth: &'p Cloth,
    system: System,
}

/// Plans the shortest lay of any pieces on one length of cloth.
///
/// # Errors
/// When a piece fits the cloth in no way, or the cloth is too short: by how much, and what would fit.
pub fn plan(pieces: &[Piece], cloth: &Cloth, system: System, effort: &Effort<'_>) -> Told<Lay> {
    let ready = Ready::of(pieces, cloth, system);
    let mut plans = ready.plans();
    if plans.is_empty() {
        return Err(ready.misfit());
    }
    plans.sort_by(|a, b| a.bound_mm.total_cmp(&b.bound_mm));
    let mut tried: Vec<(f64, &Plan, Nesting)> = Vec::new();
    for plan in &plans {
        let best_mm = tried.iter().map(|(used_mm, ..)| *used_mm).fold(f64::INFINITY, f64::min);
        if plan.bound_mm >= best_mm || tried.len() >= MOST_TRIED {
            continue;
        }
        if let Some(nesting) = nest(&plan.task, &SEEDS[..1], &Moves(effort.tried)) {
            tried.push((nesting.length_mm, plan, nesting));
        }
    }
    tried.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut weighed = weighed(&plans, &tried);
    let best = ready.searched(tried, effort.pace).ok_or_else(|| ready.misfit())?;
    for own in weighed.iter_mut().filter(|weighed| weighed.fold == best.fold) {
        own.used_mm = Some(best.used_mm);
    }
    let lay = Lay { weighed, ..best };
    let mut remarks = ready.too_short(&lay);
    remarks.extend(flaw::off_the_cloth(cloth, system));
    told(lay, remarks)
}

/// Every fold once, with the best that was found on it.
fn weighed(plans: &[Plan], tried: &[(f64, &Plan, Nesting)]) -> Vec<Weighed> {
    let mut all: Vec<Weighed> = Vec::new();
    for plan in plans {
        let used = tried.iter().filter(|(_, other, _)| std::ptr::eq(*other, plan)).map(|(used_mm, ..)| *used_mm).next();
        match all.iter_mut().find(|weighed| weighed.fold == plan.fold) {
            Some(known) => {
                known.bound_mm = known.bound_mm.min(plan.bound_mm);
                known.used_mm = [known.used_mm, used].into_iter().flatten().reduce(f64::min);
            }
            None => all.push(Weighed { fold: plan.fold, bound_mm: plan.bound_mm, used_mm: used }),
        }
    }
    all
}

impl<'p> Ready<'p> {
    fn of(pieces: &'p [Piece], cloth: &'p Cloth, system: System) -> Self {
        let sheets: Vec<Sheet<'p>> = pieces.iter().map(Sheet::of).collect();
        let size_mm = cloth.width_mm.max(LONGEST_MM);
        let form = |outline: &Outline<Draft>| Form::of(outline, size_mm, COARSE_MM);
        let both = |sheet: &Sheet<'p>| {
            let drawn = if sheet.drawn.on_fold { form(&sheet.drawn.cut) } else { None };
            [drawn, form(&sheet.whole.cut)]
        };
        // The slow part of a first answer, so on all cores that a small machine has.
        let forms = std::thread::scope(|scope| {
            let halves: Vec<_> = sheets
                .chunks(sheets.len().div_ceil(SEEDS.len()).max(1))
                .map(|part| scope.spawn(move || part.iter().map(both).collect::<Vec<_>>()))
                .collect();
            halves.into_iter().flat_map(|half| half.join().unwrap_or_default()).collect()
        });
        Self { sheets, forms, cloth, system }
    }

    /// Every fold on which every piece has its place, with what is laid on it.
    fn plans(&self) -> Vec<Plan> {
        let mut plans = Vec::new();
        for fold in self.folds() {
            let zones = fold.zones(self.cloth.width_mm);
            let mixed = zones.iter().any(|zone| zone.layers == 1) && zones.iter().any(|zone| zone.layers == 2);
            let ways: &[Rather] = if mixed { &[Rather::Double, Rather::Single] } else { &[Rather::Double] };
            plans.extend(ways.iter().filter_map(|rather| self.plan(fold, &zones, *rather)));
        }
        plans
    }

    /// The folds worth a look: folded no farther in than pieces on the fold reach.
    fn folds(&self) -> Vec<Fold> {
        let half_mm = self.cloth.width_mm / 2.0;
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

    fn plan(&self, fold: Fold, zones: &[Zone], rather: Rather) -> Option<Plan> {
        let one_way = self.cloth.print == Print::OneWay;
        let asked: Option<Vec<Vec<Asked>>> =
            self.sheets.iter().enumerate().map(|(i, sheet)| sheet.asked(i, zones, rather, one_way)).collect();
        let asked: Vec<Asked> = asked?.into_iter().flatten().collect();
        let kind = |asked: &Asked| {
            let form = self.forms[asked.piece][usize::from(asked.unfolded)].clone()?;
            Some(Kind { form, homes: asked.homes.clone() })
        };
        let task = Task {
            width_mm: fold.folded_width_mm(self.cloth.width_mm),
            kinds: asked.iter().map(kind).collect::<Option<_>>()?,
            items: asked.iter().enumerate().flat_map(|(i, asked)| (0..asked.times).map(move |_| i)).collect(),
            obstacles: flaw::folded(&self.cloth.flaws, fold, self.cloth.width_mm),
        };
        let bound_mm = bound_mm(&task);
        Some(Plan { fold, asked, task, bound_mm })
    }

    /// Searches on from the best trials, as long as the pace allows, and keeps what the proof passes.
    fn searched(&self, tried: Vec<(f64, &Plan, Nesting)>, pace: &dyn Pace) -> Option<Lay> {
        let near_mm = tried.first()?.0 * NEAR_SHARE;
        let (near, far): (Vec<_>, Vec<_>) = tried.into_iter().partition(|(used_mm, ..)| *used_mm <= near_mm);
        let rival = near.get(1).filter(|_| SEEDS.len() > 1);
        let mut found: Vec<(&Plan, Nesting)> = match rival {
            // Two folds so close that more search may turn them round: a thread for each.
            Some((_, second, _)) => std::thread::scope(|scope| {
                let first = near[0].1;
                let other = scope.spawn(|| nest(&second.task, &SEEDS[1..], pace));
                let mine = nest(&first.task, &SEEDS[..1], pace);
                let other = other.join().ok().flatten();
                mine.map(|n| (first, n)).into_iter().chain(other.map(|n| (*second, n))).collect()
            }),
            None => nest(&near[0].1.task, &SEEDS, pace).map(|n| (near[0].1, n)).into_iter().collect(),
        };
        found.extend(near.into_iter().chain(far).map(|(_, plan, nesting)| (plan, nesting)));
        found.sort_by(|a, b| a.1.length_mm.total_cmp(&b.1.length_mm));
        let lays = found.into_iter().map(|(plan, nesting)| self.lay(plan, &nesting));
        lays.into_iter().find(|lay| proof::faults(lay).is_empty())
    }

    fn lay(&self, plan: &Plan, nesting: &Nesting) -> Lay {
        let placed = |(item, pose): (usize, &crate::nest::Pose)| {
            let asked = &plan.asked[plan.task.items[item]];
            let sheet = &self.sheets[asked.piece];
            let cloth_from_draft = asked.homes[pose.home].cloth_from_item(pose.at);
            let piece = if asked.unfolded { sheet.whole.clone() } else { sheet.drawn.clone() };
            let along = cloth_from_draft.transform_vector(piece.grain[1] - piece.grain[0]);
            Placed {
                of: asked.piece,
                shift_mm: 0.0,
                turned: along.x < 0.0,
                mirrored: cloth_from_draft.determinant() > 0.0,
                layers: asked.layers[pose.home],
                gives: asked.gives,
                cloth_from_draft,
                piece,
            }
        };
        let mut placed: Vec<Placed> = nesting.poses.iter().enumerate().map(placed).collect();
        let head = |placed: &Placed| placed.cut().bounds().0;
        placed.sort_by(|a, b| head(a).x.total_cmp(&head(b).x).then(head(a).y.total_cmp(&head(b).y)));
        let rest_mm = self.cloth.length_mm.map_or(0.0, |length_mm| length_mm - nesting.length_mm);
        let rest = LeftOver { along_mm: rest_mm, across_mm: self.cloth.width_mm, count: 1 };
        Lay {
            system: self.system,
            cloth: self.cloth.clone(),
            fold: plan.fold,
            layers: plan.fold.layers(),
            lengths: 1,
            room_mm: 0.0,
            length_mm: nesting.length_mm,
            folded_width_mm: plan.task.width_mm,
            used_mm: nesting.length_mm,
            left_over: [rest].into_iter().filter(LeftOver::is_kept).collect(),
            weighed: Vec::new(),
            placed,
        }
    }

    /// Which piece fits the cloth in no way, and by how much.
    fn misfit(&self) -> Refusal {
        let width_mm = self.cloth.width_mm;
        let widest = self.sheets.iter().max_by(|a, b| a.across_mm().total_cmp(&b.across_mm()));
        let Some(widest) = widest else {
            return Refusal::because(
                Remark::refusal("there are no pieces to lay").remedy("name an order with a garment"),
            );
        };
        let show = |mm: f64| self.system.show_at_least(mm);
        let over_mm = widest.across_mm() - width_mm;
        let name = widest.drawn.name;
        Refusal::because(match over_mm > super::need::NOISE_MM {
            true => Remark::refusal(format!(
                "the cloth is too narrow: the {name} is {} across its grain, and the cloth is {} wide ({} more)",
                show(widest.across_mm()),
                self.system.show(width_mm),
                show(over_mm)
            ))
            .field("cloth.width")
            .remedy(format!(
                "take cloth at least {} between selvedges, or cut the {name} with a seam",
                show(self.cloth.bought_width_mm(widest.across_mm()))
            )),
            false => Remark::refusal("no lay was found on this cloth")
                .field("cloth")
                .remedy("look whether the flaws leave room for every piece, and take wider or longer cloth"),
        })
    }

    /// How much the cloth is too short.
    fn too_short(&self, lay: &Lay) -> Vec<Remark> {
        let show = |mm: f64| self.system.show_at_least(mm);
        let short = self.cloth.length_mm.filter(|length_mm| lay.used_mm - length_mm > super::need::NOISE_MM);
        let remark = short.map(|length_mm| {
            Remark::refusal(format!(
                "the cloth is too short: the shortest lay that was found needs {}, and there are {} ({} more)",
                show(lay.used_mm),
                self.system.show(length_mm),
                show(lay.used_mm - length_mm)
            ))
            .field("cloth.length")
            .remedy(format!(
                "buy {}, or let it search longer: --seconds 60",
                self.system.show_cut_from_bolt(self.cloth.to_buy_mm(lay.used_mm))
            ))
        });
        remark.into_iter().collect()
    }
}

/// No lay of a task is shorter: its area over the width, its longest piece, and the pieces whose centres all lie on one
/// fold line, end to end.
fn bound_mm(task: &Task) -> f64 {
    let along_mm = |kind: usize| {
        let lengths = task.kinds[kind].homes.iter().map(|home| {
            let (low, high) = task.kinds[kind].form.outline.mapped(&home.turn).bounds();
            high.x - low.x
        });
        lengths.fold(f64::INFINITY, f64::min)
    };
    let longest_mm = task.items.iter().map(|kind| along_mm(*kind)).fold(0.0, f64::max);
    (task.area_mm2() / task.width_mm).max(longest_mm).max(on_one_fold_mm(task))
}

/// The edges on the fold of all that is pinned there, when there is but one fold line.
fn on_one_fold_mm(task: &Task) -> f64 {
    let pinned = |kind: &&usize| task.kinds[**kind].homes.iter().all(|home| home.across_mm[0] == home.across_mm[1]);
    let mut lines_mm: Vec<f64> = Vec::new();
    let mut sum_mm = 0.0;
    for kind in task.items.iter().filter(pinned) {
        let kind = &task.kinds[*kind];
        lines_mm.extend(kind.homes.iter().map(|home| home.across_mm[0]));
        let low_mm = kind.form.outline.bounds().0.x;
        let on_fold = |(a, b): (crate::geometry::Point<Draft>, crate::geometry::Point<Draft>)| {
            let on = (a.x - low_mm).abs() < 1e-6 && (b.x - low_mm).abs() < 1e-6;
            if on { (b.y - a.y).abs() } else { 0.0 }
        };
        sum_mm += kind.form.outline.sides().map(on_fold).sum::<f64>();
    }
    let one = lines_mm.windows(2).all(|pair| (pair[0] - pair[1]).abs() < 1e-6);
    if one { sum_mm } else { 0.0 }
}
