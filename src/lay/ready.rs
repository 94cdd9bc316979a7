//! What was asked for, made ready: every fold on which all of it has its place, as a task for the search.

use super::begin::{Asks, Motifs, Phase};
use super::domain::{Asked, Rather, Sheet};
use super::fold::{Fold, Zone};
use super::landing::{self, Landing};
use super::matching::Ties;
use super::need::NOISE_MM;
use super::pin::{self, Broken, Misplaced, Pins};
use super::{Lay, Meets, Placed, Start, Wanted, flaw};
use crate::geometry::{Draft, Outline, Point};
use crate::nest::{Form, Forms, Home, Kind, Nesting, Pose, Task};
use crate::order::Matching;
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
    /// Where the print lies on it.
    phase: Phase,
}

/// What was asked for: pieces made ready.
pub struct Ready<'w> {
    pub(super) sheets: Vec<Sheet<'w>>,
    /// The forms of each piece as drawn and unfolded.
    forms: Vec<[Option<Form>; 2]>,
    /// What is wanted.
    pub wanted: &'w Wanted<'w>,
    pub(super) ties: Ties,
    pub(super) landings: Vec<Landing>,
    pub(super) pins: Pins<'w>,
}

/// Every fold with all in place, and why there is no place on others.
pub type Plans = (Vec<Plan>, Vec<Misplaced>);

impl<'w> Ready<'w> {
    /// Makes everything ready.
    ///
    /// # Errors
    /// When an order pins a piece that there is not, or lays a motif of which too little is known.
    pub fn of(wanted: &'w Wanted<'w>, forms: &mut Forms) -> Result<Self, Refusal> {
        let (ties, landings) = (wanted.ties(), wanted.landings()?);
        let sheets: Vec<Sheet<'w>> = wanted.pieces().map(Sheet::of).collect();
        let outlines: Vec<&Outline<Draft>> =
            sheets.iter().flat_map(|sheet| [&sheet.drawn.cut, &sheet.whole.cut]).collect();
        let mut made = forms.of(&outlines, [wanted.cloth.width_mm.max(LONGEST_MM), COARSE_MM]).into_iter();
        let forms = sheets.iter().map(|_| [made.next().flatten(), made.next().flatten()]).collect();
        Ok(Self { ties, landings, pins: pin::pins(wanted)?, sheets, forms, wanted })
    }

    /// What is asked of the print, as far as any piece is tied by it.
    pub fn asks(&self) -> Asks {
        let matching = self.wanted.way(&self.ties);
        let motifs = if self.landings.is_empty() { Motifs::Anywhere } else { Motifs::AsItLies };
        Asks { matching, motifs }
    }

    /// Whether motifs must land at a level, so that it matters where the print begins, and no piece is kept at a place.
    pub fn lands_along(&self) -> bool {
        self.landings.iter().any(|landing| landing.along) && self.pins.is_empty()
    }

    /// Whether a motif must lie on the centre of a piece.
    pub(super) fn is_centred(&self, asks: Asks) -> bool {
        asks.motifs != Motifs::Anywhere && self.landings.iter().any(|landing| landing.across)
    }

