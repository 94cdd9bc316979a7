//! The 1,986 women of ANSUR II (2012; `tests/data/bodies.md`): every one gets a sound draft or a sentence.

use std::collections::BTreeMap;
use std::time::Instant;

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::order::read;
use chalklight::remark::{Refusal, Remark, Weight};

use crate::check::{OrderText, faults};

/// One woman, in mm.
pub struct Woman {
    pub row: u32,
    columns: BTreeMap<&'static str, f64>,
}

/// How long the dress is to be.
#[derive(Clone, Copy, Debug)]
pub enum Length {
    Knee,
    Ankle,
}

/// Everyone in the file.
pub fn women() -> Vec<Woman> {
    let mut lines = include_str!("data/bodies.csv").lines();
    let names: Vec<&str> = lines.next().expect("a header").split(',').collect();
    let woman = |line: &'static str| {
        let columns: BTreeMap<_, f64> =
            names.iter().copied().zip(line.split(',').map(|cell| cell.parse().expect("a number"))).collect();
        Woman { row: columns["row"] as u32, columns }
    };
    lines.map(woman).collect()
}

impl Woman {
    pub fn mm(&self, column: &str) -> f64 {
        self.columns[column]
    }

    /// Her order; what the file has not is derived as `tests/data/bodies.md` says.
    pub fn order(&self) -> OrderText {
        self.order_of(Length::Knee)
    }

    pub fn order_of(&self, length: Length) -> OrderText {
        let nape = self.mm("cervicaleheight");
        let half_across = self.mm("biacromialbreadth") / 2.0;
        let body = [
            ("bust", self.mm("chestcircumference")),
            ("waist", self.mm("waistcircumference")),
            ("hip", self.mm("buttockcircumference")),
            ("shoulder", 2.0 * half_across.hypot(nape - self.mm("acromialheight"))),
            ("waist_depth", self.mm("waistbacklength")),
            ("hip_depth", self.mm("waistheightomphalion") - self.mm("buttockheight")),
            ("head", self.mm("headcircumference")),
            ("upper_arm", self.mm("bicepscircumferenceflexed")),
        ];
        let length_mm = match length {
            Length::Knee => nape - self.mm("kneeheightmidpatella"),
            Length::Ankle => nape - 100.0,
        };
        OrderText::of_mm(length_mm, &body)
    }
}

/// Figures of the survey's own summary (mean by NATICK/TR-15/007, extremes as counted in the public file), so that the
/// reader of the file is known to read it.
#[test]
fn the_file_is_the_survey() {
    let women = women();
    assert_eq!(women.len(), 1986);
    for (column, mean, least, most) in [
        ("stature", 1628.5, 1409.0, 1829.0),
        ("chestcircumference", 946.9, 695.0, 1266.0),
        ("buttockcircumference", 1021.2, 798.0, 1341.0),
        ("headcircumference", 561.1, 500.0, 635.0),
    ] {
        let values: Vec<f64> = women.iter().map(|woman| woman.mm(column)).collect();
        let (low, high) = (values.iter().copied().fold(f64::MAX, f64::min), values.iter().copied().fold(0.0, f64::max));
        assert_eq!((low, high), (least, most), "{column}");
        assert!((values.iter().sum::<f64>() / 1986.0 - mean).abs() < 0.05, "{column}");
    }
}

/// Simple outlines, equal seams, notches on their edges, sewn inside cut, front inside back; or a refusal that says why
/// and what to do. Reports how many of which, and how long it took (that does not decide).
#[test]
fn every_body_gets_a_sound_draft_or_a_sentence() {
    for length in [Length::Knee, Length::Ankle] {
        let texts: Vec<(u32, String)> =
            women().iter().map(|woman| (woman.row, woman.order_of(length).text())).collect();
        let began = Instant::now();
        let answers: Vec<_> = texts
            .iter()
            .map(|(row, text)| {
                let drafted = read(text).and_then(|order| draft(&order.value));
                (row, drafted.and_then(|draft| finish(&draft.value).map(|pieces| (draft.value, pieces.value))))
            })
            .collect();
        let took = began.elapsed();
        let mut failed: BTreeMap<String, usize> = BTreeMap::new();
        let (mut drafted, mut wearable) = (0, 0);
        for (row, answer) in &answers {
            let (draft, pieces) = match answer {
                Ok(answer) => answer,
                Err(refusal) => {
                    *failed.entry(format!("no draft: {}", reason(refusal))).or_default() += 1;
                    continue;
                }
            };
            drafted += 1;
            wearable += usize::from(draft.wearable());
            let mut faults = faults(draft, pieces);
            let (front, back) = (&pieces[0], &pieces[1]);
            if front.sewn.area_outside_mm2(&back.sewn) > 1.0 {
                faults.push("the front is not inside the back".into());
            }
            assert!(faults.is_empty(), "row {row}, {length:?}: {faults:?}");
            for check in draft.checks.iter().filter(|check| !check.ok) {
                assert!(check.remedy.is_some(), "row {row}: {} has no remedy", check.says);
                let word = if check.severity == Weight::Refusal { "fails" } else { "doubtful" };
                *failed.entry(format!("{}: {word}", check.name)).or_default() += 1;
            }
        }
        println!(
            "{length:?} length: {drafted} of {} drafted in {took:.2?}, {wearable} wearable as they are",
            answers.len()
        );
        for (reason, count) in &failed {
            println!("{count:6}  {reason}");
        }
        // These bodies are real and the defaults are meant for them: a refusal to draft is the exception.
        assert!(drafted * 100 >= answers.len() * 99, "only {drafted} were drafted");
    }
}

/// The sentence without its numbers.
fn reason(refusal: &Refusal) -> String {
    let first: &Remark = refusal.remarks.iter().find(|remark| remark.weight == Weight::Refusal).expect("a refusal");
    assert!(first.remedy.is_some(), "{first} has no remedy");
    first.sentence.chars().filter(|c| !c.is_ascii_digit()).collect()
}

/// What the checks say of ease is what the measures say: girth of the body and a quarter rule, worked here by hand.
#[test]
fn checks_agree_with_the_arithmetic_of_the_measures() {
    const INCH: f64 = 25.4;
    for woman in &women() {
        let Ok(draft) = read(&woman.order().text()).and_then(|order| draft(&order.value)) else { continue };
        let draft = draft.value;
        let passes = |name: &str| draft.checks.iter().find(|check| check.name == name).expect("a check").ok;
        let (bust, waist) = (woman.mm("chestcircumference"), woman.mm("waistcircumference"));
        // Bust and waist are eased by 1 and 2 in (1/4 and 1/2 in a quarter), which is enough.
        assert!(passes("ease at bust") && passes("ease at waist"), "row {}", woman.row);
        // It goes over the bust when waist + 2 in is not below the bust.
        assert_eq!(passes("over shoulders and bust"), waist + 2.0 * INCH >= bust - 0.01, "row {}", woman.row);
        assert!(passes("side seams walk") && passes("shoulder seams walk"));
    }
}
