//! The order file, section by section: what each key means, what may be left out, and what is refused.

use super::asked::asked;
use super::looks::{colours, lamps};
use super::measures::{MEASURES, Measure};
use super::photo::photo;
use super::price::price;
use super::shrinkage::shrinkage;
use super::sizes::from_size;
use super::style::{self, style};
use super::{Body, Client, Cloth, Fit, Flaw, Garment, KINDS, Kind, Order, Wash, belief, printed};
use crate::entries::other::{ORDER, another};
use crate::entries::{Entries, Placed, Source, nearest, shown};
use crate::remark::{Refusal, Remark, Told, told};
use crate::units::{Length, System};

/// Thickness taken for one layer of printed cotton when the file says nothing (common practice, no source).
const LAYER_MM: f64 = 0.35;

/// Lengths that stay below this are shown one step finer.
const FINE_MM: f64 = 50.0;

/// Reads an order file.
///
/// # Errors
/// Every fault of the file at once, each with its line, its field and what to write.
pub fn read(text: &str) -> Told<Order> {
    if let Some(remark) = another(text, ORDER) {
        return Err(Refusal::because(remark));
    }
    let source = Source::new(text);
    let mut file = source.entries();
    let mut remarks = Vec::new();
    let client = file.section("client").map(client).unwrap_or_default();
    let garment = garment(&mut file, &source);
    // Of a kind that is not known it is not known either what it asks of the body.
    let of_no_kind = if file.has_fault_at("garment.kind") { &[] } else { Kind::ALineDress.needs() };
    let needs = garment.map_or_else(|| of_no_kind.to_vec(), |(garment, _)| garment.needs());
    let (body, mut systems) = body(&mut file, &needs, &source, &mut remarks);
    let rules = file.section("rules").map(|mut rules| rules.amounts().into_iter().collect()).unwrap_or_default();
    let fitting = file.section("fitting").map(|mut found| found.amounts().into_iter().collect()).unwrap_or_default();
    let cloth = file.section("cloth").and_then(|section| cloth(section, &mut remarks));
    let lay = file.section("lay").map(|section| asked(section, &body)).unwrap_or_default();
    let photo = file.section("photo").and_then(photo);
    let lamps = file.section("light").map(lamps).unwrap_or_default();
    file.close();

    systems.extend(garment.map(|(_, system)| system));
    let system = System::of_most(systems.iter().copied());
    if systems.contains(&System::Inch) && systems.contains(&System::Metric) {
        let shown = if system == System::Inch { "inches" } else { "centimetres" };
        remarks.push(Remark::note(format!(
            "body and garment are written partly in inches and partly in centimetres; all is shown in {shown}"
        )));
    }
    remarks.extend(belief::pairs(&body, system));
    remarks.extend(source.faults());
    let Some((garment, _)) = garment else {
        return Err(Refusal { remarks });
    };
    remarks.extend(garment_beside_body(&garment, &body, system));
    told(Order { client, system, body, garment, rules, fitting, cloth, lay, photo, lamps }, remarks)
}

fn client(mut section: Entries<'_, '_>) -> Client {
    let client = Client {
        name: section.text("name").map(|name| name.value),
        measured: section.text("measured").map(|date| date.value),
    };
    section.close();
    client
}

fn garment(file: &mut Entries<'_, '_>, source: &Source<'_>) -> Option<(Garment, System)> {
    let Some(mut section) = file.section("garment") else {
        source.missing(
            Remark::refusal("[garment] is missing")
                .field("garment")
                .remedy("write [garment], kind = \"a-line-dress\" and length = \"104 cm\""),
        );
        return None;
    };
    let kind = match section.text("kind") {
        Some(text) => kind(&section, &text),
        None if section.has_fault_at("kind") => None,
        None => {
            section.missing("kind", "write kind = \"a-line-dress\"");
            None
        }
    };
    let facts = kind.unwrap_or(Kind::ALineDress).facts();
    let length = length_within(&mut section, "length", facts.length_mm, "the garment's length to its hem");
    if length.is_none() {
        let from = facts.from;
        let remedy = format!("measure {from} to where the hem is to be, and write length = \"104 cm\"");
        section.missing("length", &remedy);
    }
    // Of a kind that can't be read any choice may be meant.
    let every: Vec<_> = KINDS.iter().flat_map(|facts| facts.choices).copied().collect();
    let style = style(&mut section, if kind.is_some() { facts.choices } else { &every });
    if let Some(fit) = kind.and_then(|_| section.text(Fit::CHOICE.key)) {
        let says = format!("the fit of a {} can't be chosen", facts.name);
        section.fault(Fit::CHOICE.key, fit.line, says, format!("set its ease under [rules] instead: {}", facts.eases));
    }
    section.close();
    let length = length?;
    Some((Garment { kind: kind?, length_mm: length.value.mm, style }, length.value.system))
}

