//! Matching: which points of the pieces must meet on the print, and where pieces may then lie.
//!
//! Side seams meet at the waist (or where both are notched alike, or end), centre front and back lie on the same place of
//! the print across, and a sleeve meets the front's armhole at its notch (textileschool.com; J. Pray's newsletter: at the
//! sewing line; centre front and back, side seams, sleeve front notch). Pieces that are tied so lie one way up. Of every
//! tied piece one point, its datum, then lies on the same place of the print, whole repeats from that of any other.
//! Of a ring of panels, as a tier is, each meets the next at the foot of their seam, and all lie alike on the print across.
//! A patch pocket lies on the place of the print that its ground has where it is sewn on.

use super::domain::Bonds;
use crate::finish::{Notch, Piece};
use crate::geometry::{Draft, Point};
use crate::order::{Cloth, Matching, Print};

/// The notches on both sides of a side seam at which it is matched, the first that both have.
const ON_SIDE: [&str; 2] = ["waist", "hip"];

/// Edges that a side seam is sewn along, where there is no such notch; they meet at the end that is farther down.
const SIDES: [&str; 2] = ["side", "edge"];

/// The edges of a panel that is sewn to others of its kind all round.
const RING: [&str; 2] = ["left", "right"];

/// A pocket, and the line on its ground along which its head is sewn.
const POCKET: &str = "pocket";

/// What is tied to what.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ties {
    /// Of each piece the point that lies on the same place of the print as those of the others; none of a piece that
    /// meets nothing.
    pub datums: Vec<Option<Point<Draft>>>,
    /// Which garment each piece belongs to.
    pub garments: Vec<usize>,
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
    /// Whether the second piece is sewn on the first, one on either side of its centre.
    pub sewn_on: bool,
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
        for (garment, pieces) in garments.iter().enumerate() {
            ties.garments.resize(ties.garments.len() + pieces.len(), garment);
            ties.add(pieces);
        }
        ties
    }

    fn add(&mut self, pieces: &[Piece]) {
        let first = self.datums.len();
        self.datums.resize(first + pieces.len(), None);
        self.add_rings(first, pieces);
        let bodies = bodies(pieces);
        let Some((&front, others)) = bodies.split_first() else { return };
        // A panel that is cut several times meets itself.
        let others = if others.is_empty() && pieces[front].count > 1 { &bodies[..] } else { others };
        let end = |i: usize, at: Point<Draft>| End {
            piece: first + i,
            at,
            centre_mm: centre_mm(&pieces[i]),
            both_sides: pieces[i].on_fold,
        };
        let meeting = |what, ends, [along, across]: [bool; 2]| Meeting { what, ends, along, across, sewn_on: false };
        for &other in others {
            let Some(points) = met_on_side(&pieces[front], &pieces[other]) else { continue };
            let ends = [end(front, points[0]), end(other, points[1])];
            self.meetings.push(meeting("side seam", ends, [true, false]));
            let ends = ends.map(|end| End { at: Point::new(end.centre_mm, end.at.y), ..end });
            self.meetings.push(meeting("centre line", ends, [false, true]));
            for end in ends {
                self.datums[end.piece].get_or_insert(end.at);
            }
        }
        let Some(datum) = self.datums[first + front] else { return };
        for (i, piece) in pieces.iter().enumerate() {
            if let Some([on_front, on_sleeve]) =
                armhole(&pieces[front]).zip(crown(piece)).map(|(a, b)| [a, b].map(|n| n.sewn_at))
            {
                let ends = [end(front, on_front), end(i, on_sleeve)];
                self.meetings.push(meeting("armhole notch", ends, [true; 2]));
                // Sewn together, the sleeve's front edge lies on the side of the front's armhole that faces it.
                let out_mm = (on_front.x - ends[0].centre_mm).abs();
                let across_mm = on_sleeve.x + (on_sleeve.x - ends[1].centre_mm).signum() * out_mm;
                self.datums[first + i] = Some(Point::new(across_mm, on_sleeve.y - (on_front.y - datum.y)));
            }
            if let Some([ground, patch]) = sewn_on(&pieces[front], piece) {
                let ends = [end(front, ground), End { both_sides: false, ..end(i, patch) }];
                self.meetings.push(Meeting { sewn_on: true, ..meeting("pocket", ends, [true; 2]) });
                self.datums[first + i] = Some(patch - (ground - datum));
            }
        }
    }

    /// Panels that are sewn to one another all round.
    fn add_rings(&mut self, first: usize, pieces: &[Piece]) {
        for (i, piece) in pieces.iter().enumerate().filter(|(_, piece)| piece.count > 1 && !piece.on_fold) {
            let Some([left, right]) = feet(piece) else { continue };
            let centre_mm = left.lerp(right, 0.5).x;
            let end = |at| End { piece: first + i, at, centre_mm, both_sides: false };
            let middle = end(Point::new(centre_mm, left.y));
            let meeting = |what, ends, along: bool| Meeting { what, ends, along, across: !along, sewn_on: false };
            self.meetings.push(meeting("side seam", [end(left), end(right)], true));
            self.meetings.push(meeting("centre line", [middle; 2], false));
            self.datums[first + i] = Some(middle.at);
        }
    }

    /// Whether a piece is tied to another.
    pub fn holds(&self, piece: usize) -> bool {
        self.datums.get(piece).is_some_and(Option::is_some)
    }

    /// Whether its datum lies beside its centre, so that it is laid once for either side, and its centre on no fold.
    pub fn is_aside(&self, piece: usize) -> bool {
        let sewn_on = |meeting: &Meeting| meeting.sewn_on && meeting.ends[1].piece == piece;
        self.meetings.iter().any(sewn_on)
    }

    /// How a print that meets that way binds a piece on this cloth.
    pub fn bonds(&self, piece: usize, cloth: &Cloth, way: Matching) -> Bonds {
        Bonds {
            one_way: cloth.print == Print::OneWay || (way != Matching::None && self.holds(piece)),
            aside: way.is_across() && self.is_aside(piece),
        }
    }

    /// The points that meet where the print meets that way.
    pub fn met(&self, way: Matching) -> Vec<Meeting> {
        if way == Matching::None { Vec::new() } else { self.meetings.clone() }
    }

    /// Whether nothing is.
    pub fn is_empty(&self) -> bool {
        self.meetings.is_empty()
    }
}

