//! Bias strip for bound edges: how long, how wide, and the square that it is cut from in one.
//!
//! The continuous method: a square is cut along its diagonal, its halves are sewn to a parallelogram and that to a tube,
//! which is cut round and round. With n strips of width w on each half of the square, the strip is 2 n n w long and the
//! square n w sqrt 2 on a side, and a little more for its own seams.

use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::sheet::Sheet;
use super::{SewnPiece, at, tie};
use crate::order::{Collar, Edges, Sleeve};

const BINDING_WIDTH: Rule = Rule::inches("binding_width", "finished width of a binding", 0.25, [0.1, 1.5]);
const BINDING_PARTS: Rule =
    Rule::number("binding_parts", "how many times its finished width a bias strip is cut", 4.0, [3.0, 6.0]);
const BIAS_SPARE: Rule = Rule::inches("bias_spare", "strip for joins and ends", 4.0, [0.0, 100.0]);
const BIAS_SEAMS: Rule = Rule::inches("bias_seams", "what the square's own seams take of its side", 0.5, [0.0, 2.0]);

/// House rules of bias strip.
pub const RULES: Group = Group {
    rules: &[&BINDING_WIDTH, &BINDING_PARTS, &BIAS_SPARE, &BIAS_SEAMS],
    applies: |style| style.edges == Edges::Bias,
};

/// Drafts the square that binds the neck where no collar is sewn to it, and the armholes where no sleeve is.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) {
    let (collar, sleeve) = (sheet.style().collar != Collar::None, sheet.style().sleeve != Sleeve::None);
    if collar && sleeve {
        return;
    }
    let all_mm = |edge: &str| drafted.pieces.iter().map(|piece| 2.0 * piece.length_mm(edge)).sum::<f64>();
    let spare_mm = sheet.rule(&BIAS_SPARE);
    let bound = [("neck", all_mm("neck") + all_mm("slit"), collar), ("armholes", all_mm("armhole"), sleeve)];
    let bound: Vec<_> = bound.into_iter().filter(|(_, mm, is_sewn)| *mm > 0.0 && !is_sewn).collect();
    let mut words: Vec<String> = bound.iter().map(|(edge, mm, _)| format!("{edge} {}", sheet.show(*mm))).collect();
    words.push(format!("{} for joins", sheet.show(spare_mm)));
    let edge_mm: f64 = bound.iter().map(|(_, mm, _)| mm).sum();
    let length_mm = sheet.step("bias strip", words.join(" + "), edge_mm + spare_mm);
    let (finished_mm, parts) = (sheet.rule(&BINDING_WIDTH), sheet.rule(&BINDING_PARTS));
    let words = format!("{parts} x binding {}", sheet.show(finished_mm));
    let width_mm = sheet.step("bias width", words, parts * finished_mm);
    let seams_mm = sheet.rule(&BIAS_SEAMS);
    let count = strips(length_mm, width_mm);
    let words = format!(
        "{count} strips in each half (2 x {count} x {count} x {} >= {}): {count} x {} x 1.4142 + {}",
        sheet.show(width_mm),
        sheet.show(length_mm),
        sheet.show(width_mm),
        sheet.show(seams_mm)
    );
    let side_mm = f64::from(count) * width_mm * std::f64::consts::SQRT_2 + seams_mm;
    let side_mm = sheet.step("bias square", words, side_mm);
    drafted.pieces.push(square(side_mm));
}

/// How many strips each half of the square holds, so that all of them together are long enough.
fn strips(length_mm: f64, width_mm: f64) -> u32 {
    /// Rounding noise that must not cost another strip.
    const NOISE: f64 = 1e-9;
    ((length_mm / (2.0 * width_mm)).sqrt() - NOISE).ceil().max(1.0) as u32
}

/// The square with the diagonal that it is cut along.
fn square(side_mm: f64) -> SewnPiece {
    let diagonal = ("cut into halves", [at(0.0, side_mm), at(side_mm, 0.0)]);
    SewnPiece { marks: vec![diagonal], ..SewnPiece::single("bias square", tie::strip([side_mm, side_mm], 0.0)) }
}
