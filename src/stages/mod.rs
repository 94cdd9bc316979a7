//! The stages: what is cut when, through how many layers, and what must stay whole.
//!
//! Nothing of this is written down beforehand. The stack is looked at from above: the outline that all pieces share
//! can be cut through every layer; a piece that fills it is then free and is lifted off; what is left shares a
//! smaller outline, whose new lines are cut next, and so on down the stack. On one length of cloth pieces lie side by
//! side, and are cut out one after the other.

mod lines;
mod one_length;
mod order_of_cutting;
pub mod reach;
pub mod rest;
mod side_by_side;
mod standing;
mod window;

use crate::finish::Notch;
use crate::geometry::{Cloth, Outline, Point};
use crate::lay::{Fold, Lay, Placed};
use crate::order::Print;
use order_of_cutting::Step;
use reach::Plan;
pub use standing::{Cut, Standing};

/// One stage at the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// A name for lists: "fold the cloth".
    pub title: String,
    /// What she does now.
    pub sentence: String,
    /// Layers that lie on the table in this stage.
    pub layers: u32,
    /// Thickness of those layers.
    pub stack_mm: f64,
    /// The lines to be seen.
    pub lines: Vec<Line>,
    /// What must stay whole.
    pub whole: Vec<Outline<Cloth>>,
    /// What is worked on: the piece, or the cloth as a whole. Its edge is where a lit shape ends.
    pub shape: Outline<Cloth>,
    /// Whether a rule and a diagonal of known length are thrown, to be measured before anything is cut.
    pub proof: bool,
    /// What of the cloth is gone when it is done.
    pub takes: Takes,
}

/// What of the cloth is gone when a stage is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// All that lies around its shape, in every layer that is there.
    Around,
    /// One of the lay's pieces.
    Piece(usize),
}

impl Takes {
    /// Which piece is cut out, where it is one.
    fn piece(self) -> Option<usize> {
        match self {
            Self::Piece(piece) => Some(piece),
            Self::Nothing | Self::Around => None,
        }
    }
}

/// So many layers, as one cuts or pins through them.
pub fn through(layers: u32) -> String {
    match layers {
        1 => "the single layer".to_owned(),
        2 => "both layers".to_owned(),
        more => format!("all {more} layers"),
    }
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// To be cut now.
    Cut,
    /// To be cut in another stage.
    CutLater,
    /// The sewing line.
    Sew,
    /// A fold.
    Fold,
    /// The selvedge.
    Selvedge,
    /// A cut end of the cloth.
    ClothEnd,
    /// Where the lay ends and the cloth goes on: not cut.
    LayEnd,
    /// The grain arrow.
    Grain,
    /// A nick, to be cut into a turning.
    Notch,
    /// A mark in the place of a nick where there is no turning: chalked, never cut.
    Chalk,
    /// A level across a piece: chest, waist, hip.
    Level,
}

/// A line to be seen, on the folded cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub kind: LineKind,
    /// Its corners.
    pub points: Vec<Point<Cloth>>,
    /// What is written beside it.
    pub label: Option<String>,
}

impl LineKind {
    /// What a notch is drawn as.
    pub fn of_notch(notch: &Notch) -> Self {
        if notch.chalked { Self::Chalk } else { Self::Notch }
    }
}

/// Plans the stages of a lay that is lit as a whole.
pub fn stages(lay: &Lay) -> Vec<Stage> {
    if lay.fold != Fold::LengthsOnTheirCentre {
        return one_length::stages(lay);
    }
    let mut stages = vec![fold(lay), proof(lay)];
    stages.extend(order_of_cutting::steps(lay).iter().map(|step| cutting(lay, step)));
    stages.push(marking(lay));
    stages
}

/// The stages of a lay in its reaches, and the steps through both. Pieces that lie side by side are cut and marked reach
/// by reach, since what is cut out is taken away before the cloth is moved.
pub fn in_reaches(lay: &Lay, plan: &Plan) -> (Vec<Stage>, Vec<reach::Step>) {
    if lay.fold != Fold::LengthsOnTheirCentre {
        return one_length::in_reaches(lay, plan);
    }
    let stages = stages(lay);
    let steps = plan.steps(&stages);
    (stages, steps)
}

