//! What to buy: the cloth that the same pieces need at each usual width, as a shop cuts it, with its price.
//!
//! Every width is laid by the same planner. A repeat makes each length that is folded on its centre longer to whole repeats,
//! and one repeat more is bought so that the first can begin where it should (home-sewing site diyideas.com: lengths of 96 in with a repeat of
//! 27 in are cut at 108).

use super::need::NOISE_MM;
use super::{Effort, Fold, Lay, Wanted, usual};
use crate::nest::Forms;
use crate::order::Cloth;
use crate::remark::Remark;
use crate::units::{INCH_MM, System};

/// Widths that cloth is sold in (the trade's conversion charts): metric shops, and those of the yard.
const METRIC_MM: [f64; 5] = [900.0, 1120.0, 1150.0, 1400.0, 1500.0];
const INCHES: [f64; 4] = [36.0, 45.0, 54.0, 60.0];

/// Two widths this close are one.
const SAME_MM: f64 = 1.0;

/// What cloth of one width would be bought.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// Between the selvedges.
    pub width_mm: f64,
    /// What is needed and bought, or why this width won't do.
    pub bought: Result<Bought, Remark>,
}

/// Cloth of a width that will do.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// Lengths that are cut.
    pub lengths: u32,
    /// What would be bought if nothing of the print had to meet.
    pub plain_mm: f64,
    /// What is bought for them: with whole repeats and one to start where there is a repeat, and what washing takes.
    pub needed_mm: f64,
    /// What the shop cuts.
    pub cut_mm: f64,
    /// What that costs, where the price is known.
    pub price: Option<String>,
}

/// The next whole number of repeats.
pub fn whole_repeats_mm(length_mm: f64, repeat_mm: f64) -> f64 {
    ((length_mm - NOISE_MM) / repeat_mm).ceil() * repeat_mm
}

/// The next whole number of repeats, where the print must meet.
pub(super) fn in_step_mm(length_mm: f64, repeat_mm: Option<f64>) -> f64 {
    repeat_mm.map_or(length_mm, |repeat_mm| whole_repeats_mm(length_mm, repeat_mm))
}

/// What would be bought of each usual width, and of the lay's own, the narrowest first.
pub fn offers(wanted: &Wanted<'_>, lay: &Lay) -> Vec<Offer> {
    offered(wanted, &lay.cloth, Some(lay))
}

/// The same where the cloth that is named won't do, so that there is no lay on it.
pub fn offers_instead(wanted: &Wanted<'_>) -> Vec<Offer> {
    offered(wanted, wanted.cloth, None)
}

fn offered(wanted: &Wanted<'_>, own: &Cloth, lay: Option<&Lay>) -> Vec<Offer> {
    let own_mm = own.width_mm;
    let mut widths_mm = match wanted.system {
        System::Metric => METRIC_MM.to_vec(),
        System::Inch => INCHES.map(|inches| inches * INCH_MM).to_vec(),
    };
    widths_mm.retain(|width_mm| (width_mm - own_mm).abs() > SAME_MM);
    widths_mm.push(own_mm);
    widths_mm.sort_by(f64::total_cmp);
    let mut forms = Forms::default();
    let mut offer = |width_mm: f64| {
        if let Some(lay) = lay.filter(|_| width_mm == own_mm) {
            return Offer { width_mm, bought: Ok(Bought::of(lay)) };
        }
        let cloth = Cloth { width_mm, length_mm: None, ..own.clone() };
        let laid = usual(&Wanted { cloth: &cloth, ..wanted.clone() }, &Effort::FIRST, &mut forms);
        let asked = laid.and_then(|told| told.value.as_asked(&wanted.asked));
        let bought = asked.map(|told| Bought::of(&told.value));
        let bought = bought.map_err(|refusal| {
            let first = refusal.remarks.into_iter().next();
            first.unwrap_or_else(|| Remark::refusal("the pieces can't be laid on it"))
        });
        Offer { width_mm, bought }
    };
    widths_mm.into_iter().map(&mut offer).collect()
}

impl Lay {
    /// What is bought for it, as `--buy` and every page say: with what washing takes, and lengths folded on their centre
    /// with whole repeats and one to start.
    pub fn to_buy_mm(&self) -> f64 {
        let along_mm = self.cloth.repeat_mm[0].filter(|_| self.fold == Fold::LengthsOnTheirCentre);
        let laid_mm = along_mm.map_or(self.used_mm, |along_mm| {
            f64::from(self.lengths) * whole_repeats_mm(self.length_mm, along_mm) + along_mm
        });
        self.cloth.to_buy_mm(laid_mm)
    }

    /// What the pieces alone would need of it, nothing of the print meeting.
    pub fn plain_mm(&self) -> f64 {
        self.meets.plain_mm.unwrap_or(self.used_mm)
    }
}

impl Bought {
    /// What is bought for a lay.
    pub fn of(lay: &Lay) -> Self {
        let needed_mm = lay.to_buy_mm();
        let cut_mm = lay.system.cut_from_bolt_mm(needed_mm);
        let price = lay.cloth.price.as_ref().map(|price| price.of(cut_mm));
        Self { lengths: lay.lengths, plain_mm: lay.cloth.to_buy_mm(lay.plain_mm()), needed_mm, cut_mm, price }
    }
}
