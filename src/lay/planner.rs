//! The planner: every kind of fold is weighed, the one that spends least cloth is searched on.

use super::need::NOISE_MM;
use super::ready::{Plan, Ready};
use super::{Fold, Lay, Wanted, flaw, proof};
use crate::nest::{Forms, Moves, Nesting, Pace, nest, nest_on};
use crate::order::Matching;
use crate::remark::{Refusal, Remark, Told, told};

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
    pub const FIRST: Self = Effort { tried: TRIED, pace: &Moves(250) };

    /// Until a pace ends.
    pub fn until(pace: &dyn Pace) -> Effort<'_> {
        Effort { tried: 4 * TRIED, pace }
    }
}

/// Moves with which every fold is tried for a first answer.
const TRIED: u64 = 40;

/// So many of the best trials are gone on with by as many moves again, times so much, before two are left: what a fold is
/// worth shows late.
const HEAT: usize = 4;
const HEAT_TIMES: u64 = 2;

/// A fold whose trial came out longer than the best by this share is not searched on.
const NEAR_SHARE: f64 = 1.1;

/// Folds that are tried at most for each beginning of the print, those that promise most first.
const MOST_TRIED: usize = 5;

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

/// A fold that was tried, and what came out.
type Trial<'p> = (&'p Plan, Nesting);

/// Plans the shortest lay of any pieces on one length of cloth. Where the print must meet, the lay without that is looked
/// for too, so that she sees what it costs.
///
/// # Errors
/// When a piece fits the cloth in no way, can't lie where it is pinned, or the cloth is too short: by how much, and what
/// would fit.
pub fn plan(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Told<Lay> {
    let ready = Ready::of(wanted, forms)?;
    let mut remarks: Vec<Remark> = wanted.unmatched().into_iter().collect();
    let way = if ready.is_tied() { wanted.matching() } else { Matching::None };
    let mut lay = shortest(&ready, way, effort)?;
    if way != Matching::None {
        // What meets also lies: without meeting no more is needed. A first answer will do, and all time is for the lay.
        let plain = shortest(&ready, Matching::None, &Effort::FIRST).map_or(f64::INFINITY, |lay| lay.used_mm);
        lay.meets.plain_mm = Some(plain.min(lay.used_mm));
    }
    remarks.extend(too_short(&lay));
    remarks.extend(flaw::off_the_cloth(wanted.cloth, wanted.system));
    told(lay, remarks)
}

/// The shortest lay that is found with that effort.
fn shortest(ready: &Ready<'_>, way: Matching, effort: &Effort<'_>) -> Result<Lay, Refusal> {
    let mut plans = ready.plans(way).map_err(|(piece, broken)| {
        let wanted = ready.wanted;
        let name = ready.name(piece);
        let remark = broken.remark(name, |mm| wanted.system.show_fine(mm)).field(format!("lay.{name}"));
        Refusal::because(match wanted.asked.pins_mm.get(name) {
            Some(pin) => remark.line(pin.line),
            None => remark,
        })
    })?;
    if plans.is_empty() {
        return Err(ready.misfit());
    }
    plans.sort_by(|a, b| a.bound_mm.total_cmp(&b.bound_mm));
    let mut tried = trials(&plans, effort.tried);
    tried.sort_by(|a, b| a.1.length_mm.total_cmp(&b.1.length_mm));
    for pair in tried.iter_mut().take(HEAT).collect::<Vec<_>>().chunks_mut(SEEDS.len()) {
        let moves = Moves(HEAT_TIMES * effort.tried);
        let on = at_once(pair, |(plan, nesting)| nest_on(&plan.task, nesting, &SEEDS[..1], &moves));
        for (trial, nesting) in pair.iter_mut().zip(on) {
            trial.1 = nesting.unwrap_or_else(|| trial.1.clone());
        }
    }
    tried.sort_by(|a, b| a.1.length_mm.total_cmp(&b.1.length_mm));
    let mut weighed = weighed(&plans, &tried);
    let best = searched(ready, way, tried, effort.pace).ok_or_else(|| ready.misfit())?;
    for own in weighed.iter_mut().filter(|weighed| weighed.fold == best.fold) {
        own.used_mm = Some(best.used_mm);
    }
    Ok(Lay { weighed, ..best })
}

/// A short search on each fold that may be the best, as many at once as there are threads.
fn trials(plans: &[Plan], moves: u64) -> Vec<Trial<'_>> {
    let beginnings = plans.iter().map(|plan| plans.iter().filter(|other| other.fold == plan.fold).count()).max();
    let most = MOST_TRIED * beginnings.unwrap_or(1);
    let mut tried: Vec<Trial<'_>> = Vec::new();
    let mut left = plans.iter();
    loop {
        let best_mm = tried.iter().map(|(_, nesting)| nesting.length_mm).fold(f64::INFINITY, f64::min);
        let next: Vec<&Plan> = left.by_ref().filter(|plan| plan.bound_mm < best_mm).take(SEEDS.len()).collect();
        if next.is_empty() || tried.len() >= most {
            return tried;
        }
        let found = at_once(&next, |plan| nest(&plan.task, &SEEDS[..1], &Moves(moves)));
        tried.extend(next.into_iter().zip(found).filter_map(|(plan, nesting)| Some((plan, nesting?))));
    }
}

