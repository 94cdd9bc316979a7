//! Pinned pieces: places that she chose, which the planner leaves as they are, and the rule that a forbidden one breaks.
//!
//! A place is where the box around the piece begins: from the cut end, and from the near edge of the cloth as folded.

use std::collections::BTreeMap;

use super::domain::Asked;
use super::need::NOISE_MM;
use super::proof::{Fault, IN_STEP_MM, faults};
use super::{Fold, Lay, Placed, Wanted};
use crate::entries::{nearest, shown};
use crate::finish::Piece;
use crate::geometry::{Cloth, Draft, Outline, Point, Vector};
use crate::nest::{Home, Pose, Task};
use crate::remark::{Refusal, Remark};

/// A place is taken as meant when it lies this close to one that is allowed: less than a blade follows.
pub(super) const NEAR_MM: f64 = 0.5;

/// What rounding leaves of two outlines that only touch.
const TOUCHING_MM2: f64 = 1e-3;

/// Why a piece can't lie where it is pinned.
#[derive(Clone, Debug, PartialEq)]
pub enum Broken {
    /// There are not so many of it.
    TooMany,
    /// It would not be all on the cloth, or lie across the edge of the fold's strip.
    Outside,
    /// The same on cloth of which a part is folded: or it would lie across the edge of that.
    OffPart,
    /// Its centre would not lie on the fold.
    OffFold,
    /// Its grain would not lie along the selvedge, or it would stand on its head.
    OffGrain,
    /// It would lie over that piece.
    Over(String),
    /// It would lie on a flaw.
    OnFlaw,
    /// Its print would not meet, by so much.
    OutOfStep(f64),
}

impl Broken {
    /// The rule, said of a piece.
    pub fn remark(&self, name: &str, show: impl Fn(f64) -> String) -> Remark {
        let remark = |says: String, remedy: &str| Remark::refusal(says).remedy(remedy.to_owned());
        match self {
            Self::TooMany => remark(format!("more of the {name} are pinned than are cut"), "take a place out of [lay]"),
            Self::Outside => {
                remark(format!("the {name} would not be all on the cloth there"), "move it in from the edge")
            }
            Self::OffPart => remark(
                format!(
                    "the {name} would not be all on the cloth there, or would lie across the edge of the folded part"
                ),
                "move it in from the edge",
            ),
            Self::OffFold => remark(
                format!("the centre of the {name} would not lie on the fold there"),
                "move it along the fold only",
            ),
            Self::OffGrain => remark(
                format!("the grain of the {name} would not lie along the selvedge there, head to the cut end"),
                "turn it back",
            ),
            Self::Over(other) => remark(
                format!("the {name} would lie over the {other} there"),
                "move it off, or leave the other piece to the planner",
            ),
            Self::OnFlaw => remark(format!("the {name} would lie on a flaw there"), "move it off the flaw"),
            Self::OutOfStep(off_mm) => remark(
                format!("the print of the {name} would be {} out of step there", show(*off_mm)),
                "move it by as much, or by whole repeats",
            ),
        }
    }

    /// The same, told of cloth that is folded so.
    pub(super) fn on(self, fold: Fold) -> Self {
        match (&self, fold) {
            (Self::Outside, Fold::Partly { .. } | Fold::BothIn { .. }) => Self::OffPart,
            _ => self,
        }
    }
}

/// A piece that can't lie where it is pinned on cloth folded so, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Misplaced {
    /// How it is folded.
    pub fold: Fold,
    /// The piece.
    pub piece: usize,
    /// The rule that it would break.
    pub broken: Broken,
}

/// The pinned places by the pieces' numbers.
pub type Pins<'w> = BTreeMap<usize, &'w [[f64; 2]]>;

/// Finds the pieces that an order pins.
///
/// # Errors
/// When it names a piece that there is not.
pub fn pins<'w>(wanted: &'w Wanted<'_>) -> Result<Pins<'w>, Refusal> {
    let names: Vec<&str> = wanted.pieces().map(|piece| piece.name).collect();
    let (mut pins, mut remarks) = (Pins::new(), Vec::new());
    for (name, placed) in &wanted.asked.pins_mm {
        match names.iter().position(|known| known == name) {
            Some(piece) => {
                pins.insert(piece, placed.value.as_slice());
            }
            None => {
                let remedy = match nearest(name, &names) {
                    Some(near) => format!("did you mean {near}?"),
                    None => format!("its pieces are {}", names.join(", ")),
                };
                let remark = Remark::refusal(format!("{} is no piece of this garment", shown(name)));
                remarks.push(remark.line(placed.line).field(format!("lay.{name}")).remedy(remedy));
            }
        }
    }
    if remarks.is_empty() { Ok(pins) } else { Err(Refusal { remarks }) }
}

