//! The kaftan: front and back from one rectangle each, nothing curved but the neck; the side seams are stitched inside
//! the edge, from under the arm to the hem, and what is left outside of them falls as sleeve and drape.
//!
//! Front and back are joined at a straight shoulder, so that both stand the right way up in a one-way print.

use super::garments::{Drafted, Garment, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::trial::{self, Ease};
use super::{Check, NotchPlace, SewnEdge, SewnPiece, at, bias, facing, fault, fitting, neck, tie};
use crate::geometry::{Curve, Draft as Frame, Point, Vector};
use crate::order::{Edges, Kind, Measure, Neckline};
use crate::remark::Refusal;

use super::block::rules::{
    BACK_NECK_DEPTH, FACED_ALLOWANCE, FRONT_NECK_DEPTH, HEM_ALLOWANCE, NECK_ALLOWANCE, NECK_HALF_WIDTH,
    SHOULDER_ALLOWANCE, SLIT_DEPTH, SLIT_RULES, faced, turning,
};

const SIDE_EASE: Rule = Rule::inches(
    "side_ease",
    "side seam beyond a quarter of the bust, or of the hip where that is larger",
    2.0,
    [0.0, 12.0],
)
.after("Baldt, Clothing for Women, 1916, fig. 60: bust / 4 + 2");
const ARM_DROP: Rule = Rule::inches("arm_drop", "opening for the arm beyond half its girth", 4.0, [1.0, 16.0]);
const ARM_DEPTH: Rule = Rule::inches(
    "arm_depth",
    "where the side seam begins below the shoulder, where no arm was measured",
    10.0,
    [5.0, 24.0],
)
.after("lesson on a bubu gown, 2017: 10 in");
const SPREAD: Rule = Rule::inches("spread", "from the centre to the outer edge", 21.0, [8.0, 60.0])
    .after("lesson on a bubu gown, 2017: sleeve 20 and 1 in");
const EDGE_ALLOWANCE: Rule = Rule::inches("edge_allowance", "turning at the outer edge", 0.0, [0.0, 3.0]);
const LEAST_EASE: Rule = Rule::inches("least_hip_ease", "least ease round bust and hip", 4.0, [0.0, 24.0]);

const OWN_NECK: Rule = NECK_HALF_WIDTH.at(4.5).after(BALDT);
const OWN_FRONT: Rule = FRONT_NECK_DEPTH.at(5.5).after(BALDT);
const OWN_BACK: Rule = BACK_NECK_DEPTH.at(3.5).after(BALDT);
const BALDT: &str = "Baldt, Clothing for Women, 1916: 4 to 5 across, 3 to 4 behind, 5 to 6 in front";

const OWN: &[&Rule] = &[
    &SIDE_EASE,
    &ARM_DROP,
    &ARM_DEPTH,
    &SPREAD,
    &EDGE_ALLOWANCE,
    &LEAST_EASE,
    &OWN_NECK,
    &OWN_FRONT,
    &OWN_BACK,
    &HEM_ALLOWANCE,
    &SHOULDER_ALLOWANCE,
    &NECK_ALLOWANCE,
    &FACED_ALLOWANCE,
];

/// The gown.
pub const GARMENT: Garment = Garment {
    kind: Kind::Kaftan,
    rules: &[Group::always(OWN), SLIT_RULES, facing::RULES, bias::RULES, tie::RULES],
    fitting: fitting::OF_GOWN,
    draft,
};

/// Between the outer edge and the side seam there must be something to fall.
const LEAST_DRAPE_MM: f64 = 20.0;

/// The line that the sides are stitched along, inside of the edge.
const SIDE: &str = "side seam";

/// What is worked out for it.
struct Points {
    neck: Point<Frame>,
    depths_mm: [f64; 2],
    slit_mm: f64,
    side_x: f64,
    arm_y: f64,
    spread: f64,
}

fn draft(sheet: &mut Sheet<'_>) -> Result<Drafted, Refusal> {
    let points = points(sheet)?;
    let style = sheet.style();
    let shoulder = Vector::new(1.0, 0.0);
    let [front_depth, back_depth] = points.depths_mm;
    let neck_mm = turning(sheet, &NECK_ALLOWANCE, faced(style));
    if let Some(no) = fitting::too_round(sheet, (points.neck, shoulder), [back_depth, neck_mm]) {
        return Err(Refusal::because(no));
    }
    let front_neck = neck::front(style.neckline, points.neck, shoulder, front_depth);
    let back_neck = neck::neckline(points.neck, shoulder, back_depth);
    let pieces =
        [piece(sheet, "front", (front_neck, points.slit_mm), &points), piece(sheet, "back", (back_neck, 0.0), &points)];
    let neckline_mm = 2.0 * pieces.iter().map(|piece| piece.length_mm("neck") + piece.length_mm("slit")).sum::<f64>();
    sheet.step("neckline", "measured round front and back".into(), neckline_mm);
    let spread = points.spread + sheet.rule(&EDGE_ALLOWANCE);
    let fold_width_mm = sheet.step("fold width", "spread with its turning".into(), spread);
    let mut drafted = Drafted::on_fold_of(fold_width_mm);
    drafted.checks.push(head(sheet, neckline_mm));
    drafted.checks.extend((style.edges == Edges::AllInOne).then(|| {
        let says = "a gown has no armholes to be faced in one with its neck: the neck's facing is drafted alone";
        super::passed("faced in one", says.to_owned())
    }));
    drafted.checks.extend(eases(sheet, 4.0 * points.side_x));
    let seams = vec![
        Seam::alike("shoulder seams walk", "shoulder", ["front", "back"]),
        Seam::new("side", "side seams walk", ["front", "back"].map(|piece| vec![Part::of(piece, SIDE, 1)])),
    ];
    drafted.add(pieces, seams, sheet);
    match style.edges {
        Edges::Plain => {}
        Edges::Bias => bias::add(sheet, &mut drafted),
        Edges::Facing | Edges::AllInOne => facing::add(sheet, &mut drafted, false)?,
    }
    tie::add(sheet, &mut drafted);
    Ok(drafted)
}

/// Every point, from the start line down.
fn points(s: &mut Sheet<'_>) -> Result<Points, Refusal> {
    let [half_width, front, back] = neck::sizes(s);
    let neck_x = s.step("neck half width", "set, along the start line".into(), half_width);
    let front = s.step("front neck depth", "set".into(), front);
    let back = s.step("back neck depth", "set".into(), back);
    let back = fitting::back_neck(s, back);
    let slit_mm = match s.style().neckline {
        Neckline::Slit => s.set("front slit", "set, down from the neck", &SLIT_DEPTH),
        _ => 0.0,
    };
    let [bust_mm, hip_mm] = [Measure::Bust, Measure::Hip].map(|measure| s.body_mm(measure));
    // The book's gown flares below the arm; a straight side has to clear the hip as well.
    let (of, girth_mm) = if hip_mm > bust_mm { ("hip", hip_mm) } else { ("bust", bust_mm) };
    let ease_mm = s.rule(&SIDE_EASE);
    let let_out_mm = fitting::let_out_where(s, "the sides are stitched so much nearer to the outer edge");
    let words = format!("{of} {} / 4 + {}{}", s.show(girth_mm), s.show(ease_mm), fitting::also(s, let_out_mm));
    let side_x = s.step("side seam", words, girth_mm / 4.0 + ease_mm + let_out_mm);
    let arm_y = match s.order.body.get(Measure::UpperArm) {
        Some(arm_mm) => {
            let drop_mm = s.rule(&ARM_DROP);
            let words = format!("upper arm {} / 2 + {}", s.show(arm_mm), s.show(drop_mm));
            s.step("opening for the arm", words, arm_mm / 2.0 + drop_mm)
        }
        None => s.set("opening for the arm", "set, from the shoulder", &ARM_DEPTH),
    };
    let spread = s.set("spread", "set, from the centre to the outer edge", &SPREAD);
    let length_mm = s.length_mm();
    if spread < side_x + LEAST_DRAPE_MM {
        let says = format!(
            "the side seam, {} from the centre, lies at or outside the edge at {}",
            s.show(side_x),
            s.show(spread)
        );
        return Err(Refusal::because(fault(
            "rules.spread",
            says,
            "make spread larger; the cloth must be twice as wide",
        )));
    }
    if arm_y >= length_mm || front + slit_mm >= length_mm {
        let says = format!("a gown {} long ends above its neck or its arms", s.show(length_mm));
        return Err(Refusal::because(fault(
            "garment.length",
            says,
            "measure from the shoulder at the neck to the hem",
        )));
    }
    Ok(Points { neck: at(neck_x, 0.0), depths_mm: [front, back], slit_mm, side_x, arm_y, spread })
}

fn piece(sheet: &Sheet<'_>, name: &'static str, (neck, slit_mm): (Curve<Frame>, f64), points: &Points) -> SewnPiece {
    let Points { side_x, arm_y, spread, .. } = *points;
    let length_mm = sheet.length_mm();
    let (top, slit_end) = (neck.end(), at(0.0, neck.end().y + slit_mm));
    let [foot, corner, shoulder] = [at(0.0, length_mm), at(spread, length_mm), at(spread, 0.0)];
    let neck_mm = turning(sheet, &NECK_ALLOWANCE, faced(sheet.style()));
    let mut edges = vec![
        SewnEdge::new("fold", Curve::line(slit_end, foot), 0.0),
        SewnEdge::new("hem", Curve::line(foot, corner), sheet.rule(&HEM_ALLOWANCE)),
        SewnEdge::new("edge", Curve::line(corner, shoulder), sheet.rule(&EDGE_ALLOWANCE)),
        SewnEdge::new("shoulder", Curve::line(shoulder, points.neck), sheet.rule(&SHOULDER_ALLOWANCE)),
        SewnEdge::new("neck", neck, neck_mm),
    ];
    let notch = |edge, along_mm, meets| NotchPlace { edge, along_mm, nicks: 1, meets };
    let mut notches = vec![notch("hem", side_x, "side seam"), notch("edge", length_mm - arm_y, "top of the side seam")];
    if slit_mm > 0.0 {
        edges.push(SewnEdge::new("slit", Curve::line(top, slit_end), 0.0));
        notches.push(NotchPlace { edge: "slit", along_mm: slit_mm, nicks: 1, meets: "end of the slit" });
    }
    let marks = vec![(SIDE, [at(side_x, arm_y), at(side_x, length_mm)])];
    SewnPiece { marks, notches, ..SewnPiece::on_fold(name, edges) }
}

/// Whether the head goes through.
fn head(sheet: &Sheet<'_>, neckline_mm: f64) -> Check {
    let remedy = |_| "deepen the front (front_neck_depth), or write neckline = \"slit\"".to_owned();
    trial::head(&sheet.order.body, sheet.order.system, neckline_mm, remedy)
}

/// Ease between the side seams, at bust and hip.
fn eases(sheet: &Sheet<'_>, girth_mm: f64) -> Vec<Check> {
    let ease = |(name, measure): (&'static str, Measure)| {
        let girths_mm = [sheet.body_mm(measure), girth_mm];
        let ease = Ease { name, measure, worn: "gown", girths_mm, least_mm: sheet.rule(&LEAST_EASE) };
        ease.check(sheet.order.system, |more| format!("set the side seam {more} farther out (side_ease)"))
    };
    [("ease at bust", Measure::Bust), ("ease at hip", Measure::Hip)].map(ease).to_vec()
}
