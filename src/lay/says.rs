//! What is said of the print of a lay: which way it meets, where motifs lie, where it best begins, and what that costs; and
//! what places cost that pieces are kept at.

use super::{Lay, Placed};
use crate::order::Matching;

impl Placed {
    /// What is written on it where it lies: "front, cut 1 on the fold"; "sleeve, one of two" where each is cut by itself, which
    /// is no number of its own; "Ann: front ..." where several orders lie together.
    pub fn caption(&self) -> String {
        let caption = match self.gives == self.piece.count {
            true => self.piece.caption(),
            false => format!("{}, {} of {}", self.piece.name, in_words(self.gives), in_words(self.piece.count)),
        };
        self.of_whom(&caption)
    }

    /// Its name, with whose it is where several orders lie together.
    pub fn name(&self) -> String {
        self.of_whom(self.piece.name)
    }

    fn of_whom(&self, what: &str) -> String {
        self.whose.as_ref().map_or_else(|| what.to_owned(), |whose| format!("{whose}: {what}"))
    }
}

/// A small number as a word.
fn in_words(count: u32) -> String {
    let word = ["none", "one", "two", "three", "four", "five", "six"].get(count as usize);
    word.map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

impl Lay {
    /// What there is to say of print and kept places, each with what it is about; nothing where nothing must meet or land, and
    /// nothing is kept.
    pub fn costs_say(&self) -> Vec<(&'static str, String)> {
        let more = |than_mm: f64| self.system.show_at_least((self.used_mm - than_mm).max(0.0));
        let kept = self.unpinned_mm.map(|free_mm| {
            (
                "kept places",
                format!("cost {} more than the {} without", more(free_mm), self.system.show_at_least(free_mm)),
            )
        });
        self.print_says().into_iter().chain(kept).collect()
    }

    fn print_says(&self) -> Vec<(&'static str, String)> {
        if !self.meets.is_any() {
            return Vec::new();
        }
        let (show, plain_mm) = (|mm: f64| self.system.show_at_least(mm), self.plain_mm());
        let way = match self.meets.way {
            Matching::None => None,
            Matching::Along => Some("along the selvedge"),
            Matching::Across => Some("across"),
            Matching::Both => Some("along the selvedge and across"),
        };
        let meets = way.map(|way| ("print meets", format!("{way} ({})", self.meets.names().join(", "))));
        let lands = self.landed().map(|(place, pieces)| ("motif", format!("{place} ({})", pieces.join(", "))));
        let costs = format!("{} more than the {} without", show(self.used_mm - plain_mm), show(plain_mm));
        let mut says: Vec<(&'static str, String)> = meets.into_iter().chain(lands).collect();
        says.extend([("print begins", self.begins()), ("print costs", costs)]);
        says
    }

    /// The lay as the cloth lies beside the one that begins where the print is best for it.
    fn begins(&self) -> String {
        let show = |mm: f64| self.system.show_at_least(mm);
        if self.meets.is_begun_anywhere() {
            return "anywhere: nothing is laid to a motif along the cloth".to_owned();
        }
        let best = match self.meets.best_start {
            Some(best) => {
                let motif = self.system.show(best.motif_mm);
                format!(
                    "{} when it is cut off so that the middle of a motif lies {motif} from its end",
                    show(best.used_mm)
                )
            }
            None => "no beginning was found that spends less".to_owned(),
        };
        format!("{} as the cloth lies; {best}", show(self.used_mm))
    }

    /// Where motifs land, in words, each with the pieces that it is so on.
    pub fn landed(&self) -> impl Iterator<Item = (String, Vec<&'static str>)> {
        let mut landed: Vec<(String, Vec<&'static str>)> = Vec::new();
        for landing in &self.meets.landings {
            let Some(placed) = self.placed.iter().find(|placed| placed.of == landing.piece) else { continue };
            let (says, name) = (landing.says(), placed.piece.name);
            match landed.iter_mut().find(|(known, _)| *known == says) {
                Some((_, pieces)) => pieces.push(name),
                None => landed.push((says, vec![name])),
            }
        }
        landed.into_iter()
    }
}
