//! Telling, sound by sound, what was said: the finest ruling, and what the matrix of sounds is made of.

use egui::{CollapsingHeader, ComboBox, Ui, vec2};
use soundbead_data::{Sound, inventory};
use soundbead_dsp::judgement::Verdict;

use super::opened::OpenedAttempt;
use crate::notebook::Id;
use crate::ui::parts::{self, Button};

/// What was chosen for each sound of the word; none where it was left out.
#[derive(Default)]
pub struct ToldSounds {
    of: Option<Id>,
    sounds: Vec<Option<Sound>>,
}

impl ToldSounds {
    /// Shows a choice for each sound; what was told once the person says so.
    pub fn show(&mut self, ui: &mut Ui, opened: &OpenedAttempt) -> Option<(Verdict, Vec<Sound>)> {
        let expected = &opened.attempt.sounds;
        if self.of != Some(opened.attempt.id) {
            self.of = Some(opened.attempt.id);
            self.sounds = expected.iter().copied().map(Some).collect();
            // What was told before comes back where each sound has one in its place.
            let mut told = opened.attempt.edits.rulings.iter().map(|r| &r.sounds);
            if let Some(told) = told.find(|sounds| sounds.len() == expected.len()) {
                self.sounds = told.iter().copied().map(Some).collect();
            }
        }
        let head = CollapsingHeader::new("Tell the sounds that were said").id_salt("told");
        head.show(ui, |ui| self.form(ui, opened)).body_returned.flatten()
    }

    fn form(&mut self, ui: &mut Ui, opened: &OpenedAttempt) -> Option<(Verdict, Vec<Sound>)> {
        let expected = &opened.attempt.sounds;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
            for (i, (own, said)) in expected.iter().zip(&mut self.sounds).enumerate() {
                one(ui, i, *own, said);
            }
        });
        let said: Vec<Sound> = self.sounds.iter().copied().flatten().collect();
        let verdict = match (said == *expected, said.len() < expected.len()) {
            (true, _) => Verdict::Same,
            (_, true) => Verdict::Fewer,
            _ => Verdict::Changed,
        };
        if said.is_empty() {
            parts::note(ui, "At least one sound was said.");
            return None;
        }
        Button::text("Keep these sounds")
            .show(ui)
            .clicked()
            .then_some((verdict, said))
    }
}

/// One sound: itself, left out, or another.
fn one(ui: &mut Ui, i: usize, own: Sound, said: &mut Option<Sound>) {
    let name = |s: Sound| inventory::of(s).respelling.clone();
    let shown = match *said {
        None => format!("{}: left out", name(own)),
        Some(s) if s == own => name(own),
        Some(s) => format!("{} → {}", name(own), name(s)),
    };
    ComboBox::from_id_salt(("told", i))
        .selected_text(shown)
        .width(86.0)
        .show_ui(ui, |ui| {
            ui.selectable_value(said, Some(own), format!("{}, as it should be", name(own)));
            ui.selectable_value(said, None, "left out");
            // A vowel is taken for a vowel and a consonant for a consonant: those stand first.
            let mut others: Vec<Sound> = Sound::all().filter(|s| *s != own).collect();
            others.sort_by_key(|s| s.is_vowel() != own.is_vowel());
            for other in others {
                let entry = inventory::of(other);
                ui.selectable_value(said, Some(other), format!("{}  /{}/", entry.respelling, entry.ipa));
            }
        });
}
