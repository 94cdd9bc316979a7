//! Worked examples, by hand or by a formula of its own, of what the other groups try only in its shape.

use std::f64::consts::PI;

use chalklight::geometry::{Curve, Draft as Frame};
use chalklight::units::INCH_MM;

use super::{check, example};
use crate::check::{edge_mm, step_mm};

/// The block without its waist for bust 38, waist 32, hip 42, waist depth 16, hip depth 8 (common practice, by hand): chest line
/// 38 / 6 + 1 1/2; the side at the waist lies straight between bust and hip, 8.167 of 16.167 down.
#[test]
fn top_and_tunic_are_as_reckoned_by_hand() {
    for (kind, length, steps) in [
        (
            "shift-top",
            "27 in",
            [
                ("quarter bust", 10.0),
                ("side at the waist", 10.5052),
                ("hem half width", 11.25),
                ("hem at the side", 26.75),
            ],
        ),
        (
            "tunic",
            "34 in",
            [
                ("quarter bust", 10.25),
                ("side at the waist", 10.6289),
                ("hem half width", 13.0),
                ("hem at the side", 33.25),
            ],
        ),
    ] {
        let draft =
            example().kind(kind).long(length.trim_end_matches(" in").parse::<f64>().expect("inches") * INCH_MM).draft();
        for (name, inches) in
            steps.into_iter().chain([("chest line", 38.0 / 6.0 + 1.5), ("quarter hip", 11.0), ("hip line", 24.0)])
        {
            assert!(
                (step_mm(&draft, name) / INCH_MM - inches).abs() < 1e-4,
                "{kind}: {name} {}",
                step_mm(&draft, name) / INCH_MM
            );
        }
        let front = draft.piece("front").expect("a front");
        for (level, inches) in [("chest", steps[0].1), ("waist", steps[1].1)] {
            let y_mm = front.level_mm(level).expect("a level");
            assert!((front.width_mm(y_mm).expect("a side") / INCH_MM - inches).abs() < 1e-4, "{kind} at the {level}");
        }
        assert!(check(&draft, "over shoulders and bust").ok, "{kind} has no waist to get past");
    }
}

/// A neck on a level shoulder, in inches from the centre and down.
fn neck(neckline: &'static str, [wide, deep]: [f64; 2]) -> Curve<Frame> {
    let sizes = [("shoulder_drop", 0.0), ("neck_half_width", wide), ("front_neck_depth", deep)];
    let order = example().choose("neckline", neckline);
    let order = sizes.iter().fold(order, |order, (rule, inches)| order.rule(rule, &format!("\"{inches} in\"")));
    order.draft().piece("front").expect("a front").edge("neck").expect("a neck").curve.clone()
}

/// Length of a cubic by Simpson's rule over its speed.
fn cubic_length([a, b, c, d]: [[f64; 2]; 4]) -> f64 {
    let speed = |t: f64| {
        let u = 1.0 - t;
        let of = |i: usize| 3.0 * (u * u * (b[i] - a[i]) + 2.0 * u * t * (c[i] - b[i]) + t * t * (d[i] - c[i]));
        of(0).hypot(of(1))
    };
    let n = 2000;
    let weight = |i: i32| {
        if i == 0 || i == n {
            1.0
        } else if i % 2 == 1 {
            4.0
        } else {
            2.0
        }
    };
    (0..=n).map(|i| weight(i) * speed(f64::from(i) / f64::from(n))).sum::<f64>() / (3.0 * f64::from(n))
}

/// A boat neck is a quarter of an ellipse 5 1/2 by 2 3/4, by Ramanujan's formula (1914) 6.661 in long; a scoop 4 1/4 by 6 1/2 a cubic
/// with handles of 3/4 of either side; both are deeper and fuller than the straight line.
#[test]
fn boat_and_scoop_have_their_length() {
    let (a, b) = (5.5_f64, 2.75_f64);
    let quarter = PI * (3.0 * (a + b) - ((3.0 * a + b) * (a + 3.0 * b)).sqrt()) / 4.0;
    assert!((quarter - 6.661).abs() < 1e-3, "{quarter}");
    let boat = neck("boat", [a, b]).length_mm() / INCH_MM;
    assert!((boat / quarter - 1.0).abs() < 5e-4, "{boat} for {quarter}");
    let [wide, deep] = [4.25, 6.5];
    let expected = cubic_length([[wide, 0.0], [wide, 0.75 * deep], [0.75 * wide, deep], [0.0, deep]]);
    let scoop = neck("scoop", [wide, deep]).length_mm() / INCH_MM;
    assert!((scoop - expected).abs() < 1e-4 && scoop > wide.hypot(deep), "{scoop} for {expected}");
}

/// A sweetheart neck 4 1/4 by 6 1/2: its straps end at 0.82 of the half width and 0.55 of the depth, 3.485 and 3.575 in, from where each
/// lobe goes a little up and then steeply into the dip at the centre (common practice, by hand).
#[test]
fn a_sweetheart_neck_has_two_lobes_and_a_dip() {
    let neck = neck("sweetheart", [4.25, 6.5]);
    let at = |share: f64| neck.at_length(share * neck.length_mm()).0 / INCH_MM;
    let way = (0..=4000).map(|i| at(f64::from(i) / 4000.0));
    let nearest = way.clone().map(|p| (p.x - 3.485).hypot(p.y - 3.575)).fold(f64::INFINITY, f64::min);
    assert!(nearest < 0.01, "{nearest} in off the strap's end");
    let inside: Vec<_> = way.filter(|p| p.x < 3.48).collect();
    let highest = inside.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    assert!(highest < 3.575 && highest > 2.0, "a lobe rises to {highest}");
    assert!((neck.end().x).abs() < 1e-9 && (neck.end().y / INCH_MM - 6.5).abs() < 1e-9);
    let into = neck.end_direction();
    assert!((into.y / -into.x - 2.0).abs() < 1e-6, "the dip is as steep as 2 to 1: {into:?}");
}

/// Half a ring on the armhole, 6 in deep: at its hem it is pi x 6 in longer; of another share of a ring by that share (geometry).
#[test]
fn a_flutter_sleeve_is_as_long_at_its_hem_as_its_ring() {
    let draft = super::sleeved("flutter").draft();
    let sleeve = draft.piece("sleeve").expect("a sleeve");
    let armhole =
        ["front", "back"].map(|name| edge_mm(draft.piece(name).expect("a piece"), "armhole")).iter().sum::<f64>();
    let hem = armhole + PI * 6.0 * INCH_MM;
    assert!((edge_mm(sleeve, "hem") - hem).abs() < 0.1, "{} for {hem}", edge_mm(sleeve, "hem"));
    for (turn, share) in [("0.25", 0.25), ("0.75", 0.75)] {
        let draft = super::sleeved("flutter").rule("flutter_turn", turn).draft();
        let hem = armhole + 2.0 * PI * share * 6.0 * INCH_MM;
        assert!((edge_mm(draft.piece("sleeve").expect("a sleeve"), "hem") - hem).abs() < 0.1, "{turn}");
    }
}
