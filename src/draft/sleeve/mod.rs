//! The sleeve, drafted to the armhole as it was measured: a crown as long as the armhole and its ease, or, sewn in flat,
//! a part of a ring.
//!
//! ```text
//!            .-C-.           C crown, at the shoulder seam
//!         .-'     '-.
//! F ..--''           ''--.. B    front and back underarm
//! |                         |
//! '----.................----'    hem, square to both seams
//! ```
//! The crown's height is what is solved: with the width that the arm asks for, it is the one height at which front and
//! back of the crown are as long as front and back of the armhole, each with its half of the ease.

mod crown;
mod flutter;

use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::{Check, NotchPlace, SewnEdge, SewnPiece, at, fault, passed};
use crate::geometry::{Curve, Draft as Frame, PARABOLA, Point, Vector};
use crate::order::{Measure, Sleeve};
use crate::remark::{Refusal, Weight};
use crown::Crown;

const CAP_EASE: Rule =
    Rule::inches("cap_ease", "how much longer the crown of a sleeve is than the armhole", 1.0, [0.0, 3.0])
        .after("3/4 to 1 1/2 in, textbooks as reported by technical designers and dressmaking teachers");
const SLEEVE_EASE: Rule = Rule::inches("sleeve_ease", "ease of a sleeve round the upper arm", 2.0, [0.0, 16.0])
    .after("Threads, 2021: 2 in at least");
const HAND_EASE: Rule = Rule::inches("hand_ease", "ease of a long sleeve's hem over the hand", 0.5, [0.0, 12.0]);
const WRIST_SHARE: Rule = Rule::number(
    "wrist_share",
    "width of a long sleeve's hem, of its width at the upper arm, where no hand was measured",
    0.7,
    [0.4, 1.2],
);
const SHORT_SLEEVE: Rule = Rule::inches("short_sleeve", "length of a short sleeve from the shoulder", 8.5, [2.0, 16.0]);
const SHORT_UNDERARM: Rule = Rule::inches(
    "short_underarm",
    "least underarm seam of a short sleeve, where its length is not set",
    1.5,
    [0.25, 6.0],
);
const CAP_SLEEVE: Rule = Rule::inches("cap_sleeve", "underarm seam of a cap sleeve", 0.75, [0.25, 3.0]);
const THREE_QUARTERS: Rule =
    Rule::number("three_quarter_share", "how much of the arm a three-quarter sleeve covers", 0.75, [0.5, 0.95]);
const SLEEVE_FLARE: Rule =
    Rule::number("sleeve_flare", "width of a flared sleeve's hem, of its width at the upper arm", 1.4, [1.0, 3.0]);
const SLEEVE_SEAM_ALLOWANCE: Rule =
    Rule::inches("sleeve_allowance", "turning at a sleeve's underarm seam", 1.0, [0.0, 3.0])
        .after("Baldt, Clothing for Women, 1916");
const SLEEVE_HEM_ALLOWANCE: Rule = Rule::inches("sleeve_hem_allowance", "turning at a sleeve's hem", 1.0, [0.0, 4.0]);

/// A cap sleeve's hem is rolled narrow: it must end below the armhole's seam.
const CAP_HEM_ALLOWANCE: Rule = SLEEVE_HEM_ALLOWANCE.at(0.375);

/// House rules of sleeves.
pub const RULES: Group = Group {
    rules: &[
        &CAP_EASE,
        &SLEEVE_EASE,
        &HAND_EASE,
        &WRIST_SHARE,
        &SHORT_SLEEVE,
        &SHORT_UNDERARM,
        &CAP_SLEEVE,
        &THREE_QUARTERS,
        &SLEEVE_FLARE,
        &SLEEVE_SEAM_ALLOWANCE,
        &SLEEVE_HEM_ALLOWANCE,
        &flutter::FLUTTER_TURN,
        &flutter::FLUTTER_LENGTH,
        &flutter::FLUTTER_HEM_ALLOWANCE,
    ],
    applies: |style| style.sleeve != Sleeve::None,
};

/// The ease that a crown takes without gathers; outside of it the check doubts.
const EASE_RANGE: [Rule; 2] = [CAP_EASE.at(0.75), CAP_EASE.at(1.5)];

/// For the cloth an arm asks for as much ease as so many quarters of the body.
const ARM_QUARTERS: f64 = 2.0;

