//! One of several words, chosen from a list: by the pointer, or by key, where up and down take the word before and after.

use egui::{ComboBox, EventFilter, Key, RichText, Ui};

use super::field::{WIDTH, aside, holds_keys, line, say, sentence, sentence_case};
use crate::bench::model::Bench;
use crate::bench::paper::Entry;
use crate::order::{Kind, Style};

/// Words to choose from: as the file says each, and as it is shown.
pub type Words = Vec<(String, String)>;

/// Height of an open list, in points, at most.
const LIST: f32 = 340.0;

/// The entry of what is made.
pub const KIND: Entry = Entry::text("garment", "kind");

/// The kind of garment and what is chosen of it, as written, whether or not the rest of the order can be read.
pub fn chosen(bench: &Bench) -> (Kind, Style) {
    let paper = bench.paper();
    let written = paper.written(&KIND);
    let kind = Kind::ALL.into_iter().find(|kind| kind.key() == written).unwrap_or(Kind::ALineDress);
    (kind, Style::of_words(|key| paper.written(&Entry::text("garment", key))))
}

/// Words as the file has them, shown with spaces for hyphens.
pub fn plainly(words: &[&str]) -> Words {
    words.iter().map(|word| ((*word).to_owned(), sentence_case(&word.replace('-', " ")))).collect()
}

/// Shows a choice of the order; the first of its words is what is taken when nothing is written.
pub fn choice(ui: &mut Ui, bench: &mut Bench, entry: &Entry, (name, how): (&str, &str), words: &Words) {
    let written = bench.paper().written(entry);
    let now = if written.is_empty() { words.first().map_or("", |(word, _)| word) } else { &written };
    if let Some(word) = pick(ui, name, now, words) {
        bench.write(entry, &word);
        bench.settle();
    }
    if !how.is_empty() {
        aside(ui, &sentence(how));
    }
    let said: Vec<_> = bench.work().about(&entry.field()).cloned().collect();
    said.iter().for_each(|remark| say(ui, remark));
    ui.add_space(6.0);
}

/// Shows words and says which of them was chosen instead of the one that is.
pub fn pick(ui: &mut Ui, name: &str, now: &str, words: &Words) -> Option<String> {
    let at = words.iter().position(|(word, _)| word == now);
    let shown = at.map_or(now, |at| &words[at].1);
    let mut chosen = None;
    line(ui, &sentence_case(name), |ui| {
        let list = ComboBox::from_id_salt(("choice", name)).width(WIDTH).height(LIST).truncate();
        let list = list.selected_text(RichText::new(shown)).show_ui(ui, |ui| {
            for (i, (_, words)) in words.iter().enumerate() {
                if ui.selectable_label(at == Some(i), words).clicked() {
                    chosen = Some(i);
                }
            }
        });
        if list.inner.is_none() && holds_keys(ui, &list.response) {
            let filter = EventFilter { vertical_arrows: true, ..EventFilter::default() };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(list.response.id, filter));
            let pressed = |key| ui.input(|input| input.key_pressed(key));
            let last = words.len().saturating_sub(1);
            if pressed(Key::ArrowDown) {
                chosen = Some(at.map_or(0, |at| (at + 1).min(last)));
            }
            if pressed(Key::ArrowUp) {
                chosen = Some(at.map_or(0, |at| at.saturating_sub(1)));
            }
        }
        if chosen.is_some() {
            list.response.request_focus();
        }
        list.response
    });
    chosen.filter(|chosen| Some(*chosen) != at).map(|chosen| words[chosen].0.clone())
}
