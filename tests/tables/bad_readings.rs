//! Readings that can't be right end in a sentence that says what to do.

use chalklight::calibrate::{Readings, calibrate, readings_file, words};
use chalklight::geometry::Point;
use chalklight::table::{Kind, Stand};

use super::synthetic::{Chance, Manner, Projector, read};

const HEAD: &str = "[projector]\nwidth = 1920\nheight = 1080\n[grid]\ncolumns = 5\nrows = 3\nmargin = 0.06\n";

fn told(text: &str) -> String {
    match readings_file::read(text) {
        Err(refusal) => refusal.to_string(),
        Ok(read) => match calibrate(&read.value) {
            Err(refusal) => refusal.to_string(),
            Ok(solved) => {
                let fit = solved.value.fit.expect("a fit");
                let remarks: Vec<String> = solved.remarks.iter().map(ToString::to_string).collect();
                format!("solved, trusted: {}\n{}", fit.trusted, remarks.join("\n"))
            }
        },
    }
}

fn places(marks: &[(&str, f64, f64)]) -> String {
    let each = |(m, x, y): &(&str, f64, f64)| format!("[[reading]]\nmark = \"{m}\"\nat = [\"{x} mm\", \"{y} mm\"]\n");
    HEAD.to_owned() + &marks.iter().map(each).collect::<String>()
}

fn distances(pairs: &[(&str, &str, f64)]) -> String {
    let each =
        |(a, b, mm): &(&str, &str, f64)| format!("[[reading]]\nfrom = \"{a}\"\nto = \"{b}\"\ndistance = \"{mm} mm\"\n");
    HEAD.to_owned() + &pairs.iter().map(each).collect::<String>()
}

fn sample(distances: Option<usize>) -> Readings {
    let mut chance = Chance(7);
    let projector = Projector::draw(&mut chance, 0.0);
    read(&projector, Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances }, &mut chance)
}

fn scaled(mut readings: Readings, factor: f64) -> Readings {
    for reading in &mut readings.readings {
        match &mut reading.kind {
            Kind::Place { at_mm, .. } => *at_mm *= factor,
            Kind::Distance { distance_mm, .. } => *distance_mm *= factor,
        }
    }
    readings
}

#[test]
fn marks_on_a_line() {
    let row =
        places(&[("A1", 0.0, 0.0), ("A2", 300.0, 0.0), ("A3", 600.0, 0.0), ("A4", 900.0, 0.0), ("A5", 1200.0, 0.0)]);
    assert!(told(&row).contains("lie on a line"), "{}", told(&row));
    let and_one = row + "[[reading]]\nmark = \"C1\"\nat = [\"0 mm\", \"-700 mm\"]\n";
    assert!(told(&and_one).contains("all but one"), "{}", told(&and_one));
    let row = distances(&[
        ("A1", "A2", 300.0),
        ("A2", "A3", 300.0),
        ("A3", "A4", 300.0),
        ("A4", "A5", 300.0),
        ("A1", "A5", 1200.0),
        ("A1", "A4", 900.0),
    ]);
    assert!(told(&row).contains("lie on a line"), "{}", told(&row));
}

#[test]
fn too_few_readings() {
    assert!(told(HEAD).contains("0 readings don't make a table"), "{}", told(HEAD));
    let five = distances(&[
        ("A1", "A5", 1200.0),
        ("A5", "C5", 700.0),
        ("C5", "C1", 1200.0),
        ("C1", "A1", 700.0),
        ("A1", "C5", 1389.0),
    ]);
    assert!(told(&five).contains("measure the six distances among the corner marks: A1 to A5"), "{}", told(&five));
    // Six distances that leave a mark swinging: B3 is tied to one other mark only.
    let swinging = distances(&[
        ("A1", "A5", 1200.0),
        ("A5", "C5", 700.0),
        ("C5", "C1", 1200.0),
        ("C1", "A1", 700.0),
        ("A1", "B3", 695.0),
        ("A1", "A3", 600.0),
    ]);
    let said = told(&swinging);
    assert!(said.contains("leave it loose") || said.contains("trusted: false"), "{said}");
}

#[test]
fn a_distance_from_a_mark_to_itself() {
    let said = told(&distances(&[("A1", "A1", 5.0)]));
    assert!(
        said.starts_with("line 10: A1 to A1 is a distance from a mark to itself; write the other mark's name"),
        "{said}"
    );
}

#[test]
fn marks_outside_the_picture() {
    let text = "[projector]\nwidth = 1920\nheight = 1080\n[grid]\nmarks = { A1 = [10.0, 10.0], A2 = [2000.0, 10.0] }\n";
    let said = told(text);
    assert!(said.contains("line 5: mark A2 at 2000, 10 lies outside the picture of 1920 by 1080"), "{said}");
}

#[test]
fn contradictory_readings() {
    let four = [("A1", 0.0, 800.0), ("A5", 1400.0, 800.0), ("C5", 1400.0, 0.0), ("C1", 0.0, 0.0)];
    let twice = places(&four) + "[[reading]]\nmark = \"C1\"\nat = [\"60 mm\", \"0 mm\"]\n";
    let said = told(&twice);
    assert!(said.contains("trusted: false") && said.contains("a reading is wrong"), "{said}");
    // The same reading twice is no contradiction.
    let same = places(&four) + "[[reading]]\nmark = \"C1\"\nat = [\"0 mm\", \"0 mm\"]\n";
    assert!(!told(&same).contains("wrong"), "{}", told(&same));
}

