//! Front and back of the block, over one another: their edges, levels and notches.

use super::bust::Darted;
use super::rules::{
    ARMHOLE_ALLOWANCE, ARMHOLE_HOLLOW, BACK_ARMHOLE_HOLLOW, CENTRE_BACK, CENTRE_BACK_ALLOWANCE, HEM_ALLOWANCE,
    NECK_ALLOWANCE, OPENING_LENGTH, SHOULDER_ALLOWANCE, SIDE_ALLOWANCE, SLIT_DEPTH, faced, neck_is_sewn, turning,
};
use super::{Levels, Points, Sheet, fitting, opens_behind};
use crate::draft::armhole::{self, Ends};
use crate::draft::halving::least;
use crate::draft::{DartPlace, NotchPlace, SewnEdge, SewnPiece, at, neck, side};
use crate::geometry::{Curve, Draft as Frame, Vector};
use crate::order::{Neckline, Sleeve};

/// What differs between front and back.
struct Half {
    name: &'static str,
    neck: Curve<Frame>,
    slit_mm: f64,
    hollow_mm: f64,
    /// Nicks at the middle of the armhole: one in front, two at the back, as sleeves are notched.
    nicks: u32,
    length_mm: f64,
    levels: Levels,
    /// Down from the underarm.
    side: Curve<Frame>,
    dart: Option<Darted>,
    opens: bool,
}

/// What a dart's legs and point are called.
const DART: &str = "dart";

/// Front and back.
pub fn pieces(points: &Points, sheet: &mut Sheet<'_>) -> (SewnPiece, SewnPiece) {
    let style = sheet.style();
    let shoulder: Vector<Frame> = (points.tip - points.neck).normalize();
    let slit_mm = match style.neckline {
        Neckline::Slit => {
            sheet.set("front slit", "set, down from the neck; as much longer is the neckline twice", &SLIT_DEPTH)
        }
        _ => 0.0,
    };
    let (front_levels, back_levels) = (points.bust.front(&points.levels), points.bust.back(&points.levels));
    let back_side = side::side(&back_levels);
    let dart = points.bust.dart.as_ref().and_then(|dart| dart.let_into(&back_side));
    let front = Half {
        name: "front",
        neck: neck::front(style.neckline, points.neck, shoulder, points.front_neck_depth_mm),
        slit_mm,
        hollow_mm: sheet.rule(&ARMHOLE_HOLLOW),
        nicks: 1,
        length_mm: points.length_mm + points.bust.front_drop_mm,
        levels: front_levels,
        side: dart.as_ref().map_or_else(|| back_side.clone(), |dart| dart.side.clone()),
        dart,
        opens: false,
    };
    let back_ends = ends(points, &back_levels, &back_side);
    let back = Half {
        name: "back",
        neck: neck::neckline(points.neck, shoulder, points.back_neck_depth_mm),
        slit_mm: 0.0,
        hollow_mm: back_hollow(sheet, &back_ends),
        nicks: 2,
        length_mm: fitting::hem_over_seat(sheet, points.length_mm - points.bust.back_lift_mm),
        levels: back_levels,
        side: back_side,
        dart: None,
        opens: opens_behind(sheet),
    };
    (piece(&front, points, sheet), piece(&back, points, sheet))
}

/// Where an armhole hangs whose side runs down so.
fn ends(Points { neck, tip, .. }: &Points, levels: &Levels, side: &Curve<Frame>) -> Ends {
    let shoulder = (*tip - *neck).normalize();
    Ends { tip: *tip, shoulder, underarm: levels.underarm, side: side.start_direction() }
}

/// The hollow of the back's armhole: the house's; or where that armhole would bend in, out and in again, as it would under the
/// narrow shoulder of a small bust, the least with which it is one curve, bent back at the shoulder at most, as the front's is.
fn back_hollow(sheet: &mut Sheet<'_>, ends: &Ends) -> f64 {
    let is_one_curve = |hollow_mm: f64| armhole::armhole(ends, hollow_mm).swings() <= 1;
    let (house_mm, front_mm) = (sheet.rule(&BACK_ARMHOLE_HOLLOW), sheet.rule(&ARMHOLE_HOLLOW));
    if sheet.given(&BACK_ARMHOLE_HOLLOW).is_some() || is_one_curve(house_mm) {
        return house_mm;
    }
    let one_mm = least([house_mm, front_mm.max(house_mm)], is_one_curve);
    sheet.step("back armhole's hollow", "the least with which it is one curve".into(), one_mm)
}