/// A seam shorter than this can't be sewn.
const LEAST_SEAM_MM: f64 = 5.0;

/// A seam that leans more than this of its length is no longer met square by its crown.
const MOST_LEAN: f64 = 0.5;

/// Drafts the sleeve.
///
/// # Errors
/// When the arm is too wide for the armhole, or the sleeve ends within its crown.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    match sheet.style().sleeve {
        Sleeve::None => Ok(()),
        Sleeve::Flutter => flutter::add(sheet, drafted),
        _ => set_in(sheet, drafted),
    }
}

/// Length of front and back armhole.
fn armholes_mm(drafted: &Drafted) -> [f64; 2] {
    [0, 1].map(|i| drafted.pieces[i].length_mm("armhole"))
}

fn set_in(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    let [front_mm, back_mm] = armholes_mm(drafted);
    let (arm_mm, ease_mm) = (sheet.body_mm(Measure::UpperArm), sheet.rule(&SLEEVE_EASE));
    let words = format!("upper arm {} + {}{}", sheet.show(arm_mm), sheet.show(ease_mm), sheet.and_cloth(ARM_QUARTERS));
    let width_mm = sheet.step("sleeve width", words, arm_mm + ease_mm + ARM_QUARTERS * sheet.cloth_ease());
    let cap_ease_mm = sheet.rule(&CAP_EASE);
    let armhole_mm = front_mm + back_mm;
    let words = format!("armhole {} + ease {}", sheet.show(armhole_mm), sheet.show(cap_ease_mm));
    let cap_mm = sheet.step("crown's length", words, armhole_mm + cap_ease_mm);
    let lengths_mm = [front_mm, back_mm].map(|mm| mm + cap_ease_mm / 2.0);
    let lean = |height_mm: f64| {
        let under_mm = (length_mm(sheet, height_mm) - height_mm).max(LEAST_SEAM_MM);
        ((width_mm - hem_mm(sheet, width_mm, under_mm)) / 2.0 / under_mm).clamp(-MOST_LEAN, MOST_LEAN)
    };
    let Some(crown) = Crown::solve(width_mm, lengths_mm, lean) else {
        let (width, armhole) = (sheet.show(width_mm), sheet.show(armhole_mm));
        let says = format!("a sleeve {width} wide can't be set into an armhole {armhole} round");
        let remedy = "lower the chest line (chest_extra), or make sleeve_ease smaller";
        return Err(Refusal::because(fault("body.upper_arm", says, remedy)));
    };
    let words = format!("the height at which the crown is {} long", sheet.show(cap_mm));
    sheet.step("crown's height", words, crown.height_mm);
    let length_mm = length(sheet, &crown);
    let under_mm = length_mm - crown.height_mm;
    if under_mm < LEAST_SEAM_MM {
        let (length, height) = (sheet.show(length_mm), sheet.show(crown.height_mm));
        let says = format!("a sleeve {length} long ends within its crown, which is {height} high");
        let remedy = "make the sleeve longer, or write sleeve = \"cap\" for one that hardly has an underarm seam";
        return Err(Refusal::because(fault("rules.short_sleeve", says, remedy)));
    }
    let hem_mm = hem(sheet, width_mm, under_mm);
    let piece = piece(sheet, drafted, &crown, [length_mm, hem_mm]);
    let seams = vec![
        Seam::alike_edges("underarm seam walks", "underarm", "sleeve", ["front underarm", "back underarm"]),
        Seam::new(
            "armhole",
            "sleeve goes into the armhole",
            [
                vec![Part::of("front", "armhole", 1), Part::of("back", "armhole", 1)],
                vec![Part::of("sleeve", "front crown", 1), Part::of("sleeve", "back crown", 1)],
            ],
        )
        .eased(cap_ease_mm),
    ];
    drafted.add([piece], seams, sheet);
    drafted.checks.push(ease_check(sheet, cap_ease_mm));
    drafted.checks.extend(deep_hem(sheet, under_mm));
    drafted.checks.extend(hand(sheet, hem_mm));
    Ok(())
}

/// The turning at the hem.
fn hem_allowance_mm(sheet: &Sheet<'_>) -> f64 {
    sheet.rule_or(&SLEEVE_HEM_ALLOWANCE, (sheet.style().sleeve == Sleeve::Cap).then_some(CAP_HEM_ALLOWANCE))
}

