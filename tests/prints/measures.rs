//! Photos in which the measure lies on the cloth: a sheet of paper, a card, a ruler. They are no part of the print.

use super::*;

/// Rulers are about so wide (common practice, no source).
const RULER_MM: f64 = 35.0;

/// The size of every photo.
const SIZE_PX: [u32; 2] = [400, 300];

/// Lays a white thing on a photo, so large in pixels, at a place by chance, and tells what it makes known: its corners, or the
/// ends of its upper edge when it is a ruler.
fn lay_on(photo: &mut Photograph, (size, px_per_mm): ([u32; 2], f64), is_ruler: bool, chance: &mut Chance) -> Photo {
    let [left, top] = [0, 1].map(|i| 20 + chance.below((SIZE_PX[i] - 40 - size[i]) as usize) as u32);
    let [right, bottom] = [left + size[0], top + size[1]];
    for y in top..bottom {
        for x in left..right {
            let tone = |_| (238.0 + 3.0 * chance.normal()).clamp(0.0, 255.0) as u8;
            photo.rgb[(y * SIZE_PX[0] + x) as usize] = [0; 3].map(tone);
        }
    }
    let [left, top, right, bottom] = [left, top, right, bottom].map(f64::from);
    let known = if is_ruler {
        Known::Length { at_px: [[left, top], [right, top]], mm: (right - left) / px_per_mm }
    } else {
        Known::Corners {
            at_px: [[left, bottom], [right, bottom], [right, top], [left, top]],
            size_mm: [(right - left) / px_per_mm, (bottom - top) / px_per_mm],
        }
    };
    Photo { known, at_mm: [0.0; 2], slant_deg: 0.0 }
}

/// Thirty prints by chance, with a thing on them whose size depends on how much of the cloth is seen: no more are read wrongly.
fn read_beside((what, most_wrong): (&str, usize), size: impl Fn(f64) -> [u32; 2], is_ruler: bool) {
    let wrong = |seed: &u64| {
        let mut chance = Chance(seed * 6151 + 29);
        let print = Drawn::by_chance(&mut chance);
        let taken = Taken { size_px: SIZE_PX, ..Taken::by_chance(&print, 2.5, [1.0, 8.0], &mut chance) };
        let mut photo = print.photographed(&taken, &mut chance);
        let known = lay_on(&mut photo, (size(taken.px_per_mm), taken.px_per_mm), is_ruler, &mut chance);
        let right = |found: Repeat| near(found.along_mm, print.along_mm) && near(found.across_mm, print.across_mm());
        !read(&photo, &known).is_some_and(right)
    };
    let wrong: Vec<u64> = (0..30).filter(wrong).collect();
    assert!(wrong.len() <= most_wrong, "with {what} these of 30 are wrong: {wrong:?}");
}

#[test]
fn a_sheet_of_paper_is_no_print() {
    read_beside(("a sheet", 1), |_| [148, 105], false);
}

#[test]
fn a_card_is_no_print() {
    read_beside(("a card", 1), |_| [54, 34], false);
}

/// A ruler's width is not known, so a sheet is the better measure: one in ten is told as a limit.
#[test]
fn a_ruler_is_seldom_taken_for_print() {
    read_beside(("a ruler", 3), |px_per_mm| [180, (RULER_MM * px_per_mm).ceil().min(40.0) as u32], true);
}

#[test]
fn plain_cloth_with_a_sheet_on_it_has_none() {
    for seed in 0..20 {
        let mut chance = Chance(seed + 77);
        let taken = Taken { noise: 1.0 + seed as f64, ..usual(SIZE_PX) };
        let mut photo = photographed(&taken, &mut chance, |_| [0.5, 0.3, 0.2]);
        let known = lay_on(&mut photo, ([148, 105], taken.px_per_mm), false, &mut chance);
        assert_eq!(read(&photo, &known), None, "{seed}");
    }
}
