//! What to buy: the cloth that the same pieces need at each usual width, as a shop cuts it, with its price.
//!
//! Every width is laid by the same planner. A repeat makes each length longer to whole repeats, and one repeat more is
//! bought so that the first can begin where it should (home-sewing site diyideas.com: lengths of 96 in with a repeat of
//! 27 in are cut at 108).

use super::need::NOISE_MM;
use super::{Lay, lay};
use crate::finish::Piece;
use crate::order::Cloth;
use crate::remark::Remark;
use crate::units::{INCH_MM, System};

/// Widths that cloth is sold in (the trade's conversion charts): metric shops, and those of the yard.
const METRIC_MM: [f64; 5] = [900.0, 1120.0, 1150.0, 1400.0, 1500.0];
const INCHES: [f64; 4] = [36.0, 45.0, 54.0, 60.0];

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
    /// What the pieces need along the selvedge, the print left out.
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

/// What would be bought of this cloth, and of each usual width, the narrowest first.
pub fn offers(pieces: &[Piece], cloth: &Cloth, system: System) -> Vec<Offer> {
    let mut widths_mm = match system {
        System::Metric => METRIC_MM.to_vec(),
        System::Inch => INCHES.map(|inches| inches * INCH_MM).to_vec(),
    };
    if widths_mm.iter().all(|width_mm| (width_mm - cloth.width_mm).abs() > 1.0) {
        widths_mm.push(cloth.width_mm);
    }
    widths_mm.sort_by(f64::total_cmp);
    let offer = |width_mm: f64| {
        let cloth = Cloth { width_mm, length_mm: None, ..cloth.clone() };
        let bought = lay(pieces, &cloth, system).map(|told| Bought::of(&told.value)).map_err(|refusal| {
            let first = refusal.remarks.into_iter().next();
            first.unwrap_or_else(|| Remark::refusal("the pieces can't be laid on it"))
        });
        Offer { width_mm, bought }
    };
    widths_mm.into_iter().map(offer).collect()
}

impl Bought {
    /// What is bought for a lay.
    pub fn of(lay: &Lay) -> Self {
        let along_mm = lay.cloth.repeat_mm.map(|[along_mm, _]| along_mm);
        let laid_mm = along_mm.map_or(lay.used_mm, |along_mm| {
            f64::from(lay.lengths) * whole_repeats_mm(lay.length_mm, along_mm) + along_mm
        });
        let needed_mm = lay.cloth.to_buy_mm(laid_mm);
        let cut_mm = lay.system.cut_from_bolt_mm(needed_mm);
        let price = lay.cloth.price.as_ref().map(|price| price.of(cut_mm));
        Self { lengths: lay.lengths, plain_mm: lay.used_mm, needed_mm, cut_mm, price }
    }
}
