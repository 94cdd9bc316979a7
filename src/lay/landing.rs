//! Where the motif of a print must land: on the centre of front and back, at a level, or so that the bust points lie midway
//! between two rows of motifs (figures balance on the centre front; large motifs lie on no bust point: books and journals of
//! dressmaking, as common practice).
//!
//! A place that lands lies on a motif, or whole repeats from it. Where the print meets along too, the first piece that has
//! the level carries it, and the others follow by their seams.

use super::Wanted;
use super::fold::Fold;
use super::matching::{bodies, centre_mm};
use super::proof::IN_STEP_MM;
use crate::finish::Piece;
use crate::geometry::{Cloth as ClothFrame, Draft, Point, Vector};
use crate::order::{self, Level, Motif};
use crate::remark::{Refusal, Remark};

/// Fold lines lie on a column of motifs within this, so that what is laid on them is in step.
const ON_COLUMN_MM: f64 = IN_STEP_MM / 4.0;

/// A place of a piece that must lie on a motif.
#[derive(Clone, Debug, PartialEq)]
pub struct Landing {
    /// Which of the pieces that are laid.
    pub piece: usize,
    /// The place; half a row above the bust points where those must lie midway between two rows.
    pub at: Point<Draft>,
    /// The level, where it is named by one.
    pub level: Option<&'static str>,
    /// Whether it lies level with a row of motifs.
    pub along: bool,
    /// Whether it lies on a column of motifs.
    pub across: bool,
}

/// What is said of bust points that lie midway between two rows of motifs.
const OFF_BUST: &str = "off the bust points, midway between two rows";

/// What is said when nothing is known of what would have to land.
fn unknown(says: &str, field: &str, remedy: &str) -> Refusal {
    Refusal::because(Remark::refusal(says.to_owned()).field(field.to_owned()).remedy(remedy.to_owned()))
}

/// Where motifs must land on these garments, as their orders ask.
///
/// # Errors
/// When it is not known where a motif is, or how the print repeats; when it runs through the way in question; when no
/// piece has such a level.
pub fn landings(wanted: &Wanted<'_>) -> Result<Vec<Landing>, Refusal> {
    let mut landings = Vec::new();
    let mut first = 0;
    for (pieces, motif) in wanted.garments.iter().zip(&wanted.asked.motifs) {
        known(wanted.cloth, motif)?;
        let of_garment = on_garment(pieces, motif, wanted);
        if motif.level.is_some() && !of_garment.iter().any(|landing| landing.along) {
            let says = "no piece of this garment has the level at which the motif is to lie";
            let mut levels: Vec<&str> =
                bodies(pieces).into_iter().flat_map(|i| &pieces[i].levels).map(|level| level.0).collect();
            levels.sort_unstable();
            levels.dedup();
            let of_it = match levels.is_empty() {
                true => "write motif = \"centre\": it has no levels".to_owned(),
                false => format!("its levels are {}; or write \"centre\" alone", levels.join(", ")),
            };
            return Err(unknown(says, "lay.motif", &of_it));
        }
        landings.extend(of_garment.into_iter().map(|landing| Landing { piece: first + landing.piece, ..landing }));
        first += pieces.len();
    }
    Ok(landings)
}

