//! Answers on stdout: people's text, and values as JSON in the shapes that the README documents.

use std::fmt::Display;
use std::io::Write;

use serde_json::{Value, json};

use crate::draft::{Draft, Part, Seam};
use crate::finish::Piece;
use crate::geometry::{Outline, Point};
use crate::lay::{Lay, Offer};
use crate::order::Matching;
use crate::remark::{Refusal, Weight};
use crate::sewing::{Step, plan};

/// Writes an answer and a line's end. A reader that has closed its end wants no more, and that is no fault.
pub fn answer(text: impl Display) {
    let _ = writeln!(std::io::stdout().lock(), "{text}");
}

/// Why the work was not done.
pub fn refusal(refusal: &Refusal) -> Value {
    let remarks: Vec<Value> = refusal
        .remarks
        .iter()
        .map(|remark| {
            json!({
                "severity": weight(remark.weight),
                "file": remark.place.file,
                "line": remark.place.line,
                "field": remark.place.field,
                "says": remark.sentence,
                "remedy": remark.remedy,
            })
        })
        .collect();
    json!({"refused": remarks})
}

/// A point.
pub fn point<F>(p: Point<F>) -> Value {
    json!([p.x, p.y])
}

fn outline<F>(outline: &Outline<F>) -> Value {
    outline.corners.iter().map(|p| point(*p)).collect()
}

fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Note => "note",
        Weight::Doubt => "doubt",
        Weight::Refusal => "refusal",
    }
}

fn piece(piece: &Piece, seams: &[Seam]) -> Value {
    let edge = |name: &str, length_mm: f64, allowance_mm: f64, inside: bool| json!({"name": name, "length_mm": length_mm, "allowance_mm": allowance_mm, "inside": inside});
    let around = piece.edges.iter().map(|of| edge(of.name, of.length_mm, of.allowance_mm, false));
    // What is stitched along a line inside of it: seams name that line as they name an edge.
    let is_sewn = |name: &str| {
        let mut parts = seams.iter().flat_map(|seam| seam.sides.iter().flatten());
        piece.edge(name).is_none() && parts.any(|part| part.piece == piece.name && part.edge == name)
    };
    let inside = piece.marks.iter().filter(|(name, _)| is_sewn(name)).filter_map(|(name, [from, to])| {
        let (_, allowance_mm) = piece.stitched(name)?;
        Some(edge(name, (*to - *from).length(), allowance_mm, true))
    });
    let edges: Vec<Value> = around.chain(inside).collect();
    let line = |[from, to]: [Point<_>; 2]| json!([point(from), point(to)]);
    let darts: Vec<Value> = piece
        .darts
        .iter()
        .map(|dart| json!({"edge": dart.edge, "mouth_mm": dart.mouth_mm, "point": point(dart.point)}))
        .collect();
    let marks: Vec<Value> = piece.marks.iter().map(|(name, ends)| json!({"name": name, "ends": line(*ends)})).collect();
    let notches: Vec<Value> = piece
        .notches
        .iter()
        .map(|notch| {
            json!({
                "edge": notch.edge,
                "meets": notch.meets,
                "at": point(notch.sewn_at),
                "nick": line(notch.nick),
                "chalked": notch.chalked,
            })
        })
        .collect();
    json!({
        "name": piece.name,
        "count": piece.count,
        "on_fold": piece.on_fold,
        "paired": piece.paired,
        "sew_outline": outline(&piece.sewn),
        "cut_outline": outline(&piece.cut),
        "edges": edges,
        "notches": notches,
        "darts": darts,
        "marks": marks,
        "grain": line(piece.grain),
    })
}

fn sewing(draft: &Draft, pieces: &[Piece]) -> Vec<Value> {
    let pieces: Vec<&Piece> = pieces.iter().collect();
    let step = |step: &Step| {
        json!({
            "name": step.name,
            "how": step.how.key(),
            "pieces": step.pieces,
            "times": step.times,
            "length_mm": step.length_mm,
            "held_in_mm": step.held_in_mm,
            "gathered": step.gathered,
            "lap_mm": step.lap_mm,
            "open_mm": step.open_mm,
            "turning_mm": step.turning_mm,
            "says": step.says,
        })
    };
    plan(&pieces, &draft.seams, draft.system).iter().map(step).collect()
}

