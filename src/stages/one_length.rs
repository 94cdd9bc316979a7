//! The stages of a lay on one length of cloth: it is folded, and piece after piece is cut out from the cut end on.

use super::lines::{self, line};
use super::reach::{Plan, Step};
use super::{LineKind, Stage, Takes, proof, side_by_side, stack_mm, whole_cloth};
use crate::lay::{Fold, Lay, Placed};
use crate::order::Print;

/// Plans the stages where everything is lit at once.
pub fn stages(lay: &Lay) -> Vec<Stage> {
    in_reaches(lay, &side_by_side::whole(lay)).0
}

/// The stages from reach to reach, and the steps through both: in each, its pieces are cut out and then marked. A piece
/// that is cut in several reaches has one stage, to which the later ones come back.
pub fn in_reaches(lay: &Lay, plan: &Plan) -> (Vec<Stage>, Vec<Step>) {
    let mut stages = vec![fold(lay), proof(lay)];
    let mut steps = vec![plan.step(0, 0, false), plan.step(1, 0, false)];
    let mut order: Vec<usize> = Vec::new();
    for share in &plan.shares {
        if !order.contains(&share.piece) {
            order.push(share.piece);
        }
    }
    let first_cut = stages.len();
    let mut stage_of = vec![0; lay.placed.len()];
    let mut cut = 0;
    for reach in 0..plan.reaches.len() {
        let here: Vec<_> = plan.shares.iter().filter(|share| share.reach == reach).collect();
        for share in &here {
            if stage_of[share.piece] < first_cut {
                stage_of[share.piece] = stages.len();
                stages.push(cutting(lay, &order, cut));
                cut += 1;
            }
            steps.push(Step { own: share.part, ..plan.step(stage_of[share.piece], reach, false) });
        }
        // A square that becomes a strip is cut up by then.
        let stays = |piece: &usize| lay.placed[*piece].piece.strip.is_none();
        let marked: Vec<usize> = here.iter().map(|share| share.piece).filter(stays).collect();
        if here.is_empty() {
            steps.push(plan.step(stages.len(), reach, true));
        } else if !marked.is_empty() {
            steps.push(plan.step(stages.len(), reach, false));
            stages.push(marking(lay, &marked));
        }
    }
    (stages, steps)
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
        Fold::Across => {
            "Cut off as much. Fold it across its middle, right side in, cut ends together on the left".to_owned()
        }
        Fold::InFour => {
            "Cut off as much. Fold it along its centre, right side in, selvedges together; then fold it across its \
                         middle, cut ends together on the left"
                .to_owned()
        }
    };
    let way = match lay.cloth.print {
        Print::OneWay => " The print's head lies at the cut end on the left.",
        Print::AllOver => "",
    };
    Stage {
        title: if lay.fold == Fold::Open { "lay the cloth".into() } else { "fold the cloth".into() },
        sentence: format!(
            "Straighten the cut end; the pieces take {} of the cloth. {how}: {} wide.{way}",
            lay.system.show_at_least(lay.used_mm),
            show(lay.folded_width_mm)
        ),
        ..whole_cloth(lay)
    }
}

