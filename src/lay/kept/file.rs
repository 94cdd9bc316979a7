//! The file of a kept lay: TOML that she can read, with a unit to every length.
//!
//! Places are written to the last digit: pieces lie so close that a tenth of a micron would lay one over the other.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use super::made_for::{Facts, KEYS, drawn, facts};
use super::{Kept, Place};
use crate::entries::{Entries, Placed as At, Source, shown};
use crate::finish::Piece;
use crate::lay::{Fold, Lay, Placed, Wanted};
use crate::remark::{Refusal, Remark};
use crate::units::Length;

const HEAD: &str = "# Where the pieces lie, found by searching and kept by chalklight: as long as pieces and cloth stay as they are, they\n\
                    # are cut so. Each place is from the cut end and from the near edge of the cloth as folded, to the box around the\n\
                    # piece. Delete this file to have the pieces laid anew.\n";

/// What to write when a part of the file is not there.
const AGAIN: &str = "search again, or delete this file";

const TURNED: &str = "turned";
const MIRRORED: &str = "mirrored";

/// No lay is longer.
const LONGEST_MM: f64 = 200_000.0;

/// The file of the lay of these orders, beside the first: `alto.toml` has `alto.lay.toml`, `alto.toml` and `bass.toml`
/// together have `alto+bass.lay.toml`.
pub fn beside(orders: &[impl AsRef<Path>]) -> PathBuf {
    let stem = |order: &Path| order.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let stems: Vec<String> = orders.iter().map(|order| stem(order.as_ref())).collect();
    let name = format!("{}.lay.toml", stems.join("+"));
    orders.first().map_or_else(|| PathBuf::from(&name), |first| first.as_ref().with_file_name(&name))
}

/// The text of the file for a lay; none for lengths folded on their centre, which need no search to be found again.
pub fn write(lay: &Lay, wanted: &Wanted<'_>) -> Option<String> {
    let folded_mm = match lay.fold {
        Fold::LengthsOnTheirCentre => return None,
        Fold::Partly { folded_mm } => vec![folded_mm],
        Fold::BothIn { near_mm, far_mm } => vec![near_mm, far_mm],
        Fold::Open | Fold::AtHalf | Fold::Across | Fold::InFour => Vec::new(),
    };
    let fold = lay.fold.kind().word();
    let mut text = format!("{HEAD}\n[made_for]\n");
    for (key, value) in facts(wanted) {
        let _ = writeln!(text, "{key} = \"{value}\"");
    }
    // The room that an order asks for comes on top again.
    let length_mm = lay.length_mm - lay.room_mm;
    let _ = write!(text, "\n[lay]\nfold = \"{fold}\"\n");
    if !folded_mm.is_empty() {
        let _ = writeln!(text, "folded = {}", list(&folded_mm));
    }
    let _ = writeln!(text, "length = {}", exact(length_mm));
    if let Some(plain_mm) = lay.meets.plain_mm {
        let _ = writeln!(text, "plain = {}", exact(plain_mm));
    }
    let mut first = 0;
    for pieces in &wanted.garments {
        text += "\n[[order]]\n";
        for placed in &lay.placed {
            if let Some(piece) = placed.of.checked_sub(first).and_then(|of| pieces.get(of)) {
                write_place(&mut text, placed, piece);
            }
        }
        first += pieces.len();
    }
    Some(text)
}

fn write_place(text: &mut String, placed: &Placed, piece: &Piece) {
    let (low, name, drawn) = (placed.cut().bounds().0, piece.name, drawn(piece));
    let _ =
        write!(text, "\n[[order.piece]]\npiece = \"{name}\"\ndrawn = \"{drawn}\"\nat = {}\n", list(&[low.x, low.y]));
    let lies: Vec<String> = [(placed.turned, TURNED), (placed.mirrored, MIRRORED)]
        .into_iter()
        .filter(|(is, _)| *is)
        .map(|(_, word)| format!("\"{word}\""))
        .collect();
    if !lies.is_empty() {
        let _ = writeln!(text, "lies = [{}]", lies.join(", "));
    }
}

fn list(all_mm: &[f64]) -> String {
    let each: Vec<String> = all_mm.iter().map(|mm| exact(*mm)).collect();
    format!("[{}]", each.join(", "))
}

/// A length to the last digit; nought has no sign.
fn exact(mm: f64) -> String {
    format!("\"{} mm\"", mm + 0.0)
}

