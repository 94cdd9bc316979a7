//! Bias strip for bound edges: how long, how wide, and the square that it is cut from in one.
//!
//! The continuous method: a square is cut along its diagonal, its halves are sewn to a parallelogram and that to a tube,
//! which is cut round and round. With n strips of width w on each half of the square, the strip is 2 n n w long and the
//! square n w sqrt 2 on a side, and a little more for its own seams.
//!
//! The ends of a strip run on the thread, 45 degrees off its length (*School Sewing*, pars. 143-144): where the ends of one edge's
//! binding meet, they lie over one another by the strip's width times that slope, which is 1 (geometry). Where an edge opens, each
//! of its two ends is turned in by half of that (common practice, no source).

use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::sheet::Sheet;
use super::{BiasStrip, SewnPiece, Step, at, tie};
use crate::order::{Collar, Edges, Sleeve, Style};
use crate::units::System;

const BINDING_WIDTH: Rule = Rule::inches("binding_width", "finished width of a binding", 0.25, [0.1, 1.5]);
const BINDING_PARTS: Rule =
    Rule::number("binding_parts", "how many times its finished width a bias strip is cut", 4.0, [3.0, 6.0]);
const BIAS_SPARE: Rule =
    Rule::inches("bias_spare", "bias strip beyond the edges and the ends that meet", 0.0, [0.0, 100.0]);
const BIAS_SEAMS: Rule = Rule::inches("bias_seams", "what the square's own seams take of its side", 0.5, [0.0, 2.0]);

/// House rules of bias strip.
pub const RULES: Group = Group {
    rules: &[&BINDING_WIDTH, &BINDING_PARTS, &BIAS_SPARE, &BIAS_SEAMS],
    applies: |style| style.edges == Edges::Bias,
};

/// The slope of a strip's ends: they run on the thread, and the strip 45 degrees off it.
const SLOPE: f64 = 1.0;

/// Drafts the square that binds the neck where no collar is sewn to it, and the armholes where no sleeve is.
pub fn add(sheet: &mut Sheet<'_>, drafted: &mut Drafted) {
    let style = sheet.style();
    if style.collar != Collar::None && style.sleeve != Sleeve::None {
        return;
    }
    let bound = bound(&drafted.pieces, style);
    let (finished_mm, parts) = (sheet.rule(&BINDING_WIDTH), sheet.rule(&BINDING_PARTS));
    let words = format!("{parts} x binding {}", sheet.show(finished_mm));
    let width_mm = sheet.step("bias width", words, parts * finished_mm);
    let runs: f64 = bound.iter().map(|(_, _, runs)| runs).sum();
    let edges = if runs == 1.0 { "edge" } else { "edges" };
    let words = format!("{runs} {edges} x width {} x slope {SLOPE} (45 degrees)", sheet.show(width_mm));
    let joins_mm = sheet.step("bias ends", words, runs * width_mm * SLOPE);
    let spare_mm = sheet.rule(&BIAS_SPARE);
    let mut words: Vec<String> = bound.iter().map(|(edge, mm, ..)| format!("{edge} {}", sheet.show(*mm))).collect();
    words.push(format!("ends {}", sheet.show(joins_mm)));
    words.extend((spare_mm > 0.0).then(|| format!("{} to spare", sheet.show(spare_mm))));
    let edge_mm: f64 = bound.iter().map(|(_, mm, _)| mm).sum();
    let length_mm = sheet.step("bias strip", words.join(" + "), edge_mm + joins_mm + spare_mm);
    let seam_mm = sheet.rule(&BIAS_SEAMS) / 2.0;
    let strip = BiasStrip { width_mm, length_mm, rows: strips(length_mm, width_mm), seam_mm };
    let (words, side_mm) = side(&strip, sheet.order.system);
    sheet.step("bias square", words, side_mm);
    drafted.pieces.push(square(side_mm, strip));
}

/// What is bound of these pieces, how long it is in all, and in how many runs, each with two ends.
fn bound(pieces: &[SewnPiece], style: &Style) -> Vec<(&'static str, f64, f64)> {
    let (collar, sleeve) = (style.collar != Collar::None, style.sleeve != Sleeve::None);
    let bodies = || pieces.iter().filter(|piece| ["front", "back"].contains(&piece.name));
    let all_mm = |edge: &str| bodies().map(|piece| 2.0 * piece.length_mm(edge)).sum::<f64>();
    [("neck", 1.0, collar), ("slit", 1.0, collar), ("armholes", 2.0, sleeve)]
        .into_iter()
        .filter(|(_, _, is_sewn)| !is_sewn)
        .map(|(edge, runs, _)| (edge, all_mm(edge.trim_end_matches('s')), runs))
        .filter(|(_, mm, _)| *mm > 0.0)
        .collect()
}

/// How long what is bound is in all.
pub fn bound_mm(pieces: &[SewnPiece], style: &Style) -> f64 {
    bound(pieces, style).iter().map(|(_, mm, _)| mm).sum()
}

/// The square of a strip that is longer by so much, with the steps that say so; none where a piece is no such square.
pub fn longer(piece: &SewnPiece, more_mm: f64, system: System) -> Option<(SewnPiece, [Step; 2])> {
    let old = piece.strip?;
    let length_mm = old.length_mm + more_mm;
    let strip = BiasStrip { length_mm, rows: strips(length_mm, old.width_mm), ..old };
    let (words, side_mm) = side(&strip, system);
    let show = |mm: f64| system.show(mm);
    let rule = format!("{} + {} that the edges are longer when cut unwashed", show(old.length_mm), show(more_mm));
    let steps = [
        Step { name: "bias strip, unwashed", rule: format!("{rule} = {}", show(length_mm)), value_mm: length_mm },
        Step { name: "bias square, unwashed", rule: format!("{words} = {}", show(side_mm)), value_mm: side_mm },
    ];
    Some((square(side_mm, strip), steps))
}

/// The side of the square that a strip is cut from, with the arithmetic in words.
fn side(strip: &BiasStrip, system: System) -> (String, f64) {
    let BiasStrip { width_mm, length_mm, rows, seam_mm } = *strip;
    let [width, length, seams] = [width_mm, length_mm, 2.0 * seam_mm].map(|mm| system.show(mm));
    let words = format!(
        "{rows} strips in each half (2 x {rows} x {rows} x {width} >= {length}): {rows} x {width} x 1.4142 + seams {seams}"
    );
    (words, f64::from(rows) * width_mm * std::f64::consts::SQRT_2 + 2.0 * seam_mm)
}

/// How many strips each half of the square holds, so that all of them together are long enough.
fn strips(length_mm: f64, width_mm: f64) -> u32 {
    /// Rounding noise that must not cost another strip.
    const NOISE: f64 = 1e-9;
    ((length_mm / (2.0 * width_mm)).sqrt() - NOISE).ceil().max(1.0) as u32
}

/// The square with the diagonal that it is cut along.
fn square(side_mm: f64, strip: BiasStrip) -> SewnPiece {
    let diagonal = ("diagonal", [at(0.0, side_mm), at(side_mm, 0.0)]);
    let edges = tie::strip([side_mm, side_mm], 0.0);
    SewnPiece { marks: vec![diagonal], strip: Some(strip), ..SewnPiece::single("bias square", edges) }
}
