//! Matching: which points of the pieces must meet on the print, and where pieces may then lie.
//!
//! Side seams meet at the waist (or where both are notched alike, or end), centre front and back lie on the same place of
//! the print across, and a sleeve meets the front's armhole at its notch (textileschool.com; J. Pray's newsletter: at the
//! sewing line; centre front and back, side seams, sleeve front notch). Pieces that are tied so lie one way up. Of every
//! tied piece one point, its datum, then lies on the same place of the print, whole repeats from that of any other.
//! A patch pocket is laid by eye: its place on the front is not drafted.

use crate::finish::{Notch, Piece};
use crate::geometry::{Cloth as ClothFrame, Draft, Map, Point};
use crate::nest::Steps;
use crate::order::{Cloth, Matching};

/// The notches on both sides of a side seam at which it is matched, the first that both have.
const ON_SIDE: [&str; 2] = ["waist", "hip"];

/// Edges that a side seam is sewn along, where there is no such notch; they meet at the end that is farther down.
const SIDES: [&str; 2] = ["side", "edge"];

/// What is tied to what.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ties {
    /// Of each piece the point that lies on the same place of the print as those of the others; none of a piece that
    /// meets nothing.
    pub datums: Vec<Option<Point<Draft>>>,
    /// The points that meet.
    pub meetings: Vec<Meeting>,
}

/// Points of two pieces that meet when they are sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// What meets.
    pub what: &'static str,
    /// The two.
    pub ends: [End; 2],
    /// Whether it is where a print that meets along must be in step.
    pub along: bool,
    /// Whether it is where a print that meets across, or both ways, must be in step.
    pub across: bool,
}

/// A point of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Which of the pieces that are laid.
    pub piece: usize,
    /// Where on it.
    pub at: Point<Draft>,
    /// Where the centre of the piece is.
    pub centre_mm: f64,
    /// Whether the piece has the point on both sides of its centre, being drawn by half.
    pub both_sides: bool,
}

impl Meeting {
    /// Whether both points are as far down the draft, so that they lie level on lengths that begin alike.
    pub(super) fn is_level(&self) -> bool {
        (self.ends[0].at.y - self.ends[1].at.y).abs() < super::proof::IN_STEP_MM / 2.0
    }
}

impl Ties {
    /// What must meet in these garments, each by itself.
    pub fn of(garments: &[&[Piece]]) -> Self {
        let mut ties = Self::default();
        for pieces in garments {
            ties.add(pieces);
        }
        ties
    }

    fn add(&mut self, pieces: &[Piece]) {
        let first = self.datums.len();
        self.datums.resize(first + pieces.len(), None);
        let bodies: Vec<usize> = (0..pieces.len()).filter(|i| side(&pieces[*i]).is_some()).collect();
        let Some((&front, others)) = bodies.split_first() else { return };
        // A panel that is cut several times meets itself.
        let others = if others.is_empty() && pieces[front].count > 1 { &bodies[..] } else { others };
        let end = |i: usize, at: Point<Draft>| End {
            piece: first + i,
            at,
            centre_mm: centre_mm(&pieces[i]),
            both_sides: pieces[i].on_fold,
        };
        for &other in others {
            let Some(points) = met_on_side(&pieces[front], &pieces[other]) else { continue };
            let ends = [end(front, points[0]), end(other, points[1])];
            self.meetings.push(Meeting { what: "side seam", ends, along: true, across: false });
            let ends = ends.map(|end| End { at: Point::new(end.centre_mm, end.at.y), ..end });
            self.meetings.push(Meeting { what: "centre line", ends, along: false, across: true });
            for end in ends {
                self.datums[end.piece].get_or_insert(end.at);
            }
        }
        for (i, sleeve) in pieces.iter().enumerate() {
            let Some((datum, [on_front, on_sleeve])) = self.datums[first + front].and_then(|datum| {
                let notches = [armhole(&pieces[front])?, crown(sleeve)?];
                Some((datum, notches.map(|notch| notch.sewn_at)))
            }) else {
                continue;
            };
            let ends = [end(front, on_front), end(i, on_sleeve)];
            self.meetings.push(Meeting { what: "armhole notch", ends, along: true, across: true });
            // Sewn together, the sleeve's front edge lies on the side of the front's armhole that faces it.
            let out_mm = (on_front.x - ends[0].centre_mm).abs();
            let across_mm = on_sleeve.x + (on_sleeve.x - ends[1].centre_mm).signum() * out_mm;
            self.datums[first + i] = Some(Point::new(across_mm, on_sleeve.y - (on_front.y - datum.y)));
        }
    }

