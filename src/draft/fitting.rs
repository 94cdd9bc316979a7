//! What the fitting found: each adjustment by its measured amount, written into the working where it acts.
//!
//! How each acts is common practice (no source).

use super::block::rules::SIDE_ALLOWANCE;
use super::halving::least;
use super::rules::Rule;
use super::sheet::Sheet;
use super::{fault, neck};
use crate::geometry::{Draft as Frame, Point, Vector};
use crate::remark::Remark;

const SLOPING_SHOULDER: Rule =
    Rule::inches("sloping_shoulder", "how far the shoulder tip lies lower than drafted", 0.0, [0.0, 3.0]);
const SQUARE_SHOULDER: Rule =
    Rule::inches("square_shoulder", "how far the shoulder tip lies higher than drafted", 0.0, [0.0, 3.0]);
const ROUND_BACK: Rule =
    Rule::inches("round_back", "length wanting over a round back, at the centre back neck", 0.0, [0.0, 2.0]);
const SWAY_BACK: Rule =
    Rule::inches("sway_back", "length that lies in a fold across a hollow back, at the centre", 0.0, [0.0, 2.0]);
const FULL_BUST: Rule =
    Rule::inches("full_bust", "length wanting over a full bust, at the centre front", 0.0, [0.0, 3.0]);
const SMALL_BUST: Rule =
    Rule::inches("small_bust", "length to spare over a small bust, at the centre front", 0.0, [0.0, 3.0]);
const LET_OUT: Rule =
    Rule::inches("let_out", "what is let out at the side seams, in all; below nought it is taken in", 0.0, [-8.0, 8.0]);
const HIGH_HIP: Rule = Rule::inches("high_hip", "how far the hip lies higher than drafted", 0.0, [0.0, 5.0]);
const LOW_HIP: Rule = Rule::inches("low_hip", "how far the hip lies lower than drafted", 0.0, [0.0, 5.0]);
const HEM_OVER_SEAT: Rule =
    Rule::inches("hem_over_seat", "how far the hem rises behind, over a full seat", 0.0, [0.0, 4.0]);

/// What the fitting may adjust of a garment of the block.
pub const OF_BLOCK: &[&Rule] = &[
    &SLOPING_SHOULDER,
    &SQUARE_SHOULDER,
    &FULL_BUST,
    &SMALL_BUST,
    &ROUND_BACK,
    &SWAY_BACK,
    &LET_OUT,
    &HIGH_HIP,
    &LOW_HIP,
    &HEM_OVER_SEAT,
];

/// Of a gown, which hangs free below its neck.
pub const OF_GOWN: &[&Rule] = &[&ROUND_BACK, &SWAY_BACK, &LET_OUT];

/// Of a skirt that follows the hip.
pub const OF_SKIRT: &[&Rule] = &[&SWAY_BACK, &LET_OUT, &HIGH_HIP, &LOW_HIP, &HEM_OVER_SEAT];

/// Of a skirt that hangs free below its waist.
pub const OF_FREE_SKIRT: &[&Rule] = &[&LET_OUT];

/// What changes the front's length over the bust.
const BUST: &[(&Rule, f64)] = &[(&FULL_BUST, 1.0), (&SMALL_BUST, -1.0)];

/// What moves the shoulder tip.
const SHOULDER: &[(&Rule, f64)] = &[(&SLOPING_SHOULDER, 1.0), (&SQUARE_SHOULDER, -1.0)];

/// A value changed by what the fitting found, each amount with its sign; unchanged and unwritten where it found nothing.
fn adjusted(s: &mut Sheet<'_>, name: &'static str, what: &str, value: f64, by: &[(&Rule, f64)]) -> f64 {
    let mut adjusted = value;
    for &(rule, sign) in by {
        let Some(amount) = s.fitted(rule) else { continue };
        let (of, way) = (s.show(adjusted), if sign > 0.0 { '+' } else { '-' });
        let words = format!("{what} {of} {way} {} {}", rule.key.replace('_', " "), s.show(amount));
        adjusted = s.step(name, words, adjusted + sign * amount);
    }
    adjusted
}

/// The drop of the shoulder, more for a sloping one.
pub fn shoulder_drop(s: &mut Sheet<'_>, drop: f64) -> f64 {
    adjusted(s, "shoulder drop fitted", "shoulder drop", drop, SHOULDER)
}

/// The chest line, which goes with the shoulder so that the armhole keeps its length.
pub fn chest_line(s: &mut Sheet<'_>, chest_y: f64) -> f64 {
    adjusted(s, "chest line fitted", "chest line", chest_y, SHOULDER)
}

/// The back neck's depth: less of it is more length over a round back; the fold over a hollow one is smoothed up, and what
/// then stands above the neck is cut away.
pub fn back_neck(s: &mut Sheet<'_>, depth: f64) -> f64 {
    adjusted(s, "back neck fitted", "back neck depth", depth, &[(&ROUND_BACK, -1.0), (&SWAY_BACK, 1.0)])
}