fn kind(section: &Entries<'_, '_>, text: &Placed<String>) -> Option<Kind> {
    let keys: Vec<&str> = Kind::ALL.iter().map(|kind| kind.key()).collect();
    let found = Kind::ALL.into_iter().find(|kind| kind.key() == text.value);
    if found.is_none() {
        let word = text.value.trim().to_lowercase();
        let named: Vec<&str> = keys.iter().copied().filter(|key| !word.is_empty() && key.contains(&word)).collect();
        let write = match (&named[..], nearest(&text.value, &keys)) {
            ([], Some(near)) => format!("write kind = \"{near}\""),
            ([], None) => format!("known are {}", keys.join(", ")),
            (named, _) => format!("write kind = \"{}\"", named.join("\" or \"")),
        };
        let sentence = format!("kind = \"{}\" is no garment that is known", shown(&text.value));
        let write = format!("{write}; what each asks for is told by: chalklight garments");
        section.fault("kind", text.line, sentence, write);
    }
    found
}

/// The measurements, and the system each was written in.
fn body(
    file: &mut Entries<'_, '_>,
    needs: &[Measure],
    source: &Source<'_>,
    remarks: &mut Vec<Remark>,
) -> (Body, Vec<System>) {
    let mut body = Body::default();
    let mut systems = Vec::new();
    let section = file.section("body");
    let line = section.as_ref().map(Entries::line);
    let Some(mut section) = section else {
        needs.iter().for_each(|measure| source.missing(missing(*measure, line)));
        return (body, systems);
    };
    let size = from_size(&mut section);
    let mut not_given = Vec::new();
    for facts in &MEASURES {
        let read = belief::measured(facts, &mut section, remarks);
        let of_size = size.as_ref().and_then(|size| Some((size.get(facts.measure)?, size.says())));
        match (read, of_size) {
            (Some(read), _) => {
                body.set(facts.measure, read.value.mm);
                systems.push(read.value.system);
            }
            _ if section.has_fault_at(facts.key) => {}
            (None, Some((mm, says))) => body.stand_in(facts.measure, mm, says),
            // A size that can't be read may have it.
            (None, None) if section.has_fault_at("from_size") => {}
            (None, None) if needs.contains(&facts.measure) => not_given.push(facts.measure),
            (None, None) => {}
        }
    }
    for measure in not_given {
        match belief::reckoned(&body, measure).filter(|_| size.is_some()) {
            Some((mm, from)) => body.stand_in(measure, mm, format!("usual beside such a {}", from.facts().name)),
            None => source.missing(missing(measure, line)),
        }
    }
    section.close();
    (body, systems)
}

fn missing(measure: Measure, line: Option<usize>) -> Remark {
    let facts = measure.facts();
    let remark = Remark::refusal(format!("body.{} is missing", facts.key))
        .field(format!("body.{}", facts.key))
        .remedy(format!("measure the {}: {}; then write {} = \"...\" under [body]", facts.name, facts.how, facts.key));
    match line {
        Some(line) => remark.line(line),
        None => remark,
    }
}

