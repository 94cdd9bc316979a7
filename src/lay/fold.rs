//! The kinds of fold, as strips of cloth side by side.
//!
//! However cloth is folded, what lies on the table is a few strips, all as long as the lay: each of one layer or several,
//! with the fold at one of its edges or at none. Folded across, it lies half as long as what is spent of it, cut ends at
//! the head and the fold at the foot, and every second layer stands on its head.

use crate::order::{Cloth, FoldKind};

/// How the cloth is folded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fold {
    /// As many lengths as pieces, each folded along its centre, stacked fold on fold.
    LengthsOnTheirCentre,
    /// Not folded: one layer, right side up.
    Open,
    /// One length, folded along its centre.
    AtHalf,
    /// One length, folded so far from one selvedge; the rest is single.
    Partly {
        /// From the fold to the selvedge that is folded over.
        folded_mm: f64,
    },
    /// Both selvedges folded in, to the middle or less far.
    BothIn {
        /// From the fold at her side to its selvedge.
        near_mm: f64,
        /// From the fold at the far side to its selvedge.
        far_mm: f64,
    },
    /// One length, folded across its middle, cut end on cut end.
    Across,
    /// One length, folded along its centre and then across its middle.
    InFour,
}

/// Which edge of a strip is the fold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoldAt {
    /// The one nearer to her.
    Near,
    /// The one farther off.
    Far,
}

/// A strip of the folded cloth along the selvedge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// From where to where it lies across.
    pub across_mm: [f64; 2],
    /// Its layers.
    pub layers: u32,
    /// Which of its edges is a fold.
    pub fold: Option<FoldAt>,
}

/// Layers of one length that is folded.
pub const LAYERS_A_LENGTH: u32 = 2;

/// A strip narrower than this is none.
const LEAST_MM: f64 = 1e-6;

impl Fold {
    /// Which kind it is of.
    pub fn kind(self) -> FoldKind {
        match self {
            Self::LengthsOnTheirCentre => FoldKind::Lengths,
            Self::Open => FoldKind::Open,
            Self::AtHalf => FoldKind::Half,
            Self::Partly { .. } => FoldKind::OneSide,
            Self::BothIn { .. } => FoldKind::BothSides,
            Self::Across => FoldKind::Across,
            Self::InFour => FoldKind::Four,
        }
    }

    /// Whether cloth that is folded the other way lies as it does.
    pub fn is_as(self, other: Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < LEAST_MM;
        match (self, other) {
            (Self::Partly { folded_mm: a }, Self::Partly { folded_mm: b }) => near(a, b),
            (Self::BothIn { near_mm: a, far_mm: c }, Self::BothIn { near_mm: b, far_mm: d }) => {
                near(a, b) && near(c, d)
            }
            _ => self == other,
        }
    }

