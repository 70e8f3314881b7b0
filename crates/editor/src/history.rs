//! Undo and redo, a step for each gesture.

/// Steps that are kept; the oldest go first. A step takes a few kilobytes.
const MOST: usize = 10_000;

/// States before and after the present one.
#[derive(Debug)]
pub(crate) struct History<T> {
    before: Vec<T>,
    after: Vec<T>,
    /// The state at the start of a gesture that is still going on.
    open: Option<T>,
}

impl<T> Default for History<T> {
    fn default() -> Self {
        Self {
            before: Vec::new(),
            after: Vec::new(),
            open: None,
        }
    }
}

impl<T: Clone> History<T> {
    /// Notes that `state` is about to change as part of a gesture.
    pub(crate) fn note(&mut self, state: &T) {
        if self.open.is_none() {
            self.open = Some(state.clone());
        }
    }

    /// Ends the gesture: all its changes are one step.
    pub(crate) fn end(&mut self) {
        if let Some(start) = self.open.take() {
            if self.before.len() == MOST {
                self.before.remove(0);
            }
            self.before.push(start);
            self.after.clear();
        }
    }

    /// The state before, `state` being the present one; `None` where there is none.
    pub(crate) fn undo(&mut self, state: &T) -> Option<T> {
        self.end();
        let found = self.before.pop()?;
        self.after.push(state.clone());
        Some(found)
    }

    /// The state after.
    pub(crate) fn redo(&mut self, state: &T) -> Option<T> {
        self.end();
        let found = self.after.pop()?;
        self.before.push(state.clone());
        Some(found)
    }

    /// Whether there is a step to undo.
    #[must_use]
    pub(crate) fn can_undo(&self) -> bool {
        !self.before.is_empty() || self.open.is_some()
    }

    /// Whether there is a step to redo.
    #[must_use]
    pub(crate) fn can_redo(&self) -> bool {
        !self.after.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gesture_is_one_step() {
        let mut history = History::default();
        let mut state = 0;
        for change in 1..=3 {
            history.note(&state);
            state = change;
        }
        history.end();
        history.note(&state);
        state = 9;
        history.end();
        assert_eq!(history.undo(&state), Some(3));
        assert_eq!(history.undo(&3), Some(0));
        assert_eq!(history.undo(&0), None);
        assert_eq!(history.redo(&0), Some(3));
        history.note(&3);
        history.end();
        assert!(!history.can_redo(), "a new step ends what was undone");
    }
}
