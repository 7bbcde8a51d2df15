//! The review by the keyboard alone.

use egui::{Key, Modifiers, Popup, Ui};
use soundbead_dsp::judgement::Verdict;

use crate::review::note::NoteEdit;
use crate::review::session::ReviewIntent;
use crate::ui::shared::Shared;

const DIGITS: [Key; 5] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5];

/// What each key does, for the help page.
const KEYS: [(&str, &str); 13] = [
    ("J or ↓", "next attempt"),
    ("K or ↑", "the one before"),
    ("Ctrl+↓, Ctrl+↑", "next lesson, the one before"),
    ("G", "go to a day"),
    ("Space", "play, stop"),
    ("S", "play slowly"),
    ("1 to 5", "rule: own sounds, fewer, more, changed, cannot tell"),
    ("0", "take the ruling back"),
    ("N", "note"),
    ("Ctrl+Enter", "keep the note"),
    ("Esc", "leave the note as it is; back to the desk"),
    ("C", "side by side"),
    ("Ctrl+Z", "undo the last ruling"),
];

/// Reads the keys. A text that is typed in keeps its letters, and a button that has the focus keeps Space. Whether the field for a
/// day is asked for.
pub fn read(ui: &Ui, shared: &mut Shared, writing: bool, out: &mut Vec<ReviewIntent>) -> bool {
    shared.keys(&KEYS);
    let pressed = |modifiers, key| ui.input_mut(|i| i.consume_key(modifiers, key));
    if writing && pressed(Modifiers::COMMAND, Key::Enter) {
        out.push(ReviewIntent::Edit(NoteEdit::Keep));
    }
    // What is open over the list has the keys.
    if ui.ctx().text_edit_focused() || Popup::is_any_open(ui.ctx()) {
        return false;
    }
    for (key, by) in [(Key::ArrowDown, 1), (Key::ArrowUp, -1)] {
        if pressed(Modifiers::COMMAND, key) {
            out.push(ReviewIntent::StepLesson(by));
        }
    }
    if pressed(Modifiers::COMMAND, Key::Z) {
        out.push(ReviewIntent::Undo);
    }
    if writing && pressed(Modifiers::NONE, Key::Escape) {
        out.push(ReviewIntent::Note);
    }
    let focused = ui.ctx().memory(|m| m.focused().is_some());
    let pressed = |key| pressed(Modifiers::NONE, key);
    for (key, by) in [
        (Key::J, 1),
        (Key::ArrowDown, 1),
        (Key::K, -1),
        (Key::ArrowUp, -1),
        (Key::PageDown, 10),
        (Key::PageUp, -10),
    ] {
        if pressed(key) {
            out.push(ReviewIntent::Step(by));
        }
    }
    if !focused && pressed(Key::Space) {
        out.push(ReviewIntent::Play(1.0));
    }
    for (key, verdict) in DIGITS.into_iter().zip(Verdict::ALL) {
        if pressed(key) {
            out.push(ReviewIntent::Rule(Some(verdict)));
        }
    }
    for (key, intent) in [
        (Key::S, ReviewIntent::Play(0.5)),
        (Key::Num0, ReviewIntent::Rule(None)),
        (Key::N, ReviewIntent::Note),
        (Key::C, ReviewIntent::Compare),
    ] {
        if pressed(key) {
            out.push(intent);
        }
    }
    pressed(Key::G)
}
