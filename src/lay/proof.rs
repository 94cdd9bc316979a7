//! A lay checked by other means than it was made with: exact areas, and plain comparison of coordinates.

use super::landing::Landing;
use super::matching::{End, Meeting};
use super::{Lay, Placed};
use crate::geometry::{Cloth, Outline, Point, Vector};
use crate::order::Matching;

/// Areas are joined on a grid of a tenth of a micron; what rounding leaves of two outlines that only touch is below this.
const TOUCHING_MM2: f64 = 1e-3;

/// Coordinates of metres have their rounding noise far below this.
const NOISE_MM: f64 = 1e-6;

/// Points that are to meet lie this close on the print.
pub const IN_STEP_MM: f64 = 0.5;

/// A fault of a lay.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Two pieces, by their places in the lay, and the area that both cover.
    Overlap(usize, usize, f64),
    /// A piece that is not all on the cloth.
    Outside(usize),
    /// A piece across the edge of a fold's strip, or with its centre off the fold.
    OffFold(usize),
    /// A piece whose grain does not lie along the selvedge, or that stands on its head on one-way cloth.
    OffGrain(usize),
    /// A piece on a flaw.
    OnFlaw(usize),
    /// Points that the lay claims to meet on the print, by their place in its list, and how far they are out of step.
    OutOfStep(usize, f64),
    /// A place that must lie on a motif, by its place in the lay's list, and how far it is off the nearest.
    OffMotif(usize, f64),
}

/// Everything that is wrong with a lay of one length.
pub fn faults(lay: &Lay) -> Vec<Fault> {
    let cuts: Vec<Outline<Cloth>> = lay.placed.iter().map(Placed::cut).collect();
    let flaws = lay.flaws();
    let mut faults = Vec::new();
    for (i, placed) in lay.placed.iter().enumerate() {
        for (j, other) in cuts.iter().enumerate().skip(i + 1) {
            let shared_mm2 = cuts[i].shared_mm2(other);
            if shared_mm2 > TOUCHING_MM2 {
                faults.push(Fault::Overlap(i, j, shared_mm2));
            }
        }
        let (low, high) = cuts[i].bounds();
        if low.x < -NOISE_MM || high.x > lay.length_mm + NOISE_MM {
            faults.push(Fault::Outside(i));
        }
        if !in_a_zone(lay, placed, [low.y, high.y]) {
            faults.push(Fault::OffFold(i));
        }
        let grain = placed.cloth_from_draft.transform_vector(placed.piece.grain[1] - placed.piece.grain[0]);
        let headlong = grain.x < 0.0;
        if grain.y.abs() > NOISE_MM * grain.length() || headlong != placed.turned || (headlong && lay.is_one_way()) {
            faults.push(Fault::OffGrain(i));
        }
        if flaws.iter().any(|flaw| flaw.shared_mm2(&cuts[i]) > TOUCHING_MM2) {
            faults.push(Fault::OnFlaw(i));
        }
    }
    let off = |(i, meeting): (usize, &Meeting)| Some((i, off_mm(lay, meeting)?));
    let off = lay.meets.meetings.iter().enumerate().filter_map(off).filter(|(_, off_mm)| *off_mm > IN_STEP_MM);
    faults.extend(off.map(|(i, off_mm)| Fault::OutOfStep(i, off_mm)));
    let off = |(i, landing): (usize, &Landing)| (i, off_motif_mm(lay, landing));
    let off = lay.meets.landings.iter().enumerate().map(off).filter(|(_, off_mm)| *off_mm > IN_STEP_MM);
    faults.extend(off.map(|(i, off_mm)| Fault::OffMotif(i, off_mm)));
    faults
}

/// How far the copies of a place that must lie on a motif are off it at most.
fn off_motif_mm(lay: &Lay, landing: &Landing) -> f64 {
    let end = End { piece: landing.piece, at: landing.at, centre_mm: landing.at.x, both_sides: false };
    spots(lay, &end).iter().map(|spot| landing.off_mm(spot.at, &lay.cloth)).fold(0.0, f64::max)
}

/// How far the points of a meeting are out of step at most; none where the lay does not claim that they meet.
fn off_mm(lay: &Lay, meeting: &Meeting) -> Option<f64> {
    let [ones, others] = Some(meeting).filter(|meeting| lay.meets.claims(meeting))?.ends.map(|end| spots(lay, &end));
    if meeting.sewn_on {
        return Some(off_ground_mm(lay, &ones, &others));
    }
    let mut most_mm: f64 = 0.0;
    for (i, one) in ones.iter().enumerate() {
        for (j, other) in others.iter().enumerate() {
            let itself = meeting.ends[0].piece == meeting.ends[1].piece && i == j;
            // Sewn together, the right of one lies at the left of the other.
            let facing = lay.meets.way == Matching::Along || one.side == -other.side;
            if facing && !itself {
                most_mm = most_mm.max(out_of_step_mm(other.at - one.at, lay));
            }
        }
    }
    Some(most_mm)
}

