//! Undo and redo: what was, as whole unchanging values, so that undo gives back exactly the earlier state.
//!
//! Keystrokes in one field are one step: the first of them keeps what was before, the others follow it until the field
//! is left.

/// Steps kept; the oldest is forgotten. More than a day's work at a bench.
const MOST_STEPS: usize = 1000;

/// A value with its past and its undone future.
#[derive(Clone, Debug)]
pub struct History<T> {
    now: T,
    past: Vec<T>,
    future: Vec<T>,
    /// The field whose keystrokes are still one step.
    open: Option<String>,
}

impl<T: Clone + PartialEq> History<T> {
    /// A value without a past.
    pub fn of(now: T) -> Self {
        Self { now, past: Vec::new(), future: Vec::new(), open: None }
    }

    /// The value as it is.
    pub fn now(&self) -> &T {
        &self.now
    }

    /// A change in `field`. Changes in the same field, one after the other, are one step until [`History::settle`].
    pub fn change(&mut self, field: &str, next: T) {
        if next == self.now {
            return;
        }
        let before = std::mem::replace(&mut self.now, next);
        self.future.clear();
        if self.open.as_deref() == Some(field) {
            return;
        }
        self.open = Some(field.to_owned());
        if self.past.len() == MOST_STEPS {
            self.past.remove(0);
        }
        self.past.push(before);
    }

    /// The field was left: the next change is a step of its own.
    pub fn settle(&mut self) {
        self.open = None;
    }

    /// Whether every field was left.
    pub fn is_settled(&self) -> bool {
        self.open.is_none()
    }

    /// One step back; whether there was one.
    pub fn undo(&mut self) -> bool {
        self.open = None;
        let Some(before) = self.past.pop() else { return false };
        self.future.push(std::mem::replace(&mut self.now, before));
        true
    }

    /// One undone step forward again; whether there was one.
    pub fn redo(&mut self) -> bool {
        self.open = None;
        let Some(after) = self.future.pop() else { return false };
        self.past.push(std::mem::replace(&mut self.now, after));
        true
    }

    /// Changes every state alike: those of the past, the one that is now, and those that were undone. A step that then makes
    /// no difference is none.
    pub fn rewrite(&mut self, change: impl Fn(&mut T)) {
        self.past.iter_mut().chain(&mut self.future).for_each(&change);
        change(&mut self.now);
        self.open = None;
        for states in [&mut self.past, &mut self.future] {
            states.dedup();
            if states.last() == Some(&self.now) {
                states.pop();
            }
        }
    }

    /// Whether there is a step to undo.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is a step to redo.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn keystrokes_in_a_field_are_one_step() {
        let mut history = History::of("");
        for text in ["9", "94", "94 ", "94 c", "94 cm"] {
            history.change("body.bust", text);
        }
        assert!(history.undo() && history.now().is_empty() && !history.can_undo());
        assert!(history.redo() && *history.now() == "94 cm");
        history.change("body.bust", "95 cm");
        history.settle();
        history.change("body.bust", "96 cm");
        assert!(history.undo() && *history.now() == "95 cm");
        assert!(history.undo() && *history.now() == "94 cm");
    }

    proptest! {
        #[test]
        fn undoing_everything_gives_back_every_earlier_state(values in prop::collection::vec(0..50_u32, 1..200)) {
            let mut history = History::of(1000);
            let mut states = vec![1000];
            for value in values {
                history.change("x", value);
                history.settle();
                if *states.last().expect("never empty") != value {
                    states.push(value);
                }
            }
            for state in states.iter().rev().skip(1) {
                prop_assert!(history.undo());
                prop_assert_eq!(history.now(), state);
            }
            prop_assert!(!history.undo());
            for state in &states[1..] {
                prop_assert!(history.redo());
                prop_assert_eq!(history.now(), state);
            }
            prop_assert!(!history.redo());
        }

        /// Pairs of which the second is forgotten: what is left is the history of the first alone.
        #[test]
        fn what_is_rewritten_is_in_no_step(
            values in prop::collection::vec((0..4_u32, 0..4_u32), 1..100),
            undone in 0..50_usize,
        ) {
            let (mut both, mut first) = (History::of((9, 0)), History::of((9, 0)));
            for (a, b) in values {
                both.change("x", (a, b));
                first.change("x", (a, 0));
                both.settle();
                first.settle();
            }
            for _ in 0..undone {
                both.undo();
            }
            both.rewrite(|pair| pair.1 = 0);
            while first.now() != both.now() || first.past.len() != both.past.len() {
                prop_assert!(first.undo(), "{both:?}");
            }
            prop_assert_eq!(&both.past, &first.past);
            prop_assert_eq!(&both.future, &first.future);
        }
    }
}
