//! What a line of the working made: the lines of the draft that light up when it is tapped.

use super::work::Drawn;
use crate::finish::{Edge, Piece};
use crate::geometry::{Draft as Frame, Point};

/// What a step made.
#[derive(Clone, Copy, Debug)]
enum Made {
    /// An edge of every piece that has it.
    Edges(&'static str),
    /// Two such edges.
    Both([&'static str; 2]),
    /// An edge of one piece.
    Edge(&'static str, &'static str),
    /// The point where an edge ends, and the edge.
    EndOf(&'static str),
    /// A level across the draft, or a mark on it.
    Level(&'static str),
    /// A straight line across two edges of a piece, from outer end to outer end.
    Across(&'static str, [&'static str; 2]),
    /// All edges of the pieces in whose name this word is.
    Pieces(&'static str),
    /// The width to fold the cloth at.
    FoldWidth,
    /// The length from the start line down.
    Length,
}

use Made::{Across, Both, Edge as EdgeOf, Edges, EndOf, FoldWidth, Length, Level, Pieces};

/// What steps made, by their names: the first of these that the garment has.
const MADE: [(&[&str], &[Made]); 40] = [
    (&["shoulder tip", "shoulder drop"], &[EndOf("armhole")]),
    (&["neck reference", "shoulder seam"], &[Edges("shoulder")]),
    (&["neck half width", "neck point"], &[EndOf("shoulder")]),
    (&["chest line", "quarter bust"], &[Level("chest")]),
    (&["quarter waist", "waist line", "side at the waist"], &[Level("waist"), Edges("waist")]),
    (&["waist radius", "waist of the skirt", "sewn waist", "waist at the side"], &[Edges("waist"), Pieces("casing")]),
    (&["waist of the skirt"], &[Pieces("band")]),
    (&["quarter hip", "half width at hip", "hip line"], &[Level("hip"), Edges("side")]),
    (&["fold width", "widest piece"], &[FoldWidth]),
    (&["hem half width", "hem at the side", "hem raise"], &[EndOf("hem")]),
    (&["hem radius", "hem sweep", "front length", "back length"], &[Edges("hem")]),
    (&["length with hem", "two lengths"], &[Length]),
    (&["front neck depth"], &[EdgeOf("front", "neck")]),
    (&["back neck depth", "back neck"], &[EdgeOf("back", "neck")]),
    (&["neckline"], &[Edges("neck")]),
    (&["front slit"], &[Edges("slit")]),
    (&["front armhole"], &[EdgeOf("front", "armhole")]),
    (&["back armhole", "back armhole's hollow"], &[EdgeOf("back", "armhole")]),
    (&["side seam", "let out"], &[Edges("side"), Level("side seam")]),
    (&["bust dart", "dart's middle", "dart's point", "bust point", "half bust span"], &[Level("dart")]),
    (&["collar's height", "collar's rise", "collar's top"], &[Pieces("collar")]),
    (&["sleeve width"], &[Across("sleeve", ["front crown", "back crown"])]),
    (&["crown's length", "crown's height"], &[Both(["front crown", "back crown"]), Pieces("sleeve")]),
    (&["sleeve length"], &[Both(["front underarm", "back underarm"]), Pieces("sleeve")]),
    (&["sleeve hem"], &[EdgeOf("sleeve", "hem")]),
    (&["ring's radius"], &[Edges("armhole edge"), Pieces("sleeve")]),
    (&["flutter length"], &[Pieces("sleeve")]),
    (&["facing's edge", "facing width"], &[Pieces("facing")]),
    (
        &["bias strip", "bias width", "bias ends", "bias square", "bias strip, unwashed", "bias square, unwashed"],
        &[Pieces("bias")],
    ),
    (&["opening for the arm"], &[Edges("arm"), Edges("edge")]),
    (&["spread"], &[Edges("edge"), FoldWidth]),
    (&["depth of a tier", "width of a panel", "widest panel"], &[Pieces("tier")]),
    (&["band's length", "band's width"], &[Pieces("band"), Pieces("casing")]),
    (&["patch pocket", "pocket opening", "top of the pocket", "depth of the pocket"], &[Pieces("pocket")]),
    (&["opening"], &[Edges("centre back")]),
    (&["head of the pocket", "pocket from the centre"], &[Level("pocket")]),
    (&["tie, unfolded"], &[Pieces("belt"), Pieces("tie")]),
    (&["tie"], &[Pieces("tie")]),
    (&["belt"], &[Pieces("belt")]),
    (&["first tier"], &[Pieces("first tier"), Pieces("upper tier"), Pieces("tier")]),
];

/// What lights up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lit {
    /// Lines.
    pub lines: Vec<Vec<Point<Frame>>>,
    /// Points.
    pub points: Vec<Point<Frame>>,
}

/// What a step of the working made; nothing lights up where it made no line.
pub fn made(drawn: &Drawn, step: &str) -> Lit {
    // What the fitting found changes what the step before it made.
    let step = step.strip_suffix(" fitted").unwrap_or(step);
    let known = MADE.iter().filter(|(names, _)| names.contains(&step)).flat_map(|(_, made)| *made);
    let found = known.map(|made| lit(drawn, *made)).find(|lit| !lit.lines.is_empty());
    // A tier is named like the step that finds its width.
    found.unwrap_or_else(|| Lit { lines: outlines(drawn, |piece| piece.name == step), points: Vec::new() })
}

fn lit(drawn: &Drawn, made: Made) -> Lit {
    let of = |wanted: &str| -> Vec<&Edge> { drawn.pieces.iter().filter_map(|piece| piece.edge(wanted)).collect() };
    let one = |name: &str, edge: &str| drawn.pieces.iter().find(|piece| piece.name == name)?.edge(edge);
    let mut points = Vec::new();
    let lines = match made {
        Edges(name) => of(name).into_iter().map(line).collect(),
        Both(names) => names.into_iter().flat_map(of).map(line).collect(),
        EdgeOf(piece, name) => one(piece, name).map(line).into_iter().collect(),
        EndOf(name) => {
            points.extend(of(name).into_iter().map(|edge| edge.sewn.end()));
            of(name).into_iter().map(line).collect()
        }
        Level(name) => {
            let chalked = drawn.pieces.iter().flat_map(|piece| piece.levels.iter().chain(&piece.marks));
            chalked.filter(|(level, _)| *level == name).map(|(_, ends)| ends.to_vec()).collect()
        }
        Across(piece, edges) => {
            let ends = edges.map(|edge| one(piece, edge).map(|edge| [edge.sewn.start(), edge.sewn.end()]));
            match ends {
                [Some(left), Some(right)] => vec![outermost(left, right)],
                _ => Vec::new(),
            }
        }
        Pieces(word) => outlines(drawn, |piece| piece.name.contains(word)),
        FoldWidth => vec![vec![Point::origin(), Point::new(drawn.draft.fold_width_mm, 0.0)]],
        Length => vec![vec![Point::origin(), Point::new(0.0, drawn.draft.length_mm)]],
    };
    Lit { lines, points }
}

fn line(edge: &Edge) -> Vec<Point<Frame>> {
    edge.sewn.corners()
}

fn outlines(drawn: &Drawn, is: impl Fn(&Piece) -> bool) -> Vec<Vec<Point<Frame>>> {
    drawn.pieces.iter().filter(|piece| is(piece)).flat_map(|piece| piece.edges.iter().map(line)).collect()
}

/// The two ends of two lines that lie farthest apart.
fn outermost(left: [Point<Frame>; 2], right: [Point<Frame>; 2]) -> Vec<Point<Frame>> {
    let pairs = left.into_iter().flat_map(|a| right.map(|b| [a, b]));
    pairs.max_by(|p, q| (p[1] - p[0]).length().total_cmp(&(q[1] - q[0]).length())).map_or_else(Vec::new, |p| p.to_vec())
}
