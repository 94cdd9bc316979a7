//! A lay that is kept: where a search laid the pieces, so that they are cut so another day.
//!
//! Its file says how the cloth is folded and where each piece lies; the pieces themselves are those of the order as it is
//! now. It is taken only while every piece is drawn and the cloth is as they were when it was made, each place is held
//! against the rules of a pinned piece, and the whole is proved by the exact areas by which every lay is proved, whoever
//! wrote the file. So no other lay is cut than one that fits.

mod file;
mod made_for;

pub use file::{beside, read, write};

use super::domain::{Asked, Bonds, Rather, Sheet};
use super::fold::{Fold, Zone};
use super::need::NOISE_MM;
use super::pin::{self, Broken, NEAR_MM};
use super::proof::Fault;
use super::ready::on_one_length;
use super::{Lay, Meets, Placed, Wanted, left, planner, proof};
use crate::geometry::{Draft, Outline, Point};
use crate::remark::{Refusal, Remark, Told, told};
use made_for::{Facts, drawn, facts};

/// The field that is named when a kept lay is not taken.
pub const KEPT: &str = "lay.kept";

/// A lay as its file says it.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// What the cloth was, and what was asked of the lay, when it was made.
    made_for: Facts,
    fold: Fold,
    length_mm: f64,
    /// The cloth that the pieces would spend if nothing met.
    plain_mm: Option<f64>,
    /// The places of each garment's pieces.
    garments: Vec<Vec<Place>>,
}

/// Where one piece lies.
#[derive(Clone, Debug, PartialEq)]
struct Place {
    piece: String,
    /// The sum of how it was drawn when the lay was made.
    drawn: String,
    /// Where the box around it begins: from the cut end, and from the near edge of the cloth as folded.
    at_mm: [f64; 2],
    turned: bool,
    mirrored: bool,
    line: usize,
}

impl Kept {
    /// Why it is no lay of these pieces and this cloth; none when it is one. What to do about it is for whoever says it.
    pub fn differs(&self, wanted: &Wanted<'_>) -> Option<Remark> {
        let says = self.of_other_cloth(wanted).or_else(|| self.of_other_pieces(wanted));
        says.map(|says| Remark::refusal(says).field(KEPT))
    }

    /// The lay, of the pieces as they are now.
    ///
    /// # Errors
    /// When pieces, cloth or what is asked of the lay have changed since it was made, when the cloth is too short, or when
    /// it breaks a rule of lays: which piece, and on which line of the file.
    pub fn lay(&self, wanted: &Wanted<'_>) -> Told<Lay> {
        if let Some(remark) = self.differs(wanted) {
            return Err(Refusal::because(remark));
        }
        self.foldable(wanted)?;
        let ties = wanted.ties();
        let way = wanted.way(&ties);
        let zones = self.fold.zones_beside(wanted.cloth);
        let mut placed = Vec::new();
        let pairs = wanted.garments.iter().zip(&self.garments).flat_map(|(pieces, places)| {
            pieces.iter().map(move |piece| (piece, places.iter().filter(|place| place.piece == piece.name)))
        });
        for (of, (piece, places)) in pairs.enumerate() {
            let places: Vec<&Place> = places.collect();
            let sheet = Sheet::of(piece);
            placed.extend(at_places((of, &sheet), &zones, ties.bonds(of, wanted.cloth, way), &places).map_err(
                |no| match no {
                    Some((line, broken)) => refused(wanted, piece.name, (line, &broken.on(self.fold))),
                    None => miscounted(piece.name, &places),
                },
            )?);
        }
        let landings = wanted.landings()?;
        let mut meets = Meets { way, meetings: ties.met(way), landings, best_start: None, plain_mm: None };
        meets.plain_mm = self.plain_mm.filter(|_| meets.is_any());
        let lay = on_one_length(wanted, (self.fold, self.length_mm), placed, meets);
        let lay = Lay { left_over: left::over(&lay), ..lay };
        self.proved(&lay, wanted)?;
        let mut remarks = wanted.stray();
        remarks.extend(planner::too_short(&lay));
        told(lay, remarks)
    }

