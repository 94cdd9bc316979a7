//! The lines of each stage, on the folded cloth.

use super::order_of_cutting::{Step, new_lines};
use super::{Line, LineKind};
use crate::geometry::{Cloth, Point};
use crate::lay::{Lay, Placed};

fn line(kind: LineKind, points: Vec<Point<Cloth>>, label: Option<String>) -> Line {
    Line { kind, points, label }
}

/// The folded cloth itself: fold, selvedges and cut ends, with their measures.
pub fn cloth(lay: &Lay) -> Vec<Line> {
    let (along, across) = (lay.length_mm, lay.folded_width_mm);
    let p = Point::<Cloth>::new;
    let show = |mm: f64| lay.system.show(mm);
    vec![
        line(
            LineKind::Fold,
            vec![p(0.0, 0.0), p(along, 0.0)],
            Some(format!("fold {}", lay.system.show_at_least(along))),
        ),
        line(LineKind::Selvedge, vec![p(0.0, across), p(along, across)], Some("selvedges".into())),
        line(LineKind::ClothEnd, vec![p(0.0, 0.0), p(0.0, across)], Some(format!("cut end {}", show(across)))),
        line(LineKind::ClothEnd, vec![p(along, 0.0), p(along, across)], None),
    ]
}

/// What is cut or lifted now, with the fold it lies to.
pub fn cutting(lay: &Lay, step: &Step) -> Vec<Line> {
    let mut lines = vec![fold(lay)];
    match step {
        Step::CutTogether { pieces, lines: cut, .. } => {
            lines.extend(cut.iter().map(|points| line(LineKind::Cut, points.clone(), None)));
            let top = &lay.placed[pieces[0]];
            lines.extend(inside(top));
            if pieces.len() > 1 {
                let outer: Vec<_> = vec![top.cut()];
                for later in &pieces[1..] {
                    let own = new_lines(&lay.placed[*later].cut(), &outer);
                    lines.extend(own.into_iter().map(|points| line(LineKind::CutLater, points, None)));
                }
            }
        }
        Step::Lift { piece, below, .. } => {
            let lifted = new_lines(&lay.placed[*piece].cut(), &[]);
            lines.extend(lifted.into_iter().map(|points| line(LineKind::CutLater, points, None)));
            lines.extend(below.first().into_iter().flat_map(|i| inside(&lay.placed[*i])));
        }
        Step::CutApart { piece, .. } => {
            let own = new_lines(&lay.placed[*piece].cut(), &[]);
            lines.extend(own.into_iter().map(|points| line(LineKind::Cut, points, None)));
            lines.extend(inside(&lay.placed[*piece]));
        }
    }
    lines
}

/// Sewing lines, levels and notches: those of the piece that still lies there in full, and of the others what differs,
/// since they are laid to the same fold line afterwards.
pub fn marking(lay: &Lay) -> Vec<Line> {
    let mut lines = vec![fold(lay)];
    let Some((last, others)) = lay.placed.split_last() else { return lines };
    // They are laid to the same lines afterwards, however they lay on the cloth when they were cut.
    let here = |other: &Placed| Placed { cloth_from_draft: last.cloth_from_draft, ..other.clone() };
    let others: Vec<Placed> = others.iter().map(here).collect();
    lines.extend(new_lines(&last.cut(), &[]).into_iter().map(|points| line(LineKind::CutLater, points, None)));
    lines.extend(inside(last));
    for other in &others {
        let own = new_lines(&other.cut(), &[last.cut()]);
        lines.extend(own.into_iter().map(|points| line(LineKind::CutLater, points, None)));
    }
    lines.extend(others.iter().flat_map(|other| notches(other, false)));
    lines.extend(notches(last, true));
    lines.extend(levels(lay, last));
    lines
}

/// A piece by itself: the cloth, and the piece's own lines and levels.
pub fn alone(lay: &Lay, placed: &Placed) -> Vec<Line> {
    let mut lines: Vec<Line> = cloth(lay).into_iter().map(|line| Line { label: None, ..line }).collect();
    lines.extend(new_lines(&placed.cut(), &[]).into_iter().map(|points| line(LineKind::Cut, points, None)));
    lines.extend(inside(placed));
    lines.extend(levels(lay, placed));
    lines
}

/// The levels of a piece with their widths.
fn levels(lay: &Lay, placed: &Placed) -> Vec<Line> {
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let level = |(name, ends): &(&'static str, [Point<_>; 2])| {
        let label = format!("{name} {}", lay.system.show((ends[1] - ends[0]).length()));
        line(LineKind::Level, ends.iter().map(on_cloth).collect(), Some(label))
    };
    placed.piece.levels.iter().map(level).collect()
}

/// The nicks of a piece; those in the armhole carry its name, since front and back differ there. The name stands at the
/// nick's first point: inside the piece or outside of it.
fn notches(placed: &Placed, named_inside: bool) -> Vec<Line> {
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

fn fold(lay: &Lay) -> Line {
    let end = Point::new(lay.length_mm, 0.0);
    line(LineKind::Fold, vec![Point::new(0.0, 0.0), end], Some("fold".into()))
}

/// A piece's sewing line and grain.
fn inside(placed: &Placed) -> Vec<Line> {
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let sewn = placed.piece.sewn.mapped(&placed.cloth_from_draft);
    let bound = new_lines(&sewn, &[placed.cut()]);
    let mut lines: Vec<Line> = bound.into_iter().map(|points| line(LineKind::Sew, points, None)).collect();
    let grain = placed.piece.grain.iter().map(on_cloth).collect();
    lines.push(line(LineKind::Grain, grain, Some(placed.piece.caption())));
    lines
}
