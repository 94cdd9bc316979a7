//! From a stage to a scene: every line in its form, every label in its place, the sentence at the person's side.

use super::form::{drawn, form};
use super::label::{labels, light_within};
use super::{Fill, Light, Marks, Scene, Stroke, View, Way, proof, text};
use crate::geometry::{Cloth, Point};
use crate::stages::reach::Window;
use crate::stages::{LineKind, Stage};

/// Composes the scene of a stage.
pub fn compose(stage: &Stage, number: usize, view: &View) -> Scene {
    let proof = stage.proof.then(|| proof_of(stage, view));
    compose_saying(stage, proof, &format!("{number}  {}", stage.sentence), view)
}

/// The proof on the cloth of a stage, for as much of it as is lit.
pub fn proof_of(stage: &Stage, view: &View) -> Marks<Cloth> {
    proof_on(lit(stage, view), view)
}

/// How long the rule and the diagonal of that proof are.
pub fn proof_lengths_mm(stage: &Stage, view: &View) -> [f64; 2] {
    let size_mm = lit(stage, view).size_mm();
    proof::lengths_mm([size_mm.x, size_mm.y], view.system)
}

/// As much of a stage's cloth as is lit.
fn lit(stage: &Stage, view: &View) -> Window {
    let points = stage.lines.iter().flat_map(|line| &line.points);
    let high = points.fold(Point::<Cloth>::origin(), |high, p| high.max(*p));
    view.lit_cloth(high)
}

/// The proof on a part of the cloth.
pub fn proof_on(window: Window, view: &View) -> Marks<Cloth> {
    proof::proof(window, view, light_within(view))
}

/// Composes the scene of a stage with marks added on the cloth and another sentence.
pub fn compose_saying(stage: &Stage, added: Option<Marks<Cloth>>, says: &str, view: &View) -> Scene {
    let mut on_cloth = Marks::default();
    if view.way == Way::LitShape {
        on_cloth.fills.push(Fill { rings: vec![stage.shape.corners.clone()], light: view.light });
    }
    for outline in &stage.whole {
        on_cloth.fills.push(Fill { rings: vec![outline.corners.clone()], light: view.whole() });
    }
    for line in stage.lines.iter().filter(|line| !view.hidden.hides(line)) {
        let Some(light) = light_of(line.kind, view) else { continue };
        let form = form(line.kind);
        let strokes = drawn(&line.points, &form).into_iter();
        on_cloth.strokes.extend(strokes.map(|points| Stroke { points, closed: false, width_mm: form.width_mm, light }));
    }
    on_cloth.letters = labels(stage, view);
    if let Some(added) = added {
        on_cloth.add(added);
    }
    let on_table = Marks { letters: text::sentence(says, view), ..Marks::default() };
    Scene { ground: view.ground(), on_cloth, on_table }
}

/// A scene of nothing but text.
pub fn page(paragraphs: &[String], view: &View) -> Scene {
    let on_table = Marks { letters: text::page(paragraphs, view), ..Marks::default() };
    Scene { ground: view.ground(), on_cloth: Marks::default(), on_table }
}

/// The light of a line; none where the edge of a lit shape takes its place.
fn light_of(kind: LineKind, view: &View) -> Option<Light> {
    match (view.way, kind) {
        (Way::LightOnDark | Way::DarkOnLit, _) => Some(view.line()),
        (Way::LitShape, LineKind::Cut) => None,
        (Way::LitShape, LineKind::Fold | LineKind::Selvedge | LineKind::ClothEnd) => Some(view.line()),
        (Way::LitShape, _) => Some(light_within(view)),
    }
}
