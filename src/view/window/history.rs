//! What was changed, to be taken back and done again.

/// A value with its past and what was taken back.
#[derive(Debug, Clone)]
pub(super) struct History<T> {
    now: T,
    past: Vec<T>,
    undone: Vec<T>,
    saved: T,
}

impl<T: Clone + PartialEq> History<T> {
    pub(super) fn new(value: T) -> Self {
        Self {
            saved: value.clone(),
            now: value,
            past: Vec::new(),
            undone: Vec::new(),
        }
    }

    pub(super) fn now(&self) -> &T {
        &self.now
    }

    /// Changes the value; whether that was noted, which it is not where the value stays the same.
    pub(super) fn change(&mut self, value: T) -> bool {
        let other = value != self.now;
        if other {
            self.past.push(std::mem::replace(&mut self.now, value));
            self.undone.clear();
        }
        other
    }

    /// Changes the value once more, as a part of the change before.
    pub(super) fn go_on(&mut self, value: T) {
        self.now = value;
    }

    pub(super) fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    pub(super) fn can_redo(&self) -> bool {
        !self.undone.is_empty()
    }

    pub(super) fn undo(&mut self) {
        if let Some(before) = self.past.pop() {
            self.undone.push(std::mem::replace(&mut self.now, before));
        }
    }

    pub(super) fn redo(&mut self) {
        if let Some(after) = self.undone.pop() {
            self.past.push(std::mem::replace(&mut self.now, after));
        }
    }

    /// Whether something would be lost.
    pub(super) fn unsaved(&self) -> bool {
        self.now != self.saved
    }

    /// This value is safe.
    pub(super) fn mark_saved(&mut self, value: T) {
        self.saved = value;
    }
}

#[cfg(test)]
mod tests {
    use super::History;

    #[test]
    fn what_is_undone_comes_back_until_something_else_is_done() {
        let mut history = History::new(1);
        assert!(history.change(2));
        assert!(!history.change(2));
        history.change(3);
        history.undo();
        assert_eq!((*history.now(), history.can_redo()), (2, true));
        history.redo();
        assert_eq!(*history.now(), 3);
        history.undo();
        history.undo();
        assert_eq!((*history.now(), history.can_undo()), (1, false));
        history.change(5);
        assert!(!history.can_redo());
        history.go_on(57);
        history.undo();
        assert_eq!((*history.now(), history.can_undo()), (1, false));
    }

    #[test]
    fn coming_back_to_what_was_saved_is_not_unsaved() {
        let mut history = History::new('a');
        history.change('b');
        assert!(history.unsaved());
        history.undo();
        assert!(!history.unsaved());
        history.redo();
        history.mark_saved('b');
        assert!(!history.unsaved());
    }
}
