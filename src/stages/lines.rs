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
        line(LineKind::Fold, vec![p(0.0, 0.0), p(along, 0.0)], Some(format!("fold {}", show(along)))),
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

/// Sewing lines, notches and levels of the piece that still lies there, with its caption on the grain.
pub fn marking(lay: &Lay) -> Vec<Line> {
    let mut lines = vec![fold(lay)];
    let Some(placed) = lay.placed.last() else { return lines };
    lines.extend(new_lines(&placed.cut(), &[]).into_iter().map(|points| line(LineKind::CutLater, points, None)));
    lines.extend(inside(placed));
    let on_cloth = |p: &Point<_>| placed.cloth_from_draft.transform_point(*p);
    let notches = placed.piece.notches.iter();
    lines.extend(notches.map(|notch| line(LineKind::Notch, notch.nick.iter().map(on_cloth).collect(), None)));
    let levels = placed.piece.levels.iter();
    lines.extend(
        levels.map(|(name, ends)| line(LineKind::Level, ends.iter().map(on_cloth).collect(), Some((*name).to_owned()))),
    );
    lines
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
