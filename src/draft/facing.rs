//! Shaped facings: the same outline and grain as the edge that they are sewn to, and as wide as the house has them.
//!
//! Each takes its inner edge from the piece itself, so that the two are one line; the free edge is its parallel.

use super::block::rules::faced;
use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::{NotchPlace, SewnEdge, SewnPiece, at, fault};
use crate::geometry::outline::nearest_on_side;
use crate::geometry::{Curve, Draft as Frame, Point, Vector, parallel};
use crate::order::{Collar, Neckline, Sleeve};
use crate::remark::{Refusal, Remark};

const FACING_WIDTH: Rule = Rule::inches("facing_width", "width of a facing", 2.0, [0.5, 5.0])
    .after("Conover, A Complete Course in Dressmaking, vol. 3, 1922: 1 1/2 in; 2 to 2 1/2 today");
const FACING_BELOW: Rule = Rule::inches(
    "facing_below",
    "how far a facing of neck and armhole in one reaches below the armhole",
    2.5,
    [0.5, 8.0],
);

/// House rules of facings.
pub const RULES: Group = Group { rules: &[&FACING_WIDTH, &FACING_BELOW], applies: |style| faced(style) };

/// The free edge needs no turning: it is neatened as it is cut.
const FREE_MM: f64 = 0.0;

/// Farther than any facing reaches.
const FAR_MM: f64 = 1000.0;

/// Faces the neck where no collar is sewn to it, and the armholes where `sleeveless`.
///
/// # Errors
/// When a facing is wider than the shoulder seam is long.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted, sleeveless: bool) -> Result<(), Refusal> {
    let collar = sheet.style().collar != Collar::None;
    if collar && !sleeveless {
        return Ok(());
    }
    let [front, back] = halves(drafted);
    let shoulder_mm = front.length_mm("shoulder");
    let width_mm = width(sheet, shoulder_mm);
    if width_mm >= shoulder_mm {
        let (width, shoulder) = (sheet.show(width_mm), sheet.show(shoulder_mm));
        let says = format!("a facing {width} wide does not go on a shoulder seam of {shoulder}");
        let remedy = "make facing_width smaller, or face neck and armholes in one: edges = \"all-in-one\"";
        return Err(Refusal::because(fault("rules.facing_width", says, remedy)));
    }
    if !collar {
        // A square neck's facing is square as well; beside lobes a corner would only stand out.
        let round = sheet.style().neckline == Neckline::Sweetheart;
        let around = |name, piece: &SewnPiece| {
            neck_facing(name, piece, (width_mm, round)).ok_or_else(|| cannot(piece.name, "neck"))
        };
        let pieces = [around("front facing", &front)?, around("back facing", &back)?];
        let seams = vec![
            sewn_to("neck", "front facing walks", ["front", "front facing"]),
            sewn_to("neck", "back facing walks", ["back", "back facing"]),
            Seam::alike("facings' shoulders walk", "shoulder", ["front facing", "back facing"]),
        ];
        drafted.add(pieces, seams, sheet);
        drafted.face_slit(sheet);
    }
    if sleeveless {
        let around = |name, piece: &SewnPiece| {
            armhole_facing(name, piece, width_mm).ok_or_else(|| cannot(piece.name, "armhole"))
        };
        let pieces = [around("front armhole facing", &front)?, around("back armhole facing", &back)?];
        let names = ["front armhole facing", "back armhole facing"];
        let seams = vec![
            sewn_to("armhole", "front armhole facing walks", ["front", names[0]]),
            sewn_to("armhole", "back armhole facing walks", ["back", names[1]]),
            Seam::alike("armhole facings' shoulders walk", "shoulder", names),
            Seam::alike("armhole facings' sides walk", "side", names),
        ];
        drafted.add(pieces, seams, sheet);
    }
    Ok(())
}

/// How much of the shoulder seam a facing takes at most, where its width is not set.
const MOST_OF_SHOULDER: f64 = 0.75;

/// The width of a facing: the house's, or less beside a wide neck, whose shoulder is short.
fn width(sheet: &mut Sheet<'_>, shoulder_mm: f64) -> f64 {
    let most_mm = MOST_OF_SHOULDER * shoulder_mm;
    match sheet.given(&FACING_WIDTH) {
        None if sheet.rule(&FACING_WIDTH) > most_mm => {
            let words = format!("{MOST_OF_SHOULDER} of the shoulder seam {}, which is short", sheet.show(shoulder_mm));
            sheet.step("facing width", words, most_mm)
        }
        _ => sheet.set("facing width", "set", &FACING_WIDTH),
    }
}

