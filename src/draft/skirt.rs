//! What all skirts have in common: the waist that they are sewn to, and whether the hip goes through.

use super::block::rules::CENTRE_BACK;
use super::garments::{Drafted, Group};
use super::rules::Rule;
use super::seam::{Part, Seam};
use super::sheet::Sheet;
use super::{Check, NotchPlace, SewnPiece, fitting, passed, tie};
use crate::order::{Cut, Fit, Measure, Pockets, Style, WaistEdge};
use crate::remark::Weight;

pub const WAIST_EASE: Rule = Rule::inches("waist_ease", "ease round the waist of a skirt", 1.0, [0.0, 6.0])
    .after("1/2 to 3/4 in wearing ease, Central Washington University, costume text, chapter 16");
pub const CASING_EASE: Rule =
    Rule::inches("casing_ease", "how much wider than the hip a waist with elastic is", 2.0, [0.0, 30.0]);
const BAND_WIDTH: Rule = Rule::inches("band_width", "finished width of a waistband", 1.25, [0.5, 6.0]);
const BAND_LAP: Rule = Rule::inches("band_lap", "how far a waistband laps over", 1.0, [0.0, 6.0]);
const CASING_WIDTH: Rule = Rule::inches("casing_width", "finished width of a casing for elastic", 1.0, [0.25, 4.0]);
pub const OPENING: Rule = Rule::inches(
    "opening_length",
    "length of a skirt's opening, at the left, or at the centre back where pockets are in the sides",
    7.0,
    [3.0, 14.0],
);
pub const WAIST_ALLOWANCE: Rule =
    Rule::inches("waist_allowance", "turning at the waist", 0.5, [0.0, 2.0]).after("Baldt, Clothing for Women, 1916");
pub const SIDE_ALLOWANCE: Rule = Rule::inches("side_allowance", "turning at the side, to let out", 1.5, [0.0, 4.0])
    .after("Baldt, Clothing for Women, 1916: 1 1/2 in at a skirt's length seams");
pub const HEM_ALLOWANCE: Rule = Rule::inches("hem_allowance", "turning at the hem", 1.0, [0.0, 8.0]);

pub const HIP_EASE: Rule = Rule::inches("hip_ease", "ease in a quarter of the hip", 0.5, [-2.0, 8.0])
    .after("2 to 2 3/4 in round the hip, Central Washington University, costume text, chapter 16");

/// Ease round the waist, and in a quarter of the hip, by the fit that was chosen; none where the house rules hold.
///
/// Close is the wearing ease of a skirt, 1/2 in round the waist and 2 round the hip (Central Washington University, costume
/// text, chapter 16: 1/2 to 3/4, 2 to 2 3/4). The waist of the others stays the house's, since a skirt hangs from it; how
/// much they have at the hip is that of a dress of that fit.
pub fn fit_of(fit: Fit) -> Option<[Rule; 2]> {
    let of = |[waist, hip]: [f64; 2]| [WAIST_EASE.at(waist), HIP_EASE.at(hip)];
    match fit {
        Fit::House => None,
        Fit::Close => Some(of([0.5, 0.5])),
        Fit::Easy => Some(of([1.0, 0.75])),
        Fit::Loose => Some(of([1.0, 2.0])),
    }
}

/// House rules of every skirt.
pub const RULES: Group = Group::always(&[
    &WAIST_EASE,
    &CASING_EASE,
    &BAND_WIDTH,
    &BAND_LAP,
    &CASING_WIDTH,
    &OPENING,
    &WAIST_ALLOWANCE,
    &SIDE_ALLOWANCE,
    &HEM_ALLOWANCE,
]);

/// Girth of the finished waist: that of the body and its ease, or with a casing at least that of the hip; and what the
/// fitting let out.
pub fn waist(sheet: &mut Sheet<'_>) -> f64 {
    let drafted_mm = waist_drafted(sheet);
    fitting::waist(sheet, drafted_mm)
}

fn waist_drafted(sheet: &mut Sheet<'_>) -> f64 {
    let waist_mm = sheet.body_mm(Measure::Waist);
    let hip_mm = sheet.order.body.get(Measure::Hip);
    match (sheet.style().waist, hip_mm) {
        (WaistEdge::Casing, Some(hip_mm)) => {
            let ease_mm = sheet.rule(&CASING_EASE);
            let words = format!("hip {} + {}, held in by elastic", sheet.show(hip_mm), sheet.show(ease_mm));
            sheet.step("waist of the skirt", words, hip_mm.max(waist_mm) + ease_mm)
        }
        _ => {
            let ease_mm = sheet.rule_or(&WAIST_EASE, fit_of(sheet.style().fit).map(|[waist, _]| waist));
            let words = format!("waist {} + {}", sheet.show(waist_mm), sheet.show(ease_mm));
            sheet.step("waist of the skirt", words, waist_mm + ease_mm)
        }
    }
}

/// The seam between the halves of a front.
pub const CENTRE_FRONT: &str = "centre front";

/// Whether the back opens at its centre: in the sides a zip and a pocket would lie over one another, and where a skirt has a
/// seam there that is the place for a zip.
pub fn opens_behind(style: &Style) -> bool {
    style.waist == WaistEdge::Band && (style.pockets == Pockets::InSeam || style.cut != Cut::Fold)
}

/// Whether the waist begins at the centre back, with the left back, and not with the front at the left side.
fn begins_behind(style: &Style) -> bool {
    opens_behind(style) || style.cut == Cut::OnePiece
}

