//! What the client's book answers, in words and as JSON.

use serde_json::{Value, json};

use super::folder::Kept;
use crate::clients::{Client, Difference, MeasureSet};
use crate::order::{Kind, MEASURES};

/// Whether a text stands in a client's name or notes, in any case of its letters.
pub fn mentions(client: &Client, text: &str) -> bool {
    let text = text.to_lowercase();
    let notes = client.notes.iter().map(|note| &note.text);
    std::iter::once(&client.name).chain(notes).any(|words| words.to_lowercase().contains(&text))
}

/// One client of a list.
pub fn row_json(one: &Kept) -> Value {
    json!({
        "file": one.stem,
        "name": one.client.name,
        "measured": last_measured(&one.client),
        "sets": one.client.sets.len(),
        "made": one.client.made.len(),
    })
}

/// One client of a list, in a line.
pub fn row_words(one: &Kept) -> String {
    let measured = last_measured(&one.client).map_or("never measured".to_owned(), |on| format!("measured {on}"));
    let made = match one.client.made.len() {
        0 => "nothing made yet".to_owned(),
        count => format!("{count} made"),
    };
    format!("{:<28} {:<20} {measured}, {made}", one.client.name, one.stem)
}

fn last_measured(client: &Client) -> Option<String> {
    client.sets.last().map(|set| set.on.to_string())
}

/// All that is known of a client.
pub fn client_json(one: &Kept) -> Value {
    let client = &one.client;
    let set = |set: &MeasureSet| {
        let taken = MEASURES.iter().filter_map(|facts| Some((facts, set.taken.get(&facts.measure)?)));
        let taken: Vec<Value> = taken
            .map(|(facts, taken)| json!({"key": facts.key, "mm": taken.length.mm, "written": taken.written}))
            .collect();
        json!({"on": set.on.to_string(), "taken": taken})
    };
    json!({
        "file": one.stem,
        "name": client.name,
        "measured": client.sets.iter().map(set).collect::<Vec<_>>(),
        "notes": client.notes.iter().map(|note| json!({"on": note.on.to_string(), "text": note.text})).collect::<Vec<_>>(),
        "made": client
            .made
            .iter()
            .map(|made| json!({"on": made.on.to_string(), "order": made.order, "garment": made.garment}))
            .collect::<Vec<_>>(),
    })
}

/// All that is known of a client: the newest measurements as written, older days by name, notes, what was made.
pub fn client_words(one: &Kept) -> String {
    let client = &one.client;
    let mut text = format!("{}  ({})\n", client.name, one.path.display());
    if let Some((last, older)) = client.sets.split_last() {
        text += &format!("Measured {}\n", last.on);
        for (facts, taken) in MEASURES.iter().filter_map(|facts| Some((facts, last.taken.get(&facts.measure)?))) {
            text += &format!("  {:<14} {}\n", facts.name, taken.written);
        }
        if !older.is_empty() {
            let days: Vec<String> = older.iter().map(|set| set.on.to_string()).collect();
            text += &format!("  and on {}\n", days.join(", "));
        }
    }
    if !client.notes.is_empty() {
        text += "Notes\n";
    }
    for note in &client.notes {
        text += &format!("  {}  {}\n", note.on, note.text);
    }
    if !client.made.is_empty() {
        text += "Made\n";
    }
    for made in &client.made {
        text += &format!("  {}  {}, {}\n", made.on, made.garment, made.order);
    }
    text
}

fn keys(kinds: &[Kind]) -> Vec<&'static str> {
    kinds.iter().map(|kind| kind.key()).collect()
}

/// What changed between two days.
pub fn differences_json(
    client: &Client,
    (before, after): (&MeasureSet, &MeasureSet),
    differences: &[Difference],
) -> Value {
    let rows: Vec<Value> = differences
        .iter()
        .map(|difference| {
            json!({
                "key": difference.measure.facts().key,
                "before_mm": difference.before_mm,
                "after_mm": difference.after_mm,
                "grown_mm": difference.grown_mm(),
                "matters_for": keys(&difference.matters_for),
            })
        })
        .collect();
    json!({"name": client.name, "before": before.on.to_string(), "after": after.on.to_string(), "differences": rows})
}

/// What changed between two days, in her own units.
pub fn differences_words((before, after): (&MeasureSet, &MeasureSet), differences: &[Difference]) -> String {
    let system = after.system();
    let shown = |mm: Option<f64>| mm.map_or("-".to_owned(), |mm| system.show(mm));
    let mut text = format!("{:<14} {:>10} {:>10}\n", "", before.on, after.on);
    for difference in differences {
        let grown =
            difference.grown_mm().map_or("taken on one day only".to_owned(), |mm| change(mm, &system.show(mm.abs())));
        let row = format!(
            "{:<14} {:>10} {:>10}  {grown}",
            difference.measure.facts().name,
            shown(difference.before_mm),
            shown(difference.after_mm)
        );
        let is_same = difference.grown_mm().is_some_and(|mm| mm == 0.0);
        let matters = match keys(&difference.matters_for) {
            kinds if kinds.is_empty() || is_same => String::new(),
            kinds => format!("; matters for: {}", kinds.join(", ")),
        };
        text += &format!("{row}{matters}\n");
    }
    text
}

fn change(grown_mm: f64, shown: &str) -> String {
    match grown_mm {
        0.0 => "the same".to_owned(),
        more if more > 0.0 => format!("{shown} more"),
        _ => format!("{shown} less"),
    }
}
