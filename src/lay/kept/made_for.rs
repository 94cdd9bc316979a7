//! What a lay depends on, put so that it can be compared: each piece as a sum, and what is asked of the cloth in words.

use crate::finish::Piece;
use crate::lay::Wanted;
use crate::order::{Cloth, Flaw, FoldKind, Level, Motif};

/// What the cloth is and what is asked of the lay, each with its key.
pub type Facts = [(&'static str, String); KEYS.len()];

/// The keys, and what each means in a sentence.
pub const KEYS: [(&str, &str); 10] = [
    ("width", "the cloth's width"),
    ("print", "the way of the print"),
    ("repeat", "the print's repeat"),
    ("drop", "the drop of the print"),
    ("flaws", "the list of flaws"),
    ("match", "what must meet of the print"),
    ("border", "the print's border"),
    ("motif", "the place of a motif"),
    ("lands", "where the motif must lie"),
    ("asked", "the fold that is asked for"),
];

/// What there is none of.
const NONE: &str = "none";

/// What a key means.
pub fn in_words(key: &str) -> &'static str {
    KEYS.iter().find(|(known, _)| *known == key).map_or("the cloth", |(_, words)| words)
}

/// What a lay of this depends on beside the pieces. The cloth's length is not among it: what lies on less cloth lies on more.
pub fn facts(wanted: &Wanted<'_>) -> Facts {
    // Every field is named, so that a new one is thought of here.
    let Cloth {
        width_mm,
        print,
        repeat_mm,
        half_drop,
        flaws,
        border_mm,
        motif_mm,
        length_mm: _,
        layer_mm: _,
        weight: _,
        shrinkage: _,
        photo: _,
        colours: _,
        price: _,
    } = wanted.cloth;
    let flaw = |flaw: &Flaw| lengths(&[flaw.along_mm, flaw.across_mm, flaw.size_mm]);
    let flaws: Vec<String> = flaws.iter().map(flaw).collect();
    let landed = (0..wanted.garments.len()).map(|garment| lands(wanted.asked.motifs.get(garment)));
    let mut landed: Vec<String> = landed.collect();
    landed.dedup();
    let values = [
        lengths(&[*width_mm]),
        print.word().to_owned(),
        repeat_mm.map(|mm| mm.map_or_else(|| NONE.to_owned(), |mm| lengths(&[mm]))).join(" x "),
        if *half_drop { "half" } else { NONE }.to_owned(),
        if flaws.is_empty() { NONE.to_owned() } else { flaws.join("; ") },
        wanted.matching().word().to_owned(),
        lengths(&[*border_mm]),
        motif_mm.map_or_else(|| NONE.to_owned(), |motif_mm| lengths(&motif_mm)),
        landed.join("; "),
        wanted.fold().map_or("any", FoldKind::word).to_owned(),
    ];
    let mut values = values.into_iter();
    KEYS.map(|(key, _)| (key, values.next().unwrap_or_default()))
}

/// Where the motif of one garment must lie.
fn lands(motif: Option<&Motif>) -> String {
    let motif = motif.copied().unwrap_or_default();
    let centre = motif.on_centre.then(|| "centre".to_owned());
    let level = motif.level.map(|level| match level {
        Level::Marked(name) => name.to_owned(),
        Level::Bust { down_mm, kept_off: false } => format!("bust {}", lengths(&[down_mm])),
        Level::Bust { down_mm, kept_off: true } => format!("off-bust {}", lengths(&[down_mm])),
    });
    let all: Vec<String> = centre.into_iter().chain(level).collect();
    if all.is_empty() { "anywhere".to_owned() } else { all.join(", ") }
}

/// Lengths to a hundredth of a millimetre, which no blade follows: "1140 mm", "320 mm x 640 mm".
fn lengths(all_mm: &[f64]) -> String {
    let shown: Vec<String> = all_mm.iter().map(|mm| format!("{} mm", (mm * 100.0).round() / 100.0)).collect();
    shown.join(" x ")
}

/// A sum of all that lays a piece: its outline to a hundredth of a millimetre, its grain, and how often and how it is cut.
pub fn drawn(piece: &Piece) -> String {
    let mut text = format!("{} {} {} {}", piece.name, piece.count, piece.on_fold, piece.paired);
    for p in piece.grain.iter().chain(&piece.cut.corners) {
        text += &format!(" {:.2},{:.2}", p.x, p.y);
    }
    format!("{:08x}", crc32fast::hash(text.as_bytes()))
}
