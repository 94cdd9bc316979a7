//! Motifs: photos made flat as OpenCV would, pieces moved along their lengths and no other way, and what falls where.

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::geometry::{Cloth, Point, Vector, outline::distance_to_side_mm};
use chalklight::lay::{Lay, Wanted, cloth_of, lay};
use chalklight::motif::falls::{Fall, Lies, falls, out_of_step_mm};
use chalklight::motif::open::{spread, strips};
use chalklight::motif::{Open, Photograph, Print, ground, place_on_cloth, straighten};
use chalklight::order::{Known, Order, Photo, read};
use chalklight::remark::Told;
use chalklight::stages::{LineKind, stages};
use nalgebra::{Matrix3, Vector3};
use serde_json::Value;

const ORDER: &str = include_str!("../src/command/demo/order.toml");

/// The demo's order, on lengths folded on their centre, with more lines under [lay].
fn with(lay: &str) -> String {
    ORDER.replace("[lay]\n", &format!("[lay]\n{lay}\n"))
}

fn order(lay: &str) -> Order {
    read(&with(lay)).unwrap_or_else(|no| panic!("{no}")).value
}

/// The demo's dress laid as an order asks for it.
fn asked(text: &str) -> Told<Lay> {
    let order = order(text);
    let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
    let cloth = cloth_of(order.cloth.as_ref()).unwrap();
    let least = lay(&Wanted::of(&pieces, cloth, order.system).asking(&order.lay)).unwrap().value;
    least.as_asked(&order.lay)
}

fn laid(text: &str) -> Lay {
    asked(text).unwrap_or_else(|no| panic!("{no}")).value
}

/// Two slow waves: a print without edges, so that it can be sampled anywhere.
fn waves(at: Point<Open>) -> [f64; 3] {
    let wave = |mm: f64, long_mm: f64| 127.5 + 100.0 * (mm * std::f64::consts::TAU / long_mm).sin();
    [wave(at.x, 390.0), wave(at.y, 510.0), wave(at.x + at.y, 630.0)]
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .expect("a list")
        .iter()
        .flat_map(|it| if it.is_array() { numbers(it) } else { vec![it.as_f64().expect("a number")] })
        .collect()
}

/// A photo of the waves, by a map from its pixels to mm.
fn photographed(size_px: [u32; 2], mm_from_px: impl Fn([f64; 2]) -> Point<Open>) -> Photograph {
    let pixel = |i: u32| {
        let px = [f64::from(i % size_px[0]) + 0.5, f64::from(i / size_px[0]) + 0.5];
        waves(mm_from_px(px)).map(|light| light.round() as u8)
    };
    Photograph { size_px, rgb: (0..size_px[0] * size_px[1]).map(pixel).collect() }
}

/// The largest difference between a flat print and the waves beyond what sampling explains, and the share of it that
/// shows anything. `cover_mm` tells how much cloth a pixel of the photo covers there; none where that
/// is not looked at.
///
/// Between samples at a distance `h` a straight line is off by h²/8 times the second derivative, in both directions; the
/// mean over a print's pixel `s` wide by s²/24 times it; and two levels are rounded.
fn off(print: &Print, inset_px: usize, cover_mm: impl Fn(Point<Open>) -> Option<f64>) -> (f64, f64) {
    let [width, height] = print.size_px;
    let (mut worst, mut shown, mut all) = (f64::MIN, 0.0, 0.0);
    let bend = 100.0 * (std::f64::consts::TAU / 390.0_f64).powi(2);
    let wide_mm = (print.size_mm.x / width as f64).max(print.size_mm.y / height as f64);
    for row in inset_px..height - inset_px {
        for column in inset_px..width - inset_px {
            all += 1.0;
            let pixel = &print.rgba[4 * (row * width + column)..][..4];
            if pixel[3] == 0 {
                continue;
            }
            shown += 1.0;
            let share = [(column as f64 + 0.5) / width as f64, 1.0 - (row as f64 + 0.5) / height as f64];
            let at = print.low_mm + Vector::new(share[0] * print.size_mm.x, share[1] * print.size_mm.y);
            let due = waves(at);
            let Some(cover_mm) = cover_mm(at) else { continue };
            let explained = 1.0 + 2.0 * bend * (cover_mm.powi(2) / 8.0 + wide_mm.powi(2) / 24.0);
            worst = (0..3).map(|i| (f64::from(pixel[i]) - due[i]).abs() - explained).fold(worst, f64::max);
        }
    }
    (worst, shown / all)
}