/// What is to be laid with every pinned piece by itself, at its place and at no other.
///
/// # Errors
/// The piece that can't lie where it is pinned, and why.
pub fn pinned(
    asked: Vec<Asked>,
    pins: &Pins<'_>,
    outline: impl Fn(&Asked) -> Option<Outline<Draft>>,
) -> Result<Vec<Asked>, (usize, Broken)> {
    let mut all = Vec::new();
    let mut left: BTreeMap<usize, Vec<[f64; 2]>> = pins.iter().map(|(piece, at)| (*piece, at.to_vec())).collect();
    for mut asked in asked {
        let places = left.entry(asked.piece).or_default();
        let outline = outline(&asked).unwrap_or_else(|| Outline { corners: Vec::new() });
        while asked.times > 0 && !places.is_empty() {
            let place = places.remove(0);
            let mut one = Asked { times: 1, homes: Vec::new(), layers: Vec::new(), ..asked.clone() };
            let mut broken = if asked.homes.iter().all(is_on_fold) { Broken::OffFold } else { Broken::Outside };
            for (home, layers) in asked.homes.iter().zip(&asked.layers) {
                match pinned_home(home, &outline.mapped(&home.turn), place) {
                    Ok(home) => {
                        one.homes.push(home);
                        one.layers.push(*layers);
                    }
                    Err(Some(off_mm)) => broken = Broken::OutOfStep(off_mm),
                    Err(None) => {}
                }
            }
            if one.homes.is_empty() {
                return Err((asked.piece, broken));
            }
            asked.times -= 1;
            all.push(one);
        }
        if asked.times > 0 {
            all.push(asked);
        }
    }
    match left.into_iter().find(|(_, places)| !places.is_empty()) {
        Some((piece, _)) => Err((piece, Broken::TooMany)),
        None => Ok(all),
    }
}

fn is_on_fold(home: &Home) -> bool {
    home.across_mm[0] == home.across_mm[1]
}

/// The home with that one place; an error when it does not allow it, with how far the print would be out of step.
pub(super) fn pinned_home(home: &Home, turned: &Outline<Cloth>, place: [f64; 2]) -> Result<Home, Option<f64>> {
    let at = Point::new(place[0], place[1]) - turned.bounds().0.to_vector();
    let across_mm = at.y.clamp(home.across_mm[0], home.across_mm[1]);
    if (across_mm - at.y).abs() > NEAR_MM {
        return Err(None);
    }
    let at = Point::new(at.x, across_mm);
    let nearest = home.nearest(at, [f64::NEG_INFINITY, f64::INFINITY]).ok_or(None)?;
    if (nearest - at).length() > IN_STEP_MM {
        return Err(Some((nearest - at).length()));
    }
    // On the step itself, so that rounding of what was written does not add up.
    Ok(Home { across_mm: [nearest.y; 2], along_mm: Some([nearest.x; 2]), steps: None, ..home.clone() })
}

/// Leaves out the homes of pinned pieces that lie on a flaw or off the cloth.
///
/// # Errors
/// The piece that has no home left, and why.
pub fn cleared(task: &mut Task, asked: &mut [Asked], length_mm: Option<f64>) -> Result<(), (usize, Broken)> {
    for (kind, asked) in task.kinds.iter_mut().zip(asked) {
        let mut broken = Broken::Outside;
        let allowed = |home: &Home| {
            let Some([x, _]) = home.along_mm else { return true };
            let laid = kind.form.outline.mapped(&home.cloth_from_item(Point::new(x, home.across_mm[0])));
            let (low, high) = laid.bounds();
            let off = low.x < -NOISE_MM || length_mm.is_some_and(|length_mm| high.x > length_mm + NOISE_MM);
            let flawed = task.obstacles.iter().any(|flaw| flaw.shared_mm2(&laid) > TOUCHING_MM2);
            if flawed {
                broken = Broken::OnFlaw;
            }
            !off && !flawed
        };
        let keep: Vec<bool> = kind.homes.iter().map(allowed).collect();
        let mut kept = keep.iter();
        asked.layers.retain(|_| *kept.next().unwrap_or(&true));
        let mut kept = keep.iter();
        asked.homes.retain(|_| *kept.next().unwrap_or(&true));
        kind.homes.clone_from(&asked.homes);
        if kind.homes.is_empty() {
            return Err((asked.piece, broken));
        }
    }
    Ok(())
}

