//! The kinds of garment: what each is called, how its length is taken, what it asks of the body, what may be chosen.
//!
//! How a kind is drafted, and by which house rules, is its own file's under `draft`.

use super::measures::Measure;
use super::style::{
    ChoiceFacts, Circle, Collar, Cut, Dart, Edges, Fit, Neckline, Opening, Pockets, Sleeve, Style, Tie, WaistEdge,
};

/// The kinds of garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A-line dress, drafted on the fold.
    ALineDress,
    /// A top to below the hip, without waist.
    ShiftTop,
    /// A longer, wider top.
    Tunic,
    /// A wide gown cut from two rectangles.
    Kaftan,
    /// A skirt that widens straight from the hip.
    ALineSkirt,
    /// A skirt that is a part of a circle.
    CircleSkirt,
    /// A skirt of gathered tiers.
    TieredSkirt,
}

/// What is known of a kind before it is drafted.
#[derive(Debug)]
pub struct KindFacts {
    /// Which one.
    pub kind: Kind,
    /// Its name in an order file.
    pub key: &'static str,
    /// Its name on paper.
    pub name: &'static str,
    /// The measurements it cannot be drafted without.
    pub needs: &'static [Measure],
    /// The measurements it is tried by, where they were taken.
    pub wants: &'static [Measure],
    /// Where its length is measured from.
    pub from: &'static str,
    /// Shortest and longest.
    pub length_mm: [f64; 2],
    /// What may be chosen.
    pub choices: &'static [&'static ChoiceFacts],
    /// The house rules that set its ease, in words.
    pub eases: &'static str,
}

/// What hangs from the shoulder is measured from there; a skirt from the waist.
const FROM_SHOULDER: &str = "from the shoulder at the neck straight down";
const FROM_WAIST: &str = "from the waist at the centre front straight down";

const WHOLE_BODY: &[Measure] = &[Measure::Bust, Measure::Waist, Measure::Hip, Measure::Shoulder, Measure::WaistDepth];
const BODY_WANTS: &[Measure] =
    &[Measure::HipDepth, Measure::BackDepth, Measure::BustDepth, Measure::BustSpan, Measure::Head, Measure::UpperArm];
const BODY_CHOICES: &[&ChoiceFacts] = &[
    Neckline::CHOICE,
    Collar::CHOICE,
    Sleeve::CHOICE,
    Edges::CHOICE,
    Opening::CHOICE,
    Pockets::CHOICE,
    Tie::CHOICE,
    Dart::CHOICE,
    Fit::CHOICE,
];

const BODY_EASES: &str = "bust_ease, waist_ease and hip_ease";

/// Every kind of garment.
pub const KINDS: [KindFacts; 7] = [
    KindFacts {
        kind: Kind::ALineDress,
        key: "a-line-dress",
        name: "A-line dress",
        needs: WHOLE_BODY,
        wants: BODY_WANTS,
        from: FROM_SHOULDER,
        length_mm: [300.0, 2000.0],
        choices: BODY_CHOICES,
        eases: BODY_EASES,
    },
    KindFacts {
        kind: Kind::ShiftTop,
        key: "shift-top",
        name: "shift top",
        needs: WHOLE_BODY,
        wants: BODY_WANTS,
        from: FROM_SHOULDER,
        length_mm: [300.0, 1000.0],
        choices: BODY_CHOICES,
        eases: BODY_EASES,
    },
    KindFacts {
        kind: Kind::Tunic,
        key: "tunic",
        name: "tunic",
        needs: WHOLE_BODY,
        wants: BODY_WANTS,
        from: FROM_SHOULDER,
        length_mm: [400.0, 1400.0],
        choices: BODY_CHOICES,
        eases: BODY_EASES,
    },
    KindFacts {
        kind: Kind::Kaftan,
        key: "kaftan",
        name: "kaftan",
        needs: &[Measure::Bust, Measure::Hip],
        wants: &[Measure::Head, Measure::UpperArm],
        from: FROM_SHOULDER,
        length_mm: [500.0, 2000.0],
        choices: &[Neckline::CHOICE, Edges::CHOICE, Tie::CHOICE],
        eases: "side_ease",
    },
    KindFacts {
        kind: Kind::ALineSkirt,
        key: "a-line-skirt",
        name: "A-line skirt",
        needs: &[Measure::Waist, Measure::Hip],
        wants: &[Measure::HipDepth],
        from: FROM_WAIST,
        length_mm: [250.0, 1400.0],
        choices: &[WaistEdge::CHOICE, Pockets::CHOICE, Fit::CHOICE],
        eases: "waist_ease and hip_ease",
    },
    KindFacts {
        kind: Kind::CircleSkirt,
        key: "circle-skirt",
        name: "circle skirt",
        needs: &[Measure::Waist],
        wants: &[Measure::Hip],
        from: FROM_WAIST,
        length_mm: [200.0, 1400.0],
        choices: &[Circle::CHOICE, Cut::CHOICE, WaistEdge::CHOICE],
        eases: "waist_ease",
    },
    KindFacts {
        kind: Kind::TieredSkirt,
        key: "tiered-skirt",
        name: "tiered skirt",
        needs: &[Measure::Waist, Measure::Hip],
        wants: &[],
        from: FROM_WAIST,
        length_mm: [250.0, 1400.0],
        choices: &[WaistEdge::CHOICE],
        eases: "waist_ease, top_gather and hip_room",
    },
];

impl Kind {
    /// Every kind.
    pub const ALL: [Self; KINDS.len()] = {
        let mut all = [Self::ALineDress; KINDS.len()];
        let mut i = 0;
        while i < KINDS.len() {
            all[i] = KINDS[i].kind;
            i += 1;
        }
        all
    };

    /// What is known of it.
    pub fn facts(self) -> &'static KindFacts {
        &KINDS[KINDS.iter().position(|facts| facts.kind == self).unwrap_or(0)]
    }

    /// Its name in an order file.
    pub fn key(self) -> &'static str {
        self.facts().key
    }

    /// What it is, in one word.
    pub fn worn(self) -> &'static str {
        match self {
            Self::ALineDress => "dress",
            Self::ShiftTop => "top",
            Self::Tunic => "tunic",
            Self::Kaftan => "gown",
            Self::ALineSkirt | Self::CircleSkirt | Self::TieredSkirt => "skirt",
        }
    }

    /// The measurements it cannot be drafted without, whatever is chosen.
    pub fn needs(self) -> &'static [Measure] {
        self.facts().needs
    }
}

impl Style {
    /// The measurements that a choice cannot be drafted without.
    pub fn needs(&self) -> &'static [Measure] {
        match self.sleeve {
            Sleeve::None | Sleeve::Flutter => &[],
            Sleeve::Cap | Sleeve::Short => &[Measure::UpperArm],
            Sleeve::Long | Sleeve::ThreeQuarter | Sleeve::Flared => &[Measure::UpperArm, Measure::ArmLength],
        }
    }

    /// The measurements that a choice goes by where they were taken.
    pub fn wants(&self) -> &'static [Measure] {
        let goes_over_a_hand = !matches!(self.sleeve, Sleeve::None | Sleeve::Flutter);
        if goes_over_a_hand || self.pockets == Pockets::InSeam { &[Measure::Hand] } else { &[] }
    }
}
