//! Against OpenCV's and SciPy's fits of the same readings: never worse.

use chalklight::calibrate::calibrate;
use chalklight::calibrate::readings::LensBelief;
use chalklight::geometry::Point;
use serde_json::Value;

use super::homography::{numbers, readings};

/// Source: tests/oracles/lenses.py (OpenCV 5.0.0 findHomography and calibrateCamera, SciPy 1.17.1 least_squares).
#[test]
fn errors_are_never_larger_than_those_of_general_purpose_fits() {
    let oracle: Value = serde_json::from_str(include_str!("../oracles/lenses.json")).expect("the oracle's JSON");
    let cases = oracle["cases"].as_array().expect("cases");
    let (mut ours, mut theirs) = (0.0, [0.0; 3]);
    let (mut ours_without_lens, mut bare_without_lens) = (0.0, 0.0);
    for case in cases {
        let mut readings = readings(case);
        readings.lens = LensBelief::default();
        let table = calibrate(&readings).expect("a table").value.table;
        let [w, h] = readings.picture_px.map(f64::from);
        let off = case["truth_mm"].as_array().expect("truth").iter().enumerate().map(|(i, truth)| {
            let px = Point::new(w * ((i / 10) as f64 + 0.5) / 10.0, h * ((i % 10) as f64 + 0.5) / 10.0);
            let [x, y] = numbers(truth);
            (table.mm_from_px(px).expect("a point") - Point::new(x, y)).square_length()
        });
        let off = off.sum::<f64>() / 100.0;
        ours += off;
        if case["k1"].as_f64() == Some(0.0) {
            ours_without_lens += off;
            bare_without_lens += case["bare_rms_mm"].as_f64().expect("their error").powi(2);
        }
        for (sum, name) in theirs.iter_mut().zip(["bare_rms_mm", "camera_rms_mm", "full_rms_mm"]) {
            *sum += case[name].as_f64().expect("their error").powi(2);
        }
    }
    let rms = |sum: f64| (sum / cases.len() as f64).sqrt();
    println!("mm rms over the picture: ours {:.3}, theirs {:.3?}", rms(ours), theirs.map(rms));
    assert!(
        ours_without_lens <= bare_without_lens,
        "without a lens {} mm rms, findHomography, which knows that there is none, {} mm",
        rms(2.0 * ours_without_lens),
        rms(2.0 * bare_without_lens)
    );
    for (sum, name) in theirs.iter().zip(["findHomography", "calibrateCamera", "SciPy"]) {
        assert!(ours <= *sum, "{} mm rms, {name} {} mm", rms(ours), rms(*sum));
    }
}
