//! How soon light follows a key, told with the keys. It is no part of the session's state: undo and replay know nothing of it.

use std::time::Duration;

/// Answers that are looked back on.
const LATEST: usize = 50;

/// How long the latest keys took until their frame was finished and handed to the screen.
#[derive(Clone, Debug, Default)]
pub struct Latency(Vec<Duration>);

impl Latency {
    /// One more answer.
    pub fn took(&mut self, since_key: Duration) {
        if self.0.len() == LATEST {
            self.0.remove(0);
        }
        self.0.push(since_key);
    }

    /// The last, the middle and the slowest; nothing before the first.
    pub fn says(&self) -> Option<String> {
        let last = *self.0.last()?;
        let mut sorted = self.0.clone();
        sorted.sort();
        let ms = |took: Duration| took.as_secs_f64() * 1e3;
        let (middle, slowest) = (sorted[(sorted.len() - 1) / 2], sorted[sorted.len() - 1]);
        Some(format!(
            "From key to light: {:.0} ms at the last; {:.0} ms in the middle, {:.0} ms at most, of the last {}.",
            ms(last),
            ms(middle),
            ms(slowest),
            self.0.len()
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::{Duration, LATEST, Latency};

    #[test]
    fn the_last_the_middle_and_the_slowest_are_told() {
        let mut latency = Latency::default();
        assert_eq!(latency.says(), None);
        for ms in [900, 30, 10, 20] {
            latency.took(Duration::from_millis(ms));
        }
        let says = "From key to light: 20 ms at the last; 20 ms in the middle, 900 ms at most, of the last 4.";
        assert_eq!(latency.says().as_deref(), Some(says));
        (0..LATEST).for_each(|_| latency.took(Duration::from_millis(7)));
        let says = "From key to light: 7 ms at the last; 7 ms in the middle, 7 ms at most, of the last 50.";
        assert_eq!(latency.says().as_deref(), Some(says));
    }
}