/// A draft with its pieces.
pub fn draft(draft: &Draft, pieces: &[Piece]) -> Value {
    let working: Vec<Value> = draft
        .working
        .iter()
        .map(|step| json!({"name": step.name, "rule": step.rule, "value_mm": step.value_mm}))
        .collect();
    let part = |part: &Part| json!({"piece": part.piece, "edge": part.edge, "times": part.times});
    let side = |side: &Vec<Part>| side.iter().map(part).collect::<Value>();
    let seam = |seam: &Seam| {
        json!({
            "name": seam.name,
            "sides": seam.sides.iter().map(side).collect::<Value>(),
            "ease_mm": seam.longer_mm - seam.lap_mm,
            "gathered": seam.gathered,
            "lap_mm": seam.lap_mm,
            "open_mm": seam.open_mm,
            "pocket_mm": seam.pocket_mm,
        })
    };
    let checks: Vec<Value> = draft
        .checks
        .iter()
        .map(|check| {
            json!({
                "name": check.name,
                "ok": check.ok,
                "severity": weight(check.severity),
                "says": check.says,
                "remedy": check.remedy,
            })
        })
        .collect();
    json!({
        "kind": draft.kind.key(),
        "pieces": pieces.iter().map(|of| piece(of, &draft.seams)).collect::<Vec<_>>(),
        "seams": draft.seams.iter().map(seam).collect::<Value>(),
        "working": working,
        "checks": checks,
        "sewing": sewing(draft, pieces),
    })
}

/// A lay.
pub fn lay(lay: &Lay) -> Value {
    let placed: Vec<Value> = lay
        .placed
        .iter()
        .map(|placed| {
            let at = placed.cloth_from_draft.transform_point(Point::origin());
            json!({
                "piece": placed.piece.name,
                "whose": placed.whose,
                "at": point(at),
                "turned": placed.turned,
                "mirrored": placed.mirrored,
                "shift_mm": placed.shift_mm.x,
                "of": placed.of,
                "layers": placed.layers,
                "gives": placed.gives,
                "cut_outline": outline(&placed.cut()),
            })
        })
        .collect();
    let weighed: Vec<Value> = lay
        .weighed
        .iter()
        .map(|weighed| json!({"fold": weighed.fold.says(), "bound_mm": weighed.bound_mm, "used_mm": weighed.used_mm}))
        .collect();
    let left: Vec<Value> = lay
        .left_over
        .iter()
        .map(|left| {
            let at = left.at.map(point);
            json!({"along_mm": left.along_mm, "across_mm": left.across_mm, "count": left.count, "at": at})
        })
        .collect();
    let ruled_out: Vec<Value> =
        lay.ruled_out.iter().map(|out| json!({"fold": out.kind.says(), "says": out.why})).collect();
    json!({
        "cloth_used_mm": lay.used_mm,
        "cloth_to_buy_mm": lay.system.cut_from_bolt_mm(lay.to_buy_mm()),
        "meets": meets(lay),
        "motif": motif(lay),
        "unpinned_mm": lay.unpinned_mm,
        "cloth_length_mm": lay.cloth.length_mm,
        "cloth_width_mm": lay.cloth.width_mm,
        "use": lay.used_share(),
        "fold": {
            "says": lay.fold.says(),
            "lengths": lay.lengths,
            "length_mm": lay.length_mm,
            "folded_width_mm": lay.folded_width_mm,
            "lines_mm": lay.fold.lines_mm(lay.cloth.width_mm),
        },
        "layers": lay.layers,
        "placed": placed,
        "left_over": left,
        "weighed": weighed,
        "ruled_out": ruled_out,
    })
}

/// Which way the print meets, where, and what the lay would spend if it did not; null where nothing must meet.
fn meets(lay: &Lay) -> Value {
    if lay.meets.way == Matching::None {
        return Value::Null;
    }
    json!({"way": lay.meets.way.word(), "at": lay.meets.names(), "plain_mm": lay.plain_mm()})
}

/// Where motifs land, what the lay would spend if the print were begun at its best, and if nothing had to land; null where
/// nothing must.
fn motif(lay: &Lay) -> Value {
    if lay.meets.landings.is_empty() {
        return Value::Null;
    }
    let lands: Vec<Value> = lay.landed().map(|(place, pieces)| json!({"place": place, "pieces": pieces})).collect();
    let best = lay.meets.best_start.map(|best| json!({"used_mm": best.used_mm, "motif_mm": best.motif_mm}));
    json!({"lands": lands, "best_start": best, "plain_mm": lay.plain_mm()})
}

/// What to buy at a width.
pub fn offer(offer: &Offer) -> Value {
    match &offer.bought {
        Ok(bought) => json!({
            "width_mm": offer.width_mm,
            "lengths": bought.lengths,
            "plain_mm": bought.plain_mm,
            "needed_mm": bought.needed_mm,
            "cut_mm": bought.cut_mm,
            "price": bought.price,
        }),
        Err(no) => json!({"width_mm": offer.width_mm, "no": no.sentence}),
    }
}
