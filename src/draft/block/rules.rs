//! House rules of the block; all defaults are common practice (no source) where a rule names none.

use crate::draft::garments::Group;
use crate::draft::rules::Rule;
use crate::draft::sheet::Sheet;
use crate::order::{Collar, Dart, Edges, Fit, Neckline, Opening, Sleeve, Style};

pub const CHEST_PARTS: Rule = Rule::number("chest_parts", "the share of the bust in the chest line", 6.0, [3.0, 12.0]);
pub const CHEST_EXTRA: Rule = Rule::inches("chest_extra", "what is added to it", 1.5, [-3.0, 8.0]);
pub const NECK_REFERENCE: Rule = Rule::inches("neck_reference", "where the shoulder slope starts", 3.0, [0.0, 8.0]);
pub const SHOULDER_DROP: Rule = Rule::inches("shoulder_drop", "drop of the shoulder at its tip", 1.0, [0.0, 4.0]);
pub const ARMHOLE_HOLLOW: Rule =
    Rule::inches("armhole_hollow", "front armhole inside the middle of the guide", 0.75, [0.0, 4.0]);
pub const BACK_ARMHOLE_HOLLOW: Rule =
    Rule::inches("back_armhole_hollow", "back armhole inside the middle of the guide", 0.0, [-1.0, 4.0]);
pub const BUST_EASE: Rule = Rule::inches("bust_ease", "ease in a quarter of the bust", 0.25, [-2.0, 8.0]);
pub const WAIST_EASE: Rule = Rule::inches("waist_ease", "ease in a quarter of the waist", 0.5, [-2.0, 8.0]);
pub const HIP_EASE: Rule = Rule::inches("hip_ease", "ease in a quarter of the hip", 0.5, [-2.0, 8.0]);
pub const HIP_DEPTH: Rule = Rule::inches("hip_depth", "waist to hip, where it was not measured", 8.0, [2.0, 18.0]);
pub const FOLD_EXTRA: Rule =
    Rule::inches("fold_extra", "fold width beyond a quarter of the largest girth", 7.0, [0.0, 40.0]);
pub const HEM_RAISE: Rule = Rule::inches("hem_raise", "hem raised at the side", 1.5, [0.0, 8.0]);
pub const NECK_HALF_WIDTH: Rule = Rule::inches("neck_half_width", "half width of the neck", 4.0, [1.0, 12.0]);
pub const FRONT_NECK_DEPTH: Rule = Rule::inches("front_neck_depth", "depth of the front neck", 4.0, [0.5, 16.0]);
pub const BACK_NECK_DEPTH: Rule = Rule::inches("back_neck_depth", "depth of the back neck", 2.0, [0.5, 16.0]);
pub const SIDE_ALLOWANCE: Rule = Rule::inches("side_allowance", "turning at the side, to let out", 1.5, [0.0, 4.0]);
pub const SHOULDER_ALLOWANCE: Rule = Rule::inches("shoulder_allowance", "turning at the shoulder", 0.5, [0.0, 3.0]);
pub const HEM_ALLOWANCE: Rule = Rule::inches("hem_allowance", "turning at the hem", 1.0, [0.0, 8.0]);
pub const NECK_ALLOWANCE: Rule =
    Rule::inches("neck_allowance", "turning at the neck; none where it is bound", 0.0, [0.0, 2.0]);
pub const ARMHOLE_ALLOWANCE: Rule =
    Rule::inches("armhole_allowance", "turning at the armhole; none where it is bound", 0.0, [0.0, 2.0]);
pub const LEAST_BUST_EASE: Rule = Rule::inches("least_bust_ease", "least ease round the bust", 1.0, [0.0, 12.0]);
pub const LEAST_WAIST_EASE: Rule = Rule::inches("least_waist_ease", "least ease round the waist", 1.0, [0.0, 12.0]);
pub const LEAST_HIP_EASE: Rule = Rule::inches("least_hip_ease", "least ease round the hip", 2.0, [0.0, 12.0]);
pub const LEAST_ARM_EASE: Rule = Rule::inches("least_arm_ease", "least ease round the upper arm", 2.0, [0.0, 12.0]);
pub const DONNING: Rule =
    Rule::inches("donning", "how far below the bust the narrowest girth may be without an opening", 2.0, [0.0, 8.0]);

/// House rules of the plain dress.
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

pub const HEM_FLARE: Rule = Rule::inches("hem_flare", "hem half width beyond the quarter hip", 1.0, [-2.0, 20.0]);
pub const FACED_ALLOWANCE: Rule = Rule::inches(
    "faced_allowance",
    "turning at neck and armhole where they are faced or a sleeve is set in",
    0.25,
    [0.0, 2.0],
)
.after("Baldt, Clothing for Women, 1916");
/// The seam between the halves of a back that opens.
pub const CENTRE_BACK: &str = "centre back";

