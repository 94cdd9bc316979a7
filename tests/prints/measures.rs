//! Photos in which the measure lies on the cloth: a sheet of paper, a card, a ruler. They are no part of the print.

use super::*;

/// A photo of a print by chance with a white thing on it that takes up so much in pixels from its upper left.
fn lain(seed: u64, at: [u32; 2], size: [u32; 2]) -> (Photograph, Drawn, Taken) {
    let mut chance = Chance(seed * 6151 + 29);
    let print = Drawn::by_chance(&mut chance);
    let taken = Taken { size_px: [400, 300], ..Taken::by_chance(&print, 2.5, [1.0, 8.0], &mut chance) };
    let mut photo = print.photographed(&taken, &mut chance);
    for y in at[1]..at[1] + size[1] {
        for x in at[0]..at[0] + size[0] {
            photo.rgb[(y * 400 + x) as usize] = [0; 3].map(|_| (238.0 + 3.0 * chance.normal()).clamp(0.0, 255.0) as u8);
        }
    }
    (photo, print, taken)
}

/// A thing of so many pixels on 30 prints, the marks of which its corners are, or its upper edge's ends.
fn read_beside(what: &str, size: [u32; 2], is_ruler: bool) {
    let wrong = |seed: &u64| {
        let mut chance = Chance(seed + 400);
        let at = [0, 1].map(|i| 20 + chance.below([360, 260][i] - size[i] as usize) as u32);
        let (photo, print, taken) = lain(*seed, at, size);
        let [left, top] = at.map(f64::from);
        let [right, bottom] = [0, 1].map(|i| f64::from(at[i] + size[i]));
        let mm = |px: f64| px / taken.px_per_mm;
        let known = match is_ruler {
            true => Known::Length { at_px: [[left, top], [right, top]], mm: mm(right - left) },
            false => Known::Corners {
                at_px: [[left, bottom], [right, bottom], [right, top], [left, top]],
                size_mm: [mm(right - left), mm(bottom - top)],
            },
        };
        let found = read(&photo, &Photo { known, at_mm: [0.0; 2], slant_deg: 0.0 });
        let right = |found: Repeat| near(found.along_mm, print.along_mm) && near(found.across_mm, print.across_mm());
        !found.is_some_and(right)
    };
    let wrong: Vec<u64> = (0..30).filter(wrong).collect();
    assert!(wrong.len() <= 1, "with {what} these of 30 are wrong: {wrong:?}");
}

#[test]
fn a_sheet_of_paper_is_no_print() {
    read_beside("a sheet", [148, 105], false);
}

#[test]
fn a_card_is_no_print() {
    read_beside("a card", [54, 34], false);
}

#[test]
fn a_ruler_is_no_print() {
    read_beside("a ruler", [180, 18], true);
}
