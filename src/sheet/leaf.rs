//! A leaf of paper: marks in millimetres on an upright page as wide as A4; on another it is printed in the middle.
//!
//! Type is Hack, in which every sign is equally wide, so that a line's width is known from its count of signs.

use crate::geometry::{Point, Vector};

/// The page: origin at its upper left corner, x right, y down, in mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {}

/// A place on the page.
pub type At = Point<Paper>;

/// Width and height of A4 (ISO 216).
pub const PAGE_MM: [f64; 2] = [210.0, 297.0];

/// Left, right and upper margin: more than any printer leaves unprinted, and room for a thumb.
pub const MARGIN_MM: f64 = 20.0;

/// The lowest line of an A4 page; the foot stands below it.
pub const BOTTOM_MM: f64 = 274.0;

/// Between left and right margin.
pub const MEASURE_MM: f64 = PAGE_MM[0] - 2.0 * MARGIN_MM;

/// Type sizes. Running text is 10 points: its small letters are 2 mm high, read from 60 cm without leaning over.
pub const BODY_MM: f64 = 3.53;
/// Captions, drawings and the foot: 8 points.
pub const SMALL_MM: f64 = 2.82;
/// Headings: 13 points.
pub const HEAD_MM: f64 = 4.6;
/// The name on the first page: 20 points.
pub const TITLE_MM: f64 = 7.0;

/// Distance between baselines, in type sizes.
pub const LEADING: f64 = 1.5;

/// Width of one sign, in type sizes (Hack: 1233 of 2048 font units).
const ADVANCE: f64 = 1233.0 / 2048.0;

/// Height of a capital, in type sizes (Hack: 1493 of 2048 font units).
pub const CAPITAL: f64 = 1493.0 / 2048.0;

/// How dark a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Text and lines.
    Black,
    /// What is read second.
    Grey,
    /// Areas and hairlines behind text.
    Pale,
    /// The paper itself, to clear a place on a line.
    White,
}

/// One mark.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line of text.
    Words(Words),
    /// A line.
    Stroke(Stroke),
    /// A filled ring.
    Area(Vec<At>, Ink),
    /// A picture: which one of those given, its upper left corner, width and height.
    Picture(usize, At, [f64; 2]),
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// What is written.
    pub text: String,
    /// Left end of the baseline.
    pub at: At,
    /// Type size.
    pub size_mm: f64,
    /// How dark.
    pub ink: Ink,
}

impl Words {
    /// Left, top, right and bottom: from the top of its capitals to its baseline.
    pub fn extents_mm(&self) -> [f64; 4] {
        let (x, y) = (self.at.x, self.at.y);
        [x, y - CAPITAL * self.size_mm, x + width_mm(&self.text, self.size_mm), y]
    }

    /// Whether it runs into another line of text.
    pub fn touches(&self, other: &Self) -> bool {
        let ([left, top, right, bottom], [l, t, r, b]) = (self.extents_mm(), other.extents_mm());
        left < r && l < right && top < b && t < bottom
    }
}

/// A line through corners.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// The corners.
    pub points: Vec<At>,
    /// Whether the last is joined to the first.
    pub closed: bool,
    /// Full width.
    pub width_mm: f64,
    /// How dark.
    pub ink: Ink,
}

/// A page's marks, painted in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Leaf {
    /// The marks.
    pub marks: Vec<Mark>,
}

/// Where text stands to its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Its middle is there.
    Middle,
    /// It ends there.
    Right,
}

impl Leaf {
    /// Whether a line of text would run into none that is written.
    pub fn has_room(&self, words: &Words) -> bool {
        !self.marks.iter().any(|mark| matches!(mark, Mark::Words(other) if other.touches(words)))
    }

    /// Writes one line of text; no wrapping.
    pub fn words(&mut self, text: impl Into<String>, at: At, size_mm: f64, ink: Ink) {
        self.marks.push(Mark::Words(Words { text: text.into(), at, size_mm, ink }));
    }

    /// Writes one line of text about a place, or up to it.
    pub fn words_to(&mut self, text: &str, (at, side): (At, Side), size_mm: f64, ink: Ink) {
        let share = match side {
            Side::Middle => 0.5,
            Side::Right => 1.0,
        };
        self.words(text, at - Vector::new(width_mm(text, size_mm) * share, 0.0), size_mm, ink);
    }

    /// Draws an open line.
    pub fn line(&mut self, points: Vec<At>, width_mm: f64, ink: Ink) {
        self.marks.push(Mark::Stroke(Stroke { points, closed: false, width_mm, ink }));
    }

    /// Draws a closed line.
    pub fn ring(&mut self, points: Vec<At>, width_mm: f64, ink: Ink) {
        self.marks.push(Mark::Stroke(Stroke { points, closed: true, width_mm, ink }));
    }

    /// Fills a ring.
    pub fn area(&mut self, points: Vec<At>, ink: Ink) {
        self.marks.push(Mark::Area(points, ink));
    }

    /// A hairline from margin to margin.
    pub fn hairline(&mut self, y_mm: f64) {
        self.line(vec![At::new(MARGIN_MM, y_mm), At::new(PAGE_MM[0] - MARGIN_MM, y_mm)], 0.2, Ink::Grey);
    }
}

/// Width of a line of text.
pub fn width_mm(text: &str, size_mm: f64) -> f64 {
    text.chars().count() as f64 * ADVANCE * size_mm
}

/// Text in lines no wider than `room_mm`; a word that is wider by itself is broken.
pub fn wrapped(text: &str, size_mm: f64, room_mm: f64) -> Vec<String> {
    let most = ((room_mm / (ADVANCE * size_mm) + 1e-9) as usize).max(1);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut count = 0;
    for word in text.split_whitespace() {
        let mut signs: Vec<char> = word.chars().collect();
        if count > 0 && count + 1 + signs.len() > most {
            lines.push(std::mem::take(&mut line));
            count = 0;
        }
        while signs.len() > most {
            lines.push(signs.drain(..most).collect());
        }
        if count > 0 {
            line.push(' ');
            count += 1;
        }
        count += signs.len();
        line.extend(signs);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A circle as a ring of corners, smooth to the eye at the sizes used here.
pub fn circle(centre: At, radius_mm: f64) -> Vec<At> {
    const CORNERS: usize = 48;
    (0..CORNERS)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * i as f64 / CORNERS as f64).sin_cos();
            centre + Vector::new(cos, sin) * radius_mm
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapped_lines_fit_and_lose_nothing() {
        let text = "Cut the outer line through all 4 layers, incomprehensibilities included";
        let lines = wrapped(text, BODY_MM, 30.0);
        assert!(lines.iter().all(|line| width_mm(line, BODY_MM) <= 30.0 + 1e-9), "{lines:?}");
        let signs = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
        assert_eq!(signs(&lines.concat()), signs(text));
        assert_eq!(wrapped("", BODY_MM, 30.0), [""]);
    }
}
