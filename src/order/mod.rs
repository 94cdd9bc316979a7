//! The order: whose dress it is, her measurements, the garment, the house rules of this order, and the cloth.
//!
//! [`read`] turns the text of an order file into checked values in mm, with every fault told at once.
//! Nothing is computed here; house rules are only carried along, since each garment knows its own.

mod asked;
mod batch;
mod belief;
mod kinds;
mod looks;
mod measures;
mod photo;
mod price;
mod printed;
mod read;
mod shrinkage;
mod sizes;
mod style;

use std::collections::BTreeMap;

pub use asked::{Asked, FOLD, FoldKind, Level, MATCH, MOTIF, Matching, Motif, ROOM};
pub use batch::{Batch, read_batch};
pub use belief::measured;
pub use kinds::{KINDS, Kind, KindFacts};
pub use measures::{Facts, MEASURES, Measure};
pub use photo::{Known, Photo, read_photo};
pub use price::Price;
pub use printed::RUNS_THROUGH;
pub use read::read;
pub use shrinkage::{Shrinkage, Wash};
pub use sizes::TABLES;
pub use style::{
    ChoiceFacts, Circle, ClothWeight, Collar, Cut, Dart, Edges, Fit, Neckline, Opening, Pockets, Sleeve, Style, Tie,
    WaistEdge,
};

use crate::entries::{Amount, Placed};
use crate::units::System;

/// One order.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// Whose it is.
    pub client: Client,
    /// The system that most of her measurements were written in; output follows it.
    pub system: System,
    /// Her measurements.
    pub body: Body,
    /// What is to be made.
    pub garment: Garment,
    /// House rules that this order sets otherwise, by name.
    pub rules: BTreeMap<String, Placed<Amount>>,
    /// What the fitting found, by name.
    pub fitting: BTreeMap<String, Placed<Amount>>,
    /// The cloth, when it is known.
    pub cloth: Option<Cloth>,
    /// What is asked of the lay.
    pub lay: Asked,
    /// How a photo of the cloth is to be read.
    pub photo: Option<Photo>,
    /// The light on the table, as far as it was measured.
    pub lamps: Lamps,
}

/// Whose dress it is; all of it may be left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Client {
    /// What she is called.
    pub name: Option<String>,
    /// When she was measured, as written.
    pub measured: Option<String>,
}

/// Measurements in mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    measures_mm: BTreeMap<Measure, f64>,
    unmeasured: BTreeMap<Measure, String>,
}

/// What is to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Garment {
    /// The kind of garment.
    pub kind: Kind,
    /// To the finished hem: from the start line, or from a skirt's waist.
    pub length_mm: f64,
    /// What was chosen.
    pub style: Style,
}

/// The cloth as it lies before her when it is cut: where it is washed first, as it is after that.
#[derive(Clone, Debug, PartialEq)]
pub struct Cloth {
    /// Width between the usable selvedges.
    pub width_mm: f64,
    /// What washing does to it, when it was tried.
    pub shrinkage: Option<Shrinkage>,
    /// Length, when it is already bought.
    pub length_mm: Option<f64>,
    /// Which way up the print may be used.
    pub print: Print,
    /// The print's repeat along the selvedge and across; none for a way in which it runs through, or is not known.
    pub repeat_mm: [Option<f64>; 2],
    /// Whether every second column of the print is dropped by half a repeat; a repeat across then is two columns.
    pub half_drop: bool,
    /// The middle of one of its motifs: from the cut end, and from the near selvedge.
    pub motif_mm: Option<[f64; 2]>,
    /// The width of a border along the near selvedge, which no piece may cover; nought where there is none.
    pub border_mm: f64,
    /// Places that no piece may cover.
    pub flaws: Vec<Flaw>,
    /// Thickness of one layer.
    pub layer_mm: f64,
    /// How heavy it is.
    pub weight: ClothWeight,
    /// The file of a photo of it, as written.
    pub photo: Option<String>,
    /// Its colours, when they were written.
    pub colours: Vec<Hue>,
    /// What it costs, when it was written.
    pub price: Option<Price>,
}

/// A flaw of the cloth, or a place that is already cut: a square around a point of the open cloth, right side up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flaw {
    /// From the cut end along the selvedge.
    pub along_mm: f64,
    /// From the near selvedge.
    pub across_mm: f64,
    /// The side of the square.
    pub size_mm: f64,
}

/// A colour as screens and pictures hold it: red, green and blue, sRGB.
pub type Hue = [u8; 3];

/// The light on the table, where it was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lamps {
    /// The room's, with the projector dark.
    pub room_lux: Option<f64>,
    /// The projector's own, where its picture is white.
    pub projector_lux: Option<f64>,
}

/// Which way up a print may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Print {
    /// Either way up.
    AllOver,
    /// One way only: turned end for end it stands on its head.
    OneWay,
}

impl Print {
    /// Every way, with the word that says it.
    pub const WORDS: [(&'static str, Self); 2] = [("all-over", Self::AllOver), ("one-way", Self::OneWay)];

    /// The word that says it.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, way)| *way == self).map_or("", |(word, _)| word)
    }
}

impl Body {
    /// A measurement, when it was taken.
    pub fn get(&self, measure: Measure) -> Option<f64> {
        self.measures_mm.get(&measure).copied()
    }

    /// Sets a measurement that was taken.
    pub fn set(&mut self, measure: Measure, mm: f64) {
        self.measures_mm.insert(measure, mm);
        self.unmeasured.remove(&measure);
    }

    /// Sets a measurement that was not taken on the body, with where it comes from.
    pub fn stand_in(&mut self, measure: Measure, mm: f64, whence: String) {
        self.measures_mm.insert(measure, mm);
        self.unmeasured.insert(measure, whence);
    }

    /// Where a measurement comes from, in words of the working.
    pub fn whence(&self, measure: Measure) -> &'static str {
        if self.unmeasured.contains_key(&measure) { "from the size" } else { "as measured" }
    }

    /// What was not taken on the body, each with where it comes from.
    pub fn unmeasured(&self) -> impl Iterator<Item = (Measure, &str)> {
        self.unmeasured.iter().map(|(measure, whence)| (*measure, whence.as_str()))
    }
}

impl Cloth {
    /// How much to buy along the selvedge for a length of it as it is cut.
    pub fn to_buy_mm(&self, along_mm: f64) -> f64 {
        along_mm / self.washing_first()[0]
    }

    /// How wide it must be bought to be so wide when it is cut.
    pub fn bought_width_mm(&self, across_mm: f64) -> f64 {
        across_mm / self.washing_first()[1]
    }

    /// Whether it is washed before it is cut.
    pub fn is_washed_first(&self) -> bool {
        self.shrinkage.is_some_and(|shrinkage| shrinkage.wash == Wash::BeforeCutting)
    }

    /// What washing before cutting makes of 1 mm, along and across.
    fn washing_first(&self) -> [f64; 2] {
        self.shrinkage.filter(|shrinkage| shrinkage.wash == Wash::BeforeCutting).map_or([1.0; 2], |s| s.left())
    }
}

impl Garment {
    /// The measurements it cannot be drafted without.
    pub fn needs(&self) -> Vec<Measure> {
        [self.kind.needs(), self.style.needs()].concat()
    }
}
