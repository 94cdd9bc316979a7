//! From a stage to a scene: every line in its form, every label in its place, the sentence at the person's side.

use super::form::{drawn, form};
use super::label::{labels, light_within};
use super::sentence::{Straight, sentence};
use super::{Fill, Light, Marks, Scene, Stroke, View, Way, proof, text};
use crate::geometry::{Cloth, Point};
use crate::stages::reach::Window;
use crate::stages::{Line, LineKind, Stage};

/// Lines on the very edge of the lit cloth are thrown.
const EDGE_MM: f64 = 1.0;

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
    let lines = lit_lines(stage, view);
    for (kind, points) in &lines {
        let Some(light) = light_of(*kind, view) else { continue };
        let form = form(*kind);
        let strokes = drawn(points, &form).into_iter();
        on_cloth.strokes.extend(strokes.map(|points| Stroke { points, closed: false, width_mm: form.width_mm, light }));
    }
    on_cloth.letters = labels(stage, view);
    let mut cut_along = cut_along(stage, &lines, view);
    if let Some(added) = added {
        let strokes = added.strokes.iter().flat_map(|stroke| stroke.points.windows(2));
        cut_along.extend(strokes.map(|side| (side[0], side[1])));
        on_cloth.add(added);
    }
    let on_table = Marks { letters: sentence(says, view, (&on_cloth, &cut_along)), ..Marks::default() };
    Scene { ground: view.ground(), on_cloth, on_table }
}

/// The lines of a stage that are not hidden, as far as the part of the cloth that is lit: what lies beyond it is thrown in
/// another reach, and here it would only cross the sentence's band.
fn lit_lines(stage: &Stage, view: &View) -> Vec<(LineKind, Vec<Point<Cloth>>)> {
    let lit = view.window.map(|window| window.less(-EDGE_MM));
    let parts = |line: &Line| lit.map_or_else(|| vec![line.points.clone()], |lit| lit.parts_of(&line.points));
    let seen = stage.lines.iter().filter(|line| !view.hidden.hides(line));
    seen.flat_map(|line| parts(line).into_iter().map(move |points| (line.kind, points))).collect()
}

/// What the sentence may never cover: every line that is cut, chalked or nicked, without the gaps of its dashes, and the
/// edges of what is lit.
fn cut_along(stage: &Stage, lines: &[(LineKind, Vec<Point<Cloth>>)], view: &View) -> Vec<Straight> {
    let kinds = [LineKind::Cut, LineKind::CutLater, LineKind::Notch, LineKind::Chalk];
    let cut = lines.iter().filter(|(kind, _)| kinds.contains(kind));
    let mut sides: Vec<Straight> =
        cut.flat_map(|(_, points)| points.windows(2).map(|side| (side[0], side[1]))).collect();
    if view.way == Way::LitShape {
        sides.extend(stage.shape.sides());
        sides.extend(stage.whole.iter().flat_map(|outline| outline.sides()));
    }
    sides
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
        (Way::LitShape, LineKind::Fold | LineKind::Selvedge | LineKind::ClothEnd | LineKind::LayEnd) => {
            Some(view.line())
        }
        (Way::LitShape, _) => Some(light_within(view)),
    }
}