/// One piece is cut out, by its place in the order of cutting; all that come later stay whole.
fn cutting(lay: &Lay, order: &[usize], place: usize) -> Stage {
    let placed = &lay.placed[order[place]];
    let name = placed.name();
    let alike = |other: &&usize| lay.placed[**other].of == placed.of;
    let all = order.iter().filter(alike).count();
    let number = order[..place].iter().filter(alike).count() + 1;
    let the = if placed.whose.is_some() { "" } else { "the " };
    let which = if all > 1 { format!("{the}{name}, {number} of {all}") } else { format!("{the}{name}") };
    let later: Vec<&Placed> = order[place + 1..].iter().map(|piece| &lay.placed[*piece]).collect();
    let mut lines = lines::folds(lay);
    let own = lines::cut_lines(lay, placed).into_iter().chain(lines::cut_inside(lay, placed));
    lines.extend(own.map(|points| line(LineKind::Cut, points, None)));
    lines.extend(lines::inside(placed));
    let others = later.iter().flat_map(|other| lines::cut_lines(lay, other));
    lines.extend(others.map(|points| line(LineKind::CutLater, points, None)));
    let gives = format!("{}{}{}", at_the_centre(lay, placed), gives(placed), cut_up(lay, placed));
    Stage {
        title: format!("cut {which}"),
        sentence: format!("Cut {which} through {}.{gives}", super::through(placed.layers)),
        layers: placed.layers,
        stack_mm: stack_mm(lay, placed.layers),
        lines,
        whole: later.iter().map(|other| other.cut()).collect(),
        shape: placed.cut(),
        proof: false,
        takes: Takes::Piece(order[place]),
    }
}

/// What is said of a piece's centre: a fold there is not cut, a slit is.
fn at_the_centre(lay: &Lay, placed: &Placed) -> String {
    let slit = lines::slit(&placed.piece).filter(|_| !lines::is_slits_facing(&placed.piece));
    let deep = slit.map(|[top, end]| format!("{} down from the neck", lay.system.show((end - top).length())));
    match (deep, lines::faces_slit(lay), placed.piece.on_fold) {
        (Some(deep), true, true) => {
            format!(
                " Its centre is the fold: do not cut there, nor the slit, {deep}, before its facing is stitched on."
            )
        }
        (Some(deep), true, false) => format!(" Do not cut the slit, {deep}, before its facing is stitched on."),
        (Some(deep), false, true) => format!(" Its centre is the fold: cut nothing there but the slit, {deep}."),
        (Some(deep), false, false) => format!(" Cut the slit too, {deep} at the centre."),
        (None, _, true) => " Its centre is the fold: do not cut there.".into(),
        (None, _, false) => String::new(),
    }
}

/// What a square is cut up into.
fn cut_up(lay: &Lay, placed: &Placed) -> String {
    placed.piece.strip.map_or_else(String::new, |strip| {
        format!(
            " Cut it along its diagonal: sewn to a tube as the sewing plan says, it becomes one strip {} wide, of which {} are \
             needed.",
            lay.system.show(strip.width_mm),
            lay.system.show(strip.length_mm)
        )
    })
}

/// What comes of cutting a piece once.
fn gives(placed: &Placed) -> String {
    let cut = if placed.piece.on_fold { placed.layers / 2 } else { placed.layers };
    match (placed.gives, placed.piece.paired) {
        (1, _) if cut == 2 => " One of the two is spare.".to_owned(),
        (gives, _) if cut > gives => format!(" That gives {cut}, of which {gives} are needed."),
        (1, _) => String::new(),
        (2, true) => " That gives a left and a right one.".to_owned(),
        (gives, true) => format!(" That gives {gives}, left and right ones alike."),
        (gives, false) => format!(" That gives {gives}."),
    }
}

/// Notches, sewing lines and levels of these pieces, where they lie.
fn marking(lay: &Lay, pieces: &[usize]) -> Stage {
    let mut lines = lines::folds(lay);
    let pieces: Vec<&Placed> = pieces.iter().map(|piece| &lay.placed[*piece]).collect();
    for placed in &pieces {
        lines.extend(lines::cut_lines(lay, placed).into_iter().map(|points| line(LineKind::CutLater, points, None)));
        lines.extend(lines::inside(placed));
        lines.extend(lines::notches(placed, true));
        lines.extend(lines::levels(lay, placed));
    }
    let below = if lay.layers > 1 { " Carry every mark through to the layers below." } else { "" };
    Stage {
        title: "notches and marks".into(),
        sentence: format!(
            "{}Chalk the sewing lines and levels on every piece.{}{below}",
            super::nicking_sentence(&pieces),
            super::marked_sentence(&pieces)
        ),
        lines,
        ..whole_cloth(lay)
    }
}