#[test]
fn a_photo_is_made_flat_as_opencv_would() {
    let oracle: Value = serde_json::from_str(include_str!("oracles/straighten.json")).expect("JSON");
    for case in oracle["cases"].as_array().expect("cases") {
        let [h, corners] = ["mm_from_px", "corners"].map(|key| numbers(&case[key]));
        let two = |key: &str| <[f64; 2]>::try_from(numbers(&case[key])).expect("two numbers");
        let mm_from_px = |[u, v]: [f64; 2]| {
            let row = |i: usize| h[i] * u + h[i + 1] * v + h[i + 2];
            Point::new(row(0) / row(6), row(3) / row(6))
        };
        let at_px = [0, 1, 2, 3].map(|i| [corners[2 * i], corners[2 * i + 1]]);
        let photo = Photo { known: Known::Corners { at_px, size_mm: two("size") }, at_mm: two("at"), slant_deg: 0.0 };
        let print = straighten(&photographed([640, 480], mm_from_px), &photo, [None; 2])
            .unwrap_or_else(|no| panic!("{no}"))
            .value;
        let back = Matrix3::from_row_slice(&h).try_inverse().expect("OpenCV's homography");
        let cover_mm = |at: Point<Open>| {
            let px = back * Vector3::new(at.x, at.y, 1.0);
            let step = |u: f64, v: f64| (mm_from_px([px.x / px.z + u, px.y / px.z + v]) - at).length();
            let cover_mm = step(1.0, 0.0).hypot(step(0.0, 1.0));
            // At the photo's edge there is nothing to mix with; towards the horizon the map itself bends within a pixel.
            let inner = [(px.x / px.z, 639.0), (px.y / px.z, 479.0)].iter().all(|(px, most)| (1.0..*most).contains(px));
            (inner && cover_mm < 5.0).then_some(cover_mm)
        };
        let (worst, shown) = off(&print, 0, cover_mm);
        assert!(worst <= 0.1, "off by {worst} levels of 255 more than sampling explains");
        assert!(shown > 0.3, "only {shown} of the print is shown");
    }
}

#[test]
fn a_known_length_in_a_photo_from_above_gives_its_scale() {
    // Two pixels a millimetre, the photo's lower left 30 mm along and 50 mm across.
    let mm_from_px = |[u, v]: [f64; 2]| Point::new(30.0 + u / 2.0, 50.0 + (480.0 - v) / 2.0);
    let photo = Photo {
        known: Known::Length { at_px: [[100.0, 80.0], [400.0, 480.0]], mm: 250.0 },
        at_mm: [30.0, 50.0],
        slant_deg: 0.0,
    };
    let print = straighten(&photographed([640, 480], mm_from_px), &photo, [None; 2]).unwrap().value;
    assert!((print.low_mm - Point::new(30.0, 50.0)).length() < 1e-9);
    assert!((print.size_mm - Vector::new(320.0, 240.0)).length() < 1e-9);
    let (worst, shown) = off(&print, 1, |_| Some(0.5));
    assert!(worst <= 0.1 && shown == 1.0, "off by {worst}, {shown} shown");
}

