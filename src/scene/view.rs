//! How a stage is seen: the room, which of line and ground is lit, how large labels are, what is hidden, and from where
//! it is read.

use super::{Light, Pose, Room, Side};
use crate::geometry::Cloth;
use crate::stages::reach::Window;
use crate::stages::{Line, LineKind};
use crate::units::System;

/// How a stage is to be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The room that is lit.
    pub room: Room,
    /// The unit system of figures.
    pub system: System,
    /// Height of a capital in the sentence and on labels.
    pub cap_mm: f64,
    /// Which of line and ground is lit.
    pub way: Way,
    /// The colour of what is lit.
    pub light: Light,
    /// The side at which a band is kept free for the sentence.
    pub band: Side,
    /// The side that the sentence is read from.
    pub reads: Side,
    /// Where the cloth lies; at the near left corner of its room when it is not given.
    pub lies: Option<Pose>,
    /// What is hidden.
    pub hidden: Hidden,
    /// The part of the cloth that is lit; what the light has room for from the cloth's corner when none is given.
    pub window: Option<Window>,
}

/// Which of line and ground is lit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Way {
    /// Light lines on dark.
    #[default]
    LightOnDark,
    /// Dark lines on a lit ground.
    DarkOnLit,
    /// The piece itself is filled with light, a window on the print, and the cut runs along its edge.
    LitShape,
}

/// Groups of marks that are hidden.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hidden {
    /// Sewing lines.
    pub sewing: bool,
    /// Levels.
    pub levels: bool,
    /// What is written on the cloth.
    pub labels: bool,
    /// The grain arrow with its caption.
    pub grain: bool,
}

/// Margin kept free at the edge of the light.
pub(super) const MARGIN_MM: f64 = 12.0;

/// Lines of the sentence at most.
const SENTENCE_LINES: f64 = 3.0;

/// Distance between baselines, in capitals.
pub(super) const LEADING: f64 = 1.75;

/// What must stay whole is lit by this share of the light on dark, and by that on a lit ground: set off from the
/// ground, far from the lines.
const WHOLE_ON_DARK: f64 = 48.0 / 255.0;
const WHOLE_ON_LIT: f64 = 214.0 / 255.0;

/// A hundredth of the room's width, at least 7 mm.
fn usual_cap_mm(room: &Room) -> f64 {
    (room.width_mm() / 100.0).clamp(7.0, 20.0)
}

impl Way {
    /// All ways, in the order in which one key goes through them.
    pub const ALL: [Self; 3] = [Self::LightOnDark, Self::DarkOnLit, Self::LitShape];

    /// Its name.
    pub fn key(self) -> &'static str {
        match self {
            Self::LightOnDark => "light-on-dark",
            Self::DarkOnLit => "dark-on-lit",
            Self::LitShape => "lit-shape",
        }
    }

    /// The next way.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::LightOnDark => Self::DarkOnLit,
            Self::DarkOnLit => Self::LitShape,
            Self::LitShape => Self::LightOnDark,
        }
    }
}

impl Hidden {
    /// Whether a line is hidden.
    pub fn hides(&self, line: &Line) -> bool {
        match line.kind {
            LineKind::Sew => self.sewing,
            LineKind::Level => self.levels,
            LineKind::Grain => self.grain,
            _ => false,
        }
    }
}

impl View {
    /// A view of everything that is lit, with labels that can be read from an arm's length.
    pub fn of(room: Room, system: System, way: Way) -> Self {
        Self {
            room,
            system,
            way,
            cap_mm: usual_cap_mm(&room),
            light: [255; 3],
            band: Side::Front,
            reads: Side::Front,
            lies: None,
            hidden: Hidden::default(),
            window: None,
        }
    }

    /// The room for cloth: what the sentence at the person's side leaves.
    pub fn cloth_room(&self) -> Room {
        self.room.less(MARGIN_MM, self.band, self.band_mm())
    }

    /// Where the cloth lies.
    pub fn pose(&self) -> Pose {
        self.lies.unwrap_or_else(|| self.cloth_room().pose())
    }

    /// The side that labels on the cloth are read from, as the cloth lies.
    pub fn reads_cloth(&self) -> Side {
        self.reads.on_turned(self.pose().turn_rad)
    }

    /// Depth of the band for the sentence.
    pub(super) fn band_mm(&self) -> f64 {
        self.usual_cap_mm() * LEADING * SENTENCE_LINES
    }

    /// Height of a capital unless she wants it otherwise.
    pub(super) fn usual_cap_mm(&self) -> f64 {
        usual_cap_mm(&self.room)
    }

    /// Light of the ground.
    pub fn ground(&self) -> Light {
        if self.way == Way::DarkOnLit { self.light } else { [0; 3] }
    }

    /// Light of the lines on that ground.
    pub fn line(&self) -> Light {
        if self.way == Way::DarkOnLit { [0; 3] } else { self.light }
    }

    /// Light of an area that must stay whole.
    pub fn whole(&self) -> Light {
        let share = if self.way == Way::LightOnDark { WHOLE_ON_DARK } else { WHOLE_ON_LIT };
        self.light.map(|channel| (f64::from(channel) * share).round() as u8)
    }

    /// The part of a cloth of this size that is lit.
    pub(super) fn lit_cloth(&self, high: crate::geometry::Point<Cloth>) -> Window {
        let room = self.cloth_room();
        let cloth = Window { low_mm: crate::geometry::Point::origin(), high_mm: high };
        let from_corner = || Window {
            low_mm: crate::geometry::Point::origin(),
            high_mm: crate::geometry::Point::new(room.width_mm(), room.depth_mm()),
        };
        self.window.unwrap_or_else(from_corner).shared(&cloth)
    }
}
