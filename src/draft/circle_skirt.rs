//! The circle skirt: a ring, or a part of one, whose inner edge is the waist.
//!
//! ```text
//! radius = waist / (2 pi part)      sweep = 2 pi part (radius + length)
//! ```
//! Front and back are alike, each on the fold, with a seam at either side. Where no cloth is wide enough for that, it is
//! cut in four panels, each half of a front or back with its centre on the grain; or half a circle in one piece, its straight
//! edges along the selvedge and sewn together at the centre back. The waist and the sweep are the same.
//!
//! A skirt of a whole circle hangs down on its bias and drops there: hang it for two or three days, then level the hem (*The
//! New Dressmaker*, 1921, chapter 9).

use std::f64::consts::{FRAC_PI_2, TAU};

use super::block::rules::CENTRE_BACK;
use super::garments::{Drafted, Garment, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::skirt::{CENTRE_FRONT, HEM_ALLOWANCE, SIDE_ALLOWANCE, WAIST_ALLOWANCE};
use super::{NotchPlace, SewnEdge, SewnPiece, at, fault, fitting, skirt, trial};
use crate::geometry::{Curve, Draft as Frame, Point};
use crate::order::{Circle, Cut, Kind};
use crate::remark::Refusal;

/// A ring's hem is narrow and its sides hang; there is nothing to let out at a ring.
const OWN: &[&Rule] = &[&OWN_HEM, &OWN_SIDE];
const OWN_HEM: Rule = HEM_ALLOWANCE.at(0.5);
const OWN_SIDE: Rule = SIDE_ALLOWANCE.at(0.75);

const CENTRE_ALLOWANCE: Rule = Rule::inches(
    "centre_allowance",
    "turning at the centre seams of a skirt that is not cut on the fold",
    0.75,
    [0.0, 3.0],
);

/// The centre seams', where there are any.
const SEAMED: Group = Group { rules: &[&CENTRE_ALLOWANCE], applies: |style| style.cut != Cut::Fold };

/// The skirt.
pub const GARMENT: Garment = Garment {
    kind: Kind::CircleSkirt,
    rules: &[Group::always(OWN), SEAMED, skirt::RULES],
    fitting: fitting::OF_FREE_SKIRT,
    draft,
};

/// The piece that is all of the skirt, and its straight edges, the drawn one's first.
const WHOLE: &str = "skirt";
const STRAIGHT: [&str; 2] = ["right centre back", "left centre back"];

/// What is written for pieces of half the width.
const NARROWER: &str = "cut = \"panels\"";

/// A ring's radii.
#[derive(Clone, Copy)]
struct Ring {
    waist_mm: f64,
    hem_mm: f64,
}

/// How much of a circle it is, and the share in words.
fn share(circle: Circle) -> (f64, &'static str) {
    match circle {
        Circle::Full => (1.0, "1"),
        Circle::ThreeQuarter => (0.75, "3/4"),
        Circle::Half => (0.5, "1/2"),
        Circle::Quarter => (0.25, "1/4"),
    }
}

fn draft(sheet: &mut Sheet<'_>) -> Result<Drafted, Refusal> {
    let waist_mm = skirt::waist(sheet);
    let (part, words) = share(sheet.style().circle);
    if sheet.style().cut == Cut::OnePiece && sheet.style().circle != Circle::Half {
        let says = "only half a circle is cut in one piece, both its straight edges along the selvedge".to_owned();
        let remedy = "write cut = \"panels\", or circle = \"half\"";
        return Err(Refusal::because(fault("garment.cut", says, remedy)));
    }
    let angle_rad = TAU * part;
    let radius = format!("waist {} / (2 pi x {words})", sheet.show(waist_mm));
    let radius_mm = sheet.step("waist radius", radius, waist_mm / angle_rad);
    let length_mm = sheet.length_mm();
    let outer = format!("waist radius {} + length {}", sheet.show(radius_mm), sheet.show(length_mm));
    let outer_mm = sheet.step("hem radius", outer, radius_mm + length_mm);
    let sweep = format!("2 pi x {words} x hem radius {}", sheet.show(outer_mm));
    sheet.step("hem sweep", sweep, angle_rad * outer_mm);
    let mut drafted = cut_out(sheet, Ring { waist_mm: radius_mm, hem_mm: outer_mm }, angle_rad);
    let around = drafted.pieces.iter().map(|piece| Part::of(piece.name, "waist", halves(piece))).collect();
    skirt::add_waist(sheet, &mut drafted, around, [waist_mm, 0.0]);
    drafted.checks.extend(trial::deep_hem(&drafted.pieces, sheet.order.system));
    Ok(drafted)
}

/// How often the drawn part of a piece is there.
fn halves(piece: &SewnPiece) -> u32 {
    if piece.on_fold { 2 } else { piece.count }
}

/// The pieces of a ring of `angle_rad`, and the seams between them.
fn cut_out(sheet: &mut Sheet<'_>, ring: Ring, angle_rad: f64) -> Drafted {
    let open_mm = skirt::open_mm(sheet).min(ring.hem_mm - ring.waist_mm);
    let side = Seam::alike("side seams walk", "side", ["front", "back"]);
    let (pieces, seams) = match sheet.style().cut {
        Cut::Fold => {
            let pieces = ["front", "back"].map(|name| on_fold(sheet, name, ring, angle_rad / 4.0));
            (pieces.to_vec(), vec![side.open(open_mm)])
        }
        Cut::Panels => {
            let panels = [("front", CENTRE_FRONT, 0.0), ("back", CENTRE_BACK, open_mm)];
            let pieces = panels.map(|(name, centre, open_mm)| {
                let edges = sector(sheet, [centre, "side"], ring, angle_rad / 4.0);
                panel(SewnPiece::pair(name, edges), centre, open_mm)
            });
            let seam = |walks, piece, centre| Seam::alike_edges(walks, centre, piece, [centre; 2]);
            let front = seam("centre front seam walks", "front", CENTRE_FRONT);
            let back = seam("centre back seam walks", "back", CENTRE_BACK).open(open_mm);
            (pieces.to_vec(), vec![front, back, side])
        }
        Cut::OnePiece => {
            let edges = sector(sheet, STRAIGHT, ring, angle_rad);
            let seam = Seam::alike_edges("centre back seam walks", CENTRE_BACK, WHOLE, STRAIGHT).open(open_mm);
            (vec![whole(SewnPiece::single(WHOLE, edges), open_mm)], vec![seam])
        }
    };
    let reach_mm = pieces[0].outline().bounds().1.x;
    let mut drafted = Drafted::on_fold_of(match sheet.style().cut {
        Cut::Fold => {
            let words = "widest half piece with its turning".to_owned();
            sheet.step("fold width", words, reach_mm + sheet.rule(&SIDE_ALLOWANCE))
        }
        Cut::Panels | Cut::OnePiece => {
            let turnings_mm =
                sheet.rule(&CENTRE_ALLOWANCE) + sheet.rule(&HEM_ALLOWANCE).max(sheet.rule(&SIDE_ALLOWANCE));
            sheet.step("widest piece", "across its grain, with its turnings".into(), reach_mm + turnings_mm)
        }
    });
    drafted.add(pieces, seams, sheet);
    drafted
}

/// `angle_rad` of the ring, from a straight edge on the grain on, the waist at the start line: its edges, the straight ones by
/// these names.
fn sector(sheet: &Sheet<'_>, [first, last]: [&'static str; 2], ring: Ring, angle_rad: f64) -> Vec<SewnEdge> {
    let Ring { waist_mm, hem_mm } = ring;
    let centre = at(0.0, -waist_mm);
    let end_rad = FRAC_PI_2 - angle_rad;
    let on = |radius_mm: f64| -> Point<Frame> {
        centre + at(radius_mm * end_rad.cos(), radius_mm * end_rad.sin()).to_vector()
    };
    let turning_mm = |name: &str| match name {
        "fold" => 0.0,
        "side" => sheet.rule(&SIDE_ALLOWANCE),
        _ => sheet.rule(&CENTRE_ALLOWANCE),
    };
    vec![
        SewnEdge::new(first, Curve::line(at(0.0, 0.0), at(0.0, hem_mm - waist_mm)), turning_mm(first)),
        SewnEdge::new("hem", Curve::arc(centre, hem_mm, [FRAC_PI_2, end_rad]), sheet.rule(&HEM_ALLOWANCE)),
        SewnEdge::new(last, Curve::line(on(hem_mm), on(waist_mm)), turning_mm(last)),
        SewnEdge::new("waist", Curve::arc(centre, waist_mm, [end_rad, FRAC_PI_2]), sheet.rule(&WAIST_ALLOWANCE)),
    ]
}

