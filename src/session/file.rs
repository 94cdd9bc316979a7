//! The saved session: a small TOML text that holds where she is, where the cloth lies and how it is seen.
//!
//! It names what it belongs to by checksums of the order's text, of the lay and its reaches, and of the table; a session
//! of anything else is not taken up, because its place would be a place on another cloth. Numbers are written so that
//! they come back to the last bit.

use std::fmt::Write as _;

use serde::{Deserialize, Serialize};

use super::event::Group;
use super::{Alignment, COLOURS, Doing, Look, Moved, Session, State, Why, Work};
use crate::geometry::{Cloth, Point, Vector};
use crate::lay::Lay;
use crate::remark::{Refusal, Remark};
use crate::scene::{Hidden, Pose, Side, View, Way};
use crate::table::{KeptTable, Kind, Reading, file::write as table_text, located::toml_remark};

/// The form of the file. A file of a higher number was written by a newer program.
const VERSION: u32 = 4;

const HEAD: &str = "# The place of a cutting session, kept by chalklight at every step so that it can be taken up again.\n\
                    # Delete this file to begin afresh.\n";

/// What a session belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Belongs {
    order: String,
    lay: String,
    table: String,
}

/// A saved session, read but not yet held against an order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Saved {
    version: u32,
    belongs: Belongs,
    place: Place,
    look: Seen,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Place {
    /// The step of the work, from 1.
    step: usize,
    /// The farthest step that she came to, from 1; this one when it is not written.
    #[serde(skip_serializing_if = "Option::is_none")]
    farthest: Option<usize>,
    /// The number of the stage, for whoever looks on; it follows from the step.
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<usize>,
    /// The step whose reach the cloth is being moved to, from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    moving_to: Option<usize>,
    at_mm: [f64; 2],
    turn_rad: f64,
    chalked: Vec<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    moved: Option<Move>,
    /// How far on along the cloth each piece lies from where it lies by itself, from the top of the stack down.
    #[serde(skip_serializing_if = "Option::is_none")]
    shifts_mm: Option<Vec<f64>>,
    /// The same across the cloth; nothing where none was moved so.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    across_mm: Vec<f64>,
    /// Whether the table was found knocked.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    knocked: bool,
    /// The distances by which the table was corrected.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    taken: Vec<Taken>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Taken {
    from: String,
    to: String,
    distance_mm: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Move {
    by_mm: [f64; 2],
    turned_rad: f64,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Seen {
    way: String,
    colour: String,
    label_size: i32,
    hidden: Vec<String>,
    reads_from: String,
    laid_from: String,
}

impl Belongs {
    /// What a session of this order, work and table belongs to.
    pub fn of(order_text: &str, work: &Work, table: &KeptTable) -> Self {
        Self { order: sum(order_text), lay: sum(&lay_text(work)), table: sum(&table_text(table)) }
    }

    /// Why a session of `saved` can't be taken up here; none when it can.
    fn differs(&self, saved: &Self) -> Option<&'static str> {
        if self.table != saved.table {
            Some("it was thrown by another table")
        } else if self.order != saved.order {
            Some("the order was changed since")
        } else if self.lay != saved.lay {
            Some("the cloth was laid or lit otherwise")
        } else {
            None
        }
    }
}

fn sum(text: &str) -> String {
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}

/// The lay and its reaches to a hundredth of a millimetre.
fn lay_text(work: &Work) -> String {
    let mut text = String::new();
    for stage in &work.stages {
        let _ = writeln!(text, "{} {}", stage.title, stage.layers);
        for point in stage.lines.iter().flat_map(|line| &line.points) {
            let _ = write!(text, "{:.2},{:.2} ", point.x, point.y);
        }
    }
    for reach in &work.plan.reaches {
        let (low, high) = (reach.lit.low_mm, reach.lit.high_mm);
        let _ = writeln!(text, "{:.2},{:.2} {:.2},{:.2}", low.x, low.y, high.x, high.y);
    }
    text
}

/// The text of the file for a session as it is now.
pub fn write(session: &Session, belongs: &Belongs) -> String {
    let state = session.state();
    let doing = match &state.doing {
        Doing::Measuring(measuring) => &measuring.then,
        doing => doing,
    };
    let moving_to = match doing {
        Doing::Aligning(Alignment { why: Why::Moved { to }, .. }) => Some(to + 1),
        _ => None,
    };
    let moved = state.moved.map(|m| Move { by_mm: m.by_mm.to_array(), turned_rad: m.turned_rad });
    let across_mm: Vec<f64> = state.shifts_mm.iter().map(|shift_mm| shift_mm.y).collect();
    let look = &state.look;
    let hidden = [
        (Group::Sewing, look.hidden.sewing),
        (Group::Levels, look.hidden.levels),
        (Group::Labels, look.hidden.labels),
        (Group::Grain, look.hidden.grain),
    ];
    let saved = Saved {
        version: VERSION,
        belongs: belongs.clone(),
        place: Place {
            step: state.step + 1,
            farthest: Some(state.farthest + 1).filter(|farthest| *farthest != state.step + 1),
            stage: Some(session.number()),
            moving_to,
            at_mm: state.pose.at_mm.to_array(),
            turn_rad: state.pose.turn_rad,
            chalked: state.chalked.clone(),
            moved,
            shifts_mm: Some(state.shifts_mm.iter().map(|shift_mm| shift_mm.x).collect()),
            across_mm: if across_mm.iter().all(|mm| *mm == 0.0) { Vec::new() } else { across_mm },
            knocked: state.knocked,
            taken: state.taken.iter().filter_map(Taken::of).collect(),
        },
        look: Seen {
            way: look.way.key().to_owned(),
            colour: COLOURS[look.colour % COLOURS.len()].0.to_owned(),
            label_size: look.size,
            hidden: hidden.iter().filter(|(_, is)| *is).map(|(group, _)| group.word().to_owned()).collect(),
            reads_from: look.reads.key().to_owned(),
            laid_from: session.view.band.key().to_owned(),
        },
    };
    // Every value has a form in TOML, so that writing it can't fail.
    toml::to_string(&saved).map_or_else(|_| String::new(), |text| format!("{HEAD}{text}"))
}

/// Reads a saved session.
///
/// # Errors
/// When it is broken or of a newer program.
pub fn read(text: &str) -> Result<Saved, Refusal> {
    #[derive(Deserialize)]
    struct Newer {
        version: u32,
    }
    if let Ok(Newer { version }) = toml::from_str(text)
        && version > VERSION
    {
        let remark = Remark::refusal("this session was saved by a newer chalklight").field("version");
        return Err(Refusal::because(remark.remedy("take it up with that one")));
    }
    toml::from_str(text).map_err(|error| Refusal::because(toml_remark(text, &error)))
}

impl Saved {
    /// The number of the stage that it is at, from 1.
    pub fn stage(&self) -> Option<usize> {
        self.place.stage
    }

    /// The side at which the cloth's room was planned.
    pub fn laid_from(&self) -> Option<Side> {
        Side::of_key(&self.look.laid_from)
    }

    /// The work that it is at, when that is of this lay as it is lit in such a view from the side that the session is laid
    /// from; none when it is of another.
    pub fn work(&self, lay: &Lay, view: &View) -> Option<Work> {
        let work = Work::of(lay, &View { band: self.laid_from()?, ..*view }).ok()?;
        let shifts_mm = self.place.shifts_mm().unwrap_or_else(|| work.lay.shifts_mm());
        if sum(&lay_text(&work)) == self.belongs.lay { work.moved(&shifts_mm) } else { None }
    }

    /// Where the session was, when it is one of this order, lay and table.
    ///
    /// # Errors
    /// Why it can't be taken up.
    pub fn state(&self, belongs: &Belongs, work: &Work) -> Result<State, Refusal> {
        let no = |why: &str| {
            let remark = Remark::refusal(format!("the saved session is not taken up: {why}"));
            Refusal::because(remark.remedy("lay the cloth and begin at the first stage"))
        };
        if let Some(why) = belongs.differs(&self.belongs) {
            return Err(no(why));
        }
        let place = &self.place;
        let shifts_mm = place.shifts_mm().unwrap_or_else(|| work.lay.shifts_mm());
        let work = &work.moved(&shifts_mm).ok_or_else(|| no("its pieces don't lie so on this cloth"))?;
        let at = |step: usize| step.checked_sub(1).filter(|step| *step < work.steps.len());
        let moving = place.moving_to.map(|step| at(step).ok_or_else(|| no("it has no such step"))).transpose()?;
        let pose = Pose { at_mm: Point::from(place.at_mm), turn_rad: place.turn_rad };
        let step = at(place.step).ok_or_else(|| no("it has no such step"))?;
        let neighbours = moving.is_none_or(|to| {
            work.way(step, to).is_some_and(|m| place.chalked.get(m) == Some(&true) && to.abs_diff(step) == 1)
        });
        let farthest = place.farthest.map_or(Some(step), at).filter(|farthest| *farthest >= step);
        let farthest = farthest.ok_or_else(|| no("it has no such step"))?;
        if !pose.at_mm.is_finite() || !pose.turn_rad.is_finite() || !neighbours {
            return Err(no("its place is no place on this cloth"));
        }
        if place.chalked.len() != work.plan.moves.len() {
            return Err(no("the cloth was laid or lit otherwise"));
        }
        let taken = place.taken.iter().map(Taken::reading).collect::<Option<Vec<_>>>();
        let taken = taken.ok_or_else(|| no("it was thrown by a table that can't be made again"))?;
        let look = self.look.look().ok_or_else(|| no("it asks for a look that is not known"))?;
        let moved = place.moved.as_ref();
        let moved = moved.map(|m| Moved { by_mm: Vector::from(m.by_mm), turned_rad: m.turned_rad });
        let (chalked, knocked, doing) = (place.chalked.clone(), place.knocked, Doing::Cutting);
        let state =
            State { said_yes: false, step, farthest, pose, look, chalked, doing, moved, shifts_mm, taken, knocked };
        let doing = moving.map_or(Doing::Cutting, |to| Doing::moving(to, &state, work));
        Ok(State { doing, ..state })
    }
}

impl Place {
    fn shifts_mm(&self) -> Option<Vec<Vector<Cloth>>> {
        let across_mm = self.across_mm.iter().copied().chain(std::iter::repeat(0.0));
        self.shifts_mm.as_ref().map(|along_mm| along_mm.iter().copied().zip(across_mm).map(Vector::from).collect())
    }
}

impl Taken {
    fn of(reading: &Reading) -> Option<Self> {
        match reading.kind {
            Kind::Distance { from, to, distance_mm } => {
                Some(Self { from: from.to_string(), to: to.to_string(), distance_mm })
            }
            Kind::Place { .. } => None,
        }
    }

    fn reading(&self) -> Option<Reading> {
        let (from, to) = (self.from.parse().ok()?, self.to.parse().ok()?);
        Some(Reading { kind: Kind::Distance { from, to, distance_mm: self.distance_mm }, height_mm: 0.0 })
    }
}

impl Seen {
    fn look(&self) -> Option<Look> {
        let is_hidden = |group: Group| self.hidden.iter().any(|word| word == group.word());
        Some(Look {
            way: Way::ALL.into_iter().find(|way| way.key() == self.way)?,
            colour: COLOURS.iter().position(|(name, _)| *name == self.colour)?,
            size: self.label_size.clamp(super::state::SIZES[0], super::state::SIZES[1]),
            hidden: Hidden {
                sewing: is_hidden(Group::Sewing),
                levels: is_hidden(Group::Levels),
                labels: is_hidden(Group::Labels),
                grain: is_hidden(Group::Grain),
            },
            reads: Side::of_key(&self.reads_from)?,
        })
    }
}