/// Refuses a wish for which too little is known of the print.
fn known(cloth: &order::Cloth, motif: &Motif) -> Result<(), Refusal> {
    if *motif == Motif::default() {
        return Ok(());
    }
    let [along_mm, across_mm] = cloth.repeat_mm;
    let is_on = |[along_mm, across_mm]: [f64; 2]| {
        across_mm <= cloth.width_mm && cloth.length_mm.is_none_or(|length_mm| along_mm <= length_mm)
    };
    if cloth.motif_mm.is_some_and(|at| !is_on(at)) {
        return Err(unknown(
            "the motif that pieces are to be laid to is not on the cloth",
            "cloth.motif",
            "measure the middle of one motif again: from the cut end, from the near selvedge",
        ));
    }
    if cloth.motif_mm.is_none() {
        return Err(unknown(
            "the motif is to lie at a place, and it is not known where one is on the cloth",
            "lay.motif",
            "measure to the middle of one, and write motif = [\"12 cm\", \"30 cm\"] under [cloth]: from the cut end and \
             from the near selvedge",
        ));
    }
    let lacks = |way: &str| {
        let says = format!("the motif is to lie at a place, and no repeat {way} is known of the print");
        let remedy = "write repeat = [\"32 cm\", \"64 cm\"] under [cloth], along the selvedge and across; where stripes run \
                      through nothing can be laid to a motif";
        Err(unknown(&says, "lay.motif", remedy))
    };
    match (motif.level.is_some() && along_mm.is_none(), motif.on_centre && across_mm.is_none()) {
        (true, _) => lacks("along"),
        (_, true) => lacks("across"),
        _ => Ok(()),
    }
}

fn on_garment(pieces: &[Piece], motif: &Motif, wanted: &Wanted<'_>) -> Vec<Landing> {
    let row_mm = row_mm(wanted.cloth).unwrap_or(0.0);
    let mut landings = Vec::new();
    for (i, piece) in bodies(pieces).into_iter().map(|i| (i, &pieces[i])) {
        let carried = landings.iter().any(|landing: &Landing| landing.along);
        let marked = |name: &str| piece.levels.iter().find(|(level, _)| *level == name).map(|(_, ends)| ends[0].y);
        let y_mm = match motif.level {
            Some(Level::Marked(name)) if !(carried && wanted.matching().is_along()) => marked(name),
            Some(Level::Bust { down_mm, kept_off }) if !carried => {
                Some(down_mm - if kept_off { row_mm / 2.0 } else { 0.0 })
            }
            _ => None,
        };
        let at = Point::new(centre_mm(piece), y_mm.unwrap_or(0.0));
        let level = motif.level.filter(|_| y_mm.is_some()).map(|level| match level {
            Level::Marked(name) => name,
            Level::Bust { kept_off: false, .. } => "bust",
            Level::Bust { kept_off: true, .. } => OFF_BUST,
        });
        let landing = Landing { piece: i, at, level, along: y_mm.is_some(), across: motif.on_centre };
        landings.extend(Some(landing).filter(|landing| landing.along || landing.across));
    }
    landings
}

/// From a row of motifs to the next along the selvedge.
pub fn row_mm(cloth: &order::Cloth) -> Option<f64> {
    cloth.repeat_mm[0].map(|along_mm| if cloth.half_drop { along_mm / 2.0 } else { along_mm })
}

/// From a column of motifs to the next across.
pub fn column_mm(cloth: &order::Cloth) -> Option<f64> {
    cloth.repeat_mm[1].map(|across_mm| if cloth.half_drop { across_mm / 2.0 } else { across_mm })
}

/// How far from a whole number of steps; nought where there are none.
fn over_mm(mm: f64, step_mm: Option<f64>) -> f64 {
    step_mm.map_or(0.0, |step_mm| (mm - step_mm * (mm / step_mm).round()).abs())
}

impl Landing {
    /// Where a motif lies on the piece: "on the centre line, at the waist".
    pub fn says(&self) -> String {
        let centre = self.across.then(|| "on the centre line".to_owned());
        let level = self.level.map(|level| match level {
            OFF_BUST => OFF_BUST.to_owned(),
            level => format!("at the {level}"),
        });
        centre.into_iter().chain(level).collect::<Vec<_>>().join(", ")
    }