    /// The name of a piece.
    pub fn name(&self, piece: usize) -> &'static str {
        self.sheets[piece].drawn.name
    }

    /// Every fold on which every piece has its place, with what is laid on it; and those on which a piece can't lie where it
    /// is pinned.
    pub fn plans(&self, asks: Asks) -> Plans {
        let (mut plans, mut misplaced) = (Vec::new(), Vec::new());
        for fold in self.folds(asks) {
            let zones = fold.zones_beside(self.wanted.cloth);
            let mixed = zones.iter().any(|zone| zone.layers == 1) && zones.iter().any(|zone| zone.layers > 1);
            let ways: &[Rather] = if mixed { &[Rather::Double, Rather::Single] } else { &[Rather::Double] };
            let mut asked: Vec<Vec<Asked>> =
                ways.iter().filter_map(|rather| self.asked(&zones, *rather, asks.matching)).collect();
            asked.dedup();
            for asked in asked {
                for phase in self.phases(&asked, fold, asks) {
                    match self.plan(fold, asked.clone(), (asks, phase)) {
                        Ok(plan) => plans.extend(plan),
                        Err((piece, broken)) => misplaced.push(Misplaced { fold, piece, broken }),
                    }
                }
            }
        }
        (plans, misplaced)
    }

    /// The rule that a pinned piece breaks, with the place where it is pinned.
    pub fn refused_pin(&self, misplaced: &Misplaced) -> Refusal {
        let name = self.name(misplaced.piece);
        let remark = misplaced.broken.remark(name, |mm| self.wanted.system.show_fine(mm)).field(format!("lay.{name}"));
        Refusal::because(match self.wanted.asked.pins_mm.get(name) {
            Some(pin) => remark.line(pin.line),
            None => remark,
        })
    }

    /// A lay as a nesting of a fold; none where it is not of that fold, or lies otherwise on its print.
    pub fn nesting(&self, plan: &Plan, lay: &Lay) -> Option<Nesting> {
        let mut left: Vec<&Placed> = lay.placed.iter().filter(|_| plan.fold.is_as(lay.fold)).collect();
        let pose = |kind: &usize| {
            let asked = &plan.asked[*kind];
            let (i, pose) = left.iter().enumerate().find_map(|(i, placed)| Some((i, asked.pose(placed)?)))?;
            left.remove(i);
            Some(pose)
        };
        let poses: Vec<Pose> = plan.task.items.iter().map(pose).collect::<Option<_>>()?;
        let end_mm = |(item, pose): (usize, &Pose)| plan.task.laid(item, pose).bounds().1.x;
        let length_mm = poses.iter().enumerate().map(end_mm).fold(0.0, f64::max);
        left.is_empty().then_some(Nesting { length_mm, poses })
    }

    fn asked(&self, zones: &[Zone], rather: Rather, matching: Matching) -> Option<Vec<Asked>> {
        let bonds = |piece: usize| self.ties.bonds(piece, self.wanted.cloth, matching);
        let sheets = self.sheets.iter().enumerate();
        let asked: Option<Vec<Vec<Asked>>> = sheets.map(|(i, sheet)| sheet.asked(i, zones, rather, bonds(i))).collect();
        Some(asked?.into_iter().flatten().collect())
    }

    pub(super) fn form(&self, asked: &Asked) -> Option<&Form> {
        self.forms[asked.piece][usize::from(asked.unfolded)].as_ref()
    }

    /// A fold as a task; none when an outline can't be taken by the search.
    fn plan(
        &self,
        fold: Fold,
        mut asked: Vec<Asked>,
        (asks, phase): (Asks, Phase),
    ) -> Result<Option<Plan>, (usize, Broken)> {
        let cloth = self.wanted.cloth;
        for asked in &mut asked {
            let bound = self.bound(asked, asks);
            for home in &mut asked.homes {
                home.steps = phase.steps((cloth, asks), &bound, &home.turn);
            }
        }
        if asked.iter().any(|asked| self.form(asked).is_none()) {
            return Ok(None);
        }
        let mut asked = pin::pinned(asked, &self.pins, |asked| self.form(asked).map(|form| form.outline.clone()))
            .map_err(|(piece, broken)| (piece, broken.on(fold)))?;
        let kind = |asked: &Asked| Some(Kind { form: self.form(asked)?.clone(), homes: asked.homes.clone() });
        let Some(kinds) = asked.iter().map(kind).collect::<Option<Vec<_>>>() else { return Ok(None) };
        let mut task = Task {
            width_mm: fold.folded_width_mm(cloth.width_mm),
            kinds,
            items: asked.iter().enumerate().flat_map(|(i, asked)| (0..asked.times).map(move |_| i)).collect(),
            obstacles: flaw::folded(&cloth.flaws, fold, cloth.width_mm),
        };
        pin::cleared(&mut task, &mut asked, cloth.length_mm.map(|length_mm| fold.lying_mm(length_mm)))?;
        if let Some([a, b]) = pin::over_one_another(&task) {
            return Err((asked[a].piece, Broken::Over(self.name(asked[b].piece).to_owned())));
        }
        let bound_mm = fold.spent_mm(bound_mm(&task)).max(cloth_mm2(&asked, &task) / cloth.width_mm);
        Ok(Some(Plan { fold, asked, task, bound_mm, phase }))
    }

    /// A nesting as a lay.
    pub fn lay(&self, plan: &Plan, nesting: &Nesting, asks: Asks) -> Lay {
        let placed = |(item, pose): (usize, &Pose)| {
            let asked = &plan.asked[plan.task.items[item]];
            self.sheets[asked.piece].placed(asked, pose.home, pose.at)
        };
        let placed = nesting.poses.iter().enumerate().map(placed).collect();
        on_one_length(self.wanted, (plan.fold, nesting.length_mm), placed, self.meets(plan, nesting, asks))
    }

    /// What meets and lands. Where the motifs are chosen for the lay they lie nowhere on the cloth yet.
    fn meets(&self, plan: &Plan, nesting: &Nesting, asks: Asks) -> Meets {
        let way = asks.matching;
        let meetings = self.ties.met(way);
        let row_mm = landing::row_mm(self.wanted.cloth).filter(|_| asks.motifs == Motifs::AtTheirBest);
        let motif_mm = row_mm.map(|row_mm| plan.phase.motif.x.rem_euclid(row_mm));
        let landings = if asks.motifs == Motifs::AsItLies { self.landings.clone() } else { Vec::new() };
        let best_start = motif_mm.map(|motif_mm| Start { motif_mm, used_mm: plan.fold.spent_mm(nesting.length_mm) });
        Meets { way, meetings, landings, best_start, plain_mm: None }
    }

    /// Which piece fits the cloth in no way, and by how much.
    pub fn misfit(&self, asks: Asks) -> Refusal {
        let (cloth, system) = (self.wanted.cloth, self.wanted.system);
        let widest = self.sheets.iter().max_by(|a, b| a.across_mm().total_cmp(&b.across_mm()));
        let Some(widest) = widest else {
            return Refusal::because(
                Remark::refusal("there are no pieces to lay").remedy("name an order with a garment"),
            );
        };
        let show = |mm: f64| system.show_at_least(mm);
        let over_mm = widest.across_mm() - (cloth.width_mm - cloth.border_mm);
        let name = widest.drawn.name;
        Refusal::because(match over_mm > NOISE_MM {
            true => Remark::refusal(format!(
                "the cloth is too narrow: the {name} is {} across its grain, and the cloth is {} wide{} ({} more)",
                show(widest.across_mm()),
                system.show(cloth.width_mm - cloth.border_mm),
                if cloth.border_mm > 0.0 { " beside its border" } else { "" },
                show(over_mm)
            ))
            .field("cloth.width")
            .remedy(format!(
                "take cloth at least {} between selvedges{}",
                show(cloth.bought_width_mm(widest.across_mm() + cloth.border_mm)),
                narrower(widest, cloth.width_mm - cloth.border_mm)
            )),
            false if asks.motifs != Motifs::Anywhere => Remark::refusal(
                "no lay was found on which the motifs lie where they must: no fold on a column of them is deep enough, or \
                 the cloth is too narrow to lay the pieces open",
            )
            .field("lay.motif")
            .remedy("take motif out of [lay], or cloth that is wider or repeats more often across"),
            false => Remark::refusal("no lay was found on this cloth")
                .field("cloth")
                .remedy(self.remedy(asks)),
        })
    }

    /// What to do where no lay was found though every piece is narrow enough.
    fn remedy(&self, asks: Asks) -> &'static str {
        let is_fold_asked = self.wanted.fold().is_some();
        match (self.wanted.cloth.flaws.is_empty(), asks == Asks::NOTHING) {
            (false, _) => "look whether the flaws leave room for every piece, and take wider or longer cloth",
            (true, false) if is_fold_asked => {
                "ask for less to meet (match under [lay]), take fold out of [lay], or take wider cloth"
            }
            (true, false) => "ask for less to meet (match under [lay]), or take wider cloth",
            (true, true) if is_fold_asked => "take fold out of [lay], or take wider cloth",
            (true, true) => "take wider cloth",
        }
    }
}

