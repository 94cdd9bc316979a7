//! Every garment for all 1,986 women of ANSUR II (`tests/data/bodies.md`): a sound draft, or a sentence why not.

use std::collections::BTreeMap;
use std::thread;
use std::time::Instant;

use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::order::read;
use chalklight::remark::{Refusal, Weight};
use chalklight::units::INCH_MM;

use crate::bodies::{Length, Woman, women};
use crate::check::{OrderText, faults};

/// Garments as they are ordered: a name for the table, and the order for a woman.
type Ordered = (&'static str, fn(&Woman) -> OrderText);

/// Her order with what the survey has of arm and hand.
pub fn whole(woman: &Woman, length: Length) -> OrderText {
    let mm = |column: &str| format!("{} mm", woman.mm(column));
    woman
        .order_of(length)
        .body("arm_length", &format!("{:.3} mm", ARM_OF_STATURE * woman.mm("stature") - 50.0))
        .body("hip", &mm("buttockcircumference"))
}

/// Sleeve length beside stature in the same survey (regression over its 1,986 women: 0.364 stature - 50 mm).
const ARM_OF_STATURE: f64 = 0.364;

const WARDROBE: [Ordered; 16] = [
    ("A-line dress, bound", |w| whole(w, Length::Knee).choose("edges", "bias").choose("pockets", "in-seam")),
    ("A-line dress, v, faced, zip", |w| {
        whole(w, Length::Knee).choose("neckline", "v").choose("edges", "facing").choose("opening", "back")
    }),
    ("A-line dress, square, all-in-one", |w| {
        whole(w, Length::Ankle).choose("neckline", "square").choose("edges", "all-in-one")
    }),
    ("A-line dress, long sleeve", |w| whole(w, Length::Knee).choose("sleeve", "long")),
    ("A-line dress, cap sleeve", |w| whole(w, Length::Knee).choose("sleeve", "cap").choose("neckline", "scoop")),
    ("shift top, short sleeve", |w| shirt(w).kind("shift-top").choose("sleeve", "short")),
    ("shift top, standing collar", |w| {
        shirt(w).kind("shift-top").choose("collar", "stand").choose("opening", "back").choose("edges", "bias")
    }),
    ("tunic, flutter sleeve", |w| shirt(w).kind("tunic").choose("sleeve", "flutter").choose("neckline", "sweetheart")),
    ("tunic, flared sleeve", |w| shirt(w).kind("tunic").choose("sleeve", "flared").choose("neckline", "boat")),
    ("kaftan, slit", |w| whole(w, Length::Ankle).kind("kaftan").choose("neckline", "slit").choose("edges", "bias")),
    ("A-line dress, dart, full bust", |w| {
        whole(w, Length::Knee).choose("dart", "side").fitted("full_bust", "2 cm").fitted("let_out", "-1 cm")
    }),
    ("A-line skirt", |w| skirt(w).kind("a-line-skirt").choose("pockets", "in-seam")),
    ("circle skirt", |w| skirt(w).kind("circle-skirt").choose("circle", "full")),
    ("circle skirt, three-quarter", |w| skirt(w).kind("circle-skirt").choose("circle", "three-quarter")),
    ("A-line dress, slit, faced, cap sleeve", |w| {
        whole(w, Length::Knee).choose("neckline", "slit").choose("edges", "facing").choose("sleeve", "cap")
    }),
    ("tiered skirt", |w| skirt(w).kind("tiered-skirt").choose("waist", "casing")),
];

/// To a hand's breadth below the seat, and longer.
pub fn shirt(woman: &Woman) -> OrderText {
    let seat = woman.mm("cervicaleheight") - woman.mm("buttockheight");
    whole(woman, Length::Knee).long(seat + 100.0)
}

/// From the waist to the knee.
pub fn skirt(woman: &Woman) -> OrderText {
    let body = [
        ("waist", woman.mm("waistcircumference")),
        ("hip", woman.mm("buttockcircumference")),
        ("hip_depth", woman.mm("waistheightomphalion") - woman.mm("buttockheight")),
    ];
    OrderText::of_mm(woman.mm("waistheightomphalion") - woman.mm("kneeheightmidpatella"), &body)
}

/// The sentence without its numbers.
fn reason(refusal: &Refusal) -> String {
    let first = refusal.remarks.iter().find(|remark| remark.weight == Weight::Refusal).expect("a refusal");
    assert!(first.remedy.is_some(), "{first} has no remedy");
    let word = |word: &&str| !word.starts_with(|c: char| c.is_ascii_digit());
    first.sentence.split(' ').filter(word).collect::<Vec<_>>().join(" ")
}

/// What came of one garment for some women.
#[derive(Default)]
pub struct Came {
    pub tried: usize,
    pub drafted: usize,
    pub wearable: usize,
    refused: BTreeMap<String, usize>,
    failed: BTreeMap<&'static str, usize>,
}

impl Came {
    /// Drafts and finishes an order: it is sound, or refused with a sentence. Whether it was drafted.
    pub fn take(&mut self, order: &OrderText, name: &str, woman: &Woman) -> bool {
        self.tried += 1;
        let drafted = read(&order.text()).and_then(|order| draft(&order.value));
        let made = drafted.and_then(|draft| finish(&draft.value).map(|pieces| (draft.value, pieces.value)));
        let (draft, pieces) = match made {
            Ok(made) => made,
            Err(no) => {
                *self.refused.entry(reason(&no)).or_default() += 1;
                return false;
            }
        };
        let faults = faults(&draft, &pieces);
        assert!(faults.is_empty(), "{name}, row {}: {faults:?}\n{}", woman.row, order.text());
        self.drafted += 1;
        self.wearable += usize::from(draft.wearable());
        for check in draft.checks.iter().filter(|check| !check.ok) {
            assert!(check.remedy.is_some(), "{name}, row {}: {} has no remedy", woman.row, check.says);
            *self.failed.entry(check.name).or_default() += 1;
        }
        true
    }

    /// Takes in what came for others.
    pub fn and(mut self, other: Self) -> Self {
        self.tried += other.tried;
        self.drafted += other.drafted;
        self.wearable += other.wearable;
        other.refused.into_iter().for_each(|(why, count)| *self.refused.entry(why).or_default() += count);
        other.failed.into_iter().for_each(|(why, count)| *self.failed.entry(why).or_default() += count);
        self
    }

    /// Its rows of the table.
    pub fn rows(&self, name: &str) -> Vec<String> {
        let Self { tried, drafted, wearable, .. } = self;
        let first = format!("{name:<34} of {tried:>5} drafted {drafted:>5}  wearable as it is {wearable:>5}");
        let refused = self.refused.iter().map(|(why, count)| format!("  {count:>5}  refused: {why}"));
        let failed = self.failed.iter().map(|(why, count)| format!("  {count:>5}  to be looked at: {why}"));
        [first].into_iter().chain(refused).chain(failed).collect()
    }
}

/// What each half of the women makes, on a thread of its own.
pub fn in_halves<T: Send>(women: &[Woman], make: impl Fn(&[Woman]) -> T + Sync) -> Vec<T> {
    let (one, other) = women.split_at(women.len() / 2);
    thread::scope(|scope| {
        let threads = [one, other].map(|half| scope.spawn(|| make(half)));
        threads.into_iter().map(|thread| thread.join().expect("a sound draft")).collect()
    })
}

fn try_all(order: fn(&Woman) -> OrderText, women: &[Woman], name: &str) -> Came {
    let mut came = Came::default();
    for woman in women {
        came.take(&order(woman), name, woman);
    }
    came
}

/// Outlines simple, seams walk or have their ease, notches on their edges, sewn inside cut: or a refusal that says why. The
/// table is printed; the time is told and does not decide.
#[test]
fn every_garment_for_everybody_is_sound_or_refused_with_a_sentence() {
    let women = women();
    let began = Instant::now();
    let mut table = Vec::new();
    for (name, order) in WARDROBE {
        let came = in_halves(&women, |half| try_all(order, half, name)).into_iter().fold(Came::default(), Came::and);
        table.extend(came.rows(name));
        // The defaults are meant for real bodies: a refusal to draft is the exception.
        assert!(came.drafted * 100 >= women.len() * 95, "{}", table.join("\n"));
    }
    println!("{}\n{} garments each, in {:.1?}", table.join("\n"), women.len(), began.elapsed());
}

/// The crown against the armhole within the ease that is taught (3/4 to 1 1/2 in) for every body, and the sleeve at least 2
/// in over the arm.
#[test]
fn sleeves_go_into_their_armholes_for_everybody() {
    for woman in women().iter().step_by(7) {
        let order = whole(woman, Length::Knee).choose("sleeve", "long");
        let Ok(draft) = read(&order.text()).and_then(|order| draft(&order.value)) else { continue };
        let draft = draft.value;
        let length = |piece: &str, edge: &str| draft.piece(piece).expect("a piece").length_mm(edge);
        let ease = length("sleeve", "front crown") + length("sleeve", "back crown")
            - length("front", "armhole")
            - length("back", "armhole");
        assert!((0.75..=1.5).contains(&(ease / INCH_MM)), "row {}: {ease} mm", woman.row);
        let arm = woman.mm("bicepscircumferenceflexed");
        let sleeve = draft.piece("sleeve").expect("a sleeve");
        let [front, back] = ["front underarm", "back underarm"].map(|edge| &sleeve.edge(edge).expect("one").curve);
        let width = back.end().x - front.start().x;
        assert!(width >= arm + 2.0 * INCH_MM - 0.01, "row {}: {width} round an arm of {arm}", woman.row);
    }
}