/// A search for each, on a thread of its own.
fn at_once<T: Sync>(each: &[T], search: impl Fn(&T) -> Option<Nesting> + Sync) -> Vec<Option<Nesting>> {
    std::thread::scope(|scope| {
        let search = &search;
        let threads: Vec<_> = each.iter().map(|one| scope.spawn(move || search(one))).collect();
        threads.into_iter().map(|thread| thread.join().ok().flatten()).collect()
    })
}

/// Every fold once, with the best that was found on it.
fn weighed(plans: &[Plan], tried: &[Trial<'_>]) -> Vec<Weighed> {
    let mut all: Vec<Weighed> = Vec::new();
    for plan in plans {
        let of_plan = tried.iter().find(|(other, _)| std::ptr::eq(*other, plan));
        let used = of_plan.map(|(_, nesting)| nesting.length_mm);
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

/// Searches on from the best trials, as long as the pace allows, and keeps what the proof passes.
fn searched(ready: &Ready<'_>, way: Matching, tried: Vec<Trial<'_>>, pace: &dyn Pace) -> Option<Lay> {
    let near_mm = tried.first()?.1.length_mm * NEAR_SHARE;
    let (first, second) = (&tried[0], tried.get(1).filter(|(_, nesting)| nesting.length_mm <= near_mm));
    let mut found: Vec<Trial<'_>> = match second {
        // Two folds so close that more search may turn them round: a thread for each.
        Some(second) => std::thread::scope(|scope| {
            let other = scope.spawn(|| nest_on(&second.0.task, &second.1, &SEEDS[1..], pace));
            let mine = nest_on(&first.0.task, &first.1, &SEEDS[..1], pace);
            let other = other.join().ok().flatten();
            mine.map(|n| (first.0, n)).into_iter().chain(other.map(|n| (second.0, n))).collect()
        }),
        None => nest_on(&first.0.task, &first.1, &SEEDS, pace).map(|n| (first.0, n)).into_iter().collect(),
    };
    found.extend(tried);
    found.sort_by(|a, b| a.1.length_mm.total_cmp(&b.1.length_mm));
    found.iter().map(|(plan, nesting)| ready.lay(plan, nesting, way)).find(|lay| proof::faults(lay).is_empty())
}

/// How much the cloth is too short.
pub(super) fn too_short(lay: &Lay) -> Option<Remark> {
    let length_mm = lay.cloth.length_mm.filter(|length_mm| lay.used_mm - length_mm > NOISE_MM)?;
    let show = |mm: f64| lay.system.show_at_least(mm);
    let meets = if lay.meets.way == Matching::None { "" } else { " whose print meets" };
    let remark = Remark::refusal(format!(
        "the cloth is too short: the shortest lay{meets} that was found needs {}, and there are {} ({} more)",
        show(lay.used_mm),
        lay.system.show(length_mm),
        show(lay.used_mm - length_mm)
    ));
    let without = match lay.meets.plain_mm {
        Some(plain_mm) if plain_mm <= length_mm => {
            format!(", or write match = \"none\" under [lay]: then {} will do", show(plain_mm))
        }
        _ => String::new(),
    };
    Some(remark.field("cloth.length").remedy(format!(
        "buy {}, or let it search longer: --seconds 60 --keep{without}",
        lay.system.show_cut_from_bolt(lay.to_buy_mm())
    )))
}