/// The nick of a front or back on the fold where its waist ends at its centre.
pub fn centre_nick(piece: &SewnPiece) -> NotchPlace {
    let meets = if piece.name == "front" { CENTRE_FRONT } else { CENTRE_BACK };
    NotchPlace { edge: "waist", along_mm: piece.length_mm("waist"), nicks: 1, meets }
}

/// What is nicked on a skirt in one piece and on its band, by the share of the waist from the left back on.
pub const ROUND_ONE: [(&str, f64); 3] = [("left side", 0.25), (CENTRE_FRONT, 0.5), ("right side", 0.75)];

/// What a nick at a quarter of a ring of alike panels meets.
pub const QUARTER: &str = "quarter of the way round";

/// How much of the left seam, or of the centre back's, is left open, to get in.
pub fn open_mm(sheet: &Sheet<'_>) -> f64 {
    match sheet.style().waist {
        WaistEdge::Band => sheet.rule(&OPENING),
        WaistEdge::Casing => 0.0,
    }
}

/// Adds the band or casing that the waist is sewn to, and tries the hip. The skirt's edge is longer than its waist by
/// what is gathered in.
pub fn add_waist(sheet: &mut Sheet<'_>, drafted: &mut Drafted, skirt: Vec<Part>, [waist_mm, gathered_mm]: [f64; 2]) {
    let style = sheet.style();
    let (name, finished_mm, lap_mm) = match style.waist {
        WaistEdge::Band => ("waistband", sheet.rule(&BAND_WIDTH), sheet.rule(&BAND_LAP)),
        WaistEdge::Casing => ("casing", sheet.rule(&CASING_WIDTH), 0.0),
    };
    let words = match style.waist {
        WaistEdge::Band => format!("waist {} + lap {}", sheet.show(waist_mm), sheet.show(lap_mm)),
        WaistEdge::Casing => format!("waist {}, joined to a ring", sheet.show(waist_mm)),
    };
    let length_mm = sheet.step("band's length", words, waist_mm + lap_mm);
    let words = format!("2 x finished {}", sheet.show(finished_mm));
    let width_mm = sheet.step("band's width", words, 2.0 * finished_mm);
    let strip = tie::strip([width_mm, length_mm], sheet.rule(&WAIST_ALLOWANCE));
    let notches = notches(&drafted.pieces, &skirt, [waist_mm, lap_mm], begins_behind(style));
    let band = SewnPiece { notches, ..SewnPiece::single(name, strip) };
    let sides = [vec![Part::of(name, "left", 1)], skirt];
    let mut seams = vec![Seam::new("waist", "waist walks", sides).lapped(lap_mm).gathered(gathered_mm)];
    if style.waist == WaistEdge::Casing {
        seams.push(Seam::alike_edges("casing is a ring", "casing", name, ["foot", "head"]));
    }
    drafted.add([band], seams, sheet);
    drafted.checks.push(hip_through(sheet, waist_mm));
}

/// Where front, sides and back meet the band, which begins with the front at the left side, or with the left back at the
/// centre where the skirt is open or closed behind; of alike panels the quarters; and where its lap begins.
fn notches(pieces: &[SewnPiece], skirt: &[Part], [waist_mm, lap_mm]: [f64; 2], behind: bool) -> Vec<NotchPlace> {
    let part_mm = |part: &Part| {
        let piece = pieces.iter().find(|piece| piece.name == part.piece);
        f64::from(part.times) * piece.map_or(0.0, |piece| piece.length_mm(part.edge))
    };
    let front_mm = match skirt {
        [front, back] => waist_mm * part_mm(front) / (part_mm(front) + part_mm(back)),
        _ => waist_mm / 2.0,
    };
    let back_mm = waist_mm - front_mm;
    let places = match (skirt.len(), behind) {
        (2, true) => [
            ("left side seam", back_mm / 2.0),
            (CENTRE_FRONT, waist_mm / 2.0),
            ("right side seam", waist_mm - back_mm / 2.0),
        ],
        (2, false) => {
            [(CENTRE_FRONT, front_mm / 2.0), ("right side seam", front_mm), (CENTRE_BACK, waist_mm - back_mm / 2.0)]
        }
        (_, true) => ROUND_ONE.map(|(meets, share)| (meets, share * waist_mm)),
        (_, false) => [0.25, 0.5, 0.75].map(|share| (QUARTER, share * waist_mm)),
    };
    let lap = (lap_mm > 0.0).then_some(("lap", waist_mm));
    let notch = |(meets, along_mm)| NotchPlace { edge: "left", along_mm, nicks: 1, meets };
    places.into_iter().chain(lap).map(notch).collect()
}

/// Whether the waist goes over the hip, or opens.
fn hip_through(sheet: &Sheet<'_>, waist_mm: f64) -> Check {
    let name = "waist over the hip";
    if sheet.style().waist == WaistEdge::Band {
        let at = if opens_behind(sheet.style()) { "centre back" } else { "left" };
        let says = format!("opens for a zip at the {at}: {} of the seam", sheet.show(open_mm(sheet)));
        return passed(name, says);
    }
    let Some(hip_mm) = sheet.order.body.get(Measure::Hip) else {
        let remedy = Some(format!("measure it, {}, and write hip = \"...\"", Measure::Hip.facts().how));
        let says = "the waist must go over the hip, and the hip was not measured".to_owned();
        return Check { name, ok: false, severity: Weight::Doubt, says, remedy };
    };
    let says = format!("waist {} round, hip {}", sheet.show(waist_mm), sheet.show(hip_mm));
    if waist_mm >= hip_mm {
        return passed(name, format!("{says}: goes over"));
    }
    let remedy = Some("make casing_ease larger, or write waist = \"band\"".to_owned());
    Check { name, ok: false, severity: Weight::Refusal, says, remedy }
}
