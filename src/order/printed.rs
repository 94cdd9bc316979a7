//! The print of the cloth: which way up it may be used, how it repeats, where its motifs are, and its border.

use super::{Cloth, Print};
use crate::entries::{Entries, Placed, shown};
use crate::remark::Remark;
use crate::units::{Length, System};

/// What stands for a way in which a print does not repeat, as stripes run through along themselves.
pub const RUNS_THROUGH: &str = "none";

/// Widest border.
const WIDEST_MM: f64 = 1000.0;

/// Reads which way up the print may be used; none when it can't be read.
pub fn print(section: &mut Entries<'_, '_>) -> Option<Print> {
    let Some(text) = section.text("print") else { return Some(Print::AllOver) };
    let found = Print::WORDS.iter().find(|(word, _)| *word == text.value);
    if found.is_none() {
        section.fault(
            "print",
            text.line,
            format!("print = \"{}\" is no way of a print that is known", shown(&text.value)),
            "write print = \"all-over\", or \"one-way\" when it stands on its head if turned",
        );
    }
    found.map(|(_, way)| *way)
}

/// Reads the repeat along and across, none for a way in which the print runs through.
pub fn repeat(section: &mut Entries<'_, '_>) -> [Option<f64>; 2] {
    let Some(read) = section.lengths_or("repeat", RUNS_THROUGH) else { return [None; 2] };
    let sound = |length: &Option<Length>| length.is_none_or(|length| length.mm > 0.0);
    match read.value.as_slice() {
        two @ [along, across] if two.iter().all(sound) && two.iter().any(Option::is_some) => {
            [along, across].map(|length| length.map(|length| length.mm))
        }
        _ => {
            section.fault(
                "repeat",
                read.line,
                "repeat needs two lengths above nought".into(),
                "write repeat = [\"32 cm\", \"64 cm\"], along the selvedge and across; \"none\" for the way in which \
                 stripes run through",
            );
            [None; 2]
        }
    }
}

/// Reads whether every second column is dropped by half a repeat.
pub fn half_drop(section: &mut Entries<'_, '_>, repeat_mm: [Option<f64>; 2]) -> bool {
    let Some(text) = section.text("drop") else { return false };
    if text.value != "half" && text.value != "none" {
        let sentence = format!("drop = \"{}\" is no way of a repeat", shown(&text.value));
        let write = "write drop = \"half\" when every second column of the print is dropped by half a repeat";
        section.fault("drop", text.line, sentence, write);
    }
    let half = text.value == "half";
    if half && repeat_mm.iter().any(Option::is_none) && !section.has_fault_at("repeat") {
        let sentence = "a print of which every second column is dropped repeats both ways".to_owned();
        section.fault("drop", text.line, sentence, "write both lengths of repeat, or leave drop out");
    }
    half
}

/// Reads where the middle of one of its motifs is: from the cut end, and from the near selvedge.
pub fn motif(section: &mut Entries<'_, '_>) -> Option<[f64; 2]> {
    let read = section.lengths("motif")?;
    match read.value.as_slice() {
        [along, across] if along.mm >= 0.0 && across.mm >= 0.0 => Some([along.mm, across.mm]),
        _ => {
            let sentence = "motif needs two lengths from nought on".to_owned();
            let write = "write motif = [\"12 cm\", \"30 cm\"]: the middle of one motif, from the cut end and from the near \
                         selvedge";
            section.fault("motif", read.line, sentence, write);
            None
        }
    }
}

/// Reads how wide a border along the near selvedge is; nought where there is none.
pub fn border(section: &mut Entries<'_, '_>, width: Option<&Placed<Length>>) -> f64 {
    let read =
        super::read::length_within(section, "border", [0.0, WIDEST_MM], "the width of a border along a selvedge");
    let Some(read) = read else { return 0.0 };
    if width.is_some_and(|width| read.value.mm > width.value.mm / 2.0) {
        let sentence = "a border of more than half the cloth leaves none for the pieces".to_owned();
        section.fault("border", read.line, sentence, "write how wide the border at the near selvedge alone is");
    }
    read.value.mm
}

/// Questions a print that does not go with its cloth: one that the cloth does not show once whole.
pub fn beside_cloth(cloth: &Cloth, system: System) -> Vec<Remark> {
    let show = |mm: f64| system.show(mm);
    let [along_mm, across_mm] = cloth.repeat_mm;
    let doubt = |field: &str, says: String, remedy: &str| {
        Remark::doubt(says).field(format!("cloth.{field}")).remedy(remedy.to_owned())
    };
    let longer = along_mm.zip(cloth.length_mm).filter(|(repeat_mm, length_mm)| repeat_mm > length_mm);
    let longer = longer.map(|(repeat_mm, length_mm)| {
        let says = format!("the repeat along, {}, is longer than the cloth, {}", show(repeat_mm), show(length_mm));
        doubt("repeat", says, "look whether along and across were exchanged")
    });
    let wider = across_mm.filter(|repeat_mm| *repeat_mm > cloth.width_mm).map(|repeat_mm| {
        let says = format!("the repeat across, {}, is wider than the cloth, {}", show(repeat_mm), show(cloth.width_mm));
        doubt("repeat", says, "look whether along and across were exchanged")
    });
    let on_cloth = |[along_mm, across_mm]: &[f64; 2]| {
        *across_mm <= cloth.width_mm && cloth.length_mm.is_none_or(|length_mm| *along_mm <= length_mm)
    };
    let off = cloth.motif_mm.filter(|at| !on_cloth(at)).map(|[along_mm, across_mm]| {
        let (along, across) = (show(along_mm), show(across_mm));
        let says = format!("a motif {along} from the cut end and {across} from the near selvedge is not on the cloth");
        doubt("motif", says, "measure the middle of one motif again: from the cut end, from the near selvedge")
    });
    longer.into_iter().chain(wider).chain(off).collect()
}
