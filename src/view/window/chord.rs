//! Keys pressed with Ctrl. They are taken from the events as they come: where a frame takes long, Ctrl is up again before
//! the panels look at the keys.

use kiss3d::event::{Key, Modifiers};

/// What is asked by a key with Ctrl, on a Mac with its command key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Chord {
    Undo,
    Redo,
    Save,
    Picture,
    Close,
    Propose,
    Cut,
    Readings,
    Book,
}

impl Chord {
    /// What a key asks for, if anything.
    pub(super) fn of(key: Key, modifiers: Modifiers) -> Option<Self> {
        let command = if cfg!(target_os = "macos") {
            Modifiers::Super
        } else {
            Modifiers::Control
        };
        if !modifiers.contains(command) {
            return None;
        }
        Some(match key {
            Key::Z if modifiers.contains(Modifiers::Shift) => Self::Redo,
            Key::Y => Self::Redo,
            Key::Z => Self::Undo,
            Key::S => Self::Save,
            Key::E => Self::Picture,
            Key::Q => Self::Close,
            Key::P => Self::Propose,
            Key::K => Self::Cut,
            Key::R => Self::Readings,
            Key::B => Self::Book,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Chord, Key, Modifiers};

    #[test]
    #[cfg(not(target_os = "macos"))]
    fn only_keys_with_ctrl_are_chords() {
        let ctrl = Modifiers::Control;
        assert_eq!(Chord::of(Key::Z, ctrl), Some(Chord::Undo));
        assert_eq!(
            Chord::of(Key::Z, ctrl | Modifiers::Shift),
            Some(Chord::Redo)
        );
        assert_eq!(Chord::of(Key::Z, Modifiers::empty()), None);
        assert_eq!(Chord::of(Key::A, ctrl), None);
    }
}