/// A piece by itself on the folded cloth, as it is seen while it is moved there.
pub fn piece_alone(lay: &Lay, piece: usize) -> Stage {
    let bare = fold(lay);
    let Some(placed) = lay.placed.get(piece) else { return bare };
    Stage {
        lines: lines::alone(lay, piece),
        shape: placed.cut(),
        title: format!("move the {}", placed.piece.name),
        ..bare
    }
}

fn stack_mm(lay: &Lay, layers: u32) -> f64 {
    lay.cloth.layer_mm * f64::from(layers)
}

/// The folded cloth as it lies.
fn folded(lay: &Lay) -> Outline<Cloth> {
    let (along, across) = (lay.length_mm, lay.folded_width_mm);
    let corners = [(0.0, 0.0), (along, 0.0), (along, across), (0.0, across)];
    Outline { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec() }
}

fn fold(lay: &Lay) -> Stage {
    let show = |mm: f64| lay.system.show(mm);
    let way = match lay.cloth.print {
        Print::OneWay => ", each with the print's head at the neck end",
        Print::AllOver => "",
    };
    Stage {
        title: "fold the cloth".into(),
        sentence: format!(
            "Cut {} lengths of {} across the cloth. Fold each along its centre, right side in, selvedges together: {} wide. \
             Lay them fold on fold{way}, the {}'s on top: {} layers.",
            lay.lengths,
            lay.system.show_at_least(lay.length_mm),
            show(lay.folded_width_mm),
            lay.placed.first().map_or("", |placed| placed.piece.name),
            lay.layers
        ),
        ..whole_cloth(lay)
    }
}

fn proof(lay: &Lay) -> Stage {
    Stage {
        title: "proof".into(),
        sentence:
            "Hold the tape against the rule and the diagonal. Cut only when both measure what is written on them."
                .into(),
        proof: true,
        ..whole_cloth(lay)
    }
}

/// A stage in which the cloth lies as it was folded and nothing is cut; what is done to it is for the caller to say.
fn whole_cloth(lay: &Lay) -> Stage {
    Stage {
        title: String::new(),
        sentence: String::new(),
        layers: lay.layers,
        stack_mm: stack_mm(lay, lay.layers),
        lines: lines::cloth(lay),
        whole: Vec::new(),
        shape: folded(lay),
        proof: false,
        takes: Takes::Nothing,
    }
}

/// A stage of cutting or lifting.
fn cutting(lay: &Lay, step: &Step) -> Stage {
    let names = |pieces: &[usize]| -> String {
        let names: Vec<String> = pieces.iter().map(|i| lay.placed[*i].name()).collect();
        names.join(" and ")
    };
    let layers = step.layers();
    let (title, sentence) = match step {
        Step::CutTogether { pieces, edges, .. } if pieces.len() > 1 => {
            let (top, stays, own) = (names(&pieces[..1]), names(&pieces[1..]), edges.join(" and "));
            let come = if edges.len() == 1 { "comes" } else { "come" };
            (
                "cut the outer line".to_owned(),
                format!(
                    "Cut the outer line through {}, with the {own} of the {top}. Cut nothing inside it: \
                     the {own} of the {stays} {come} later.",
                    through(layers)
                ),
            )
        }
        Step::CutTogether { pieces, edges, .. } => {
            let piece = names(pieces);
            (
                format!("cut the {piece}'s {}", edges.join(" and ")),
                format!("Cut the {} of the {piece} through the {layers} layers that are left.", edges.join(" and ")),
            )
        }
        Step::Lift { piece, below, .. } => {
            let (piece, below) = (lay.placed[*piece].name(), names(below));
            (
                format!("lift the {piece} off"),
                format!(
                    "Lift the {piece} off, with its pins, and lay it aside. The {below} stays where it is: {layers} layers are left."
                ),
            )
        }
        Step::CutApart { piece, edges } => {
            let piece = lay.placed[*piece].name();
            (
                format!("cut the {piece}'s {}", edges.join(" and ")),
                format!("Lay the {piece} alone to the fold line and cut its {}.", edges.join(" and ")),
            )
        }
    };
    Stage {
        title,
        sentence,
        layers,
        stack_mm: stack_mm(lay, layers),
        lines: lines::cutting(lay, step),
        whole: step.whole(),
        shape: match step {
            Step::CutTogether { shape, .. } => shape.clone(),
            Step::Lift { piece, .. } | Step::CutApart { piece, .. } => lay.placed[*piece].cut(),
        },
        proof: false,
        takes: if matches!(step, Step::CutTogether { .. }) { Takes::Around } else { Takes::Nothing },
    }
}

