//! The tiered skirt: rectangles one below the other, each gathered to the one above it.

use super::garments::{Drafted, Garment, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::skirt::{HEM_ALLOWANCE, SIDE_ALLOWANCE, WAIST_ALLOWANCE};
use super::{NotchPlace, SewnEdge, SewnPiece, at, fault, fitting, skirt};
use crate::geometry::Curve;
use crate::order::{Kind, Measure, WaistEdge};
use crate::remark::Refusal;

const TIERS: Rule = Rule::number("tiers", "how many tiers, from 1 to 4", 3.0, [1.0, 4.0]);
const GATHER: Rule = Rule::number("gather", "width of a tier, of the edge that it is gathered to", 1.5, [1.0, 3.0]);
const TOP_GATHER: Rule =
    Rule::number("top_gather", "width of the first tier, of the waist, no less than the hip", 1.5, [1.0, 3.0]);
const TIER_ALLOWANCE: Rule = Rule::inches("tier_allowance", "turning between tiers", 0.5, [0.0, 2.0]);
const HIP_ROOM: Rule = Rule::inches("hip_room", "ease of the first tier round the hip", 4.0, [0.0, 30.0]);
const PANEL_WIDTH: Rule =
    Rule::inches("panel_width", "widest panel, where the cloth's width is not known", 42.0, [10.0, 120.0]);

const OWN: &[&Rule] = &[&TIERS, &GATHER, &TOP_GATHER, &TIER_ALLOWANCE, &HIP_ROOM, &PANEL_WIDTH, &OWN_SIDE];

/// Gathers hide what would be let out.
const OWN_SIDE: Rule = SIDE_ALLOWANCE.at(0.5);

/// The skirt.
pub const GARMENT: Garment = Garment {
    kind: Kind::TieredSkirt,
    rules: &[Group::always(OWN), skirt::RULES],
    fitting: fitting::OF_FREE_SKIRT,
    draft,
};

/// The tiers from the top down, by how many there are; each with the names of the checks of its panels and its gathers.
const NAMES: [&[[&str; 3]]; 4] = [
    &[["tier", "panels walk", ""]],
    &[UPPER, LOWER],
    &[UPPER, ["middle tier", "middle tier's panels walk", "middle tier gathers"], LOWER],
    &[
        ["first tier", "first tier's panels walk", ""],
        ["second tier", "second tier's panels walk", "second tier gathers"],
        ["third tier", "third tier's panels walk", "third tier gathers"],
        ["fourth tier", "fourth tier's panels walk", "fourth tier gathers"],
    ],
];
const UPPER: [&str; 3] = ["upper tier", "upper tier's panels walk", ""];
const LOWER: [&str; 3] = ["lower tier", "lower tier's panels walk", "lower tier gathers"];

/// A tier lower than this can't be gathered evenly.
const LEAST_TIER_MM: f64 = 60.0;

fn draft(sheet: &mut Sheet<'_>) -> Result<Drafted, Refusal> {
    let waist_mm = skirt::waist(sheet);
    let names = NAMES[(sheet.rule(&TIERS).round() as usize).clamp(1, NAMES.len()) - 1];
    let count = names.len() as f64;
    let words = format!("length {} / {count}", sheet.show(sheet.length_mm()));
    let depth_mm = sheet.step("depth of a tier", words, sheet.length_mm() / count);
    if depth_mm < LEAST_TIER_MM {
        let says = format!("{count} tiers in this length are only {} deep each", sheet.show(depth_mm));
        return Err(Refusal::because(fault("rules.tiers", says, "take fewer tiers, or a longer skirt")));
    }
    let panel_mm = panel(sheet);
    let mut drafted = Drafted::on_fold_of(panel_mm / 2.0);
    let mut width_mm = first_width(sheet, waist_mm);
    let mut above: Option<Part> = None;
    for (i, [name, panels_walk, gather]) in names.iter().copied().enumerate() {
        let narrower_mm = width_mm;
        if above.is_some() {
            let share = sheet.rule(&GATHER);
            let words = format!("{share} x the tier above, {}", sheet.show(width_mm));
            width_mm = sheet.step(name, words, width_mm * share);
        }
        let panels = (width_mm / panel_mm).ceil().max(2.0);
        let words = format!("{} in {panels} panels", sheet.show(width_mm));
        let each_mm = sheet.step("width of a panel", words, width_mm / panels);
        let piece = tier(sheet, name, [each_mm, depth_mm], [i == 0, i + 1 == names.len()]);
        let panels = panels as u32;
        let piece = quartered(SewnPiece { count: panels, ..piece });
        let ring = Seam::alike_edges(panels_walk, "panels", name, ["left", "right"]);
        // She gets in through the first tier.
        let ring = if i == 0 { ring.open(skirt::open_mm(sheet).min(depth_mm)) } else { ring };
        let gathers = |above| {
            let sides = [vec![above], vec![Part::of(name, "head", panels)]];
            Seam::new(name, gather, sides).gathered(width_mm - narrower_mm)
        };
        let seams = [ring].into_iter().chain(above.map(gathers)).collect();
        drafted.add([piece], seams, sheet);
        above = Some(Part::of(name, "foot", panels));
    }
    let head = Part::of(drafted.pieces[0].name, "head", drafted.pieces[0].count);
    let gathered_mm = first_mm(&drafted) - waist_mm;
    skirt::add_waist(sheet, &mut drafted, vec![head], [waist_mm, gathered_mm]);
    Ok(drafted)
}

/// Width of the first tier, all panels together.
fn first_mm(drafted: &Drafted) -> f64 {
    f64::from(drafted.pieces[0].count) * drafted.pieces[0].length_mm("head")
}

/// How wide a panel may be: the cloth less the turnings of two side seams.
fn panel(sheet: &mut Sheet<'_>) -> f64 {
    let side_mm = sheet.rule(&SIDE_ALLOWANCE);
    match &sheet.order.cloth {
        Some(cloth) => {
            let words = format!("cloth {} - 2 x side allowance {}", sheet.show(cloth.width_mm), sheet.show(side_mm));
            sheet.step("widest panel", words, cloth.width_mm - 2.0 * side_mm)
        }
        None => sheet.set("widest panel", "set, since the cloth's width is not known", &PANEL_WIDTH),
    }
}

/// Width of the first tier: gathered to a band and wide enough for the hip, or as wide as the casing.
fn first_width(sheet: &mut Sheet<'_>, waist_mm: f64) -> f64 {
    if sheet.style().waist == WaistEdge::Casing {
        return sheet.step("first tier", "as wide as the waist, which the elastic holds in".into(), waist_mm);
    }
    let (gather, room_mm) = (sheet.rule(&TOP_GATHER), sheet.rule(&HIP_ROOM));
    let hip_mm = sheet.body_mm(Measure::Hip);
    let [waist, hip, room] = [waist_mm, hip_mm, room_mm].map(|mm| sheet.show(mm));
    let words = format!("the larger of {gather} x waist {waist} and hip {hip} + {room}");
    sheet.step("first tier", words, (gather * waist_mm).max(hip_mm + room_mm))
}

/// Nicks a panel wherever a quarter of its whole ring falls on one of them, so that gathers are spread alike; the seams are
/// the quarters else. All panels are alike, so that those of an odd number have nicks at their own quarters.
fn quartered(piece: SewnPiece) -> SewnPiece {
    let shares: &[f64] = match piece.count {
        count if count.is_multiple_of(4) => &[],
        count if count.is_multiple_of(2) => &[0.5],
        _ => &[0.25, 0.5, 0.75],
    };
    let edges = ["head", "foot"].into_iter().filter(|edge| piece.edge(edge).is_some());
    let nick = |edge: &'static str, share: f64| NotchPlace {
        edge,
        along_mm: share * piece.length_mm(edge),
        nicks: 1,
        meets: skirt::QUARTER,
    };
    let notches = edges.flat_map(|edge| shares.iter().map(move |share| (edge, *share)));
    let notches = notches.map(|(edge, share)| nick(edge, share)).collect();
    SewnPiece { notches, ..piece }
}

/// One panel of a tier.
fn tier(sheet: &Sheet<'_>, name: &'static str, [width_mm, depth_mm]: [f64; 2], [first, last]: [bool; 2]) -> SewnPiece {
    let corners = [(0.0, 0.0), (0.0, depth_mm), (width_mm, depth_mm), (width_mm, 0.0)].map(|(x, y)| at(x, y));
    let line = |i: usize| Curve::line(corners[i], corners[(i + 1) % 4]);
    let head = if first { &WAIST_ALLOWANCE } else { &TIER_ALLOWANCE };
    let (foot_name, foot) = if last { ("hem", &HEM_ALLOWANCE) } else { ("foot", &TIER_ALLOWANCE) };
    let side_mm = sheet.rule(&SIDE_ALLOWANCE);
    let edges = vec![
        SewnEdge::new("left", line(0), side_mm),
        SewnEdge::new(foot_name, line(1), sheet.rule(foot)),
        SewnEdge::new("right", line(2), side_mm),
        SewnEdge::new("head", line(3), sheet.rule(head)),
    ];
    SewnPiece::single(name, edges)
}