/// What to write for pieces that are narrow enough; nothing where there is no such choice, or they would be too wide too.
fn narrower(widest: &Sheet<'_>, width_mm: f64) -> String {
    /// What the turnings of a seam add to half a piece.
    const SEAM_MM: f64 = 25.0;
    let write = widest.drawn.narrower.filter(|_| widest.across_mm() / 2.0 + SEAM_MM <= width_mm);
    write.map_or_else(String::new, |write| format!(", or write {write} under [garment] for pieces of half that width"))
}

/// Pieces where they lie on one length, as a lay of which it is not looked yet what is left.
pub fn on_one_length(
    wanted: &Wanted<'_>,
    (fold, length_mm): (Fold, f64),
    mut placed: Vec<Placed>,
    meets: Meets,
) -> Lay {
    let head = |placed: &Placed| placed.cut().bounds().0;
    for one in &mut placed {
        one.whose = wanted.whose(one.of).map(str::to_owned);
    }
    placed.sort_by(|a, b| head(a).x.total_cmp(&head(b).x).then(head(a).y.total_cmp(&head(b).y)));
    let cloth = wanted.cloth;
    Lay {
        system: wanted.system,
        cloth: cloth.clone(),
        fold,
        layers: fold.layers(),
        lengths: 1,
        room_mm: 0.0,
        head_mm: 0.0,
        length_mm,
        folded_width_mm: fold.folded_width_mm(cloth.width_mm),
        used_mm: fold.spent_mm(length_mm),
        left_over: Vec::new(),
        weighed: Vec::new(),
        ruled_out: Vec::new(),
        meets,
        placed,
        unpinned_mm: None,
    }
}

/// The cloth that is covered at least, all layers counted.
fn cloth_mm2(asked: &[Asked], task: &Task) -> f64 {
    let covered_mm2 = |(asked, kind): (&Asked, &Kind)| {
        let layers = asked.layers.iter().min().copied().unwrap_or(1);
        f64::from(asked.times * layers) * kind.form.outline.area_mm2()
    };
    asked.iter().zip(&task.kinds).map(covered_mm2).sum()
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
