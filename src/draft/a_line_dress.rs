//! The sleeveless A-line dress without darts: a quarter draft on the fold, front and back drafted over one another.
//!
//! All defaults are common practice (no source). Shoulder, side and hem are the same line in both pieces, so the
//! seams are equal by construction; only neck and armhole differ, and the front's lie inside the back's.
//!
//! ```text
//! o---3---.            start line
//! |   N~~~~.           N neck point on the shoulder slope, T shoulder tip
//! |_.'      T
//! |         )          armhole, beside the guide straight down from T
//! |          `---U     chest line
//! |            )       waist
//! |             \      hip point
//! |______.....---'     hem, raised at the side
//! ```

use super::armhole::{self, Ends};
use super::rules::{Rule, Rules};
use super::side::{self, Levels};
use super::trial::{Least, Trial};
use super::working::Working;
use super::{Draft, NotchPlace, SewnEdge, SewnPiece, at, neck, simple};
use crate::geometry::{Curve, Draft as Frame, Point, Vector};
use crate::order::{Kind, Measure, Order};
use crate::remark::{Refusal, Remark, Told, told};

const CHEST_PARTS: Rule = Rule::number("chest_parts", "the share of the bust in the chest line", 6.0, [3.0, 12.0]);
const CHEST_EXTRA: Rule = Rule::inches("chest_extra", "what is added to it", 1.5, [-3.0, 8.0]);
const NECK_REFERENCE: Rule = Rule::inches("neck_reference", "where the shoulder slope starts", 3.0, [0.0, 8.0]);
const SHOULDER_DROP: Rule = Rule::inches("shoulder_drop", "drop of the shoulder at its tip", 1.0, [0.0, 4.0]);
const ARMHOLE_HOLLOW: Rule =
    Rule::inches("armhole_hollow", "front armhole inside the middle of the guide", 0.75, [0.0, 4.0]);
const BACK_ARMHOLE_HOLLOW: Rule =
    Rule::inches("back_armhole_hollow", "back armhole inside the middle of the guide", 0.0, [-1.0, 4.0]);
const BUST_EASE: Rule = Rule::inches("bust_ease", "ease in a quarter of the bust", 0.25, [-2.0, 8.0]);
const WAIST_EASE: Rule = Rule::inches("waist_ease", "ease in a quarter of the waist", 0.5, [-2.0, 8.0]);
const HIP_EASE: Rule = Rule::inches("hip_ease", "ease in a quarter of the hip", 0.5, [-2.0, 8.0]);
const HIP_DEPTH: Rule = Rule::inches("hip_depth", "waist to hip, where it was not measured", 8.0, [2.0, 18.0]);
const FOLD_EXTRA: Rule =
    Rule::inches("fold_extra", "fold width beyond a quarter of the largest girth", 7.0, [0.0, 40.0]);
const HEM_RAISE: Rule = Rule::inches("hem_raise", "hem raised at the side", 1.5, [0.0, 8.0]);
const NECK_HALF_WIDTH: Rule = Rule::inches("neck_half_width", "half width of the neck", 4.0, [1.0, 12.0]);
const FRONT_NECK_DEPTH: Rule = Rule::inches("front_neck_depth", "depth of the front neck", 4.0, [0.5, 16.0]);
const BACK_NECK_DEPTH: Rule = Rule::inches("back_neck_depth", "depth of the back neck", 2.0, [0.5, 16.0]);
const SIDE_ALLOWANCE: Rule = Rule::inches("side_allowance", "turning at the side, to let out", 1.5, [0.0, 4.0]);
const SHOULDER_ALLOWANCE: Rule = Rule::inches("shoulder_allowance", "turning at the shoulder", 0.5, [0.0, 3.0]);
const HEM_ALLOWANCE: Rule = Rule::inches("hem_allowance", "turning at the hem", 1.0, [0.0, 8.0]);
const NECK_ALLOWANCE: Rule =
    Rule::inches("neck_allowance", "turning at the neck; none where it is bound", 0.0, [0.0, 2.0]);
