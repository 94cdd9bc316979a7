//! The lines of each stage, on the folded cloth.

use super::order_of_cutting::{Step, lines_without, new_lines, on_any};
use super::{Line, LineKind};
use crate::finish::Piece;
use crate::geometry::{Cloth, Draft, Outline, Point};
use crate::lay::{Fold, Lay, Placed};

/// A line of a stage.
pub fn line(kind: LineKind, points: Vec<Point<Cloth>>, label: Option<String>) -> Line {
    Line { kind, points, label }
}

/// The folded cloth itself: folds, selvedges and cut ends, with their measures.
pub fn cloth(lay: &Lay) -> Vec<Line> {
    let (along, across) = (lay.length_mm, lay.folded_width_mm);
    let p = Point::<Cloth>::new;
    let show = |mm: f64| lay.system.show(mm);
    let mut lines = folds_along(lay);
    for line in &mut lines {
        line.label = Some(format!("fold {}", lay.system.show_at_least(along)));
    }
    for (y_mm, says) in selvedges(lay) {
        lines.push(line(LineKind::Selvedge, vec![p(0.0, y_mm), p(along, y_mm)], Some(says.into())));
    }
    lines.push(line(LineKind::ClothEnd, vec![p(0.0, 0.0), p(0.0, across)], Some(format!("cut end {}", show(across)))));
    let far = vec![p(along, 0.0), p(along, across)];
    lines.push(match fold_across(lay) {
        Some(fold) => fold,
        None if lay.fold.ends_cloth() => line(LineKind::ClothEnd, far, None),
        None => line(LineKind::LayEnd, far, None),
    });
    lines
}

/// Where the selvedges lie, and what is written at them.
fn selvedges(lay: &Lay) -> Vec<(f64, &'static str)> {
    let width_mm = lay.cloth.width_mm;
    let [near_mm, far_mm] = [0.0, width_mm].map(|open_mm| lay.fold.folded_mm(width_mm, open_mm));
    match near_mm == far_mm {
        true => vec![(far_mm, "selvedges")],
        false => vec![(near_mm, "selvedge"), (far_mm, "selvedge")],
    }
}

/// The folds of the cloth.
pub fn folds(lay: &Lay) -> Vec<Line> {
    folds_along(lay).into_iter().chain(fold_across(lay)).collect()
}

/// The fold at the foot of cloth that is folded across.
fn fold_across(lay: &Lay) -> Option<Line> {
    let ends = [0.0, lay.folded_width_mm].map(|y_mm| Point::new(lay.length_mm, y_mm)).to_vec();
    lay.fold.is_across().then(|| line(LineKind::Fold, ends, None))
}

/// The folds along the selvedge: what lies on them is not cut.
fn folds_along(lay: &Lay) -> Vec<Line> {
    let zones = lay.fold.zones(lay.cloth.width_mm);
    let fold = |y_mm: f64| {
        let ends = vec![Point::new(0.0, y_mm), Point::new(lay.length_mm, y_mm)];
        line(LineKind::Fold, ends, Some("fold".into()))
    };
    zones.iter().filter_map(crate::lay::Zone::fold_mm).map(fold).collect()
}

/// The cutting line of a piece, without what lies on a fold.
pub fn cut_lines(lay: &Lay, placed: &Placed) -> Vec<Vec<Point<Cloth>>> {
    // Each fold is an outline without an inside, so that lines on it are told apart.
    let folds: Vec<_> = folds_along(lay).into_iter().map(|line| Outline { corners: line.points }).collect();
    // At the near selvedge of open cloth, y is 0 as on a fold, and the piece is cut there all the same.
    lines_without(&placed.cut(), |a, b| on_any(&folds, a, b))
}

/// What is cut inside of a piece when it is cut out: a slit along the fold, and the diagonal of a square that becomes a strip.
pub fn cut_inside(lay: &Lay, placed: &Placed) -> Vec<Vec<Point<Cloth>>> {
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let diagonal = placed.piece.marks.iter().filter(|_| placed.piece.strip.is_some()).map(|(_, ends)| *ends);
    let slit = slit(&placed.piece).filter(|_| !faces_slit(lay));
    diagonal.chain(slit).map(|ends| ends.iter().map(on_cloth).collect()).collect()
}

/// What a slit at the centre line is called.
pub const SLIT: &str = "slit";

/// The ends of a piece's slit: an edge along the fold, or, unfolded, a line inside of it.
pub fn slit(piece: &Piece) -> Option<[Point<Draft>; 2]> {
    let unfolded = || piece.marks.iter().find(|(name, _)| *name == SLIT).map(|(_, ends)| *ends);
    piece.edge(SLIT).map(|edge| [edge.sewn.start(), edge.sewn.end()]).or_else(unfolded)
}

/// Whether a slit is faced: then it is cut when its facing is stitched on.
pub fn faces_slit(lay: &Lay) -> bool {
    lay.placed.iter().any(|placed| is_slits_facing(&placed.piece))
}

/// Whether a piece faces a slit.
pub fn is_slits_facing(piece: &Piece) -> bool {
    piece.name.contains("facing") && slit(piece).is_some()
}

