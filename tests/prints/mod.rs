//! The repeat of a print off a photo: prints whose repeat is known, cloth that has none, textures from a public package.

mod cloth;
mod command;
mod drawn;
mod measures;
mod oracle;

use chalklight::motif::repeat::Way;
use chalklight::motif::{Photograph, Repeat, bare, repeat, straighten};
use chalklight::order::{Known, Photo};

use crate::tables::synthetic::Chance;
use drawn::{Drawn, Motif, Shape, Taken, photographed};

/// What is found in a photo of cloth alone, whose scale is known by how much of it is seen from edge to edge.
fn found(photo: &Photograph, px_per_mm: f64) -> Option<Repeat> {
    let wide_px = f64::from(photo.size_px[0]);
    let ends = [[0.0, 0.0], [wide_px, 0.0]];
    let known =
        Photo { known: Known::Length { at_px: ends, mm: wide_px / px_per_mm }, at_mm: [0.0; 2], slant_deg: 0.0 };
    repeat(&straighten(photo, &known, [None; 2]).unwrap_or_else(|no| panic!("{no}")).value)
}

/// What is found in a photo on whose cloth lies what is known.
fn read(photo: &Photograph, known: &Photo) -> Option<Repeat> {
    let flat = straighten(photo, known, [None; 2]).unwrap_or_else(|no| panic!("{no}")).value;
    repeat(&bare(&flat, photo.size_px, known))
}

/// Within 1 % or 1 mm.
fn near(found_mm: Option<f64>, due_mm: f64) -> bool {
    found_mm.is_some_and(|mm| (mm - due_mm).abs() <= (0.01 * due_mm).max(1.0))
}

/// 200 prints: one to four motifs of eight shapes, every fourth print with an echo half a repeat on; straight or half-drop,
/// slanted by up to 3 degrees, light that changes by up to a third each way, noise of 1 to 14 levels of 255, 2.1 to 5.5
/// repeats in the photo.
#[test]
fn two_hundred_drawn_prints_are_read() {
    let one = |seed: u64| {
        let mut chance = Chance(seed * 7919 + 17);
        let print = Drawn::by_chance(&mut chance);
        let taken = Taken::by_chance(&print, 2.1, [1.0, 14.0], &mut chance);
        let found = found(&print.photographed(&taken, &mut chance), taken.px_per_mm);
        let right = found.is_some_and(|found| {
            near(found.along_mm, print.along_mm)
                && near(found.across_mm, print.across_mm())
                && found.half_drop() == print.half_drop
                && (found.slant_deg - taken.slant_deg).abs() < 0.3
        });
        (!right).then(|| format!("{seed}: {:?}, {:?}\n  {found:?}", print, taken.slant_deg))
    };
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let halves = [0, 1].map(|half| scope.spawn(move || (0..100).filter_map(|i| one(2 * i + half)).collect()));
        halves
            .into_iter()
            .flat_map(|half| half.join().unwrap_or_else(|_| vec!["a panic".to_owned(); 200]))
            .collect::<Vec<String>>()
    });
    assert!(wrong.len() <= 4, "{} of 200 are wrong:\n{}", wrong.len(), wrong.join("\n"));
}

fn usual(size_px: [u32; 2]) -> Taken {
    Taken { size_px, px_per_mm: 0.8, slant_deg: 0.0, at_mm: [11.0, 7.0], light: [0.25, -0.2, 0.2], noise: 5.0 }
}

fn with(motifs: Vec<Motif>) -> Drawn {
    Drawn { along_mm: 120.0, column_mm: 90.0, half_drop: false, ground: [0.7, 0.6, 0.4], veins: 0.0, motifs }
}

fn motif(shape: Shape, at: [f64; 2], turn_rad: f64) -> Motif {
    Motif { shape, at, half_mm: 36.0, turn_rad, ink: [0.1, 0.15, 0.4] }
}