/// Two pinned pieces that lie over one another however they are turned.
pub fn over_one_another(task: &Task) -> Option<[usize; 2]> {
    let pinned: Vec<usize> =
        (0..task.items.len()).filter(|item| task.kinds[task.items[*item]].homes.iter().all(Home::is_pinned)).collect();
    let laid = |item: usize| -> Vec<Outline<Cloth>> {
        let homes = task.kinds[task.items[item]].homes.iter().enumerate();
        let at = |home: &Home| Point::new(home.along_mm.map_or(0.0, |along| along[0]), home.across_mm[0]);
        homes.map(|(i, home)| task.laid(item, &Pose { home: i, at: at(home) })).collect()
    };
    let over = |a: usize, b: usize| {
        let (ones, others) = (laid(a), laid(b));
        ones.iter().all(|one| others.iter().all(|other| one.shared_mm2(other) > TOUCHING_MM2))
    };
    pinned.iter().enumerate().find_map(|(i, a)| {
        let b = pinned[i + 1..].iter().find(|b| over(*a, **b))?;
        Some([task.items[*a], task.items[*b]])
    })
}

impl Lay {
    /// The rule that a piece would break if it lay so far from where it lies, along and across; none when it may lie
    /// there. Pieces that are not among `fixed` make room: the planner finishes around what is pinned.
    pub fn broken_by(&self, piece: usize, by_mm: Vector<Cloth>, fixed: &[usize]) -> Option<Broken> {
        let mut lay = self.with_piece_moved(piece, by_mm)?;
        // Beyond the lay there is cloth, as far as it is known.
        lay.length_mm = self.cloth.length_mm.filter(|_| self.lengths == 1).unwrap_or(f64::INFINITY);
        let gives_way = |fault: &Fault| match *fault {
            Fault::Overlap(a, b, _) => !fixed.contains(if a == piece { &b } else { &a }),
            _ => false,
        };
        faults(&lay).iter().filter(|fault| !gives_way(fault)).find_map(|fault| lay.rule(fault, piece))
    }

    fn is_on_cloth_across(&self, piece: usize) -> bool {
        let (low, high) = self.placed[piece].cut().bounds();
        low.y > -NOISE_MM && high.y < self.folded_width_mm + NOISE_MM
    }

    /// The rule that a fault breaks, said of a piece; none when it is no fault of that piece.
    pub(super) fn rule(&self, fault: &Fault, piece: usize) -> Option<Broken> {
        let Placed { of, piece: Piece { on_fold, .. }, .. } = self.placed.get(piece)?;
        let name = |other: usize| self.placed[other].piece.name.to_owned();
        match *fault {
            Fault::Overlap(a, b, _) if a == piece => Some(Broken::Over(name(b))),
            Fault::Overlap(a, b, _) if b == piece => Some(Broken::Over(name(a))),
            Fault::Outside(i) if i == piece => Some(Broken::Outside),
            Fault::OffFold(i) if i == piece && *on_fold => Some(Broken::OffFold),
            Fault::OffFold(i) if i == piece => Some(match self.is_on_cloth_across(piece) {
                true => Broken::Outside.on(self.fold),
                false => Broken::Outside,
            }),
            Fault::OffGrain(i) if i == piece => Some(Broken::OffGrain),
            Fault::OnFlaw(i) if i == piece => Some(Broken::OnFlaw),
            Fault::OutOfStep(i, off_mm) => {
                let of_it = self.meets.meetings[i].ends.iter().any(|end| end.piece == *of);
                of_it.then_some(Broken::OutOfStep(off_mm))
            }
            Fault::OffMotif(i, off_mm) => (self.meets.landings[i].piece == *of).then_some(Broken::OutOfStep(off_mm)),
            _ => None,
        }
    }
}
