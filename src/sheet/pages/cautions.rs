//! The last page: the error to be expected on the cloth, and the usual cautions of lamp, ceiling, blade and iron.
//!
//! The cautions are general and say whose word goes before theirs. Risk groups of projectors are those of
//! IEC 62471-5:2015. The habits with shears, cutters and irons are those taught to young sewers in a 4-H contest safety
//! guide; the rest is common practice, no source.

use super::book::Book;
use super::error_map::error_map;
use super::{CutSheet, sentence};
use crate::geometry::Vector;
use crate::sheet::leaf::{At, BODY_MM, Ink, LEADING, MARGIN_MM, PAGE_MM, wrapped};

/// What is said where no calibrated table is at hand.
const NO_TABLE: &str = "This sheet was made without a calibrated table, so nothing can be said about the error of the \
    light. Calibrate the table, and measure the proof with a tape before anything is cut.";

/// Where a caution's text begins.
const TEXT_MM: f64 = MARGIN_MM + 34.0;

/// The cautions, by what they are about.
const CAUTIONS: [(&str, &str); 6] = [
    (
        "Lamp and eyes",
        "Never look up into the lens, and let no child stand or play under it. Turn the picture black before you clean, \
         measure or reach near the lens. Keep mirrors, glass and shiny rulers out of the beam. Read the risk group \
         (IEC 62471-5) and the hazard distance in the projector's manual: over a table your face is under the lens, and \
         nearer than that distance a moment can hurt. Group 3 is for trained people only.",
    ),
    (
        "Overhead",
        "Whatever hangs over the table must be fixed to the building's structure, never to ceiling boards, by a mount \
         made for its weight and a second, independent safety cable. Look at the screws again from time to time. Keep machine oil, spray starch and glue \
         away from the case and the mount. Have it hung by a qualified fitter.",
    ),
    (
        "Current",
        "Use the maker's own cord in an earthed socket, no cord across the floor or under the blade. Keep the vents free. \
         Fixed wiring is an electrician's work.",
    ),
    (
        "Blades",
        "Close the rotary cutter's guard after every cut, cut away from yourself on a mat, fingers off the edge of the \
         ruler, no pins in the way. Carry shears with the points down, pass them handle first, and never catch a \
         falling pair. No pins in the mouth. Tape up old blades before they go into the bin.",
    ),
    (
        "Irons",
        "Stand the iron on its heel, cord out of reach, face out of the steam, and unplug it after use. Keep it off the \
         table that the projector hangs over.",
    ),
    ("A dark room", "Keep enough light at the side to see the blade, your fingers and the floor."),
];

/// Whose word goes first.
const DEFER: &str = "These are the usual cautions and no more. The manuals of the projector, the mount, the iron and the \
    cutter, the codes of the place you work in, and people qualified for it go before anything written here.";

/// Writes the page.
pub fn cautions_page(book: &mut Book, sheet: &CutSheet<'_>) {
    book.page("Error expected on the cloth");
    book.paragraph(&sheet.error_on_cloth.map_or_else(|| NO_TABLE.to_owned(), sentence));
    if let Some(kept) = sheet.table {
        error_map(book, kept);
    }
    book.y_mm += 6.0;
    book.heading("Before the lamp is lit");
    for (about, text) in CAUTIONS {
        let room_mm = PAGE_MM[0] - MARGIN_MM - TEXT_MM;
        let lines = wrapped(text, BODY_MM, room_mm).len();
        book.room(BODY_MM * LEADING * lines as f64, "Cautions, continued");
        let y = book.y_mm;
        book.leaf().words(about, At::new(MARGIN_MM, y) + Vector::new(0.0, BODY_MM), BODY_MM, Ink::Grey);
        book.y_mm = book.column(text, (At::new(TEXT_MM, y), room_mm), BODY_MM, Ink::Black) + 3.0;
    }
    book.room(20.0, "Cautions, continued");
    book.paragraph(DEFER);
}