/// The pieces that have a side and a hem: front, back, panels.
pub fn bodies(pieces: &[Piece]) -> Vec<usize> {
    (0..pieces.len()).filter(|i| side(&pieces[*i]).is_some()).collect()
}

/// The middle of a patch pocket's head on its ground, and on itself.
fn sewn_on(ground: &Piece, patch: &Piece) -> Option<[Point<Draft>; 2]> {
    let (_, head) = ground.marks.iter().find(|(name, _)| *name == POCKET)?;
    let is_patch = patch.name == POCKET && patch.on_fold && patch.count == 2;
    let own = patch.edge("head").filter(|_| is_patch)?;
    Some([head[0].lerp(head[1], 0.5), Point::new(centre_mm(patch), own.sewn.start().y)])
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
    side(piece).map(lower_end)
}

/// The lower ends of the seams at both sides of a panel of a ring.
fn feet(piece: &Piece) -> Option<[Point<Draft>; 2]> {
    let [left, right] = RING.map(|name| piece.edge(name).map(lower_end));
    Some([left?, right?])
}

fn lower_end(edge: &crate::finish::Edge) -> Point<Draft> {
    let ends = [edge.sewn.start(), edge.sewn.end()];
    if ends[0].y > ends[1].y { ends[0] } else { ends[1] }
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
pub fn centre_mm(piece: &Piece) -> f64 {
    piece.edges.first().filter(|_| piece.on_fold).map_or(0.0, |fold| fold.sewn.start().x)
}
