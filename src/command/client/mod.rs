//! `chalklight client`: the client's book.

mod again;
mod answer;
mod folder;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Subcommand;
use serde_json::{Value, json};

use super::{calibrate, print, task};
use crate::clients::{self, Date, compare};
use crate::order::{self, Order};
use crate::remark::{Refusal, Remark};
use folder::Kept;

/// Keeps clients: their measurements by date, notes, and what was made for them.
#[derive(clap::Args, Debug)]
pub struct ClientArgs {
    /// The folder with a file for each client.
    #[arg(long, global = true, default_value = "clients", value_name = "FOLDER")]
    book: PathBuf,
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Everyone in the book.
    List,
    /// All that is known of a client, by her name, a part of it, or her file's name.
    Show {
        /// Who.
        who: String,
    },
    /// Clients in whose name or notes a text stands.
    Find {
        /// The text.
        text: String,
    },
    /// A new client, with the measurements of an order.
    Add {
        /// The order file.
        order: PathBuf,
        /// The day she was measured, when the order does not say it.
        #[arg(long)]
        on: Option<Date>,
        /// She is another person than the one of the same name.
        #[arg(long)]
        another: bool,
    },
    /// New measurements of a client, from an order.
    Measure {
        /// Who.
        who: String,
        /// The order file.
        order: PathBuf,
        /// The day she was measured, when the order does not say it.
        #[arg(long)]
        on: Option<Date>,
    },
    /// Something to be remembered of a client.
    Note {
        /// Who.
        who: String,
        /// What.
        text: String,
        /// The day; today when nothing is said.
        #[arg(long)]
        on: Option<Date>,
    },
    /// An order that was made for a client.
    Made {
        /// Who.
        who: String,
        /// The order file.
        order: PathBuf,
        /// The day; today when nothing is said.
        #[arg(long)]
        on: Option<Date>,
    },
    /// What changed between two days; the last two when none are named.
    Compare {
        /// Who.
        who: String,
        /// The earlier day.
        #[arg(requires = "after")]
        before: Option<Date>,
        /// The later day.
        after: Option<Date>,
    },
    /// The same dress again: a past order with her newest measurements.
    Again {
        /// Who.
        who: String,
        /// The past order's file.
        order: PathBuf,
        /// The new order's file, which must not be there yet.
        #[arg(long)]
        out: PathBuf,
    },
}

/// Answers from the book, or writes into it. Exits 1 when what is asked for was never measured.
///
/// # Errors
/// When book, client or order can't be read, or nothing can be written.
pub fn run(args: &ClientArgs, json: bool) -> Result<ExitCode, Refusal> {
    let book = args.book.as_path();
    match &args.what {
        What::List => list(book, json, |_| true),
        What::Find { text } => list(book, json, |one| answer::mentions(&one.client, text)),
        What::Show { who } => {
            let one = folder::one(book, who)?;
            say(json, answer::client_json(&one), || answer::client_words(&one));
            Ok(ExitCode::SUCCESS)
        }
        What::Add { order, on, another } => add(book, order, (*on, *another), json),
        What::Measure { who, order, on } => measure(book, who, (order, *on), json),
        What::Note { who, text, on } => write(&folder::one(book, who)?, &clients::note(day(*on)?, text), json),
        What::Made { who, order, on } => {
            let one = folder::one(book, who)?;
            let kind = ordered(order)?.1.garment.kind;
            write(&one, &clients::made(day(*on)?, &order.display().to_string(), kind.key()), json)
        }
        What::Compare { who, before, after } => compared(&folder::one(book, who)?, before.zip(*after), json),
        What::Again { who, order, out } => again::again(&folder::one(book, who)?, order, out, json),
    }
}

/// Prints an answer in the form that was asked for.
fn say(json: bool, value: Value, words: impl FnOnce() -> String) {
    if json { print::answer(value) } else { print::answer(words().trim_end()) }
}

/// Those of the book that are asked for. What can't be read is told, and the others are listed all the same.
fn list(book: &Path, json: bool, asked: impl Fn(&Kept) -> bool) -> Result<ExitCode, Refusal> {
    let (kept, faults) = folder::all(book)?;
    for fault in faults {
        eprintln!("{fault}");
    }
    let found: Vec<Kept> = kept.into_iter().filter(asked).collect();
    let rows = found.iter().map(answer::row_json).collect();
    say(json, rows, || match found.is_empty() {
        true => "nobody".to_owned(),
        false => found.iter().map(answer::row_words).collect::<Vec<_>>().join("\n"),
    });
    Ok(ExitCode::SUCCESS)
}

/// An order's text and what it says; its remarks go to stderr.
fn ordered(path: &Path) -> Result<(String, Order), Refusal> {
    let (name, text) = (path.display().to_string(), task::text_of(path)?);
    let told = order::read(&text).map_err(|refusal| refusal.in_file(&name))?;
    Ok((text, task::spoken(told, &name)))
}

