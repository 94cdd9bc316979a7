//! The pages of the cut sheet, in the order in which she needs them: the order, the working, the pieces, the lay, the
//! stages, and what to be careful about.

mod book;
mod cautions;
mod lay_page;
mod order_page;
mod piece_page;
mod stage_pages;
mod working_page;

use image::RgbaImage;

use super::press::press;
use crate::draft::Draft;
use crate::finish::Piece;
use crate::lay::Lay;
use crate::order::{Kind, Order};
use crate::remark::Refusal;
use crate::stages::Stage;
use book::Book;

/// What a cut sheet is made of.
#[derive(Clone, Copy, Debug)]
pub struct CutSheet<'a> {
    /// The order.
    pub order: &'a Order,
    /// Its draft.
    pub draft: &'a Draft,
    /// The finished pieces.
    pub pieces: &'a [Piece],
    /// The lay.
    pub lay: &'a Lay,
    /// The stages of cutting.
    pub stages: &'a [Stage],
    /// Pictures of the stages, in the same order, each with its caption; may be fewer or none.
    pub pictures: &'a [(String, RgbaImage)],
    /// What is known of the error on the cloth, in sentences; none where no calibrated table is at hand.
    pub error_on_cloth: Option<&'a str>,
}

/// Lays out and prints the cut sheet: a PDF of A4 pages.
///
/// # Errors
/// When the PDF can't be made, which no order should be able to cause.
pub fn cut_sheet(sheet: &CutSheet<'_>) -> Result<Vec<u8>, Refusal> {
    let mut book = Book::default();
    order_page::order_page(&mut book, sheet);
    working_page::working_page(&mut book, &sheet.draft.working);
    for piece in sheet.pieces {
        piece_page::piece_page(&mut book, piece, sheet.draft.system);
    }
    lay_page::lay_page(&mut book, sheet.lay);
    stage_pages::stage_pages(&mut book, sheet);
    cautions::cautions_page(&mut book, sheet.error_on_cloth);
    let title = match &sheet.order.client.name {
        Some(name) => format!("Cut sheet, {name}, {}", garment(sheet.order.garment.kind)),
        None => format!("Cut sheet, {}", garment(sheet.order.garment.kind)),
    };
    press(&title, &book.bound(&title), sheet.pictures)
}

/// What a kind of garment is called on paper.
fn garment(kind: Kind) -> &'static str {
    match kind {
        Kind::ALineDress => "A-line dress",
    }
}

/// A remark's words as a sentence of their own: with a capital and a full stop.
fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut signs = words.chars();
    let capital: String = signs.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let stop = if words.is_empty() || words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{capital}{}{stop}", signs.as_str())
}