fn piece(half: &Half, points: &Points, sheet: &Sheet<'_>) -> SewnPiece {
    let (Points { neck, tip, .. }, Half { levels, side, .. }) = (points, half);
    let armhole = armhole::armhole(&ends(points, levels, side), half.hollow_mm);
    let mut notches = notches(levels, side, armhole.length_mm(), half.nicks);
    let centre = at(0.0, half.length_mm);
    let (top, slit_end) = (half.neck.end(), at(0.0, half.neck.end().y + half.slit_mm));
    let (middle, turning_mm) = match half.opens {
        true => (CENTRE_BACK, sheet.rule(&CENTRE_BACK_ALLOWANCE)),
        false => ("fold", 0.0),
    };
    let [neck_mm, armhole_mm] = turnings(sheet);
    let mut edges = vec![
        SewnEdge::new(middle, Curve::line(slit_end, centre), turning_mm),
        SewnEdge::new("hem", side::hem(centre, levels.hem, side.end_direction()), sheet.rule(&HEM_ALLOWANCE)),
        SewnEdge::new("side", side.reversed(), sheet.rule(&SIDE_ALLOWANCE)),
        SewnEdge::new("armhole", armhole, armhole_mm),
        SewnEdge::new("shoulder", Curve::line(*tip, *neck), sheet.rule(&SHOULDER_ALLOWANCE)),
        SewnEdge::new("neck", half.neck.clone(), neck_mm),
    ];
    if half.slit_mm > 0.0 {
        edges.push(SewnEdge::new("slit", Curve::line(top, slit_end), 0.0));
        notches.push(NotchPlace { edge: "slit", along_mm: half.slit_mm, nicks: 1, meets: "end of the slit" });
    }
    let piece = if half.opens {
        let along_mm = sheet.rule(&OPENING_LENGTH).min(centre.y - top.y);
        notches.push(NotchPlace { edge: middle, along_mm, nicks: 1, meets: "end of the opening" });
        SewnPiece::pair(half.name, edges)
    } else {
        SewnPiece::on_fold(half.name, edges)
    };
    let piece = SewnPiece { levels_mm: marked_levels(levels), notches, ..piece };
    half.dart.as_ref().map_or(piece.clone(), |dart| darted(piece, dart))
}

/// Marks a dart on its piece: legs, a nick at either, and its point.
fn darted(mut piece: SewnPiece, dart: &Darted) -> SewnPiece {
    let upwards = dart.mouth_mm.map(|down_mm| dart.side.length_mm() - down_mm);
    let nick = |along_mm| NotchPlace { edge: "side", along_mm, nicks: 1, meets: DART };
    piece.notches.extend(upwards.map(nick));
    piece.marks.extend(dart.legs.map(|leg| (DART, leg)));
    let [_, point] = dart.legs[0];
    piece.darts.push(DartPlace { edge: "side", mouth_mm: [upwards[1], upwards[0]], point });
    piece
}

/// The turnings at neck and armhole: those of the house where they are bound, and of a seam where one is sewn.
fn turnings(sheet: &Sheet<'_>) -> [f64; 2] {
    let style = sheet.style();
    let faced = faced(style);
    let armhole_sewn = faced || style.sleeve != Sleeve::None;
    [turning(sheet, &NECK_ALLOWANCE, neck_is_sewn(style)), turning(sheet, &ARMHOLE_ALLOWANCE, armhole_sewn)]
}

/// The levels marked across a piece: those that the side passes.
fn marked_levels(levels: &Levels) -> Vec<(&'static str, f64)> {
    let all = [("chest", levels.underarm.y), ("waist", levels.waist.y), ("hip", levels.hip.y)];
    all.into_iter().filter(|(_, y)| *y < levels.hem.y).collect()
}

/// Notches where the seams must meet: waist and hip on the side, the middle of the armhole.
fn notches(levels: &Levels, side: &Curve<Frame>, armhole_mm: f64, nicks: u32) -> Vec<NotchPlace> {
    let upwards_mm = |y_mm| side.length_to_level(y_mm).map(|down_mm| side.length_mm() - down_mm);
    let on_side = [("waist", levels.waist.y), ("hip", levels.hip.y)]
        .into_iter()
        .filter_map(|(meets, y_mm)| Some(NotchPlace { edge: "side", along_mm: upwards_mm(y_mm)?, nicks: 1, meets }));
    on_side
        .chain([NotchPlace { edge: "armhole", along_mm: armhole_mm / 2.0, nicks, meets: "middle of the armhole" }])
        .collect()
}

/// Writes down the lengths that she will walk with the tape.
pub fn measure(front: &SewnPiece, back: &SewnPiece, sheet: &mut Sheet<'_>) {
    let neck = 2.0 * (front.length_mm("neck") + back.length_mm("neck"));
    sheet.step("neckline", "measured round front and back".into(), neck);
    sheet.step("front armhole", "measured along the curve".into(), front.length_mm("armhole"));
    sheet.step("back armhole", "measured along the curve".into(), back.length_mm("armhole"));
    sheet.step("shoulder seam", "measured".into(), front.length_mm("shoulder"));
    sheet.step("side seam", "measured along the curve".into(), front.length_mm("side"));
    let sweep = 2.0 * (front.length_mm("hem") + back.length_mm("hem"));
    sheet.step("hem sweep", "measured all round".into(), sweep);
}
