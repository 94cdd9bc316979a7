use super::tables::Hang;
use chalklight::geometry::{Point, Vector};
use chalklight::scene::{Fill, Letters, Marks, Pose, Scene, Stroke};
use chalklight::throw::{Bed, picture};

#[test]
fn look() {
    let hang = Hang { tilt_deg: [20.0, 5.0], k1: -0.05, k2: 0.01, roll_deg: 3.0, ..Hang::PLAIN };
    let table = hang.table();
    let p = |x, y| Point::new(x, y);
    let white = [255, 255, 255];
    let mut m = Marks::default();
    for (i, w) in [0.3, 0.5, 1.0, 1.5, 3.0, 8.0].into_iter().enumerate() {
        let y = 100.0 + 40.0 * i as f64;
        m.strokes.push(Stroke {
            points: vec![p(100.0, y), p(300.0, y + 7.0), p(320.0, y + 30.0), p(330.0, y), p(331.0, y + 20.0)],
            closed: false,
            width_mm: w,
            light: white,
        });
        m.strokes.push(Stroke {
            points: (0..60)
                .map(|k| {
                    let a = k as f64 / 60.0 * std::f64::consts::TAU;
                    p(400.0 + 15.0 * a.cos(), y + 15.0 * a.sin())
                })
                .collect(),
            closed: true,
            width_mm: w,
            light: [255, 220, 80],
        });
    }
    m.fills.push(Fill {
        rings: vec![
            vec![p(500.0, 100.0), p(800.0, 120.0), p(780.0, 300.0), p(520.0, 310.0)],
            (0..40)
                .map(|k| {
                    let a = k as f64 / 40.0 * std::f64::consts::TAU;
                    p(650.0 + 50.0 * a.cos(), 200.0 + 50.0 * a.sin())
                })
                .collect(),
        ],
        light: [200, 200, 255],
    });
    m.letters.push(Letters {
        text: "Front: cut 1 on the fold, 16\u{2151} è".into(),
        at: p(500.0, 400.0),
        along: Vector::new(1.0, 0.0),
        cap_mm: 12.0,
        light: white,
    });
    m.letters.push(Letters {
        text: "small text 5 mm".into(),
        at: p(500.0, 450.0),
        along: Vector::new(0.8, 0.6),
        cap_mm: 5.0,
        light: white,
    });
    m.letters.push(Letters {
        text: "dark".into(),
        at: p(520.0, 150.0),
        along: Vector::new(1.0, 0.0),
        cap_mm: 30.0,
        light: [0; 3],
    });
    m.strokes.push(Stroke {
        points: vec![p(510.0, 110.0), p(790.0, 290.0)],
        closed: false,
        width_mm: 2.0,
        light: [0; 3],
    });
    let scene = Scene { ground: [0; 3], on_cloth: m, on_table: Marks::default() };
    let img =
        picture(&scene, &Pose { at_mm: p(0.0, 0.0).cast_unit(), turn_rad: 0.0 }, Bed { table: &table, stack_mm: 0.0 })
            .unwrap();
}
