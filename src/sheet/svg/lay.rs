//! The lay: the folded cloth as it lies before her, fold at her side, with every piece on it.

use super::{MARGIN_MM, ROW, Svg, corners, curves, in_rows, picture};
use crate::geometry::{Cloth, Curve, Map, Outline, Point, Vector};
use crate::lay::{Lay, Strip, laid_in_rectangle};
use crate::motif::Ground;
use crate::remark::Refusal;
use crate::sheet::laid::{Laid, LaidPiece};
use crate::stages::LineKind;

/// Lines over cloth on which nothing may lie are so far apart, and so wide.
const HATCH_MM: [f64; 2] = [20.0, 0.5];

/// Type is 14 mm: the drawing is metres long, and is also looked at reduced on a screen.
const TYPE_MM: f64 = 14.0;

/// Of a piece's width a caption on one row may take this share.
const FILLED: f64 = 0.6;

/// The drawing: x along the selvedge, y down from the selvedge's far end to the fold.
enum Sheet {}

/// The lay at true size, seen from above.
///
/// The groups are `left-over`, `kept-off` (flaws and the border, hatched), `cloth`, and one a piece; the paths of a piece are `NAME-cutting`, `NAME-sewing-1` ...,
/// `NAME-notch-1` ... and `NAME-grain`. The piece on top has a full cutting line, those below a dashed one.
pub fn lay(lay: &Lay) -> String {
    drawn(&Laid::of(lay), None, "")
}

/// The same on the cloth's print, and with bias strips laid into what is left, as many as there are; the rest of the cloth is
/// drawn open then. The print is the picture `print`.
///
/// # Errors
/// When the print can't be packed.
pub fn lay_on(lay: &Lay, ground: Option<&Ground>, strip: Option<Strip>) -> Result<String, Refusal> {
    let laid = match strip {
        Some(_) => Laid::with_rest(lay, lay.cloth.width_mm),
        None => Laid::of(lay),
    };
    let place_mm = [0.0, laid.far.y - lay.folded_width_mm, lay.length_mm, lay.folded_width_mm];
    let print = ground.map(|ground| picture("print", place_mm, ground)).transpose()?;
    Ok(drawn(&laid, strip, &print.unwrap_or_default()))
}

fn drawn(laid: &Laid, strip: Option<Strip>, ground: &str) -> String {
    let sheet_from_cloth: Map<Cloth, Sheet> = Map::new(1.0, 0.0, 0.0, -1.0, 0.0, laid.far.y);
    let on_sheet = |p: &Point<Cloth>| sheet_from_cloth.transform_point(*p);
    let mut svg = Svg::new(TYPE_MM);
    svg.put(ground);
    svg.open("left-over");
    for (i, left) in laid.left_over.iter().enumerate() {
        let ring: Vec<_> = left.outline.corners.iter().map(on_sheet).collect();
        svg.area(&format!("left-over-{}", i + 1), &ring);
        if let Some(strip) = strip {
            strips(&mut svg, &left.outline, strip, &sheet_from_cloth);
        }
        // The cut end is labelled at the head of a strip.
        let at_head = ring[3].x < TYPE_MM && ring[2].x > 40.0 * TYPE_MM;
        let off = Vector::new(if at_head { 14.0 } else { 1.2 } * TYPE_MM, 2.0 * TYPE_MM);
        svg.plate(&format!("left over: {}", left.caption), ring[3] + off);
    }
    svg.close();
    kept_off(&mut svg, laid, &sheet_from_cloth);
    cloth(&mut svg, laid, &sheet_from_cloth);
    let mut names: Vec<&str> = Vec::new();
    for each in &laid.pieces {
        names.push(each.name);
        let number = names.iter().filter(|name| **name == each.name).count();
        piece(&mut svg, each, number, &sheet_from_cloth);
    }
    let high = Point::<Sheet>::new(laid.far.x, laid.far.y);
    svg.rule(Point::<Sheet>::new(0.0, high.y + MARGIN_MM));
    let margin = Vector::new(MARGIN_MM, MARGIN_MM);
    svg.finish("lay", Point::origin() - margin, high + margin + Vector::new(0.0, 3.0 * TYPE_MM))
}

/// The bias strips that come out of a rectangle: of several alike, out of each as many.
fn strips(svg: &mut Svg, rectangle: &Outline<Cloth>, strip: Strip, sheet_from_cloth: &Map<Cloth, Sheet>) {
    let (low, high) = rectangle.bounds();
    for corners in laid_in_rectangle([high.x - low.x, high.y - low.y], strip) {
        let ring = corners.map(|[x, y]| sheet_from_cloth.transform_point(low + Vector::new(x, y)));
        svg.line("bias-strip", LineKind::Cut, &[ring[0], ring[1], ring[2], ring[3], ring[0]]);
    }
}