/// The day named, or today.
fn day(named: Option<Date>) -> Result<Date, Refusal> {
    let today =
        || calibrate::today().parse().map_err(|why| Refusal::because(Remark::refusal("today has no date").remedy(why)));
    named.map_or_else(today, Ok)
}

/// The measurements of an order as a part of a client's file.
fn measured(path: &Path, text: &str, order: &Order, on: Option<Date>) -> Result<(Date, String), Refusal> {
    let of_order = order.client.measured.as_ref().and_then(|day| day.parse().ok());
    let on = on.or(of_order).ok_or_else(|| {
        Refusal::because(
            Remark::refusal("the order does not say on which day she was measured")
                .file(path.display().to_string())
                .field("client.measured")
                .remedy("write measured = 2026-11-02 under [client], or say --on 2026-11-02"),
        )
    })?;
    let written = clients::body_as_written(text);
    if written.is_empty() {
        let remark = Remark::refusal("no measurement of hers stands in the order").file(path.display().to_string());
        return Err(Refusal::because(
            remark.field("body").remedy("measure her, and write what was taken under [body]"),
        ));
    }
    Ok((on, clients::measured(on, &written)))
}

fn add(book: &Path, path: &Path, (on, another): (Option<Date>, bool), json: bool) -> Result<ExitCode, Refusal> {
    let (text, order) = ordered(path)?;
    let file = path.display().to_string();
    let Some(name) = order.client.name.as_ref().filter(|name| !name.trim().is_empty()) else {
        let remark = Remark::refusal("the order does not say whose it is").file(file).field("client.name");
        return Err(Refusal::because(remark.remedy("write name = \"...\" under [client]")));
    };
    let there = if book.is_dir() { folder::all(book)?.0 } else { Vec::new() };
    let same = there.iter().find(|one| clients::is_same_name(&one.client.name, name));
    if let Some(one) = same.filter(|_| !another) {
        let sentence = format!("{} is in the book already, in {}", one.client.name, one.path.display());
        let remedy = format!(
            "add measurements with: chalklight client measure {} {file}; for another person of that name say --another",
            one.stem
        );
        return Err(Refusal::because(Remark::refusal(sentence).remedy(remedy)));
    }
    let (_, set) = measured(path, &text, &order, on)?;
    saved(&folder::free(book, name), &clients::new(name), &set, json)
}

fn measure(book: &Path, who: &str, (path, on): (&Path, Option<Date>), json: bool) -> Result<ExitCode, Refusal> {
    let one = folder::one(book, who)?;
    let (text, order) = ordered(path)?;
    if let Some(other) = order.client.name.as_ref()
        && !clients::is_same_name(other, &one.client.name)
    {
        let sentence = format!("this is an order of {other}, not of {}", one.client.name);
        let remark = Remark::refusal(sentence).file(path.display().to_string()).field("client.name");
        return Err(Refusal::because(remark.remedy("give her own order, or mend its name")));
    }
    let (on, set) = measured(path, &text, &order, on)?;
    if one.client.set_of(on).is_some() {
        let sentence = format!("{} was measured on {on} already", one.client.name);
        let remedy = "say another day with --on, or mend that day's numbers in her file";
        return Err(Refusal::because(Remark::refusal(sentence).file(one.path.display().to_string()).remedy(remedy)));
    }
    write(&one, &set, json)
}

/// Adds to a client's file.
fn write(one: &Kept, more: &str, json: bool) -> Result<ExitCode, Refusal> {
    saved(&one.path, &one.text, more, json)
}

fn saved(path: &Path, text: &str, more: &str, json: bool) -> Result<ExitCode, Refusal> {
    let client = folder::extend(path, text, more)?;
    let value = json!({"out": path, "name": client.name});
    say(json, value, || format!("{}: written to {}", client.name, path.display()));
    Ok(ExitCode::SUCCESS)
}

fn compared(one: &Kept, days: Option<(Date, Date)>, json: bool) -> Result<ExitCode, Refusal> {
    let sets = &one.client.sets;
    let found = match days {
        Some((before, after)) => one.client.set_of(before).zip(one.client.set_of(after)),
        None => sets.len().checked_sub(2).map(|i| (&sets[i], &sets[i + 1])),
    };
    let Some((before, after)) = found else {
        let known: Vec<String> = sets.iter().map(|set| set.on.to_string()).collect();
        let remark = Remark::refusal(format!("{} was not measured on two such days", one.client.name));
        let remedy =
            format!("she was measured on: {}", if known.is_empty() { "no day".to_owned() } else { known.join(", ") });
        return task::Stop::No(Refusal::because(remark.file(one.path.display().to_string()).remedy(remedy))).exit(json);
    };
    let differences = compare(before, after);
    let value = answer::differences_json(&one.client, (before, after), &differences);
    say(json, value, || answer::differences_words((before, after), &differences));
    Ok(ExitCode::SUCCESS)
}
