//! What stands twice in the readings with two values: mostly a mark's name that was written for its neighbour's.

use std::collections::BTreeMap;

use super::Grid;
use crate::remark::Remark;
use crate::table::{Kind, MarkName, Reading};

/// Readings farther apart than this are no two readings of one thing: many times what a tape wavers.
const APART_MM: f64 = 10.0;

/// So many marks that were not read are named as what may have been meant.
const NAMED: usize = 3;

/// Every reading that was taken before with another value: its number, from 0, and what is to be said.
pub fn twice(readings: &[Reading], grid: &Grid) -> Vec<(usize, Remark)> {
    let mut first: BTreeMap<(Vec<MarkName>, u64), &Reading> = BTreeMap::new();
    let mut found = Vec::new();
    for (i, reading) in readings.iter().enumerate() {
        let mut marks: Vec<MarkName> = reading.marks().collect();
        marks.sort();
        match first.entry((marks, reading.height_mm.to_bits())) {
            std::collections::btree_map::Entry::Vacant(place) => drop(place.insert(reading)),
            std::collections::btree_map::Entry::Occupied(before) => {
                let apart_mm = apart_mm(&before.get().kind, &reading.kind);
                if apart_mm > APART_MM {
                    found.push((i, remark(reading, apart_mm, &missing(readings, grid))));
                }
            }
        }
    }
    found
}

fn apart_mm(a: &Kind, b: &Kind) -> f64 {
    match (a, b) {
        (Kind::Place { at_mm: a, .. }, Kind::Place { at_mm: b, .. }) => (*a - *b).length(),
        (Kind::Distance { distance_mm: a, .. }, Kind::Distance { distance_mm: b, .. }) => (a - b).abs(),
        _ => 0.0,
    }
}

/// The marks whose place was not read, where most of the grid's were.
fn missing(readings: &[Reading], grid: &Grid) -> Vec<MarkName> {
    let places = readings.iter().filter(|r| matches!(r.kind, Kind::Place { .. }));
    let read: Vec<MarkName> = places.flat_map(Reading::marks).collect();
    grid.marks.keys().copied().filter(|mark| !read.contains(mark)).collect()
}

fn remark(reading: &Reading, apart_mm: f64, missing: &[MarkName]) -> Remark {
    let name = reading.name();
    let says = format!("{name} stands twice, {apart_mm:.0} mm apart");
    let is_place = matches!(reading.kind, Kind::Place { .. });
    let names: Vec<String> = missing.iter().map(ToString::to_string).collect();
    let (says, how) = if is_place && (1..=NAMED).contains(&names.len()) {
        let are = if names.len() == 1 { "is" } else { "are" };
        let or = names.join(" or ");
        (
            format!("{says}, and {} {are} missing", names.join(" and ")),
            format!("was one of the two {or}? Then write that name, else take the wrong one out"),
        )
    } else {
        (says, "take the wrong one out, or mend its name".to_owned())
    };
    Remark::doubt(says).remedy(how)
}
