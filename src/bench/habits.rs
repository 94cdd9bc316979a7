//! How she likes the bench, as she changes it: files opened of late, light or dark, and the size of text.

use std::path::Path;

use super::model::{Bench, Wish};

/// Smallest and largest text, and the step between, in percent.
pub const TEXT_PERCENT: [u32; 2] = [70, 250];
const TEXT_STEP_PERCENT: u32 = 10;

/// Files remembered as opened of late.
const MOST_RECENT: usize = 8;

impl Bench {
    /// Remembers a file as opened of late.
    pub(super) fn remember(&mut self, path: &Path) {
        self.habits.recent.retain(|known| known != path);
        self.habits.recent.insert(0, path.to_owned());
        self.habits.recent.truncate(MOST_RECENT);
        self.wish(Wish::KeepHabits);
    }

    /// Light ink on dark, or dark ink on light.
    pub fn swap_look(&mut self) {
        self.habits.dark = !self.habits.dark;
        self.wish(Wish::KeepHabits);
    }

    /// Text larger or smaller by so many steps.
    pub fn resize_text(&mut self, steps: i32) {
        let [least, most] = TEXT_PERCENT;
        let by = TEXT_STEP_PERCENT.saturating_mul(steps.unsigned_abs());
        let percent = self.habits.text_percent;
        let next = if steps < 0 { percent.saturating_sub(by) } else { percent.saturating_add(by) };
        self.habits.text_percent = next.clamp(least, most);
        self.wish(Wish::KeepHabits);
    }
}
