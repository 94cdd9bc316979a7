//! Where the words of a drawing stand: clear of its lines and of one another.
//!
//! Words stay where they stood at the last look, as long as that place is free, so that they don't wander while she comes
//! nearer. Else they take the place that is wanted, or one round what they name, or one farther off with a leader. Where no
//! place is left a number stands for them, and the words are in a key below. Nothing is left out.

use std::collections::BTreeMap;

use egui::{Pos2, Rect, Vec2, pos2, vec2};

/// Side of the cells that the sheet is looked at in, in points.
const CELL: f32 = 2.5;

/// Words stand off lines by so much, and keep their place as long as they don't touch.
const CLEAR: f32 = 2.0;

/// Gaps at which a place round what is named is tried.
const GAPS: [f32; 3] = [4.0, 9.0, 14.0];

/// Steps of the rings farther off, and the directions in each.
const RING: f32 = 12.0;
const DIRECTIONS: u32 = 24;

/// Rings in which a number still stands beside what it stands for.
const BESIDE: usize = 3;

/// Height of a line of the key.
pub const KEY_LINE: f32 = 18.0;

/// Words to be placed.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// What they say.
    pub text: String,
    /// What they name, on screen.
    pub at: Pos2,
    /// Where they are to stand, if that is free.
    pub wanted: Rect,
}

/// Where words stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stands {
    /// By what they name.
    Here(Rect),
    /// Farther off, with a line from what they name.
    Led(Rect, [Pos2; 2]),
    /// In the key, with a number in this place instead.
    Key(Rect),
    /// What they name is not on the sheet.
    Away,
}

/// Where each of the words stood, by what they say and which of those that say so: how far from what they name, and whether
/// with a leader.
pub type Stood = BTreeMap<(String, usize), (Vec2, bool)>;

/// The sheet in cells: a cell is taken when a line or a word is in it.
pub struct Room {
    sheet: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
}

impl Room {
    /// An empty sheet.
    pub fn new(sheet: Rect) -> Self {
        let count = |side: f32| (side / CELL).ceil().max(1.0) as usize;
        let (columns, rows) = (count(sheet.width()), count(sheet.height()));
        Self { sheet, columns, rows, taken: vec![false; columns * rows] }
    }

    /// The cells from one column and row to another that a rectangle is in; none when it lies off the sheet.
    fn cells(&self, rect: Rect) -> Option<[[usize; 2]; 2]> {
        let rect = rect.intersect(self.sheet);
        if rect.is_negative() {
            return None;
        }
        let cell = |p: Pos2| {
            let off = (p - self.sheet.min) / CELL;
            [(off.x as usize).min(self.columns - 1), (off.y as usize).min(self.rows - 1)]
        };
        Some([cell(rect.min), cell(rect.max)])
    }

    /// Takes a rectangle.
    pub fn take(&mut self, rect: Rect) {
        let Some([low, high]) = self.cells(rect) else { return };
        for row in low[1]..=high[1] {
            self.taken[row * self.columns + low[0]..=row * self.columns + high[0]].fill(true);
        }
    }

    /// Takes a line of some width.
    pub fn line(&mut self, from: Pos2, to: Pos2, width: f32) {
        let Some([from, to]) = within(self.sheet.expand(width), [from, to]) else { return };
        let steps = ((to - from).length() / CELL * 1.5).ceil().max(1.0) as usize;
        let half = Vec2::splat(width / 2.0);
        for i in 0..=steps {
            let at = from.lerp(to, i as f32 / steps as f32);
            self.take(Rect::from_min_max(at - half, at + half));
        }
    }

    /// Whether a rectangle lies on the sheet, and clear of everything.
    pub fn is_free(&self, rect: Rect) -> bool {
        let Some([low, high]) = self.cells(rect).filter(|_| self.sheet.contains_rect(rect)) else { return false };
        let row = |row: usize| &self.taken[row * self.columns + low[0]..=row * self.columns + high[0]];
        (low[1]..=high[1]).all(|at| row(at).iter().all(|taken| !taken))
    }
}

