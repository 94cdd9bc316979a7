//! The measurements: what each is called, how it is taken, and which values are believable.
//!
//! Names follow the trade; beside each stands the term of ISO 8559-1, from the list of its 1989 edition. How a
//! measurement is taken is told in our words, not the standard's: it was not at hand.
//! The believable range of a girth or height is that of 1,986 women (ANSUR II, 2012), rounded outward; the outer
//! range is ours (common practice, no source) and only catches slips such as centimetres written as millimetres. Depth and
//! span of the bust points and the back's depth are not in that survey: their usual range is ours too.

/// A measurement of the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// Largest girth over the bust points.
    Bust,
    /// Girth of the natural waist.
    Waist,
    /// Largest girth over the seat.
    Hip,
    /// Across the back, shoulder tip to shoulder tip.
    Shoulder,
    /// Start line to waist.
    WaistDepth,
    /// Waist to the fullest seat.
    HipDepth,
    /// Girth of the head.
    Head,
    /// Girth of the upper arm.
    UpperArm,
    /// Shoulder tip to wrist.
    ArmLength,
    /// Girth of the hand.
    Hand,
    /// Start line to bust point.
    BustDepth,
    /// Bust point to bust point.
    BustSpan,
    /// Start line to waist, down the back.
    BackDepth,
}

/// What is known of a measurement before it is taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facts {
    /// Which one.
    pub measure: Measure,
    /// Its key in the order file.
    pub key: &'static str,
    /// What it is called in a sentence.
    pub name: &'static str,
    /// Its term in ISO 8559-1, or the nearest one with what differs.
    pub iso: &'static str,
    /// How it is taken, in our words.
    pub how: &'static str,
    /// Outside this range, in mm, it is refused.
    pub possible_mm: [f64; 2],
    /// Outside this range, in mm, it is questioned.
    pub usual_mm: [f64; 2],
}

/// Every measurement, in the order in which a person takes them.
pub const MEASURES: [Facts; 13] = [
    Facts {
        measure: Measure::Bust,
        key: "bust",
        name: "bust",
        iso: "bust girth",
        how: "tape level round the fullest part of the bust and over the shoulder blades",
        possible_mm: [400.0, 2200.0],
        usual_mm: [690.0, 1270.0],
    },
    Facts {
        measure: Measure::Waist,
        key: "waist",
        name: "waist",
        iso: "waist girth",
        how: "tape level round the narrowest place, one finger under it",
        possible_mm: [350.0, 2200.0],
        usual_mm: [560.0, 1340.0],
    },
    Facts {
        measure: Measure::Hip,
        key: "hip",
        name: "hip",
        iso: "hip girth",
        how: "tape level round the fullest part of the seat, feet together",
        possible_mm: [400.0, 2400.0],
        usual_mm: [790.0, 1350.0],
    },
    Facts {
        measure: Measure::HipDepth,
        key: "hip_depth",
        name: "hip depth",
        iso: "waist to hip",
        how: "down the side from the waist to the fullest part of the seat",
        possible_mm: [60.0, 450.0],
        usual_mm: [120.0, 300.0],
    },
    Facts {
        measure: Measure::Shoulder,
        key: "shoulder",
        name: "shoulder",
        iso: "shoulder width",
        how: "across the back with the tape, from shoulder tip to shoulder tip",
        possible_mm: [200.0, 700.0],
        usual_mm: [280.0, 480.0],
    },
    Facts {
        measure: Measure::WaistDepth,
        key: "waist_depth",
        name: "waist depth",
        iso: "cervicale to waist front, from the neck shoulder point on",
        how: "from the shoulder at the neck straight down over the bust to the waist",
        possible_mm: [200.0, 750.0],
        usual_mm: [330.0, 560.0],
    },
    Facts {
        measure: Measure::BackDepth,
        key: "back_depth",
        name: "back depth",
        iso: "cervicale to waist back, from the neck shoulder point on",
        how: "from the shoulder at the neck straight down the back to the waist",
        possible_mm: [200.0, 700.0],
        usual_mm: [330.0, 540.0],
    },
    Facts {
        measure: Measure::BustDepth,
        key: "bust_depth",
        name: "bust depth",
        iso: "neck shoulder point to breast point",
        how: "from the shoulder at the neck down to the bust point",
        possible_mm: [120.0, 600.0],
        usual_mm: [200.0, 400.0],
    },
    Facts {
        measure: Measure::BustSpan,
        key: "bust_span",
        name: "bust span",
        iso: "between the breast points (no term in that list)",
        how: "straight across from bust point to bust point",
        possible_mm: [80.0, 500.0],
        usual_mm: [140.0, 280.0],
    },
    Facts {
        measure: Measure::Head,
        key: "head",
        name: "head",
        iso: "head girth",
        how: "round the head over the widest place above the ears",
        possible_mm: [350.0, 800.0],
        usual_mm: [500.0, 640.0],
    },
    Facts {
        measure: Measure::UpperArm,
        key: "upper_arm",
        name: "upper arm",
        iso: "upper arm girth",
        how: "round the fullest part of the upper arm, arm hanging",
        possible_mm: [120.0, 800.0],
        usual_mm: [200.0, 440.0],
    },
    Facts {
        measure: Measure::ArmLength,
        key: "arm_length",
        name: "arm length",
        iso: "arm length",
        how: "from the shoulder tip over the slightly bent elbow to the wrist bone",
        possible_mm: [200.0, 900.0],
        usual_mm: [470.0, 670.0],
    },
    Facts {
        measure: Measure::Hand,
        key: "hand",
        name: "hand",
        iso: "hand girth",
        how: "round the widest part of the closed hand, thumb laid in",
        possible_mm: [100.0, 400.0],
        usual_mm: [165.0, 260.0],
    },
];

impl Measure {
    /// What is known of it before it is taken.
    pub fn facts(self) -> &'static Facts {
        &MEASURES[MEASURES.iter().position(|facts| facts.measure == self).unwrap_or(0)]
    }
}
