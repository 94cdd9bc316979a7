//! The paper that goes with the light: the cut sheet as a PDF, and draft and lay as SVG at true size.
//!
//! ```text
//! orders, drafts, pieces, lay, stages --pages--> leaves (marks in mm on A4) --press--> PDF
//!                                      --svg----> one drawing, true in mm
//! ```
//! [`pages`] lays out one leaf after another and measures everything in millimetres; only [`press`] knows the PDF
//! library and its f32. [`drawing`] puts lines of the cloth on paper in the same forms as in the light, reduced.
//!
//! Promised: what is printed is what the values say, in the order's own units; each drawing on paper states its scale,
//! and each page with a rule can be measured. Not promised: true size from a printer that was told to fit the page,
//! which is why the rule is there. No file is written here, and no clock is read.

mod card;
mod drawing;
mod laid;
mod leaf;
mod pages;
mod press;
pub mod svg;

pub use card::check_card;
pub use pages::{CutSheet, SheetOrder, cut_sheet};
