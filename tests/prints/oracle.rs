//! Prints drawn by NumPy and read by SciPy (`tests/oracles/prints.py`), drawn here again from the same harmonics.

use super::*;

#[test]
fn scipy_finds_the_same_repeat() {
    let oracle: serde_json::Value = serde_json::from_str(include_str!("../oracles/prints.json")).expect("JSON");
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    let [width, height] = [0, 1].map(|i| number(&oracle["size"][i]) as u32);
    let pixel_mm = number(&oracle["mm"]);
    for case in oracle["cases"].as_array().expect("cases") {
        let due_mm = [number(&case["along"]), number(&case["across"])];
        let terms: Vec<[f64; 4]> =
            case["terms"].as_array().expect("terms").iter().map(|t| [0, 1, 2, 3].map(|i| number(&t[i]))).collect();
        let tone = |[x, y]: [f64; 2]| {
            let wave = |[h, k, a, phase]: &[f64; 4]| {
                a * (std::f64::consts::TAU * (h * x / due_mm[0] + k * y / due_mm[1]) + phase).cos()
            };
            // In the logarithms that light is reckoned in, so that nothing is bent.
            0.3 * (0.25 * terms.iter().map(wave).sum::<f64>()).exp()
        };
        let taken = Taken {
            size_px: [width, height],
            px_per_mm: 1.0 / pixel_mm,
            slant_deg: 0.0,
            at_mm: [0.0, 0.0],
            light: [0.0; 3],
            noise: 2.0,
        };
        let photo = photographed(&taken, &mut Chance(3), |at| [tone(at); 3]);
        let found = found(&photo, taken.px_per_mm).expect("a repeat");
        assert_eq!(Some(found.half_drop()), case["half_drop"].as_bool(), "{found:?}");
        for (ours, (theirs, due)) in
            [found.along_mm, found.across_mm].into_iter().zip([0, 1].map(|i| (number(&case["found"][i]), due_mm[i])))
        {
            assert!((theirs / due - 1.0).abs() < 0.005, "SciPy itself finds {theirs} for {due}");
            assert!(near(ours, theirs) && near(ours, due), "{ours:?}, and SciPy {theirs}, drawn {due}");
        }
    }
}

/// A picture of a public package, looked at: two fields of 25 pixels are a repeat, and every second column is dropped by one.
#[test]
fn a_chessboard_of_scikit_image_is_read_as_it_looks() {
    let picture =
        image::load_from_memory(include_bytes!("../data/prints/chessboard_GRAY.png")).expect("a PNG").into_rgb8();
    let photo = Photograph { size_px: [200, 200], rgb: picture.pixels().map(|pixel| pixel.0).collect() };
    let found = found(&photo, 1.0).expect("a repeat");
    assert!(near(found.along_mm, 50.0) && near(found.across_mm, 50.0) && found.half_drop(), "{found:?}");
    assert_eq!(found.way(), Way::EitherWay);
}
