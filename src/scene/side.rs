//! Which side of the table she reads from: text is turned to her, and never mirrored.

use crate::geometry::{Point, Table, Vector};

/// A side of the table, as the table's own frame names it: its front edge runs along x.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Side {
    /// The front edge.
    #[default]
    Front,
    /// The right end.
    Right,
    /// The far edge.
    Back,
    /// The left end.
    Left,
}

impl Side {
    /// All sides, anticlockwise.
    pub const ALL: [Self; 4] = [Self::Front, Self::Right, Self::Back, Self::Left];

    /// Its name.
    pub fn key(self) -> &'static str {
        ["front", "right", "back", "left"][self.quarters()]
    }

    /// The side of that name.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.key() == key)
    }

    /// Quarter turns anticlockwise from the front.
    pub fn quarters(self) -> usize {
        match self {
            Self::Front => 0,
            Self::Right => 1,
            Self::Back => 2,
            Self::Left => 3,
        }
    }

    /// The side so many quarter turns on, anticlockwise.
    #[must_use]
    pub fn turned(self, quarters: usize) -> Self {
        Self::ALL[(self.quarters() + quarters) % 4]
    }

    /// This side as cloth that is turned by an angle sees it, to the nearest quarter.
    #[must_use]
    pub fn on_turned(self, turn_rad: f64) -> Self {
        let quarters = (turn_rad / std::f64::consts::FRAC_PI_2).round().rem_euclid(4.0) as usize;
        self.turned(4 - quarters % 4)
    }

    /// Where her right hand points, in any frame whose x runs along the front edge and y away from it.
    pub fn right_hand<F>(self) -> Vector<F> {
        let (x, y) = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][self.quarters()];
        Vector::new(x, y)
    }

    /// Where she looks.
    pub fn away<F>(self) -> Vector<F> {
        self.turned(1).right_hand()
    }

    /// The corner of an upright rectangle that lies nearest to her on her left.
    pub fn near_left<F>(self, (low, high): (Point<F>, Point<F>)) -> Point<F> {
        match self {
            Self::Front => low,
            Self::Right => Point::new(high.x, low.y),
            Self::Back => high,
            Self::Left => Point::new(low.x, high.y),
        }
    }

    /// A step to her right and away from her, on the table.
    pub fn step(self, right: f64, away: f64) -> Vector<Table> {
        self.right_hand::<Table>() * right + self.away::<Table>() * away
    }
}