/// What is cut or lifted now, with the fold it lies to.
pub fn cutting(lay: &Lay, step: &Step) -> Vec<Line> {
    let mut lines = folds(lay);
    match step {
        Step::CutTogether { pieces, lines: cut, .. } => {
            lines.extend(cut.iter().map(|points| line(LineKind::Cut, points.clone(), None)));
            let top = &lay.placed[pieces[0]];
            lines.extend(inside(top));
            if pieces.len() == 1 {
                lines.extend(cut_inside(lay, top).into_iter().map(|points| line(LineKind::Cut, points, None)));
            } else {
                let outer: Vec<_> = vec![top.cut()];
                for later in &pieces[1..] {
                    let own = new_lines(&lay.placed[*later].cut(), &outer);
                    lines.extend(own.into_iter().map(|points| line(LineKind::CutLater, points, None)));
                }
            }
        }
        Step::Lift { piece, .. } => {
            // Its edge is that of what stays, too: it shows whether that lies where it lay.
            let lifted = &lay.placed[*piece];
            let edge = new_lines(&lifted.cut(), &[]).into_iter();
            lines.extend(edge.map(|points| line(LineKind::ClothEnd, points, None)));
            lines.push(Line { label: Some(format!("{}: lift it off", lifted.piece.name)), ..grain(lifted) });
        }
        Step::CutApart { piece, .. } => {
            let placed = &lay.placed[*piece];
            let own = new_lines(&placed.cut(), &[]).into_iter().chain(cut_inside(lay, placed));
            lines.extend(own.map(|points| line(LineKind::Cut, points, None)));
            lines.extend(inside(placed));
        }
    }
    lines
}

/// Sewing lines, levels and notches: those of the piece that still lies there in full, and of the others what differs,
/// since they are laid to the same fold line afterwards.
pub fn marking(lay: &Lay) -> Vec<Line> {
    let mut lines = folds(lay);
    let Some((last, others)) = lay.placed.split_last() else { return lines };
    // They are laid to the same lines afterwards, however they lay on the cloth when they were cut.
    let here = |other: &Placed| Placed { cloth_from_draft: last.cloth_from_draft, ..other.clone() };
    let mut others: Vec<Placed> = others.iter().map(here).collect();
    lines.extend(new_lines(&last.cut(), &[]).into_iter().map(|points| line(LineKind::CutLater, points, None)));
    lines.extend(inside(last));
    for other in &others {
        let own = new_lines(&other.cut(), &[last.cut()]);
        lines.extend(own.into_iter().map(|points| line(LineKind::CutLater, points, None)));
    }
    lines.extend(others.iter().flat_map(|other| notches(other, false)));
    lines.extend(notches(last, true));
    lines.extend(levels(lay, last));
    // What is marked on one of them alone, such as a dart, is not there yet.
    for other in &mut others {
        other.piece.levels.retain(|level| !last.piece.levels.contains(level));
        other.piece.marks.retain(|mark| !last.piece.marks.contains(mark));
        lines.extend(levels(lay, other));
    }
    lines
}

/// A piece by itself: the cloth, the piece's own lines and levels, and what lies beside it.
pub fn alone(lay: &Lay, piece: usize) -> Vec<Line> {
    let placed = &lay.placed[piece];
    let mut lines: Vec<Line> = cloth(lay).into_iter().map(|line| Line { label: None, ..line }).collect();
    if lay.fold != Fold::LengthsOnTheirCentre {
        let others = lay.placed.iter().enumerate().filter(|(i, _)| *i != piece);
        let others = others.flat_map(|(_, other)| cut_lines(lay, other));
        lines.extend(others.map(|points| line(LineKind::CutLater, points, None)));
    }
    lines.extend(cut_lines(lay, placed).into_iter().map(|points| line(LineKind::Cut, points, None)));
    lines.extend(inside(placed));
    lines.extend(levels(lay, placed));
    lines
}

/// The levels of a piece with their widths, and what else is marked on it.
pub fn levels(lay: &Lay, placed: &Placed) -> Vec<Line> {
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let marked: Vec<_> = placed.piece.levels.iter().chain(&placed.piece.marks).collect();
    let level = |(i, (name, ends)): (usize, &&(&'static str, [Point<_>; 2]))| {
        // Both legs of a dart, or head and corners of a pocket, have one name.
        let is_first = marked[..i].iter().all(|(before, _)| before != name);
        let label = is_first.then(|| format!("{name} {}", lay.system.show((ends[1] - ends[0]).length())));
        line(LineKind::Level, ends.iter().map(on_cloth).collect(), label)
    };
    marked.iter().enumerate().map(level).collect()
}

/// The nicks of a piece; those in the armhole carry its name, since front and back differ there. The name stands at the
/// nick's first point: inside the piece or outside of it.
pub fn notches(placed: &Placed, named_inside: bool) -> Vec<Line> {
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let mut named = false;
    let nick = |notch: &crate::finish::Notch| {
        let first = notch.edge == "armhole" && !std::mem::replace(&mut named, notch.edge == "armhole");
        let label = first.then(|| placed.piece.name.to_owned());
        let mut points: Vec<_> = notch.nick.iter().map(on_cloth).collect();
        if named_inside {
            points.reverse();
        }
        line(LineKind::of_notch(notch), points, label)
    };
    placed.piece.notches.iter().map(nick).collect()
}

/// A piece's sewing line and grain.
pub fn inside(placed: &Placed) -> Vec<Line> {
    let sewn = placed.piece.sewn.mapped(&placed.cloth_from_draft);
    let bound = new_lines(&sewn, &[placed.cut()]);
    let mut lines: Vec<Line> = bound.into_iter().map(|points| line(LineKind::Sew, points, None)).collect();
    lines.push(grain(placed));
    lines
}

/// A piece's grain, with its name and how it is cut.
fn grain(placed: &Placed) -> Line {
    let ends = placed.piece.grain.map(|p| placed.cloth_from_draft.transform_point(p));
    line(LineKind::Grain, ends.to_vec(), Some(placed.caption()))
}