/// Reads a kept lay.
///
/// # Errors
/// Every fault of the file at once, each with its line and what to write.
pub fn read(text: &str) -> Result<Kept, Refusal> {
    let source = Source::new(text);
    let mut file = source.entries();
    let made_for = file.section("made_for").map(made_for);
    if made_for.is_none() {
        file.missing("made_for", AGAIN);
    }
    let lay = file.section("lay");
    if lay.is_none() {
        file.missing("lay", AGAIN);
    }
    let lay = lay.and_then(lay_of);
    let orders = file.sections("order");
    if orders.is_empty() {
        file.missing("order", AGAIN);
    }
    let garments = orders.into_iter().map(places).collect();
    file.close();
    source.checked()?;
    match (made_for, lay) {
        (Some(made_for), Some((fold, length_mm, plain_mm))) => {
            Ok(Kept { made_for, fold, length_mm, plain_mm, garments })
        }
        _ => Err(Refusal::because(Remark::refusal("this is no lay that was kept").remedy(AGAIN))),
    }
}

fn made_for(mut section: Entries<'_, '_>) -> Facts {
    let facts = KEYS.map(|(key, _)| {
        let value = section.text(key).map(|text| text.value);
        if value.is_none() {
            section.missing(key, AGAIN);
        }
        (key, value.unwrap_or_default())
    });
    section.close();
    facts
}

fn lay_of(mut section: Entries<'_, '_>) -> Option<(Fold, f64, Option<f64>)> {
    let line = section.line();
    let name = section.text("fold");
    let folded: Vec<f64> = match section.lengths("folded") {
        Some(folded) => folded.value.iter().map(|length| length.mm).collect(),
        None => Vec::new(),
    };
    let fold = match (name.as_ref().map(|name| name.value.as_str()), folded.as_slice()) {
        (Some("open"), []) => Some(Fold::Open),
        (Some("half"), []) => Some(Fold::AtHalf),
        (Some("across"), []) => Some(Fold::Across),
        (Some("four"), []) => Some(Fold::InFour),
        (Some("one-side"), [folded_mm]) => Some(Fold::Partly { folded_mm: *folded_mm }),
        (Some("both-sides"), [near_mm, far_mm]) => Some(Fold::BothIn { near_mm: *near_mm, far_mm: *far_mm }),
        (name, _) => {
            let says = format!(
                "fold = \"{}\", with so many widths under folded, is no fold that is known",
                shown(name.unwrap_or(""))
            );
            let write = "write fold = \"open\", \"half\", \"across\" or \"four\"; \"one-side\" with folded = [\"30 cm\"]; or \
                         \"both-sides\" with folded = [\"30 cm\", \"25 cm\"]";
            section.fault("fold", line, says, write);
            None
        }
    };
    let length = section.length("length");
    if length.is_none() {
        section.missing("length", AGAIN);
    }
    let plain_mm = section.length("plain").map(|length| length.value.mm);
    if let Some(At { value: Length { mm, .. }, line }) =
        length.as_ref().filter(|at| !(0.0..=LONGEST_MM).contains(&at.value.mm))
    {
        section.fault("length", *line, format!("length = {mm} mm is no length of cloth"), AGAIN);
    }
    section.close();
    Some((fold?, length?.value.mm, plain_mm))
}

fn places(mut section: Entries<'_, '_>) -> Vec<Place> {
    let places = section.sections("piece").into_iter().filter_map(place).collect();
    section.close();
    places
}

fn place(mut section: Entries<'_, '_>) -> Option<Place> {
    let line = section.line();
    let [piece, drawn] = ["piece", "drawn"].map(|key| {
        let text = section.text(key).map(|text| text.value);
        if text.is_none() {
            section.missing(key, AGAIN);
        }
        text
    });
    let at = section.lengths("at");
    let at_mm = match at.as_ref().map(|at| at.value.as_slice()) {
        Some([along, across]) => Some([along.mm, across.mm]),
        _ if section.has_fault_at("at") => None,
        _ => {
            let write = "write at = [\"40 cm\", \"12 cm\"]: from the cut end, from the near edge";
            section.fault("at", at.map_or(line, |at| at.line), "at needs two lengths".to_owned(), write);
            None
        }
    };
    let lies = section.texts("lies");
    for word in lies.iter().filter(|word| ![TURNED, MIRRORED].contains(&word.value.as_str())) {
        let says = format!("lies = \"{}\" is no way in which a piece can lie", shown(&word.value));
        section.fault("lies", word.line, says, "write \"turned\" (end for end), \"mirrored\", both, or leave it out");
    }
    let lies_so = |word: &str| lies.iter().any(|written| written.value == word);
    section.close();
    Some(Place {
        piece: piece?,
        drawn: drawn?,
        at_mm: at_mm?,
        turned: lies_so(TURNED),
        mirrored: lies_so(MIRRORED),
        line,
    })
}