const ARMHOLE_ALLOWANCE: Rule =
    Rule::inches("armhole_allowance", "turning at the armhole; none where it is bound", 0.0, [0.0, 2.0]);
const LEAST_BUST_EASE: Rule = Rule::inches("least_bust_ease", "least ease round the bust", 1.0, [0.0, 12.0]);
const LEAST_WAIST_EASE: Rule = Rule::inches("least_waist_ease", "least ease round the waist", 1.0, [0.0, 12.0]);
const LEAST_HIP_EASE: Rule = Rule::inches("least_hip_ease", "least ease round the hip", 2.0, [0.0, 12.0]);
const LEAST_ARM_EASE: Rule = Rule::inches("least_arm_ease", "least ease round the upper arm", 2.0, [0.0, 12.0]);
const DONNING: Rule =
    Rule::inches("donning", "how far below the bust the narrowest girth may be without an opening", 2.0, [0.0, 8.0]);

/// Every house rule of this garment.
pub const RULES: [&Rule; 25] = [
    &CHEST_PARTS,
    &CHEST_EXTRA,
    &NECK_REFERENCE,
    &SHOULDER_DROP,
    &ARMHOLE_HOLLOW,
    &BACK_ARMHOLE_HOLLOW,
    &BUST_EASE,
    &WAIST_EASE,
    &HIP_EASE,
    &HIP_DEPTH,
    &FOLD_EXTRA,
    &HEM_RAISE,
    &NECK_HALF_WIDTH,
    &FRONT_NECK_DEPTH,
    &BACK_NECK_DEPTH,
    &SIDE_ALLOWANCE,
    &SHOULDER_ALLOWANCE,
    &HEM_ALLOWANCE,
    &NECK_ALLOWANCE,
    &ARMHOLE_ALLOWANCE,
    &LEAST_BUST_EASE,
    &LEAST_WAIST_EASE,
    &LEAST_HIP_EASE,
    &LEAST_ARM_EASE,
    &DONNING,
];

/// The shoulder seam may not be shorter than a strap.
const LEAST_SHOULDER_MM: f64 = 20.0;

/// The armhole's guide must leave room for a curve.
const LEAST_GUIDE_MM: f64 = 60.0;

/// The points of the draft.
struct Points {
    neck: Point<Frame>,
    tip: Point<Frame>,
    levels: Levels,
    front_neck_depth_mm: f64,
    back_neck_depth_mm: f64,
    fold_width_mm: f64,
    length_mm: f64,
}

/// Drafts the dress.
///
/// # Errors
/// When a rule is unknown or out of range, or the numbers can't be drawn.
pub fn draft(order: &Order) -> Told<Draft> {
    let rules = Rules::resolve(&RULES, &order.rules, order.system).map_err(|remarks| Refusal { remarks })?;
    let mut working = Working::new(order.system);
    let points = points(order, &rules, &mut working);
    let faults = impossible(&points, order, &rules);
    if !faults.is_empty() {
        return Err(Refusal { remarks: faults });
    }
    let (front, back) = pieces(&points, &rules);
    for piece in [&front, &back] {
        simple(piece).map_err(Refusal::because)?;
    }
    measure(&front, &back, &mut working);
    at_the_hip(&front, &points.levels, &mut working);
    let checks = Trial {
        body: &order.body,
        system: order.system,
        front: &front,
        back: &back,
        waist_y_mm: points.levels.waist.y,
        hip_y_mm: points.levels.hip.y,
        least: Least {
            bust_ease_mm: rules.value(&LEAST_BUST_EASE),
            waist_ease_mm: rules.value(&LEAST_WAIST_EASE),
            hip_ease_mm: rules.value(&LEAST_HIP_EASE),
            arm_ease_mm: rules.value(&LEAST_ARM_EASE),
            donning_mm: rules.value(&DONNING),
        },
    }
    .checks();
    let draft = Draft {
        kind: Kind::ALineDress,
        system: order.system,
        pieces: vec![front, back],
        working: working.steps(),
        checks,
        fold_width_mm: points.fold_width_mm,
        length_mm: points.length_mm,
    };
    told(draft, Vec::new())
}

