//! Flaws and the border of the cloth, where they lie when it is folded.

use super::Lay;
use super::fold::Fold;
use crate::geometry::{Cloth, Outline, Point};
use crate::order::{self, Flaw};
use crate::remark::Remark;
use crate::units::System;

/// Each flaw on the folded cloth: once for every fold line's side on which a part of it lies.
pub fn folded(flaws: &[Flaw], fold: Fold, width_mm: f64) -> Vec<Outline<Cloth>> {
    flaws.iter().flat_map(|flaw| one(flaw, fold, width_mm)).collect()
}

/// Refuses flaws that lie nowhere on the cloth: where they are a piece may lie.
pub fn off_the_cloth(cloth: &order::Cloth, system: System) -> Vec<Remark> {
    let show = |mm: f64| system.show(mm);
    let is_on = |flaw: &&Flaw| {
        flaw.across_mm <= cloth.width_mm && cloth.length_mm.is_none_or(|length_mm| flaw.along_mm <= length_mm)
    };
    let refused = |flaw: &Flaw| {
        let (along, across) = (show(flaw.along_mm), show(flaw.across_mm));
        Remark::refusal(format!(
            "a flaw {along} from the cut end and {across} from the near selvedge is not on the cloth"
        ))
        .field("cloth.flaws")
        .remedy(format!(
            "measure it again: from the cut end{}, from the near selvedge (the cloth is {} wide), how large",
            cloth.length_mm.map(|mm| format!(" (the cloth is {} long)", show(mm))).unwrap_or_default(),
            show(cloth.width_mm)
        ))
    };
    cloth.flaws.iter().filter(|flaw| !is_on(flaw)).map(refused).collect()
}

impl Lay {
    /// The flaws of the cloth where they lie when it is folded.
    pub fn flaws(&self) -> Vec<Outline<Cloth>> {
        folded(&self.cloth.flaws, self.fold, self.cloth.width_mm)
    }

    /// The border, as far as the lay is long, where it lies when the cloth is folded.
    pub fn border(&self) -> Vec<Outline<Cloth>> {
        rectangles([0.0, self.length_mm], [0.0, self.cloth.border_mm], (self.fold, self.cloth.width_mm))
    }
}

fn one(flaw: &Flaw, fold: Fold, width_mm: f64) -> Vec<Outline<Cloth>> {
    let half_mm = flaw.size_mm / 2.0;
    let around = |mm: f64| [mm - half_mm, mm + half_mm];
    rectangles(around(flaw.along_mm), around(flaw.across_mm), (fold, width_mm))
}

/// A rectangle of the open cloth where it lies when that is folded, in a part for every side of a fold line.
fn rectangles([left, right]: [f64; 2], across_mm: [f64; 2], (fold, width_mm): (Fold, f64)) -> Vec<Outline<Cloth>> {
    let [low, high] = across_mm.map(|mm| mm.clamp(0.0, width_mm));
    let lines = fold.lines_mm(width_mm).into_iter().filter(|line_mm| (low..high).contains(line_mm));
    let ends: Vec<f64> = [low].into_iter().chain(lines).chain([high]).collect();
    let part = |ends: &[f64]| {
        let folded = [ends[0], ends[1]].map(|open_mm| fold.folded_mm(width_mm, open_mm));
        let [near, far] = [folded[0].min(folded[1]), folded[0].max(folded[1])];
        let corners = [(left, near), (right, near), (right, far), (left, far)];
        (far - near > 1e-6).then(|| Outline { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec() })
    };
    ends.windows(2).filter_map(part).collect()
}
