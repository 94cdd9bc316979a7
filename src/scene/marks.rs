//! The marks themselves: plain values with fixed positions.

use crate::geometry::{Cloth, Map, Point, Table, Vector};

/// A colour of light as a screen takes it: sRGB, 8 bits a channel.
pub type Light = [u8; 3];

/// A line of light with round ends and joins.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke<F> {
    /// Its corners; curves come flattened.
    pub points: Vec<Point<F>>,
    /// Whether the last corner is joined to the first.
    pub closed: bool,
    /// Full width on the table.
    pub width_mm: f64,
    /// Its colour.
    pub light: Light,
}

/// An area of light, by the even-odd rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill<F> {
    /// Closed rings; the last corner is joined to the first.
    pub rings: Vec<Vec<Point<F>>>,
    /// Its colour.
    pub light: Light,
}

/// One line of text, drawn as glyph outlines at true size.
#[derive(Clone, Debug, PartialEq)]
pub struct Letters<F> {
    /// The text.
    pub text: String,
    /// Left end of the baseline.
    pub at: Point<F>,
    /// Direction of the baseline, of length 1; the letters stand to its left (upright when it points along +x).
    pub along: Vector<F>,
    /// Height of a capital.
    pub cap_mm: f64,
    /// Its colour.
    pub light: Light,
}

/// Marks of one frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks<F> {
    /// Areas, drawn first.
    pub fills: Vec<Fill<F>>,
    /// Lines.
    pub strokes: Vec<Stroke<F>>,
    /// Text.
    pub letters: Vec<Letters<F>>,
}

/// Everything that is thrown at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// The light where there is no mark: black on a dark table, white on a lit ground.
    pub ground: Light,
    /// What moves with the cloth.
    pub on_cloth: Marks<Cloth>,
    /// What stays on the table.
    pub on_table: Marks<Table>,
}

/// Where the cloth lies on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// The place of the cloth's origin.
    pub at_mm: Point<Table>,
    /// The turn of the cloth's x axis from the table's, anticlockwise.
    pub turn_rad: f64,
}

impl<F> Default for Marks<F> {
    fn default() -> Self {
        Self { fills: Vec::new(), strokes: Vec::new(), letters: Vec::new() }
    }
}

impl<F> Marks<F> {
    /// Adds others on top.
    pub fn add(&mut self, others: Self) {
        self.fills.extend(others.fills);
        self.strokes.extend(others.strokes);
        self.letters.extend(others.letters);
    }
}

impl Pose {
    /// The map from cloth to table.
    pub fn table_from_cloth(&self) -> Map<Cloth, Table> {
        Map::rotation(euclid::Angle::radians(self.turn_rad)).then_translate(self.at_mm.to_vector())
    }
}
