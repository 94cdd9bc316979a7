//! What is cut inside of a piece when it is cut out: a slit, and the diagonal of the square that becomes bias strip.

use chalklight::lay::{Lay, Wanted, lay};
use chalklight::order::read;
use chalklight::stages::{LineKind, Stage, stages};

use super::example;
use crate::check::OrderText;

fn laid(order: &OrderText, fold: &str) -> Lay {
    let lay_of = if fold.is_empty() { String::new() } else { format!("[lay]\nfold = \"{fold}\"\n") };
    let text = order.text() + "[cloth]\nwidth = \"60 in\"\n" + &lay_of;
    let ordered = read(&text).unwrap_or_else(|no| panic!("{no}")).value;
    let pieces = order.pieces();
    let wanted = Wanted::of(&pieces, ordered.cloth.as_ref().expect("a cloth"), ordered.system).asking(&ordered.lay);
    lay(&wanted).unwrap_or_else(|no| panic!("{fold}: {no}")).value
}

fn slit(edges: &'static str) -> OrderText {
    example().choose("neckline", "slit").choose("edges", edges)
}

/// The stages in which the whole of a line between two places of a piece is thrown to be cut.
fn cutting(
    lay: &Lay,
    name: &str,
    line: impl Fn(&chalklight::finish::Piece) -> Option<[chalklight::geometry::Point<chalklight::geometry::Draft>; 2]>,
) -> Vec<Stage> {
    let placed = lay.placed.iter().find(|placed| placed.piece.name == name).expect("the piece");
    let Some(ends) = line(&placed.piece) else { return Vec::new() };
    let ends = ends.map(|p| placed.cloth_from_draft.transform_point(p));
    let is_on = |stage: &Stage| {
        (1..10).all(|i| {
            let p = ends[0].lerp(ends[1], f64::from(i) / 10.0);
            let near = |a: chalklight::geometry::Point<_>, b: chalklight::geometry::Point<_>| {
                let along = b - a;
                let t = ((p - a).dot(along) / along.square_length().max(1e-12)).clamp(0.0, 1.0);
                (p - (a + along * t)).length() < 0.05
            };
            let cut = stage.lines.iter().filter(|line| line.kind == LineKind::Cut);
            cut.flat_map(|line| line.points.windows(2)).any(|side| near(side[0], side[1]))
        })
    };
    stages(lay).into_iter().filter(is_on).collect()
}

fn slit_cut(lay: &Lay) -> Vec<Stage> {
    // Unfolded, it is no edge any more but a line inside.
    cutting(lay, "front", |piece| {
        let inside = || piece.marks.iter().find(|(name, _)| *name == "slit").map(|(_, ends)| *ends);
        piece.edge("slit").map(|slit| [slit.sewn.start(), slit.sewn.end()]).or_else(inside)
    })
}

/// Bound or left plain, a slit is cut in the one stage in which the neck of the front is, whether its centre is a fold or not; faced,
/// it is cut when its facing is stitched on, and every stage leaves it whole.
#[test]
fn a_slit_is_cut_with_its_neck() {
    for (edges, fold) in
        [("plain", "lengths"), ("plain", "half"), ("plain", "open"), ("bias", "half"), ("bias", "open"), ("bias", "")]
    {
        let lay = laid(&slit(edges), fold);
        let stages = slit_cut(&lay);
        assert_eq!(
            stages.len(),
            1,
            "{edges}, {fold}: {:?}",
            stages.iter().map(|stage| &stage.title).collect::<Vec<_>>()
        );
        let says = &stages[0].sentence;
        assert!(says.contains("slit") && !says.contains("do not cut there"), "{says}");
        let neck = cutting(&lay, "front", |piece| {
            let neck = &piece.edge("neck")?.cut;
            Some([neck[neck.len() / 2], neck[neck.len() / 2 + 1]])
        });
        assert!(neck.iter().any(|stage| stage.title == stages[0].title), "{edges}, {fold}");
    }
    for fold in ["half", "open"] {
        let lay = laid(&slit("facing"), fold);
        assert!(slit_cut(&lay).is_empty(), "{fold}");
        let says: Vec<String> = stages(&lay).into_iter().map(|stage| stage.sentence).collect();
        assert!(says.iter().any(|says| says.contains("before its facing is stitched on")), "{says:?}");
    }
    // Where the front lies on top of a deeper back, it is cut apart when it has been lifted off.
    let deep = slit("plain").rule("back_neck_depth", "\"6 in\"");
    let stages = slit_cut(&laid(&deep, "lengths"));
    assert!(stages.len() == 1 && stages[0].sentence.contains("slit"), "{stages:?}");
}

/// The square that becomes the strip is cut out and cut along its diagonal in one stage, which says what comes of it.
#[test]
fn the_square_of_the_strip_is_cut_along_its_diagonal() {
    let order = example().choose("edges", "bias");
    for fold in ["half", "open", "one-side"] {
        let lay = laid(&order, fold);
        let stages = cutting(&lay, "bias square", |piece| piece.marks.first().map(|(_, ends)| *ends));
        assert_eq!(stages.len(), 1, "{fold}");
        let says = &stages[0].sentence;
        let needed = order.pieces().iter().find_map(|piece| piece.strip).expect("a strip").length_mm;
        assert!(stages[0].title.contains("bias square") && says.contains("along its diagonal"), "{says}");
        assert!(says.contains(&lay.system.show(needed)), "{says}");
    }
}

/// Marking says nothing against the cutting before it: a slit that was cut is chalked at its end and not nicked, and of a square
/// that was cut up nothing is marked.
#[test]
fn marking_goes_with_what_was_cut() {
    for fold in ["half", "open", "one-side"] {
        let marking = stages(&laid(&slit("bias"), fold)).pop().expect("a stage");
        let says = &marking.sentence;
        assert!(says.contains("slit have no turning: chalk their marks, and nick nothing there"), "{fold}: {says}");
        let labels: Vec<&str> = marking.lines.iter().filter_map(|line| line.label.as_deref()).collect();
        assert!(labels.iter().any(|label| label.starts_with("front")), "{fold}: {labels:?}");
        let cut_up = |label: &&str| label.contains("bias") || label.contains("diagonal");
        assert!(!labels.iter().any(cut_up), "{fold}: {labels:?}");
    }
}