    /// Whether its cloth can be folded so: every layer above has one below.
    fn foldable(&self, wanted: &Wanted<'_>) -> Result<(), Refusal> {
        let half_mm = wanted.cloth.width_mm / 2.0 + NOISE_MM;
        let (least_mm, all_mm) = match self.fold {
            Fold::Partly { folded_mm } => (folded_mm, folded_mm),
            Fold::BothIn { near_mm, far_mm } => (near_mm.min(far_mm), near_mm + far_mm),
            _ => return Ok(()),
        };
        if least_mm > 0.0 && all_mm <= half_mm {
            return Ok(());
        }
        let says = format!(
            "cloth {} wide can't be folded in by {} in all",
            wanted.system.show(wanted.cloth.width_mm),
            wanted.system.show(all_mm)
        );
        Err(Refusal::because(Remark::refusal(says).field(KEPT)))
    }

    /// Holds it against every rule of lays, and against the places that the order keeps.
    fn proved(&self, lay: &Lay, wanted: &Wanted<'_>) -> Result<(), Refusal> {
        for fault in proof::faults(lay) {
            if let Fault::Overlap(a, b, _) = fault {
                return Err(self.over_one_another([a, b].map(|i| &lay.placed[i])));
            }
            let of_piece = |i: usize| Some((i, lay.rule(&fault, i)?));
            let Some((i, broken)) = (0..lay.placed.len()).find_map(of_piece) else { continue };
            let placed = &lay.placed[i];
            let line = self.lines(placed).next().unwrap_or(1);
            return Err(refused(wanted, placed.piece.name, (line, &broken)));
        }
        let low = |placed: &Placed| placed.cut().bounds().0.to_array();
        for (piece, places) in pin::pins(wanted)? {
            let lies = |at: &[f64; 2]| lay.placed.iter().any(|placed| placed.of == piece && near(*at, low(placed)));
            if !places.iter().all(lies) {
                let name = wanted.pieces().nth(piece).map_or("piece", |piece| piece.name);
                let says = format!("the order keeps the {name} at a place, and in this lay it lies elsewhere");
                return Err(Refusal::because(Remark::refusal(says).field(KEPT)));
            }
        }
        Ok(())
    }

    /// The lines of the places at which a piece lies: more than one where the file lays several there.
    fn lines(&self, placed: &Placed) -> impl Iterator<Item = usize> {
        let (name, low) = (placed.piece.name, placed.cut().bounds().0.to_array());
        let places = self.garments.iter().flatten();
        places.filter(move |place| place.piece == name && near(place.at_mm, low)).map(|place| place.line)
    }

    /// What is said of two pieces that lie over one another: either may be the one that was moved.
    fn over_one_another(&self, [one, other]: [&Placed; 2]) -> Refusal {
        let line = self.lines(one).next().unwrap_or(1);
        let other_line = self.lines(other).find(|other| *other != line).unwrap_or(1);
        let says = format!("the {} would lie over the {} of line {other_line} there", one.piece.name, other.piece.name);
        let remark = Remark::refusal(says).line(line).field(KEPT);
        Refusal::because(remark.remedy("move either of them off the other, or search again, with --seconds 60 --keep"))
    }

    fn of_other_cloth(&self, wanted: &Wanted<'_>) -> Option<String> {
        let changed = facts(wanted).into_iter().zip(&self.made_for).find(|(now, then)| now != *then);
        changed.map(|((key, now), (_, then))| {
            format!("when this lay was made, {} was {then}, and now it is {now}", made_for::in_words(key))
        })
    }

    fn of_other_pieces(&self, wanted: &Wanted<'_>) -> Option<String> {
        if self.garments.len() != wanted.garments.len() {
            return Some(format!(
                "this lay is of {} orders, and not of {}",
                self.garments.len(),
                wanted.garments.len()
            ));
        }
        if let Some(moved) = wanted.asked.shifts_mm.keys().next() {
            let moved = crate::entries::shown(moved);
            return Some(format!("the order moves the {moved} along its length, and this lay has no lengths for that"));
        }
        self.garments.iter().zip(&wanted.garments).find_map(|(places, pieces)| {
            let now = pieces.iter().find_map(|piece| {
                let mut own = places.iter().filter(|place| place.piece == piece.name).peekable();
                if own.peek().is_none() {
                    return Some(format!("the {} has come since this lay was made", piece.name));
                }
                let sum = drawn(piece);
                let other = own.any(|place| place.drawn != sum);
                other.then(|| format!("the {} was drawn otherwise when this lay was made", piece.name))
            });
            let gone = || places.iter().find(|place| pieces.iter().all(|piece| piece.name != place.piece));
            let shown = |place: &Place| crate::entries::shown(&place.piece);
            now.or_else(|| gone().map(|place| format!("there is no {} any more as in this lay", shown(place))))
        })
    }
}

