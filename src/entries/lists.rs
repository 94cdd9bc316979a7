//! Entries that are lists: of lengths, and of points.

use toml::Spanned;
use toml::de::{DeArray, DeString, DeTable, DeValue};

use super::{Entries, Placed, shown};
use crate::units::Length;

impl<'t> Entries<'_, 't> {
    /// A list of lengths.
    pub fn lengths(&mut self, key: &'static str) -> Option<Placed<Vec<Length>>> {
        let (line, items) = self.list(key)?;
        self.list_in(key, line, &items)
    }

    /// A list of lengths in which a word may stand for none.
    pub fn lengths_or(&mut self, key: &'static str, word: &str) -> Option<Placed<Vec<Option<Length>>>> {
        let (line, items) = self.list(key)?;
        let read = |(i, item): (usize, &Spanned<DeValue<'_>>)| match item.get_ref() {
            DeValue::String(text) if text.as_ref() == word => Some(None),
            _ => self.entry_in(key, i, item).map(Some),
        };
        let value: Vec<Option<Length>> = items.iter().enumerate().filter_map(read).collect();
        (value.len() == items.len()).then_some(Placed { value, line })
    }

    /// A list of points, each a list of two numbers.
    pub fn points(&mut self, key: &'static str) -> Option<Placed<Vec<[f64; 2]>>> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        let point = |item: &Spanned<DeValue<'_>>| match item.get_ref() {
            DeValue::Array(pair) if pair.len() == 2 => {
                let mut numbers = pair.iter().map(|number| self.number_in(key, line, number.get_ref()));
                Some([numbers.next()??, numbers.next()??]).filter(|point| point.iter().all(|number| number.is_finite()))
            }
            _ => None,
        };
        let points: Option<Vec<[f64; 2]>> = match value.get_ref() {
            DeValue::Array(items) => items.iter().map(point).collect(),
            _ => None,
        };
        if points.is_none() && !self.has_fault_at(key) {
            self.fault(
                key,
                line,
                format!("{key} is no list of points"),
                format!("write {key} = [[120, 80], [1800, 95]]"),
            );
        }
        points.map(|value| Placed { value, line })
    }

    /// Every entry of the section that is a list of lengths, with its key.
    pub fn lists(&mut self) -> Vec<(String, Placed<Vec<Length>>)> {
        let taken = std::mem::take(&mut self.left).into_iter();
        let (lists, left): (DeTable<'_>, _) = taken.partition(|(_, value)| value.get_ref().as_array().is_some());
        self.left = left;
        let read = |(key, value): (Spanned<DeString<'_>>, Spanned<DeValue<'_>>)| {
            let (key, line) = (key.into_inner().into_owned(), self.line_of(&value));
            self.list_in(&key, line, value.get_ref().as_array()?).map(|list| (key, list))
        };
        lists.into_iter().filter_map(read).collect()
    }

    /// A list with its line.
    fn list(&mut self, key: &'static str) -> Option<(usize, DeArray<'t>)> {
        let value = self.take(key)?;
        let line = self.line_of(&value);
        if let DeValue::Array(items) = value.into_inner() {
            return Some((line, items));
        }
        self.fault(key, line, format!("{key} is not a list"), format!("write {key} = [\"32 cm\", \"64 cm\"]"));
        None
    }

    fn list_in(&self, key: &str, line: usize, items: &[Spanned<DeValue<'_>>]) -> Option<Placed<Vec<Length>>> {
        let read = |(i, item): (usize, &Spanned<DeValue<'_>>)| self.entry_in(key, i, item);
        let value: Vec<Length> = items.iter().enumerate().filter_map(read).collect();
        (value.len() == items.len()).then_some(Placed { value, line })
    }

    /// The length at a place of a list, counted from nought.
    fn entry_in(&self, key: &str, i: usize, item: &Spanned<DeValue<'_>>) -> Option<Length> {
        let line = self.line_of(item);
        let DeValue::Array(_) = item.get_ref() else { return self.length_in(key, line, item.get_ref()) };
        let says = format!("entry {} of {} is a list, not a length", i + 1, shown(key));
        let write = format!("write its lengths one after the other: {} = [\"32 cm\", \"64 cm\"]", shown(key));
        self.fault(&format!("{key}[{}]", i + 1), line, says, write);
        None
    }
}