/// A hem that would be turned up over the seam of the armhole.
fn deep_hem(sheet: &Sheet<'_>, under_mm: f64) -> Option<Check> {
    let turning_mm = hem_allowance_mm(sheet);
    let system = sheet.order.system;
    let (deep, under) = (system.show(turning_mm), system.show(under_mm));
    let length = match sheet.style().sleeve {
        Sleeve::Cap => "a longer underarm seam (cap_sleeve)",
        _ => "a longer sleeve",
    };
    (turning_mm > under_mm).then(|| Check {
        name: "sleeve's hem turns up",
        ok: false,
        severity: Weight::Refusal,
        says: format!(
            "a hem {deep} deep would be turned up over the armhole's seam: the underarm seam is {under} long"
        ),
        remedy: Some(format!(
            "turn up {} at most (sleeve_hem_allowance), or make {length}",
            system.show_at_most(under_mm)
        )),
    })
}

/// How much narrower a sleeve becomes with each length of underarm, where nothing else says.
const TAPER: f64 = 0.12;

/// From the shoulder to the sleeve's hem, below a crown of this height.
fn length_mm(sheet: &Sheet<'_>, height_mm: f64) -> f64 {
    match sheet.style().sleeve {
        // On a large arm the crown alone is nearly as high as a short sleeve is long.
        Sleeve::Short => sheet
            .given(&SHORT_SLEEVE)
            .unwrap_or_else(|| sheet.rule(&SHORT_SLEEVE).max(height_mm + sheet.rule(&SHORT_UNDERARM))),
        Sleeve::ThreeQuarter => sheet.body_mm(Measure::ArmLength) * sheet.rule(&THREE_QUARTERS),
        Sleeve::Cap => height_mm + sheet.rule(&CAP_SLEEVE),
        _ => sheet.body_mm(Measure::ArmLength),
    }
}

/// Width of the hem: over the hand, widened, or a little less than the sleeve.
fn hem_mm(sheet: &Sheet<'_>, width_mm: f64, under_mm: f64) -> f64 {
    match (sheet.style().sleeve, sheet.order.body.get(Measure::Hand)) {
        (Sleeve::Flared, _) => width_mm * sheet.rule(&SLEEVE_FLARE),
        (Sleeve::Long, Some(hand_mm)) => hand_mm + sheet.rule(&HAND_EASE),
        (Sleeve::Long, None) => width_mm * sheet.rule(&WRIST_SHARE),
        _ => width_mm - TAPER * under_mm,
    }
}

/// Writes the length down.
fn length(sheet: &mut Sheet<'_>, crown: &Crown) -> f64 {
    let arm_mm = sheet.body_mm(Measure::ArmLength);
    let words = match sheet.style().sleeve {
        Sleeve::Short => "set, from the shoulder, or as far below a high crown as the house has it".to_owned(),
        Sleeve::ThreeQuarter => format!("arm length {} x {}", sheet.show(arm_mm), sheet.rule(&THREE_QUARTERS)),
        Sleeve::Cap => {
            format!("crown {} + underarm {}", sheet.show(crown.height_mm), sheet.show(sheet.rule(&CAP_SLEEVE)))
        }
        _ => format!("arm length {}", sheet.order.body.whence(Measure::ArmLength)),
    };
    let length_mm = length_mm(sheet, crown.height_mm);
    sheet.step("sleeve length", words, length_mm)
}

/// Writes the width of the hem down.
fn hem(sheet: &mut Sheet<'_>, width_mm: f64, under_mm: f64) -> f64 {
    let width = sheet.show(width_mm);
    let words = match (sheet.style().sleeve, sheet.order.body.get(Measure::Hand)) {
        (Sleeve::Flared, _) => format!("sleeve width {width} x {}", sheet.rule(&SLEEVE_FLARE)),
        (Sleeve::Long, Some(hand_mm)) => {
            format!("hand {} + {}", sheet.show(hand_mm), sheet.show(sheet.rule(&HAND_EASE)))
        }
        (Sleeve::Long, None) => format!("sleeve width {width} x {}", sheet.rule(&WRIST_SHARE)),
        _ => format!("sleeve width {width} less {TAPER} of the underarm {}", sheet.show(under_mm)),
    };
    let hem_mm = hem_mm(sheet, width_mm, under_mm);
    sheet.step("sleeve hem", words, hem_mm)
}

