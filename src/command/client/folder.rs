//! The folder of the client's book: one file a client, found by what is typed, never by a path.

use std::path::{Path, PathBuf};

use crate::clients::{Client, file_stem, likeness, read};
use crate::command::task::text_of;
use crate::entries::{nearest, shown};
use crate::remark::{Refusal, Remark, why_not};
use crate::table::save::save_whole;

/// A client's file.
pub struct Kept {
    /// Where it is.
    pub path: PathBuf,
    /// Its name without the ending.
    pub stem: String,
    /// Its text.
    pub text: String,
    /// What stands in it.
    pub client: Client,
}

/// Every client that can be read, by the name of the file, and why others can't.
///
/// # Errors
/// When there is no such folder.
pub fn all(folder: &Path) -> Result<(Vec<Kept>, Vec<Refusal>), Refusal> {
    let listed = std::fs::read_dir(folder).map_err(|error| no_book(folder, &error))?;
    let is_toml = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "toml");
    let mut paths: Vec<PathBuf> = listed.filter_map(|entry| Some(entry.ok()?.path())).filter(is_toml).collect();
    paths.sort_by_key(|path| path.file_stem().map(ToOwned::to_owned));
    let (mut kept, mut faults) = (Vec::new(), Vec::new());
    for path in paths {
        match open(path) {
            Ok(one) => kept.push(one),
            Err(refusal) => faults.push(refusal),
        }
    }
    Ok((kept, faults))
}

fn open(path: PathBuf) -> Result<Kept, Refusal> {
    let text = text_of(&path)?;
    let client = read(&text).map_err(|refusal| refusal.in_file(&path.display().to_string()))?.value;
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    Ok(Kept { path, stem, text, client })
}

fn no_book(folder: &Path, error: &std::io::Error) -> Refusal {
    Refusal::because(
        Remark::refusal(format!("there is no client's book here: {}", why_not(error)))
            .file(folder.display().to_string())
            .remedy("name its folder with --book, or begin one: chalklight client add ORDER"),
    )
}

/// The one client that is meant.
///
/// # Errors
/// When none is, or several are; and when her file can't be read.
pub fn one(folder: &Path, who: &str) -> Result<Kept, Refusal> {
    let (kept, faults) = all(folder)?;
    let like = |one: &Kept| likeness(who, &one.stem, &one.client.name);
    let best = kept.iter().map(like).max().unwrap_or(0);
    if best == 0 {
        // It may be hers that can't be read.
        let mut remarks: Vec<Remark> = faults.into_iter().flat_map(|fault| fault.remarks).collect();
        let known: Vec<String> = kept.iter().map(|one| one.client.name.to_lowercase()).collect();
        let near = nearest(who, &known.iter().map(String::as_str).collect::<Vec<_>>());
        let remedy = match near.and_then(|near| kept.iter().find(|one| one.client.name.to_lowercase() == near)) {
            Some(near) => format!("did you mean {}?", near.client.name),
            None => "see who is in it: chalklight client list".to_owned(),
        };
        remarks.push(Remark::refusal(format!("no client in the book is called \"{}\"", shown(who))).remedy(remedy));
        return Err(Refusal { remarks });
    }
    let mut found: Vec<Kept> = kept.into_iter().filter(|one| like(one) == best).collect();
    // Of two with one name the file decides.
    if let Some(place) = found.iter().position(|one| one.stem == who.trim()) {
        return Ok(found.swap_remove(place));
    }
    if found.len() > 1 {
        let stems: Vec<&str> = found.iter().map(|one| one.stem.as_str()).collect();
        let sentence = format!("{} clients can be meant by \"{}\"", found.len(), shown(who));
        let remedy = format!("name one by her file: {}", stems.join(", "));
        return Err(Refusal::because(Remark::refusal(sentence).remedy(remedy)));
    }
    Ok(found.swap_remove(0))
}

/// A file for a new client, of a name that no other has.
pub fn free(folder: &Path, name: &str) -> PathBuf {
    let stem = file_stem(name);
    let first = folder.join(format!("{stem}.toml"));
    let numbered = (2..).map(|n| folder.join(format!("{stem}-{n}.toml")));
    std::iter::once(first).chain(numbered).find(|path| !path.exists()).unwrap_or_default()
}

/// Writes a client's text with more at its end, when that can be read; the old file stays when it can't.
///
/// # Errors
/// When what comes out is no client's file any more, or it can't be written.
pub fn extend(path: &Path, text: &str, more: &str) -> Result<Client, Refusal> {
    let line_end = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    let text = format!("{text}{line_end}{more}");
    let client = read(&text).map_err(|refusal| refusal.in_file(&path.display().to_string()))?.value;
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(|error| no_folder(folder, &error))?;
    }
    save_whole(path, text.as_bytes())?;
    Ok(client)
}

fn no_folder(folder: &Path, error: &std::io::Error) -> Refusal {
    Refusal::because(
        Remark::refusal(format!("the client's book can't be begun: {}", why_not(error)))
            .file(folder.display().to_string())
            .remedy("name a folder that you may write to with --book"),
    )
}
