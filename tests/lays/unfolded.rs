//! A lay opened out again: every piece that comes of it where it lies on the open cloth, and what is wrong there, by
//! arithmetic of the tests' own.
//!
//! What two outlines share: each is the sum of the triangles from its first corner to its sides, those that run the other way
//! round taken off; so the area that both cover is the sum over all pairs of triangles, each pair cut along its sides
//! (Sutherland and Hodgman, *Reentrant polygon clipping*, Communications of the ACM 17, 1974).

use chalklight::finish::Piece;
use chalklight::geometry::{Draft, Point, Vector};
use chalklight::lay::{Fold, Lay, Placed};
use chalklight::order::{Flaw, Matching};

use super::planned::{SHORT, cloth, planned};

/// Along the selvedge from the cut end, and across from the near selvedge.
type At = [f64; 2];

/// From the folded to the open cloth, along and across: times the first, plus the second.
type Way = [(f64, f64); 2];

/// A piece, or the half of one, in one layer of the cloth.
struct Copy<'l> {
    placed: &'l Placed,
    layer: Way,
}

impl Copy<'_> {
    fn at(&self, p: Point<Draft>) -> At {
        let p = self.placed.cloth_from_draft.transform_point(p);
        let [(along, from), (across, beside)] = self.layer;
        [along * p.x + from, across * p.y + beside]
    }

    fn ring(&self) -> Vec<At> {
        self.placed.piece.cut.corners.iter().map(|p| self.at(*p)).collect()
    }

    fn is_left(&self) -> bool {
        self.placed.cloth_from_draft.determinant() * self.layer[0].0 * self.layer[1].0 > 0.0
    }
}

/// The layers over one another at a place across the folded cloth.
fn layers(lay: &Lay, y: f64) -> Vec<Way> {
    let (width, straight) = (lay.cloth.width_mm, (1.0, 0.0));
    let over = |line: f64| vec![(1.0, line), (-1.0, line)];
    let across = match lay.fold {
        Fold::Open | Fold::Across => vec![straight],
        Fold::AtHalf | Fold::InFour => over(width / 2.0),
        Fold::Partly { folded_mm } if y < folded_mm => over(folded_mm),
        Fold::Partly { folded_mm } => vec![(1.0, folded_mm)],
        Fold::BothIn { near_mm, .. } if y < near_mm => over(near_mm),
        Fold::BothIn { near_mm, far_mm } => {
            let wide = width - near_mm - far_mm;
            let back = (y > wide - far_mm).then_some((-1.0, near_mm + 2.0 * wide));
            [(1.0, near_mm)].into_iter().chain(back).collect()
        }
        Fold::LengthsOnTheirCentre => panic!("lengths are cut apart"),
    };
    let back = matches!(lay.fold, Fold::Across | Fold::InFour).then_some((-1.0, 2.0 * lay.length_mm));
    let along: Vec<(f64, f64)> = [straight].into_iter().chain(back).collect();
    across.iter().flat_map(|across| along.iter().map(|along| [*along, *across])).collect()
}

/// What is cut out, layer by layer.
fn copies(lay: &Lay) -> Vec<Copy<'_>> {
    let of = |placed| {
        let (low, high) = Placed::cut(placed).bounds();
        layers(lay, (low.y + high.y) / 2.0).into_iter().map(move |layer| Copy { placed, layer })
    };
    lay.placed.iter().flat_map(of).collect()
}

fn doubled(a: At, b: At, c: At) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn area(ring: &[At]) -> f64 {
    ring.windows(2).skip(1).map(|side| doubled(ring[0], side[0], side[1])).sum::<f64>() / 2.0
}

/// The triangles of an outline, all the same way round, and whether each is added or taken off.
fn triangles(ring: &[At]) -> Vec<(f64, [At; 3])> {
    let triangle = |side: &[At]| match doubled(ring[0], side[0], side[1]) {
        twice if twice > 0.0 => (1.0, [ring[0], side[0], side[1]]),
        _ => (-1.0, [ring[0], side[1], side[0]]),
    };
    ring.windows(2).skip(1).map(triangle).collect()
}

/// What is left of a triangle on the inner side of each side of another.
fn within(one: [At; 3], other: [At; 3]) -> Vec<At> {
    let mut left = one.to_vec();
    for i in 0..3 {
        let (a, b) = (other[i], other[(i + 1) % 3]);
        let mut kept = Vec::new();
        for (k, &p) in left.iter().enumerate() {
            let q = left[(k + 1) % left.len()];
            let (here, there) = (doubled(a, b, p), doubled(a, b, q));
            if here >= 0.0 {
                kept.push(p);
            }
            if (here >= 0.0) != (there >= 0.0) {
                let share = here / (here - there);
                kept.push([p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])]);
            }
        }
        left = kept;
    }
    left
}

