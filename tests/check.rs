//! What several groups of tests do with an order: write it, read it, draft it, finish it.

use std::fmt::Write as _;

use chalklight::draft::{Draft, Part, SewnPiece, draft};
use chalklight::finish::{Piece, finish};
use chalklight::geometry::{Draft as Frame, Outline};
use chalklight::order::{Order, read};

/// An order file in the making.
#[derive(Clone, Debug)]
pub struct OrderText {
    body: Vec<(String, String)>,
    length: String,
    rules: Vec<(String, String)>,
    kind: &'static str,
    chosen: Vec<(&'static str, &'static str)>,
    fitting: Vec<(&'static str, String)>,
}

impl OrderText {
    /// An order with these measurements.
    pub fn of(length: &str, body: &[(&str, &str)]) -> Self {
        let owned = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
        Self::with(body.iter().map(owned).collect(), length.to_owned())
    }

    /// A dress of everyday measurements in centimetres that goes over the head and passes every check.
    pub fn everyday() -> Self {
        let body = [
            ("bust", "94 cm"),
            ("waist", "78 cm"),
            ("hip", "102 cm"),
            ("shoulder", "39 cm"),
            ("waist_depth", "40 cm"),
            ("head", "56 cm"),
        ];
        Self::of("104 cm", &body).rule("waist_ease", "\"4.5 cm\"").rule("front_neck_depth", "\"13 cm\"")
    }

    fn with(body: Vec<(String, String)>, length: String) -> Self {
        Self { body, length, rules: Vec::new(), kind: "a-line-dress", chosen: Vec::new(), fitting: Vec::new() }
    }

    /// The same of another kind.
    pub fn kind(self, kind: &'static str) -> Self {
        Self { kind, ..self }
    }

    /// The same with something chosen.
    pub fn choose(mut self, key: &'static str, word: &'static str) -> Self {
        self.chosen.retain(|(other, _)| *other != key);
        self.chosen.push((key, word));
        self
    }

    /// The same, so long.
    pub fn long(self, length_mm: f64) -> Self {
        Self { length: written(length_mm), ..self }
    }

    /// The same with something that the fitting found.
    pub fn fitted(mut self, key: &'static str, amount: &str) -> Self {
        self.fitting.push((key, amount.to_owned()));
        self
    }

    /// An order with these measurements in mm.
    pub fn of_mm(length_mm: f64, body: &[(&str, f64)]) -> Self {
        let owned = |(key, mm): &(&str, f64)| ((*key).to_owned(), written(*mm));
        Self::with(body.iter().map(owned).collect(), written(length_mm))
    }

    /// The same with one more measurement, or another value for one.
    pub fn body(mut self, key: &str, value: &str) -> Self {
        self.body.retain(|(other, _)| other != key);
        self.body.push((key.to_owned(), value.to_owned()));
        self
    }

    /// The same with a house rule set; `value` as it stands in the file.
    pub fn rule(mut self, key: &str, value: &str) -> Self {
        self.rules.push((key.to_owned(), value.to_owned()));
        self
    }

    /// The same with a house rule set in mm.
    pub fn rule_mm(self, key: &str, mm: f64) -> Self {
        let value = format!("\"{}\"", written(mm));
        self.rule(key, &value)
    }

    /// The text of the file.
    pub fn text(&self) -> String {
        let mut text = "[body]\n".to_owned();
        for (key, value) in &self.body {
            let _ = writeln!(text, "{key} = \"{value}\"");
        }
        let _ = writeln!(text, "[garment]\nkind = \"{}\"\nlength = \"{}\"", self.kind, self.length);
        for (key, word) in &self.chosen {
            let _ = writeln!(text, "{key} = \"{word}\"");
        }
        if !self.fitting.is_empty() {
            text += "[fitting]\n";
        }
        for (key, amount) in &self.fitting {
            let _ = writeln!(text, "{key} = \"{amount}\"");
        }
        text += "[rules]\n";
        for (key, value) in &self.rules {
            let _ = writeln!(text, "{key} = {value}");
        }
        text
    }

    /// What the reader makes of it.
    pub fn order(&self) -> Order {
        let text = self.text();
        read(&text).unwrap_or_else(|no| panic!("{no}\n{text}")).value
    }

    /// Its draft.
    pub fn draft(&self) -> Draft {
        draft(&self.order()).unwrap_or_else(|no| panic!("{no}\n{}", self.text())).value
    }

