//! The standing collar, to fasten at the back: drafted by half on the fold at the centre front, after Ingalls (*Text-Book on
//! Domestic Art*, "Collar draft, to fasten at back").
//!
//! ```text
//!                      B      1 to B and C to 2: parallel curves, downward
//! 1 ___...---'' 3 ' - /       3 half the top's measure from 1
//! |              \            C, 2, 3, 1: half the collar, C and 1 on the fold
//! C ___...---'' - 2           2 raised above C
//! ```
//! The book's rectangle is half the neck wide, by which the curve from C to 2 comes out a little longer than the neck; here it
//! is as wide as makes that curve as long as the neck that was drafted.

use super::block::rules::{FACED_ALLOWANCE, FRONT_NECK_DEPTH, NECK_ALLOWANCE, turning};
use super::garments::{Drafted, Group};
use super::halving::least;
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::trial::NOISE_MM;
use super::{Check, NotchPlace, SewnEdge, SewnPiece, at, fault, neck, passed};
use crate::geometry::{Curve, Draft as Frame, PARABOLA, Vector};
use crate::order::{Collar, Edges, Neckline, Opening, Style};
use crate::remark::{Refusal, Remark, Weight};

const INGALLS: &str = "Ingalls, Text-Book on Domestic Art: neck 13, top 12, height 2 1/2 in, raised by 1 in";

const COLLAR_HEIGHT: Rule =
    Rule::inches("collar_height", "height of a standing collar", 2.5, [0.5, 5.0]).after(INGALLS);
const COLLAR_RISE: Rule =
    Rule::inches("collar_rise", "how far a standing collar's neck edge rises to the back", 1.0, [0.0, 3.0])
        .after(INGALLS);
const COLLAR_CLOSER: Rule =
    Rule::inches("collar_closer", "how much shorter a standing collar's top is than its neck edge", 1.0, [0.0, 6.0])
        .after(INGALLS);

/// House rules of the collar.
pub const RULES: Group = Group {
    rules: &[&COLLAR_HEIGHT, &COLLAR_RISE, &COLLAR_CLOSER, &FACED_ALLOWANCE],
    applies: |style| style.collar != Collar::None,
};

/// Where the measures of a neck come from: under a collar it lies close, unless the order sets it.
pub fn whence(style: &Style) -> &'static str {
    if style.collar == Collar::None { "set" } else { "set, close to the neck for the collar" }
}

/// A standing collar on a neck deeper than this in front stands off the throat (common practice, no source): 1 in more than
/// the house's.
const DEEPEST: Rule = FRONT_NECK_DEPTH.at(4.0);

/// Whether the neck is one on which a collar stands.
fn depth_check(sheet: &Sheet<'_>) -> Option<Check> {
    let [_, front_mm, _] = neck::sizes(sheet);
    let [deep, deepest] = [front_mm, DEEPEST.standard()].map(|mm| sheet.show(mm));
    (front_mm > DEEPEST.standard() + NOISE_MM).then(|| Check {
        name: "neck under the collar",
        ok: false,
        severity: Weight::Doubt,
        says: format!("a standing collar on a neck {deep} deep in front stands off the throat"),
        remedy: Some(format!("set front_neck_depth to {deepest} at most, or leave it out; or write collar = \"none\"")),
    })
}

/// What a collar can't go with; nothing where none is asked for.
pub fn faults(sheet: &Sheet<'_>) -> Vec<Remark> {
    let style = sheet.style();
    if style.collar == Collar::None {
        return Vec::new();
    }
    let no = |field: &str, says: &str, remedy: &str| fault(field, says.to_owned(), remedy);
    let opens = (style.opening != Opening::Back).then(|| {
        no(
            "garment.opening",
            "a standing collar closes at the back, and nothing opens there",
            "write opening = \"back\"",
        )
    });
    let round = (style.neckline != Neckline::Round).then(|| {
        no(
            "garment.neckline",
            "a standing collar is sewn to a round neck",
            "write neckline = \"round\", or leave it out",
        )
    });
    let faced = (style.edges == Edges::AllInOne).then(|| {
        no(
            "garment.edges",
            "the collar finishes the neck, so that it can't be faced together with the armholes",
            "write edges = \"facing\" for the armholes alone",
        )
    });
    [opens, round, faced].into_iter().flatten().collect()
}

/// Drafts the collar to the neck as it was drafted.
///
/// # Errors
/// When its top would be no line any more.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) -> Result<(), Refusal> {
    if sheet.style().collar == Collar::None {
        return Ok(());
    }
    let half_mm: f64 = drafted.pieces[..2].iter().map(|piece| piece.length_mm("neck")).sum();
    let height_mm = sheet.set("collar's height", "set", &COLLAR_HEIGHT);
    let rise_mm = sheet.set("collar's rise", "set, from the fold to the back", &COLLAR_RISE);
    let closer_mm = sheet.rule(&COLLAR_CLOSER);
    let words = format!("neckline {} - {}", sheet.show(2.0 * half_mm), sheet.show(closer_mm));
    let top_mm = sheet.step("collar's top", words, 2.0 * half_mm - closer_mm) / 2.0;
    if top_mm <= rise_mm || half_mm <= rise_mm {
        let says = format!("a collar {} round at its top can't be drawn", sheet.show(2.0 * top_mm));
        return Err(Refusal::because(fault("rules.collar_closer", says, "make collar_closer or collar_rise smaller")));
    }
    // Square to the fold, so that the halves are one curve; so far below the level of the fold as `y_mm`.
    let edge = |width_mm: f64, y_mm: f64| -> Curve<Frame> {
        let into = Vector::new(width_mm, -2.0 * rise_mm);
        Curve::between((at(0.0, y_mm), Vector::new(1.0, 0.0)), (at(width_mm, y_mm - rise_mm), into), PARABOLA)
    };
    let width_mm = least([rise_mm, half_mm], |width_mm| edge(width_mm, 0.0).length_mm() >= half_mm);
    let neck_edge = edge(width_mm, height_mm);
    let top = edge(width_mm, 0.0).until(top_mm);
    let [neck_mm, around_mm] = [turning(sheet, &NECK_ALLOWANCE, true), sheet.rule(&FACED_ALLOWANCE)];
    let end = Curve::line(neck_edge.end(), top.end());
    let edges = vec![
        SewnEdge::new("fold", Curve::line(top.start(), neck_edge.start()), 0.0),
        SewnEdge::new("neck", neck_edge, neck_mm),
        SewnEdge::new("end", end, around_mm),
        SewnEdge::new("top", top.reversed(), around_mm),
    ];
    let along_mm = drafted.pieces[0].length_mm("neck");
    let shoulder = NotchPlace { edge: "neck", along_mm, nicks: 1, meets: "shoulder seam" };
    let collar = SewnPiece { count: 2, notches: vec![shoulder], ..SewnPiece::on_fold("collar", edges) };
    let body = ["front", "back"].map(|piece| Part::of(piece, "neck", 1)).to_vec();
    let seam = Seam::new("neck", "collar goes into the neck", [body, vec![Part::of("collar", "neck", 1)]]);
    drafted.add([collar], vec![seam], sheet);
    let says = format!(
        "its top is {} round: hold a tape so long round her neck, with a finger under it, before you cut",
        sheet.show(2.0 * top_mm)
    );
    drafted.checks.push(passed("collar round the neck", says));
    drafted.checks.extend(depth_check(sheet));
    Ok(())
}
