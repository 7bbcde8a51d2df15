//! What the learner wrote: the rows, what was written for each sound, each choice then and now, and telling examples.
//!
//! All of it is worked out below both faces ([`crate::ask::writing::look`]); this draws it.

mod choices;
mod examples;
mod filters;
mod rows;
mod sounds;

use egui::{Key, Modifiers, ScrollArea, Ui};
use soundbead_data::Sound;

use crate::ask::writing::{LookedWriting, look};
use crate::later::Latest;
use crate::notebook::{Id, NotebookError, WritingFilter};
use crate::ui::icons::Icon;
use crate::ui::parts;
use crate::ui::shared::Shared;

/// A side of the writing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum WritingSide {
    #[default]
    Rows,
    Sounds,
    Choices,
    Examples,
}

const SIDES: [(WritingSide, &str); 4] = [
    (WritingSide::Rows, "Words"),
    (WritingSide::Sounds, "By sound"),
    (WritingSide::Choices, "Then and now"),
    (WritingSide::Examples, "Five examples"),
];

/// What each key does, for the help page.
const KEYS: [(&str, &str); 1] = [("1 to 4", "words, by sound, then and now, five examples")];
/// The keys of the sides, in their order.
const DIGITS: [Key; 4] = [Key::Num1, Key::Num2, Key::Num3, Key::Num4];

/// The writing as it is looked at.
#[derive(Default)]
pub struct WritingPart {
    filter: WritingFilter,
    /// What was asked for last.
    asked: Option<WritingFilter>,
    looked: Latest<LookedWriting, NotebookError>,
    side: WritingSide,
    rows: rows::RowList,
}

impl WritingPart {
    /// Asks for it anew when it is next shown.
    pub fn stale(&mut self) {
        self.asked = None;
    }

    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, shared: &mut Shared, learner: Id) {
        self.poll(shared, learner);
        let Some(looked) = &self.looked.value else {
            ui.spinner();
            ui.label("Reading what was written");
            return;
        };
        if !looked.any {
            parts::empty(
                ui,
                Icon::Writing,
                "Nothing written yet",
                "Words that were dictated, typed in from paper, or written in the boxes of a lesson are listed here.",
            );
            return;
        }
        keys(ui, shared, &mut self.side);
        filters::show(ui, &mut self.filter);
        parts::choice(ui, "Show", &mut self.side, &SIDES);
        ui.add_space(2.0);
        if looked.rows.is_empty() {
            parts::section(ui, "Nothing of this kind");
            parts::note(ui, "Take a filter off to see more.");
            return;
        }
        let mut picked = None;
        match self.side {
            WritingSide::Rows => self.rows.show(ui, shared, &looked.rows),
            WritingSide::Sounds => scrolled(ui, |ui| picked = sounds::show(ui, &looked.matrix)),
            WritingSide::Choices => scrolled(ui, |ui| choices::show(ui, looked)),
            WritingSide::Examples => scrolled(ui, |ui| examples::show(ui, &looked.examples)),
        }
        if let Some(sound) = picked {
            self.look_at(sound);
        }
    }

    /// Shows the words that have a sound.
    fn look_at(&mut self, sound: Sound) {
        self.filter.sound = Some(sound);
        self.side = WritingSide::Rows;
    }

    /// Asks for what is looked for, and takes in what came. What stands there stays until then.
    fn poll(&mut self, shared: &mut Shared, learner: Id) {
        if self.asked.as_ref() != Some(&self.filter) {
            let filter = self.filter.clone();
            self.asked = Some(filter.clone());
            self.looked.ask(shared.notebook.ask(move |n| look(n, learner, &filter)));
        }
        if self.looked.take(shared) {
            self.rows.begin();
        }
    }
}

fn scrolled(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical()
        .id_salt("written")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 12.0);
            add(ui);
            ui.add_space(4.0);
            parts::note(
                ui,
                "First tries without help count. It shows how words were spelled, and is no test of a child.",
            );
        });
}

/// The keys that work wherever no text is typed.
fn keys(ui: &Ui, shared: &mut Shared, side: &mut WritingSide) {
    shared.keys(&KEYS);
    if ui.ctx().text_edit_focused() || ui.memory(|m| m.top_modal_layer().is_some()) {
        return;
    }
    for (key, (to, _)) in DIGITS.into_iter().zip(SIDES) {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            *side = to;
        }
    }
}
