//! Cloth without a repeat is said to have none.

use super::*;

fn none(what: &str, photo: &Photograph) {
    let found = found(photo, 0.8);
    assert!(found.is_none(), "{what}: {found:?}");
}

#[test]
fn plain_cloth_has_none() {
    for seed in 0..10 {
        let mut chance = Chance(seed);
        let light = [chance.between(-0.35, 0.35), chance.between(-0.35, 0.35), chance.between(0.0, 0.3)];
        let taken = Taken { light, noise: seed as f64 * 3.0, ..usual([340, 280]) };
        none("plain", &photographed(&taken, &mut chance, |_| [0.5, 0.3, 0.2]));
        // Crumpled: the light falls off to one side behind a fold.
        let fold = |at: [f64; 2]| if at[0] + 0.3 * at[1] > 40.0 { 0.4 } else { 0.5 };
        none("a fold", &photographed(&taken, &mut chance, |at| [fold(at); 3]));
    }
    let size_px = [200, 150];
    none("all of one level", &Photograph { size_px, rgb: vec![[90, 90, 90]; 30_000] });
    none("black", &Photograph { size_px, rgb: vec![[0, 0, 0]; 30_000] });
}

#[test]
fn noise_has_none() {
    for seed in 0..10 {
        let mut chance = Chance(seed + 50);
        let pixel = |chance: &mut Chance| [0, 1, 2].map(|_| chance.below(256) as u8);
        let rgb = (0..300 * 240).map(|_| pixel(&mut chance)).collect();
        none("noise", &Photograph { size_px: [300, 240], rgb });
    }
}

#[test]
fn one_motif_alone_is_none() {
    for (i, shape) in
        [Shape::Disc, Shape::Flower(6), Shape::Leaf, Shape::Triangle, Shape::Bird, Shape::Ring, Shape::Bar]
            .into_iter()
            .enumerate()
    {
        let far = Drawn { along_mm: 3000.0, column_mm: 3000.0, ..with(vec![motif(shape, [0.0, 0.0], 0.7)]) };
        let taken = Taken { at_mm: [20.0, -30.0], ..usual([340, 280]) };
        none("one motif", &far.photographed(&taken, &mut Chance(i as u64)));
    }
}

/// Motifs thrown about without order, many and few.
#[test]
fn motifs_without_order_are_none() {
    for seed in 0..16 {
        let mut chance = Chance(seed + 900);
        let count = [5, 12, 30, 60][seed as usize % 4];
        let half_mm = 260.0 / f64::from(count).sqrt() * chance.between(0.3, 0.6);
        let motifs = (0..count).map(|_| Motif {
            half_mm: half_mm * chance.between(0.8, 1.2),
            ..motif(Shape::Flower(5), [0, 1].map(|_| chance.between(-0.07, 0.07)), chance.between(0.0, 6.0))
        });
        let far = Drawn { along_mm: 3000.0, column_mm: 3000.0, ..with(motifs.collect()) };
        none("no order", &far.photographed(&Taken { at_mm: [0.0, 0.0], ..usual([340, 280]) }, &mut chance));
    }
}