/// The part of a line that lies in a rectangle: Liang and Barsky, 1984.
fn within(rect: Rect, [from, to]: [Pos2; 2]) -> Option<[Pos2; 2]> {
    let along = to - from;
    let mut span = [0.0_f32, 1.0];
    for (p, q) in [
        (-along.x, from.x - rect.min.x),
        (along.x, rect.max.x - from.x),
        (-along.y, from.y - rect.min.y),
        (along.y, rect.max.y - from.y),
    ] {
        if p == 0.0 && q < 0.0 {
            return None;
        }
        if p < 0.0 {
            span[0] = span[0].max(q / p);
        } else if p > 0.0 {
            span[1] = span[1].min(q / p);
        }
    }
    (span[0] <= span[1]).then(|| span.map(|share| from + along * share))
}

/// Places words on a sheet on which `lines` are drawn, each with its width. What comes first takes its place first.
pub fn place(sheet: Rect, lines: &[([Pos2; 2], f32)], labels: &[Label], stood: &mut Stood) -> Vec<Stands> {
    let mut keyed = 0;
    loop {
        // The key takes its lines from below.
        let above = Rect::from_min_max(sheet.min, sheet.max - vec2(0.0, KEY_LINE * keyed as f32));
        let mut room = Room::new(above);
        lines.iter().for_each(|([from, to], width)| room.line(*from, *to, *width));
        let before = std::mem::take(stood);
        let stands = on((&mut room, sheet), labels, &before, stood);
        let needed = stands.iter().filter(|stands| matches!(stands, Stands::Key(_))).count();
        if needed <= keyed || keyed >= labels.len() {
            return stands;
        }
        keyed = needed;
        *stood = before;
    }
}

fn on((room, sheet): (&mut Room, Rect), labels: &[Label], before: &Stood, stood: &mut Stood) -> Vec<Stands> {
    let mut stands: Vec<Stands> = Vec::new();
    for (i, label) in labels.iter().enumerate() {
        let key = (label.text.clone(), labels[..i].iter().filter(|other| other.text == label.text).count());
        if !sheet.expand(1.0).contains(label.at) {
            stands.push(Stands::Away);
            continue;
        }
        let words: Vec<Rect> = stands.iter().filter_map(Stands::rect).collect();
        let found =
            stays(room, label, before.get(&key)).or_else(|| near(room, label)).or_else(|| farther(room, label, &words));
        let here = match found {
            Some((rect, false)) => Stands::Here(rect),
            Some((rect, true)) => {
                let leader = leader(label.at, rect);
                room.line(leader[0], leader[1], 1.0);
                Stands::Led(rect, leader)
            }
            None => Stands::Key(number(room, label, &words)),
        };
        if let Some((rect, led)) = found {
            stood.insert(key, (rect.center() - label.at, led));
        }
        here.rect().into_iter().for_each(|rect| room.take(rect));
        stands.push(here);
    }
    stands
}

/// Where the words stood before, while that is free.
fn stays(room: &Room, label: &Label, stood: Option<&(Vec2, bool)>) -> Option<(Rect, bool)> {
    let (off, led) = *stood?;
    let rect = Rect::from_center_size(label.at + off, label.wanted.size());
    room.is_free(rect).then_some((rect, led))
}

/// The place that is wanted, or one round what is named.
fn near(room: &Room, label: &Label) -> Option<(Rect, bool)> {
    let half = label.wanted.size() / 2.0;
    let round = GAPS.into_iter().flat_map(|gap| {
        let ways =
            [[0.0, -1.0], [0.0, 1.0], [1.0, 0.0], [-1.0, 0.0], [1.0, -1.0], [-1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
        ways.map(|[x, y]| label.at + vec2(x * (half.x + gap), y * (half.y + gap)))
    });
    let round = round.map(|at| Rect::from_center_size(at, label.wanted.size()));
    std::iter::once(label.wanted).chain(round).find(|rect| room.is_free(rect.expand(CLEAR))).map(|rect| (rect, false))
}

/// A place farther off whose leader crosses no words.
fn farther(room: &Room, label: &Label, words: &[Rect]) -> Option<(Rect, bool)> {
    let place = rings(room, label, 2).find(|rect| {
        let [from, to] = leader(label.at, *rect);
        let crosses = |other: &Rect| within(other.expand(1.0), [from, to]).is_some();
        room.is_free(rect.expand(CLEAR)) && !words.iter().any(crosses)
    })?;
    Some((place, true))
}

/// Places round what is named, farther and farther off, from that ring on.
fn rings<'l>(room: &Room, label: &'l Label, first: u32) -> impl Iterator<Item = Rect> + use<'l> {
    let (size, reach) = (label.wanted.size(), room.sheet.size().length());
    let rings = (first..).map(|i| RING * i as f32).take_while(move |ring| *ring < reach);
    rings.flat_map(move |ring| {
        (0..DIRECTIONS).map(move |i| {
            let (sin, cos) = (std::f32::consts::TAU * i as f32 / DIRECTIONS as f32).sin_cos();
            let at = label.at + vec2(cos * (ring + size.x / 2.0), sin * (ring + size.y / 2.0));
            Rect::from_center_size(at, size)
        })
    })
}