#[test]
fn one_repeat_is_taken_where_the_photo_shows_one() {
    let mm_from_px = |[u, v]: [f64; 2]| Point::new(u / 2.0, (480.0 - v) / 2.0);
    let photograph = photographed([640, 480], mm_from_px);
    let photo = Photo {
        known: Known::Length { at_px: [[0.0, 0.0], [200.0, 0.0]], mm: 100.0 },
        at_mm: [0.0, 0.0],
        slant_deg: 0.0,
    };
    let told = straighten(&photograph, &photo, [Some(130.0), Some(170.0)]).unwrap();
    assert!(told.value.repeats && told.remarks.is_empty());
    assert!((told.value.size_mm - Vector::new(130.0, 170.0)).length() < 1e-9);
    let told = straighten(&photograph, &photo, [Some(330.0), Some(170.0)]).unwrap();
    assert!(!told.value.repeats && told.remarks[0].sentence.contains("less than one repeat"));
}

/// Under the lay lies the layer that is on the table: of the demo's cloth, 114 cm wide and folded along its centre, what is
/// more than 57 cm from the near selvedge. It is paled to half.
#[test]
fn the_ground_of_a_lay_is_the_print_that_lies_there() {
    let mm_from_px = |[u, v]: [f64; 2]| Point::new(2.0 * u, 400.0 + (480.0 - v) * 2.0);
    let known = Known::Length { at_px: [[0.0, 0.0], [400.0, 0.0]], mm: 800.0 };
    let photo = Photo { known, at_mm: [0.0, 400.0], slant_deg: 0.0 };
    let print = straighten(&photographed([640, 480], mm_from_px), &photo, [None; 2]).unwrap().value;
    let lay = laid("");
    let ground = chalklight::motif::ground(&lay, &print);
    let [width, height] = ground.size_px.map(f64::from);
    assert!(width.max(height) <= 1600.0 && (width / height - lay.length_mm / 570.0).abs() < 0.01);
    let mut worst: f64 = 0.0;
    for (i, pixel) in ground.rgb.chunks(3).enumerate() {
        let (column, row) = ((i as u32 % ground.size_px[0]) as f64, (i as u32 / ground.size_px[0]) as f64);
        let x = (column + 0.5) / width * lay.length_mm;
        let y = (1.0 - (row + 0.5) / height) * 570.0;
        let seen = waves(Point::new(x, 570.0 + y)).map(|light| 255.0 - 0.5 * (255.0 - light));
        (0..3).for_each(|k| worst = worst.max((f64::from(pixel[k]) - seen[k]).abs()));
    }
    // A pixel of the photo covers 2 mm, over which the steepest wave changes by 3.2 levels, paled by half.
    assert!(worst <= 2.7, "off by {worst} levels of 255");
    // Beside the photo the paper stays white.
    let beside = Photo { at_mm: [0.0, 5000.0], ..photo };
    let print = straighten(&photographed([64, 48], mm_from_px), &beside, [None; 2]).unwrap_err();
    assert!(print.to_string().contains("is not in the photo"));
    let known = Known::Length { at_px: [[0.0, 0.0], [40.0, 0.0]], mm: 80.0 };
    let far = straighten(&photographed([64, 48], mm_from_px), &Photo { known, ..beside }, [None; 2]).unwrap().value;
    assert!(self::ground(&lay, &far).rgb.iter().all(|level| *level == 255));
}

#[test]
fn a_motif_in_a_photo_lies_where_opencv_says() {
    let oracle: Value = serde_json::from_str(include_str!("oracles/straighten.json")).expect("JSON");
    for case in oracle["cases"].as_array().expect("cases") {
        let [h, corners] = ["mm_from_px", "corners"].map(|key| numbers(&case[key]));
        let two = |key: &str| <[f64; 2]>::try_from(numbers(&case[key])).expect("two numbers");
        let at_px = [0, 1, 2, 3].map(|i| [corners[2 * i], corners[2 * i + 1]]);
        let photo = Photo { known: Known::Corners { at_px, size_mm: two("size") }, at_mm: two("at"), slant_deg: 0.0 };
        let middle = [0, 1].map(|i| at_px.iter().map(|at| at[i]).sum::<f64>() / 4.0);
        let row = |i: usize| h[i] * middle[0] + h[i + 1] * middle[1] + h[i + 2];
        let at = place_on_cloth([640, 480], &photo, middle).unwrap_or_else(|no| panic!("{no}"));
        assert!((at - Point::new(row(0) / row(6), row(3) / row(6))).length() < 1e-3, "{at:?}");
        assert!(place_on_cloth([640, 480], &photo, [700.0, 3.0]).unwrap_err().to_string().contains("not in the photo"));
    }
}

