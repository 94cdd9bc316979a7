//! Belts and ties: straight strips, folded along their middle and turned.

use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::sheet::Sheet;
use super::{SewnEdge, SewnPiece, at};
use crate::geometry::Curve;
use crate::order::{Measure, Tie};

const TIE_WIDTH: Rule = Rule::inches("tie_width", "finished width of a belt or tie", 1.5, [0.25, 12.0]);
const BELT_EXTRA: Rule =
    Rule::inches("belt_extra", "length of a belt beyond the girth that it goes round", 36.0, [2.0, 100.0]);
const TIE_LENGTH: Rule = Rule::inches("tie_length", "length of a tie from the side seam", 30.0, [4.0, 100.0]);
const TIE_ALLOWANCE: Rule = Rule::inches("tie_allowance", "turning of a belt or tie", 0.375, [0.0, 2.0]);

/// House rules of belts and ties.
pub const RULES: Group =
    Group { rules: &[&TIE_WIDTH, &BELT_EXTRA, &TIE_LENGTH, &TIE_ALLOWANCE], applies: |style| style.tie != Tie::None };

/// Drafts what ties it.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) {
    let tie = sheet.style().tie;
    if tie == Tie::None {
        return;
    }
    let width_mm = sheet.rule(&TIE_WIDTH);
    let words = format!("2 x finished {}, folded along its middle", sheet.show(width_mm));
    let across_mm = sheet.step("tie, unfolded", words, 2.0 * width_mm);
    let turning_mm = sheet.rule(&TIE_ALLOWANCE);
    let piece = if tie == Tie::Belt {
        let waist_mm = [Measure::Waist, Measure::Bust].into_iter().find_map(|m| sheet.order.body.get(m)).unwrap_or(0.0);
        let extra_mm = sheet.rule(&BELT_EXTRA);
        let words = format!("round the body {} + {}", sheet.show(waist_mm), sheet.show(extra_mm));
        let length_mm = sheet.step("belt", words, waist_mm + extra_mm);
        SewnPiece::single("belt", strip([across_mm, length_mm], turning_mm))
    } else {
        let length_mm = sheet.set("tie", "set", &TIE_LENGTH);
        SewnPiece::pair("tie", strip([across_mm, length_mm], turning_mm))
    };
    drafted.pieces.push(piece);
}

/// The edges of a strip along the grain, of one turning all round.
pub fn strip([across_mm, along_mm]: [f64; 2], turning_mm: f64) -> Vec<SewnEdge> {
    let corners = [(0.0, 0.0), (0.0, along_mm), (across_mm, along_mm), (across_mm, 0.0)].map(|(x, y)| at(x, y));
    let names = ["left", "foot", "right", "head"];
    (0..4).map(|i| SewnEdge::new(names[i], Curve::line(corners[i], corners[(i + 1) % 4]), turning_mm)).collect()
}