/// Works out every point, from the start line down.
fn points(order: &Order, rules: &Rules, working: &mut Working) -> Points {
    let rule = |rule: &Rule| rules.value(rule);
    let (neck, tip) = shoulder(order, rules, working);
    let levels_above_hem = girths(order, rules, working);
    let (fold_width_mm, hem) = hem(order, rules, working);
    Points {
        neck,
        tip,
        levels: Levels { hem, ..levels_above_hem },
        front_neck_depth_mm: working.step("front neck depth", "set".into(), rule(&FRONT_NECK_DEPTH)),
        back_neck_depth_mm: working.step("back neck depth", "set".into(), rule(&BACK_NECK_DEPTH)),
        fold_width_mm,
        length_mm: order.garment.length_mm,
    }
}

/// The neck point and the shoulder tip.
fn shoulder(order: &Order, rules: &Rules, w: &mut Working) -> (Point<Frame>, Point<Frame>) {
    let across = order.body.get(Measure::Shoulder).unwrap_or(0.0);
    let tip_x = w.step("shoulder tip", format!("shoulder {} / 2", w.show(across)), across / 2.0);
    let tip_y = w.step("shoulder drop", "set, at the tip".into(), rules.value(&SHOULDER_DROP));
    let reference = w.step("neck reference", "set; the slope starts here".into(), rules.value(&NECK_REFERENCE));
    let neck_x = w.step("neck half width", "set, along the start line".into(), rules.value(&NECK_HALF_WIDTH));
    let slope = tip_y / (tip_x - reference);
    let neck_y = w.step(
        "neck point",
        format!(
            "on the slope: {} x ({} - {}) / ({} - {})",
            w.show(tip_y),
            w.show(neck_x),
            w.show(reference),
            w.show(tip_x),
            w.show(reference)
        ),
        (slope * (neck_x - reference)).max(0.0),
    );
    (at(neck_x, neck_y), at(tip_x, tip_y))
}

/// Underarm, waist and hip; the hem is not known yet.
fn girths(order: &Order, rules: &Rules, w: &mut Working) -> Levels {
    let body = |measure| order.body.get(measure).unwrap_or(0.0);
    let (bust, waist, hip) = (body(Measure::Bust), body(Measure::Waist), body(Measure::Hip));
    let (parts, extra) = (rules.value(&CHEST_PARTS), rules.value(&CHEST_EXTRA));
    let chest_y =
        w.step("chest line", format!("bust {} / {parts} + {}", w.show(bust), w.show(extra)), bust / parts + extra);
    let mut quarter = |name, measure: &str, girth: f64, rule: &Rule| {
        let ease = rules.value(rule);
        w.step(name, format!("{measure} {} / 4 + {}", w.show(girth), w.show(ease)), girth / 4.0 + ease)
    };
    let bust_x = quarter("quarter bust", "bust", bust, &BUST_EASE);
    let waist_x = quarter("quarter waist", "waist", waist, &WAIST_EASE);
    let hip_x = quarter("quarter hip", "hip", hip, &HIP_EASE);
    let waist_y = w.step("waist line", "waist depth as measured".into(), body(Measure::WaistDepth));
    let (depth, whence) = match order.body.get(Measure::HipDepth) {
        Some(measured) => (measured, "measured"),
        None => (rules.value(&HIP_DEPTH), "set"),
    };
    let hip_y = w.step(
        "hip line",
        format!("waist line {} + hip depth {} ({whence})", w.show(waist_y), w.show(depth)),
        waist_y + depth,
    );
    Levels { underarm: at(bust_x, chest_y), waist: at(waist_x, waist_y), hip: at(hip_x, hip_y), hem: at(0.0, 0.0) }
}

