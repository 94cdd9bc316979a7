//! Where the sentence stands: at her side, unless something is thrown there; then at the nearest place where nothing is, in
//! smaller letters if it must be.
//!
//! A line that is cut along, or the edge of a lit shape, is never covered. Should there be no place for the whole sentence
//! even in the smallest letters, the words that would lie on such a line stay dark.

use super::text::{Block, SMALLEST, at_her_side, width_mm};
use super::view::MARGIN_MM;
use super::{Letters, Marks, View, Way};
use crate::geometry::{Cloth, Outline, Point, Table, Vector};

/// Letters are made smaller than this only to keep off what is cut along, not off what can be written over.
const COMFORTABLE: f64 = 0.6;

/// From one size to the next that is tried.
const SMALLER: f64 = 0.85;

/// Widths that are tried, as shares of the room's.
const WIDTHS: [f64; 6] = [1.0, 0.8, 0.6, 0.45, 0.33, 0.25];

/// Side of the squares in which the room is looked at.
const SQUARE_MM: f64 = 4.0;

/// Marks are followed in steps as short as this.
const STEP_MM: f64 = 2.0;

/// The sentence keeps so far off a mark's middle: half the widest line, and a gap.
const CLEAR_MM: f64 = 5.0;

/// A straight part of a mark.
pub(super) type Straight = (Point<Cloth>, Point<Cloth>);

/// The sentence of a scene with these marks on the cloth, of which some are cut along.
pub fn sentence(text: &str, view: &View, (marks, cut_along): (&Marks<Cloth>, &[Straight])) -> Vec<Letters<Table>> {
    let cut = Busy::by(cut_along, view);
    let all: Vec<Straight> = sides_of(marks).chain(cut_along.iter().copied()).collect();
    let any = Busy::by(&all, view);
    let usual = at_her_side(text, view);
    let found = [(&any, COMFORTABLE), (&cut, SMALLEST)].into_iter().find_map(|(busy, least)| {
        if busy.leaves(&usual) { Some(usual.clone()) } else { busy.nearest(text, [usual.cap_mm, least * usual.cap_mm]) }
    });
    let mut letters = match found {
        Some(block) => block.letters(view),
        None => usual.by_word().filter(|word| cut.leaves(word)).flat_map(|word| word.letters(view)).collect(),
    };
    if view.way == Way::LitShape {
        darken_on_light(&mut letters, marks, view);
    }
    letters
}

/// Every mark as straight parts; of letters the line they stand on, and that of their heads.
fn sides_of(marks: &Marks<Cloth>) -> impl Iterator<Item = Straight> + '_ {
    let strokes = marks.strokes.iter().flat_map(|stroke| stroke.points.windows(2).map(|side| (side[0], side[1])));
    let letters = marks.letters.iter().flat_map(|letters| {
        let run = letters.along * width_mm(&letters.text, letters.cap_mm);
        let up = Vector::new(-letters.along.y, letters.along.x) * letters.cap_mm;
        [0.0, 0.5, 1.0].map(|share| (letters.at + up * share, letters.at + up * share + run))
    });
    strokes.chain(letters)
}

/// Letters that stand on light are dark.
fn darken_on_light(letters: &mut [Letters<Table>], marks: &Marks<Cloth>, view: &View) {
    let Some(cloth_from_table) = view.pose().table_from_cloth().inverse() else { return };
    let rings = marks.fills.iter().flat_map(|fill| &fill.rings).map(|ring| Outline { corners: ring.clone() });
    let lit: Vec<Outline<Cloth>> = rings.collect();
    for letters in letters {
        let at = cloth_from_table.transform_point(letters.at);
        if lit.iter().any(|outline| outline.contains(at)) {
            letters.light = [0; 3];
        }
    }
}

/// The room as she sees it, in squares: how many marks lie nearer to her and farther left than each, so that those in any
/// box are counted by its four corners.
struct Busy {
    columns: usize,
    rows: usize,
    sums: Vec<u32>,
    seen_mm: [f64; 2],
}

