//! The line in which somebody new is named: a name and Enter.

use egui::{Key, TextEdit, Ui, vec2};

use crate::notebook::Id;
use crate::ui::parts::{self, Button};
use crate::ui::shared::Shared;
use crate::ui::theme::TOUCH;

/// The field, and who was in hand when it was sent.
#[derive(Default)]
pub struct NameField {
    typed: String,
    sent: Option<Option<Id>>,
}

impl NameField {
    /// Whether who was named is in hand now; true once.
    pub fn take_added(&mut self, shared: &Shared) -> bool {
        let now = shared.learner.as_ref().map(|l| l.id);
        let added = self.sent.is_some_and(|before| before != now);
        if added {
            (self.typed, self.sent) = (String::new(), None);
        }
        added
    }

    /// Shows it; the name, once it is given.
    pub fn show(&mut self, ui: &mut Ui, shared: &Shared) -> Option<String> {
        let label = ui.label("Name");
        let mut given = false;
        let field = ui.horizontal(|ui| {
            let edit = TextEdit::singleline(&mut self.typed)
                .min_size(vec2(120.0, TOUCH))
                .desired_width((ui.available_width() - 72.0).max(120.0))
                .align(egui::Align2::LEFT_CENTER);
            let field = ui.add(edit).labelled_by(label.id);
            given = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            let ready = !self.typed.trim().is_empty();
            given |= Button::text("Add")
                .name("Add this learner")
                .enabled(ready)
                .show(ui)
                .clicked();
            given &= ready;
            field
        });
        if !given && ui.memory(|m| m.focused().is_none()) {
            field.inner.request_focus();
        }
        parts::note(ui, "A first name or a nickname is enough. It stays on this computer.");
        if !given {
            return None;
        }
        self.sent = Some(shared.learner.as_ref().map(|l| l.id));
        Some(self.typed.trim().to_owned())
    }
}
