//! The check card on paper, at true size.

use super::leaf::{At, BODY_MM, Ink, Leaf, SMALL_MM, circle};
use super::press::press_as_they_are;
use crate::calibrate::photo::card::{COLUMNS, Format, HOLE_MM, Paper, RADIUS_MM, ROWS, STEP_MM};
use crate::geometry::Vector;
use crate::remark::Refusal;
use crate::units::System;

/// Text stands so far above the lower edge of the page.
const TEXT_UP_MM: f64 = 13.0;

/// Prints the card as a PDF of one page.
///
/// # Errors
/// When the PDF can't be made.
pub fn check_card(format: Format) -> Result<Vec<u8>, Refusal> {
    let page_mm = format.page_mm();
    let [along, across] = [COLUMNS, ROWS].map(|count| STEP_MM * (count - 1) as f64);
    let near_left = At::new((page_mm[0] - along) / 2.0, page_mm[1] - (page_mm[1] - across) / 2.0);
    let mut leaf = Leaf::default();
    for column in 0..COLUMNS {
        for row in 0..ROWS {
            let at = near_left + Vector::new(STEP_MM * column as f64, -STEP_MM * row as f64);
            leaf.area(circle(at, RADIUS_MM), Ink::Black);
            if [column, row] == [0, 0] {
                leaf.area(circle(at, HOLE_MM), Ink::White);
            }
        }
    }
    let row_mm = Paper::default().row_mm;
    let lines = [
        format!(
            "Check card. Print without fitting to the page; from the ring's middle to the last dot of its row: {} ({}).",
            System::Metric.show_fine(row_mm),
            System::Inch.show_fine(row_mm)
        ),
        "Measure it on the paper. Lay one near each corner of the light, the ring towards you on your left.".to_owned(),
    ];
    for (i, line) in lines.into_iter().enumerate() {
        let at = At::new(near_left.x - RADIUS_MM, page_mm[1] - TEXT_UP_MM + i as f64 * BODY_MM * 1.3);
        leaf.words(line, at, SMALL_MM, Ink::Black);
    }
    press_as_they_are(page_mm, "Check card", &[leaf])
}