    /// Its pieces.
    pub fn pieces(&self) -> Vec<Piece> {
        finish(&self.draft()).unwrap_or_else(|no| panic!("{no}\n{}", self.text())).value
    }
}

fn written(mm: f64) -> String {
    format!("{mm:.9} mm")
}

/// A value of the written working.
pub fn step_mm(draft: &Draft, name: &str) -> f64 {
    draft.working.iter().find(|step| step.name == name).unwrap_or_else(|| panic!("no step {name}")).value_mm
}

/// Length of an edge.
pub fn edge_mm(piece: &SewnPiece, name: &str) -> f64 {
    piece.edge(name).unwrap_or_else(|| panic!("no edge {name}")).curve.length_mm()
}

/// What darts take of an edge, walked along the cap from leg to leg.
fn in_darts_mm(piece: &SewnPiece, name: &str) -> f64 {
    let of_edge = piece.darts.iter().filter(|dart| dart.edge == name);
    let cap = |mouth_mm| piece.edge(name).map_or(0.0, |edge| edge.curve.part(mouth_mm).length_mm());
    of_edge.map(|dart| cap(dart.mouth_mm)).sum()
}

/// Length of a part of a seam, as often as it is there; every seam must name what is really there.
fn part_mm(draft: &Draft, part: &Part) -> f64 {
    let piece = draft.piece(part.piece).unwrap_or_else(|| panic!("no piece {}", part.piece));
    let marked = piece.marks.iter().find(|(name, _)| *name == part.edge);
    let closed_mm = || edge_mm(piece, part.edge) - in_darts_mm(piece, part.edge);
    let length_mm = marked.map_or_else(closed_mm, |(_, [from, to])| (*to - *from).length());
    f64::from(part.times) * length_mm
}

/// Everything that must hold of a draft and its pieces, whoever it is for; what does not is said.
pub fn faults(draft: &Draft, pieces: &[Piece]) -> Vec<String> {
    let mut faults = Vec::new();
    let mut must = |holds: bool, says: String| {
        if !holds {
            faults.push(says);
        }
    };
    for seam in &draft.seams {
        let side_mm = |side: &[Part]| -> f64 { side.iter().map(|part| part_mm(draft, part)).sum() };
        let over_mm = side_mm(&seam.sides[1]) - side_mm(&seam.sides[0]);
        let right_mm = seam.longer_mm - seam.lap_mm;
        must((over_mm - right_mm).abs() <= 0.1, format!("{} seam is {over_mm} longer", seam.walks));
    }
    for piece in pieces {
        let Piece { name, sewn, cut, .. } = piece;
        must(sewn.area_mm2() > 1.0 && cut.area_mm2() >= sewn.area_mm2() - 1.0, format!("the {name} has no area"));
        must(sewn.signed_area_mm2() < 0.0, format!("the {name} runs the wrong way round"));
        must(inside_or_near(sewn, &piece.grain), format!("the grain arrow of the {name} leaves it"));
        must(simple_by_every_pair(sewn), format!("the sewn outline of the {name} crosses itself"));
        must(simple_by_every_pair(cut), format!("the cut outline of the {name} crosses itself"));
        // A sample of the corners: where many bodies are tried, others are met.
        let out_mm = sewn.corners.iter().step_by(4).filter(|p| !inside(cut, p.x, p.y)).map(|p| cut.distance_mm(*p));
        must(out_mm.fold(0.0, f64::max) < 0.011, format!("the {name} is sewn outside of where it is cut"));
        for notch in &piece.notches {
            let edge = piece.edge(notch.edge).map(|edge| edge.sewn.corners()).unwrap_or_default();
            let off_mm = Outline { corners: edge }.distance_mm(notch.sewn_at);
            must(off_mm < 0.02, format!("a notch of the {name} is {off_mm} mm off its {}", notch.edge));
            let begins_mm = cut.distance_mm(notch.nick[0]);
            must(begins_mm < 0.02, format!("a nick of the {name} begins {begins_mm} mm off the cutting line"));
            must(inside(sewn, notch.nick[1].x, notch.nick[1].y) == (allowance_mm(piece, notch.edge) == 0.0), {
                format!("a nick of the {name} ends on the wrong side of the sewing line")
            });
        }
    }
    faults
}

/// Whether a line lies inside, at nine places.
fn inside_or_near(outline: &Outline<Frame>, [a, b]: &[chalklight::geometry::Point<Frame>; 2]) -> bool {
    (0..9).all(|i| {
        let p = a.lerp(*b, f64::from(i) / 8.0);
        inside(outline, p.x, p.y) || outline.distance_mm(p) < 0.5
    })
}

fn allowance_mm(piece: &Piece, edge: &str) -> f64 {
    piece.edge(edge).map_or(0.0, |edge| edge.allowance_mm)
}

/// Whether no two sides touch but neighbours in their common corner, by signs of areas.
pub fn simple_by_every_pair(outline: &Outline<Frame>) -> bool {
    type Side = (usize, [(f64, f64); 2]);
    let n = outline.corners.len();
    let numbered = outline.sides().enumerate();
    let mut sides: Vec<Side> = numbered.map(|(i, (p, q))| (i, [(p.x, p.y), (q.x, q.y)])).collect();
    let low = |(_, [a, b]): &Side| a.1.min(b.1);
    let high = |(_, [a, b]): &Side| a.1.max(b.1);
    sides.sort_by(|one, other| low(one).total_cmp(&low(other)));
    let turn = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
    let apart = |(i, [a, b]): &Side, (j, [c, d]): &Side| {
        let neighbours = (i + 1) % n == *j || (j + 1) % n == *i;
        let beside = a.0.max(b.0) < c.0.min(d.0) || c.0.max(d.0) < a.0.min(b.0);
        neighbours || beside || turn(*a, *b, *c) * turn(*a, *b, *d) > 0.0 || turn(*c, *d, *a) * turn(*c, *d, *b) > 0.0
    };
    sides.iter().enumerate().all(|(place, one)| {
        sides[place + 1..].iter().take_while(|other| low(other) <= high(one)).all(|other| apart(one, other))
    })
}

/// Whether a point is inside, by the number of sides to its right.
pub fn inside(outline: &Outline<Frame>, x: f64, y: f64) -> bool {
    let crosses = |(a, b): &(_, _)| {
        let (a, b): &(chalklight::geometry::Point<Frame>, chalklight::geometry::Point<Frame>) = &(*a, *b);
        (a.y > y) != (b.y > y) && x < a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
    };
    outline.sides().filter(|side| crosses(side)).count() % 2 == 1
}