/// How far patches are out of step with their ground: each with the place that is nearest to it on the print, and each side
/// of the ground with the patch that is.
fn off_ground_mm(lay: &Lay, ground: &[Spot], patches: &[Spot]) -> f64 {
    let nearest = |one: &Spot, of: &mut dyn Iterator<Item = &Spot>| {
        of.map(|other| out_of_step_mm(other.at - one.at, lay)).fold(f64::INFINITY, f64::min)
    };
    let of_patches = patches.iter().map(|patch| nearest(patch, &mut ground.iter()));
    let of_ground = ground.iter().map(|side| nearest(side, &mut patches.iter()));
    of_patches.chain(of_ground).fold(0.0, f64::max)
}

/// A point of one copy of a piece on the open cloth, and on which side of its centre it lies there.
struct Spot {
    at: Point<Cloth>,
    side: i8,
}

fn spots(lay: &Lay, end: &End) -> Vec<Spot> {
    let first_mm = lay.fold.lines_mm(lay.cloth.width_mm).first().copied().unwrap_or(0.0);
    let mirrored = Point::new(2.0 * end.centre_mm - end.at.x, end.at.y);
    let points = if end.both_sides { vec![end.at, mirrored] } else { vec![end.at] };
    let mut spots = Vec::new();
    for (i, placed) in lay.placed.iter().enumerate().filter(|(_, placed)| placed.of == end.piece) {
        let length_mm = if lay.lengths > 1 { lay.length_mm * i as f64 } else { 0.0 };
        let centre_mm = placed.cloth_from_draft.transform_point(Point::new(end.centre_mm, end.at.y)).y;
        let middle_mm = {
            let (low, high) = placed.cut().bounds();
            (low.y + high.y) / 2.0
        };
        let zones = lay.fold.zones_beside(&lay.cloth);
        let zone = zones.iter().find(|zone| (zone.across_mm[0]..=zone.across_mm[1]).contains(&middle_mm));
        // A whole piece on double cloth comes twice: the upper layer is the lower one turned over its fold.
        let over_mm = zone.and_then(super::Zone::fold_mm).filter(|_| placed.layers == 2 && !placed.piece.on_fold);
        for point in &points {
            let at = placed.cloth_from_draft.transform_point(*point);
            let mut spot = |y_mm: f64, centre_mm: f64| {
                let side = if (y_mm - centre_mm).abs() < NOISE_MM { 0 } else { (y_mm - centre_mm).signum() as i8 };
                spots.push(Spot { at: Point::new(length_mm + at.x, first_mm + y_mm), side });
            };
            spot(at.y, centre_mm);
            if let Some(fold_mm) = over_mm {
                spot(2.0 * fold_mm - at.y, 2.0 * fold_mm - centre_mm);
            }
        }
    }
    spots
}

/// How far two points are from lying on the same place of the print, as far as it must meet.
fn out_of_step_mm(apart: Vector<Cloth>, lay: &Lay) -> f64 {
    let over = |mm: f64, repeat_mm: f64| (mm - repeat_mm * (mm / repeat_mm).round()).abs();
    // A way in which the print runs through is none in which it meets.
    let [along_mm, across_mm] = lay.cloth.repeat_mm.map(|mm| mm.unwrap_or(f64::MAX));
    // Two columns make a repeat across where every second one is dropped.
    let column_mm = if lay.cloth.half_drop { across_mm / 2.0 } else { across_mm };
    let columns = (apart.y / column_mm).round();
    let dropped_mm = if lay.cloth.half_drop && columns % 2.0 != 0.0 { along_mm / 2.0 } else { 0.0 };
    match lay.meets.way {
        Matching::None => 0.0,
        Matching::Along => over(apart.x, along_mm),
        Matching::Across => over(apart.y, across_mm),
        Matching::Both => over(apart.x - dropped_mm, along_mm).max(over(apart.y, column_mm)),
    }
}

/// Whether a piece lies within one strip of as many layers as it is cut through, its centre on the strip's fold where it
/// is drawn by half.
fn in_a_zone(lay: &Lay, placed: &Placed, [low_mm, high_mm]: [f64; 2]) -> bool {
    let on = |place_mm: f64, y_mm: f64| (place_mm - y_mm).abs() <= NOISE_MM;
    lay.fold.zones_beside(&lay.cloth).iter().any(|zone| {
        let within = low_mm >= zone.across_mm[0] - NOISE_MM && high_mm <= zone.across_mm[1] + NOISE_MM;
        let centre = || {
            let fold = placed.piece.edges.first().zip(zone.fold_mm());
            fold.is_some_and(|(edge, fold_mm)| {
                let ends = [edge.sewn.start(), edge.sewn.end()];
                ends.iter().all(|end| on(placed.cloth_from_draft.transform_point(*end).y, fold_mm))
            })
        };
        within && zone.layers == placed.layers && (!placed.piece.on_fold || centre())
    })
}
