//! The flat print with its repeat ruled on it, to be looked at: does every cell show the same?

use super::Repeat;
use crate::motif::Print;

/// A ruled line is this share of the picture's longer side wide, light and dark in turn, so that it is seen on any print.
const LINE_SHARE: f64 = 0.004;

/// The pixels of a print with the cells of its repeat ruled on them.
pub fn ruled(print: &Print, repeat: &Repeat) -> Vec<u8> {
    let mut rgba = print.rgba.clone();
    let (sin, cos) = repeat.slant_deg.to_radians().sin_cos();
    let pixel_mm = print.size_mm.x / print.size_px[0] as f64;
    let line_mm = (LINE_SHARE * print.size_mm.x.max(print.size_mm.y)).max(pixel_mm);
    let column_mm = repeat.across_mm.map(|across_mm| across_mm / f64::from(repeat.columns.max(1)));
    for (i, pixel) in rgba.chunks_exact_mut(4).enumerate() {
        let (column, row) = (i % print.size_px[0], i / print.size_px[0]);
        let x = (column as f64 + 0.5) * pixel_mm - print.size_mm.x / 2.0;
        let y = print.size_mm.y / 2.0 - (row as f64 + 0.5) * print.size_mm.y / print.size_px[1] as f64;
        let (along, across) = (x * cos + y * sin, y * cos - x * sin);
        let in_column = column_mm.map(|column_mm| (across / column_mm).floor());
        let drop = in_column.zip(repeat.along_mm).map(|(column, mm)| column * mm / f64::from(repeat.columns.max(1)));
        let off = |at: f64, every_mm: Option<f64>| every_mm.map_or(f64::INFINITY, |mm| at.rem_euclid(mm));
        let off_mm = off(along - drop.unwrap_or(0.0), repeat.along_mm).min(off(across, column_mm));
        if off_mm < line_mm {
            let level = if off_mm < line_mm / 2.0 { 255 } else { 0 };
            pixel.copy_from_slice(&[level, level, level, 255]);
        }
    }
    rgba
}