#[test]
fn what_a_photo_says_of_itself_is_checked() {
    let size = "size = [\"60 cm\", \"40 cm\"]";
    for (photo, says) in [
        (format!("corners = [[1, 9], [9, 9], [9, 1]]\n{size}"), "not the four corners"),
        (format!("corners = [[9, 9], [1, 9], [1, 1], [9, 1]]\n{size}"), "not the four corners"),
        (format!("corners = [[1, 9], [9, 9], [1, 1], [9, 1]]\n{size}"), "not the four corners"),
        (format!("corners = \"all\"\n{size}"), "no list of points"),
        ("corners = [[1, 9], [9, 9], [9, 1], [1, 1]]".to_owned(), "photo.size is missing"),
        ("ends = [[1, 9], [9, 9]]".to_owned(), "photo.length is missing"),
        ("ends = [[1, 9], [1, 9]]\nlength = \"3 cm\"".to_owned(), "not two places"),
        (format!("corners = [[1, 9], [9, 9], [9, 1], [1, 1]]\nends = [[1, 2], [3, 4]]\n{size}"), "can't both"),
        (format!("corners = [[1, 9], [9, 9], [9, 1], [1, nan]]\n{size}"), "no list of points"),
        (format!("corners = [[1, 9], [9, 9], [9, 1], [1, 1]]\n{size}\nscent = 3"), "scent is not known"),
    ] {
        let no = read(&format!("{ORDER}\n[photo]\n{photo}\n")).expect_err(&photo);
        assert!(no.to_string().contains(says), "{photo}: {no}");
        assert!(no.remarks.iter().all(|remark| remark.remedy.is_some()), "{no}");
    }
}

#[test]
fn a_piece_moves_along_and_no_other_way() {
    let (least, moved) = (laid(""), laid("front = \"35 mm\"\nback = \"12 mm\""));
    for (name, shift_mm) in [("front", 35.0), ("back", 12.0)] {
        let of = |lay: &Lay| lay.placed.iter().find(|placed| placed.piece.name == name).expect("the piece").cut();
        for (a, b) in of(&least).corners.iter().zip(&of(&moved).corners) {
            assert!((*b - *a - Vector::new(shift_mm, 0.0)).length() < 1e-9);
        }
    }
    // Both hems lie level, so every length is longer by the larger shift.
    assert!((moved.length_mm - least.length_mm - 35.0).abs() < 1e-6);
    assert!((moved.used_mm - 2.0 * moved.length_mm).abs() < 1e-9);
    assert!((laid("room = \"6 cm\"").length_mm - least.length_mm - 60.0).abs() < 1e-9);
    let across = least.hinders(0, Vector::new(0.0, 3.0), least.range_uncut(0)).expect("a hindrance");
    assert!(across.sentence.contains("lies on the fold") && across.remedy.is_some());
}