/// A half of front or back, its centre on the fold.
fn on_fold(sheet: &Sheet<'_>, name: &'static str, ring: Ring, angle_rad: f64) -> SewnPiece {
    let piece = SewnPiece::on_fold(name, sector(sheet, ["fold", "side"], ring, angle_rad));
    let notches = vec![skirt::centre_nick(&piece)];
    SewnPiece { notches, narrower: Some(NARROWER), ..piece }
}

/// Nicks the seams of a panel half-way down, and where an opening ends.
fn panel(piece: SewnPiece, centre: &'static str, open_mm: f64) -> SewnPiece {
    let nick = |edge, along_mm, meets| NotchPlace { edge, along_mm, nicks: 1, meets };
    let half = |edge: &'static str| nick(edge, piece.length_mm(edge) / 2.0, "middle of the seam");
    let end = (open_mm > 0.0).then(|| nick(centre, open_mm, "end of the opening"));
    let notches = [half(centre), half("side")].into_iter().chain(end).collect();
    SewnPiece { notches, ..piece }
}

/// Nicks the one piece: at its waist for the band, on its straight edges half-way down and where the opening ends.
fn whole(piece: SewnPiece, open_mm: f64) -> SewnPiece {
    let nick = |edge, along_mm, meets| NotchPlace { edge, along_mm, nicks: 1, meets };
    let [waist_mm, seam_mm] = ["waist", STRAIGHT[0]].map(|edge| piece.length_mm(edge));
    let mut notches: Vec<NotchPlace> =
        skirt::ROUND_ONE.iter().map(|(meets, share)| nick("waist", share * waist_mm, *meets)).collect();
    notches.extend(STRAIGHT.map(|edge| nick(edge, seam_mm / 2.0, "middle of the seam")));
    if open_mm > 0.0 {
        // Down the first, and up the other.
        let ends = [(STRAIGHT[0], open_mm), (STRAIGHT[1], seam_mm - open_mm)];
        notches.extend(ends.map(|(edge, along_mm)| nick(edge, along_mm, "end of the opening")));
    }
    SewnPiece { notches, ..piece }
}
