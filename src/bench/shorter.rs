//! A shorter lay: searched for while she goes on, kept beside the order, and let go again.
//!
//! The lay that is kept lies on the bench as the text of its file, as the order does, so that it is undone and saved with it.
//! A change of what is laid gives the search up: what it found would be of other pieces.

use std::path::Path;

use super::laying::{Brought, ToLay};
use super::model::{Bench, Wish};
use super::steps::Sheet;
use crate::lay::{Lay, kept};
use crate::remark::Remark;

/// Cloth that is saved by less than this is none.
const NOISE_MM: f64 = 1e-6;

/// A search under way.
#[derive(Clone, Debug)]
pub struct Searching {
    /// What is laid.
    of: ToLay,
    /// Whole seconds that it has gone on.
    pub seconds: u64,
    /// The cloth that the shortest lay so far needs.
    pub best_mm: Option<f64>,
    /// Whether she has stopped it, and what it found is on its way.
    pub is_ending: bool,
}

impl Searching {
    /// The share of that cloth that is used.
    pub fn used_share(&self) -> Option<f64> {
        self.best_mm.map(|best_mm| self.of.wanted().used_share(best_mm))
    }
}

impl Bench {
    /// The search under way.
    pub fn searching(&self) -> Option<&Searching> {
        self.searching.as_ref()
    }

    /// Why no search can be begun now; none when one can.
    pub fn hinders_search(&self) -> Option<&'static str> {
        if self.cutting {
            Some("Not while the lay is being cut.")
        } else if self.work.laid.is_none() || self.is_laying() {
            Some("The pieces are laid first.")
        } else {
            None
        }
    }

    /// Begins to search for a shorter lay.
    pub fn search(&mut self) {
        let Some(to_lay) = self.work.to_lay.clone().filter(|_| self.hinders_search().is_none()) else { return };
        self.searching = Some(Searching { of: to_lay.clone(), seconds: 0, best_mm: None, is_ending: false });
        self.said.clear();
        self.wish(Wish::Search(to_lay));
    }

    /// Ends the search: to keep what it found, or to give it up.
    pub fn end_search(&mut self, keep: bool) {
        match &mut self.searching {
            Some(searching) if keep => searching.is_ending = true,
            Some(_) => self.searching = None,
            None => return,
        }
        self.wish(Wish::EndSearch { keep });
    }

    /// How far the search is.
    pub fn search_goes_on(&mut self, seconds: u64, best_mm: Option<f64>) {
        if let Some(searching) = &mut self.searching {
            (searching.seconds, searching.best_mm) = (seconds, best_mm);
        }
    }

    /// A search for what is not laid any more is given up.
    pub(super) fn search_follows(&mut self) {
        let is_other = |searching: &Searching| self.work.to_lay.as_ref() != Some(&searching.of);
        if self.searching.as_ref().is_some_and(is_other) {
            self.end_search(false);
            self.said = vec![Remark::note("The search was given up: what is laid has changed")];
        }
    }

    /// Takes what the thread that lays has brought.
    pub fn take_brought(&mut self, brought: Brought) {
        match brought {
            Brought::Lying(of, lying) => self.take_lying(of, lying),
            Brought::Found(of, found) if self.searching.as_ref().is_some_and(|searching| searching.of == of) => {
                self.searching = None;
                match found {
                    Ok(lay) => self.take_found(&of, &lay),
                    Err(refusal) => self.refused(refusal),
                }
            }
            Brought::Found(..) => {}
        }
    }

    /// Keeps what was found, where it is shorter, as a step that can be undone.
    fn take_found(&mut self, of: &ToLay, found: &Lay) {
        let before_mm = self.work.laid.as_ref().map_or(f64::INFINITY, |laid| laid.lay.without_room_mm());
        let found_mm = found.without_room_mm();
        let less_mm = before_mm - found_mm;
        self.said = vec![if less_mm > NOISE_MM {
            self.keep_lay(kept::write(found, &of.wanted()));
            let [needs, less] = [found_mm, less_mm].map(|mm| found.system.show_at_least(mm));
            Remark::note(format!("A lay of {needs} was found, {less} less; it is kept when you save the order"))
        } else {
            Remark::note("Nothing shorter was found; the lay stays as it is")
        }];
    }

    /// Lets the lay go that is kept, as a step that can be undone.
    pub fn let_lay_go(&mut self) {
        self.keep_lay(None);
    }

    pub(super) fn keep_lay(&mut self, lay: Option<String>) {
        let sheet = Sheet { lay, ..self.history.now().clone() };
        self.change_whole("lay", sheet);
        self.follow();
    }

    /// What is laid as it is kept; none when the pieces are laid anew.
    pub fn laid_as_kept(&self) -> Option<&ToLay> {
        self.work.to_lay.as_ref().filter(|to_lay| to_lay.kept.is_some())
    }

    /// The text of the lay that is kept.
    pub fn kept_lay(&self) -> Option<&str> {
        self.history.now().lay.as_deref()
    }

    /// The lay that is kept beside the order that was opened.
    pub fn lay_opened(&mut self, text: Option<String>) {
        if text.as_deref() == self.kept_lay() {
            return;
        }
        self.saved.lay.clone_from(&text);
        let sheet = Sheet { lay: text, ..self.history.now().clone() };
        self.history = super::history::History::of(sheet);
        self.follow();
    }

    /// Whether the lay that is kept is to be written, or taken away, when the order is saved in a file.
    pub fn saves_lay(&self, path: &Path) -> bool {
        let elsewhere = self.place() != Some(path) && self.kept_lay().is_some();
        elsewhere || self.kept_lay() != self.saved.lay.as_deref()
    }
}