fn near(one: [f64; 2], other: [f64; 2]) -> bool {
    (one[0] - other[0]).abs() <= NEAR_MM && (one[1] - other[1]).abs() <= NEAR_MM
}

/// A piece where the file says that it lies; an error with the line and the rule that a place breaks, or with neither when
/// there are too few places or too many.
fn at_places(
    (of, sheet): (usize, &Sheet<'_>),
    zones: &[Zone],
    bonds: Bonds,
    places: &[&Place],
) -> Result<Vec<Placed>, Option<(usize, Broken)>> {
    let mut no = Vec::new();
    for rather in [Rather::Double, Rather::Single] {
        match sheet.asked(of, zones, rather, bonds).map(|asked| in_homes(sheet, asked, places)) {
            Some(Ok(placed)) => return Ok(placed),
            Some(Err(broken)) => no.push(broken),
            None => {}
        }
    }
    // That there are too few or too many is said rather than where one of them lies.
    Err(if no.iter().any(Option::is_none) { None } else { no.into_iter().next().flatten() })
}

fn in_homes(
    sheet: &Sheet<'_>,
    mut asked: Vec<Asked>,
    places: &[&Place],
) -> Result<Vec<Placed>, Option<(usize, Broken)>> {
    // What can lie in fewer ways chooses first.
    asked.sort_by_key(|asked| asked.homes.len());
    let (mut left, mut placed) = (places.to_vec(), Vec::new());
    for asked in &asked {
        for _ in 0..asked.times {
            let mut no = None;
            let found = left.iter().position(|place| match in_a_home(sheet, asked, place) {
                Ok(one) => {
                    placed.push(one);
                    true
                }
                Err(broken) => {
                    no.get_or_insert((place.line, broken));
                    false
                }
            });
            left.remove(found.ok_or(no)?);
        }
    }
    if left.is_empty() { Ok(placed) } else { Err(None) }
}

/// A piece at a place, by the rules of a pinned one.
fn in_a_home(sheet: &Sheet<'_>, asked: &Asked, place: &Place) -> Result<Placed, Broken> {
    let cut: &Outline<Draft> = if asked.unfolded { &sheet.whole.cut } else { &sheet.drawn.cut };
    let mut broken = Broken::OffGrain;
    for (i, home) in asked.homes.iter().enumerate() {
        let as_turned = sheet.placed(asked, i, Point::origin());
        if [as_turned.turned, as_turned.mirrored] != [place.turned, place.mirrored] {
            continue;
        }
        match pin::pinned_home(home, &cut.mapped(&home.turn), place.at_mm) {
            Ok(pinned) => {
                let along_mm = pinned.along_mm.map_or(0.0, |along_mm| along_mm[0]);
                return Ok(sheet.placed(asked, i, Point::new(along_mm, pinned.across_mm[0])));
            }
            Err(_) if sheet.drawn.on_fold && !asked.unfolded => broken = Broken::OffFold,
            Err(_) => broken = Broken::Outside,
        }
    }
    Err(broken)
}

fn refused(wanted: &Wanted<'_>, name: &str, (line, broken): (usize, &Broken)) -> Refusal {
    Refusal::because(broken.remark(name, |mm| wanted.system.show_fine(mm)).line(line).field(KEPT))
}

fn miscounted(name: &str, places: &[&Place]) -> Refusal {
    let remark = Remark::refusal(format!("{} places of the {name} are not as many as are cut", places.len()));
    let line = places.last().map_or(1, |place| place.line);
    Refusal::because(remark.line(line).field(KEPT))
}
