//! Two thrown crosses stepped on to two places of the cloth: how the cloth's place is set, and how a move is measured.
//!
//! While the first cross is stepped the whole picture moves with it; while the second is, the picture turns with it
//! about where the first was left. Two crosses that were chalked weigh the same, so the place is the rigid move that
//! puts their middles together and their directions in line, which is the least-squares one for two points. On the
//! fold the corner is the place and the other end gives the direction alone.

use crate::geometry::{Cloth, Point, Table, Vector};
use crate::scene::{Pose, Room};
use crate::stages::reach::CROSSES_DOUBTED_MM;

/// A fold, or two corners, measured this much off is looked at again: they were cut and folded by hand.
const CUT_DOUBTED_MM: f64 = 5.0;

/// What the crosses stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The corner of the fold, and its other end.
    Fold {
        /// Whether the other end is in the light; a place far along the fold otherwise.
        whole: bool,
    },
    /// The corner at the far edge of the cloth, and that edge as far along as the light goes.
    FarEdge,
    /// The two register crosses of a move.
    Crosses {
        /// Which move, from 0.
        of_move: usize,
    },
    /// Two corners of what is left of the cloth.
    Corners {
        /// How many steps are done.
        done: usize,
    },
    /// No places of it, but its edges, by eye.
    Edges,
}

/// Why the cloth is laid to crosses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// She asked for it.
    Asked,
    /// She has moved the cloth to the reach of this step.
    Moved {
        /// The step, from 0.
        to: usize,
    },
    /// The session was taken up again.
    Resumed,
}

/// What stands in the way of taking the place as it was stepped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// The two places lie this much farther apart than they should, nearer when negative. A second yes takes them.
    Apart {
        /// How much.
        by_mm: f64,
    },
    /// The cloth would lie outside the light.
    Unlit,
}

/// Two crosses on their way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Alignment {
    /// Why.
    pub why: Why,
    /// On what.
    pub anchor: Anchor,
    /// Their places on the cloth.
    pub marks: [Point<Cloth>; 2],
    /// Where the cloth lies unless a cross is stepped.
    pub expected: Pose,
    /// Their places on the table, as far as they were stepped.
    pub at: [Point<Table>; 2],
    /// Whether the second is being stepped.
    pub second: bool,
    /// What came in the way.
    pub doubt: Option<Doubt>,
}

impl Alignment {
    /// Begins where the cloth is expected.
    pub fn begin(why: Why, anchor: Anchor, marks: [Point<Cloth>; 2], expected: Pose) -> Self {
        let at = marks.map(|mark| expected.table_from_cloth().transform_point(mark));
        Self { why, anchor, marks, expected, at, second: false, doubt: None }
    }

    /// The place of the cross that is being met.
    pub fn current(&self) -> Point<Table> {
        self.at[usize::from(self.second)]
    }

    /// Steps the current cross; the second goes along with the first. It does not leave the light, and from the dark it
    /// comes to the edge of the light at once, where she can see it.
    pub fn step(&mut self, by: Vector<Table>, room: &Room) {
        let from = self.current();
        let to = if room.contains(from) { from + by } else { (from + by).clamp(room.low_mm, room.high_mm) };
        if room.contains(from) && !room.contains(to) {
            return;
        }
        if !self.second {
            self.at[1] += to - from;
        }
        self.at[usize::from(self.second)] = to;
        self.doubt = None;
    }

    /// Puts the current cross somewhere; the second goes along with the first. It does not leave the light. Once the first
    /// was stepped, a place nearer to the second is meant for that: two clicks are enough.
    pub fn put(&mut self, at: Point<Table>, room: &Room) {
        let [first_mm, second_mm] = self.at.map(|cross| (at - cross).length());
        if room.contains(at) && !self.unmoved() && second_mm < first_mm {
            self.second = true;
        }
        self.step(at - self.current(), room);
    }

    /// Turns the second cross about the first.
    pub fn turn(&mut self, by_rad: f64) {
        let arm = self.at[1] - self.at[0];
        let (sin, cos) = by_rad.sin_cos();
        self.at[1] = self.at[0] + Vector::new(arm.x * cos - arm.y * sin, arm.x * sin + arm.y * cos);
        self.doubt = None;
    }

    /// Whether no cross was stepped.
    fn unmoved(&self) -> bool {
        *self == Self { second: self.second, doubt: self.doubt, ..self.afresh() }
    }

    fn afresh(&self) -> Self {
        Self::begin(self.why, self.anchor, self.marks, self.expected)
    }

    fn turn_rad(&self) -> f64 {
        let (on_cloth, on_table) = (self.marks[1] - self.marks[0], self.at[1] - self.at[0]);
        let turn = on_table.y.atan2(on_table.x) - on_cloth.y.atan2(on_cloth.x);
        turn.sin().atan2(turn.cos())
    }

    fn holding(&self, mark: Point<Cloth>, at: Point<Table>) -> Pose {
        let turned = Pose { at_mm: Point::origin(), turn_rad: self.turn_rad() };
        Pose { at_mm: at - turned.table_from_cloth().transform_point(mark).to_vector(), ..turned }
    }

    /// The pose in which the current cross is thrown exactly where it was stepped.
    pub fn shown(&self) -> Pose {
        if self.unmoved() {
            return self.expected;
        }
        let i = usize::from(self.second);
        self.holding(self.marks[i], self.at[i])
    }

    /// The cloth's place by both crosses: exactly the expected one when none was stepped.
    pub fn pose(&self) -> Pose {
        if self.unmoved() {
            return self.expected;
        }
        match self.anchor {
            Anchor::Fold { .. } | Anchor::FarEdge => self.holding(self.marks[0], self.at[0]),
            Anchor::Crosses { .. } | Anchor::Corners { .. } | Anchor::Edges => {
                self.holding(self.marks[0].lerp(self.marks[1], 0.5), self.at[0].lerp(self.at[1], 0.5))
            }
        }
    }

    /// How much farther apart the crosses were met than they lie on the cloth, when that is more than chance.
    pub fn apart(&self) -> Option<Doubt> {
        let by_mm = (self.at[1] - self.at[0]).length() - (self.marks[1] - self.marks[0]).length();
        let most_mm = match self.anchor {
            Anchor::Fold { whole: false } | Anchor::FarEdge | Anchor::Edges => return None,
            Anchor::Fold { whole: true } | Anchor::Corners { .. } => CUT_DOUBTED_MM,
            Anchor::Crosses { .. } => CROSSES_DOUBTED_MM,
        };
        (by_mm.abs() > most_mm).then_some(Doubt::Apart { by_mm })
    }
}
