//! Misreadings are named, or at least noticed, and clean sets are left in peace; a small draw of what
//! `cargo bench --bench misreadings` prints.

use chalklight::calibrate::calibrate;
use chalklight::calibrate::hypotheses::{LENS_MODELS, weights};
use chalklight::calibrate::network::Network;
use chalklight::calibrate::slips::explore;
use chalklight::calibrate::start::first_map;

use super::synthetic::{Chance, Manner, Projector, misread, read};

/// How many of a hundred sets were named exactly, and how many noticed.
fn named(manner: Manner, wrong: usize, seed: u64) -> (usize, usize) {
    let mut chance = Chance(seed);
    let (mut exact, mut noticed) = (0, 0);
    for _ in 0..100 {
        let projector = Projector::blind(&mut chance);
        let mut readings = read(&projector, manner, &mut chance);
        let mut wrong = misread(&mut readings, wrong, &mut chance);
        let fit = calibrate(&readings).expect("a table").value.fit.expect("a fit");
        let mut suspects: Vec<String> = fit.suspects.iter().map(|s| s.reading.clone()).collect();
        suspects.sort();
        wrong.sort();
        exact += usize::from(suspects == wrong);
        noticed += usize::from(!suspects.is_empty() || fit.noise > 1.0);
    }
    (exact, noticed)
}

#[test]
fn one_and_two_misreadings_are_named() {
    let places = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: None };
    let sixteen = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(16) };
    for (manner, count, least) in [(places, 1, 98), (places, 2, 98), (sixteen, 1, 96), (sixteen, 2, 94)] {
        let (exact, noticed) = named(manner, count, 41 + count as u64);
        assert!(exact >= least, "{manner:?}: {exact} of 100 sets with {count} misreadings named");
        assert_eq!(noticed, 100, "{manner:?} with {count} misreadings");
    }
}

#[test]
fn clean_sets_are_not_accused() {
    for distances in [None, Some(16)] {
        let mut chance = Chance(51);
        let manner = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances };
        let accused = (0..100)
            .filter(|_| {
                let projector = Projector::blind(&mut chance);
                let readings = read(&projector, manner, &mut chance);
                let fit = calibrate(&readings).expect("a table").value.fit.expect("a fit");
                !fit.suspects.is_empty()
            })
            .count();
        assert!(accused <= 1, "{accused} of 100 clean sets accused ({distances:?})");
    }
}

/// Six distances have one to spare: a slip shows, but no reading can be singled out.
#[test]
fn a_slip_among_six_distances_is_noticed_and_not_named() {
    let mut chance = Chance(61);
    for _ in 0..10 {
        let projector = Projector::draw(&mut chance, 0.0);
        let manner = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(6) };
        let mut readings = read(&projector, manner, &mut chance);
        if let chalklight::table::Kind::Distance { distance_mm, .. } = &mut readings.readings[2].kind {
            *distance_mm += 40.0;
        }
        let told = calibrate(&readings).expect("a table");
        let fit = told.value.fit.expect("a fit");
        assert!(!fit.trusted && fit.suspects.len() >= 4, "{:?}", fit.suspects);
        assert!(told.remarks.iter().any(|r| r.sentence.contains("too few others check it")), "{:?}", told.remarks);
    }
}

/// The lens terms' share of belief on a 7x5 mat at half a millimetre.
#[test]
fn a_lens_is_believed_when_it_is_there() {
    let mut chance = Chance(71);
    let manner = Manner { columns: 7, rows: 5, sigma_mm: 0.5, distances: None };
    let mut right = [0, 0];
    for i in 0..200 {
        let with_lens = i % 2 == 1;
        let k1 = if with_lens { chance.between(0.03, 0.08) * if i % 4 == 1 { 1.0 } else { -1.0 } } else { 0.0 };
        let projector = Projector::draw(&mut chance, k1);
        let readings = read(&projector, manner, &mut chance);
        let network = Network::of(&readings);
        let start = first_map(&readings, &network).expect("a start");
        let hypotheses = explore(&network, &LENS_MODELS, &start);
        let lens: f64 = hypotheses
            .iter()
            .zip(weights(&hypotheses))
            .filter(|(h, _)| !h.model.lens_terms().is_empty())
            .map(|(_, w)| w)
            .sum();
        right[usize::from(with_lens)] += usize::from((lens > 0.5) == with_lens);
    }
    assert!(right[0] >= 95 && right[1] >= 95, "right about {right:?} of 100 without and 100 with a lens");
}