#[test]
fn a_name_written_twice() {
    let mut readings: Vec<(String, f64, f64)> = Vec::new();
    for (row, y) in [("A", 800.0), ("B", 400.0), ("C", 0.0)] {
        readings.extend((0..5).map(|i| (format!("{row}{}", i + 1), 350.0 * f64::from(i), y)));
    }
    readings[1].0 = "A1".to_owned();
    let all: Vec<(&str, f64, f64)> = readings.iter().map(|(name, x, y)| (name.as_str(), *x, *y)).collect();
    let read = readings_file::read(&places(&all)).expect("readings");
    let said: Vec<String> = read.remarks.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].contains("line 11: A1 stands twice, 350 mm apart, and A2 is missing; was one of the two A2?"),
        "{said:?}"
    );
}

/// Four places are eight figures for the eight unknowns of a map: nothing is left to check them by.
#[test]
fn nothing_to_spare_is_said() {
    let four = places(&[("A1", 0.0, 800.0), ("A5", 1400.0, 800.0), ("C5", 1400.0, 0.0), ("C1", 0.0, 0.0)]);
    let kept = calibrate(&readings_file::read(&four).expect("readings").value).expect("a table").value;
    let fit = kept.fit.expect("a fit");
    assert_eq!(fit.redundancy, 0);
    let says = words::agreement(&fit);
    assert!(says.contains("nothing to spare") && says.contains("can't be seen"), "{says}");
}

#[test]
fn a_misreading_that_is_left_out_is_said_not_to_hurt() {
    let mut readings = sample(None);
    if let Kind::Place { at_mm, .. } = &mut readings.readings[7].kind {
        at_mm.x += 25.4;
    }
    let name = readings.readings[7].name();
    let fit = calibrate(&readings).expect("a table").value.fit.expect("a fit");
    let says = words::left_out(&fit).expect("a sentence");
    assert!(fit.trusted && says.starts_with(&format!("{name} was left out as misread; the other")), "{says}");
}

#[test]
fn a_foot_far_outside_of_the_light_is_questioned() {
    let mut readings = sample(None);
    for (right_mm, says) in [(600.0, false), (-900.0, false), (6100.0, true), (-6100.0, true)] {
        readings.stand = Some(Stand { foot_mm: Point::new(right_mm, 240.0), height_mm: 1980.0 });
        let told = calibrate(&readings).expect("a table");
        let said = told.remarks.iter().any(|remark| remark.place.field.as_deref() == Some("lens.foot"));
        assert_eq!(said, says, "a foot {right_mm} mm right of zero: {:?}", told.remarks);
    }
}

#[test]
fn one_slip_among_six_distances_is_told_in_one_way() {
    let mut readings = sample(Some(6));
    let Kind::Distance { distance_mm, .. } = &mut readings.readings[4].kind else { panic!("no distance") };
    *distance_mm += 25.0;
    let told = calibrate(&readings).expect("a table");
    let fit = told.value.fit.expect("a fit");
    let (agree, said) = (words::agreement(&fit), format!("{:?}", told.remarks));
    assert!(!fit.trusted && said.contains("a reading is wrong"), "{said}");
    assert!(agree.contains("contradict") && !agree.contains("each fits"), "{agree}");
}

#[test]
fn wrong_units_are_recognised_and_asked() {
    for distances in [None, Some(12)] {
        let refusal = calibrate(&scaled(sample(distances), 25.4)).expect_err("far too large");
        assert!(refusal.to_string().contains("were millimetres written as inches?"), "{refusal}");
        let refusal = calibrate(&scaled(sample(distances), 1.0 / 25.4)).expect_err("far too small");
        assert!(refusal.to_string().contains("were inches written as millimetres?"), "{refusal}");
        let refusal = calibrate(&scaled(sample(distances), 10.0)).expect_err("far too large");
        assert!(refusal.to_string().contains("were millimetres written as centimetres?"), "{refusal}");
        let refusal = calibrate(&scaled(sample(distances), 0.1)).expect_err("far too small");
        assert!(refusal.to_string().contains("were centimetres written as millimetres?"), "{refusal}");
    }
}

#[test]
fn mirrored_labels() {
    let mut readings = sample(None);
    let columns = 5;
    for reading in &mut readings.readings {
        if let Kind::Place { mark, .. } = &mut reading.kind {
            *mark = chalklight::table::MarkName::new(mark.row(), columns - 1 - mark.column()).expect("a mark");
        }
    }
    let told = calibrate(&readings).expect("a table");
    assert!(!told.value.fit.expect("a fit").trusted);
    let said: Vec<String> = told.remarks.iter().map(ToString::to_string).collect();
    assert!(
        said.iter().any(|s| s.contains("the picture lies mirrored") && s.contains("numbered from the right")),
        "{said:?}"
    );
}

/// An unflat table or a bad tape: readings three times as noisy as stated are said to be, and the bound is widened.
#[test]
fn noisier_than_stated() {
    let mut readings = sample(None);
    let mut chance = Chance(8);
    for reading in &mut readings.readings {
        if let Kind::Place { at_mm, .. } = &mut reading.kind {
            at_mm.x += 1.2 * chance.normal();
            at_mm.y += 1.2 * chance.normal();
        }
    }
    let told = calibrate(&readings).expect("a table");
    let fit = told.value.fit.expect("a fit");
    let said: Vec<String> = told.remarks.iter().map(ToString::to_string).collect();
    assert!(fit.suspects.is_empty(), "{:?}", fit.suspects);
    assert!(fit.noise > 1.5 && said.iter().any(|s| s.contains("times as noisy as stated")), "{} {said:?}", fit.noise);
}
