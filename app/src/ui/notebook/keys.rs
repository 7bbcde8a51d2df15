//! The review by the keyboard alone.

use egui::{Key, Modifiers, Ui};

use super::intent::ReviewIntent;
use crate::ui::shared::Shared;
use soundbead_dsp::judgement::Verdict;

const DIGITS: [Key; 5] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5];

/// Reads the keys. A text that is typed in keeps its letters, and a button that has the focus keeps Space.
pub fn read(ui: &Ui, shared: &mut Shared, writing: bool, out: &mut Vec<ReviewIntent>) {
    for (key, does) in [
        ("J or ↓", "next attempt"),
        ("K or ↑", "the one before"),
        ("Space", "play, stop"),
        ("S", "play slowly"),
        ("1 to 5", "rule: own sounds, fewer, more, changed, cannot tell"),
        ("0", "take the ruling back"),
        ("N", "note"),
        ("C", "side by side"),
        ("Ctrl+Z", "undo the last ruling"),
    ] {
        shared.key(key, does);
    }
    if ui.ctx().text_edit_focused() {
        return;
    }
    let focused = ui.ctx().memory(|m| m.focused().is_some());
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    if ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Z)) {
        out.push(ReviewIntent::Undo);
    }
    if writing && pressed(Key::Escape) {
        out.push(ReviewIntent::Note);
    }
    if pressed(Key::J) || pressed(Key::ArrowDown) {
        out.push(ReviewIntent::Step(1));
    }
    if pressed(Key::K) || pressed(Key::ArrowUp) {
        out.push(ReviewIntent::Step(-1));
    }
    if pressed(Key::PageDown) {
        out.push(ReviewIntent::Step(10));
    }
    if pressed(Key::PageUp) {
        out.push(ReviewIntent::Step(-10));
    }
    if !focused && pressed(Key::Space) {
        out.push(ReviewIntent::Play(1.0));
    }
    if pressed(Key::S) {
        out.push(ReviewIntent::Play(0.5));
    }
    for (key, verdict) in DIGITS.into_iter().zip(Verdict::ALL) {
        if pressed(key) {
            out.push(ReviewIntent::Rule(Some(verdict), Vec::new()));
        }
    }
    if pressed(Key::Num0) {
        out.push(ReviewIntent::Rule(None, Vec::new()));
    }
    if pressed(Key::N) {
        out.push(ReviewIntent::Note);
    }
    if pressed(Key::C) {
        out.push(ReviewIntent::Compare);
    }
}