/// The sleeve: front to the left, back to the right.
fn piece(sheet: &Sheet<'_>, drafted: &Drafted, crown: &Crown, [length_mm, hem_mm]: [f64; 2]) -> SewnPiece {
    let [front, back] = crown.underarms();
    let middle = (front.x + back.x) / 2.0;
    let [left, right] = [middle - hem_mm / 2.0, middle + hem_mm / 2.0].map(|x| at(x, length_mm));
    let hem = squared_hem([(front, left), (back, right)]);
    let seam_mm = sheet.rule(&SLEEVE_SEAM_ALLOWANCE);
    let [front_crown, back_crown] = crown.curves();
    let armhole = drafted.pieces[0].edge("armhole");
    let crown_mm = armhole.map_or(0.0, |armhole| armhole.allowance_mm);
    let edges = vec![
        SewnEdge::new("front underarm", Curve::line(front, left), seam_mm),
        SewnEdge::new("hem", hem, hem_allowance_mm(sheet)),
        SewnEdge::new("back underarm", Curve::line(right, back), seam_mm),
        SewnEdge::new("back crown", back_crown, crown_mm),
        SewnEdge::new("front crown", front_crown, crown_mm),
    ];
    let mut piece = SewnPiece::pair("sleeve", edges);
    piece.notches = crown_notches(drafted, &piece);
    piece.levels_mm = Vec::new();
    piece.marks = vec![("underarm", [front, back])];
    piece
}

/// A hem between two seams, square to both.
fn squared_hem([(left_from, left), (right_from, right)]: [(Point<Frame>, Point<Frame>); 2]) -> Curve<Frame> {
    let [down_left, down_right] = [left - left_from, right - right_from].map(Vector::normalize);
    let (out, into) = (Vector::new(down_left.y, -down_left.x), Vector::new(down_right.y, -down_right.x));
    Curve::between((left, out), (right, into), PARABOLA)
}

/// Where the crown meets the armhole: as far from the underarm as the armhole's own notch, so that all ease lies above,
/// and at the shoulder seam.
fn crown_notches(drafted: &Drafted, sleeve: &SewnPiece) -> Vec<NotchPlace> {
    let on_armhole = |i: usize| drafted.pieces[i].notches.iter().find(|notch| notch.edge == "armhole").copied();
    let front = on_armhole(0).map(|notch| NotchPlace {
        edge: "front crown",
        along_mm: sleeve.length_mm("front crown") - notch.along_mm,
        meets: "notch of the front armhole",
        ..notch
    });
    let back =
        on_armhole(1).map(|notch| NotchPlace { edge: "back crown", meets: "notch of the back armhole", ..notch });
    let top = NotchPlace { edge: "front crown", along_mm: 0.0, nicks: 1, meets: "shoulder seam" };
    front.into_iter().chain(back).chain([top]).collect()
}

/// Whether the crown's ease is within what is taught.
fn ease_check(sheet: &Sheet<'_>, ease_mm: f64) -> Check {
    let [least_mm, most_mm] = EASE_RANGE.map(|rule| rule.standard());
    let (least, most) = (sheet.show(least_mm), sheet.show(most_mm));
    let says = format!("crown {} longer than the armhole, and {least} to {most} is right", sheet.show(ease_mm));
    if (least_mm..=most_mm).contains(&ease_mm) {
        return passed("ease of the crown", says);
    }
    let remedy = Some(format!("set cap_ease between {least} and {most}; gather the crown where it is more"));
    Check { name: "ease of the crown", ok: false, severity: Weight::Doubt, says, remedy }
}

/// Whether the hand goes through the hem, where it was measured.
fn hand(sheet: &Sheet<'_>, hem_mm: f64) -> Option<Check> {
    let hand_mm = sheet.order.body.get(Measure::Hand)?;
    let says = format!("sleeve hem {} round, hand {}", sheet.show(hem_mm), sheet.show(hand_mm));
    Some(if hem_mm >= hand_mm {
        passed("hand through the sleeve", format!("{says}: passes"))
    } else {
        let remedy = Some("make sleeve_ease larger, or leave a slit at the hem".to_owned());
        Check { name: "hand through the sleeve", ok: false, severity: Weight::Refusal, says, remedy }
    })
}
