//! What is bought and what is left: whole repeats, widths side by side, bias strips counted in another way.

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::geometry::{Cloth, Outline, Point};
use chalklight::lay::{
    LeftOver, Strip, Wanted, in_rectangle, laid_in_rectangle, lay, offers, offers_instead, whole_repeats_mm,
};
use chalklight::order::read;
use chalklight::units::INCH_MM;

use crate::tables::synthetic::Chance;

const ORDER: &str = include_str!("../src/command/demo/order.toml");

/// The home-sewing site diyideas.com: a length of 96 in with a repeat of 27 in is cut at 108 in.
#[test]
fn a_length_is_cut_at_whole_repeats() {
    let inches = |length: f64, repeat: f64| whole_repeats_mm(length * INCH_MM, repeat * INCH_MM) / INCH_MM;
    assert!((inches(96.0, 27.0) - 108.0).abs() < 1e-9);
    // A length that is a whole number of repeats stays as it is, rounding noise and all.
    assert!((inches(81.0, 27.0) - 81.0).abs() < 1e-9 && (inches(81.1, 27.0) - 108.0).abs() < 1e-9);
}

#[test]
fn every_usual_width_is_offered_beside_her_own() {
    let order = |cloth: &str| read(&format!("{ORDER}{cloth}\n")).unwrap_or_else(|no| panic!("{no}")).value;
    let offered = |order: &chalklight::order::Order| {
        let pieces = finish(&draft(order).unwrap().value).unwrap().value;
        let cloth = order.cloth.clone().expect("a cloth");
        let wanted = Wanted::of(&pieces, &cloth, order.system).asking(&order.lay);
        let least = lay(&wanted).unwrap().value;
        (offers(&wanted, &least), least)
    };
    let (plain, least) = offered(&order("price = \"14,50 EUR per m\""));
    let widths_mm: Vec<f64> = plain.iter().map(|offer| offer.width_mm).collect();
    assert_eq!(widths_mm, [900.0, 1120.0, 1140.0, 1150.0, 1400.0, 1500.0]);
    for offer in &plain {
        let wide_enough = offer.width_mm / 2.0 >= least.widest_mm();
        match &offer.bought {
            Ok(bought) => {
                assert!(wide_enough);
                let over_mm = bought.cut_mm - bought.needed_mm;
                assert!((0.0..100.0).contains(&over_mm) && (bought.cut_mm / 100.0).fract() < 1e-9, "{bought:?}");
                let due = format!("{:.2} EUR", 14.50 * bought.cut_mm / 1000.0);
                assert_eq!((bought.plain_mm, bought.price.as_deref()), (bought.needed_mm, Some(due.as_str())));
            }
            Err(no) => assert!(!wide_enough && no.sentence.contains("too narrow"), "{no:?}"),
        }
    }
    // With a repeat: every length to whole repeats, and one to start.
    let (printed, least) = offered(&order("repeat = [\"64 cm\", \"32 cm\"]"));
    let bought = printed[2].bought.as_ref().expect("her own width does");
    let whole_mm = f64::from(least.lengths) * 640.0 * (least.length_mm / 640.0).ceil() + 640.0;
    assert!((bought.needed_mm - whole_mm).abs() < 1e-6, "{bought:?}");
    assert!((least.to_buy_mm() - whole_mm).abs() < 1e-6, "a lay says the same as what is to be bought");
}

/// What to buy is asked most where her own cloth won't do.
#[test]
fn usual_widths_are_offered_where_her_own_is_too_narrow() {
    let order = read(ORDER).unwrap_or_else(|no| panic!("{no}")).value;
    let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
    let narrow = chalklight::order::Cloth { width_mm: 600.0, ..order.cloth.clone().expect("a cloth") };
    let wanted = Wanted::of(&pieces, &narrow, order.system);
    assert!(lay(&wanted).is_err());
    let offered = offers_instead(&wanted);
    let widths_mm: Vec<f64> = offered.iter().map(|offer| offer.width_mm).collect();
    assert_eq!(widths_mm, [600.0, 900.0, 1120.0, 1150.0, 1400.0, 1500.0]);
    assert!(offered[0].bought.as_ref().is_err_and(|no| no.sentence.contains("too narrow")), "{:?}", offered[0]);
    assert!(offered[2..].iter().all(|offer| offer.bought.is_ok()), "{offered:?}");
}

