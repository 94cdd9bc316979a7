//! What she can ask for, and the words that a trace writes it in.

use std::fmt;
use std::str::FromStr;

use crate::geometry::{Point, Table};

/// What she asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Event {
    /// On: the next stage or reach; while crosses are chalked or met, that it is done.
    Next,
    /// Back: the stage or reach before; while crosses are met, the cross before.
    Back,
    /// That a cross is where it belongs.
    Confirm,
    /// The lines moved, or the cross that is being met, by how many steps as she sees the table.
    Nudge {
        /// Steps to her right.
        right: i32,
        /// Steps away from her.
        away: i32,
        /// Ten times as far.
        long: bool,
    },
    /// The cross that is being met put where she points on the table.
    Point(Point<Table>),
    /// The lines turned, by how many steps anticlockwise.
    Turn(i32),
    /// The cloth's place set by two points; asked again, by the other kind of points.
    SetPlace,
    /// A piece moved on the cloth by what is nudged next; asked again, the next piece; after the last, none.
    MovePiece,
    /// The next of light lines, lit ground and lit shape.
    SwapLight,
    /// The next colour of light.
    Colour,
    /// Larger labels.
    Larger,
    /// Smaller labels.
    Smaller,
    /// A group of marks hidden, or shown again.
    Hide(Group),
    /// The proof thrown, or taken away again.
    Prove,
    /// Distances of the table measured, to see whether the projector was knocked; begun again when they are.
    Measure,
    /// A sign of a number that is asked for: a digit, the point, or in inches `+` and `/` of a fraction.
    Type(char),
    /// The last sign of that number rubbed out.
    Rub,
    /// All light off at once, or on again at the same place.
    Pause,
    /// The keys thrown on the table, or taken away again.
    Help,
    /// Text turned to the next side of the table.
    Side,
    /// The last step taken back.
    Undo,
    /// Her explicit yes: to a table that is not trusted or was knocked, or to its correction.
    Yes,
    /// Out of what she is in; out of the session when she is in nothing.
    Leave,
}

/// A group of marks that can be hidden.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Sewing lines.
    Sewing,
    /// Levels.
    Levels,
    /// What is written on the cloth.
    Labels,
    /// The grain arrow.
    Grain,
}

impl Group {
    /// All groups.
    pub const ALL: [Self; 4] = [Self::Sewing, Self::Levels, Self::Labels, Self::Grain];

    /// Its word in traces and saved sessions.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sewing => "sewing",
            Self::Levels => "levels",
            Self::Labels => "labels",
            Self::Grain => "grain",
        }
    }
}

/// Events that are one word in a trace.
const WORDS: [(Event, &str); 18] = [
    (Event::Next, "next"),
    (Event::Back, "back"),
    (Event::Confirm, "confirm"),
    (Event::SetPlace, "set-place"),
    (Event::MovePiece, "piece"),
    (Event::SwapLight, "light"),
    (Event::Colour, "colour"),
    (Event::Larger, "larger"),
    (Event::Smaller, "smaller"),
    (Event::Prove, "prove"),
    (Event::Measure, "measure"),
    (Event::Rub, "rub"),
    (Event::Pause, "pause"),
    (Event::Help, "help"),
    (Event::Side, "side"),
    (Event::Undo, "undo"),
    (Event::Yes, "yes"),
    (Event::Leave, "leave"),
];

impl fmt::Display for Event {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((_, word)) = WORDS.iter().find(|(event, _)| event == self) {
            return f.write_str(word);
        }
        match self {
            Self::Nudge { right, away, long } => {
                write!(f, "{} {right} {away}", if *long { "nudge-long" } else { "nudge" })
            }
            Self::Point(at) => write!(f, "point {} {}", at.x, at.y),
            Self::Turn(steps) => write!(f, "turn {steps}"),
            Self::Hide(group) => write!(f, "hide {}", group.word()),
            Self::Type(sign) => write!(f, "type {sign}"),
            _ => Ok(()),
        }
    }
}

impl FromStr for Event {
    type Err = String;

    fn from_str(line: &str) -> Result<Self, String> {
        if let Some((event, _)) = WORDS.iter().find(|(_, word)| *word == line) {
            return Ok(*event);
        }
        let unknown = || format!("\"{line}\" is no event");
        let words: Vec<&str> = line.split(' ').collect();
        let number = |word: &str| word.parse::<i32>().map_err(|_| unknown());
        match words.as_slice() {
            [nudge @ ("nudge" | "nudge-long"), right, away] => {
                Ok(Self::Nudge { right: number(right)?, away: number(away)?, long: *nudge == "nudge-long" })
            }
            ["point", x, y] => match [x, y].map(|mm| mm.parse::<f64>().ok().filter(|mm| mm.is_finite())) {
                [Some(x), Some(y)] => Ok(Self::Point(Point::new(x, y))),
                _ => Err(unknown()),
            },
            ["type", sign] => match sign.as_bytes() {
                [sign @ (b'0'..=b'9' | b'.' | b'+' | b'/')] => Ok(Self::Type((*sign).into())),
                _ => Err(unknown()),
            },
            ["turn", steps] => Ok(Self::Turn(number(steps)?)),
            ["hide", word] => {
                Group::ALL.into_iter().find(|group| group.word() == *word).map(Self::Hide).ok_or_else(unknown)
            }
            _ => Err(unknown()),
        }
    }
}
