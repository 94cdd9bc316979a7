//! The planner: every kind of fold is weighed, the one that spends least cloth is searched on.

use super::begin::{Asks, Motifs};
use super::need::NOISE_MM;
use super::ready::{Plan, Ready};
use super::{Lay, Wanted, Weighed, left, proof};
use crate::nest::{Forms, Moves, Nesting, Pace, nest, nest_on};
use crate::order::{Asked, FoldKind, Matching};
use crate::remark::{Refusal, Remark, Told, told};
use std::collections::BTreeMap;

/// Seeds of the search: one a core of the smallest machine.
const SEEDS: [u64; 2] = [1, 2];

/// How long is searched.
#[derive(Clone, Copy)]
pub struct Effort<'p> {
    /// Moves with which the fold with fewest outlines is tried, by each seed.
    pub tried: u64,
    /// The pace of the search on the best of them.
    pub pace: &'p dyn Pace,
    /// A lay to go on from: what is found is no longer.
    pub from: Option<&'p Lay>,
}

impl Effort<'_> {
    /// For a first answer.
    pub const FIRST: Self = Effort { tried: TRIED, pace: &Moves(150), from: None };

    /// For a first answer of several garments together, which take longer to find into one another.
    pub const SEVERAL: Self = Effort { tried: 4 * TRIED, pace: &Moves(600), from: None };

    /// Until a pace ends.
    pub fn until(pace: &dyn Pace) -> Effort<'_> {
        Effort { tried: 4 * TRIED, pace, from: None }
    }

    /// For lays beside the one that is wanted, which tell what something costs: a first answer, or no more than is made for
    /// that one.
    fn beside(&self) -> Effort<'_> {
        if self.is_longer() { Effort::FIRST } else { Effort { from: None, ..*self } }
    }

    /// The same for the pieces of so many garments.
    fn beside_of(&self, garments: usize) -> Effort<'_> {
        if self.is_longer() && garments > 1 { Effort::SEVERAL } else { self.beside() }
    }

    /// Whether it is more than a first answer's.
    pub fn is_longer(&self) -> bool {
        self.tried > Self::FIRST.tried
    }
}

/// Moves with which each seed tries the fold with fewest outlines for a first answer.
const TRIED: u64 = 20;

/// Kinds of fold whose best trial is no longer than the best of all by this share are tried by more seeds: what a fold is
/// worth shows late, and latest on open cloth, where most pieces are to be laid.
const WORTH_SHARE: f64 = 1.15;
const MORE_SEEDS: std::ops::Range<u64> = 3..19;

/// As many of the best trials as this share of the best one's outlines are gone on with by so many times the moves of a trial;
/// then the rest of them falls out.
const HEATS: [(f64, u64); 2] = [(2.0 / 3.0, 2), (1.0 / 3.0, 4)];

/// A fold whose trial came out longer than the best by this share is not searched on.
const NEAR_SHARE: f64 = 1.02;

/// Folds that are tried at most for each beginning of the print, those that promise most first.
const MOST_TRIED: usize = 5;

/// Of lays for which a shop cuts the same, and that are longer than the shortest by no more than this share, the one with
/// the fewest cuttings is taken (common practice, no source).
const SAME_SHARE: f64 = 0.005;

/// A fold that was tried, and what came out.
type Trial<'p> = (&'p Plan, Nesting);

/// The cloth that a trial spends.
fn spent_mm((plan, nesting): &Trial<'_>) -> f64 {
    plan.fold.spent_mm(nesting.length_mm)
}