#[test]
fn a_piece_goes_as_far_as_the_cloth_and_says_what_more_would_need() {
    let least = laid("room = \"2 cm\"");
    for (i, placed) in least.placed.iter().enumerate() {
        let range = least.range_uncut(i);
        let at = |shift_mm: f64| asked(&format!("room = \"2 cm\"\n{} = \"{shift_mm:.4} mm\"", placed.piece.name));
        assert!(at(range.most_mm - 0.001).is_ok() && at(range.least_mm + 0.001).is_ok(), "{range:?}");
        assert!(least.hinders(i, Vector::new(range.most_mm, 0.0), range).is_none());
        let says = least.hinders(i, Vector::new(range.most_mm + 10.0, 0.0), range).expect("a hindrance").to_string();
        assert!(says.contains("1 cm more needs 2 cm more cloth, 1 cm for each of 2 lengths"), "{says}");
        let no = at(range.most_mm + 1.0).unwrap_err().to_string();
        assert!(no.contains("more cloth than there is") && no.contains("move them"), "{no}");
        let no = at(range.least_mm - 5.0).unwrap_err().to_string();
        assert!(no.contains("past the cut end"), "{no}");
    }
    let no = asked("frnt = \"1 cm\"").unwrap_err().to_string();
    assert!(no.contains("frnt is no piece") && no.contains("did you mean front"), "{no}");
    for (lay, says) in [("front = 3", "has no unit"), ("room = \"-1 cm\"", "no place on a cloth")] {
        let no = read(&with(lay)).unwrap_err().to_string();
        assert!(no.contains(says), "{no}");
    }
}

#[test]
fn on_lengths_that_are_cut_a_piece_moves_within_their_room() {
    let lay = laid("room = \"3 cm\"");
    assert!((lay.range_as_cut(0).most_mm - 30.0).abs() < 1.0, "{:?}", lay.range_as_cut(0));
    let on = |top_mm: f64| [Vector::new(top_mm, 0.0), Vector::zero()];
    let moved = lay.moved(&on(20.0)).expect("within the room");
    assert_eq!((moved.length_mm, moved.shifts_mm()), (lay.length_mm, on(20.0).to_vec()));
    assert_eq!(moved.moved(&on(0.0)).expect("back again"), lay);
    assert!(
        lay.moved(&on(31.0)).is_none() && lay.moved(&on(20.0)[..1]).is_none() && lay.moved(&on(f64::NAN)).is_none()
    );
    assert!(lay.moved(&[Vector::new(0.0, 1.0), Vector::zero()]).is_none(), "its centre lies on the fold");
}

/// However pieces are moved, every edge of each is cut in some stage: on a line of it, or along one that was cut before.
#[test]
fn every_edge_of_a_moved_piece_is_cut() {
    for text in ["", "front = \"40 mm\"", "back = \"55 mm\"", "front = \"30 mm\"\nback = \"90 mm\"\nroom = \"1 cm\""] {
        let lay = laid(text);
        let stages = stages(&lay);
        let lines = stages.iter().flat_map(|stage| &stage.lines).filter(|line| line.kind == LineKind::Cut);
        let sides: Vec<(Point<Cloth>, Point<Cloth>)> =
            lines.flat_map(|line| line.points.windows(2)).map(|side| (side[0], side[1])).collect();
        for placed in &lay.placed {
            for (a, b) in placed.cut().sides().filter(|(a, b)| a.y > 1.0 || b.y > 1.0) {
                let middle = a.lerp(b, 0.5);
                let near_mm = sides.iter().map(|side| distance_to_side_mm(middle, *side)).fold(f64::MAX, f64::min);
                assert!(near_mm < 0.5, "{text}: the {} is not cut at {middle:?}, {near_mm} mm", placed.piece.name);
            }
        }
    }
}

#[test]
fn an_unfolded_piece_is_both_its_halves() {
    let lay = laid("back = \"25 mm\"");
    for spread in spread(&lay) {
        let placed = &lay.placed[spread.piece];
        for (whole, half) in [(&spread.cut, &placed.piece.cut), (&spread.sewn, &placed.piece.sewn)] {
            assert!((whole.area_mm2() - 2.0 * half.area_mm2()).abs() < 1.0, "{}", spread.name);
            assert!(whole.is_simple());
            let (low, high) = whole.bounds();
            assert!((low.y + high.y - lay.cloth.width_mm).abs() < 1e-6, "it lies beside the fold");
            let area: f64 = strips(whole, 0.5).iter().map(|(_, [from, to])| 0.5 * (to - from)).sum();
            assert!((area / whole.area_mm2() - 1.0).abs() < 1e-3, "strips of {}", spread.name);
        }
        let (low, high) = spread.cut.bounds();
        let length = f64::from(spread.piece as u32) * lay.length_mm;
        assert!(low.x >= length - 1e-6 && high.x <= length + lay.length_mm + 1e-6, "it leaves its length");
    }
}

