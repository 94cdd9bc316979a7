//! The cloth needed: what the pieces ask for on lengths of their own, and what is missing.

use crate::finish::Piece;
use crate::order::Cloth;
use crate::remark::Remark;
use crate::units::System;

/// Rounding noise in a comparison of lengths.
pub(super) const NOISE_MM: f64 = 1e-6;

/// What a stack of pieces on the fold asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// How many lengths.
    pub lengths: u32,
    /// One length, from the highest cut point (or the start line) to the lowest.
    pub length_mm: f64,
    /// Draft level of the length's upper end.
    pub top_mm: f64,
    /// Widest cut half-width.
    pub half_width_mm: f64,
}

/// By this share of its length a garment may be made shorter and is still what was asked for (common practice, no source).
const SHORTENED: f64 = 0.1;

impl Need {
    /// What these pieces ask for.
    pub fn of<'p>(pieces: impl IntoIterator<Item = &'p Piece>) -> Self {
        let mut need = Self { lengths: 0, length_mm: 0.0, top_mm: 0.0, half_width_mm: 0.0 };
        let mut bottom_mm: f64 = 0.0;
        for piece in pieces {
            need.lengths += 1;
            let (low, high) = piece.cut.bounds();
            need.top_mm = need.top_mm.min(low.y);
            need.half_width_mm = need.half_width_mm.max(high.x);
            bottom_mm = bottom_mm.max(high.y);
        }
        need.length_mm = bottom_mm - need.top_mm;
        need
    }

    /// The same with so much cloth before the highest point.
    #[must_use]
    pub fn headed(self, head_mm: f64) -> Self {
        Self { top_mm: self.top_mm - head_mm, length_mm: self.length_mm + head_mm, ..self }
    }

    /// The same in whole repeats, where lengths must begin alike on the print.
    #[must_use]
    pub fn in_step(self, repeat_mm: Option<f64>) -> Self {
        Self { length_mm: super::buy::in_step_mm(self.length_mm, repeat_mm), ..self }
    }

    /// All lengths together.
    pub fn total_mm(&self) -> f64 {
        self.length_mm * f64::from(self.lengths)
    }

    /// What to do about cloth that is so much too short in every length. A garment is made a little shorter, and no other one.
    fn enough(&self, cloth: &Cloth, short_mm: f64, system: System) -> String {
        let buy = format!("buy {}", system.show_cut_from_bolt(cloth.to_buy_mm(self.total_mm())));
        match short_mm <= SHORTENED * self.length_mm {
            true => format!("{buy}, or make it {} shorter", system.show_at_least(short_mm)),
            false => buy,
        }
    }

    /// How much too narrow or too short the cloth is, and what would fit; empty when it is enough.
    pub fn shortfalls(&self, cloth: &Cloth, system: System) -> Vec<Remark> {
        let show = |mm: f64| system.show(mm);
        let half_mm = cloth.width_mm / 2.0;
        let narrow_mm = self.half_width_mm - half_mm;
        let narrow = (narrow_mm > NOISE_MM).then(|| {
            Remark::refusal(format!(
                "the cloth is too narrow: folded along its centre it is {} wide, and the widest piece needs {} ({} more)",
                show(half_mm),
                show(self.half_width_mm),
                system.show_at_least(narrow_mm)
            ))
            .field("cloth.width")
            .remedy(format!(
                "take cloth at least {} between selvedges, lay it another way (fold under [lay]), or make that piece \
                 narrower by {}",
                show(cloth.bought_width_mm(2.0 * self.half_width_mm)),
                system.show_at_least(narrow_mm)
            ))
        });
        let short =
            cloth.length_mm.map(|length_mm| self.total_mm() - length_mm).filter(|short_mm| *short_mm > NOISE_MM);
        let short = short.map(|short_mm| {
            let length_mm = system.at_least_mm(self.length_mm);
            Remark::refusal(format!(
                "the cloth is too short: {} lengths of {} are {}, and there are {} ({} more)",
                self.lengths,
                show(length_mm),
                show(length_mm * f64::from(self.lengths)),
                show(cloth.length_mm.unwrap_or(0.0)),
                system.show_at_least(short_mm)
            ))
            .field("cloth.length")
            .remedy(self.enough(cloth, short_mm / f64::from(self.lengths), system))
        });
        narrow.into_iter().chain(short).collect()
    }
}