    /// How far a place of the open cloth, where it lies, is off the nearest motif, as far as that counts.
    pub fn off_mm(&self, at: Point<ClothFrame>, cloth: &order::Cloth) -> f64 {
        let Some([along_mm, across_mm]) = cloth.motif_mm else { return 0.0 };
        let apart = at - Point::new(along_mm, across_mm);
        let off_column_mm = over_mm(apart.y, column_mm(cloth));
        match (self.along, self.across) {
            (true, true) => {
                let columns = column_mm(cloth).map_or(0.0, |mm| (apart.y / mm).round());
                let dropped_mm =
                    if cloth.half_drop && columns % 2.0 != 0.0 { row_mm(cloth).unwrap_or(0.0) } else { 0.0 };
                over_mm(apart.x - dropped_mm, cloth.repeat_mm[0]).max(off_column_mm)
            }
            (true, false) => over_mm(apart.x, row_mm(cloth)),
            (false, true) => off_column_mm,
            (false, false) => 0.0,
        }
    }
}

/// Whether all folds lie on columns of motifs, and not one of them dropped against another.
pub fn on_columns(lines_mm: &[f64], cloth: &order::Cloth) -> bool {
    let (Some([_, motif_mm]), Some(first_mm)) = (cloth.motif_mm, lines_mm.first()) else { return true };
    let on = |mm: f64, step_mm| over_mm(mm, step_mm) <= ON_COLUMN_MM;
    on(first_mm - motif_mm, column_mm(cloth)) && lines_mm.iter().all(|mm| on(mm - first_mm, cloth.repeat_mm[1]))
}

/// The least length from `least_mm` on, from a selvedge, that ends on a column of motifs, when one is so far from it.
pub fn next_column_mm(least_mm: f64, motif_off_mm: f64, cloth: &order::Cloth) -> f64 {
    let Some(column_mm) = column_mm(cloth) else { return least_mm };
    let first_mm = motif_off_mm.rem_euclid(column_mm);
    first_mm + column_mm * ((least_mm - first_mm) / column_mm - 1e-9).ceil()
}

/// Cloth at the head of each length so that motifs land, and where a motif is when there is none.
#[derive(Clone, Copy, Debug)]
pub struct Head {
    /// From the cut end to the highest piece.
    pub mm: f64,
    /// From the cut end to the first motif that a place lands on, with nothing at the head.
    pub motif_mm: f64,
}

/// What lies at the head of lengths that are folded along their centre, whose pieces begin at a level of the draft; none
/// where nothing lands along.
pub fn head(landings: &[Landing], cloth: &order::Cloth, top_mm: f64) -> Option<Head> {
    let along_mm = cloth.repeat_mm[0]?;
    let level_mm = landings.iter().find(|landing| landing.along)?.at.y - top_mm;
    let heads = motifs(cloth, Fold::LengthsOnTheirCentre, landings).into_iter();
    let mm = heads.map(|motif| (motif.x - level_mm).rem_euclid(along_mm)).reduce(f64::min)?;
    Some(Head { mm, motif_mm: level_mm.rem_euclid(row_mm(cloth)?) })
}

/// The motifs to which pieces are laid on the folded cloth as it lies: the one in whose column the first fold is, or, where no
/// centre must land, one of each of two columns that are dropped against one another.
pub fn motifs(cloth: &order::Cloth, fold: Fold, landings: &[Landing]) -> Vec<Point<ClothFrame>> {
    let Some([along_mm, across_mm]) = cloth.motif_mm else { return vec![Point::origin()] };
    let lines_mm = fold.lines_mm(cloth.width_mm);
    let motif = Point::new(along_mm, across_mm - lines_mm.first().unwrap_or(&0.0));
    let dropped = Vector::new(row_mm(cloth).filter(|_| cloth.half_drop).unwrap_or(0.0), 0.0);
    let on_centre = landings.iter().any(|landing| landing.across);
    match column_mm(cloth).filter(|_| on_centre && !lines_mm.is_empty()) {
        Some(column_mm) => {
            let columns = (motif.y / column_mm).round();
            let at = if columns % 2.0 == 0.0 { motif } else { motif + dropped };
            vec![Point::new(at.x, 0.0)]
        }
        None if on_centre || dropped.x == 0.0 => vec![motif],
        None => vec![motif, motif + dropped],
    }
}