pub const CENTRE_BACK_ALLOWANCE: Rule =
    Rule::inches("centre_back_allowance", "turning at the centre back, where it opens", 0.625, [0.0, 3.0]);
pub const OPENING_LENGTH: Rule =
    Rule::inches("opening_length", "length of the opening at the centre back, for a zip", 20.0, [2.0, 40.0]);
pub const SLIT_DEPTH: Rule = Rule::inches("slit_depth", "depth of the slit below the front neck", 5.0, [0.5, 16.0]);

/// House rules of what may be chosen for a garment of this block.
pub const CHOICE_RULES: [Group; 3] = [
    Group { rules: &[&FACED_ALLOWANCE], applies: |style| faced(style) || style.sleeve != Sleeve::None },
    Group { rules: &[&CENTRE_BACK_ALLOWANCE, &OPENING_LENGTH], applies: |style| style.opening == Opening::Back },
    SLIT_RULES,
];

pub const DART_WIDTH: Rule = Rule::inches(
    "dart_width",
    "width of a bust dart, where the back's depth was not measured",
    1.0,
    [0.25, 4.0],
)
.after("Rosenfeld, The Practical Designer, 1918: 1 in for a front dart of what fits close, 1/2 in of what half fits");
pub const DART_SHORT: Rule = Rule::inches("dart_short", "how far a dart ends short of the bust point", 1.0, [0.0, 4.0])
    .after("Erwin, Practical Dress Design, 1954: its point may be moved by 1 to 1 1/2 in");
pub const DART_BELOW: Rule =
    Rule::inches("dart_below", "least distance of a dart's mouth below the underarm", 1.0, [0.25, 6.0]);
pub const BUST_POINT_BELOW: Rule =
    Rule::inches("bust_point_below", "bust point below the chest line, where it was not measured", 2.5, [0.0, 8.0]);
pub const BUST_PARTS: Rule = Rule::number(
    "bust_parts",
    "the share of the bust from the centre to the bust point, where it was not measured",
    10.0,
    [6.0, 20.0],
);

/// House rules of the bust dart.
pub const DART_RULES: Group = Group {
    rules: &[&DART_WIDTH, &DART_SHORT, &DART_BELOW, &BUST_POINT_BELOW, &BUST_PARTS],
    applies: |style| style.dart == Dart::Side,
};

/// Ease in a quarter of bust, waist and hip, by the fit that was chosen; none where the house rules hold.
///
/// Close, easy and loose are each at least as wide as the one before, everywhere, and the house's own lies between close and
/// loose. Close is the least that the checks take, 1 in round the bust, 1 round the waist and 2 round the hip (common practice, no source; Central Washington
/// University, costume text, chapter 16, has 1 1/2 to 2, 3/4 to 1 and 2 to 2 3/4). Easy is 2 1/2 round the bust (the least
/// of paper patterns, in an extract from a fitting book) and 2 and 3 below; loose is a quarter of the girth and 2 in
/// (Baldt, *Clothing for Women*, 1916, fig. 60, at the bust). What is not named is common practice, no source.
pub fn eases(fit: Fit) -> Option<[Rule; 3]> {
    let of = |[bust, waist, hip]: [f64; 3]| [BUST_EASE.at(bust), WAIST_EASE.at(waist), HIP_EASE.at(hip)];
    match fit {
        Fit::House => None,
        Fit::Close => Some(of([0.25, 0.25, 0.5])),
        Fit::Easy => Some(of([0.625, 0.5, 0.75])),
        Fit::Loose => Some(of([2.0, 2.0, 2.0])),
    }
}

/// House rules of the slit.
pub const SLIT_RULES: Group = Group { rules: &[&SLIT_DEPTH], applies: |style| style.neckline == Neckline::Slit };

/// Whether the neck is sewn to something: a facing or a collar.
pub fn neck_is_sewn(style: &Style) -> bool {
    faced(style) || style.collar != Collar::None
}

/// Whether edges are faced.
pub fn faced(style: &Style) -> bool {
    matches!(style.edges, Edges::Facing | Edges::AllInOne)
}

/// The turning of an edge that is bound, or where `sewn`, faced or joined: that of a seam then, unless the order sets it.
pub fn turning(sheet: &Sheet<'_>, rule: &Rule, sewn: bool) -> f64 {
    match sheet.given(rule) {
        None if sewn => sheet.rule(&FACED_ALLOWANCE),
        _ => sheet.rule(rule),
    }
}

/// The place of the fold's rule among them.
const OF_THE_FOLD: usize = 10;

/// House rules of the block whose hem follows the hip and not the fold.
pub const STRAIGHT_RULES: [&Rule; 25] = {
    let mut rules = RULES;
    rules[OF_THE_FOLD] = &HEM_FLARE;
    rules
};
