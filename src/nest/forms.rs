//! Forms kept from one lay to the next: making them is the slow part of a first answer, and from one keystroke to the next
//! most outlines stay as they are.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::shape::Form;
use crate::geometry::{Draft, Outline};

/// Forms that were made, as long as every lay asks for them.
#[derive(Clone, Debug, Default)]
pub struct Forms {
    /// The size of strip and the coarseness that they were made for.
    made_for: [f64; 2],
    kept: Vec<(Outline<Draft>, Option<Form>)>,
}

impl Forms {
    /// The form of each outline, made on two threads where it is not kept. What is not asked for is kept no longer.
    pub fn of(&mut self, outlines: &[&Outline<Draft>], made_for: [f64; 2]) -> Vec<Option<Form>> {
        if self.made_for != made_for {
            *self = Self { made_for, kept: Vec::new() };
        }
        self.kept.retain(|(outline, _)| outlines.contains(&outline));
        let mut missing: Vec<&Outline<Draft>> = Vec::new();
        for outline in outlines {
            if self.find(outline).is_none() && !missing.contains(outline) {
                missing.push(outline);
            }
        }
        self.kept.extend(made(&missing, made_for));
        outlines.iter().map(|outline| self.find(outline).cloned().flatten()).collect()
    }

    fn find(&self, outline: &Outline<Draft>) -> Option<&Option<Form>> {
        self.kept.iter().find(|(known, _)| known == outline).map(|(_, form)| form)
    }
}

/// Each outline with its form, the largest first so that neither thread waits long for the other.
fn made(outlines: &[&Outline<Draft>], [size_mm, coarse_mm]: [f64; 2]) -> Vec<(Outline<Draft>, Option<Form>)> {
    let mut order = outlines.to_vec();
    order.sort_by_key(|outline| std::cmp::Reverse(outline.corners.len()));
    let next = AtomicUsize::new(0);
    let work = || {
        let mut mine = Vec::new();
        while let Some(outline) = order.get(next.fetch_add(1, Ordering::Relaxed)) {
            mine.push(((*outline).clone(), Form::of(outline, size_mm, coarse_mm)));
        }
        mine
    };
    std::thread::scope(|scope| {
        let other = (order.len() > 1).then(|| scope.spawn(work));
        let mut all = work();
        all.extend(other.and_then(|other| other.join().ok()).unwrap_or_default());
        all
    })
}