/// Puts the trial that spends least first.
fn sort(tried: &mut [Trial<'_>]) {
    tried.sort_by(|a, b| spent_mm(a).total_cmp(&spent_mm(b)));
}

/// Plans the shortest lay of any pieces on one length of cloth. Where the print must meet, the lay without that is looked
/// for too, so that she sees what it costs.
///
/// # Errors
/// When a piece fits the cloth in no way, can't lie where it is pinned, or the cloth is too short: by how much, and what
/// would fit.
pub fn plan(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Told<Lay> {
    let mut remarks = told((), wanted.stray())?.remarks;
    let ready = Ready::of(wanted, forms)?;
    let asks = ready.asks();
    let mut lay = shortest(&ready, asks, effort)?;
    if asks != Asks::NOTHING {
        // What meets also lies: without meeting no more is needed. A first answer will do, and all time is for the lay.
        let beside = effort.beside_of(wanted.garments.len());
        let plain = shortest(&ready, Asks::NOTHING, &beside).map_or(f64::INFINITY, |lay| lay.used_mm);
        lay.meets.plain_mm = Some(plain.min(lay.used_mm));
    }
    if ready.lands_along() {
        let best = shortest(&ready, Asks { motifs: Motifs::AtTheirBest, ..asks }, &effort.beside()).ok();
        // As the cloth lies is one of the ways to begin.
        lay.meets.best_start = best.and_then(|best| best.meets.best_start).filter(|best| best.used_mm < lay.used_mm);
    }
    lay.unpinned_mm = unpinned_mm(wanted, &effort.beside(), forms).map(|free_mm| free_mm.min(lay.used_mm));
    remarks.extend(too_short(&lay));
    told(lay, remarks)
}

/// What the pieces would spend if none were kept at a place; none where none is.
fn unpinned_mm(wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Option<f64> {
    if wanted.asked.pins_mm.is_empty() {
        return None;
    }
    let asked = Asked { pins_mm: BTreeMap::new(), ..wanted.asked.clone() };
    let free = Wanted { asked, ..wanted.clone() };
    let ready = Ready::of(&free, forms).ok()?;
    shortest(&ready, ready.asks(), effort).ok().map(|lay| lay.used_mm)
}

/// The shortest lay that is found with that effort.
fn shortest(ready: &Ready<'_>, asks: Asks, effort: &Effort<'_>) -> Result<Lay, Refusal> {
    let (mut plans, misplaced) = ready.plans(asks);
    if let Some(first) = misplaced.first().filter(|_| plans.is_empty()) {
        return Err(ready.refused_pin(first));
    }
    let mut kinds: Vec<FoldKind> = plans.iter().map(|plan| plan.fold.kind()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let ruled_out = ready.ruled_out(&kinds, &misplaced, asks);
    if plans.is_empty() {
        return Err(ready.wanted.refused_fold(&ruled_out).unwrap_or_else(|| ready.misfit(asks)));
    }
    plans.sort_by(|a, b| a.bound_mm.total_cmp(&b.bound_mm));
    let (mut tried, looked_at) = trials(&plans, effort.tried);
    let known = plans.iter().find_map(|plan| Some((plan, ready.nesting(plan, effort.from?)?)));
    let known_mm = known.as_ref().map(spent_mm);
    tried.extend(known);
    sort(&mut tried);
    let tried = raced(&plans, tried, effort.tried);
    let found = searched(ready.wanted, tried, (effort.pace, known_mm));
    let mut weighed = weighed(&plans, looked_at, &found);
    let mut lays = found.iter().map(|(plan, nesting)| ready.lay(plan, nesting, asks));
    let best = lays.find(|lay| proof::faults(lay).is_empty()).ok_or_else(|| ready.misfit(asks))?;
    for own in weighed.iter_mut().filter(|weighed| weighed.fold == best.fold) {
        own.used_mm = Some(best.used_mm);
    }
    Ok(Lay { weighed, ruled_out, left_over: left::over(&best), ..best })
}

/// Short searches on each fold that may be the best, begun by each seed on a thread of its own; and how many of the plans were
/// tried so, the first of them.
fn trials(plans: &[Plan], moves: u64) -> (Vec<Trial<'_>>, usize) {
    let beginnings = plans.iter().map(|plan| plans.iter().filter(|other| other.fold == plan.fold).count()).max();
    let most = MOST_TRIED * beginnings.unwrap_or(1);
    let (mut tried, mut looked_at) = (Vec::<Trial<'_>>::new(), 0);
    for plan in plans.iter().take(most) {
        if tried.iter().any(|trial| spent_mm(trial) <= plan.bound_mm) {
            break;
        }
        let found = at_once(&SEEDS, |seed| nest(&plan.task, &[*seed], &moves_on(plan, plans, moves)));
        tried.extend(found.into_iter().flatten().map(|nesting| (plan, nesting)));
        looked_at += 1;
    }
    (tried, looked_at)
}

/// More seeds try the folds that are worth it, and the best trials are gone on with, fewer and fewer and by more and more moves:
/// all trials, the best first.
fn raced<'p>(plans: &'p [Plan], mut tried: Vec<Trial<'p>>, moves: u64) -> Vec<Trial<'p>> {
    let worth_mm = tried.first().map_or(0.0, spent_mm) * WORTH_SHARE;
    let leading = best_of_folds(&tried).into_iter().filter(|i| spent_mm(&tried[*i]) <= worth_mm);
    let worth: Vec<(&Plan, u64)> =
        leading.flat_map(|i| MORE_SEEDS.map(|seed| (tried[i].0, seed)).collect::<Vec<_>>()).collect();
    let found = at_once(&worth, |(plan, seed)| nest(&plan.task, &[*seed], &moves_on(plan, plans, moves)));
    tried.extend(worth.iter().zip(found).filter_map(|((plan, _), nesting)| Some((*plan, nesting?))));
    for (share, times) in HEATS {
        sort(&mut tried);
        let kept = (share * tried.first().map_or(0.0, |(plan, _)| plan.task.items.len() as f64)).ceil() as usize;
        // The best of each fold that may still win stays in, however far behind it is.
        let worth_mm = tried.first().map_or(0.0, spent_mm) * WORTH_SHARE;
        let mut leading = best_of_folds(&tried);
        leading.retain(|i| spent_mm(&tried[*i]) <= worth_mm);
        leading.extend((0..tried.len()).filter(|i| !leading.contains(i)).collect::<Vec<_>>());
        leading.truncate(kept);
        let on = at_once(&leading, |i| {
            let (plan, nesting) = &tried[*i];
            nest_on(&plan.task, nesting, &[*i as u64], &moves_on(plan, plans, times * moves))
        });
        for (i, nesting) in leading.into_iter().zip(on) {
            tried[i].1 = nesting.unwrap_or_else(|| tried[i].1.clone());
        }
    }
    sort(&mut tried);
    tried
}

/// Where in the list, which is sorted, the best trial of each kind of fold is.
fn best_of_folds(tried: &[Trial<'_>]) -> Vec<usize> {
    let kind = |i: &usize| tried[*i].0.fold.kind();
    let is_best = |i: &usize| tried[..*i].iter().all(|(plan, _)| plan.fold.kind() != kind(i));
    (0..tried.len()).filter(is_best).collect()
}

/// So many moves on the fold with fewest outlines, and on any other by the square of how many more it has: so much longer are
/// pairs of them kept apart before it shows what the fold is worth.
fn moves_on(plan: &Plan, plans: &[Plan], moves: u64) -> Moves {
    let outlines = |plan: &Plan| plan.task.items.len() as u64;
    let fewest = plans.iter().map(outlines).min().unwrap_or_default().max(1);
    Moves(moves * outlines(plan).pow(2) / fewest.pow(2))
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
fn weighed(plans: &[Plan], looked_at: usize, tried: &[Trial<'_>]) -> Vec<Weighed> {
    let mut all: Vec<Weighed> = Vec::new();
    for (i, plan) in plans.iter().enumerate() {
        let is_tried = i < looked_at;
        let of_plan = tried.iter().filter(|(other, _)| std::ptr::eq(*other, plan));
        let used = of_plan.map(spent_mm).reduce(f64::min);
        match all.iter_mut().find(|weighed| weighed.fold == plan.fold) {
            Some(known) => {
                known.bound_mm = known.bound_mm.min(plan.bound_mm);
                known.is_tried |= is_tried;
                known.used_mm = [known.used_mm, used].into_iter().flatten().reduce(f64::min);
            }
            None => all.push(Weighed { fold: plan.fold, bound_mm: plan.bound_mm, is_tried, used_mm: used }),
        }
    }
    all
}

/// Searches on from the best trials, as long as the pace allows: everything that was found, what is to be taken first, which
/// is no longer than what is known.
fn searched<'p>(
    wanted: &Wanted<'_>,
    tried: Vec<Trial<'p>>,
    (pace, known_mm): (&dyn Pace, Option<f64>),
) -> Vec<Trial<'p>> {
    let Some(first) = tried.first() else { return tried };
    let near_mm = spent_mm(first) * NEAR_SHARE;
    let mut found: Vec<Trial<'p>> = match tried.get(1).filter(|second| spent_mm(second) <= near_mm) {
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
    sort(&mut found);
    let cut_mm = |trial: &Trial<'_>| wanted.system.cut_from_bolt_mm(wanted.cloth.to_buy_mm(spent_mm(trial)));
    let (least_mm, least_cut_mm) = (spent_mm(&found[0]), cut_mm(&found[0]));
    let most_mm = wanted.cloth.length_mm.into_iter().chain(known_mm).fold((1.0 + SAME_SHARE) * least_mm, f64::min);
    let most_mm = most_mm.max(least_mm);
    found.sort_by_key(|trial| {
        let same = spent_mm(trial) <= most_mm && cut_mm(trial) <= least_cut_mm;
        if same { trial.1.poses.len() } else { usize::MAX }
    });
    found
}

/// How much the cloth is too short.
pub(super) fn too_short(lay: &Lay) -> Option<Remark> {
    let length_mm = lay.cloth.length_mm.filter(|length_mm| lay.used_mm - length_mm > NOISE_MM)?;
    let show = |mm: f64| lay.system.show_at_least(mm);
    let meets = match (lay.meets.way != Matching::None, lay.meets.landings.is_empty()) {
        (true, _) => " whose print meets",
        (false, false) => " whose motifs lie where they must",
        (false, true) => "",
    };
    let remark = Remark::refusal(format!(
        "the cloth is too short: the shortest lay{meets} that was found needs {}, and there are {} ({} more)",
        show(lay.used_mm),
        lay.system.show(length_mm),
        show(lay.used_mm - length_mm)
    ));
    let without = match lay.meets.plain_mm {
        Some(plain_mm) if plain_mm <= length_mm => {
            let without =
                if lay.meets.landings.is_empty() { "write match = \"none\" under" } else { "leave the print out of" };
            format!(", or {without} [lay]: then {} will do", show(plain_mm))
        }
        _ => String::new(),
    };
    let searched = if may_be(lay, length_mm) { ", or let it search longer: --seconds 60 --keep" } else { "" };
    let buy = lay.system.show_cut_from_bolt(lay.to_buy_mm());
    Some(remark.field("cloth.length").remedy(format!("buy {buy}{searched}{without}")))
}

/// Whether a lay so long may be: the pieces are no larger than that cloth, and where folds were weighed, one of them may do.
fn may_be(lay: &Lay, length_mm: f64) -> bool {
    let bounds = lay.weighed.iter().map(|weighed| weighed.bound_mm);
    let bound_mm = bounds.reduce(f64::min).unwrap_or(0.0);
    bound_mm.max(lay.used_share() * lay.used_mm) <= length_mm
}
