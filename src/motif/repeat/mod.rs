//! The repeat of a print, read off a photo of the cloth that was made flat.
//!
//! The print is brought down to one tone and evenly lit ([`tone`]), laid over itself moved every way ([`likeness`]), and
//! the moves that bring it upon itself are sought ([`lattice`]). The least rectangle of them along the selvedge is the
//! repeat ([`square`]); one repeat, the mean of all, tells whether the print has one way up ([`cell`]). A photo shows a
//! repeat only when it shows at least one and a half of it each way. Not promised: that motifs which lie in all
//! directions are known for such.

mod cell;
mod fourier;
mod lattice;
mod likeness;
mod ruled;
mod square;
mod through;
mod tone;

use super::Print;
pub use cell::Symmetry;
pub use ruled::ruled;

/// The repeat of a print.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeat {
    /// Along the selvedge; none where the print runs through that way, as stripes do.
    pub along_mm: Option<f64>,
    /// Across the cloth; none where the print runs through that way.
    pub across_mm: Option<f64>,
    /// Columns in a repeat, each dropped against the one before: 1 when all stand level, 2 for a half-drop.
    pub columns: u32,
    /// How far the print is turned in the photo, from along towards across.
    pub slant_deg: f64,
    /// How like itself it is when turned or mirrored.
    pub symmetry: Symmetry,
    /// The share of cases as clear as this in which the repeat is right.
    pub sure_share: f64,
}

/// Which way up a print may be used, as far as a photo tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Turned end for end it looks the same.
    EitherWay,
    /// Turned end for end it looks otherwise.
    OneWay,
    /// Neither is plain.
    Unsure,
}

/// From this likeness on a turned print looks the same.
const THE_SAME: f64 = 0.9;

/// Less sure than this a repeat is none.
const LEAST_SURE: f64 = 0.5;

/// Below this it looks otherwise.
const OTHERWISE: f64 = 0.82;

impl Repeat {
    /// Whether every second column is dropped by half a repeat.
    pub fn half_drop(&self) -> bool {
        self.columns == 2
    }

    /// Which way up the print may be used.
    pub fn way(&self) -> Way {
        match self.symmetry.turned_share.max(self.symmetry.head_for_foot_share) {
            share if share >= THE_SAME => Way::EitherWay,
            share if share < OTHERWISE => Way::OneWay,
            _ => Way::Unsure,
        }
    }
}

/// The repeat of a flat print; none when it has none that the photo shows.
pub fn repeat(print: &Print) -> Option<Repeat> {
    let tone = tone::Tone::of(print)?;
    let likeness = likeness::Likeness::of(&tone);
    let (square, clear) = match through::stripes(&likeness, tone.pixel_mm) {
        Some(stripes) => stripes?,
        None => {
            let lattice = lattice::lattice(&likeness)?;
            (square::square(&lattice, tone.pixel_mm)?, lattice.clear)
        }
    };
    // What the photo does not show once whole is a guess.
    let shown = |i: usize| square.mm[i].is_none_or(|mm| mm <= tone.size_px[i] as f64 * tone.pixel_mm[i]);
    if !(shown(0) && shown(1)) {
        return None;
    }
    let [along_mm, across_mm] = square.mm;
    let symmetry = cell::symmetry(&tone, &square);
    let sure_share = sure_share(&clear);
    (sure_share >= LEAST_SURE).then_some(Repeat {
        along_mm,
        across_mm,
        columns: square.columns,
        slant_deg: square.slant_deg,
        symmetry,
        sure_share,
    })
}

/// The share of repeats as clear as this that are right: a logistic curve fitted to 784 drawn prints that show 1.3 to 4
/// repeats under noise of 1 to 90 levels of 255, of which 762 were right.
fn sure_share(clear: &lattice::Clear) -> f64 {
    let clearness = 6.15 * clear.quarter_share + 3.01 * (clear.knots as f64).ln() - 5.9;
    1.0 / (1.0 + (-clearness).exp())
}