/// The fold width, and the corner of hem and side.
fn hem(order: &Order, rules: &Rules, w: &mut Working) -> (f64, Point<Frame>) {
    let girths = [Measure::Bust, Measure::Waist, Measure::Hip];
    let largest = girths.into_iter().filter_map(|m| order.body.get(m)).fold(0.0, f64::max);
    let extra = rules.value(&FOLD_EXTRA);
    let fold = w.step(
        "fold width",
        format!("largest girth {} / 4 + {}", w.show(largest), w.show(extra)),
        largest / 4.0 + extra,
    );
    let side = rules.value(&SIDE_ALLOWANCE);
    let half =
        w.step("hem half width", format!("fold width {} - side allowance {}", w.show(fold), w.show(side)), fold - side);
    let (length, raise) = (order.garment.length_mm, rules.value(&HEM_RAISE));
    let side_y =
        w.step("hem at the side", format!("length {} - raise {}", w.show(length), w.show(raise)), length - raise);
    let turning = rules.value(&HEM_ALLOWANCE);
    let with_hem =
        w.step("length with hem", format!("length {} + hem {}", w.show(length), w.show(turning)), length + turning);
    let words = format!("2 x {} (the lay adds what the shoulder turning takes above the start line)", w.show(with_hem));
    w.step("two lengths", words, 2.0 * with_hem);
    (fold, at(half, side_y))
}

/// What can't be drawn with these numbers.
fn impossible(points: &Points, order: &Order, rules: &Rules) -> Vec<Remark> {
    let show = |mm: f64| order.system.show(mm);
    let Points { neck, tip, levels, .. } = points;
    let guide_mm = levels.underarm.y - tip.y;
    let innermost_x = tip.x - rules.value(&ARMHOLE_HOLLOW).max(rules.value(&BACK_ARMHOLE_HOLLOW));
    let deepest = points.front_neck_depth_mm.max(points.back_neck_depth_mm);
    let shallowest = points.front_neck_depth_mm.min(points.back_neck_depth_mm);
    let lowest = levels.waist.y.max(levels.underarm.y);
    let tip_over_slope = tip.x - neck.x.max(rules.value(&NECK_REFERENCE));
    let faults = [
        (tip_over_slope < LEAST_SHOULDER_MM).then(|| {
            fault(
                "rules.neck_half_width",
                format!("the neck, {} from the centre, leaves no shoulder to a tip at {}", show(neck.x), show(tip.x)),
                "make neck_half_width or neck_reference smaller, or measure the shoulder again",
            )
        }),
        (guide_mm < LEAST_GUIDE_MM).then(|| {
            fault(
                "rules.chest_extra",
                format!("the chest line, at {}, is too near the shoulder tip for an armhole", show(levels.underarm.y)),
                "make chest_extra larger, or measure the bust again",
            )
        }),
        (levels.underarm.x <= innermost_x).then(|| {
            let (quarter, middle) = (show(levels.underarm.x), show(innermost_x));
            fault(
                "body.shoulder",
                format!("a quarter of the bust, {quarter}, does not reach the armhole's middle at {middle}"),
                "measure bust and shoulder again; the shoulder goes from tip to tip across the back",
            )
        }),
        (levels.waist.y <= levels.underarm.y).then(|| {
            let (waist, chest) = (show(levels.waist.y), show(levels.underarm.y));
            fault(
                "body.waist_depth",
                format!("the waist, at {waist}, is above the chest line at {chest}"),
                "measure the waist depth again, from the shoulder at the neck to the waist",
            )
        }),
        (shallowest <= neck.y || deepest >= levels.waist.y).then(|| {
            let depth = if shallowest <= neck.y { shallowest } else { deepest };
            fault(
                "rules.front_neck_depth",
                format!("a neck {} deep can't be drawn from a shoulder at {}", show(depth), show(neck.y)),
                "set front_neck_depth and back_neck_depth between the shoulder and the waist",
            )
        }),
        (levels.hem.y <= lowest || levels.hem.x <= 0.0).then(|| {
            fault(
                "garment.length",
                format!("a dress {} long ends above its waist at {}", show(points.length_mm), show(levels.waist.y)),
                "measure the length from the shoulder at the neck to the hem",
            )
        }),
    ];
    faults.into_iter().flatten().collect()
}

fn fault(field: &str, sentence: String, remedy: &str) -> Remark {
    Remark::refusal(sentence).field(field).remedy(remedy)
}