/// Faces neck and armholes in one.
///
/// # Errors
/// When a sleeve is set into the armhole, or the facing would reach below the hem.
pub fn add_all_in_one(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    if sheet.style().sleeve != Sleeve::None {
        let says = "a sleeve is set into the armhole, so that it can't be faced together with the neck".to_owned();
        let remedy = "write edges = \"facing\" for the neck alone, or leave the sleeve out";
        return Err(Refusal::because(fault("garment.edges", says, remedy)));
    }
    let [front, back] = halves(drafted);
    let front = with_darts_closed(front, &back);
    let lowest = |name| [&front, &back].iter().filter_map(|p| Some(p.edge(name)?.curve.end().y)).fold(0.0, f64::max);
    let below_mm = sheet.rule(&FACING_BELOW);
    let underarm_mm = front.edge("side").map_or(0.0, |side| side.curve.end().y);
    let deepest_mm = underarm_mm.max(lowest("neck")).max(lowest("slit"));
    let words = format!("chest line or neck {} + {}", sheet.show(deepest_mm), sheet.show(below_mm));
    let level_mm = sheet.step("facing's edge", words, deepest_mm + below_mm);
    let around = |name, piece: &SewnPiece| all_in_one(name, piece, level_mm).ok_or_else(|| cannot(piece.name, "side"));
    let pieces = [around("front facing", &front)?, around("back facing", &back)?];
    let mut seams = Vec::new();
    for edge in ["neck", "armhole"] {
        let [front_walks, back_walks] = match edge {
            "neck" => ["front facing walks", "back facing walks"],
            _ => ["front facing walks at the armhole", "back facing walks at the armhole"],
        };
        seams.push(sewn_to(edge, front_walks, ["front", "front facing"]));
        seams.push(sewn_to(edge, back_walks, ["back", "back facing"]));
    }
    seams.push(Seam::alike("facings' shoulders walk", "shoulder", ["front facing", "back facing"]));
    seams.push(Seam::alike("facings' sides walk", "side", ["front facing", "back facing"]));
    drafted.add(pieces, seams, sheet);
    drafted.face_slit(sheet);
    Ok(())
}

/// Front and back, which come first in every garment of the block.
fn halves(drafted: &Drafted) -> [SewnPiece; 2] {
    [drafted.pieces[0].clone(), drafted.pieces[1].clone()]
}

/// The front as it lies with its darts closed: its side is then the back's.
fn with_darts_closed(mut front: SewnPiece, back: &SewnPiece) -> SewnPiece {
    if let (false, Some(side)) = (front.darts.is_empty(), back.edge("side")) {
        front.edges.iter_mut().filter(|edge| edge.name == "side").for_each(|edge| edge.clone_from(side));
        front.darts.clear();
    }
    front
}

impl Drafted {
    /// Sews the facing round the front's slit, where it has one.
    fn face_slit(&mut self, sheet: &Sheet<'_>) {
        if self.pieces[0].edge("slit").is_some() {
            self.add([], vec![sewn_to("slit", "slit's facing walks", ["front", "front facing"])], sheet);
        }
    }
}