#[test]
fn moved_by_what_is_out_of_step_the_print_is_in_step() {
    let repeat_mm = 170.0;
    let out = |lay: &Lay| {
        let spreads = spread(lay);
        out_of_step_mm(&spreads[0], &spreads[1], repeat_mm).expect("both have levels")
    };
    let before = laid("room = \"20 cm\"");
    let off_mm = out(&before);
    assert!(off_mm.abs() > 1.0 && off_mm.abs() <= repeat_mm / 2.0);
    // On the lengths as they are cut nothing else moves.
    let range = before.range_as_cut(1);
    let shift_mm = [-off_mm, repeat_mm - off_mm].into_iter().find(|mm| range.nearest_mm(*mm) == *mm).expect("room");
    let moved = before.moved(&[Vector::zero(), Vector::new(shift_mm, 0.0)]).expect("within the room");
    assert!(out(&moved).abs() < 1e-6, "{} out of step", out(&moved));
    let spreads = spread(&moved);
    let cloth = chalklight::order::Cloth { repeat_mm: [Some(repeat_mm), None], motif_mm: None, ..moved.cloth.clone() };
    let [one, other] = [0, 1].map(|i| falls(&spreads[i], None, &cloth, [0.0; 2]));
    let mut compared = 0;
    for (a, b) in one.iter().zip(&other).filter(|(a, b)| a.place == b.place && a.place != "hem") {
        let (Lies::Into(a_mm), Lies::Into(b_mm)) = (a.lies, b.lies) else { panic!("{a:?} {b:?}") };
        let apart = (a_mm - b_mm).abs();
        assert!(apart < 1e-6 || (apart - repeat_mm).abs() < 1e-6, "{a:?} {b:?}");
        compared += 1;
    }
    assert!(compared >= 2, "{one:?} {other:?}");
}

/// What falls on the named places, against the places themselves: a motif put on each in turn, and so far off it.
#[test]
fn what_falls_on_bust_centre_waist_and_hem_is_told_by_their_names() {
    let lay = laid("room = \"20 cm\"");
    let spreads = spread(&lay);
    let front = spreads.iter().find(|spread| spread.name == "front").expect("a front");
    let bust_mm = 270.0;
    let bust = front.open_from_draft.transform_point(Point::new(0.0, bust_mm));
    let level = |name: &str| front.levels.iter().find(|(level, _)| *level == name).expect(name).1[0].x;
    let (low, high) = front.sewn.bounds();
    for off_mm in [0.0, 12.0, -30.0] {
        for (place, x_mm) in [("bust", bust.x), ("waist", level("waist")), ("hem", level("hem"))] {
            // A motif so far below the place, as seen with her head up: the lay's first piece lies head to the cut end.
            let motif_mm = Some([x_mm + off_mm + 340.0, (low.y + high.y) / 2.0 + 25.0]);
            let cloth =
                chalklight::order::Cloth { repeat_mm: [Some(170.0), Some(110.0)], motif_mm, ..lay.cloth.clone() };
            let told = falls(front, Some(bust_mm), &cloth, [0.0; 2]);
            let of = |place: &str| told.iter().find(|fall| fall.place == place).map(|fall: &Fall| fall.lies);
            let Some(Lies::Above(mm)) = of(place) else { panic!("{place}: {told:?}") };
            assert!((mm - off_mm).abs() < 1e-6, "{place} is {mm} above a motif, not {off_mm}");
            let Some(Lies::Beside(mm)) = of("centre") else { panic!("{told:?}") };
            assert!((mm - 25.0).abs() < 1e-6, "the centre is {mm} beside a motif");
        }
    }
    // Moved on by the hand, it falls so much lower, and what is moved lies as a whole.
    let moved = front.moved(Vector::new(40.0, 0.0));
    let cloth =
        chalklight::order::Cloth { repeat_mm: [Some(170.0), None], motif_mm: Some([bust.x, 0.0]), ..lay.cloth.clone() };
    let told = falls(&moved, Some(bust_mm), &cloth, [0.0; 2]);
    assert_eq!(told[0], Fall { place: "bust", lies: Lies::Above(-40.0) });
    assert!(told.iter().all(|fall| fall.place != "centre"), "stripes run through across: {told:?}");
    assert!((moved.cut.area_mm2() - front.cut.area_mm2()).abs() < 1e-6);
}