/// Where nothing may lie, hatched.
fn kept_off(svg: &mut Svg, laid: &Laid, sheet_from_cloth: &Map<Cloth, Sheet>) {
    svg.open("kept-off");
    for (i, off) in laid.kept_off.iter().enumerate() {
        let on_sheet = |p: &Point<Cloth>| sheet_from_cloth.transform_point(*p);
        let ring: Vec<_> = off.outline.corners.iter().chain(off.outline.corners.first()).map(on_sheet).collect();
        let [apart_mm, width_mm] = HATCH_MM;
        let hatch = off.hatch(apart_mm).into_iter().map(|ends| corners(&ends.map(|p| on_sheet(&p))));
        let d: Vec<String> = std::iter::once(corners(&ring)).chain(hatch).collect();
        svg.thin(&format!("{}-{}", off.name, i + 1), width_mm, &d.join(" "));
        svg.words(off.name, on_sheet(&off.outline.bounds().0) + Vector::new(0.0, 1.2 * TYPE_MM));
    }
    svg.close();
}

fn cloth(svg: &mut Svg, laid: &Laid, sheet_from_cloth: &Map<Cloth, Sheet>) {
    svg.open("cloth");
    for (i, line) in laid.cloth.iter().enumerate() {
        let points: Vec<_> = line.points.iter().map(|p| sheet_from_cloth.transform_point(*p)).collect();
        svg.line(&format!("cloth-{}", i + 1), line.kind, &points);
        let off = match line.kind {
            LineKind::Fold => Vector::new(10.0 * TYPE_MM, 1.4 * TYPE_MM),
            // Off the border, which lies between a selvedge that is folded in and the fold.
            LineKind::Selvedge if line.points[0].y <= 0.0 => Vector::new(10.0 * TYPE_MM, 1.4 * TYPE_MM),
            LineKind::Selvedge => Vector::new(10.0 * TYPE_MM, -0.9 * TYPE_MM),
            _ => Vector::new(1.2 * TYPE_MM, 2.0 * TYPE_MM),
        };
        // A cut end is labelled at the selvedge, where no piece lies.
        let at = if line.kind == LineKind::ClothEnd { points[1] } else { points[0] };
        if let Some(label) = &line.label {
            svg.words(label, at + off);
        }
    }
    svg.close();
}

/// A piece; of several alike all but the first carry their `number`.
fn piece(svg: &mut Svg, piece: &LaidPiece, number: usize, sheet_from_cloth: &Map<Cloth, Sheet>) {
    let on_sheet = |p: &Point<Cloth>| sheet_from_cloth.transform_point(*p);
    let name = &if number > 1 { format!("{}-{number}", piece.name) } else { piece.name.to_owned() };
    svg.open(name);
    for (i, sewn) in piece.sewn.iter().enumerate() {
        let sewn: Curve<Sheet> = sewn.mapped(sheet_from_cloth);
        svg.path(&format!("{name}-sewing-{}", i + 1), LineKind::Sew, &curves(&[&sewn]));
    }
    let cut: Vec<_> = piece.cut.iter().map(on_sheet).collect();
    svg.path(&format!("{name}-cutting"), piece.cut_as, &corners(&cut));
    for (i, (kind, nick)) in piece.notches.iter().enumerate() {
        svg.line(&format!("{name}-notch-{}", i + 1), *kind, &nick.map(|p| on_sheet(&p)));
    }
    for (i, mark) in piece.marks.iter().enumerate() {
        svg.line(&format!("{name}-mark-{}", i + 1), LineKind::Level, &mark.map(|p| on_sheet(&p)));
    }
    let grain = piece.grain.map(|p| on_sheet(&p));
    svg.line(&format!("{name}-grain"), LineKind::Grain, &grain);
    let place = match piece.depth {
        None => "",
        Some(0) => ", on top",
        Some(_) => ", below",
    };
    let caption = format!("{}{place}", piece.caption);
    let across = cut.iter().map(|p| p.x);
    let [low, high] = [across.clone().fold(f64::INFINITY, f64::min), across.fold(f64::NEG_INFINITY, f64::max)];
    let (left, row_mm) = (grain[0].x.min(grain[1].x), 1.6 * piece.depth.unwrap_or(0) as f64);
    let rows = in_rows(&caption, TYPE_MM, FILLED * (high - low));
    let up_mm = TYPE_MM * (1.0 + row_mm + ROW * (rows.len() - 1) as f64);
    let at: Point<Sheet> = Point::new(left + 2.0 * TYPE_MM, grain[0].y - up_mm);
    svg.rows(&rows, at);
    svg.close();
}
