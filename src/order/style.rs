//! What is chosen of a garment beside its length: the neckline, the sleeve, how edges are finished, where it opens.
//!
//! Each choice is one word in `[garment]`; the first of its words is taken when nothing is written. Which kind of
//! garment takes which choice stands in [`super::kinds`].

use crate::entries::{Entries, nearest, shown};

/// What may be written for a choice.
#[derive(Debug, PartialEq, Eq)]
pub struct ChoiceFacts {
    /// Its key under `[garment]`.
    pub key: &'static str,
    /// Its words; the first is the default.
    pub words: &'static [&'static str],
}

/// A choice: the values that its words stand for, in the same order.
pub(super) trait Choice: Copy + 'static {
    /// What may be written.
    const FACTS: ChoiceFacts;
    /// The values.
    const ALL: &'static [Self];
}

macro_rules! choices {
    ($($(#[$doc:meta])* $name:ident = $key:literal { $($(#[$of:meta])* $value:ident = $word:literal,)+ })+) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
            pub enum $name { #[default] $($(#[$of])* $value,)+ }

            impl Choice for $name {
                const FACTS: ChoiceFacts = ChoiceFacts { key: $key, words: &[$($word),+] };
                const ALL: &'static [Self] = &[$(Self::$value),+];
            }

            impl $name {
                /// What may be written for it.
                pub const CHOICE: &'static ChoiceFacts = &<Self as Choice>::FACTS;
            }
        )+
    };
}

choices! {
    /// The shape of the front neck.
    Neckline = "neckline" {
        /// A half ellipse.
        Round = "round",
        /// Two straight lines to a point.
        V = "v",
        /// Straight down and straight across.
        Square = "square",
        /// Wide and shallow.
        Boat = "boat",
        /// Deep and full.
        Scoop = "scoop",
        /// Two lobes that meet in a dip.
        Sweetheart = "sweetheart",
        /// Round, and cut open down the centre front.
        Slit = "slit",
    }
    /// The collar.
    Collar = "collar" {
        /// None.
        None = "none",
        /// Standing, to fasten at the back.
        Stand = "stand",
    }
    /// The sleeve.
    Sleeve = "sleeve" {
        /// None.
        None = "none",
        /// Set in, to the wrist.
        Long = "long",
        /// Set in, to between elbow and wrist.
        ThreeQuarter = "three-quarter",
        /// Set in, to the middle of the upper arm.
        Short = "short",
        /// Set in, no longer than its crown and a little.
        Cap = "cap",
        /// Set in, widening to its hem.
        Flared = "flared",
        /// A part of a ring, sewn in flat.
        Flutter = "flutter",
    }
    /// How neck and armholes are finished.
    Edges = "edges" {
        /// By the house rules' turnings alone: nothing is drafted for them.
        Plain = "plain",
        /// Bound with bias strip, cut from a square.
        Bias = "bias",
        /// Faced, each by itself.
        Facing = "facing",
        /// Neck and armholes faced in one.
        AllInOne = "all-in-one",
    }
    /// Where it opens.
    Opening = "opening" {
        /// Nowhere.
        None = "none",
        /// A seam down the centre back.
        Back = "back",
    }
    /// The pockets.
    Pockets = "pockets" {
        /// None.
        None = "none",
        /// Bags in the side seams.
        InSeam = "in-seam",
        /// Sewn on in front.
        Patch = "patch",
    }
    /// What ties it.
    Tie = "tie" {
        /// Nothing.
        None = "none",
        /// A belt, twice the waist and more.
        Belt = "belt",
        /// Two ties, sewn into the side seams.
        Ties = "ties",
    }
    /// How the front goes over the bust.
    Dart = "dart" {
        /// Flat.
        None = "none",
        /// By a dart out of the side seam.
        Side = "side",
    }
    /// How much ease there is.
    Fit = "fit" {
        /// By the house rules.
        House = "house",
        /// No more than is needed to move.
        Close = "close",
        /// Enough to sit and reach.
        Easy = "easy",
        /// Hanging free.
        Loose = "loose",
    }
    /// How heavy a cloth is; unlike all others this stands in `[cloth]`.
    ClothWeight = "weight" {
        /// As poplin and printed cotton.
        Medium = "medium",
        /// As lawn and voile.
        Light = "light",
        /// As canvas, drill and denim.
        Heavy = "heavy",
        /// Two layers with wadding between.
        Quilted = "quilted",
    }
    /// How much of a circle a skirt is.
    Circle = "circle" {
        /// All of it.
        Full = "full",
        /// Three quarters.
        ThreeQuarter = "three-quarter",
        /// Half.
        Half = "half",
        /// A quarter.
        Quarter = "quarter",
    }
    /// How a circle skirt is cut out.
    Cut = "cut" {
        /// Front and back, each on a fold.
        Fold = "on-fold",
        /// In four panels, with seams at the sides and at the centre of front and back.
        Panels = "panels",
        /// Half a circle in one piece, its straight edges sewn together at the centre back.
        OnePiece = "one-piece",
    }
    /// How a skirt is held at the waist.
    WaistEdge = "waist" {
        /// A band that fits the waist; the skirt opens at the side.
        Band = "band",
        /// A casing for elastic, wide enough for the hip.
        Casing = "casing",
    }
}

/// Everything that is chosen of a garment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// The front neck.
    pub neckline: Neckline,
    /// The collar.
    pub collar: Collar,
    /// The sleeve.
    pub sleeve: Sleeve,
    /// How edges are finished.
    pub edges: Edges,
    /// Where it opens.
    pub opening: Opening,
    /// The pockets.
    pub pockets: Pockets,
    /// What ties it.
    pub tie: Tie,
    /// How the front goes over the bust.
    pub dart: Dart,
    /// How much ease there is.
    pub fit: Fit,
    /// How much of a circle.
    pub circle: Circle,
    /// How a circle skirt is cut out.
    pub cut: Cut,
    /// The waist of a skirt.
    pub waist: WaistEdge,
}

/// What was chosen, wherever it is written: each choice is asked for once.
trait Chosen {
    fn of<C: Choice + Default>(&mut self) -> C;
}

impl Style {
    fn of(mut chosen: impl Chosen) -> Self {
        Self {
            neckline: chosen.of(),
            collar: chosen.of(),
            sleeve: chosen.of(),
            edges: chosen.of(),
            opening: chosen.of(),
            pockets: chosen.of(),
            tie: chosen.of(),
            dart: chosen.of(),
            fit: chosen.of(),
            circle: chosen.of(),
            cut: chosen.of(),
            waist: chosen.of(),
        }
    }

    /// The word of every choice, with its key.
    pub fn words(&self) -> [(&'static str, &'static str); 12] {
        [
            word(self.neckline),
            word(self.collar),
            word(self.sleeve),
            word(self.edges),
            word(self.opening),
            word(self.pockets),
            word(self.tie),
            word(self.dart),
            word(self.fit),
            word(self.circle),
            word(self.cut),
            word(self.waist),
        ]
    }

    /// The style of these words, by the key of each choice; where a word is not known, its first is taken.
    pub fn of_words(word: impl Fn(&'static str) -> String) -> Self {
        Self::of(Words(word))
    }
}

/// Words by the key of their choice.
struct Words<W>(W);

impl<W: Fn(&'static str) -> String> Chosen for Words<W> {
    fn of<C: Choice + Default>(&mut self) -> C {
        named(&self.0(C::FACTS.key)).unwrap_or_default()
    }
}

/// The section of an order, and the choices that its kind of garment takes.
struct Section<'s, 'e, 'f> {
    entries: &'s mut Entries<'e, 'f>,
    takes: &'s [&'s ChoiceFacts],
}

