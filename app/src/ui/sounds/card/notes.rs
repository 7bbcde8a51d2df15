//! What was written on this sound for the learner in hand, with the answers to it and what settled it.

use egui::Ui;
use soundbead_data::inventory::SoundEntry;

use crate::later::Later;
use crate::notebook::{Id, Note, NoteSubject};
use crate::ui::noted;
use crate::ui::parts;
use crate::ui::shared::Shared;

/// The notes, asked for when the sound or the learner changes.
#[derive(Default)]
pub struct Notes {
    of: Option<(Id, String)>,
    answer: Option<Later<crate::notebook::Result<Vec<Note>>>>,
    notes: Vec<Note>,
    failed: Option<String>,
}

impl Notes {
    /// Shows them; nothing at all without a learner or notes.
    pub fn show(&mut self, ui: &mut Ui, shared: &Shared, entry: &SoundEntry) {
        let Some(learner) = &shared.learner else { return };
        let wanted = (learner.id, entry.arpabet.to_string());
        if self.of.as_ref() != Some(&wanted) {
            *self = Notes::default();
            // Notes are on dictionary sounds; a vowel with r takes those of its vowel.
            let (id, sound) = (learner.id, entry.arpabet.sounds()[0]);
            self.answer = Some(shared.notebook.ask(move |n| n.notes_on(id, &NoteSubject::Sound(sound))));
            self.of = Some(wanted);
        }
        if let Some(answer) = self.answer.as_mut().and_then(Later::answer) {
            self.answer = None;
            match answer {
                Ok(notes) => self.notes = notes,
                Err(e) => self.failed = Some(e.to_string()),
            }
        }
        if self.notes.is_empty() && self.failed.is_none() {
            return;
        }
        parts::section(ui, &format!("Notes on it for {}", learner.name));
        if let Some(line) = &self.failed {
            parts::banner(ui, parts::BannerTone::Alarm, line);
        }
        for note in &self.notes {
            one(ui, note);
        }
        ui.add_space(6.0);
    }
}

fn one(ui: &mut Ui, note: &Note) {
    parts::note(ui, &format!("{}, {}", note.day, note.author));
    noted::body(ui, &note.body);
    ui.add_space(4.0);
}