/// What is nicked, and what is chalked instead because it has no turning.
fn nicking_sentence(pieces: &[&Placed]) -> String {
    let notches = || pieces.iter().flat_map(|placed| &placed.piece.notches);
    let mut says = String::new();
    if notches().any(|notch| !notch.chalked) {
        says += "Nick the notches in the turnings, no deeper than shown. ";
    }
    let mut bare: Vec<&str> = notches().filter(|notch| notch.chalked).map(|notch| notch.edge).collect();
    bare.dedup();
    bare.sort_unstable();
    bare.dedup();
    if !bare.is_empty() {
        let (have, its) = if bare.len() > 1 { ("have", "their") } else { ("has", "its") };
        says += &format!("The {} {have} no turning: chalk {its} marks, and nick nothing there. ", bare.join(" and "));
    }
    says
}

/// What is chalked on single pieces beside sewing lines and levels: a dart's legs, a pocket's place.
fn marked_sentence(pieces: &[&Placed]) -> String {
    let mut marked: Vec<(Vec<String>, Vec<&str>)> = Vec::new();
    for Placed { piece, .. } in pieces {
        // A slit is cut with the neck, or chalked where its stage says.
        let marks = piece.marks.iter().filter(|(mark, _)| *mark != lines::SLIT);
        let mut marks: Vec<String> = marks.map(|(mark, _)| in_words(mark)).collect();
        marks.dedup();
        match marked.iter_mut().find(|(others, _)| *others == marks) {
            _ if marks.is_empty() => {}
            Some((_, names)) if names.contains(&piece.name) => {}
            Some((_, names)) => names.push(piece.name),
            None => marked.push((marks, vec![piece.name])),
        }
    }
    let says = |(marks, names): &(Vec<String>, Vec<&str>)| {
        format!(" On the {} chalk {} too.", names.join(" and the "), marks.join(" and "))
    };
    marked.iter().map(says).collect()
}

/// A mark as it is spoken of.
fn in_words(mark: &str) -> String {
    match mark {
        "dart" => "the legs of the dart".to_owned(),
        "pocket" => "the place of the pocket".to_owned(),
        other => format!("the {other}"),
    }
}

/// What is marked: on the piece that still lies there, then on those that were lifted off.
fn marking_sentence(lay: &Lay) -> String {
    let pieces: Vec<&Placed> = lay.placed.iter().collect();
    let mut says = nicking_sentence(&pieces);
    let Some((here, lifted)) = lay.placed.split_last() else { return says };
    says += &format!("Chalk the sewing lines and levels on the {}", here.piece.name);
    let lifted: Vec<&str> = lifted.iter().map(|placed| placed.piece.name).collect();
    if !lifted.is_empty() {
        says += &format!("; then lay the {} to the same fold line and mark it too", lifted.join(" and "));
    }
    says + "." + &marked_sentence(&pieces)
}

fn marking(lay: &Lay) -> Stage {
    let layers = lay.layers / lay.lengths.max(1);
    Stage {
        title: "notches and marks".into(),
        sentence: marking_sentence(lay),
        layers,
        stack_mm: stack_mm(lay, layers),
        lines: lines::marking(lay),
        whole: Vec::new(),
        shape: lay.placed.last().map_or_else(|| folded(lay), Placed::cut),
        proof: false,
        takes: Takes::Nothing,
    }
}
