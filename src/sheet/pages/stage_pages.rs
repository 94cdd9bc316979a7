//! The stages: number, title, layers, what to do, and a small drawing of what the light shows; the picture as thrown
//! beside it where there is one.

use std::ops::Range;

use super::book::Book;
use super::{CutSheet, sentence};
use crate::geometry::{Cloth, Point, Vector};
use crate::lay::Lay;
use crate::sheet::drawing::{on_cloth, paper_from_cloth, scale};
use crate::sheet::leaf::{
    At, BODY_MM, HEAD_MM, Ink, LEADING, Leaf, MARGIN_MM, MEASURE_MM, PAGE_MM, SMALL_MM, Side, wrapped,
};
use crate::stages::{Stage, Takes};

/// Where title and sentence begin, behind the number.
const TEXT_MM: f64 = MARGIN_MM + 14.0;

/// Width of a picture, and the gap between it and the drawing.
const PICTURE_MM: f64 = 66.0;
const GAP_MM: f64 = 4.0;

/// Greatest height of a drawing, so that two stages fit a page.
const HEIGHT_MM: f64 = 82.0;

/// With more labels than this a drawing without a picture may be so high.
const CROWDED: usize = 12;
const CROWDED_HEIGHT_MM: f64 = 170.0;

/// Above and below a drawing: its outer labels.
const LABELS_MM: [f64; 2] = [6.5, 5.5];

/// Between two stages.
const APART_MM: f64 = 9.0;

/// Height of the lines on which she writes what the tape says at the proof.
const WRITTEN_MM: f64 = 24.0;

/// Of stages that are drawn two abreast: the width of each, between them, and the greatest height.
const HALF_MM: f64 = (MEASURE_MM - 2.0 * GAP_MM) / 2.0;
const HALF_HEIGHT_MM: f64 = 50.0;

/// Where the sentence of such a stage begins, behind the number.
const HALF_TEXT_MM: f64 = 11.0;

/// What is left on a page below the heading so that the stages begin there.
const BEGIN_MM: f64 = 130.0;

/// Writes the pages.
pub fn stage_pages(book: &mut Book, sheet: &CutSheet<'_>) {
    book.part("Stages of cutting", BEGIN_MM);
    let mut i = 0;
    while i < sheet.stages.len() {
        let abreast = (i..sheet.stages.len()).take(2).take_while(|i| is_one_piece(sheet, *i)).count();
        if abreast == 0 {
            stage(book, sheet, i);
        } else {
            halves(book, sheet, i..i + abreast);
        }
        i += abreast.max(1);
    }
}

/// Whether a stage cuts one piece of many on one length, which its sentence tells whole, and is drawn without a picture.
fn is_one_piece(sheet: &CutSheet<'_>, i: usize) -> bool {
    let one = sheet.lay.lengths == 1 && matches!(sheet.stages[i].takes, Takes::Piece(_));
    one && sheet.pictures.get(i).is_none()
}

/// Stages that cut a piece each, abreast.
fn halves(book: &mut Book, sheet: &CutSheet<'_>, stages: Range<usize>) {
    let bed_mm = [sheet.lay.length_mm, sheet.lay.folded_width_mm];
    let n = scale(bed_mm, [HALF_MM, HALF_HEIGHT_MM]);
    // One by itself has the whole width for its sentence.
    let room_mm = if stages.len() > 1 { HALF_MM } else { MEASURE_MM } - HALF_TEXT_MM;
    let lines = |i: usize| wrapped(&sheet.stages[i].sentence, BODY_MM, room_mm).len();
    let text_mm = BODY_MM * LEADING * stages.clone().map(lines).max().unwrap_or(0) as f64;
    let height_mm = text_mm + LABELS_MM[0] + LABELS_MM[1] + bed_mm[1] / f64::from(n);
    book.room(height_mm, "Stages of cutting, continued");
    let y = book.y_mm;
    for (place, i) in stages.enumerate() {
        let left = MARGIN_MM + place as f64 * (HALF_MM + 2.0 * GAP_MM);
        book.leaf().words((i + 1).to_string(), At::new(left, y + BODY_MM), HEAD_MM, Ink::Black);
        book.column(&sheet.stages[i].sentence, (At::new(left + HALF_TEXT_MM, y), room_mm), BODY_MM, Ink::Black);
        drawing(book.leaf(), &sheet.stages[i], bed_mm, (At::new(left, y + text_mm + LABELS_MM[0]), n));
    }
    book.y_mm = y + height_mm + APART_MM / 2.0;
}