fn shared(one: &[At], other: &[At]) -> f64 {
    let span = |ring: &[At], i: usize| {
        ring.iter().fold([f64::MAX, f64::MIN], |[low, high], p| [low.min(p[i]), high.max(p[i])])
    };
    if (0..2).any(|i| span(one, i)[1] <= span(other, i)[0] || span(other, i)[1] <= span(one, i)[0]) {
        return 0.0;
    }
    let (ones, others) = (triangles(one), triangles(other));
    let pairs = ones.iter().flat_map(|a| others.iter().map(move |b| (a, b)));
    pairs.map(|(a, b)| a.0 * b.0 * area(&within(a.1, b.1))).sum::<f64>().abs()
}

/// Everything that is wrong with what comes of a lay.
pub fn faults(lay: &Lay, pieces: &[Piece]) -> Vec<String> {
    let copies = copies(lay);
    let rings: Vec<Vec<At>> = copies.iter().map(Copy::ring).collect();
    let mut faults = Vec::new();
    let mut must = |holds: bool, says: String| faults.extend((!holds).then_some(says));
    for (i, piece) in pieces.iter().enumerate() {
        let own = |left: bool| copies.iter().filter(move |copy| copy.placed.of == i && copy.is_left() == left).count();
        let halves = lay.placed.iter().any(|placed| placed.of == i && placed.piece.on_fold);
        let (left, right) = (own(true), own(false));
        must(
            left + right >= piece.count as usize * if halves { 2 } else { 1 },
            format!("{} {left} {right}", piece.name),
        );
        let each = piece.count as usize / 2;
        must(!piece.paired || left.min(right) >= each, format!("{} {left} left, {right} right", piece.name));
    }
    let flaws: Vec<Vec<At>> = lay.cloth.flaws.iter().map(square).collect();
    for (i, (copy, ring)) in copies.iter().zip(&rings).enumerate() {
        let (name, piece) = (copy.placed.piece.name, &copy.placed.piece);
        for (other, over) in copies.iter().zip(&rings).skip(i + 1) {
            let area = shared(ring, over);
            must(area < 1e-3, format!("{name} over {} by {area} mm2", other.placed.piece.name));
        }
        let on = ring.iter().all(|[x, y]| {
            (-1e-6..lay.used_mm + 1e-6).contains(x)
                && (lay.cloth.border_mm - 1e-6..lay.cloth.width_mm + 1e-6).contains(y)
        });
        must(on, format!("{name} is not all on the cloth beside its border"));
        must(flaws.iter().all(|flaw| shared(ring, flaw) < 1e-3), format!("{name} has a flaw"));
        let [head, foot] = piece.grain.map(|p| copy.at(p));
        must((head[1] - foot[1]).abs() < 1e-6, format!("{name} is off the grain"));
        must(!lay.is_one_way() || head[0] < foot[0], format!("{name} stands on its head"));
        let layers = copies.iter().filter(|other| std::ptr::eq(other.placed, copy.placed));
        must(layers.clone().count() == copy.placed.layers as usize, format!("layers of {name}"));
        // The two halves hang together along the whole of the fold.
        let fold = [piece.edges[0].sewn.start(), piece.edges[0].sewn.end()];
        let joins = |other: &Copy<'_>| {
            let apart = |p: &Point<Draft>| (0..2).map(|k| (copy.at(*p)[k] - other.at(*p)[k]).abs()).fold(0.0, f64::max);
            copy.layer[1] != other.layer[1] && fold.iter().all(|p| apart(p) < 1e-6)
        };
        must(!piece.on_fold || layers.clone().any(joins), format!("{name} is in two at its centre"));
    }
    faults
}

/// A flaw is a square, as large as it is told.
fn square(flaw: &Flaw) -> Vec<At> {
    let half = flaw.size_mm / 2.0;
    [(-half, -half), (half, -half), (half, half), (-half, half)]
        .map(|(x, y)| [flaw.along_mm + x, flaw.across_mm + y])
        .to_vec()
}

/// How far a length is from a whole number of steps.
pub fn off(mm: f64, step: f64) -> f64 {
    (mm - step * (mm / step).round()).abs()
}