#[test]
fn which_way_up_a_print_goes_is_right_or_asked() {
    let half = std::f64::consts::PI;
    let pair = |turn: f64| vec![motif(Shape::Bird, [0.2, 0.3], 0.4), motif(Shape::Bird, [0.7, 0.7], 0.4 + turn)];
    let (mut unsure, mut all) = (0, 0);
    for (print, due) in [
        (with(vec![motif(Shape::Disc, [0.5, 0.5], 0.0)]), Way::EitherWay),
        (with(vec![motif(Shape::Ring, [0.3, 0.5], 0.0)]), Way::EitherWay),
        (with(vec![motif(Shape::Flower(6), [0.5, 0.2], 0.0)]), Way::EitherWay),
        (with(vec![motif(Shape::Bar, [0.5, 0.5], 0.5)]), Way::EitherWay),
        // One head up for each head down.
        (with(pair(half)), Way::EitherWay),
        // Its head for its foot is the same: a triangle that points across the cloth.
        (with(vec![motif(Shape::Triangle, [0.5, 0.5], 0.0)]), Way::EitherWay),
        (with(vec![motif(Shape::Triangle, [0.5, 0.5], half / 2.0)]), Way::OneWay),
        (with(vec![motif(Shape::Leaf, [0.5, 0.5], 0.0)]), Way::OneWay),
        (with(vec![motif(Shape::Leaf, [0.4, 0.5], half)]), Way::OneWay),
        (with(vec![motif(Shape::Bird, [0.5, 0.5], half / 2.0)]), Way::OneWay),
        (with(pair(0.0)), Way::OneWay),
        (with(pair(1.2)), Way::OneWay),
    ] {
        for (seed, half_drop) in [(1, false), (2, true), (3, true)] {
            let print = Drawn { half_drop, ..print.clone() };
            let taken = Taken { slant_deg: seed as f64 - 2.0, ..usual([420, 330]) };
            let found = found(&print.photographed(&taken, &mut Chance(seed)), taken.px_per_mm).expect("a repeat");
            assert!([due, Way::Unsure].contains(&found.way()), "{print:?}: {due:?} is due\n{found:?}");
            unsure += usize::from(found.way() == Way::Unsure);
            all += 1;
        }
    }
    assert!(3 * unsure <= all, "she is asked in {unsure} of {all} cases");
}

#[test]
fn stripes_run_through_one_way() {
    // Even stripes, and three of unlike width: turned end for end those along the cloth come in the other order.
    let even = |at: f64| if at.rem_euclid(32.0) < 16.0 { 0.8 } else { 0.2 };
    let uneven = |at: f64| match at.rem_euclid(60.0) {
        at if at < 8.0 => 0.15,
        at if (20.0..26.0).contains(&at) => 0.35,
        _ => 0.8,
    };
    let taken = Taken { slant_deg: 1.3, px_per_mm: 1.2, ..usual([360, 300]) };
    let photo = |ink: &dyn Fn([f64; 2]) -> f64| photographed(&taken, &mut Chance(5), |at| [ink(at), 0.5, ink(at)]);
    let along = found(&photo(&|at| even(at[1])), 1.2).expect("stripes along");
    assert!(along.along_mm.is_none() && near(along.across_mm, 32.0), "{along:?}");
    assert!((along.slant_deg - 1.3).abs() < 0.3 && along.way() == Way::EitherWay, "{along:?}");
    let across = found(&photo(&|at| uneven(at[0])), 1.2).expect("stripes across");
    assert!(across.across_mm.is_none() && near(across.along_mm, 60.0), "{across:?}");
    assert_eq!(across.way(), Way::OneWay, "{across:?}");
    let check = found(&photo(&|at| even(at[0]) * even(at[1])), 1.2).expect("a check");
    assert!(near(check.along_mm, 32.0) && near(check.across_mm, 32.0) && !check.half_drop(), "{check:?}");
}

/// Of hard photos (1.4 repeats and more, noise up to 60 levels of 255) as many are read rightly as is said.
#[test]
fn as_many_are_right_as_are_said_to_be() {
    let (mut said, mut right, mut spread) = (0.0, 0.0, 0.0);
    for seed in 0..60 {
        let mut chance = Chance(seed * 104_729 + 5);
        let print = Drawn::by_chance(&mut chance);
        let taken = Taken::by_chance(&print, 1.4, [10.0, 60.0], &mut chance);
        let Some(found) = found(&print.photographed(&taken, &mut chance), taken.px_per_mm) else { continue };
        let sure = found.sure_share;
        assert!((0.0..=1.0).contains(&sure));
        let near = near(found.along_mm, print.along_mm) && near(found.across_mm, print.across_mm());
        right += f64::from(u8::from(near && found.half_drop() == print.half_drop));
        said += sure;
        spread += sure * (1.0 - sure);
    }
    // Three standard deviations of as many throws, and one case for the rounding of so few.
    let off: f64 = right - said;
    assert!(off.abs() <= 3.0 * spread.sqrt() + 1.0, "{right} are right, and {said:.1} were said to be");
}