fn stage(book: &mut Book, sheet: &CutSheet<'_>, i: usize) {
    let stage = &sheet.stages[i];
    let picture = sheet.pictures.get(i);
    let left = if picture.is_some() { MARGIN_MM + 1.0 } else { TEXT_MM };
    let room_mm = PAGE_MM[0] - MARGIN_MM - left - picture.map_or(0.0, |_| PICTURE_MM + GAP_MM);
    let bed_mm = [sheet.lay.length_mm, shown_mm(stage, sheet.lay)];
    let labels = stage.lines.iter().filter(|line| line.label.is_some()).count();
    let most_mm = if labels > CROWDED && picture.is_none() { CROWDED_HEIGHT_MM } else { HEIGHT_MM };
    let n = scale(bed_mm, [room_mm, most_mm]);
    let drawn_mm = match stage.proof {
        true => WRITTEN_MM,
        false => LABELS_MM[0] + LABELS_MM[1] + bed_mm[1] / f64::from(n),
    };
    let pictured_mm = picture.map_or(0.0, |(_, image)| LABELS_MM[0] + size_mm(image)[1] + 5.5);
    let text_mm = PAGE_MM[0] - MARGIN_MM - TEXT_MM;
    let lines = wrapped(&stage.sentence, BODY_MM, text_mm).len();
    let needed_mm = HEAD_MM + 4.0 + BODY_MM * LEADING * lines as f64 + drawn_mm.max(pictured_mm);
    book.room(needed_mm, "Stages of cutting, continued");
    title(book, stage, i + 1);
    book.y_mm = book.column(&stage.sentence, (At::new(TEXT_MM, book.y_mm), text_mm), BODY_MM, Ink::Black);
    let top = book.y_mm + LABELS_MM[0];
    if stage.proof {
        written(book.leaf(), At::new(left, top), sheet);
    } else {
        drawing(book.leaf(), stage, bed_mm, (At::new(left, top), n));
    }
    if let Some((caption, image)) = picture {
        let at = At::new(PAGE_MM[0] - MARGIN_MM - PICTURE_MM, top);
        book.picture(i, at, size_mm(image));
        let below = at + Vector::new(0.0, size_mm(image)[1] + 1.2);
        book.column(caption, (below, PICTURE_MM), SMALL_MM, Ink::Grey);
    }
    book.y_mm = top - LABELS_MM[0] + drawn_mm.max(pictured_mm) + APART_MM;
}

/// Width and height of a picture on paper: as wide as its place, or as high.
fn size_mm(image: &image::RgbaImage) -> [f64; 2] {
    let (width, height) = (f64::from(image.width().max(1)), f64::from(image.height().max(1)));
    let mm_per_px = (PICTURE_MM / width).min(HEIGHT_MM / height);
    [width * mm_per_px, height * mm_per_px]
}

fn title(book: &mut Book, stage: &Stage, number: usize) {
    let base = book.y_mm + HEAD_MM;
    let right = PAGE_MM[0] - MARGIN_MM;
    let leaf = book.leaf();
    leaf.words(number.to_string(), At::new(MARGIN_MM, base), HEAD_MM * 1.5, Ink::Black);
    leaf.words(sentence(&stage.title).replace('.', ""), At::new(TEXT_MM, base), HEAD_MM, Ink::Black);
    let layers = if stage.layers == 1 { "1 layer".to_owned() } else { format!("{} layers", stage.layers) };
    leaf.words_to(&layers, (At::new(right, base), Side::Right), BODY_MM, Ink::Black);
    stack(leaf, stage.layers, At::new(right - 22.0, base));
    book.y_mm = base + 4.0;
}

/// The stack seen from its edge: one short line a layer.
fn stack(leaf: &mut Leaf, layers: u32, at: At) {
    /// More would run into the line above; the figure beside it tells the number.
    const MOST: u32 = 8;
    for i in 0..layers.min(MOST) {
        let y = at.y - 0.2 - f64::from(i) * 0.95;
        leaf.line(vec![At::new(at.x - 9.0, y), At::new(at.x, y)], 0.35, Ink::Black);
    }
}

/// Where she writes what the tape says, beside what the light says; without a table she writes down both.
fn written(leaf: &mut Leaf, at: At, sheet: &CutSheet<'_>) {
    for (i, what) in ["rule", "diagonal"].into_iter().enumerate() {
        let base = at + Vector::new(0.0, BODY_MM + 9.0 * i as f64);
        for (x, text) in [(0.0, what), (22.0, "written"), (62.0, "tape")] {
            leaf.words(text, base + Vector::new(x, 0.0), BODY_MM, if x > 0.0 { Ink::Grey } else { Ink::Black });
        }
        let known = sheet.proof_mm.map(|lengths_mm| sheet.lay.system.show(lengths_mm[i]));
        let blanks: &[f64] = if known.is_some() { &[73.0] } else { &[39.0, 73.0] };
        if let Some(length) = known {
            leaf.words(length, base + Vector::new(39.0, 0.0), BODY_MM, Ink::Black);
        }
        for x in blanks.iter().copied() {
            leaf.line(vec![base + Vector::new(x, 0.8), base + Vector::new(x + 19.0, 0.8)], 0.2, Ink::Black);
        }
    }
}

/// How much of the folded width is shown: to the selvedge where the stage shows it, else a little beyond its lines, so
/// that wide cloth does not make the piece small.
fn shown_mm(stage: &Stage, lay: &Lay) -> f64 {
    const BEYOND_MM: f64 = 40.0;
    let far_mm = stage.lines.iter().flat_map(|line| &line.points).map(|p| p.y).fold(0.0, f64::max);
    (far_mm + BEYOND_MM).min(lay.folded_width_mm)
}

/// What is written below a drawing needs so much: what lies at its near edge, and the scale.
const WORDS_MM: f64 = 32.0;

fn drawing(leaf: &mut Leaf, stage: &Stage, [length_mm, shown_mm]: [f64; 2], (at, n): (At, u32)) {
    let corner = At::new(at.x, at.y + shown_mm / f64::from(n));
    let paper_from_cloth = paper_from_cloth(corner, n);
    let cloth = [(0.0, shown_mm), (0.0, 0.0), (length_mm, 0.0), (length_mm, shown_mm)];
    let bed = cloth.map(|(x, y)| paper_from_cloth.transform_point(Point::<Cloth>::new(x, y))).to_vec();
    leaf.line(bed, 0.15, Ink::Pale);
    on_cloth(leaf, &stage.whole, &stage.lines, &paper_from_cloth);
    let right = At::new(at.x + (length_mm / f64::from(n)).max(WORDS_MM), corner.y + 3.6);
    leaf.words_to(&format!("1 : {n}"), (right, Side::Right), SMALL_MM, Ink::Grey);
}
