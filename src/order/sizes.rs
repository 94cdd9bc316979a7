//! A quick start from a size: what published tables say of a body, until it is measured.
//!
//! A size is nobody's body. What comes from one is marked as not measured, and is questioned before cutting.
//!
//! Sources. `us-misses-1967`, `us-women-1967`: the size tables agreed in the American trade in 1967, as quoted on a
//! sewing history weblog (sewingscholar.blogspot.com, February 2011); it prints the smallest women's size as 36, which by
//! the steps of the others is 38. Their back length stands for the waist depth. `astm-d5585-11`: ASTM D5585-11e1,
//! misses, straight figure, values of ASTM's own public summary. `en-13402-3`: EN 13402-3, average hip, named by the
//! bust in centimetres; from memory.

use super::measures::Measure;
use crate::entries::{Entries, nearest, shown};
use crate::units::INCH_MM;

/// One centimetre.
const CM_MM: f64 = 10.0;

/// A table of sizes.
#[derive(Debug, PartialEq)]
pub struct SizeTable {
    /// Its name in an order file.
    pub key: &'static str,
    /// What it is called in a sentence.
    pub name: &'static str,
    /// Its sizes, smallest first.
    pub sizes: &'static [&'static str],
    /// The unit that it is printed in.
    unit_mm: f64,
    /// Its columns, a value a size.
    columns: &'static [(Measure, &'static [f64])],
}

/// One size of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    table: &'static SizeTable,
    row: usize,
}

/// Every table.
pub static TABLES: [SizeTable; 4] = [
    SizeTable {
        key: "us-misses-1967",
        name: "the US misses table of 1967",
        sizes: &["6", "8", "10", "12", "14", "16", "18", "20"],
        unit_mm: INCH_MM,
        columns: &[
            (Measure::Bust, &[30.5, 31.5, 32.5, 34.0, 36.0, 38.0, 40.0, 42.0]),
            (Measure::Waist, &[23.0, 24.0, 25.0, 26.5, 28.0, 30.0, 32.0, 34.0]),
            (Measure::Hip, &[32.5, 33.5, 34.5, 36.0, 38.0, 40.0, 42.0, 44.0]),
            (Measure::WaistDepth, &[15.5, 15.75, 16.0, 16.25, 16.5, 16.75, 17.0, 17.25]),
        ],
    },
    SizeTable {
        key: "us-women-1967",
        name: "the US women's table of 1967",
        sizes: &["38", "40", "42", "44", "46", "48", "50"],
        unit_mm: INCH_MM,
        columns: &[
            (Measure::Bust, &[42.0, 44.0, 46.0, 48.0, 50.0, 52.0, 54.0]),
            (Measure::Waist, &[35.0, 37.0, 39.0, 41.5, 44.0, 46.5, 49.0]),
            (Measure::Hip, &[44.0, 46.0, 48.0, 50.0, 52.0, 54.0, 56.0]),
            (Measure::WaistDepth, &[17.25, 17.36, 17.5, 17.63, 17.75, 17.88, 18.0]),
        ],
    },
    SizeTable {
        key: "astm-d5585-11",
        name: "ASTM D5585-11e1, misses, straight",
        sizes: &["00", "0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20"],
        unit_mm: INCH_MM,
        columns: &[
            (Measure::Bust, &[31.125, 31.75, 33.0, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44.0, 46.0]),
            (Measure::Waist, &[25.375, 26.125, 26.875, 27.625, 28.5, 29.5, 30.5, 32.25, 34.0, 36.0, 38.25, 40.5]),
            (Measure::Head, &[21.25, 21.25, 21.5, 21.5, 21.75, 21.75, 22.0, 22.0, 22.25, 22.25, 22.5, 22.5]),
        ],
    },
    SizeTable {
        key: "en-13402-3",
        name: "EN 13402-3, average hip (from memory)",
        sizes: &["76", "80", "84", "88", "92", "96", "100", "104", "110", "116", "122", "128"],
        unit_mm: CM_MM,
        columns: &[
            (Measure::Bust, &[76.0, 80.0, 84.0, 88.0, 92.0, 96.0, 100.0, 104.0, 110.0, 116.0, 122.0, 128.0]),
            (Measure::Waist, &[60.0, 64.0, 68.0, 72.0, 76.0, 80.0, 84.0, 88.0, 94.0, 100.0, 106.0, 112.0]),
            (Measure::Hip, &[84.0, 88.0, 92.0, 96.0, 100.0, 104.0, 108.0, 112.0, 117.0, 122.0, 127.0, 132.0]),
        ],
    },
];

impl Size {
    /// A measurement of the size, in mm, when the table has it.
    pub fn get(&self, measure: Measure) -> Option<f64> {
        let (_, values) = self.table.columns.iter().find(|(column, _)| *column == measure)?;
        Some(values.get(self.row)? * self.table.unit_mm)
    }

    /// What it is called in a sentence.
    pub fn says(&self) -> String {
        format!("size {} of {}", self.table.sizes[self.row], self.table.name)
    }
}

/// Reads `from_size`: the table's name and the size.
pub(super) fn from_size(section: &mut Entries<'_, '_>) -> Option<Size> {
    let text = section.text("from_size")?;
    let (key, size) = text.value.trim().split_once(char::is_whitespace).unwrap_or((text.value.trim(), ""));
    let keys: Vec<&str> = TABLES.iter().map(|table| table.key).collect();
    let Some(table) = TABLES.iter().find(|table| table.key == key) else {
        let near = nearest(key, &keys).map_or_else(|| keys.join(", "), |near| format!("\"{near} ...\""));
        let sentence = format!("from_size = \"{}\" names no size table that is known", shown(&text.value));
        section.fault("from_size", text.line, sentence, format!("write a table and a size: {near}"));
        return None;
    };
    let row = table.sizes.iter().position(|known| *known == size.trim());
    if row.is_none() {
        let sentence = format!("from_size = \"{}\" is no size of {}", shown(&text.value), table.name);
        let near: Vec<String> = nearest_sizes(table, size).iter().map(|near| format!("\"{key} {near}\"")).collect();
        let remedy = format!("write {}; its sizes are {}", near.join(" or "), table.sizes.join(", "));
        section.fault("from_size", text.line, sentence, remedy);
    }
    Some(Size { table, row: row? })
}

/// The sizes of a table nearest to what was written, smallest first; its smallest where that is no number.
fn nearest_sizes(table: &SizeTable, written: &str) -> Vec<&'static str> {
    let Some(wanted) = number(written.trim()) else { return table.sizes[..1].to_vec() };
    let off = |size: &str| number(size).map_or(f64::INFINITY, |number| (number - wanted).abs());
    let least = table.sizes.iter().map(|size| off(size)).fold(f64::INFINITY, f64::min);
    table.sizes.iter().copied().filter(|size| off(size) <= least).collect()
}

/// A size as a number; 00 is the one below 0.
fn number(size: &str) -> Option<f64> {
    match size {
        "00" => Some(-1.0),
        _ => size.parse::<f64>().ok().filter(|number| number.is_finite()),
    }
}