#[test]
fn marks_outside_of_a_photo_measure_nothing() {
    let photograph = chalklight::motif::Photograph { size_px: [400, 300], rgb: vec![[90; 3]; 400 * 300] };
    for (marks, says) in [
        ("ends = [[0, 150], [700, 150]]\nlength = \"72 cm\"", "is not in the photo"),
        ("ends = [[100, 150], [103, 150]]\nlength = \"72 cm\"", "so near to each other"),
        (
            "corners = [[10, 290], [390, 290], [390, -5], [10, 10]]\nsize = [\"40 cm\", \"30 cm\"]",
            "is not in the photo",
        ),
    ] {
        let photo = chalklight::order::read_photo(&format!("[photo]\n{marks}\n")).expect("marks");
        let photo = photo.value.expect("a photo");
        let no = chalklight::motif::straighten(&photograph, &photo, [None; 2]).expect_err(marks).to_string();
        assert!(no.contains(says) && no.contains("pixels from its top left"), "{no}");
    }
}

#[test]
fn what_lies_side_by_side_is_all_there_on_the_open_cloth_and_nothing_over_another() {
    for (width, choice) in [("90 cm", "short"), ("114 cm", "long"), ("140 cm", "long"), ("150 cm", "three-quarter")] {
        let text = ORDER.replace("[garment]", &format!("[garment]\nsleeve = \"{choice}\"\nedges = \"facing\""));
        let text = text.replace("[body]", "[body]\narm_length = \"58 cm\"").replace("length = \"3 m\"\n", "");
        let order = read(&text.replace("114 cm", width)).unwrap_or_else(|no| panic!("{no}")).value;
        let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
        let wanted = Wanted::of(&pieces, cloth_of(order.cloth.as_ref()).unwrap(), order.system);
        let lay = lay(&wanted).unwrap().value;
        let spreads = spread(&lay);
        let due: u32 = lay.placed.iter().map(|placed| placed.gives).sum();
        assert_eq!(spreads.len() as u32, due, "{width}: {:?}", lay.fold);
        for (i, one) in spreads.iter().enumerate() {
            let (low, high) = one.cut.bounds();
            let inside =
                low.x > -0.1 && low.y > -0.1 && high.x < lay.used_mm + 0.1 && high.y < lay.cloth.width_mm + 0.1;
            assert!(inside, "{width}: the {} lies from {low:?} to {high:?}", one.name);
            for other in &spreads[i + 1..] {
                let shared_mm2 = one.cut.shared_mm2(&other.cut);
                assert!(shared_mm2 < 1.0, "{width}: {} and {} share {shared_mm2} mm2", one.name, other.name);
            }
            // Its levels go across it: a dart or a pocket is no level.
            for (level, ends) in &one.levels {
                let off_mm = ends.iter().map(|end| one.sewn.distance_mm(*end)).fold(0.0, f64::max);
                assert!(off_mm < 1.0 || *level == "hem", "{width}: {level} of the {} ends {off_mm} off", one.name);
            }
        }
    }
}