    /// What it is called.
    pub fn says(self) -> &'static str {
        self.kind().says()
    }

    /// Most layers that lie on one another in one length.
    pub fn layers(self) -> u32 {
        match self {
            Self::Open => 1,
            Self::InFour => 2 * LAYERS_A_LENGTH,
            _ => LAYERS_A_LENGTH,
        }
    }

    /// Whether it is folded across, so that every second layer stands on its head.
    pub fn is_across(self) -> bool {
        matches!(self, Self::Across | Self::InFour)
    }

    /// Whether the cloth itself ends where the lay does: cut into lengths, or folded back across. One length goes on.
    pub fn ends_cloth(self) -> bool {
        self == Self::LengthsOnTheirCentre || self.is_across()
    }

    /// The cloth that one length spends which lies so long.
    pub fn spent_mm(self, lying_mm: f64) -> f64 {
        if self.is_across() { 2.0 * lying_mm } else { lying_mm }
    }

    /// How long one length lies of which so much is spent.
    pub fn lying_mm(self, spent_mm: f64) -> f64 {
        if self.is_across() { spent_mm / 2.0 } else { spent_mm }
    }

    /// Where the folds along lie on the open cloth, from the near selvedge.
    pub fn lines_mm(self, width_mm: f64) -> Vec<f64> {
        match self {
            Self::Open | Self::Across => Vec::new(),
            Self::LengthsOnTheirCentre | Self::AtHalf | Self::InFour => vec![width_mm / 2.0],
            Self::Partly { folded_mm } => vec![folded_mm],
            Self::BothIn { near_mm, far_mm } => vec![near_mm, width_mm - far_mm],
        }
    }

    /// How wide the cloth lies when it is folded.
    pub fn folded_width_mm(self, width_mm: f64) -> f64 {
        match self {
            Self::Open | Self::Across => width_mm,
            Self::LengthsOnTheirCentre | Self::AtHalf | Self::InFour => width_mm / 2.0,
            Self::Partly { folded_mm } => width_mm - folded_mm,
            Self::BothIn { near_mm, far_mm } => width_mm - near_mm - far_mm,
        }
    }

    /// Where a line of the open cloth lies when it is folded.
    pub fn folded_mm(self, width_mm: f64, open_mm: f64) -> f64 {
        match self {
            Self::Open | Self::Across => open_mm,
            Self::LengthsOnTheirCentre | Self::AtHalf | Self::InFour => (open_mm - width_mm / 2.0).abs(),
            Self::Partly { folded_mm } => (open_mm - folded_mm).abs(),
            Self::BothIn { near_mm, far_mm } => {
                let folded_width_mm = width_mm - near_mm - far_mm;
                folded_width_mm - (folded_width_mm - (open_mm - near_mm).abs()).abs()
            }
        }
    }

    /// Its strips without the border along the near selvedge.
    pub fn zones_beside(self, cloth: &Cloth) -> Vec<Zone> {
        let ends = [0.0, cloth.border_mm].map(|mm| self.folded_mm(cloth.width_mm, mm));
        let [low_mm, high_mm] = [ends[0].min(ends[1]), ends[0].max(ends[1])];
        let beside = |zone: Zone| {
            let [near_mm, far_mm] = zone.across_mm;
            // The selvedge is an edge of its strip, however the cloth is folded.
            let across_mm = match (low_mm <= near_mm + LEAST_MM, high_mm >= far_mm - LEAST_MM) {
                (true, _) => [near_mm.max(high_mm), far_mm],
                (_, true) => [near_mm, far_mm.min(low_mm)],
                _ => zone.across_mm,
            };
            let is_fold_left = zone.fold_mm().is_none_or(|fold_mm| across_mm.contains(&fold_mm));
            (across_mm[1] - across_mm[0] > LEAST_MM && is_fold_left).then_some(Zone { across_mm, ..zone })
        };
        self.zones(cloth.width_mm).into_iter().filter_map(beside).collect()
    }

    /// Its strips, from her side to the far side.
    pub fn zones(self, width_mm: f64) -> Vec<Zone> {
        let far_mm = self.folded_width_mm(width_mm);
        let layers = self.layers();
        let double = |from: f64, to: f64, fold| Zone { across_mm: [from, to], layers, fold: Some(fold) };
        let single = |from: f64, to: f64| Zone { across_mm: [from, to], layers: 1, fold: None };
        let zones = match self {
            Self::Open => vec![single(0.0, far_mm)],
            Self::Across => vec![Zone { layers, ..single(0.0, far_mm) }],
            Self::LengthsOnTheirCentre | Self::AtHalf | Self::InFour => vec![double(0.0, far_mm, FoldAt::Near)],
            Self::Partly { folded_mm } => vec![double(0.0, folded_mm, FoldAt::Near), single(folded_mm, far_mm)],
            Self::BothIn { near_mm, far_mm: back_mm } => vec![
                double(0.0, near_mm, FoldAt::Near),
                single(near_mm, far_mm - back_mm),
                double(far_mm - back_mm, far_mm, FoldAt::Far),
            ],
        };
        zones.into_iter().filter(|zone| zone.width_mm() > LEAST_MM).collect()
    }
}

impl Zone {
    /// Its width.
    pub fn width_mm(&self) -> f64 {
        self.across_mm[1] - self.across_mm[0]
    }

    /// Where its fold lies.
    pub fn fold_mm(&self) -> Option<f64> {
        self.fold.map(|at| self.across_mm[usize::from(at == FoldAt::Far)])
    }
}