/// Reads `[cloth]`; what it becomes by washing is remarked.
pub(super) fn cloth(mut section: Entries<'_, '_>, remarks: &mut Vec<Remark>) -> Option<Cloth> {
    let width = length_within(&mut section, "width", [300.0, 4000.0], "the cloth's width between usable selvedges");
    if width.is_none() {
        section.missing("width", "measure between the selvedges: width = \"114 cm\"");
    }
    let length = length_within(&mut section, "length", [200.0, 200_000.0], "the cloth's length");
    let layer = length_within(&mut section, "layer", [0.02, 20.0], "the thickness of one layer");
    let weight = style::one(&mut section);
    let print = printed::print(&mut section);
    let repeat_mm = printed::repeat(&mut section);
    let half_drop = printed::half_drop(&mut section, repeat_mm);
    let motif_mm = printed::motif(&mut section);
    let border_mm = printed::border(&mut section, width.as_ref());
    let flaws = flaws(&mut section);
    let photo = section.text("photo").map(|path| path.value);
    let colours = colours(&mut section);
    let shrinkage = shrinkage(&mut section);
    let price = price(&mut section);
    section.close();
    let width = width?;
    let left = match shrinkage {
        Some(shrinkage) if shrinkage.wash == Wash::BeforeCutting => {
            remarks.push(shrinkage.washed(width.value, length.as_ref().map(|length| length.value.mm)).line(width.line));
            shrinkage.left()
        }
        _ => [1.0; 2],
    };
    let cloth = Cloth {
        width_mm: width.value.mm * left[1],
        shrinkage,
        length_mm: length.map(|length| length.value.mm * left[0]),
        print: print?,
        repeat_mm,
        half_drop,
        motif_mm,
        border_mm,
        flaws,
        layer_mm: layer.map_or(LAYER_MM, |layer| layer.value.mm),
        weight,
        photo,
        colours,
        price,
    };
    remarks.extend(printed::beside_cloth(&cloth, width.value.system));
    Some(cloth)
}

fn flaws(section: &mut Entries<'_, '_>) -> Vec<Flaw> {
    let Some(read) = section.lengths("flaws") else { return Vec::new() };
    let flaw = |three: &[Length]| {
        let [along_mm, across_mm, size_mm] = [three[0].mm, three[1].mm, three[2].mm];
        (along_mm >= 0.0 && across_mm >= 0.0 && size_mm > 0.0).then_some(Flaw { along_mm, across_mm, size_mm })
    };
    let flaws: Option<Vec<Flaw>> =
        read.value.chunks(3).map(|three| if three.len() == 3 { flaw(three) } else { None }).collect();
    flaws.unwrap_or_else(|| {
        section.fault(
            "flaws",
            read.line,
            "flaws needs three lengths for each flaw".into(),
            "write flaws = [\"120 cm\", \"30 cm\", \"5 cm\"]: from the cut end, from the near selvedge, how large",
        );
        Vec::new()
    })
}

/// A length that must lie in a range.
pub(super) fn length_within(
    section: &mut Entries<'_, '_>,
    key: &'static str,
    [low, high]: [f64; 2],
    what: &str,
) -> Option<Placed<Length>> {
    let read = section.length_within(key, [low, high])?;
    if (low..=high).contains(&read.value.mm) {
        return Some(read);
    }
    let system = read.value.system;
    let show = |mm| if high < FINE_MM { system.show_fine(mm) } else { system.show(mm) };
    section.fault(
        key,
        read.line,
        format!("{key} = {} can't be {what}", show(read.value.mm)),
        format!("write a length from {} to {}", show(low), show(high)),
    );
    None
}

/// A dress from so long on reaches the knee (common practice, no source), and its length is no girth by mistake.
const LONG_MM: f64 = 850.0;

/// A girth longer than a short dress is more often a slip than so short a dress.
fn garment_beside_body(garment: &Garment, body: &Body, system: System) -> Vec<Remark> {
    if garment.kind != Kind::ALineDress || garment.length_mm >= LONG_MM {
        return Vec::new();
    }
    let longer = |measure: Measure| {
        let girth = body.get(measure).filter(|girth| *girth > garment.length_mm)?;
        Some(
            Remark::doubt(format!(
                "{} {} is larger than the dress is long, {}",
                measure.facts().name,
                system.show(girth),
                system.show(garment.length_mm)
            ))
            .field(format!("body.{}", measure.facts().key))
            .remedy("look again whether the two were exchanged; a short dress may be so"),
        )
    };
    longer(Measure::Waist).into_iter().collect()
}
