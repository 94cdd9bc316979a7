//! A book of leaves that is written from top to bottom, with a new page where one is full.

use crate::geometry::Vector;
use crate::sheet::leaf::{
    At, BODY_MM, BOTTOM_MM, HEAD_MM, Ink, LEADING, Leaf, MARGIN_MM, MEASURE_MM, Mark, PAGE_MM, SMALL_MM, Side, wrapped,
};

/// The baseline of the foot of an A4 page.
const FOOT_MM: f64 = 284.0;

/// Between two parts of one page.
const PART_OFF_MM: f64 = 8.0;

/// Leaves, each with what stands at its foot, and how far the last is written.
pub struct Book {
    leaves: Vec<(Leaf, String)>,
    /// What stands at the foot of the pages that are begun from now on.
    pub foot: String,
    /// By how much its pages are shorter than A4.
    pub shorter_mm: f64,
    /// The next free line's upper edge on the last leaf.
    pub y_mm: f64,
    /// How far down the last leaf may be written.
    pub bottom_mm: f64,
}

impl Book {
    /// An empty book whose pages are so high.
    pub fn on(page_mm: [f64; 2], foot: String) -> Self {
        Self { leaves: Vec::new(), foot, shorter_mm: PAGE_MM[1] - page_mm[1], y_mm: 0.0, bottom_mm: 0.0 }
    }

    /// Begins a page, with its heading.
    pub fn page(&mut self, heading: &str) {
        self.leaves.push((Leaf::default(), self.foot.clone()));
        self.y_mm = MARGIN_MM;
        self.bottom_mm = BOTTOM_MM - self.shorter_mm;
        if !heading.is_empty() {
            self.heading(heading);
        }
    }

    /// The leaf that is written now; one is begun where there is none.
    pub fn leaf(&mut self) -> &mut Leaf {
        if self.leaves.is_empty() {
            self.page("");
        }
        let last = self.leaves.len() - 1;
        &mut self.leaves[last].0
    }

    /// Begins a page when less than `mm` is free on this one. `heading` is repeated there.
    pub fn room(&mut self, mm: f64, heading: &str) {
        if self.y_mm + mm > self.bottom_mm {
            self.page(heading);
        }
    }

    /// Begins a part with its heading: on this page where so much is free below it, else on the next.
    pub fn part(&mut self, heading: &str, mm: f64) {
        if !self.has_room(mm) {
            return self.page(heading);
        }
        self.y_mm += PART_OFF_MM;
        self.heading(heading);
    }

    /// Whether a part that needs so much has room on this page.
    pub fn has_room(&self, mm: f64) -> bool {
        !self.leaves.is_empty() && self.y_mm + PART_OFF_MM + mm <= self.bottom_mm
    }

    /// A heading over a hairline.
    pub fn heading(&mut self, text: &str) {
        let y = self.y_mm + HEAD_MM;
        self.leaf().words(text, At::new(MARGIN_MM, y), HEAD_MM, Ink::Black);
        self.leaf().hairline(y + 2.6);
        self.y_mm = y + 8.0;
    }

    /// Text across the page, going on where the page is full.
    pub fn paragraph(&mut self, text: &str) {
        for line in wrapped(text, BODY_MM, MEASURE_MM) {
            self.room(BODY_MM, "");
            let base = self.y_mm + BODY_MM;
            self.leaf().words(line, At::new(MARGIN_MM, base), BODY_MM, Ink::Black);
            self.y_mm += BODY_MM * LEADING;
        }
        self.y_mm += 2.0;
    }

    /// Text in a column of a width, from its upper left corner; gives the y below it.
    pub fn column(&mut self, text: &str, (at, room_mm): (At, f64), size_mm: f64, ink: Ink) -> f64 {
        let lines = wrapped(text, size_mm, room_mm);
        for (i, text) in lines.iter().enumerate() {
            let below = Vector::new(0.0, size_mm * (1.0 + LEADING * i as f64));
            self.leaf().words(text.as_str(), at + below, size_mm, ink);
        }
        at.y + size_mm * LEADING * lines.len() as f64
    }

    /// The leaves with their feet: what it is on the left, the page of all pages on the right.
    pub fn bound(mut self) -> Vec<Leaf> {
        let (pages, foot_mm) = (self.leaves.len(), FOOT_MM - self.shorter_mm);
        for (i, (leaf, foot)) in self.leaves.iter_mut().enumerate() {
            let right = At::new(PAGE_MM[0] - MARGIN_MM, foot_mm);
            let number = format!("page {} of {pages}", i + 1);
            let room_mm = MEASURE_MM - 40.0;
            let foot = wrapped(foot, SMALL_MM, room_mm).swap_remove(0);
            leaf.words(foot, At::new(MARGIN_MM, foot_mm), SMALL_MM, Ink::Grey);
            leaf.words_to(&number, (right, Side::Right), SMALL_MM, Ink::Grey);
        }
        self.leaves.into_iter().map(|(leaf, _)| leaf).collect()
    }

    /// Adds a picture to the leaf that is written now.
    pub fn picture(&mut self, which: usize, at: At, size_mm: [f64; 2]) {
        self.leaf().marks.push(Mark::Picture(which, at, size_mm));
    }
}