/// Front and back, over one another.
fn pieces(points: &Points, rules: &Rules) -> (SewnPiece, SewnPiece) {
    let Points { neck, tip, levels, .. } = points;
    let shoulder: Vector<Frame> = (*tip - *neck).normalize();
    let side = side::side(levels);
    let ends = Ends { tip: *tip, shoulder, underarm: levels.underarm, side: side.start_direction() };
    let piece = |name, depth_mm: f64, hollow_mm: f64, nicks| {
        let centre = at(0.0, points.length_mm);
        let edge = |name, curve, allowance: &Rule| SewnEdge { name, curve, allowance_mm: rules.value(allowance) };
        let armhole = armhole::armhole(&ends, hollow_mm);
        let notches = notches(levels, &side, armhole.length_mm(), nicks);
        SewnPiece {
            name,
            count: 1,
            on_fold: true,
            paired: false,
            edges: vec![
                SewnEdge { name: "fold", curve: Curve::line(at(0.0, depth_mm), centre), allowance_mm: 0.0 },
                edge("hem", side::hem(centre, levels.hem, side.end_direction()), &HEM_ALLOWANCE),
                edge("side", side.reversed(), &SIDE_ALLOWANCE),
                edge("armhole", armhole, &ARMHOLE_ALLOWANCE),
                edge("shoulder", Curve::line(*tip, *neck), &SHOULDER_ALLOWANCE),
                edge("neck", neck::neckline(*neck, shoulder, depth_mm), &NECK_ALLOWANCE),
            ],
            levels_mm: marked_levels(levels),
            notches,
        }
    };
    (
        piece("front", points.front_neck_depth_mm, rules.value(&ARMHOLE_HOLLOW), 1),
        piece("back", points.back_neck_depth_mm, rules.value(&BACK_ARMHOLE_HOLLOW), 2),
    )
}

/// The levels marked across a piece: those that the side passes.
fn marked_levels(levels: &Levels) -> Vec<(&'static str, f64)> {
    let all = [("chest", levels.underarm.y), ("waist", levels.waist.y), ("hip", levels.hip.y)];
    all.into_iter().filter(|(_, y)| *y < levels.hem.y).collect()
}

/// Notches where the seams must meet: waist and hip on the side, the middle of the armhole (one nick in front, two at
/// the back, as sleeves are notched).
fn notches(levels: &Levels, side: &Curve<Frame>, armhole_mm: f64, nicks: u32) -> Vec<NotchPlace> {
    let upwards_mm = |y_mm| side.length_to_level(y_mm).map(|down_mm| side.length_mm() - down_mm);
    let on_side = [("waist", levels.waist.y), ("hip", levels.hip.y)]
        .into_iter()
        .filter_map(|(meets, y_mm)| Some(NotchPlace { edge: "side", along_mm: upwards_mm(y_mm)?, nicks: 1, meets }));
    on_side
        .chain([NotchPlace { edge: "armhole", along_mm: armhole_mm / 2.0, nicks, meets: "middle of the armhole" }])
        .collect()
}

/// Writes down how wide the dress is at the hip: the side runs outside the quarter hip where the hem asks for it.
fn at_the_hip(front: &SewnPiece, levels: &Levels, working: &mut Working) {
    if let Some(half_mm) = front.width_mm(levels.hip.y) {
        let words = "measured at the hip line; outside the quarter hip where the skirt flares";
        working.step("half width at hip", words.into(), half_mm);
    }
}

/// Writes down the lengths that she will walk with the tape.
fn measure(front: &SewnPiece, back: &SewnPiece, working: &mut Working) {
    let length = |piece: &SewnPiece, name| piece.edge(name).map_or(0.0, |edge| edge.curve.length_mm());
    let neck = 2.0 * (length(front, "neck") + length(back, "neck"));
    working.step("neckline", "measured round front and back".into(), neck);
    working.step("front armhole", "measured along the curve".into(), length(front, "armhole"));
    working.step("back armhole", "measured along the curve".into(), length(back, "armhole"));
    working.step("shoulder seam", "measured".into(), length(front, "shoulder"));
    working.step("side seam", "measured along the curve".into(), length(front, "side"));
    working.step("hem sweep", "measured all round".into(), 4.0 * length(front, "hem"));
}