/// The most strips that a rectangle gives, looked for with eyes shut: very many places for the first band, and in each
/// band the levels (or the uprights) at which a strip's end fits, walked over in small steps.
fn looked_for([along, across]: [f64; 2], strip: Strip) -> u32 {
    const STEPS: usize = 400;
    let wide = strip.width_mm * std::f64::consts::SQRT_2;
    let side = |from: f64| {
        let walk = |ends_along: bool| {
            let most = if ends_along { across } else { along };
            let fits = |at: f64| match ends_along {
                true => at + from >= 0.0 && at + from + wide <= along,
                false => at - from - wide >= 0.0 && at - from <= across,
            };
            let count = (0..STEPS).filter(|i| fits((*i as f64 + 0.5) / STEPS as f64 * most)).count();
            count as f64 / STEPS as f64 * most * std::f64::consts::SQRT_2
        };
        walk(true).max(walk(false))
    };
    let total = |first: f64| {
        let bands = ((along + across) / wide) as usize + 2;
        (0..bands).map(|band| (side(first + band as f64 * wide) / strip.length_mm) as u32).sum()
    };
    (0..80).map(|i| total(-across - wide + wide * f64::from(i) / 80.0)).max().unwrap_or(0)
}

/// The strips that are drawn: as many as are counted, as wide and long, within the rectangle, none over another.
fn lie_as_they_must([along, across]: [f64; 2], strip: Strip, count: u32) {
    let laid: Vec<Outline<Cloth>> = laid_in_rectangle([along, across], strip)
        .into_iter()
        .map(|corners| Outline { corners: corners.map(|[x, y]| Point::new(x, y)).to_vec() })
        .collect();
    assert_eq!(laid.len(), count as usize);
    for (i, one) in laid.iter().enumerate() {
        assert!((one.area_mm2() - strip.width_mm * strip.length_mm).abs() < 1e-6 * one.area_mm2());
        let (low, high) = one.bounds();
        let within = low.x >= -1e-5 && low.y >= -1e-5 && high.x <= along + 1e-5 && high.y <= across + 1e-5;
        assert!(within, "{low:?} {high:?} of {along} {across}");
        assert!(laid[i + 1..].iter().all(|other| one.shared_mm2(other) < 0.1));
    }
}

#[test]
fn bias_strips_are_counted_exactly() {
    // By hand: strips from edge to edge of a length 20 in across leave (36 - 20) in of its edge for 1 1/4 in x root 2 each.
    let strip = |width: f64, length: f64| Strip { width_mm: width * INCH_MM, length_mm: length * INCH_MM };
    let inches = |along: f64, across: f64| [along * INCH_MM, across * INCH_MM];
    assert_eq!(in_rectangle(inches(36.0, 20.0), strip(1.25, 20.0 * std::f64::consts::SQRT_2)), 9);
    assert_eq!(in_rectangle(inches(36.0, 20.0), strip(1.25, 29.0)), 0);
    for none in [strip(0.0, 3.0), strip(3.0, 0.0), strip(f64::NAN, 3.0), strip(80.0, 1.0)] {
        assert_eq!(in_rectangle(inches(36.0, 20.0), none), 0);
    }
    let mut chance = Chance(8);
    let mut short = 0;
    for _ in 0..150 {
        let sides_mm = [chance.between(100.0, 1200.0), chance.between(100.0, 1200.0)];
        let strip = Strip { width_mm: chance.between(20.0, 90.0), length_mm: chance.between(80.0, 900.0) };
        let count = in_rectangle(sides_mm, strip);
        assert_eq!(count, in_rectangle([sides_mm[1], sides_mm[0]], strip), "the same the other way round");
        // Two sewing sites: no more than area / width, which leaves out what the slanted ends waste.
        assert!(f64::from(count) * strip.width_mm * strip.length_mm <= sides_mm[0] * sides_mm[1]);
        let found = looked_for(sides_mm, Strip { length_mm: strip.length_mm * 1.01, ..strip });
        lie_as_they_must(sides_mm, strip, count);
        assert!(count >= found, "{sides_mm:?} {strip:?}: {count}, and {found} were found");
        short += u32::from(count > looked_for(sides_mm, Strip { length_mm: strip.length_mm * 0.99, ..strip }));
    }
    // What is counted is also found, by a search that may miss the narrowest fits.
    assert!(short <= 7, "{short} of 150 were counted and not found");
    let left = LeftOver { along_mm: 900.0, across_mm: 300.0, count: 4, at: None };
    assert_eq!(left.strips(strip(1.25, 12.0)), 4 * in_rectangle([900.0, 300.0], strip(1.25, 12.0)));
}
