//! The chain that the commands share: from an order file to what is asked of it.

use std::path::Path;
use std::process::ExitCode;

use super::kept::KeptFile;
use super::print;
use crate::draft::{Draft, draft};
use crate::entries::line_of;
use crate::finish::{Piece, finish};
use crate::lay::{Effort, Lay, Wanted, cloth_of, lay, usual};
use crate::nest::Forms;
use crate::order::{self, Asked, Cloth, Matching, Order, Print};
use crate::remark::{Refusal, Remark, Remarked, Weight, why_not};
use crate::stages::{Stage, stages};
use crate::table::{KeptTable, file};
use crate::units::System;

/// An order and its finished draft.
#[derive(Clone)]
pub struct Drafted {
    /// The order's file and text, for the places of what is said later.
    source: Source,
    /// The order.
    pub order: Order,
    /// The draft.
    pub draft: Draft,
    /// Its pieces.
    pub pieces: Vec<Piece>,
}

/// A draft that has been laid on its cloth.
pub struct Laid {
    /// The lay.
    pub lay: Lay,
    /// The stages of cutting it.
    pub stages: Vec<Stage>,
}

/// How orders are laid.
pub enum How<'k> {
    /// As they are kept.
    Kept(&'k KeptFile),
    /// As a first answer with that effort.
    Answered(&'k Effort<'k>),
    /// By a search with that effort, on from what is kept where that still fits.
    Searched(&'k Effort<'k>, Option<&'k KeptFile>),
}

/// Why a chain ended: input that can't be read, or work that says no.
pub enum Stop {
    /// Exit code 2.
    Unreadable(Refusal),
    /// Exit code 1.
    No(Refusal),
}

/// Whether a file that is to be written is named as what it will be.
///
/// # Errors
/// When its name ends in something else.
pub fn ends_in(ending: &str, out: &Path) -> Result<(), Refusal> {
    let Some(own) = out.extension() else { return Ok(()) };
    if own.eq_ignore_ascii_case(ending) {
        return Ok(());
    }
    let says =
        format!("what is written here is {}, not {}", ending.to_uppercase(), own.to_string_lossy().to_uppercase());
    let remedy = format!("write --out {}", out.with_extension(ending).display());
    Err(Refusal::because(Remark::refusal(says).field("out").remedy(remedy)))
}

/// Whether what is to be written there writes over nothing of hers but its like.
///
/// # Errors
/// When a file is there that is none; `what` it would be goes on "this is no".
pub fn writes_over_its_like(out: &Path, what: &str, is_one: impl Fn(&str) -> bool) -> Result<(), Refusal> {
    let may = match std::fs::read_to_string(out) {
        Ok(text) => text.trim().is_empty() || is_one(&text),
        // What can't be written either says so itself; what is no text is no file of ours.
        Err(error) => error.kind() != std::io::ErrorKind::InvalidData,
    };
    if may {
        return Ok(());
    }
    let remark = Remark::refusal(format!("this is no {what}, and would be written over"));
    Err(Refusal::because(remark.file(out.display().to_string()).remedy("give another name with --out")))
}

/// The text of one of her files.
///
/// # Errors
/// When it can't be read, with what to do.
pub fn text_of(path: &Path) -> Result<String, Refusal> {
    std::fs::read_to_string(path).map_err(|error| {
        let remedy = match error.kind() {
            std::io::ErrorKind::InvalidData => {
                "look at the file's name; a photo of the cloth is named on the cloth's page (photo, under [cloth] in an order)"
            }
            _ => "look at the file's name, and that you may read it",
        };
        Refusal::because(
            Remark::refusal(format!("can't be read: {}", why_not(&error)))
                .file(path.display().to_string())
                .remedy(remedy),
        )
    })
}

/// The table of a file; what is to be said of it goes to stderr.
///
/// # Errors
/// When it can't be read.
pub fn table(path: &Path) -> Result<KeptTable, Refusal> {
    let name = path.display().to_string();
    let kept = file::read(&text_of(path)?).map_err(|refusal| refusal.in_file(&name))?;
    Ok(spoken(kept, &name))
}

impl Drafted {
    /// Prints the checks that failed, each with its file.
    pub fn say_doubts(&self) {
        self.draft.doubts().into_iter().for_each(|doubt| say(doubt.file(&self.source.file), &self.source.file));
    }
}

/// The file that remarks are about.
#[derive(Clone)]
struct Source {
    file: String,
    text: String,
}

impl Source {
    /// Puts file and line to what is said of a field.
    fn place(&self, remark: &mut Remark) {
        let place = &mut remark.place;
        place.file.get_or_insert_with(|| self.file.clone());
        if place.line.is_none() {
            place.line = place.field.as_ref().and_then(|field| line_of(&self.text, field));
        }
    }

    fn refused(&self, mut refusal: Refusal) -> Refusal {
        refusal.remarks.iter_mut().for_each(|remark| self.place(remark));
        refusal
    }

    /// Prints remarks with their places, and hands the value on.
    fn spoken<T>(&self, told: Remarked<T>) -> T {
        for mut remark in told.remarks {
            self.place(&mut remark);
            eprintln!("{remark}");
        }
        told.value
    }
}

/// Puts the file's name to a stage's remarks, prints them, and hands the value on.
pub fn spoken<T>(told: Remarked<T>, file: &str) -> T {
    for remark in told.remarks {
        say(remark, file);
    }
    told.value
}

/// Prints a remark with the file it is about.
pub fn say(mut remark: Remark, file: &str) {
    if remark.place.line.is_some() {
        remark.place.file.get_or_insert_with(|| file.to_owned());
    }
    eprintln!("{remark}");
}

/// Reads, drafts and finishes an order; remarks go to stderr.
///
/// # Errors
/// [`Stop::Unreadable`] when the file is at fault, [`Stop::No`] when its numbers can't be drawn.
pub fn drafted(text: &str, file: &str) -> Result<Drafted, Stop> {
    drafted_on(text, file, None)
}

/// The same for another cloth than the order's.
///
/// # Errors
/// As [`drafted`].
pub fn drafted_on(text: &str, file: &str, cloth: Option<&Cloth>) -> Result<Drafted, Stop> {
    let source = Source { file: file.to_owned(), text: text.to_owned() };
    let order = order::read(text).map_err(|refusal| Stop::Unreadable(source.refused(refusal)))?;
    let mut order = source.spoken(order);
    if let Some(cloth) = cloth {
        let own = order.cloth.replace(cloth.clone());
        if let (Some(cloth), Some(remark)) = (&mut order.cloth, own.and_then(|own| one_way(&own, cloth))) {
            cloth.print = Print::OneWay;
            source.spoken(Remarked { value: (), remarks: vec![remark] });
        }
    }
    let no = |refusal: Refusal| {
        // A house rule that can't be read is a fault of the file; numbers that can't be drawn are the work saying no.
        let of_file = refusal.remarks.iter().any(|remark| remark.place.line.is_some());
        let refusal = source.refused(refusal);
        if of_file { Stop::Unreadable(refusal) } else { Stop::No(refusal) }
    };
    let draft = source.spoken(draft(&order).map_err(no)?);
    let pieces = source.spoken(finish(&draft).map_err(no)?);
    Ok(Drafted { source, order, draft, pieces })
}

/// Lays a draft on the order's cloth, as it is kept where it is, and plans the cutting.
///
/// # Errors
/// [`Stop::Unreadable`] when the order names no cloth, [`Stop::No`] when the cloth does not suffice, or the lay that is kept
/// is none of this order any more.
pub fn laid(drafted: &Drafted, kept: Option<&KeptFile>) -> Result<Laid, Stop> {
    let Drafted { source, order, pieces, .. } = drafted;
    let no = |refusal| Stop::No(source.refused(refusal));
    let cloth = cloth_of(order.cloth.as_ref()).map_err(|refusal| Stop::Unreadable(source.refused(refusal)))?;
    let wanted = Wanted::of(pieces, cloth, order.system).asking(&order.lay);
    let lay = match kept {
        Some(kept) => kept.lay(&wanted)?,
        None => source.spoken(lay(&wanted).map_err(no)?),
    };
    let lay = source.spoken(lay.as_asked(&order.lay).map_err(no)?);
    let stages = stages(&lay);
    Ok(Laid { lay, stages })
}

/// Lays one order of several by itself: as it is kept, where that is on this cloth; where not, that is said.
///
/// # Errors
/// As [`laid`].
pub fn by_itself(drafted: &Drafted) -> Result<Lay, Stop> {
    let Drafted { source, order, pieces, .. } = drafted;
    let kept = KeptFile::beside(&[&source.file])?.filter(|kept| {
        let wanted = order.cloth.as_ref().map(|cloth| Wanted::of(pieces, cloth, order.system).asking(&order.lay));
        let differs = wanted.and_then(|wanted| kept.differs(&wanted));
        let none = differs.is_none();
        differs.into_iter().for_each(|remark| {
            let remedy = "together with the others the pieces are laid anew";
            say(Remark { weight: Weight::Note, ..remark.remedy(remedy) }, &source.file);
        });
        none
    });
    laid(drafted, kept.as_ref()).map(|laid| laid.lay)
}

/// What is said when a print of one way is laid on cloth that is said to have none: the one way counts.
fn one_way(own: &Cloth, cloth: &Cloth) -> Option<Remark> {
    (own.print == Print::OneWay && cloth.print != Print::OneWay).then(|| {
        Remark::doubt(
            "this order's print is one-way and the cloth that it is laid on is said to be all-over: nothing is turned",
        )
        .field("cloth.print")
        .remedy("write the same print for both")
    })
}

/// Lays orders together on the cloth of the first that names one: as they are kept, or searching with that effort. A print of
/// one way, or one that must meet, is so for all.
///
/// # Errors
/// [`Stop::Unreadable`] when no order names a cloth, [`Stop::No`] when the cloth does not suffice.
pub fn laid_together(all: &[Drafted], how: How<'_>) -> Result<Lay, Stop> {
    let with_cloth = all.iter().find(|drafted| drafted.order.cloth.is_some()).or(all.first());
    let Some(Drafted { source, order, .. }) = with_cloth else {
        return Err(Stop::Unreadable(Refusal::because(Remark::refusal("no order is named"))));
    };
    let cloth = cloth_of(order.cloth.as_ref()).map_err(|refusal| Stop::Unreadable(source.refused(refusal)))?;
    let mut shared = cloth.clone();
    for other in all {
        let Some(own) = other.order.cloth.as_ref().filter(|own| *own != cloth) else { continue };
        if let Some(remark) = one_way(own, cloth) {
            shared.print = Print::OneWay;
            other.source.spoken(Remarked { value: (), remarks: vec![remark] });
        }
        let says = format!("this order's [cloth] is not looked at: all are laid on the cloth of {}", source.file);
        other.source.spoken(Remarked { value: (), remarks: vec![Remark::note(says).field("cloth")] });
    }
    for other in all.iter().skip(1).filter(|other| !other.order.lay.pins_mm.is_empty()) {
        let remark =
            Remark::note("pieces of this order are not kept in place: only the first order's are").field("lay");
        other.source.spoken(Remarked { value: (), remarks: vec![remark] });
    }
    let wanted = together(all, &shared);
    let lay = match how {
        How::Kept(kept) => kept.lay(&wanted)?,
        How::Answered(effort) => answered(source, &wanted, effort, &mut Forms::default())?,
        How::Searched(effort, kept) => {
            let mut forms = Forms::default();
            let kept = kept.and_then(|kept| kept.to_go_on_from(&wanted)).or(effort.from.cloned());
            // A search ends with no longer lay than there is without.
            let first = || usual(&wanted, &Effort::FIRST, &mut forms).ok().map(|told| told.value);
            let from = kept.or_else(|| effort.is_longer().then(first).flatten());
            answered(source, &wanted, &Effort { from: from.as_ref(), ..*effort }, &mut forms)?
        }
    };
    let [_] = all else { return Ok(lay) };
    lay.as_asked(&order.lay).map(|told| source.spoken(told)).map_err(|refusal| Stop::No(source.refused(refusal)))
}

fn answered(source: &Source, wanted: &Wanted<'_>, effort: &Effort<'_>, forms: &mut Forms) -> Result<Lay, Stop> {
    let told = usual(wanted, effort, forms).map_err(|refusal| Stop::No(source.refused(refusal)))?;
    Ok(source.spoken(told))
}

/// What each order is called: by its client; where she has several of them, or none is named, by its file as well.
pub fn titles(all: &[Drafted]) -> Vec<String> {
    let name = |drafted: &Drafted| drafted.order.client.name.clone().unwrap_or_default();
    let title = |drafted: &Drafted| {
        let (own, file) = (name(drafted), Path::new(&drafted.source.file));
        let stem = file.file_stem().map_or_else(|| drafted.source.file.clone(), |stem| stem.to_string_lossy().into());
        match own.trim().is_empty() {
            true => stem,
            false if all.iter().filter(|other| name(other) == own).count() > 1 => format!("{own}, {stem}"),
            false => own,
        }
    };
    all.iter().map(title).collect()
}

/// Several orders as one thing to be laid: pieces are pinned as the first asks, the print meets as any asks, and a motif lies
/// on each as its own order asks.
pub fn together<'w>(all: &'w [Drafted], cloth: &'w Cloth) -> Wanted<'w> {
    let ways = || all.iter().map(|drafted| drafted.order.lay.matching);
    let matching = Matching::of(ways().any(Matching::is_along), ways().any(Matching::is_across));
    let motif = |drafted: &Drafted| drafted.order.lay.motifs.first().copied().unwrap_or_default();
    let first = all.first().map(|drafted| drafted.order.lay.clone()).unwrap_or_default();
    Wanted {
        garments: all.iter().map(|drafted| drafted.pieces.as_slice()).collect(),
        names: if all.len() > 1 { titles(all) } else { Vec::new() },
        cloth,
        system: System::of_most(all.iter().map(|drafted| drafted.order.system)),
        asked: Asked { matching, motifs: all.iter().map(motif).collect(), ..first },
    }
}

impl Stop {
    /// Prints a refusal by the work and gives exit code 1, or hands unreadable input on.
    ///
    /// # Errors
    /// The refusal, when the input can't be read.
    pub fn exit(self, json: bool) -> Result<ExitCode, Refusal> {
        match self {
            Self::Unreadable(refusal) => Err(refusal),
            Self::No(refusal) => {
                eprintln!("{refusal}");
                if json {
                    print::answer(print::refusal(&refusal));
                }
                Ok(ExitCode::from(1))
            }
        }
    }
}