fn sewn_to(edge: &'static str, walks: &'static str, [piece, facing]: [&'static str; 2]) -> Seam {
    let sides = [vec![Part::of(piece, edge, 1)], vec![Part::of(facing, edge, 1)]];
    Seam::new(edge, walks, sides)
}

fn cannot(piece: &str, edge: &str) -> Refusal {
    let remark = Remark::refusal(format!("the {edge} of the {piece} can't be faced so wide"));
    Refusal::because(remark.remedy("make facing_width or facing_below smaller"))
}

/// The facing of a half neck: a strip along it from the centre to the shoulder, its free edge rounded beside the neck's corners
/// where that is asked for.
fn neck_facing(name: &'static str, piece: &SewnPiece, (width_mm, round): (f64, bool)) -> Option<SewnPiece> {
    let [middle, shoulder, neck] = ["fold", "shoulder", "neck"].map(|edge| piece.edge(edge));
    let middle = middle.or_else(|| piece.edge("centre back"))?;
    let (shoulder, neck) = (shoulder?, neck?);
    let (top, foot) = (neck.curve.start(), neck.curve.end());
    let inward = shoulder.curve.end_direction();
    let across = Curve::line(top, top + inward * FAR_MM);
    let down = Curve::line(at(0.0, foot.y - FAR_MM), foot);
    let free = beside(&[(&neck.curve.reversed(), width_mm), (&across, 0.0), (&down, 0.0)]);
    let free = if round { rounded(&free, &neck.curve.corners(), width_mm) } else { free };
    let slit = piece.edge("slit");
    let free = match slit {
        Some(slit) => let_down(&free, [width_mm, slit.curve.end().y + width_mm])?,
        None => squared_off(&free, foot.y + DEEPEST * width_mm),
    };
    let [low, high] = ends(&free)?;
    let mut edges = vec![
        SewnEdge::new(middle.name, Curve::line(middle.curve.start(), low), middle.allowance_mm),
        SewnEdge::new("free edge", Curve::straight_through(&free), FREE_MM),
        SewnEdge::new("shoulder", Curve::line(high, top), shoulder.allowance_mm),
        neck.clone(),
    ];
    edges.extend(slit.cloned());
    let facing = cut_like(piece, name, edges);
    (low.y > foot.y && high.x > top.x).then_some(facing)
}

/// The facing of an armhole: a strip along it from the shoulder to the side.
fn armhole_facing(name: &'static str, piece: &SewnPiece, width_mm: f64) -> Option<SewnPiece> {
    let (side, armhole, shoulder) = (piece.edge("side")?, piece.edge("armhole")?, piece.edge("shoulder")?);
    let (underarm, tip) = (armhole.curve.start(), armhole.curve.end());
    let up = Curve::line(underarm, underarm + side.curve.end_direction() * FAR_MM);
    let back: Vector<Frame> = shoulder.curve.start_direction();
    let over = Curve::line(tip - back * FAR_MM, tip);
    let free = beside(&[(&armhole.curve.reversed(), width_mm), (&up, 0.0), (&over, 0.0)]);
    let [high, low] = ends(&free)?;
    let edges = vec![
        SewnEdge::new("side", Curve::line(low, underarm), side.allowance_mm),
        armhole.clone(),
        SewnEdge::new("shoulder", Curve::line(tip, high), shoulder.allowance_mm),
        SewnEdge::new("free edge", Curve::straight_through(&free), FREE_MM),
    ];
    Some(SewnPiece { notches: armhole_notches(piece), ..SewnPiece::pair(name, edges) })
}

/// The upper part of a piece, down to a level.
fn all_in_one(name: &'static str, piece: &SewnPiece, level_mm: f64) -> Option<SewnPiece> {
    let (middle, side) = (piece.edges.first()?, piece.edge("side")?);
    let up_to_mm = side.curve.length_mm();
    let from_mm = side.curve.length_to_level(level_mm)?;
    let upper = side.curve.part([from_mm, up_to_mm]);
    let top = middle.curve.start();
    let centre = at(0.0, level_mm);
    let mut edges = vec![
        SewnEdge::new(middle.name, Curve::line(top, centre), middle.allowance_mm),
        SewnEdge::new("free edge", Curve::line(centre, upper.start()), FREE_MM),
        SewnEdge::new("side", upper, side.allowance_mm),
    ];
    edges.extend(["armhole", "shoulder", "neck", "slit"].iter().filter_map(|name| piece.edge(name).cloned()));
    let facing = cut_like(piece, name, edges);
    Some(SewnPiece { notches: armhole_notches(piece), ..facing })
}

/// A facing on the fold where its piece is, else a left and a right one.
fn cut_like(piece: &SewnPiece, name: &'static str, edges: Vec<SewnEdge>) -> SewnPiece {
    if piece.on_fold { SewnPiece::on_fold(name, edges) } else { SewnPiece::pair(name, edges) }
}

/// The notches of a piece's armhole, which its facing has too.
fn armhole_notches(piece: &SewnPiece) -> Vec<NotchPlace> {
    piece.notches.iter().filter(|notch| notch.edge == "armhole").copied().collect()
}

/// The parallel of the first of these edges, from where it meets the last to where it meets the second.
fn beside(edges: &[(&Curve<Frame>, f64)]) -> Vec<Point<Frame>> {
    spaced(parallel::cutting_runs(edges).swap_remove(0))
}

/// A line without corners that lie so near one another that they have no direction of their own: a turning beside them would
/// run anywhere. Its ends stay.
fn spaced(line: Vec<Point<Frame>>) -> Vec<Point<Frame>> {
    const APART_MM: f64 = 0.5;
    let Some(end) = line.last().copied() else { return line };
    let mut kept: Vec<Point<Frame>> = Vec::with_capacity(line.len());
    for corner in line {
        let far = |from: &Point<Frame>| (corner - *from).length() > APART_MM;
        if kept.last().is_none_or(far) && (kept.is_empty() || far(&end)) {
            kept.push(corner);
        }
    }
    kept.push(end);
    kept
}

/// A corner of a parallel that is farther from the neck than so many widths stands out from it.
const STANDS_OUT: f64 = 1.1;

/// The parallel of a neck, up from the centre, with an arc about the neck's own corner wherever a corner of it stands out: as
/// wide there as everywhere else, and smooth across the centre too.
fn rounded(line: &[Point<Frame>], neck: &[Point<Frame>], width_mm: f64) -> Vec<Point<Frame>> {
    /// An arc's chord lies this much within it at most.
    const CHORD_MM: f64 = 0.02;
    let on_neck = |from: Point<Frame>| {
        let places = neck.windows(2).map(|side| nearest_on_side(from, (side[0], side[1])));
        let places = places.map(|place| ((place - from).length(), place));
        places.min_by(|a, b| a.0.total_cmp(&b.0)).filter(|(off_mm, _)| *off_mm > width_mm - CHORD_MM)
    };
    let mut round = Vec::with_capacity(line.len());
    for (i, tip) in line.iter().copied().enumerate() {
        let corner = on_neck(tip).filter(|(off_mm, _)| *off_mm > STANDS_OUT * width_mm).map(|(_, corner)| corner);
        match (corner, line.get(i + 1)) {
            (Some(corner), Some(behind)) => {
                let before = match i.checked_sub(1) {
                    Some(before) => square_to(corner, [line[before], tip]),
                    None => Vector::new(0.0, 1.0),
                };
                let arc = arc((corner, width_mm), [before, square_to(corner, [tip, *behind])]);
                // Beside a lobe that bends more sharply than the facing is wide the arc begins only where it leaves the lobe.
                round.extend(arc.into_iter().filter(|p| on_neck(*p).is_some()));
            }
            _ => round.push(tip),
        }
    }
    spaced(round)
}

/// The way from a point to the nearest of a straight line.
fn square_to(from: Point<Frame>, [a, b]: [Point<Frame>; 2]) -> Vector<Frame> {
    let along = (b - a).normalize();
    (a + along * (from - a).dot(along)) - from
}

/// The corners of an arc about a point, from the way to its beginning to the way to its end, the shorter way round.
fn arc((centre, radius_mm): (Point<Frame>, f64), [from, to]: [Vector<Frame>; 2]) -> Vec<Point<Frame>> {
    let from_rad = from.y.atan2(from.x);
    let turn_rad = from.cross(to).atan2(from.dot(to));
    Curve::arc(centre, radius_mm, [from_rad, from_rad + turn_rad]).corners()
}

/// How deep a facing is at the centre at most, in its widths: beside a pointed neck the parallel would run on far below it
/// (common practice, no source).
const DEEPEST: f64 = 1.5;

/// A line up from the centre without what lies below a level; it begins at the centre on that level then.
fn squared_off(line: &[Point<Frame>], level_mm: f64) -> Vec<Point<Frame>> {
    match line.windows(2).position(|side| side[0].y > level_mm && side[1].y <= level_mm) {
        None => line.to_vec(),
        Some(i) => {
            let (below, above) = (line[i], line[i + 1]);
            let met = above.lerp(below, (level_mm - above.y) / (below.y - above.y));
            [at(0.0, level_mm), met].into_iter().chain(line[i + 1..].iter().copied()).collect()
        }
    }
}

/// A line up from the centre, let down beside a slit: from the centre at a level across by a width, and up to the line.
fn let_down(line: &[Point<Frame>], [width_mm, level_mm]: [f64; 2]) -> Option<Vec<Point<Frame>>> {
    let i = line.windows(2).position(|side| side[0].x < width_mm && side[1].x >= width_mm)?;
    let (inside, outside) = (line[i], line[i + 1]);
    let met = inside.lerp(outside, (width_mm - inside.x) / (outside.x - inside.x));
    let foot = [at(0.0, level_mm), at(width_mm, level_mm), met];
    Some(foot.into_iter().chain(line[i + 1..].iter().copied().filter(|p| p.x > width_mm)).collect())
}

/// First and last point of a line.
fn ends(line: &[Point<Frame>]) -> Option<[Point<Frame>; 2]> {
    Some([*line.first()?, *line.last()?])
}