/// From what is named to the nearest edge of its words.
fn leader(at: Pos2, rect: Rect) -> [Pos2; 2] {
    let rect = rect.expand(CLEAR);
    [at, pos2(at.x.clamp(rect.min.x, rect.max.x), at.y.clamp(rect.min.y, rect.max.y))]
}

/// Where a number stands for words: by what they name, on a line where nothing else is left, but on no words.
fn number(room: &Room, label: &Label, words: &[Rect]) -> Rect {
    let size = vec2(16.0, label.wanted.height());
    let small = Label { wanted: Rect::from_center_size(label.at, size), ..label.clone() };
    if let Some((rect, _)) = near(room, &small) {
        return rect;
    }
    // Not so far off that it would name something else.
    let round = || rings(room, &small, 0).take(BESIDE * DIRECTIONS as usize);
    let is_off_words = |rect: &Rect| {
        room.sheet.contains_rect(*rect) && !words.iter().any(|other| other.intersects(rect.expand(CLEAR / 2.0)))
    };
    let on_a_line = || std::iter::once(small.wanted).chain(round()).find(is_off_words);
    round().find(|rect| room.is_free(*rect)).or_else(on_a_line).unwrap_or(small.wanted)
}

impl Stands {
    /// Where the words stand, or the number for them.
    pub fn rect(&self) -> Option<Rect> {
        match self {
            Self::Here(rect) | Self::Led(rect, _) | Self::Key(rect) => Some(*rect),
            Self::Away => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: Rect = Rect { min: pos2(0.0, 0.0), max: pos2(600.0, 400.0) };

    fn label(text: &str, at: Pos2, size: Vec2) -> Label {
        Label { text: text.into(), at, wanted: Rect::from_center_size(at, size) }
    }

    /// Whether a line comes into a rectangle, by the signs of its corners about the line and by its box.
    fn crosses(rect: Rect, [a, b]: [Pos2; 2]) -> bool {
        let along = b - a;
        let side = |p: Pos2| along.x * (p.y - a.y) - along.y * (p.x - a.x);
        let sides = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()].map(side);
        let apart = sides.iter().all(|side| *side > 0.0) || sides.iter().all(|side| *side < 0.0);
        !apart && Rect::from_two_pos(a, b).expand(1e-3).intersects(rect)
    }

    /// Lines like those of a drawing, from a plain sequence of numbers (Knuth's, The Art of Computer Programming 2, 3.3.4).
    fn lines(count: usize, mut seed: u64) -> Vec<([Pos2; 2], f32)> {
        let mut next = |most: f32| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 40) as f32 / (1_u64 << 24) as f32 * most
        };
        (0..count).map(|_| ([pos2(next(600.0), next(400.0)), pos2(next(600.0), next(400.0))], 1.8)).collect()
    }

    #[test]
    fn words_stand_clear_of_every_line_and_of_one_another() {
        for seed in 0..40 {
            let lines = lines(12, seed);
            let labels: Vec<Label> =
                lines.iter().map(|([a, b], _)| label("front neck 18 cm", a.lerp(*b, 0.5), vec2(96.0, 16.0))).collect();
            let stands = place(SHEET, &lines, &labels, &mut Stood::new());
            let words: Vec<Rect> = stands.iter().filter_map(Stands::rect).collect();
            assert_eq!(words.len(), labels.len(), "none is left out");
            for (i, (rect, stands)) in words.iter().zip(&stands).enumerate() {
                assert!(SHEET.contains_rect(*rect));
                assert!(words[i + 1..].iter().all(|other| !other.intersects(*rect)), "{seed}: words over words");
                if !matches!(stands, Stands::Key(_)) {
                    assert!(lines.iter().all(|(line, _)| !crosses(*rect, *line)), "{seed}: {i} lies on a line");
                }
                let leaders = stands_leaders(&words, &stands_of(&labels, &lines));
                assert!(leaders, "{seed}: a leader goes through words");
            }
        }
    }

    fn stands_of(labels: &[Label], lines: &[([Pos2; 2], f32)]) -> Vec<Stands> {
        place(SHEET, lines, labels, &mut Stood::new())
    }

    fn stands_leaders(words: &[Rect], stands: &[Stands]) -> bool {
        stands.iter().all(|stands| match stands {
            Stands::Led(own, leader) => words.iter().all(|rect| rect == own || !crosses(*rect, *leader)),
            _ => true,
        })
    }

    #[test]
    fn a_small_move_leaves_words_where_they_stood() {
        let lines = lines(10, 7);
        let labels: Vec<Label> =
            lines.iter().map(|([a, b], _)| label("waist", a.lerp(*b, 0.4), vec2(40.0, 16.0))).collect();
        let mut stood = Stood::new();
        let first = place(SHEET, &lines, &labels, &mut stood);
        let nearer = |p: Pos2, by: f32| SHEET.center() + (p - SHEET.center()) * by;
        let (mut kept, mut all) = (0, 0);
        for step in 1..=8 {
            let by = 1.0 + 0.004 * step as f32;
            let lines: Vec<_> = lines.iter().map(|(ends, width)| (ends.map(|p| nearer(p, by)), *width)).collect();
            let labels: Vec<Label> =
                labels.iter().map(|it| label(&it.text, nearer(it.at, by), it.wanted.size())).collect();
            let now = place(SHEET, &lines, &labels, &mut stood);
            for ((before, now), (was, is)) in first.iter().zip(&now).zip(stands_at(&labels, &first, &now)) {
                all += 1;
                kept += usize::from(matches!((before, now), (Stands::Away, Stands::Away)) || (was - is).length() < 6.0);
            }
        }
        // One that a line has come upon moves, the others don't.
        assert!(kept * 10 >= all * 9, "{kept} of {all} stayed");
    }

    /// How far each stood from what it names, at the first look and now.
    fn stands_at(labels: &[Label], first: &[Stands], now: &[Stands]) -> Vec<(Vec2, Vec2)> {
        let off = |stands: &Stands, at: Pos2| stands.rect().map_or(Vec2::ZERO, |rect| rect.center() - at);
        labels.iter().zip(first.iter().zip(now)).map(|(it, (was, is))| (off(was, it.at), off(is, it.at))).collect()
    }

    #[test]
    fn where_no_place_is_left_a_number_stands_for_words_in_a_key() {
        // A sheet so full of lines that no word has room.
        let rows = (0..40).map(|i| ([pos2(0.0, 10.0 * i as f32), pos2(600.0, 10.0 * i as f32)], 1.0));
        let lines: Vec<_> = rows.collect();
        let labels: Vec<Label> =
            (0..3).map(|i| label("chest", pos2(100.0 + 150.0 * i as f32, 55.0), vec2(60.0, 16.0))).collect();
        let stands = place(SHEET, &lines, &labels, &mut Stood::new());
        assert!(stands.iter().all(|stands| matches!(stands, Stands::Key(_))), "{stands:?}");
        let key = SHEET.max.y - 3.0 * KEY_LINE;
        assert!(stands.iter().filter_map(Stands::rect).all(|rect| rect.max.y <= key), "no number lies on the key");
    }

    #[test]
    fn no_number_stands_on_words() {
        // Everything is full but one place, which the first words take; what the others name lies just there.
        let rows: Vec<_> = (0..40).filter(|i| !(9..12).contains(i)).map(|i| 10.0 * i as f32).collect();
        let lines: Vec<_> = rows.into_iter().map(|y| ([pos2(0.0, y), pos2(600.0, y)], 1.0)).collect();
        let labels: Vec<Label> =
            (0..6).map(|i| label("hem", pos2(100.0 + i as f32, 100.0), vec2(560.0, 16.0))).collect();
        let stands = place(SHEET, &lines, &labels, &mut Stood::new());
        let rects: Vec<Rect> = stands.iter().filter_map(Stands::rect).collect();
        assert!(stands.iter().any(|stands| matches!(stands, Stands::Key(_))), "{stands:?}");
        for (i, rect) in rects.iter().enumerate() {
            assert!(rects[i + 1..].iter().all(|other| !other.intersects(*rect)), "{stands:?}");
        }
    }

    #[test]
    fn what_is_not_on_the_sheet_is_not_named() {
        let stands = place(SHEET, &[], &[label("hem", pos2(900.0, 50.0), vec2(30.0, 16.0))], &mut Stood::new());
        assert_eq!(stands, [Stands::Away]);
    }
}