/// The bust dart, which takes up what a full bust wants in length.
pub fn bust_dart(s: &mut Sheet<'_>, width: f64) -> f64 {
    adjusted(s, "bust dart fitted", "bust dart", width, BUST)
}

/// By how much the front is longer at its centre where no dart takes it up: the hem is level again, and the sides stay.
pub fn front_length(s: &mut Sheet<'_>) -> f64 {
    let length = s.length_mm();
    adjusted(s, "front length fitted", "no dart takes it up, so the hem's middle goes with it: length", length, BUST)
        - length
}

/// The back waist's depth below the front's: the fold over a hollow back is taken up into the waist.
pub fn back_waist(s: &mut Sheet<'_>, depth: f64) -> f64 {
    adjusted(s, "back waist fitted", "back waist drop", depth, &[(&SWAY_BACK, 1.0)])
}

/// A back neck may not end nearer below its shoulder.
const LEAST_NECK_MM: f64 = 5.0;

/// A round back that leaves too little of the back neck: it would bend more sharply at the shoulder than its turning is wide.
/// How much of it there is room for is told.
pub fn too_round(
    s: &Sheet<'_>,
    (neck, shoulder): (Point<Frame>, Vector<Frame>),
    [depth_mm, turning_mm]: [f64; 2],
) -> Option<Remark> {
    let round_mm = s.fitted(&ROUND_BACK)?;
    let takes = |round_back_mm: f64| {
        let depth_mm = depth_mm + round_mm - round_back_mm;
        depth_mm > neck.y + LEAST_NECK_MM && neck::neckline(neck, shoulder, depth_mm).start_radius_mm() > turning_mm
    };
    if takes(round_mm) {
        return None;
    }
    // How much there is room for is what must be taken off at least, the other way round.
    let room_mm = round_mm - least([0.0, round_mm], |less_mm| takes(round_mm - less_mm));
    let system = s.order.system;
    let for_what =
        if turning_mm > 0.0 { format!("its turning of {}", s.show(turning_mm)) } else { "a curve".to_owned() };
    let round = s.show(round_mm);
    let says = if depth_mm > 0.0 {
        let left = s.show(depth_mm);
        format!("a round back of {round} leaves a back neck {left} deep, which is too shallow for {for_what}")
    } else {
        format!("a round back of {round} takes up all of a back neck {} deep", s.show(depth_mm + round_mm))
    };
    let remedy = format!(
        "there is room for {} (round_back); for all of it make back_neck_depth {} larger",
        system.show(-system.at_least_mm(-room_mm)),
        system.show_at_least(round_mm - room_mm)
    );
    Some(fault("fitting.round_back", says, &remedy))
}

/// A skirt's waist, let out at its side seams.
pub fn waist(s: &mut Sheet<'_>, waist: f64) -> f64 {
    let Some(all) = s.fitted(&LET_OUT) else { return waist };
    let words = format!("waist of the skirt {}{}", s.show(waist), also(s, all));
    s.step("waist fitted", words, waist + all)
}

/// What each quarter is let out by at its side seam, from top to hem.
pub fn let_out(s: &mut Sheet<'_>) -> f64 {
    let turning = s.show(s.rule(&SIDE_ALLOWANCE));
    let_out_where(s, &format!("a side cut with a turning of {turning} holds no more than that"))
}

/// The same where another sentence says what there is to let out.
pub fn let_out_where(s: &mut Sheet<'_>, holds: &str) -> f64 {
    let Some(all) = s.fitted(&LET_OUT) else { return 0.0 };
    let words = match all >= 0.0 {
        true => format!("{} in all / 4; {holds}", s.show(all)),
        false => format!("taken in by {} in all / 4", s.show(-all)),
    };
    s.step("let out", words, all / 4.0)
}

/// What is let out or taken in beside, in words; none where the fitting found nothing.
pub fn also(s: &Sheet<'_>, let_out: f64) -> String {
    match let_out {
        0.0 => String::new(),
        out if out > 0.0 => format!(" + let out {}", s.show(out)),
        taken_in => format!(" - taken in {}", s.show(-taken_in)),
    }
}

/// The hip line.
pub fn hip_line(s: &mut Sheet<'_>, hip_y: f64) -> f64 {
    adjusted(s, "hip line fitted", "hip line", hip_y, &[(&HIGH_HIP, -1.0), (&LOW_HIP, 1.0)])
}

/// How far the back's hem hangs lower at its centre.
pub fn hem_over_seat(s: &mut Sheet<'_>, length: f64) -> f64 {
    adjusted(s, "back length fitted", "length", length, &[(&HEM_OVER_SEAT, 1.0)])
}