impl Busy {
    fn by(sides: &[Straight], view: &View) -> Self {
        let seen_mm = view.room.seen_mm(view.reads);
        let [columns, rows] = seen_mm.map(|mm| (mm / SQUARE_MM).ceil().max(1.0) as usize);
        let mut busy = Self { columns, rows, sums: vec![0; (columns + 1) * (rows + 1)], seen_mm };
        let corner = view.reads.near_left((view.room.low_mm, view.room.high_mm));
        let (right, away) = (view.reads.right_hand::<Table>(), view.reads.away::<Table>());
        let table_from_cloth = view.pose().table_from_cloth();
        for (from, to) in sides {
            let [from, to] = [from, to].map(|p| table_from_cloth.transform_point(*p) - corner);
            let steps = ((to - from).length() / STEP_MM).ceil().max(1.0) as usize;
            for i in 0..=steps {
                let at = from.lerp(to, i as f64 / steps as f64);
                busy.mark([at.dot(right), at.dot(away)]);
            }
        }
        busy.add_up();
        busy
    }

    fn at(&self, column: usize, row: usize) -> usize {
        row * (self.columns + 1) + column
    }

    fn mark(&mut self, at_mm: [f64; 2]) {
        let [column, row] = at_mm.map(|mm| (mm / SQUARE_MM).floor());
        if column >= 0.0 && row >= 0.0 && (column as usize) < self.columns && (row as usize) < self.rows {
            let at = self.at(column as usize + 1, row as usize + 1);
            self.sums[at] = 1;
        }
    }

    fn add_up(&mut self) {
        for row in 1..=self.rows {
            for column in 1..=self.columns {
                let [left, below, both] =
                    [self.at(column - 1, row), self.at(column, row - 1), self.at(column - 1, row - 1)];
                let before = self.sums[left] + self.sums[below] - self.sums[both];
                let at = self.at(column, row);
                self.sums[at] += before;
            }
        }
    }

    /// Whether a text covers no mark, nor comes near one.
    fn leaves(&self, block: &Block) -> bool {
        self.is_clear(block.bounds_mm())
    }

    fn is_clear(&self, [low_mm, high_mm]: [[f64; 2]; 2]) -> bool {
        let first = low_mm.map(|mm| ((mm - CLEAR_MM) / SQUARE_MM).floor().max(0.0) as usize);
        let after = high_mm.map(|mm| ((mm + CLEAR_MM) / SQUARE_MM).ceil().max(0.0) as usize);
        let size = [self.columns, self.rows];
        let [first, after] = [first, after].map(|at| [0, 1].map(|i| at[i].min(size[i])));
        self.count(first, after) == 0
    }

    fn count(&self, first: [usize; 2], after: [usize; 2]) -> u32 {
        let at = |column, row| self.sums[self.at(column, row)];
        at(after[0], after[1]) + at(first[0], first[1]) - at(first[0], after[1]) - at(after[0], first[1])
    }

    /// The text in the largest letters, between the most and the least, that have a place, at the place nearest to her.
    fn nearest(&self, text: &str, [most_mm, least_mm]: [f64; 2]) -> Option<Block> {
        let room_mm = self.seen_mm[0] - 2.0 * MARGIN_MM;
        let sizes = std::iter::successors(Some(most_mm), |cap_mm| Some(cap_mm * SMALLER));
        sizes.take_while(|cap_mm| *cap_mm >= least_mm).find_map(|cap_mm| {
            let blocks = WIDTHS.iter().map(|share| Block::within(share * room_mm, &[text.to_owned()], cap_mm));
            let placed = blocks.filter_map(|block| self.place_for(block));
            placed.min_by(|a, b| a.at_mm[1].total_cmp(&b.at_mm[1]))
        })
    }

    /// A text in the room where it is nearest to her, and there farthest left.
    fn place_for(&self, block: Block) -> Option<Block> {
        let [low_mm, high_mm] = block.bounds_mm();
        let steps = [0, 1].map(|i| ((self.seen_mm[i] - MARGIN_MM / 2.0 - high_mm[i]) / SQUARE_MM).floor());
        if steps.iter().any(|steps| *steps < 0.0) {
            return None;
        }
        let [columns, rows] = steps.map(|steps| steps as usize);
        let by_mm = |(right, away): (usize, usize)| [SQUARE_MM * right as f64, SQUARE_MM * away as f64];
        let moved = |from: [f64; 2], by: [f64; 2]| [from[0] + by[0], from[1] + by[1]];
        let places = (0..=rows).flat_map(|away| (0..=columns).map(move |right| (right, away)));
        let free = places.map(by_mm).find(|by_mm| self.is_clear([moved(low_mm, *by_mm), moved(high_mm, *by_mm)]))?;
        Some(Block { at_mm: moved(block.at_mm, free), ..block })
    }
}