/// How far the print is out of step between front, back and sleeves, the first three pieces: side seams at the waist, centre
/// front and back, the sleeve's front notch.
pub fn worst_mm(lay: &Lay, pieces: &[Piece]) -> f64 {
    let copies = copies(lay);
    let of = |piece: usize| copies.iter().filter(move |copy| copy.placed.of == piece);
    let waist = |piece: usize| Point::new(0.0, pieces[piece].notches[0].sewn_at.y);
    let [along, across] = lay.cloth.repeat_mm.map(|mm| mm.expect("a repeat"));
    let column = if lay.cloth.half_drop { across / 2.0 } else { across };
    let apart = |a: At, b: At| {
        let [x, y] = [b[0] - a[0], b[1] - a[1]];
        let dropped = if lay.cloth.half_drop && (y / column).round() as i64 % 2 != 0 { along / 2.0 } else { 0.0 };
        match lay.meets.way {
            Matching::None => panic!("nothing is said to meet"),
            Matching::Along => off(x, along),
            Matching::Across => off(y, across),
            Matching::Both => off(x - dropped, along).max(off(y, column)),
        }
    };
    let mut worst: f64 = 0.0;
    for front in of(0) {
        for back in of(1) {
            worst = worst.max(apart(front.at(waist(0)), back.at(waist(1))));
        }
        for sleeve in of(2) {
            let (notch, armhole) = (pieces[2].notches[0].sewn_at, pieces[0].notches[1].sewn_at);
            let aside = |copy: &Copy<'_>, p: Point<Draft>| copy.at(p)[1] - copy.at(Point::new(0.0, p.y))[1];
            // Sewn together, the sleeve's front edge faces the front: it lies to that armhole on the other side of whose
            // centre it lies of its own.
            let facing = aside(sleeve, notch).signum() != aside(front, armhole).signum();
            let armhole = if facing { armhole } else { Point::new(-armhole.x, armhole.y) };
            worst = worst.max(apart(front.at(armhole), sleeve.at(notch)));
        }
    }
    worst
}

#[test]
fn what_two_outlines_share_is_known() {
    let ell = [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0], [1.0, 2.0], [0.0, 2.0]];
    let square = |x: f64, y: f64| [[x, y], [x, y + 1.0], [x + 1.0, y + 1.0], [x + 1.0, y]];
    for (at, is) in [((1.0, 1.0), 0.0), ((0.5, 0.5), 0.75), ((0.0, 0.0), 1.0), ((1.5, -0.25), 0.375), ((5.0, 5.0), 0.0)]
    {
        let found = shared(&ell, &square(at.0, at.1));
        assert!((found - is).abs() < 1e-12, "{at:?}: {found}");
    }
}

#[test]
fn a_fault_that_is_put_in_is_found_on_the_open_cloth() {
    let pieces = super::pieces::dress();
    let lay = planned(&pieces, &cloth(1120.0), &SHORT);
    assert_eq!(faults(&lay, &pieces), [""; 0]);
    let middle = |i: usize| {
        let (low, high) = lay.placed[i].cut().bounds();
        low.lerp(high, 0.5)
    };
    let says = |change: &dyn Fn(&mut Lay), says: &str| {
        let mut lay = lay.clone();
        change(&mut lay);
        let found = faults(&lay, &pieces);
        assert!(found.iter().any(|fault| fault.contains(says)), "{says}: {found:?}");
    };
    let moved = |by: Vector<_>| {
        move |lay: &mut Lay| lay.placed[0].cloth_from_draft = lay.placed[0].cloth_from_draft.then_translate(by)
    };
    says(&moved(middle(1) - middle(0)), " over ");
    says(&moved(Vector::new(-5000.0, 0.0)), "not all on the cloth");
    let aslant = euclid::Angle::radians(0.01);
    says(&|lay| lay.placed[0].cloth_from_draft = lay.placed[0].cloth_from_draft.pre_rotate(aslant), "off the grain");
    says(&|lay| lay.placed[0].layers += 1, "layers of");
    let hurt = |lay: &mut Lay| {
        let at = layers(lay, middle(0).y)[0];
        let across_mm = at[1].0 * middle(0).y + at[1].1;
        lay.cloth.flaws = vec![Flaw { along_mm: middle(0).x, across_mm, size_mm: 20.0 }];
    };
    says(&hurt, "has a flaw");
    let headlong = |lay: &mut Lay| {
        lay.cloth.print = chalklight::order::Print::OneWay;
        lay.placed[0].piece.grain.reverse();
    };
    says(&headlong, "on its head");
    says(&|lay| drop(lay.placed.remove(0)), &format!("{} 0 0", lay.placed[0].piece.name));
}
