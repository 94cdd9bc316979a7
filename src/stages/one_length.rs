//! The stages of a lay on one length of cloth: it is folded, and piece after piece is cut out from the cut end on.

use super::lines::{self, line};
use super::{LineKind, Stage, proof, stack_mm, whole_cloth};
use crate::lay::{Fold, Lay, Placed};
use crate::order::Print;

/// Plans the stages.
pub fn stages(lay: &Lay) -> Vec<Stage> {
    let mut stages = vec![fold(lay), proof(lay)];
    stages.extend((0..lay.placed.len()).map(|piece| cutting(lay, piece)));
    stages.push(marking(lay));
    stages
}

/// The first stage: the cloth as it lies, with its folds.
fn fold(lay: &Lay) -> Stage {
    let show = |mm: f64| lay.system.show(mm);
    let how = match lay.fold {
        Fold::Open => "Lay it open, right side up".to_owned(),
        Fold::AtHalf | Fold::LengthsOnTheirCentre => {
            "Fold it along its centre, right side in, selvedges together".to_owned()
        }
        Fold::Partly { folded_mm } => {
            format!("Fold the selvedge at your side in by {}, right side in; the rest lies single", show(folded_mm))
        }
        Fold::BothIn { near_mm, far_mm } => format!(
            "Fold both selvedges in, right side in: the one at your side by {}, the far one by {}",
            show(near_mm),
            show(far_mm)
        ),
    };
    let way = match lay.cloth.print {
        Print::OneWay => " The print's head lies at the cut end on the left.",
        Print::AllOver => "",
    };
    Stage {
        title: if lay.fold == Fold::Open { "lay the cloth".into() } else { "fold the cloth".into() },
        sentence: format!(
            "Straighten the cut end; the pieces take {} of the cloth. {how}: {} wide.{way}",
            lay.system.show_at_least(lay.length_mm),
            show(lay.folded_width_mm)
        ),
        ..whole_cloth(lay)
    }
}

/// One piece is cut out; all that come later stay whole.
fn cutting(lay: &Lay, piece: usize) -> Stage {
    let placed = &lay.placed[piece];
    let name = placed.piece.name;
    let alike = |other: &&Placed| other.of == placed.of;
    let all = lay.placed.iter().filter(alike).count();
    let number = lay.placed[..piece].iter().filter(alike).count() + 1;
    let which = if all > 1 { format!("{name}, {number} of {all}") } else { name.to_owned() };
    let later = &lay.placed[piece + 1..];
    let mut lines = lines::folds(lay);
    let own = lines::cut_lines(lay, placed).into_iter().map(|points| line(LineKind::Cut, points, None));
    lines.extend(own);
    lines.extend(lines::inside(placed));
    let others = later.iter().flat_map(|other| lines::cut_lines(lay, other));
    lines.extend(others.map(|points| line(LineKind::CutLater, points, None)));
    let gives = match (placed.piece.on_fold, placed.gives, placed.piece.paired) {
        (true, ..) => " Its centre is the fold: do not cut there.".to_owned(),
        (_, 2, true) => " That gives a left and a right one.".to_owned(),
        (_, 2, false) => " That gives two.".to_owned(),
        (_, _, _) if placed.layers > placed.gives => " One of the two is spare.".to_owned(),
        _ => String::new(),
    };
    let through = if placed.layers == 1 { "the single layer".to_owned() } else { format!("{} layers", placed.layers) };
    Stage {
        title: format!("cut the {which}"),
        sentence: format!("Cut the {which} through {through}.{gives}"),
        layers: placed.layers,
        stack_mm: stack_mm(lay, placed.layers),
        lines,
        whole: later.iter().map(Placed::cut).collect(),
        shape: placed.cut(),
        proof: false,
    }
}

/// Notches, sewing lines and levels of all pieces, where they lie.
fn marking(lay: &Lay) -> Stage {
    let mut lines = lines::folds(lay);
    for placed in &lay.placed {
        lines.extend(lines::cut_lines(lay, placed).into_iter().map(|points| line(LineKind::CutLater, points, None)));
        lines.extend(lines::inside(placed));
        lines.extend(lines::notches(placed, true));
        lines.extend(lines::levels(lay, placed));
    }
    let below = if lay.layers > 1 { " Carry every mark through to the layer below." } else { "" };
    Stage {
        title: "notches and marks".into(),
        sentence: format!("{}Chalk the sewing lines and levels on every piece.{below}", super::nicking_sentence(lay)),
        lines,
        ..whole_cloth(lay)
    }
}