    /// Whether a piece is tied to another.
    pub fn holds(&self, piece: usize) -> bool {
        self.datums.get(piece).is_some_and(Option::is_some)
    }

    /// Whether nothing is.
    pub fn is_empty(&self) -> bool {
        self.meetings.is_empty()
    }
}

/// The points in which a side seam of two pieces is matched.
fn met_on_side(one: &Piece, other: &Piece) -> Option<[Point<Draft>; 2]> {
    let on = |piece: &Piece, meets: &str| {
        let notch = piece.notches.iter().find(|notch| notch.edge == "side" && notch.meets == meets)?;
        Some(notch.sewn_at)
    };
    let notched = ON_SIDE.iter().find_map(|meets| Some([on(one, meets)?, on(other, meets)?]));
    notched.or_else(|| Some([foot(one)?, foot(other)?]))
}

/// The lower end of a piece's side seam.
fn foot(piece: &Piece) -> Option<Point<Draft>> {
    let edge = side(piece)?;
    let ends = [edge.sewn.start(), edge.sewn.end()];
    Some(if ends[0].y > ends[1].y { ends[0] } else { ends[1] })
}

/// The side of a front, a back or a panel.
fn side(piece: &Piece) -> Option<&crate::finish::Edge> {
    let is_body = piece.edge("hem").is_some();
    SIDES.iter().filter(|_| is_body).find_map(|name| piece.edge(name))
}

fn armhole(front: &Piece) -> Option<&Notch> {
    front.notches.iter().find(|notch| notch.edge == "armhole")
}

fn crown(sleeve: &Piece) -> Option<&Notch> {
    sleeve.notches.iter().find(|notch| notch.meets == "notch of the front armhole")
}

/// Where the centre of a piece is: its fold, or where the draft begins to count outwards.
fn centre_mm(piece: &Piece) -> f64 {
    piece.edges.first().filter(|_| piece.on_fold).map_or(0.0, |fold| fold.sewn.start().x)
}

/// Where the datums lie in the print: on this place of the folded cloth, and whole repeats from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase(pub Point<ClothFrame>);

impl Phase {
    /// The steps in which a piece lies whose datum, turned so, must lie on the phase. Across they count only where the
    /// piece is free to move so.
    pub fn steps(self, cloth: &Cloth, matching: Matching, turned: Datum, is_free: bool) -> Option<Steps> {
        let [along_mm, across_mm] = cloth.repeat_mm?;
        let at = turned.turn.transform_point(turned.at);
        let across = matching.is_across() && is_free;
        let half_drop = across && matching == Matching::Both && cloth.half_drop;
        Some(Steps {
            from: self.0 - at.to_vector(),
            along_mm: matching.is_along().then_some(along_mm),
            // Two columns make a repeat across where every second one is dropped.
            across_mm: across.then_some(if half_drop { across_mm / 2.0 } else { across_mm }),
            half_drop,
        })
    }
}

/// A datum with how its piece is turned.
#[derive(Clone, Copy, Debug)]
pub struct Datum {
    /// The datum.
    pub at: Point<Draft>,
    /// How the piece is turned, without its place.
    pub turn: Map<Draft, ClothFrame>,
}