/// Reads the choices that a kind of garment takes; any other is left in the section, to be refused.
pub(super) fn style(entries: &mut Entries<'_, '_>, takes: &[&ChoiceFacts]) -> Style {
    Style::of(Section { entries, takes })
}

impl Chosen for Section<'_, '_, '_> {
    fn of<C: Choice + Default>(&mut self) -> C {
        if self.takes.contains(&&C::FACTS) { one(self.entries) } else { C::default() }
    }
}

/// Reads one choice of a section.
pub(super) fn one<C: Choice + Default>(entries: &mut Entries<'_, '_>) -> C {
    let ChoiceFacts { key, words } = C::FACTS;
    let Some(text) = entries.text(key) else { return C::default() };
    let found = named(&text.value);
    if found.is_none() {
        let write = match nearest(&text.value, words) {
            Some(near) => format!("write {key} = \"{near}\""),
            None => format!("write one of {}", words.join(", ")),
        };
        let says = format!("{key} = \"{}\" is not known here", shown(&text.value));
        entries.fault(key, text.line, says, write);
    }
    found.unwrap_or_default()
}

/// The key of a choice and the word of a value.
fn word<C: Choice + PartialEq>(of: C) -> (&'static str, &'static str) {
    let ChoiceFacts { key, words } = C::FACTS;
    (key, C::ALL.iter().zip(words).find(|(value, _)| **value == of).map_or("", |(_, word)| word))
}

/// The value of a word.
fn named<C: Choice>(word: &str) -> Option<C> {
    C::FACTS.words.iter().zip(C::ALL).find(|(known, _)| **known == word).map(|(_, value)| *value)
}
