//! Letters can be read whichever way the picture is thrown: seen from above, an L has its foot on the right.

use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::above::{View, seen};
use chalklight::geometry::{Point, Vector};
use chalklight::scene::{Letters, Marks};

#[test]
fn letters_are_never_mirrored() {
    let letters = vec![Letters {
        text: "L".to_owned(),
        at: Point::new(560.0, 300.0),
        along: Vector::new(1.0, 0.0),
        cap_mm: 80.0,
        light: [255; 3],
    }];
    let scene = on_cloth(Marks { letters, ..Marks::default() });
    let small = Hang { picture_px: [640, 360], px_per_mm: 0.53, ..Hang::PLAIN };
    let turned = |roll_deg| Hang { roll_deg, ..small }.table();
    let mut mirrored = small.table();
    // A mirror in the light's way: columns counted from the other side.
    for i in 0..3 {
        mirrored.homography[0][i] = 640.0 * mirrored.homography[2][i] - mirrored.homography[0][i];
    }
    for (way, table) in
        [("upright", turned(0.0)), ("turned", turned(180.0)), ("sideways", turned(90.0)), ("mirrored", mirrored)]
    {
        let picture = thrown(&scene, &square(), &table).expect("a picture");
        let view = View { from_mm: Point::new(540.0, 280.0), size_mm: [120.0, 120.0], px_per_mm: 1.0 };
        let shown = seen(&picture, &table, None, view);
        let dark = shown.get_pixel(0, 0).0[1];
        let lit = |x: std::ops::Range<u32>, y: std::ops::Range<u32>| {
            y.flat_map(|y| x.clone().map(move |x| (x, y)))
                .filter(|&(x, y)| shown.get_pixel(x, y).0[1] > dark + 60)
                .count()
        };
        // The letter stands from 20 to 100 mm up; its stem left of 45 mm, its foot below 35 mm.
        let (stem, foot, empty) = (lit(20..45, 20..80), lit(45..80, 80..105), lit(45..110, 15..70));
        assert!(stem > 200 && foot > 100 && empty == 0, "{way}: stem {stem}, foot {foot}, beside the stem {empty}");
    }
}
